//! Angles: exact ratios of a degree.

use std::fmt;
use std::ops::{Add, Neg, Sub};

use num_rational::Ratio;

use crate::problem::Problem;

/// An angle, held exactly as a ratio of degrees. Anticlockwise is positive.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Angle {
    degrees: Ratio<i128>,
}

impl Angle {
    /// Whole degrees.
    pub const fn degrees(whole: i64) -> Self {
        Self { degrees: Ratio::new_raw(whole as i128, 1) }
    }

    /// A ratio of degrees: `over` must not be nought.
    pub fn ratio(top: i128, over: i128) -> Self {
        Self { degrees: Ratio::new(top, over) }
    }

    /// The nearest millionth of a degree to a calculated value in radians.
    pub fn nearest_rad(rad: f64) -> Self {
        Self::ratio((rad.to_degrees() * 1e6).round() as i128, 1_000_000)
    }

    /// Radians, for geometry.
    pub fn as_rad(self) -> f64 {
        self.as_degrees().to_radians()
    }

    /// Degrees as a floating number.
    pub fn as_degrees(self) -> f64 {
        *self.degrees.numer() as f64 / *self.degrees.denom() as f64
    }

    /// The exact degrees.
    pub const fn exact(self) -> Ratio<i128> {
        self.degrees
    }

    /// The same direction between nought and a full turn.
    #[must_use]
    pub fn within_turn(self) -> Self {
        let turn = Ratio::from_integer(360);
        Self { degrees: self.degrees - (self.degrees / turn).floor() * turn }
    }

    /// Degrees to a fixed number of decimals, with the sign `°`.
    pub fn decimals(self, places: u32) -> String {
        let scale = 10_i128.pow(places);
        let units = (self.degrees * scale).round().to_integer();
        let sign = if units < 0 { "-" } else { "" };
        let units = units.abs();
        if places == 0 {
            return format!("{sign}{units}°");
        }
        format!("{sign}{}.{:0width$}°", units / scale, units % scale, width = places as usize)
    }

    /// Degrees and minutes as on a rotary table's rim: to the nearest minute, and with the
    /// seconds where the angle is a whole number of them, as it is on a table that reads
    /// finer.
    pub fn degrees_minutes(self) -> String {
        let seconds = self.degrees * 3600;
        let whole = seconds.is_integer();
        let seconds = if whole { seconds.to_integer() } else { (seconds / 60).round().to_integer() * 60 };
        let sign = if seconds < 0 { "-" } else { "" };
        let seconds = seconds.abs();
        let minutes = format!("{sign}{}° {:02}′", seconds / 3600, seconds / 60 % 60);
        match seconds % 60 {
            0 => minutes,
            rest => format!("{minutes} {rest:02}″"),
        }
    }
}

/// Reads `32.5`, `32.5°`, `32 deg`, `32° 30'`, `32d 30m 15s`, `32°30′15″`, and a slope
/// as its angle: `1 in 12` rises one for every twelve along.
///
/// # Errors
///
/// A [`Problem`] quoting the text; minutes and seconds must be under sixty.
pub fn read_angle(text: &str) -> Result<Angle, Problem> {
    let cannot = |why: &str| {
        Problem::new(format!("cannot read `{}` as an angle", text.trim()))
            .why(why)
            .mend("write degrees such as `32.5`, or degrees and minutes such as `32° 30'`")
    };
    let (negative, body) = match text.trim().strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text.trim()),
    };
    if let Some((rise, run)) = body.split_once(" in ") {
        let [rise, run] = [rise, run].map(|number| read_plain(number.trim()));
        let (Some(rise), Some(run)) = (rise, run) else { return Err(cannot("the slope is not two numbers")) };
        if run == Ratio::from_integer(0) {
            return Err(cannot("a slope runs along some way"));
        }
        let slope = slope(rise / run);
        return Ok(if negative { -slope } else { slope });
    }
    let spaced: String = body
        .replace("degrees", "°")
        .replace("deg", "°")
        .chars()
        .map(|c| match c {
            '°' | 'd' => " d ".to_owned(),
            '\'' | '′' | 'm' => " m ".to_owned(),
            '"' | '″' | 's' => " s ".to_owned(),
            other => other.to_string(),
        })
        .collect();
    let mut total = Ratio::from_integer(0);
    let mut pending: Option<Ratio<i128>> = None;
    let mut rank = 0;
    for word in spaced.split_whitespace() {
        let (unit_rank, size) = match word {
            "d" => (1, 1),
            "m" => (2, 60),
            "s" => (3, 3600),
            number => {
                if pending.is_some() {
                    return Err(cannot("two numbers stand side by side with no mark between them"));
                }
                pending = Some(read_plain(number).ok_or_else(|| cannot("it is not a number"))?);
                continue;
            }
        };
        let value = pending.take().ok_or_else(|| cannot("a mark has no number before it"))?;
        if unit_rank <= rank {
            return Err(cannot("degrees, minutes and seconds go in that order, once each"));
        }
        if unit_rank > 1 && value >= Ratio::from_integer(60) {
            return Err(cannot("minutes and seconds are less than sixty"));
        }
        rank = unit_rank;
        total += value / size;
    }
    match pending {
        Some(value) if rank == 0 => total += value,
        Some(_) => return Err(cannot("the last number has no mark")),
        None if rank == 0 => return Err(cannot("there is no number in it")),
        None => {}
    }
    Ok(Angle { degrees: if negative { -total } else { total } })
}

/// The angle of a slope, to a million-millionth of a degree.
fn slope(rise: Ratio<i128>) -> Angle {
    let rad = (*rise.numer() as f64).atan2(*rise.denom() as f64);
    Angle::ratio((rad.to_degrees() * 1e12).round() as i128, 1_000_000_000_000)
}

/// Digits with at most one point, nine digits a side at most.
fn read_plain(text: &str) -> Option<Ratio<i128>> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |s: &str| s.len() <= 9 && s.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || !digits(part) || (whole.is_empty() && part.is_empty()) {
        return None;
    }
    let whole: i128 = if whole.is_empty() { 0 } else { whole.parse().ok()? };
    let top: i128 = if part.is_empty() { 0 } else { part.parse().ok()? };
    Some(Ratio::from_integer(whole) + Ratio::new(top, 10_i128.pow(part.len() as u32)))
}

/// The shortest exact decimal, or four decimals, then `°`.
impl fmt::Display for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let exact_at = (0..=4).find(|&p| (self.degrees * 10_i128.pow(p)).is_integer());
        f.write_str(&self.decimals(exact_at.unwrap_or(4)))
    }
}

impl Add for Angle {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { degrees: self.degrees + other.degrees }
    }
}

impl Sub for Angle {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { degrees: self.degrees - other.degrees }
    }
}

impl Neg for Angle {
    type Output = Self;
    fn neg(self) -> Self {
        Self { degrees: -self.degrees }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_read_as_written() {
        for (text, degrees) in [
            ("32.5", Angle::ratio(65, 2)),
            ("32.5°", Angle::ratio(65, 2)),
            ("32 deg", Angle::degrees(32)),
            ("32° 30'", Angle::ratio(65, 2)),
            ("32d30m36s", Angle::ratio(3251, 100)),
            ("-7° 30′", Angle::ratio(-15, 2)),
            ("1 in 1", Angle::degrees(45)),
            ("-1 in 1", Angle::degrees(-45)),
            ("51° 25' 42.9\"", Angle::degrees(51) + Angle::ratio(25, 60) + Angle::ratio(429, 36_000)),
        ] {
            assert_eq!(read_angle(text).unwrap(), degrees, "{text}");
        }
    }

    #[test]
    fn what_is_no_angle_is_refused() {
        for text in
            ["", "°", "30 20", "30' 20°", "30° 61'", "x", "30° 20", "1..2", "1 in", "1 in 0", "1 in x"]
        {
            assert!(read_angle(text).unwrap_err().remedy().is_some(), "{text}");
        }
    }

    #[test]
    fn directions_wrap_into_one_turn() {
        assert_eq!(Angle::degrees(-90).within_turn(), Angle::degrees(270));
        assert_eq!(Angle::degrees(720).within_turn(), Angle::degrees(0));
        assert_eq!(Angle::ratio(65, 2).degrees_minutes(), "32° 30′");
    }
}
