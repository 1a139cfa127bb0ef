//! Reaming: the allowance and the drill that leaves it.

use super::show::{mm, positive, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::drills::Drill;
use crate::tables::materials::Material;
use crate::why::{Figure, Why};

/// Who drives the reamer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drive {
    /// The machine.
    Machine,
    /// A tap wrench.
    Hand,
}

/// The least and the most to leave, on the diameter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Allowance {
    /// Less than this and the reamer rubs.
    pub least: Length,
    /// More than this and it chatters or clogs.
    pub most: Length,
    /// The rule.
    pub why: Why,
}

/// How a hole is drilled and reamed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reaming {
    /// The finished size.
    pub size: Length,
    /// The drill before the reamer.
    pub drill: Drill,
    /// What it leaves on the diameter.
    pub left: Length,
    /// What it should leave.
    pub allowance: Allowance,
    /// True to the allowance, or not.
    pub fit: Fit,
}

/// How the best drill owned stands to the allowance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Within it.
    Within,
    /// It leaves too much: bore or step up before reaming.
    TooMuchLeft,
}

/// What is drilled under an inch reamer of so much at most: common practice, as drills of an inch set
/// rise by it.
const SIXTY_FOURTH: Length = Length::from_ratio(num_rational::Ratio::new_raw(254, 640));

/// What to leave for a reamer in the machine, on the diameter: least and most.
///
/// Published training table: 0.1 to 0.2 mm up to 5 mm, 0.2 to 0.3 to 20 mm, 0.3 to 0.5 above; half as
/// much again in light alloy. Inch reamers from a quarter to half an inch bear a sixty-fourth.
pub fn left_by_the_drill(size: Length, light_alloy: bool) -> (Length, Length) {
    let (least, most) = match size {
        s if s <= Length::mm(5) => (100, 200),
        s if s <= Length::mm(20) => (200, 300),
        _ => (300, 500),
    };
    let share = if light_alloy { 3 } else { 2 };
    let [least, most] = [least, most].map(|microns| Length::microns(microns) * share / 2);
    (least, if by_sixty_fourths(size) { most.max(SIXTY_FOURTH) } else { most })
}

/// Whether a reamer is one of an inch set that follows drills by sixty-fourths.
fn by_sixty_fourths(size: Length) -> bool {
    let whole = size.ratio_to(SIXTY_FOURTH).is_integer();
    whole && (Length::inches(1, 4)..=Length::inches(1, 2)).contains(&size)
}

/// What to leave for a reamer, on the diameter.
pub fn allowance(size: Length, material: &Material, drive: Drive) -> Allowance {
    const TRAINING: &str = "workshop training table for reaming";
    let (least, most) = match drive {
        Drive::Hand => (Length::mm_ratio(5, 100), Length::mm_ratio(10, 100)),
        Drive::Machine => left_by_the_drill(size, material.is_light()),
    };
    let band = |what: &str| format!("{what} for {}: {} to {} on the diameter", mm(size), mm(least), mm(most));
    let why = match drive {
        Drive::Hand => practice(band("reaming by hand")),
        Drive::Machine => Why::new(band("machine reaming")).source(TRAINING),
    };
    let machine = drive == Drive::Machine;
    let why = match machine && material.is_light() {
        true => why.because(
            Why::new(format!("half as much again in {} as in other metals", material.name)).source(TRAINING),
        ),
        false => why,
    };
    let why = match machine && most == SIXTY_FOURTH {
        true => why.because(practice(
            "a sixty-fourth is the step of inch drills, and inch reamers up to half an inch bear it",
        )),
        false => why,
    };
    Allowance { least, most, why }
}

/// Chooses the drill before a reamer: the largest owned that leaves the least
/// allowance.
///
/// # Errors
///
/// A [`Problem`] when the size is not more than nought or no drill owned is
/// smaller than the hole.
pub fn reaming(
    size: Length,
    drills: &[Drill],
    material: &Material,
    drive: Drive,
) -> Result<Reaming, Problem> {
    positive(size, "finished size")?;
    let allowance = allowance(size, material, drive);
    let fits = |drill: &&Drill| drill.diameter + allowance.least <= size;
    let Some(drill) = drills.iter().filter(fits).max_by_key(|drill| drill.diameter) else {
        return Err(Problem::new(format!("no drill owned goes before a {} reamer", mm(size)))
            .why(format!("the reamer needs at least {} to cut", mm(allowance.least)))
            .mend(format!(
                "buy a drill of {} to {}",
                mm(size - allowance.most),
                mm(size - allowance.least)
            )));
    };
    let left = size - drill.diameter;
    let fit = if left <= allowance.most { Fit::Within } else { Fit::TooMuchLeft };
    Ok(Reaming { size, drill: drill.clone(), left, allowance, fit })
}

impl Reaming {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let chosen = practice("the largest drill owned that leaves the reamer enough to cut")
            .because(self.allowance.why.clone());
        let left = match self.fit {
            Fit::Within => self.allowance.why.clone(),
            Fit::TooMuchLeft => practice(format!(
                "more than the reamer should take, {}: bore the hole to within it first, or buy a nearer drill",
                mm(self.allowance.most)
            ))
            .because(self.allowance.why.clone()),
        };
        vec![
            Figure::new("drill before reaming", self.drill.name.clone(), chosen),
            Figure::new("left for the reamer", mm(self.left), left),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::{drills, materials};

    fn ream(size: Length, names: &[&str], material: &str) -> Result<Reaming, Problem> {
        let owned: Vec<Drill> = names.iter().map(|n| drills::find(n).unwrap().clone()).collect();
        reaming(size, &owned, materials::find(material).unwrap(), Drive::Machine)
    }

    /// Practitioners drill 2.9, 4.85 and 7.8 for 3, 5 and 8 (a forum's figures); 4.85 is not sold.
    #[test]
    fn the_drill_agrees_with_what_practitioners_use() {
        let rack = ["2.8 mm", "2.9 mm", "4.8 mm", "4.9 mm", "7.7 mm", "7.8 mm", "7.9 mm"];
        for (size, drill) in [(3, "2.9 mm"), (5, "4.9 mm"), (8, "7.8 mm")] {
            let found = ream(Length::mm(size), &rack, "mild steel").unwrap();
            assert_eq!((found.drill.name.as_str(), found.fit), (drill, Fit::Within));
        }
        assert_eq!(ream(Length::mm(8), &rack, "aluminium alloy").unwrap().drill.name, "7.7 mm");
    }

    /// A set of drills by sixty-fourths has none nearer to 3/8 in than 23/64 in.
    #[test]
    fn an_inch_reamer_follows_the_drill_a_sixty_fourth_under() {
        let found = ream(Length::inches(3, 8), &["11/32 in", "23/64 in", "3/8 in"], "mild steel").unwrap();
        assert_eq!((found.drill.name.as_str(), found.fit), ("23/64 in", Fit::Within));
        let metric = ream(Length::mm(10), &["9.6 mm"], "mild steel").unwrap();
        assert_eq!(metric.fit, Fit::TooMuchLeft);
    }

    /// At 5 mm the training table's first band still holds: 0.1 to 0.2.
    #[test]
    fn five_is_left_as_little_as_less_than_five() {
        assert_eq!(left_by_the_drill(Length::mm(5), false), (Length::microns(100), Length::microns(200)));
        assert_eq!(left_by_the_drill(Length::mm(8), true), (Length::microns(300), Length::microns(450)));
    }

    #[test]
    fn a_gap_in_the_rack_is_said() {
        let found = ream(Length::mm(8), &["7 mm"], "mild steel").unwrap();
        assert_eq!((found.fit, found.left), (Fit::TooMuchLeft, Length::mm(1)));
        let none = ream(Length::mm(8), &["8 mm"], "mild steel").unwrap_err();
        assert_eq!(none.remedy(), Some("buy a drill of 7.7 mm to 7.8 mm"));
    }
}
