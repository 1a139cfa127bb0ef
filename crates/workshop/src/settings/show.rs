//! How settings show their numbers, and the two sources they share.

use num_rational::Ratio;

use crate::measure::{Angle, Length, Toward};
use crate::problem::Problem;
use crate::why::Why;

/// The source of a rule that workshops keep and no standard prints.
pub(crate) const COMMON_PRACTICE: &str = "common practice";

/// The source of a formula anyone can derive.
pub(crate) const GEOMETRY: &str = "elementary geometry";

/// A reason from common practice.
pub(crate) fn practice(statement: impl Into<String>) -> Why {
    Why::new(statement).source(COMMON_PRACTICE)
}

/// A reason from geometry.
pub(crate) fn geometry(statement: impl Into<String>) -> Why {
    Why::new(statement).source(GEOMETRY)
}

/// A length as it is set: as many decimals as the step has, then `mm`.
pub(crate) fn set_mm(length: Length, step: Length) -> String {
    let places = (0..=4).find(|&p| (step.ratio() * 10_i128.pow(p)).is_integer()).unwrap_or(4);
    format!("{} mm", length.decimals(places))
}

/// Lengths as they are set one after the other, then `mm`: `0.5, 1.0, 1.4 mm`.
pub(crate) fn set_each(lengths: impl IntoIterator<Item = Length>, step: Length) -> String {
    let each: Vec<String> = lengths.into_iter().map(|length| set_mm(length, step)).collect();
    let bare: Vec<&str> = each.iter().map(|one| one.trim_end_matches(" mm")).collect();
    format!("{} mm", bare.join(", "))
}

/// A length to a thousandth of a millimetre at most, then `mm`.
pub(crate) fn mm(length: Length) -> String {
    format!("{} mm", length.shown(3))
}

/// Degrees to three decimals, then degrees and minutes.
pub(crate) fn both_angles(angle: Angle) -> String {
    format!("{} ({})", angle.decimals(3), angle.degrees_minutes())
}

/// A calculated number to a few significant decimals, without trailing noughts.
pub(crate) fn number(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// An angle rounded to a whole number of a scale's divisions.
pub(crate) fn to_division(angle: Angle, division: Angle, toward: Toward) -> Angle {
    let steps: Ratio<i128> = angle.exact() / division.exact();
    let whole = match toward {
        Toward::Nearest => steps.round(),
        Toward::Less => steps.floor(),
        Toward::More => steps.ceil(),
    };
    let exact = division.exact() * whole;
    Angle::ratio(*exact.numer(), *exact.denom())
}

/// No machine here holds work of more than this; a longer size is a slip of the pen.
const LONGEST: Length = Length::mm(10_000);

/// The most passes or cuts that anyone will take.
const MOST_PASSES: i64 = 500;

/// Refuses a size that is not more than nought, or beyond any machine here.
pub(crate) fn positive(size: Length, name: &str) -> Result<(), Problem> {
    if !size.is_positive() {
        return Err(Problem::new(format!("the {name} is {size}"))
            .why("it must be more than nought")
            .mend(format!("give the {name} as measured")));
    }
    within_reach(size, name)
}

/// Refuses a place or size, of either sign, beyond any machine here.
pub(crate) fn within_reach(size: Length, name: &str) -> Result<(), Problem> {
    if size.abs() <= LONGEST {
        return Ok(());
    }
    Err(Problem::new(format!("the {name} is {size}"))
        .why(format!("no machine here takes more than {LONGEST}"))
        .mend("check the number and its unit"))
}

/// The fewest equal passes of at most `greatest` that make up `total`.
pub(crate) fn fewest(total: Length, greatest: Length) -> Result<i64, Problem> {
    let count = total.ratio_to(greatest).ceil().to_integer();
    match i64::try_from(count) {
        Ok(count) if count <= MOST_PASSES => Ok(count),
        _ => Err(Problem::new(format!("{} in cuts of {} takes {count} of them", mm(total), mm(greatest)))
            .why(format!("nobody takes more than {MOST_PASSES}"))
            .mend("allow deeper cuts, or check both sizes")),
    }
}

/// Refuses a calculated quantity that is not a number above nought.
pub(crate) fn positive_number(value: f64, name: &str) -> Result<(), Problem> {
    if value.is_finite() && value > 0.0 {
        return Ok(());
    }
    Err(Problem::new(format!("the {name} is {value}"))
        .why("it must be a number above nought")
        .mend(format!("correct the {name}")))
}
