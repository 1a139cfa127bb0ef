//! Sizes and ranges of sizes: `6 mm`, `1 mm to 6 mm by 0.1 mm`, `numbers 1 to 60`.

use crate::measure::{Length, Unit, read_length};
use crate::problem::Problem;
use crate::tables::drills::{self, Drill, DrillSeries};
use crate::tables::{Source, Standing};

/// Most sizes that one range may name.
const MOST_IN_RANGE: i64 = 500;

pub(super) fn positive(length: Length, text: &str) -> Result<Length, Problem> {
    if length.is_positive() {
        Ok(length)
    } else {
        Err(Problem::new(format!("`{text}` is not more than nought")).mend("write the size it has"))
    }
}

/// `6 mm`, or `1 mm to 6 mm by 0.1 mm`.
pub(super) fn read_range(text: &str) -> Result<Vec<Length>, Problem> {
    let Some((first, rest)) = text.split_once(" to ") else {
        return Ok(vec![positive(read_length(text, None)?.length, text)?]);
    };
    let such_as = "write a range such as `1 mm to 6 mm by 0.1 mm`";
    let Some((last, step)) = rest.split_once(" by ") else {
        return Err(Problem::new(format!("`{text}` does not say in what steps")).mend(such_as));
    };
    // The unit may stand once, at the end of the first, the last or the step.
    let unit = [first, last, step].into_iter().find_map(|part| read_length(part, None).ok()).map(|w| w.unit);
    let read = |part: &str| read_length(part, unit).and_then(|w| positive(w.length, part));
    let (first, last, step) = (read(first)?, read(last)?, read(step)?);
    let steps = (last - first).ratio_to(step).floor().to_integer();
    if last < first || steps >= MOST_IN_RANGE.into() {
        return Err(Problem::new(format!("the range `{text}` has no sizes, or too many")).mend(such_as));
    }
    Ok((0..=steps as i64).map(|n| first + step * n).collect())
}

/// The pitch of a thread: `1.5 mm`, `1/8 in`, or `11 1/2 tpi` by its threads to the inch.
///
/// # Errors
///
/// A [`Problem`] when it is neither, or not more than nought.
pub fn read_pitch(text: &str) -> Result<Length, Problem> {
    let lower = text.trim().to_lowercase();
    let counted = ["tpi", "t.p.i.", "threads to the inch"].iter().find_map(|word| lower.strip_suffix(word));
    let Some(count) = counted else {
        return positive(read_length(text, None)?.length, text);
    };
    let count = positive(read_length(count, Some(Unit::Mm))?.length, text)?.ratio();
    Ok(Length::inches(*count.denom(), *count.numer()))
}

/// What a motor gives: `750 W`, `0.75 kW` or `1 hp`, to the watt.
///
/// One horsepower is 745.7 W (550 ft lbf a second).
///
/// # Errors
///
/// A [`Problem`] when it is none of these, or not from 1 W to 100 kW.
pub(super) fn read_power(text: &str) -> Result<u32, Problem> {
    let lower = text.trim().to_lowercase();
    let units = [("kw", 1000.0), ("hp", 745.7), ("w", 1.0)];
    let found = units.iter().find_map(|(unit, watts)| Some((lower.strip_suffix(unit)?, *watts)));
    let read = found.and_then(|(count, watts)| Some(count.trim().parse::<f64>().ok()? * watts));
    match read.filter(|watts| (1.0..=100_000.0).contains(watts)) {
        Some(watts) => Ok(watts.round() as u32),
        None => Err(Problem::new(format!("`{text}` is not the power of a motor"))
            .why("it is a number of watts, kilowatts or horsepower from 1 W to 100 kW")
            .mend("write it as its plate has it, such as `750 W`, `0.75 kW` or `1 hp`")),
    }
}

/// A drill by name, a range of metric drills, or a range of number drills.
pub(super) fn read_drills(text: &str) -> Result<Vec<Drill>, Problem> {
    let lower = text.trim().to_ascii_lowercase();
    if let Some((first, last)) = lower.strip_prefix("numbers ").and_then(|rest| rest.split_once(" to ")) {
        return match (first.trim().parse::<u32>(), last.trim().parse::<u32>()) {
            (Ok(first), Ok(last)) if 1 <= first && first <= last && last <= 80 => {
                (first..=last).map(|n| drills::find(&format!("No. {n}")).cloned()).collect()
            }
            _ => Err(Problem::new(format!("`{text}` is no range of number drills"))
                .mend("write such as `numbers 1 to 60`")),
        };
    }
    if lower == "letters" {
        return ('A'..='Z').map(|letter| drills::find(&format!("letter {letter}")).cloned()).collect();
    }
    if lower.contains(" to ") {
        let sizes = read_range(text)?.into_iter();
        return Ok(sizes.map(if in_inches(&lower) { fraction_drill } else { metric_drill }).collect());
    }
    match drills::find(text) {
        Ok(drill) => Ok(vec![drill.clone()]),
        // A size that no standard step has may still be owned.
        Err(fault) => match read_length(text, None) {
            Ok(written) if written.unit == Unit::Mm && written.length.is_positive() => {
                Ok(vec![metric_drill(written.length)])
            }
            _ => Err(fault),
        },
    }
}

/// Whether a range is given in inches.
fn in_inches(range: &str) -> bool {
    let parts = range.split(" to ").flat_map(|part| part.split(" by "));
    parts.filter_map(|part| read_length(part, None).ok()).any(|written| written.unit == Unit::Inch)
}

/// A drill of sixty-fourths by its fraction, as it is sold.
fn fraction_drill(diameter: Length) -> Drill {
    let fraction = diameter.as_inch_fraction().and_then(|inches| drills::find(&format!("{inches} in")).ok());
    fraction.cloned().unwrap_or_else(|| metric_drill(diameter))
}

/// A metric drill as the bench file gives it, whether or not a standard lists it.
pub(super) fn metric_drill(diameter: Length) -> Drill {
    Drill {
        name: diameter.to_string(),
        diameter,
        series: DrillSeries::Metric,
        source: Source { published: "the bench file".into(), standing: Standing::Published },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One horsepower is 550 ft lbf a second, 745.7 W: NIST SP 811 (2008), Appendix B.
    #[test]
    fn the_power_of_a_motor_is_read_as_its_plate_has_it() {
        let read = |text: &str| read_power(text).ok();
        assert_eq!(
            ["750 W", "0.75 kW", "0.75kw", "1 hp"].map(read),
            [Some(750), Some(750), Some(750), Some(746)]
        );
        for wrong in ["", "750", "1/2 hp", "-1 kW", "0 W", "NaN kW", "inf kW", "1e9 kW"] {
            let fault = read_power(wrong).unwrap_err();
            assert!(fault.reason().is_some() && fault.remedy().is_some(), "{wrong}");
        }
    }
}
