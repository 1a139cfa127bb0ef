//! Reading a length as a drawing writes it.
//!
//! `1 3/32`, `1-3/32"`, `27/32 in`, `.438`, `11.1 mm`. A bare number takes the
//! unit that the drawing states; where no unit is known it is a problem, never
//! a guess.

use num_rational::Ratio;

use super::Length;
use crate::problem::Problem;

/// The unit of a bare number on a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Inches.
    Inch,
    /// Millimetres.
    Mm,
}

impl Unit {
    /// `in` or `mm`, as printed after a number.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Mm => "mm",
        }
    }

    /// One of this unit.
    pub fn one(self) -> Length {
        match self {
            Self::Inch => Length::inches(1, 1),
            Self::Mm => Length::mm(1),
        }
    }
}

/// A length together with the words that gave it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Exactly as on the drawing.
    pub text: String,
    /// What it comes to, exactly.
    pub length: Length,
    /// The unit it was written in.
    pub unit: Unit,
}

/// The most digits in one number: keeps every ratio far inside its range.
const MOST_DIGITS: usize = 9;

/// Reads a length as written; `unit` is the drawing's, for a bare number.
///
/// # Errors
///
/// A [`Problem`] quoting the text when it is not a number, carries no unit and
/// none is known, has a fraction with nought below, or more digits than any
/// drawing needs.
pub fn read_length(text: &str, unit: Option<Unit>) -> Result<Written, Problem> {
    let trimmed = text.trim();
    let (number, own) = split_unit(trimmed);
    let cannot = |why: &str| {
        Problem::new(format!("cannot read `{}` as a length", shortened(trimmed)))
            .why(why)
            .mend("write it as on the drawing, such as `1 3/8`, `0.438\"` or `11.1 mm`")
    };
    let value = read_number(number).map_err(cannot)?;
    let Some(unit) = own.or(unit) else {
        return Err(Problem::new(format!("`{trimmed}` has no unit"))
            .why("it could be inches or millimetres, and the drawing does not say which")
            .mend(
                "add `unit = \"inch\"` or `unit = \"mm\"` to the part, or write the unit after the number",
            ));
    };
    let length = unit.one().scaled(value);
    Ok(Written { text: trimmed.to_owned(), length, unit })
}

/// Takes the unit off the end of the text, where it has one.
fn split_unit(text: &str) -> (&str, Option<Unit>) {
    const ENDINGS: [(&str, Unit); 8] = [
        ("inches", Unit::Inch),
        ("inch", Unit::Inch),
        ("ins", Unit::Inch),
        ("in.", Unit::Inch),
        ("in", Unit::Inch),
        ("\"", Unit::Inch),
        ("″", Unit::Inch),
        ("mm", Unit::Mm),
    ];
    for (ending, unit) in ENDINGS {
        if let Some(front) = strip_ending(text, ending) {
            return (front.trim_end(), Some(unit));
        }
    }
    (text, None)
}

/// `text` without `ending`, whatever its case.
fn strip_ending<'a>(text: &'a str, ending: &str) -> Option<&'a str> {
    let at = text.len().checked_sub(ending.len())?;
    let (front, back) = (text.get(..at)?, text.get(at..)?);
    back.eq_ignore_ascii_case(ending).then_some(front)
}

/// Reads `3`, `.438`, `3/8`, `1 3/8`, `1-3/8`, with a sign before it.
fn read_number(text: &str) -> Result<Ratio<i128>, &'static str> {
    let (negative, body) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    };
    if body.is_empty() {
        return Err("there is no number in it");
    }
    let value = match body.split_once('/') {
        None => read_decimal(body)?,
        Some((before, below)) => {
            let before = before.trim_end();
            let (whole, top) = match before.rsplit_once([' ', '-']) {
                Some((whole, top)) => (read_whole(whole.trim_end_matches([' ', '-']))?, top),
                None => (0, before),
            };
            let (top, below) = (read_whole(top)?, read_whole(below.trim_start())?);
            if below == 0 {
                return Err("the bottom of the fraction is nought");
            }
            Ratio::from_integer(whole) + Ratio::new(top, below)
        }
    };
    Ok(if negative { -value } else { value })
}

/// Digits with at most one point.
fn read_decimal(text: &str) -> Result<Ratio<i128>, &'static str> {
    if text.contains(',') {
        return Err("it has a comma: write the decimal point as a full stop");
    }
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    if whole.is_empty() && part.is_empty() {
        return Err("there is no number in it");
    }
    let whole = if whole.is_empty() { 0 } else { read_whole(whole)? };
    let top = if part.is_empty() { 0 } else { read_whole(part)? };
    Ok(Ratio::from_integer(whole) + Ratio::new(top, 10_i128.pow(part.len() as u32)))
}

/// Digits only, and not too many of them.
fn read_whole(text: &str) -> Result<i128, &'static str> {
    if text.is_empty() || !text.bytes().all(|b| b.is_ascii_digit()) {
        return Err("it is not a number, a fraction or a mixed number");
    }
    if text.len() > MOST_DIGITS {
        return Err("it has more digits than any drawing needs");
    }
    Ok(text.parse().expect("nine digits fit"))
}

/// At most forty characters of a text, for quoting.
fn shortened(text: &str) -> String {
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn lengths_read_as_drawings_write_them() {
        let inch = Some(Unit::Inch);
        for (text, expected) in [
            ("1 3/32", Length::inches(35, 32)),
            ("1-3/32\"", Length::inches(35, 32)),
            ("27/32 in", Length::inches(27, 32)),
            (".438", Length::thou(438)),
            ("0.438\"", Length::thou(438)),
            ("2", Length::inches(2, 1)),
            ("-1/4", Length::inches(-1, 4)),
            ("11.1 mm", Length::microns(11_100)),
            ("11.1MM", Length::microns(11_100)),
        ] {
            assert_eq!(read_length(text, inch).unwrap().length, expected, "{text}");
        }
        assert_eq!(read_length("3/4", Some(Unit::Mm)).unwrap().length, Length::microns(750));
    }

    #[test]
    fn a_bare_number_without_a_unit_is_a_problem() {
        let problem = read_length("3/4", None).unwrap_err();
        assert_eq!(problem.what(), "`3/4` has no unit");
    }

    #[test]
    fn what_is_no_length_is_refused_with_the_text() {
        for text in ["", "\"", "1/0", "3//4", "a", "1.2.3", "12345678901", "1,5", "½x", "1 2 3/4 5"] {
            let problem = read_length(text, Some(Unit::Inch)).unwrap_err();
            assert!(problem.what().contains(text) && problem.remedy().is_some(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in "\\PC{0,60}") {
            let _ = read_length(&text, Some(Unit::Inch));
        }

        #[test]
        fn decimal_millimetres_survive_print_and_read(microns in -9_999_999i64..9_999_999) {
            let length = Length::microns(microns);
            let read = read_length(&length.to_string(), None).unwrap();
            prop_assert_eq!(read.length, length);
        }
    }
}
