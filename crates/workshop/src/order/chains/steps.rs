//! A step: down from the face it is drawn from, or in from the side that it cuts away, its shoulder
//! then its floor. A block that is squared stands as well on the one side as on the other.

use super::{Cut, Reach};
use crate::drawing::{Body, Face, FeatureId, Kind};
use crate::measure::Length;
use crate::order::deed::{Job, Makings};
use crate::order::work::{Deep, Entry, Tool, Work};

/// The step as it is drawn; where no cutter reaches so deep and one does from the side, in from there.
pub(super) fn cuts(job: &Job, makings: &mut Makings, id: FeatureId) -> Vec<Cut> {
    let own = job.part.feature(id).face;
    let (Some(deep), aside) = (deep(job, id, own), open_side(job, id)) else { return Vec::new() };
    match aside {
        Some((side, shallow)) if !job.mill_covers(deep) && shallow < deep => {
            if job.mill_covers(shallow) {
                makings.assume(format!(
                    "{} is cut in from the {}: from the {} it is {deep} deep, and no cutter owned has flutes so long",
                    job.name(id),
                    side.word(),
                    own.word()
                ));
            }
            vec![cut(job, makings, id, (side, shallow))]
        }
        _ => vec![cut(job, makings, id, (own, deep))],
    }
}

/// The step in from its side, where it may be had either way and something else is cut from there.
pub(super) fn other(job: &Job, makings: &mut Makings, id: FeatureId) -> Option<Vec<Cut>> {
    let (side, shallow) = open_side(job, id)?;
    let deep = deep(job, id, job.part.feature(id).face)?;
    let offered = job.works_from(side) && job.mill_covers(deep) && job.mill_covers(shallow);
    offered.then(|| vec![cut(job, makings, id, (side, shallow))])
}

/// The side that a step cuts away and how deep it is from there, where the work stands on the mill with it up:
/// a block with square sides.
fn open_side(job: &Job, id: FeatureId) -> Option<(Face, Length)> {
    let Kind::Step { side, .. } = job.part.feature(id).kind else { return None };
    let block = matches!(job.part.drawing.body, Body::Rectangle { .. }) && job.mills();
    Some((side, deep(job, id, side)?)).filter(|_| block)
}

/// The step as a file makes it, down from its own face.
pub(super) fn filed(job: &Job, id: FeatureId) -> Option<Cut> {
    let own = job.part.feature(id).face;
    Some(with(job, id, (own, deep(job, id, own)?), Tool::File))
}

/// How deep it is from a side of the drawing.
pub(in crate::order) fn deep(job: &Job, id: FeatureId, from: Face) -> Option<Length> {
    Some(job.part.step_from(id, job.part.side(from))?.deep)
}

fn cut(job: &Job, makings: &mut Makings, id: FeatureId, (from, deep): (Face, Length)) -> Cut {
    let mill = job.mill_down(id, deep, makings);
    with(job, id, (from, deep), Tool::EndMill(mill))
}

fn with(job: &Job, id: FeatureId, (from, deep): (Face, Length), tool: Tool) -> Cut {
    let down = |leaves, _: Deep| Work::MillStep { leaves, entry: Entry::Face };
    let aside = |leaves, _: Deep| Work::MillStep { leaves, entry: Entry::Side };
    let work: fn(Length, Deep) -> Work = if from == job.part.feature(id).face { down } else { aside };
    let size = job.part.whole(from.axis()) - deep;
    Cut { feature: id, work, size, reach: Reach::To(deep), tool, times: 1, from: Some(from) }
}
