//! Whether the mill's slides and its head reach everything in a setup.

use std::collections::BTreeMap;

use super::job::Setup;
use super::rows_mill::CLEAR;
use super::sheet::Row;
use crate::drawing::{Axis, FeatureId, Joint};
use crate::measure::Length;
use crate::order::work::{Deep, Step, Tool};
use crate::order::{Held, Located, Machine, Work};
use crate::problem::Problem;
use crate::settings::show::mm;
use crate::tables::processes::limit;

impl Setup<'_> {
    /// Checks that the slides bring every one of these places under the spindle
    /// after the pick-up, and the finder to its edges before it.
    ///
    /// # Errors
    ///
    /// A [`Problem`] naming the feature that lies beyond the travel.
    pub fn check_travel(&self, features: &[FeatureId], steps: &[&Step]) -> Result<(), Problem> {
        if self.holding.machine != Machine::Mill {
            return Ok(());
        }
        let mill = &self.job.bench.mill;
        let [mut low, mut high] = self.finder_reach();
        for piece in self.beside() {
            let named = |&id: &FeatureId| (piece.part.feature(id).name.clone(), piece.places_of(id));
            let sides = steps.iter().filter_map(|step| piece.side_of(step));
            for (name, places) in features.iter().map(named).chain(sides) {
                for at in places {
                    for axis in [0, 1] {
                        (low[axis], high[axis]) = (low[axis].min(at[axis]), high[axis].max(at[axis]));
                        if high[axis] - low[axis] > mill.travel[axis] {
                            return Err(self.beyond(&name, axis, high[axis] - low[axis]));
                        }
                    }
                }
            }
        }
        Ok(())
    }

    /// Checks that the slides reach every position that the rows of the setup set, with the
    /// cutter beside the work and not in the middle of it.
    ///
    /// # Errors
    ///
    /// A [`Problem`] naming the row and what it sets.
    pub fn check_slides(&self, rows: &[Row]) -> Result<(), Problem> {
        if !matches!(self.holding.machine, Machine::Mill | Machine::RotaryTable) {
            return Ok(());
        }
        let swung = matches!(self.holding.held, Held::PlateSwung { .. });
        let [low, high] = self.finder_reach();
        let mut spans: BTreeMap<(usize, String), [[Length; 2]; 2]> = BTreeMap::new();
        for slid in self.slid.borrow().iter() {
            let Some(axis) = axis_of(&slid.label) else { continue };
            // Swung anew for each side, the work lies anew about the place it is held at.
            let flank = slid.label.split_once(',').map_or("", |(flank, _)| flank);
            let group = if swung { (slid.row, flank.to_owned()) } else { (0, String::new()) };
            let span = spans.entry(group).or_insert([low, high]);
            span[0][axis] = span[0][axis].min(slid.to);
            span[1][axis] = span[1][axis].max(slid.to);
            let far = span[1][axis] - span[0][axis];
            if far > self.job.bench.mill.travel[axis] {
                let row = rows.get(slid.row.wrapping_sub(1)).map_or("the pick-up", |row| &row.what);
                return Err(self.beyond(&format!("{row}, {}", slid.label), axis, far));
            }
        }
        Ok(())
    }

    /// A side or arc of an outline by its name, and the corners of the road along it.
    fn side_of(&self, step: &Step) -> Option<(String, Vec<[Length; 2]>)> {
        let (Work::MillSide { piece } | Work::StepArc { piece }, Tool::EndMill(mill)) =
            (&step.work, &step.tool)
        else {
            return None;
        };
        // Swung, the work lies anew for every side, about the place it is held at.
        if matches!(self.holding.held, Held::PlateSwung { .. }) {
            return None;
        }
        let bounds = self.road(*piece, mill.diameter).ok()?.bounds();
        let corners = [bounds.least, bounds.most];
        let places = corners.map(|at| [Length::nearest(at.x_mm), Length::nearest(at.y_mm)]);
        Some((self.part.pieces().ok()?.names.get(*piece)?.clone(), places.to_vec()))
    }

    fn beyond(&self, name: &str, axis: usize, far: Length) -> Problem {
        let (word, key) = [("X", "travel_x"), ("Y", "travel_y")][axis];
        Problem::new(format!("{name} lies beyond the mill's travel in {word}"))
            .why(format!(
                "setup {} is read from {} and must go {} in all, from the pick-up to the farthest place; the slide travels {}",
                self.number,
                self.datum_words(),
                mm(far),
                mm(self.job.bench.mill.travel[axis])
            ))
            .mend(format!(
                "correct `{key}` in the bench file, or use a mill that reaches: moving the work along would lose the datum"
            ))
    }

    /// How far the spindle stands outside the datum edges while they are touched: half
    /// the finder's tip.
    fn finder_reach(&self) -> [[Length; 2]; 2] {
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

    /// Where the spindle goes for a feature: to its middle, or to both ends of a slot.
    fn places_of(&self, id: FeatureId) -> Vec<[Length; 2]> {
        let clear = self.part.cut_diameter(id).unwrap_or_default().half() + CLEAR;
        match self.slot_ends(id, clear) {
            Some(ends) => ends.map(|at| [Length::nearest(at.x_mm), Length::nearest(at.y_mm)]).to_vec(),
            None => {
                let (x, y) = self.read(id);
                vec![[x, y]]
            }
        }
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

/// Which slide a position is set with, by what it is called.
fn axis_of(label: &str) -> Option<usize> {
    if label.ends_with("offset from the table centre") {
        return Some(0);
    }
    label.split([' ', ',']).find_map(|word| match word {
        "X" => Some(0),
        "Y" => Some(1),
        _ => None,
    })
}
