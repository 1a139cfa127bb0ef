//! Holes that are made while the part lies with others of the project.

use super::deed::{Job, Lot, Makings};
use super::model::{Agreement, OpId};
use super::work::Tool;
use crate::drawing::{FeatureId, Kind};
use crate::problem::{Outcome, Problem};

/// What is made while parts lie together is made in one stay: laid on each other a second time
/// they do not come the same.
pub(super) fn agreements(makings: &Makings) -> Vec<Agreement> {
    let mut last: Vec<(usize, usize)> = Vec::new();
    let mut all = Vec::new();
    for (n, deed) in makings.deeds.iter().enumerate() {
        let Lot::Joint(which) = deed.lot else { continue };
        match last.iter_mut().find(|(known, _)| *known == which) {
            Some((_, before)) => {
                all.push(Agreement {
                    ops: [OpId(*before), OpId(n)],
                    in_one: true,
                    apart: Vec::new(),
                    because: "laid on each other a second time the parts do not come the same".into(),
                });
                *before = n;
            }
            None => last.push((which, n)),
        }
    }
    all
}

/// Whether a tool reaches through all that lies together.
///
/// # Errors
///
/// Each hole that is too deep then, and by how much.
pub(super) fn reached(job: &Job) -> Outcome<()> {
    let mut faults = Vec::new();
    for (which, joint) in job.part.drawing.together.iter().enumerate() {
        let metal = job.metal(Lot::Joint(which));
        for &id in &joint.features {
            let Some(short) = tools(job, id).into_iter().find(|tool| !job.reaches_into(tool, metal)) else {
                continue;
            };
            faults.push(
                Problem::new(format!("{} is too deep to be made {}", job.name(id), joint.words()))
                    .at(joint.said.clone())
                    .concerns(job.name(id).to_owned())
                    .why(format!("all of it is {metal} thick together, and the {} does not reach so far", short.words()))
                    .mend("take it out of the holes that are made together, or add a longer tool to the bench file"),
            );
        }
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// What a hole is made with.
fn tools(job: &Job, id: FeatureId) -> Vec<Tool> {
    let Kind::Hole { diameter, .. } = job.part.feature(id).kind else { return Vec::new() };
    let (first, then) = job.hole_tools(diameter);
    std::iter::once(Tool::Drill(first)).chain(then.filter(|tool| *tool != Tool::BoringTool)).collect()
}
