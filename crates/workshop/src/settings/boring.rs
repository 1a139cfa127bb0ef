//! Boring a hole to size: cuts on the diameter, the last two alike.

use super::show::{as_set, fewest, in_inches, mm, positive, practice};
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;
use crate::why::Figure;

/// A hole to be bored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bore {
    /// As drilled.
    pub drilled: Length,
    /// As finished.
    pub finished: Length,
    /// The most to take off the diameter in one cut.
    pub greatest_cut: Length,
    /// What the two last cuts take off the diameter, each.
    pub finishing_cut: Length,
    /// Step of the boring head's dial, on the diameter.
    pub step: Length,
}

/// The diameters to bore, one after another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Boring {
    /// The hole asked for.
    pub bore: Bore,
    /// The diameter after each cut.
    pub diameters: Vec<Rounded>,
}

/// Works out the cuts: equal roughing cuts, then two equal finishing cuts. The
/// spring found in the first of those shows what the second will take.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or the drilled hole leaves
/// less than the finishing cuts.
pub fn boring(bore: Bore) -> Result<Boring, Problem> {
    for (size, name) in [
        (bore.drilled, "drilled hole"),
        (bore.finished, "finished bore"),
        (bore.greatest_cut, "greatest cut"),
        (bore.finishing_cut, "finishing cut"),
        (bore.step, "step of the dial"),
    ] {
        positive(size, name)?;
    }
    let roughed = bore.finished - bore.finishing_cut * 2;
    if roughed < bore.drilled {
        return Err(Problem::new(format!(
            "a hole drilled {} leaves too little to bore to {}",
            mm(bore.drilled),
            mm(bore.finished)
        ))
        .why(format!("the two finishing cuts take {}", mm(bore.finishing_cut * 2)))
        .mend("drill smaller, or finish with lighter cuts"));
    }
    let rough = roughed - bore.drilled;
    let count = fewest(rough, bore.greatest_cut)?;
    let exact = (1..=count)
        .map(|i| bore.drilled + rough * i / count)
        .chain([bore.finished - bore.finishing_cut, bore.finished]);
    let diameters = exact.map(|d| d.rounded(bore.step, Toward::Nearest)).collect();
    Ok(Boring { bore, diameters })
}

/// How many cuts a hole takes from its drill to its size, with the usual two to finish.
pub fn cuts_to(drilled: Length, finished: Length) -> u64 {
    let rough = (finished - drilled - finishing_cut() * 2).max(Length::ZERO);
    let cuts = rough.ratio_to(GREATEST).ceil().to_integer();
    u64::try_from(cuts).unwrap_or(0) + 2
}

/// The most that a light boring tool takes off the diameter in one cut, common practice.
pub const GREATEST: Length = Length::mm(1);

/// What each of the two last cuts takes off the diameter, common practice.
pub fn finishing_cut() -> Length {
    Length::microns(100)
}

/// More roughing cuts than these are told in one line.
const TOLD_EACH: usize = 6;

impl Boring {
    /// The rows of the sheet: the roughing cuts in one, the two last by themselves.
    pub fn figures(&self) -> Vec<Figure> {
        let rough = self.diameters.len() - 2;
        let step = self.bore.step;
        let (unit, by_inches) = if in_inches(step) { (" in", true) } else { (" mm", false) };
        let shown = |d: &Rounded| if by_inches { as_set(d.value, step) } else { mm(d.value) };
        let why = practice(format!("equal cuts of at most {} on the diameter", mm(self.bore.greatest_cut)));
        let roughing = match rough {
            0 => None,
            _ if rough > TOLD_EACH => {
                let each = (self.diameters[rough - 1].value - self.bore.drilled) / rough as i64;
                let each = each.rounded(self.bore.step, Toward::Less).value;
                let name =
                    format!("{rough} cuts of {} to", if by_inches { as_set(each, step) } else { mm(each) });
                Some(Figure::new(name, shown(&self.diameters[rough - 1]), why))
            }
            _ => {
                let all: Vec<String> = self.diameters[..rough].iter().map(shown).collect();
                // The unit once, behind the last.
                let (last, before) = all.split_last().expect("there is a roughing cut");
                let before = before.iter().map(|shown| format!("{}, ", shown.trim_end_matches(unit)));
                Some(Figure::new("bore to", before.collect::<String>() + last, why))
            }
        };
        let measure = practice("measure after this cut: what the bar sprang shows here");
        let last = practice("the last cut takes as much as the one before, so the bar springs alike");
        roughing
            .into_iter()
            .chain([
                Figure::new("then measure at", shown(&self.diameters[rough]), measure),
                Figure::new("last cut to", shown(&self.diameters[rough + 1]), last),
            ])
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bore() -> Bore {
        Bore {
            drilled: Length::mm(10),
            finished: Length::mm(12),
            greatest_cut: Length::mm_ratio(6, 10),
            finishing_cut: Length::mm_ratio(2, 10),
            step: Length::microns(10),
        }
    }

    #[test]
    fn the_last_two_cuts_are_alike_and_end_at_size() {
        let shown: Vec<String> = boring(bore()).unwrap().figures().into_iter().map(|f| f.shown).collect();
        // 1.6 to rough in three: nothing to a hundredth but the step.
        assert_eq!(shown, ["10.53, 11.07, 11.6 mm", "11.8 mm", "12 mm"]);
    }

    #[test]
    fn a_hole_drilled_too_large_is_refused() {
        let fault = boring(Bore { drilled: Length::mm_ratio(118, 10), ..bore() }).unwrap_err();
        assert!(fault.reason().unwrap().contains("0.4 mm"), "{fault}");
        assert_eq!(boring(Bore { drilled: Length::mm_ratio(116, 10), ..bore() }).unwrap().diameters.len(), 2);
        assert!(boring(Bore { greatest_cut: Length::ZERO, ..bore() }).is_err());
    }
}
