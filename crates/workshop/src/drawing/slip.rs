//! How a figure comes to be copied wrongly, and what it may have been.

use crate::measure::{Length, Unit, Written};
use crate::tables::read_size;

/// A way in which a figure or a statement is copied wrongly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Slip {
    /// An inch read as a millimetre, or the other way.
    Unit,
    /// One digit for another.
    Digit,
    /// A digit left out.
    Missing,
    /// Two digits in the wrong order.
    Swapped,
    /// The point in the wrong place.
    Point,
    /// The way swapped: right for left, above for below.
    Way,
    /// A digit too many.
    Extra,
    /// The bottom of the fraction: sixteenths for thirty-seconds.
    Bottom,
    /// The whole inches left out or put in.
    Whole,
    /// A space put in or left out: 2 3/32 for 23/32.
    Space,
    /// A radius where the drawing has the diameter.
    Radius,
    /// A diameter where the drawing has the radius.
    Diameter,
    /// Measured from something else.
    From,
    /// None of these.
    Other,
}

impl Slip {
    /// What happened, in words that follow the figure.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Unit => "inches and millimetres mixed",
            Self::Digit => "one digit wrong",
            Self::Missing => "a digit left out",
            Self::Swapped => "two digits swapped",
            Self::Point => "the point in the wrong place",
            Self::Way => "the opposite way",
            Self::Extra => "a digit too many",
            Self::Bottom => "the bottom of the fraction wrong",
            Self::Whole => "the whole number before the fraction wrong",
            Self::Space => "a space put in or left out",
            Self::Radius => "a radius for a diameter",
            Self::Diameter => "a diameter for a radius",
            Self::From => "measured from the wrong place",
            Self::Other => "no ordinary slip",
        }
    }

    /// How unlikely it is, in tenths: common practice in checking copied figures.
    pub(super) const fn cost(self) -> i64 {
        match self {
            Self::Unit => 8,
            Self::Digit | Self::Missing | Self::Swapped | Self::Point | Self::Way => 10,
            Self::Extra | Self::Bottom | Self::Whole | Self::Space | Self::Radius | Self::Diameter => 12,
            Self::From => 14,
            Self::Other => 40,
        }
    }
}

/// What a figure may have been before one slip, each reading once, the likeliest first.
pub(super) fn readings(written: &Written, unit: Option<Unit>) -> Vec<(Written, Slip)> {
    let text = written.text.trim();
    let mut texts: Vec<(String, Slip)> = Vec::new();
    texts.extend(other_unit(written));
    texts.extend(digits(text));
    texts.extend(point(text));
    texts.extend(bottoms(text));
    texts.extend(wholes(text));
    texts.extend(spaces(text));
    let mut found: Vec<(Written, Slip)> = Vec::new();
    let mut keep = |reading: Written, slip: Slip| {
        let new = found.iter().all(|(other, _)| other.length != reading.length);
        if new && reading.length.is_positive() && reading.length != written.length {
            found.push((reading, slip));
        }
    };
    for (text, slip) in texts {
        // A figure that nobody would write is no reading.
        if let Ok(reading) = read_size(&text, unit.or(Some(written.unit)))
            && plausible(&text)
        {
            keep(reading, slip);
        }
    }
    for (length, slip) in [(written.length * 2, Slip::Radius), (written.length.half(), Slip::Diameter)] {
        keep(Written { text: shown(length, written.unit), length, unit: written.unit }, slip);
    }
    found
}

/// What a figure may have been before one slip of the pen, the likeliest first, each
/// with the slip in words; `unit` is the drawing's.
pub fn misreadings(written: &Written, unit: Option<Unit>) -> Vec<(Written, &'static str)> {
    let mut found = readings(written, unit);
    found.sort_by_key(|(_, slip)| slip.cost());
    found.into_iter().map(|(reading, slip)| (reading, slip.words())).collect()
}

/// A length as a drawing in that unit would write it.
pub(super) fn shown(length: Length, unit: Unit) -> String {
    match unit {
        Unit::Inch => length.as_inch_fraction().unwrap_or_else(|| {
            let text = format!("{:.4}", length.as_inches());
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        }),
        Unit::Mm => {
            let text = length.decimals(4);
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        }
    }
}

/// A mixed number run together, or one taken apart.
fn spaces(text: &str) -> Vec<(String, Slip)> {
    let Some(bar) = text.find('/') else { return Vec::new() };
    if text[..bar].contains(' ') {
        return vec![(text.replacen(' ', "", 1), Slip::Space)];
    }
    let apart = (1..bar).filter(|&at| text.is_char_boundary(at));
    apart.map(|at| (format!("{} {}", &text[..at], &text[at..]), Slip::Space)).collect()
}

/// The figure alone, without the unit after it.
fn figure(text: &str) -> (&str, &str) {
    let end = text.rfind(|c: char| c.is_ascii_digit()).map_or(0, |at| at + 1);
    text.split_at(end)
}

/// The same figure in the other unit.
fn other_unit(written: &Written) -> Option<(String, Slip)> {
    let (figure, _) = figure(written.text.trim());
    let other = match written.unit {
        Unit::Inch => "mm",
        Unit::Mm => "in",
    };
    (!figure.is_empty()).then(|| (format!("{figure} {other}"), Slip::Unit))
}

/// One digit changed, put in, taken out, or two swapped.
fn digits(text: &str) -> Vec<(String, Slip)> {
    let (figure, after) = figure(text);
    let chars: Vec<char> = figure.chars().collect();
    let build = |chars: &[char]| format!("{}{after}", chars.iter().collect::<String>());
    let mut texts = Vec::new();
    for at in 0..chars.len() {
        if !chars[at].is_ascii_digit() {
            continue;
        }
        for digit in '0'..='9' {
            let mut other = chars.clone();
            other[at] = digit;
            texts.push((build(&other), Slip::Digit));
        }
        if chars.get(at + 1).is_some_and(char::is_ascii_digit) {
            let mut other = chars.clone();
            other.swap(at, at + 1);
            texts.push((build(&other), Slip::Swapped));
        }
        // Swapped across the point: 4.38 for 3.48 is two digits in the wrong order too.
        if chars.get(at + 1) == Some(&'.') && chars.get(at + 2).is_some_and(char::is_ascii_digit) {
            let mut other = chars.clone();
            other.swap(at, at + 2);
            texts.push((build(&other), Slip::Swapped));
        }
    }
    for at in 0..=chars.len() {
        let beside = chars.get(at).is_some_and(char::is_ascii_digit)
            || at.checked_sub(1).is_some_and(|before| chars[before].is_ascii_digit());
        if beside {
            for digit in '0'..='9' {
                let mut other = chars.clone();
                other.insert(at, digit);
                texts.push((build(&other), Slip::Missing));
            }
        }
    }
    for at in 0..chars.len() {
        if chars[at].is_ascii_digit() {
            let mut other = chars.clone();
            other.remove(at);
            texts.push((build(&other), Slip::Extra));
        }
    }
    texts.sort_by_key(|(_, slip)| *slip);
    texts
}

/// The point moved a place or two.
fn point(text: &str) -> Vec<(String, Slip)> {
    let (figure, after) = figure(text);
    if figure.contains('/') || figure.contains(' ') {
        return Vec::new();
    }
    let digits: String = figure.chars().filter(|c| *c != '.').collect();
    if digits.is_empty() || !digits.chars().all(|c| c.is_ascii_digit()) {
        return Vec::new();
    }
    let digits = digits.trim_start_matches('0');
    let places = figure.split_once('.').map_or(0, |(_, after)| after.len()) as i64;
    [1, -1, 2, -2, 3]
        .into_iter()
        .map(|moved| places + moved)
        .filter(|places| *places >= 0)
        .map(|places| {
            let places = places as usize;
            let padded = format!("{digits:0>width$}", width = places + 1);
            let (whole, part) = padded.split_at(padded.len() - places);
            let text = if part.is_empty() { whole.to_owned() } else { format!("{whole}.{part}") };
            (format!("{text}{after}"), Slip::Point)
        })
        .collect()
}

/// Another bottom of the fraction.
fn bottoms(text: &str) -> Vec<(String, Slip)> {
    let Some((before, rest)) = text.split_once('/') else { return Vec::new() };
    let after = rest.trim_start_matches(|c: char| c.is_ascii_digit());
    [2, 4, 8, 16, 32, 64].map(|bottom| (format!("{before}/{bottom}{after}"), Slip::Bottom)).to_vec()
}

/// Whole inches put before a fraction, or taken away.
fn wholes(text: &str) -> Vec<(String, Slip)> {
    if !text.contains('/') {
        return Vec::new();
    }
    match text.split_once([' ', '-']) {
        Some((whole, rest)) if whole.chars().all(|c| c.is_ascii_digit()) => {
            vec![(rest.trim().to_owned(), Slip::Whole)]
        }
        _ => (1..=6).map(|whole| (format!("{whole} {text}"), Slip::Whole)).collect(),
    }
}

/// False for a fraction that no rule carries, or one that is not less than one.
fn plausible(text: &str) -> bool {
    let Some((before, rest)) = text.split_once('/') else {
        // A nought before the point is written, one before another digit is not.
        let second = text.chars().nth(1);
        return !(text.starts_with('0') && second.is_some_and(|c| c.is_ascii_digit()));
    };
    if text.starts_with(['0', ' ', '/']) {
        return false;
    }
    let number = |text: &str| if text.starts_with('0') { None } else { text.parse::<u32>().ok() };
    let top = number(before.rsplit([' ', '-']).next().unwrap_or_default());
    let bottom = number(rest.split(|c: char| !c.is_ascii_digit()).next().unwrap_or_default());
    match (top, bottom) {
        (Some(top), Some(bottom)) => [2, 4, 8, 16, 32, 64].contains(&bottom) && top < bottom && top % 2 == 1,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::read_length;

    fn slip(typed: &str, meant: &str) -> Option<Slip> {
        let read = |text| read_length(text, Some(Unit::Inch)).unwrap();
        let meant = read(meant).length;
        readings(&read(typed), Some(Unit::Inch))
            .into_iter()
            .find(|(reading, _)| reading.length == meant)
            .map(|(_, slip)| slip)
    }

    #[test]
    fn each_ordinary_slip_is_known_for_what_it_is() {
        for (typed, meant, expected) in [
            ("1 3/32", "1 13/32", Slip::Missing),
            ("1 13/32", "1 3/32", Slip::Extra),
            ("27/32", "23/32", Slip::Digit),
            ("0.483", "0.438", Slip::Swapped),
            ("4.38", "0.438", Slip::Point),
            ("0.438", "4.38", Slip::Point),
            ("3/16", "3/32", Slip::Bottom),
            ("1 5/16", "5/16", Slip::Whole),
            ("5/16", "1 5/16", Slip::Whole),
            ("3/4 mm", "3/4", Slip::Unit),
            ("12", "12 mm", Slip::Unit),
            ("7/16", "7/8", Slip::Bottom),
            ("5/8", "1 1/4", Slip::Radius),
            ("1 3/8", "11/16", Slip::Diameter),
        ] {
            assert_eq!(slip(typed, meant), Some(expected), "{typed} for {meant}");
        }
        assert_eq!(slip("1/2", "17/64"), None);
    }

    #[test]
    fn no_reading_is_the_figure_itself_or_written_as_nobody_writes() {
        let read = |text| read_length(text, Some(Unit::Inch)).unwrap();
        for text in ["1 3/32", "0.438", "12.5 mm", "7/8", "2"] {
            let written = read(text);
            for (reading, _) in readings(&written, Some(Unit::Inch)) {
                assert_ne!(reading.length, written.length);
                assert!(!reading.text.contains("/0") && !reading.text.contains("2/4"), "{}", reading.text);
            }
        }
    }
}
