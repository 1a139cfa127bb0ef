//! Tolerances of part files held against what a mechanism needs: those that let a size go further,
//! and those that hold it much closer than anything asks.

use super::{Closest, Machine};
use crate::drawing::{Drawing, Size};
use crate::measure::{Length, Toward};
use crate::metric::limit;
use crate::stack::Held;

/// A tolerance this many times as close as it need be is told of.
const SPARED: i64 = 3;

/// What a mechanism leaves a size, and for the sake of what.
pub(super) struct Left {
    pub part: usize,
    pub id: usize,
    pub within: Length,
    /// `so that lead, head end within 0.05 mm of the mechanism `engine``.
    pub by: String,
}

/// What a mechanism leaves every size of a part that its results hang on, down to a whole
/// thousandth: more would be past what is allowed.
pub(super) fn left(machine: &Machine, close: &Closest) -> Vec<Left> {
    let rooms = close.rooms.iter().filter_map(|room| {
        let (part, Size::Length(id)) = machine.known[room.param].of? else { return None };
        let thousandths = (room.worst * 1000.0).floor();
        (0.0..1e6).contains(&thousandths).then_some(())?;
        let within = Length::microns(thousandths as i64);
        let hold = machine.holds.iter().find(|hold| hold.result.eq_ignore_ascii_case(&room.bound_by));
        let asked = hold.map_or_else(String::new, |hold| format!(" within {}", hold.text));
        let by = format!("{}{asked} of the mechanism `{}`", room.bound_by, machine.name);
        Some(Left { part, id: id.0, within, by })
    });
    rooms.collect()
}

/// The caution for a size that its own file lets go further than a mechanism leaves it.
pub(super) fn loose(drawing: &Drawing, left: &Left) -> Option<String> {
    let dimension = &drawing.dimensions[left.id];
    let (may, _) = limit(dimension, drawing.general_tolerance);
    (may > left.within && dimension.made.is_none()).then(|| {
        format!(
            "`{}` may depart by {} as the part file has it, and {} is all that {} leaves it with every size at its worst: \
             hold it closer, or let that result go further.",
            dimension.name,
            shown(may),
            shown(left.within),
            left.by
        )
    })
}

/// Sizes whose own file holds them at least three times as close as the mechanism needs.
pub fn spared(machine: &Machine, close: &Closest, parts: &[Held]) -> Vec<String> {
    let all = left(machine, close).into_iter().filter_map(|left| {
        let drawing = parts[left.part].drawing;
        let dimension = &drawing.dimensions[left.id];
        let said = dimension.within.filter(|_| dimension.held_by.is_none())?;
        (said * SPARED <= left.within).then(|| {
            format!(
                "{}: {} is held within {}, and {} would do for {}; what else it may be held for is not known here",
                drawing.name,
                dimension.name,
                shown(said),
                shown(left.within),
                left.by
            )
        })
    });
    all.collect()
}

/// What the part files of a mechanism's sizes let go further than it leaves them.
pub fn loosened(machine: &Machine, parts: &[Held]) -> Vec<String> {
    let all = machine.known.iter().filter_map(|known| {
        let (part, Size::Length(id)) = known.of? else { return None };
        let drawing = parts[part].drawing;
        let told = drawing.dimensions[id.0].loose.as_ref()?;
        Some(format!("{}: {told}", drawing.name))
    });
    all.collect()
}

fn shown(length: Length) -> String {
    format!("{} mm", length.rounded(Length::microns(1), Toward::Less).value.shown(3))
}
