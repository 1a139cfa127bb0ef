//! Reading sizes and places from the command line.
//!
//! No size is taken without its unit: nobody has said in what a bare `12` is
//! measured. Each fault names the argument it stands in.

use std::fmt;

use workshop::measure::Length;
use workshop::problem::{Outcome, Problem};
use workshop::settings::position::Place;
use workshop::tables::read_size;

/// Reads a size with its unit, or a drill by name; `argument` is what it stands
/// behind.
///
/// # Errors
///
/// A [`Problem`] that names the argument.
pub fn size(argument: &str, text: &str) -> Result<Length, Problem> {
    let read = read_size(text, None).map_err(|fault| {
        // A number that any unit would make a length lacks only the unit.
        let bare = read_size(text, Some(workshop::measure::Unit::Mm)).is_ok();
        let fault = if bare {
            let text = text.trim();
            Problem::new(format!("`{text}` has no unit"))
                .why("it could be millimetres or inches, and nothing on the command line says which")
                .mend(format!("write `{text} mm` or `{text} in`"))
        } else {
            fault
        };
        fault.at(argument)
    })?;
    Ok(read.length)
}

/// Reads several sizes, each named by its argument.
///
/// # Errors
///
/// A [`Problem`] for each that cannot be read, as [`size`].
pub fn sizes<const N: usize>(asked: [(&str, &str); N]) -> Outcome<[Length; N]> {
    let read = all(asked.map(|(argument, text)| size(argument, text)))?;
    Ok(read.try_into().expect("each of N texts gave one length"))
}

/// Reads a place on the work, `oil hole: 12 mm, 7.5 mm`, or without a name
/// `12 mm, 7.5 mm`; `argument` is what it stands behind, and names those.
///
/// # Errors
///
/// A [`Problem`] when it is not two sizes with a comma between them.
pub fn place(text: &str, argument: &str) -> Result<Place, Problem> {
    let (name, sizes) = match text.rsplit_once(':') {
        Some((name, sizes)) if !name.trim().is_empty() => (name.trim(), sizes),
        Some((_, sizes)) => (argument, sizes),
        None => (argument, text),
    };
    let Some((x, y)) = sizes.split_once(',') else {
        return Err(Problem::new(format!("cannot read `{text}` as a place"))
            .at(argument)
            .why("a place is two sizes with a comma between, X and then Y")
            .mend("write it as `12 mm, 7.5 mm`, or `oil hole: 12 mm, 7.5 mm`"));
    };
    Ok(Place { x: size(argument, x)?, y: size(argument, y)?, name: name.to_owned() })
}

/// Every value, or every fault of them all.
///
/// # Errors
///
/// All the problems, in order.
pub fn all<T>(read: impl IntoIterator<Item = Result<T, Problem>>) -> Outcome<Vec<T>> {
    let (mut values, mut faults) = (Vec::new(), Vec::new());
    for one in read {
        match one {
            Ok(value) => values.push(value),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(values) } else { Err(faults) }
}

/// A list as people read it aloud: `60, 110 and 190`.
pub fn listed<T: fmt::Display>(items: &[T]) -> String {
    match items {
        [] => "none".to_owned(),
        [one] => one.to_string(),
        [front @ .., last] => {
            let front: Vec<String> = front.iter().map(ToString::to_string).collect();
            format!("{} and {last}", front.join(", "))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_bare_number_is_refused_and_both_readings_are_named() {
        let fault = size("SIZE", "12").unwrap_err();
        assert_eq!((fault.what(), fault.place().as_str()), ("`12` has no unit", "SIZE"));
        assert_eq!(fault.remedy(), Some("write `12 mm` or `12 in`"));
        assert_eq!(size("SIZE", "12mm").unwrap(), Length::mm(12));
        assert_eq!(size("SIZE", "No. 43").unwrap(), Length::thou(89));
    }

    #[test]
    fn a_place_has_a_name_or_a_number() {
        let read = place("oil hole: 27/32 in, -7.5 mm", "place 3").unwrap();
        assert_eq!(read.name, "oil hole");
        assert_eq!((read.x, read.y), (Length::inches(27, 32), Length::microns(-7500)));
        assert_eq!(place("1mm,2mm", "place 3").unwrap().name, "place 3");
        for wrong in ["", "12 mm", "a: b", "1 mm, 2 mm, 3 mm", "12, 7", ":,"] {
            let fault = place(wrong, "place 2").unwrap_err();
            assert!(fault.place().contains("place 2") && fault.remedy().is_some(), "{wrong}: {fault}");
        }
    }

    proptest! {
        /// A place printed as it is documented reads back the same.
        #[test]
        fn a_place_survives_print_and_read(name in "[a-z][a-z :]{0,10}[a-z]", x in -99_999i64..99_999, y in -99_999i64..99_999) {
            let (x, y) = (Length::microns(x), Length::microns(y));
            let read = place(&format!("{name}: {x}, {y}"), "place 1").unwrap();
            prop_assert_eq!((read.name.as_str(), read.x, read.y), (name.as_str(), x, y));
        }

        #[test]
        fn no_text_makes_a_reader_panic(text in "\\PC{0,40}", tail in "[0-9/,:. imn\"-]{0,20}") {
            for text in [text.clone(), tail.clone(), format!("{text}:{tail}")] {
                let _ = size("SIZE", &text);
                let _ = place(&text, "place 1");
            }
        }
    }
}
