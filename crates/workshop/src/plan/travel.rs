//! Whether the mill's slides and its head reach everything in a setup.

use std::collections::BTreeMap;

use super::job::Setup;
use super::sheet::Row;
use crate::drawing::{Axis, Joint};
use crate::measure::Length;
use crate::order::work::{Deep, Step};
use crate::order::{Held, Located, Machine, Work};
use crate::problem::Problem;
use crate::settings::show::mm;
use crate::tables::processes::limit;

/// The least that the spindle goes to in X and Y, and the most.
pub type Reach = [[Length; 2]; 2];

impl Setup<'_> {
    /// Checks that the slides reach every position that the rows of the setup set, with the
    /// cutter beside the work and not in the middle of it; anew from each of the rows at which
    /// the work is picked up again.
    ///
    /// # Errors
    ///
    /// A [`Problem`] naming the row and what it sets.
    pub fn check_slides(&self, rows: &[Row], starts: &[(usize, Reach)]) -> Result<(), Problem> {
        if !matches!(self.holding.machine, Machine::Mill | Machine::RotaryTable) {
            return Ok(());
        }
        let swung = matches!(self.holding.held, Held::PlateSwung { .. });
        let mut spans: BTreeMap<(usize, String), Reach> = BTreeMap::new();
        for slid in self.slid.borrow().iter() {
            let Some(axis) = slid.axis() else { continue };
            // Swung anew for each side, the work lies anew about the place it is held at.
            let flank = slid.label.split_once(',').map_or("", |(flank, _)| flank);
            let picked_up = starts.iter().rposition(|(row, _)| slid.row >= *row);
            let group = match picked_up {
                Some(start) => (start + 1, String::new()),
                None if swung => (slid.row, flank.to_owned()),
                None => (0, String::new()),
            };
            let reach = picked_up.map_or_else(|| self.finder_reach(), |start| starts[start].1);
            let span = spans.entry(group).or_insert(reach);
            span[0][axis] = span[0][axis].min(slid.to);
            span[1][axis] = span[1][axis].max(slid.to);
            let far = span[1][axis] - span[0][axis];
            if far > self.job.bench.mill.travel[axis] {
                let row = rows.iter().find(|row| row.number == slid.row);
                let row = row.map_or("the pick-up", |row| &row.what);
                let why = "held so it is not moved along";
                return Err(self.beyond(&format!("{row}, {}", slid.label), axis, far, why));
            }
        }
        Ok(())
    }

    /// Something lies farther than a slide goes, and why the work is not moved along for it.
    pub fn beyond(&self, name: &str, axis: usize, far: Length, fixed: &str) -> Problem {
        let (word, key) = [("X", "travel_x"), ("Y", "travel_y")][axis];
        Problem::new(format!("{name} lies beyond the mill's travel in {word}"))
            .why(format!(
                "setup {} is read from {} and must go {} in all, from the pick-up to the farthest place; the slide travels {}; {fixed}",
                self.number,
                self.datum_words(),
                mm(far),
                mm(self.job.bench.mill.travel[axis])
            ))
            .mend(format!("correct `{key}` in the bench file, or use a mill that reaches"))
    }

    /// What to do where the work is longer than a slide goes, and is cut from end to end to a height.
    pub fn longer_than_the_travel(&self, steps: &[&Step]) -> Option<String> {
        let whole =
            |step: &&Step| matches!(step.work, Work::SquareEdges | Work::FaceToThickness | Work::MillToSize);
        if self.holding.machine != Machine::Mill || !steps.iter().any(whole) {
            return None;
        }
        let [x0, x1, y0, y1] = self.extent();
        let travel = self.job.bench.mill.travel;
        let (long, goes) =
            [(x1 - x0, travel[0]), (y1 - y0, travel[1])].into_iter().find(|(long, goes)| long > goes)?;
        Some(format!(
            "The work is {} long and the slide travels {}: cut what it reaches, turn the work end for end on the same parallels and cut the rest before the height is changed; take the join off with a fine file.",
            mm(long),
            mm(goes)
        ))
    }

    /// How far the spindle stands outside the datum edges while they are touched: half
    /// the finder's tip.
    pub fn finder_reach(&self) -> Reach {
        let (mut low, mut high) = ([Length::ZERO; 2], [Length::ZERO; 2]);
        if let Located::Edges(a, b) = self.holding.located {
            let half = self.job.bench.edge_finder.half();
            for side in [self.frame.side(a), self.frame.side(b)] {
                for (axis, way) in [side.0, side.1].into_iter().enumerate() {
                    match way {
                        1 => high[axis] = half,
                        -1 => low[axis] = -half,
                        _ => {}
                    }
                }
            }
        }
        [low, high]
    }

    /// How high the work stands: of stacks of unequal height the highest, or the lowest.
    pub fn stands_high(&self, lowest: bool) -> Length {
        match self.frame.up().axis() {
            Axis::X if !self.part.sections().is_empty() => self.part.thickness(),
            _ if !self.part.sections().is_empty() => self.part.bar_needed(),
            Axis::X => self.blank.right - self.blank.left,
            Axis::Y => self.blank.top - self.blank.bottom,
            Axis::Z => {
                let others = self.joint().map_or(Length::ZERO, Joint::beside);
                let pieces = &self.holding.pieces;
                let lots = pieces.lots().filter(|_| lowest);
                let high = lots.map_or(pieces.high(), |lots| lots.lowest());
                self.part.thickness() * i64::from(high) + others
            }
        }
    }

    /// Checks that the head goes up far enough to clear the work by the depth of its
    /// deepest hole, and the clamps on it: what the tool and the vice take besides nobody can know.
    ///
    /// # Errors
    ///
    /// A [`Problem`] naming the hole, or the clamps.
    pub fn check_height(&self, steps: &[&Step], clamped: bool) -> Result<(), Problem> {
        if !matches!(self.holding.machine, Machine::Mill | Machine::RotaryTable) {
            return Ok(());
        }
        let clamps = if clamped { limit("clamp height") } else { Length::ZERO };
        let (work, travel) = (self.stands_high(false), self.job.bench.mill.travel[2]);
        let height = work + clamps;
        let stands = match clamped {
            true => {
                format!("the work and the clamps on it stand {} high in setup {}", mm(height), self.number)
            }
            false => format!("the work stands {} high in setup {}", mm(work), self.number),
        };
        if clamped && height > travel {
            return Err(Problem::new("the cutter cannot be lifted over the clamps")
                .why(format!("{stands}; the head travels {}", mm(travel)))
                .mend("correct `travel_z` in the bench file, or use a mill that reaches"));
        }
        for step in steps {
            let (Work::Drill { deep, .. }, Some(id)) = (&step.work, step.feature) else { continue };
            let (Deep::Through(depth) | Deep::To(depth)) = *deep;
            if height + depth <= travel {
                continue;
            }
            return Err(Problem::new(format!(
                "{} is too deep for the mill's travel in Z",
                self.part.feature(id).name
            ))
            .why(format!(
                "{stands} and the drill goes {} into it: {} together, before tool and vice; the head travels {}",
                mm(depth),
                mm(height + depth),
                mm(travel)
            ))
            .mend("correct `travel_z` in the bench file, drill it from both ends, or use a mill that reaches"));
        }
        Ok(())
    }
}
