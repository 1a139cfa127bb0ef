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

/// What a dial or instrument is marked in, and the decimals that its step has.
struct Marked {
    unit: &'static str,
    /// How much of the unit a millimetre is.
    each: Ratio<i128>,
    places: u32,
}

/// Decimals at which a ratio ends, four at most.
fn ends_at(ratio: Ratio<i128>) -> Option<u32> {
    (0..=4).find(|&p| (ratio * 10_i128.pow(p)).is_integer())
}

impl Marked {
    fn in_mm(step: Length) -> Self {
        Self { unit: "mm", each: Ratio::from_integer(1), places: ends_at(step.ratio()).unwrap_or(4) }
    }

    /// In inches where the step is said in fewer figures so: 0.001 in is no dial of 0.0254 mm.
    fn by(step: Length) -> Self {
        let figures = |ratio: Ratio<i128>, places: u32| {
            (ratio * 10_i128.pow(places)).to_integer().to_string().trim_end_matches('0').len()
        };
        let (in_mm, inch) = (Self::in_mm(step), Ratio::new(5, 127));
        let (mm, inches) = (step.ratio(), step.ratio() * inch);
        match ends_at(inches) {
            Some(places) if figures(inches, places) < figures(mm, in_mm.places) => {
                Self { unit: "in", each: inch, places }
            }
            // A rule in sixty-fourths: no decimal of either ends within four places.
            None if ends_at(mm).is_none() && step.as_inch_fraction().is_some() => {
                Self { unit: "in", each: inch, places: 3 }
            }
            _ => in_mm,
        }
    }

    fn all(&self, lengths: impl IntoIterator<Item = Length>, between: &str) -> String {
        let bare = |length: Length| length.scaled(self.each).decimals(self.places);
        let each: Vec<String> = lengths.into_iter().map(bare).collect();
        format!("{} {}", each.join(between), self.unit)
    }
}

/// A length as it is set on a readout: as many decimals as the step has, then `mm`, which every
/// readout shows at a press.
pub(crate) fn set_mm(length: Length, step: Length) -> String {
    each_mm([length], step)
}

/// Lengths as they are set one after the other on a readout, then `mm`: `0.5, 1.0, 1.4 mm`.
pub(crate) fn each_mm(lengths: impl IntoIterator<Item = Length>, step: Length) -> String {
    Marked::in_mm(step).all(lengths, ", ")
}

/// A length as a dial or instrument shows it: in what its step is marked in.
pub(crate) fn as_set(length: Length, step: Length) -> String {
    set_each([length], step)
}

/// Whether a dial or instrument of such a step is marked in inches.
pub(crate) fn in_inches(step: Length) -> bool {
    Marked::by(step).unit == "in"
}

/// Lengths as a dial shows them one after the other, then the unit.
pub(crate) fn set_each(lengths: impl IntoIterator<Item = Length>, step: Length) -> String {
    Marked::by(step).all(lengths, ", ")
}

/// From one length to another as an instrument shows them, then the unit.
pub(crate) fn set_span([least, greatest]: [Length; 2], step: Length) -> String {
    Marked::by(step).all([least, greatest], " to ")
}

/// A length to a thousandth of a millimetre at most, then `mm`.
pub(crate) fn mm(length: Length) -> String {
    format!("{} mm", length.shown(3))
}

/// A tool or bar by the size it was bought by: 3/16 in where it is so many sixty-fourths and no whole
/// millimetres, which no metric one is.
pub(crate) fn bought_as(size: Length) -> String {
    let metric = size.ratio().is_integer();
    size.as_inch_fraction().filter(|_| !metric).map_or_else(|| mm(size), |inches| format!("{inches} in"))
}

/// How many of something, in words that agree: `1 turn`, `2 turns`.
pub(crate) fn counted(count: impl Into<i128>, one: &str) -> String {
    match count.into() {
        1 => format!("1 {one}"),
        many => format!("{many} {one}s"),
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Every size from a hundredth of a millimetre to 30 mm, and every sixty-fourth to 3 in: none is taken
    /// for the other, but for the 2 1/2 in that is 63.5 mm.
    #[test]
    fn a_tool_is_called_as_it_was_bought() {
        assert_eq!(bought_as(Length::inches(3, 16)), "3/16 in");
        assert_eq!(bought_as(Length::inches(5, 2)), "2 1/2 in");
        assert_eq!(bought_as(Length::inches(5, 1)), "127 mm");
        for hundredths in (5..=3000).filter(|n| n % 5 == 0) {
            let inch = (hundredths * 64) % 2540 == 0;
            let name = bought_as(Length::microns(hundredths * 10));
            assert_eq!(name.ends_with(" in"), inch, "{name}");
        }
        for sixty_fourths in 1..=192 {
            assert!(bought_as(Length::inches(sixty_fourths, 64)).ends_with(" in"), "{sixty_fourths}/64");
        }
    }

    /// 0.033 in is 0.8382 mm; a dial in hundredths of a millimetre stays in millimetres.
    #[test]
    fn a_dial_in_thousandths_of_an_inch_is_told_in_inches() {
        let cut = Length::mm_ratio(8382, 10_000);
        assert_eq!(as_set(cut, Length::thou(1)), "0.033 in");
        assert_eq!(as_set(Length::mm_ratio(254, 10), Length::inches(1, 2000)), "1.0000 in");
        assert_eq!(as_set(cut, Length::mm_ratio(2, 100)), "0.84 mm");
        assert_eq!(as_set(cut, Length::microns(5)), "0.838 mm");
        assert_eq!(set_mm(Length::mm_ratio(254, 10), Length::inches(1, 2000)), "25.4000 mm");
        assert_eq!(set_span([Length::thou(8), Length::thou(11)], Length::thou(1)), "0.008 to 0.011 in");
        assert_eq!(set_each([Length::thou(8), Length::thou(11)], Length::thou(1)), "0.008, 0.011 in");
    }
}
