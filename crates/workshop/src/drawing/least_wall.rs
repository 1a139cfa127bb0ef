//! Walls whose least the person says themselves: thinner than practice asks, or thicker.

use super::reader::Reader;
use super::{Face, FeatureId, Pressure, Reference};
use crate::document::Sheet;
use crate::measure::{Written, read_length};
use crate::problem::Problem;

/// A wall with the least that it may be.
#[derive(Clone, Debug, PartialEq)]
pub struct LeastWall {
    /// What it stands beside.
    pub first: FeatureId,
    /// What it stands beside on its other side.
    pub second: WallEnd,
    /// So thick at least.
    pub least: Written,
    /// Line in the file.
    pub line: usize,
}

/// What a wall ends at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WallEnd {
    /// Another feature.
    Feature(FeatureId),
    /// An edge, an end or a face of the part.
    Face(Face),
    /// The outside, whichever edge is nearest.
    Outside,
}

impl LeastWall {
    /// Whether it is said of the wall between these two; of a wall to the outside, to
    /// whatever edge that is.
    pub fn is_of(&self, first: FeatureId, second: WallEnd) -> bool {
        match (self.second, second) {
            (WallEnd::Feature(other), WallEnd::Feature(second)) => {
                (self.first, other) == (first, second) || (self.first, other) == (second, first)
            }
            (WallEnd::Outside, WallEnd::Outside | WallEnd::Face(_)) => self.first == first,
            (said, end) => said == end && self.first == first,
        }
    }
}

impl WallEnd {
    /// As a file names it; `name` is what a feature is called.
    pub fn word(self, name: impl Fn(FeatureId) -> String) -> String {
        match self {
            Self::Feature(id) => name(id),
            Self::Face(face @ (Face::Front | Face::Back)) => format!("{} face", face.word()),
            Self::Face(face) => format!("{} edge", face.word()),
            Self::Outside => OUTSIDE.to_owned(),
        }
    }
}

/// The word for the outside of a part.
const OUTSIDE: &str = "outside";

/// What a wall's entry has to say.
const SUCH_AS: &str = "name two features, or a feature and `outside`, `left edge`, `back face`: `between = [\"left bore\", \"right bore\"]`";

impl Reader {
    /// Walls whose least is said.
    pub(super) fn least_walls(&mut self, sheet: &Sheet, pressure: Pressure) -> Vec<LeastWall> {
        let mut walls = Vec::new();
        for table in sheet.tables("wall", &mut self.faults) {
            let before = self.faults.len();
            let ends: Vec<(String, usize)> = table
                .texts("between", &mut self.faults)
                .into_iter()
                .map(|(text, line)| (text.to_owned(), line))
                .collect();
            let ends: Vec<Option<WallEnd>> =
                ends.iter().map(|(text, line)| self.wall_end(text, *line)).collect();
            let least = table.need("least", "0.8 mm", &mut self.faults);
            let least = least.map(|(text, line)| (text.to_owned(), line));
            table.finish(&mut self.faults);
            let least = least.and_then(|(text, line)| match read_length(&text, self.unit) {
                Ok(written) if written.length.is_positive() => Some(written),
                Ok(_) => {
                    let none = Problem::new(format!("a wall of `{text}` is none"));
                    let none = none.at(format!("line {line}, `least`"));
                    self.faults.push(none.mend("write how thick it has to be at least: `0.8 mm`"));
                    None
                }
                Err(fault) => {
                    self.faults.push(fault.at(format!("line {line}, `least`")));
                    None
                }
            });
            let known: Vec<WallEnd> = ends.iter().flatten().copied().collect();
            let between = match known[..] {
                [WallEnd::Feature(first), second] if second != WallEnd::Feature(first) => {
                    Some((first, second))
                }
                [first, WallEnd::Feature(second)] if first != WallEnd::Feature(second) => {
                    Some((second, first))
                }
                _ => None,
            };
            if between.is_none() && self.faults.len() == before {
                let fault = Problem::new("the wall does not say between which two things it stands");
                self.faults.push(fault.at(table.place()).mend(SUCH_AS));
            }
            if pressure == Pressure::Holds && self.faults.len() == before {
                let fault = Problem::new("no wall of a part that holds pressure can be allowed thinner");
                self.faults.push(
                    fault
                        .at(table.place())
                        .why("it stays exactly as drawn; the code in force and an inspector decide on it")
                        .mend("take the `[[wall]]` out"),
                );
            }
            if let (Some((first, second)), Some(least), true) = (between, least, self.faults.len() == before)
            {
                walls.push(LeastWall { first, second, least, line: table.line() });
            }
        }
        walls
    }

    fn wall_end(&mut self, text: &str, line: usize) -> Option<WallEnd> {
        let bare = text.trim().trim_start_matches("the ");
        let named = self.names.iter().any(|(name, _)| name.eq_ignore_ascii_case(bare));
        if bare.eq_ignore_ascii_case(OUTSIDE) && !named {
            return Some(WallEnd::Outside);
        }
        match super::place::find_reference(bare, &self.names) {
            Ok(Reference::Feature(id)) => Some(WallEnd::Feature(id)),
            Ok(Reference::LeftEdge) => Some(WallEnd::Face(Face::Left)),
            Ok(Reference::RightEdge) => Some(WallEnd::Face(Face::Right)),
            Ok(Reference::TopEdge) => Some(WallEnd::Face(Face::Top)),
            Ok(Reference::BottomEdge) => Some(WallEnd::Face(Face::Bottom)),
            Ok(Reference::BackFace) => Some(WallEnd::Face(Face::Back)),
            Ok(Reference::FrontFace) => Some(WallEnd::Face(Face::Front)),
            Ok(Reference::Datum) => {
                let fault = Problem::new("no wall ends at the datum").at(format!("line {line}, `between`"));
                self.faults.push(fault.mend(SUCH_AS));
                None
            }
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `between`")));
                None
            }
        }
    }
}
