//! A part that cannot be made, stated so that every demand on it can be named: each
//! size may go further than it is allowed, and how far it is allowed is a demand of
//! its own beside the walls, the fits and the pins.

use std::collections::{BTreeMap, BTreeSet};

use super::demands::one;
use super::making::stated;
use super::model::{ConstraintId, Demand, Model};
use super::way::{Job, ThreadWays, Ways};
use super::{screws, ways};
use crate::drawing::{DimensionId, Measures, Part, ThreadId};
use crate::measure::Length;
use crate::problem::Outcome;

/// How many times further than allowed a size is looked for.
const FURTHER: i64 = 4;

/// A part with room to give.
pub struct Wide {
    /// Its variables and demands.
    pub model: Model,
    /// The ways of every dimension.
    pub ways: Vec<Ways>,
    /// Which demands say how far a dimension may go.
    pub limits: BTreeMap<ConstraintId, DimensionId>,
    /// How far each dimension may go.
    pub allowed: Vec<Length>,
    /// Walls that could be thinned.
    pub may_thin: BTreeSet<String>,
}

/// States a part with room to give; walls that may be `thinned` are.
///
/// # Errors
///
/// Whatever hinders that any of its sizes is chosen: a size for which there is
/// nothing far and wide.
pub fn wide(job: &Job, thinned: &BTreeSet<String>) -> Outcome<Wide> {
    let threads: Vec<ThreadWays> =
        (0..job.drawing.threads.len()).map(|at| screws::ways(job, ThreadId(at))).collect();
    let strict = ways::every_way(job, &threads);
    let mut drawing = job.drawing.clone();
    for (dimension, ways) in drawing.dimensions.iter_mut().zip(&strict) {
        let settled = dimension.made.is_some() || dimension.measures == Measures::TaperPin;
        if !settled {
            dimension.within = Some(looked_for(dimension.measures, ways.limit, dimension.written.length));
        }
    }
    let far = Job {
        drawing: &drawing,
        solved: job.solved,
        bench: job.bench,
        part: Part::as_drawn(&drawing, job.solved),
        shelf: job.shelf,
        material: job.material,
    };
    let ways = ways::every_way(&far, &threads);
    let (mut model, may_thin) = stated(job, &ways, &threads, thinned)?;
    let mut limits = BTreeMap::new();
    for (at, (dimension, strict)) in job.drawing.dimensions.iter().zip(&strict).enumerate() {
        let drawn = dimension.written.length;
        if ways[at].ways.iter().all(|way| way.value.gap(drawn) <= strict.limit) {
            continue;
        }
        let why = &strict.limit_why;
        let source = why.source.as_ref().map(|source| format!(" ({source})")).unwrap_or_default();
        let because = format!("`{}` is {drawn} on the drawing and {}{source}", dimension.name, why.statement);
        let demand = Demand::Between {
            sum: one(super::model::VariableId(at)),
            least: Some(drawn - strict.limit),
            most: Some(drawn + strict.limit),
        };
        limits.insert(model.demand(limit_name(&dimension.name), because, demand), DimensionId(at));
    }
    let allowed = strict.iter().map(|ways| ways.limit).collect();
    Ok(Wide { model, ways, limits, allowed, may_thin })
}

/// What the demand that a size stays near the drawing is called.
fn limit_name(of: &str) -> String {
    format!("tolerance of `{of}`")
}

/// How far a size is looked for: several times its limit, 1 mm at least, a place 2, and never
/// so far that it is another size altogether.
fn looked_for(measures: Measures, limit: Length, drawn: Length) -> Length {
    let least = if measures == Measures::Position { 2 } else { 1 };
    let far = (limit * FURTHER).max(Length::mm(least));
    let most = (drawn.abs() * 2 / 5).max(Length::mm(1) / 4);
    far.min(most).max(limit).max(Length::microns(1))
}
