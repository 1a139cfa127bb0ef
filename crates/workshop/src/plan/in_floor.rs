//! What begins on the floor of a step or a pocket: its depth counts from there, and no tool goes through the
//! metal that is gone. Where the floor is not cut yet, that metal is gone through as well.

use super::job::Setup;
use super::rows_hole::highest;
use super::sheet::Row;
use crate::drawing::FeatureId;
use crate::measure::Length;
use crate::order::work::{Deep, Step};
use crate::settings::show::{mm, practice};
use crate::why::Figure;

/// The floor that something stands in.
pub(super) struct Sunk {
    /// How far that floor lies below the side that is up.
    pub by: Length,
    /// Whether it is cut by then.
    pub cut: bool,
    of: FeatureId,
}

/// The floor that what is cut in a step of the order stands in, seen from the side that is up.
pub(super) fn sunk(setup: &Setup, step: &Step) -> Option<Sunk> {
    let (of, by) = setup.part.begins_on(step.feature?, setup.frame.up())?;
    let order = setup.job.order;
    let before = order.before(step);
    let cut = before.filter(|other| step.hand.meets(other.hand)).any(|other| other.feature == Some(of))
        || order.done.iter().any(|done| done.feature == Some(of));
    Some(Sunk { by, cut, of })
}

impl Sunk {
    /// What a cutter goes through besides, or need not: of a depth from the floor the metal above it, where
    /// that is still there; right through less what is gone. On edge that is reckoned from floor to floor already.
    pub(super) fn more(&self, setup: &Setup, deep: Deep) -> Length {
        match (deep, self.cut) {
            (Deep::To(_), false) => self.by,
            (Deep::Through(_), true) if setup.frame.in_plan() => -self.by,
            (Deep::Through(_), false) if !setup.frame.in_plan() => self.by,
            _ => Length::ZERO,
        }
    }

    /// From where a depth counts.
    pub(super) fn from(&self, setup: &Setup) -> String {
        let (name, by, top) = (&setup.part.feature(self.of).name, mm(self.by), highest(setup));
        match self.cut {
            true => format!(", from the floor of {name}, {by} below the {top}"),
            false => format!(", from the {top}: {by} of it goes with {name}"),
        }
    }

    /// Says so beside a depth.
    pub(super) fn tell(&self, setup: &Setup, figure: &mut Figure) {
        figure.shown.push_str(&self.from(setup));
        let name = &setup.part.feature(self.of).name;
        let why = match self.cut {
            true => format!("{name} is cut before it, and it begins there"),
            false => format!("{name} is cut after it, and its depth is drawn from there"),
        };
        figure.why = figure.why.clone().because(practice(why));
    }
}

/// Says from where the passes of a row count.
pub(super) fn tell_passes(setup: &Setup, sunk: Option<Sunk>, row: &mut Row) {
    let label = setup.named(row.number, "passes");
    if let (Some(sunk), Some(passes)) = (sunk, row.depth.iter_mut().find(|figure| figure.name == label)) {
        sunk.tell(setup, passes);
    }
}
