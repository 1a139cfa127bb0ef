//! The published tables: drills, threads, holes, fits, pins and materials.
//!
//! A name as the trade writes it goes in (`No. 43`, `7 BA`, `H7/g6`), the row
//! that was published comes out, with its [`Source`]. A name that no table has
//! is a [`Problem`] that lists the near ones; nothing here guesses.
//!
//! The rows live in `crates/workshop/tables/`, one CSV file for each standard,
//! with source, units and what was checked in its head. Begin with
//! [`read_size`], [`drills`] or [`threads`]. A new table is one CSV file there,
//! one module here, and a test against a second witness.

pub mod across_flats;
pub mod clearance;
pub mod drills;
pub mod end_mills;
pub mod expansion;
pub mod fits;
pub mod general_tolerance;
pub mod hardening;
pub mod heads;
pub mod instruments;
pub mod keys;
pub mod materials;
mod near;
pub mod processes;
mod rows;
mod source;
pub mod spanners;
pub mod surface;
pub mod taper_pins;
pub mod threads;

pub use source::{Source, Standing};

use crate::measure::{Unit, Written, read_length};
use crate::problem::Problem;

/// Reads a size as a drawing writes it: a length, or a drill by its name
/// (`No. 43`, `letter F`). `unit` is the drawing's, for a bare number.
///
/// A bare letter is not read as a drill here: on a drawing it may stand for a
/// dimension.
///
/// # Errors
///
/// A [`Problem`] when the text is neither, or names a drill that does not exist.
///
/// # Example
///
/// ```
/// use workshop::measure::Length;
/// use workshop::tables::read_size;
///
/// assert_eq!(read_size("No. 43", None)?.length, Length::thou(89));
/// # Ok::<(), workshop::problem::Problem>(())
/// ```
pub fn read_size(text: &str, unit: Option<Unit>) -> Result<Written, Problem> {
    match drills::GaugeName::read(text) {
        Some(name) => {
            let drill = drills::by_gauge(&name, text)?;
            Ok(Written { text: text.trim().to_owned(), length: drill.diameter, unit: Unit::Inch })
        }
        None => read_length(text, unit),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;
    use proptest::prelude::*;

    #[test]
    fn a_drawing_gives_sizes_as_lengths_or_by_drill() {
        for (text, expected, unit) in [
            ("No. 43", Length::thou(89), Unit::Inch),
            ("no 43 drill", Length::thou(89), Unit::Inch),
            ("letter F", Length::thou(257), Unit::Inch),
            ("27/64\"", Length::inches(27, 64), Unit::Inch),
            ("4.2 mm", Length::microns(4200), Unit::Mm),
            ("0.438", Length::thou(438), Unit::Inch),
        ] {
            let read = read_size(text, Some(Unit::Inch)).unwrap();
            assert_eq!((read.text.as_str(), read.length, read.unit), (text, expected, unit));
        }
        assert!(read_size("No. 81", None).unwrap_err().what().contains("No. 81"));
        assert!(read_size("F", Some(Unit::Inch)).is_err());
        assert_eq!(read_size("5", None).unwrap_err().what(), "`5` has no unit");
    }

    proptest! {
        /// Whatever is typed, each reader answers or says what is wrong.
        #[test]
        fn no_text_makes_a_reader_panic(text in "\\PC{0,40}", start in "(No\\. ?|#|M|letter |[0-9/ x.-]{0,8})") {
            for text in [text.clone(), format!("{start}{text}")] {
                let _ = read_size(&text, Some(Unit::Inch));
                let _ = drills::find(&text);
                let _ = threads::find(&text);
                let _ = taper_pins::find(&text);
                let _ = materials::find(&text);
                let _ = fits::fit(&text, Length::mm(8));
                let _ = fits::plain_fit(&text, Length::mm(8));
            }
        }
    }
}
