//! What stands in for sizes that are not known yet, so that the rest of a part that
//! is still being entered can be placed and drawn. Nothing of it is shown.

use super::reader::{Reader, Wanted};
use super::{Body, Dimension, DimensionId, Drawing, Given, Measures, Role, ThreadCall, ThreadId};
use crate::measure::{Length, Unit, Written};
use crate::tables::threads;

/// What is written where nothing is known; no size reads so.
const UNKNOWN: &str = "?";

impl Reader {
    /// A size that moves nothing else; nothing where the whole file must be there,
    /// or where other things are placed by it.
    pub(super) fn stand_in(&mut self, name: &str, measures: Measures) -> Option<DimensionId> {
        let moves_others = matches!(measures, Measures::Position | Measures::Outside | Measures::Along);
        if self.wanted == Wanted::Whole || moves_others {
            return None;
        }
        let length = match measures {
            // Thick enough to stand clear of what is cut in it.
            Measures::Thickness => Length::mm(1),
            _ => Length::microns(10),
        };
        self.dimensions.push(Dimension {
            name: name.to_owned(),
            written: Written { text: UNKNOWN.to_owned(), length, unit: Unit::Mm },
            line: 0,
            at: String::new(),
            measures,
            role: (Role::Free, Given::Assumed),
            own_role: false,
            within: None,
            held_by: None,
            loose: None,
            pin: None,
            made: None,
        });
        Some(DimensionId(self.dimensions.len() - 1))
    }

    /// A thread, likewise.
    pub(super) fn stand_in_thread(&mut self, name: &str) -> Option<ThreadId> {
        if self.wanted == Wanted::Whole {
            return None;
        }
        let thread = threads::all().iter().min_by_key(|thread| thread.major)?;
        let role = (Role::Free, Given::Assumed);
        self.threads.push(ThreadCall {
            name: name.to_owned(),
            text: UNKNOWN.to_owned(),
            thread,
            line: 0,
            at: String::new(),
            role,
            keeps: None,
            pin: None,
            made: None,
        });
        Some(ThreadId(self.threads.len() - 1))
    }

    /// The outside of a part whose outside is not known yet: nothing to draw.
    pub(super) fn stand_in_body(&mut self) -> Option<Body> {
        let thickness = self.stand_in("body: thickness", Measures::Thickness)?;
        Some(Body::Bosses { around: Vec::new(), thickness })
    }

    /// The name of a part that has none yet.
    pub(super) fn stand_in_name(&self) -> Option<String> {
        (self.wanted == Wanted::AsFar).then(String::new)
    }
}

impl Drawing {
    /// The dimensions and threads that are not known yet, by name: only
    /// [`super::read_as_far`] makes a drawing that has any.
    pub fn unknown(&self) -> Vec<&str> {
        let dimensions = self.dimensions.iter().filter(|d| d.written.text == UNKNOWN);
        let threads = self.threads.iter().filter(|t| t.text == UNKNOWN);
        dimensions.map(|d| d.name.as_str()).chain(threads.map(|t| t.name.as_str())).collect()
    }

    /// Whether the outside is drawn with something that is not known yet.
    pub fn outside_unknown(&self) -> bool {
        let shapes = |d: &Dimension| d.measures == Measures::Radius && d.written.text == UNKNOWN;
        self.dimensions.iter().any(shapes)
    }
}
