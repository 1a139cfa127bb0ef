//! Holes drilled at punched centres though there is a mill: where the tolerance of their places
//! leaves room for scriber and punch, and lines are scribed on the work anyway.
//!
//! Marking out is a holding of its own. Where nothing else asks for it, a hole drilled on the
//! press costs one holding more than one drilled on the mill, and no number of minutes makes up
//! for a holding: each is a chance to lose the place of everything, and is counted, while minutes
//! are estimates. So nothing is offered there that could be chosen.

use super::by_eye;
use super::deed::{Deed, Job, Lot, Makings};
use super::waste::wants_marks;
use super::work::{Machine, Tool, Work};
use crate::drawing::{Body, DimensionId, FeatureId, Kind, Reference, Role, Says};
use crate::measure::Length;
use crate::tables::general_tolerance::general_tolerance;
use crate::tables::processes::{locating, process};

/// Adds the drill press, at a punched centre, to the places of every hole that allows it.
pub(super) fn offer(job: &Job, makings: &mut Makings) {
    let press = job.mills() && !job.is_turned() && job.drills_on() == Machine::DrillPress;
    if !press || !makings.deeds.iter().any(|deed| wants_marks(makings, deed)) {
        return;
    }
    for n in 0..makings.deeds.len() {
        let deed = &makings.deeds[n];
        let Some(id) = deed.feature.filter(|&id| follows_a_drill(job, deed) && will_do(job, id)) else {
            continue;
        };
        let (lot, face) = (deed.lot, job.part.feature(id).face);
        let place = by_eye::drilled(job, makings, (lot, id), face);
        makings.deeds[n].places.push(place);
    }
}

/// Whether a deed is a drill's, or follows it in the press: through, or from the hole's own face.
fn follows_a_drill(job: &Job, deed: &Deed) -> bool {
    let whole = !super::chains::is_half(job, deed.feature, &deed.work) && !matches!(deed.lot, Lot::Joint(_));
    let by_press = matches!(
        deed.work,
        Work::Drill { .. }
            | Work::ChainDrill { .. }
            | Work::Ream { .. }
            | Work::Tap { .. }
            | Work::Countersink { .. }
    );
    whole && by_press && !matches!(deed.tool, Tool::EndMill(_) | Tool::BoringTool) && !deed.places.is_empty()
}

/// Whether a hole may stand where a scriber and a punch put it.
fn will_do(job: &Job, id: FeatureId) -> bool {
    let hole = match job.part.feature(id).kind {
        Kind::Countersink { over, .. } => over,
        _ => id,
    };
    let plain = matches!(job.part.feature(hole).kind, Kind::Hole { .. } | Kind::Tapped { .. });
    // What is clocked, fitted or cut about a bore relies on where it stands.
    let relied_on =
        !matches!(job.part.drawing.body, Body::Rectangle { .. }) && job.locators().contains(&hole);
    let in_pattern = job.in_patterns().contains(&hole);
    plain
        && !relied_on
        && !in_pattern
        && job.in_reach(hole)
        && job.part.drawing.left(hole).is_none()
        && places(job, hole).into_iter().all(|asked| asked.is_some_and(|room| room >= out_by()))
}

/// What a hole drilled on the press at a punched centre is out by.
fn out_by() -> Length {
    let of = |name: &str| process(name).position.unwrap_or_default();
    of("mark out") + of("drill") + locating("punched centre").error
}

/// The room that each statement leaves which places a hole, or something by it; `None` where
/// nothing says how near it has to be.
fn places(job: &Job, hole: FeatureId) -> Vec<Option<Length>> {
    let about = |reference: Reference| reference == Reference::Feature(hole);
    let mut all = Vec::new();
    for (id, feature) in job.part.features() {
        for statement in &feature.placing {
            match statement.says {
                Says::Along { dimension, from, .. }
                | Says::Polar { dimension, from, .. }
                | Says::Distance { dimension, from, .. }
                    if id == hole || about(from) =>
                {
                    all.push(room(job, dimension));
                }
                // Level, in line, in the middle: as near as anything without a tolerance of its own.
                Says::Same { as_, .. } if id == hole || about(as_) => all.push(general(job)),
                _ if id == hole => all.push(general(job)),
                _ => {}
            }
        }
    }
    all
}

fn general(job: &Job) -> Option<Length> {
    let class = job.part.drawing.general_tolerance?;
    let across = job.part.edges();
    let widest = (across[1] - across[0]).max(across[3] - across[2]);
    general_tolerance(class, widest.half()).ok().map(|row| row.plus_minus)
}

fn room(job: &Job, id: DimensionId) -> Option<Length> {
    if job.part.drawing.dimensions[id.0].role.0 == Role::Hold {
        return None;
    }
    job.room_of(id).or_else(|| {
        let class = job.part.drawing.general_tolerance?;
        let row = general_tolerance(class, job.metric.dimensions[id.0].chosen.abs()).ok()?;
        Some(row.plus_minus)
    })
}
