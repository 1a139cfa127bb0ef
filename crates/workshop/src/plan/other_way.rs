//! What to do when no cutter reaches the floor of a step.

use super::job::Setup;
use crate::drawing::{Axis, Face, FeatureId, Kind};
use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::show::mm;

/// A step that is too deep for the flutes from its own face may be shallow from its side: the same
/// corner, said the other way about, is cut with its shoulder for a floor.
pub(super) fn mended(setup: &Setup, step: FeatureId, flutes: Length, fault: Problem) -> Problem {
    match from_the_side(setup, step).filter(|(_, deep)| *deep <= flutes) {
        Some((words, deep)) => fault.mend(format!(
            "say the step the other way about, {words}: so it is cut only {} deep; or use a longer cutter",
            mm(deep)
        )),
        None => fault,
    }
}

/// How the part file says it the other way about, and how deep it is then.
fn from_the_side(setup: &Setup, step: FeatureId) -> Option<(String, Length)> {
    let part = &setup.part;
    let feature = part.feature(step);
    let Kind::Step { side, .. } = feature.kind else { return None };
    let [left, right, bottom, top] = part.edges();
    let (low, high) = match side.axis() {
        Axis::X => (left, right),
        Axis::Y => (bottom, top),
        Axis::Z => (Length::ZERO, part.thickness()),
    };
    let shoulder = part.at(step, side.axis())?;
    let deep = match part.side(side) {
        Face::Left | Face::Bottom | Face::Back => shoulder - low,
        Face::Right | Face::Top | Face::Front => high - shoulder,
    };
    let leaves = part.whole(side.axis()) - deep;
    let words = format!(
        "`face = \"{}\"`, `side = \"{}\"`, `leaves = \"{}\"`, its place now that of the floor",
        side.word(),
        feature.face.word(),
        mm(leaves)
    );
    Some((words, deep))
}
