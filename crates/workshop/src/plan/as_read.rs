//! Sizes to check, as what is owned shows them: in inches too where that is in inches.

use super::job::Setup;
use crate::measure::{Length, Toward};
use crate::settings::show::{as_set, in_inches, mm, set_span};
use crate::tables::instruments::Across;

/// The instruments that sizes are laid out and measured by.
const LENGTHS: [&str; 4] = ["caliper", "micrometer", "height gauge", "rule"];

impl Setup<'_> {
    /// The step of the finest instrument listed that measures so much outside, where it is in inches.
    fn inch_step(&self, size: Length) -> Option<Length> {
        let owned = self.job.bench.instruments.iter().flatten();
        let taking = owned.filter(|one| one.takes(Across::Outside, size));
        let finest = taking.map(|one| one.step).min();
        // What nothing listed takes is measured by something longer of the same make.
        finest.or_else(|| self.in_inches().then(|| Length::thou(1))).filter(|&step| in_inches(step))
    }

    /// Whether every caliper, micrometer, height gauge and rule that is listed is marked in inches.
    pub fn in_inches(&self) -> bool {
        let owned = self.job.bench.instruments.iter().flatten();
        let mut lengths = owned.filter(|one| LENGTHS.contains(&one.kind.name.as_str())).peekable();
        lengths.peek().is_some() && lengths.all(|one| in_inches(one.step))
    }

    /// A size that is scribed or laid out: in thousandths where everything is marked in inches.
    pub fn laid_out(&self, size: Length) -> String {
        if self.in_inches() { as_set(size, Length::thou(1)) } else { mm(size) }
    }

    /// A size that is not measured but seen, such as where a clamp stands.
    pub fn about(&self, size: Length) -> String {
        if self.in_inches() { as_set(size, Length::thou(10)) } else { mm(size) }
    }

    /// A place that is scribed from two edges, to what no rule or height gauge shows less of.
    pub fn scribed(&self, at: (Length, Length)) -> String {
        let shown = |length: Length| match self.in_inches() {
            true => self.laid_out(length),
            false => mm(length.rounded(Length::microns(10), Toward::Nearest).value),
        };
        format!("{} along, {} up", shown(at.0), shown(at.1))
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
