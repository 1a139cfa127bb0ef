//! Sizes to check, as what is owned shows them: in inches too where that is in inches.

use super::job::Setup;
use crate::measure::Length;
use crate::settings::show::{as_set, in_inches, mm, set_span};
use crate::tables::instruments::Across;

impl Setup<'_> {
    /// The step of the finest instrument listed that measures so much outside, where it is in inches.
    fn inch_step(&self, size: Length) -> Option<Length> {
        let owned = self.job.bench.instruments.iter().flatten();
        let taking = owned.filter(|one| one.takes(Across::Outside, size));
        taking.map(|one| one.step).min().filter(|&step| in_inches(step))
    }

    /// A size that a row asks to be checked.
    pub fn checked(&self, size: Length) -> String {
        match self.inch_step(size) {
            Some(step) => format!("{} ({})", mm(size), as_set(size, step)),
            None => mm(size),
        }
    }

    /// What an indicator shows, in its own unit.
    pub fn indicated(&self, size: Length) -> String {
        let owned = self.job.bench.instruments.iter().flatten();
        let step = owned.filter(|one| one.kind.name == "indicator").map(|one| one.step).min();
        step.filter(|&step| in_inches(step)).map_or_else(|| mm(size), |step| as_set(size, step))
    }

    /// The limits of one.
    pub fn checked_between(&self, [least, greatest]: [Length; 2]) -> String {
        let plain = format!("{} to {}", least.decimals(3), greatest.decimals(3));
        match self.inch_step(greatest) {
            // Limits are nearer than thousandths.
            Some(_) => format!("{plain} ({})", set_span([least, greatest], Length::inches(1, 10_000))),
            None => plain,
        }
    }
}
