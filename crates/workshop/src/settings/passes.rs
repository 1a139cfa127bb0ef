//! Depth of cut: equal passes, the finishing allowance, and the cutter's reach.

use super::position::rounding;
use super::show::{fewest, geometry, mm, positive, practice, set_mm};
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;
use crate::tables::materials::Material;
use crate::why::{Figure, Why};

/// How a milling cutter meets the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    /// A slot as wide as the cutter.
    Slot,
    /// Roughing with the side.
    SideRoughing,
    /// The last pass with the side.
    SideFinishing,
    /// Facing, with a fly cutter or a face mill.
    Facing,
}

/// The greatest bite a small mill takes with a high-speed steel cutter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bite {
    /// Along the cutter's axis; none where only the flute limits it.
    pub axial: Option<Length>,
    /// Square to the axis.
    pub radial: Length,
    /// The rule.
    pub why: Why,
}

/// A depth taken in equal passes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Passes {
    /// The whole depth.
    pub depth: Length,
    /// The greatest depth of one pass.
    pub greatest: Length,
    /// Depths below the face, pass by pass, the finishing pass last.
    pub depths: Vec<Rounded>,
    /// What the finishing pass takes; nought when there is none.
    pub finish: Length,
    /// The step of the readout or dial.
    pub step: Length,
}

/// The specific cutting force, in N/mm², below which a metal counts as soft
/// here: brass, gunmetal and aluminium lie below, bronze, iron and steel above.
const SOFT_BELOW_N_PER_MM2: u32 = 1000;

/// The greatest bite for a cut, by common practice on a small mill.
pub fn greatest_bite(cut: Cut, cutter: Length, material: &Material) -> Bite {
    let soft = material.cutting_force.kc11_n_per_mm2 < SOFT_BELOW_N_PER_MM2;
    let (axial, radial, rule) = match cut {
        Cut::Slot => {
            let share = if soft { cutter / 2 } else { cutter / 4 };
            let (axial, rule) = if cutter < Length::mm(3) {
                (
                    share.half(),
                    "a slot a quarter of the cutter deep, half in soft metal; half of that below 3 mm",
                )
            } else {
                (share, "a slot a quarter of the cutter deep, half in soft metal")
            };
            (Some(axial), cutter, rule)
        }
        Cut::SideRoughing => (Some(cutter), cutter / 4, "as deep as the cutter, a quarter of it wide"),
        Cut::SideFinishing => (None, Length::mm_ratio(2, 10), "the full depth, 0.1 to 0.2 mm wide"),
        Cut::Facing => {
            (Some(Length::mm_ratio(5, 10)), cutter * 2 / 3, "0.2 to 0.5 mm, two thirds of the cutter wide")
        }
    };
    Bite { axial, radial, why: practice(format!("in {}: {rule}", material.name)) }
}

/// Divides a depth into the fewest equal passes, a finishing pass after them.
///
/// Each depth is worked from the face and rounded once, so the last is exact to
/// the step and no error adds up. What is left for the last is a step at least: less could
/// not be set.
///
/// # Errors
///
/// A [`Problem`] when the depth, the greatest pass or the step is not more than
/// nought, or the finishing allowance takes more than the whole depth.
pub fn passes(depth: Length, greatest: Length, finish: Length, step: Length) -> Result<Passes, Problem> {
    positive(depth, "depth")?;
    positive(greatest, "greatest depth of a pass")?;
    positive(step, "step of the readout")?;
    if finish < Length::ZERO || finish >= depth {
        return Err(Problem::new(format!(
            "a finishing allowance of {} does not fit a depth of {}",
            mm(finish),
            mm(depth)
        ))
        .mend("give an allowance less than the depth, or none"));
    }
    let finish = if finish.is_positive() && step < depth { finish.max(step) } else { finish };
    let rough = depth - finish;
    let count = fewest(rough, greatest)?;
    let mut depths: Vec<Rounded> =
        (1..=count).map(|i| (rough * i / count).rounded(step, Toward::Nearest)).collect();
    if finish.is_positive() {
        depths.push(depth.rounded(step, Toward::Nearest));
    }
    Ok(Passes { depth, greatest, depths, finish, step })
}

/// Checks that a cutter reaches: its flutes for the metal in contact, its
/// stick-out for the whole depth below what the holder would foul.
///
/// # Errors
///
/// A [`Problem`] saying by how much it is short.
pub fn check_reach(depth: Length, flute_length: Length, stick_out: Length) -> Result<(), Problem> {
    let reach = flute_length.min(stick_out);
    if depth <= reach {
        return Ok(());
    }
    let (part, length) =
        if flute_length <= stick_out { ("flutes", flute_length) } else { ("stick-out", stick_out) };
    Err(Problem::new(format!("the cutter does not reach {}", mm(depth)))
        .why(format!("its {part} are {}, {} short", mm(length), mm(depth - reach)))
        .mend("use a longer cutter, or cut from both sides"))
}

impl Passes {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let rough = self.depths.len() - usize::from(self.finish.is_positive());
        let equal = geometry(format!(
            "{} in {rough} equal passes of at most {}",
            mm(self.depth - self.finish),
            mm(self.greatest)
        ));
        let each = |(i, depth): (usize, &Rounded)| {
            let why = if i < rough {
                equal.clone().because(rounding(*depth, self.step))
            } else {
                practice(format!("the last {} is left for a light finishing pass", mm(self.finish)))
                    .because(rounding(*depth, self.step))
            };
            Figure::new(format!("depth of pass {}", i + 1), set_mm(depth.value, self.step), why)
        };
        self.depths.iter().enumerate().map(each).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::materials;
    use proptest::prelude::*;

    #[test]
    fn a_step_is_taken_in_equal_passes_and_finished() {
        let found =
            passes(Length::mm(5), Length::mm_ratio(15, 10), Length::mm_ratio(2, 10), Length::microns(5))
                .unwrap();
        let shown: Vec<String> = found.figures().into_iter().map(|f| f.shown).collect();
        assert_eq!(shown, ["1.200 mm", "2.400 mm", "3.600 mm", "4.800 mm", "5.000 mm"]);
    }

    /// By hand: 8 mm is 31.5 of 0.254 mm, an inch in a hundred; the last pass is one of them.
    #[test]
    fn the_last_pass_is_one_that_can_be_set() {
        let step = Length::microns(254);
        let found = passes(Length::mm(8), Length::mm_ratio(16, 10), Length::mm_ratio(1, 10), step).unwrap();
        let depths: Vec<Length> = found.depths.iter().map(|depth| depth.value).collect();
        assert!(depths.windows(2).all(|pair| pair[0] < pair[1]), "{depths:?}");
        assert_eq!(depths[depths.len() - 2..], [step * 30, step * 31]);
    }

    #[test]
    fn soft_metal_and_small_cutters_change_the_bite() {
        let axial = |name: &str, d| {
            greatest_bite(Cut::Slot, Length::mm(d), materials::find(name).unwrap()).axial.unwrap()
        };
        assert_eq!(axial("mild steel", 8), Length::mm(2));
        assert_eq!(axial("brass", 8), Length::mm(4));
        assert_eq!(axial("mild steel", 2), Length::mm_ratio(1, 4));
    }

    #[test]
    fn a_cutter_too_short_says_by_how_much() {
        let fault = check_reach(Length::mm(20), Length::mm(13), Length::mm(25)).unwrap_err();
        assert!(fault.reason().unwrap().contains("flutes are 13 mm, 7 mm short"), "{fault}");
        assert!(check_reach(Length::mm(13), Length::mm(13), Length::mm(25)).is_ok());
        assert!(passes(Length::mm(1), Length::mm(1), Length::mm(1), Length::microns(5)).is_err());
        assert!(passes(Length::mm(1), Length::ZERO, Length::ZERO, Length::microns(5)).is_err());
    }

    proptest! {
        /// No pass is deeper than allowed, one fewer would be, and all end at the depth.
        #[test]
        fn passes_are_few_and_none_too_deep(depth in 100i64..40_000, greatest in 100i64..5000, finish in 0i64..99) {
            let (depth, greatest, finish) = (Length::microns(depth), Length::microns(greatest), Length::microns(finish));
            let step = Length::microns(1);
            let found = passes(depth, greatest, finish, step).unwrap();
            let mut above = Length::ZERO;
            for level in &found.depths {
                prop_assert!(level.value - above <= greatest.max(finish) + step);
                above = level.value;
            }
            prop_assert_eq!(above, depth);
            let rough = found.depths.len() as i64 - i64::from(finish.is_positive());
            prop_assert!(greatest * (rough - 1) < depth - finish);
        }
    }
}
