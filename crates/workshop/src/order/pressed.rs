//! Walls that become thin while hard jaws close on them.
//!
//! A bore that is finished there is round only until the jaws let go. It is finished where nothing
//! presses on the wall that it leaves, as long as something else holds the work; else it is told.

use super::deed::{Deed, Job, Makings};
use super::model::Plan;
use super::rules::finishes;
use super::turned_held::thin_over;
use super::work::{Held, Holding, Work};
use crate::drawing::FeatureId;

/// Hard jaws, which press a thin wall out of round; a collet and soft jaws close all round.
pub(super) const fn hard_jaws(held: &Held) -> bool {
    matches!(
        held,
        Held::Chuck { .. }
            | Held::Clocked { .. }
            | Held::FourJaw { .. }
            | Held::Packed { .. }
            | Held::Upright { .. }
            | Held::Indexed { .. }
            | Held::DividingHead { .. }
    )
}

/// The section that hard jaws close on and a hole leaves thin.
fn pressed(job: &Job, holding: &Holding, hole: FeatureId) -> Option<FeatureId> {
    holding.held.grips().filter(|&on| hard_jaws(&holding.held) && thin_over(job, on, hole))
}

/// Of the places a hole may be cut in, those in which nothing presses on the wall that it leaves; all
/// where there is none.
pub(super) fn free_of_jaws(job: &Job, makings: &Makings, hole: FeatureId, places: Vec<usize>) -> Vec<usize> {
    let free = |&place: &usize| pressed(job, &makings.places[place].holding, hole).is_none();
    if places.iter().any(free) { places.into_iter().filter(free).collect() } else { places }
}

/// What is finished in a plan while jaws press on its wall, and what to do.
pub(super) fn told(job: &Job, makings: &Makings, plan: &Plan) -> Vec<String> {
    let brings_to_size = |deed: &Deed, hole| {
        finishes(job, deed, hole) || matches!(deed.work, Work::Recess { .. } | Work::Tap { .. })
    };
    let of = |step: &super::model::Step| {
        let deed = &makings.deeds[step.op.0];
        let hole = deed.feature.filter(|&hole| brings_to_size(deed, hole))?;
        let on = pressed(job, &makings.places[deed.places[step.way]].holding, hole)?;
        Some(format!(
            "hard jaws close on {on} while {hole} leaves it a thin wall: nip them no harder than a light last cut needs, let the \
             work go and try {hole} for roundness before it; soft jaws bored to {on} in `work_holding` of the bench would hold it \
             all round",
            on = job.name(on),
            hole = job.name(hole)
        ))
    };
    plan.steps.iter().filter_map(of).collect()
}
