//! One part by itself, and what every part of a project begins with: its material,
//! and its sizes and threads as the variables of a [`Model`].

use std::collections::BTreeMap;

use super::buy::Buy;
use super::choice::MetricPart;
use super::memory::Memory;
use super::model::{Candidate, Model, PurchaseId, Variable};
use super::together::{Piece, together};
use super::way::{Costs, Job, ThreadWays, Ways};
use super::weigh::{departure, roughness};
use super::{screws, ways};
use crate::bench::Bench;
use crate::drawing::{DimensionId, Drawing, Role, Solved};
use crate::problem::{Outcome, Problem};
use crate::tables::materials::{self, Material};

/// Supposed where the drawing does not name a material.
const USUAL_MATERIAL: &str = "mild steel";

/// Chooses the metric part: a size for every dimension and a thread for every
/// thread of the drawing, from what the bench can make. Other parts of its project
/// are not looked at: see [`together`].
///
/// Fewest things to buy comes first, then the least departure from the drawing,
/// then round numbers. A part that holds pressure is not changed at all: see
/// [`Pressure::Holds`](crate::drawing::Pressure::Holds).
///
/// # Errors
///
/// Every dimension for which there is nothing near, or the demands that cannot
/// all hold, with what was tried and the cheapest remedy.
pub fn metricate(drawing: &Drawing, solved: &Solved, bench: &Bench) -> Outcome<MetricPart> {
    let alone = together(&[Piece { drawing, solved }], bench, &mut Memory::default());
    alone.into_iter().next().expect("one part went in")
}

/// The material of a drawing, and what is said where it had to be supposed.
///
/// # Errors
///
/// A material that is not known, of the part or of a mate.
pub fn material(drawing: &Drawing) -> Result<(&'static Material, Option<String>), Problem> {
    for mate in &drawing.mates {
        if let Some(name) = &mate.made_from {
            materials::find(name).map_err(|fault| fault.at(format!("line {}, `made_from`", mate.line)))?;
        }
    }
    match &drawing.material {
        Some(name) => Ok((materials::find(name).map_err(|fault| fault.at("`material`"))?, None)),
        None => {
            let material = materials::find(USUAL_MATERIAL)?;
            Ok((material, Some(format!("the part is of {USUAL_MATERIAL}: the drawing names no material"))))
        }
    }
}

/// One variable for each dimension, then one for each thread.
pub(super) fn variables(job: &Job, ways: &[Ways], threads: &[ThreadWays]) -> Model {
    let mut model = Model::default();
    let mut bought: BTreeMap<String, PurchaseId> = BTreeMap::new();
    let mut buys = |model: &mut Model, wanted: &[Buy]| -> Vec<PurchaseId> {
        let mut buy = |buy: &Buy| {
            // What the person would buy anyhow stays on the list and costs nothing.
            let points = if job.bench.would_buy(&buy.name) { 0 } else { buy.points };
            let new = || model.purchase(buy.name.clone(), points);
            *bought.entry(buy.name.clone()).or_insert_with(new)
        };
        wanted.iter().map(&mut buy).collect()
    };
    for (at, (dimension, ways)) in job.drawing.dimensions.iter().zip(ways).enumerate() {
        let drawn = dimension.written.length;
        let limit = ways::counted_limit(job, DimensionId(at));
        let mut candidates = Vec::new();
        for (label, way) in ways.ways.iter().enumerate() {
            let off = way.value - drawn;
            let (departs, rough) = match ways.costs {
                Costs::Here => {
                    (departure(dimension.role.0, limit, off) + way.extra, roughness(way.unround, off))
                }
                Costs::Elsewhere => (0, 0),
            };
            candidates.push(Candidate {
                value: way.value,
                buys: buys(&mut model, &way.buys),
                departure: departs,
                roughness: rough,
                label,
            });
        }
        model.variable(Variable { name: dimension.name.clone(), drawn, candidates });
    }
    for (call, ways) in job.drawing.threads.iter().zip(threads) {
        let drawn = call.thread;
        let mut candidates = Vec::new();
        for (label, way) in ways.ways.iter().enumerate() {
            // Of threads alike in diameter the nearer pitch is the rounder.
            let off = way.thread.pitch.gap(drawn.pitch);
            candidates.push(Candidate {
                value: way.thread.major,
                buys: buys(&mut model, &way.buys),
                departure: departure(Role::Suit, screws::limit(drawn), way.thread.major - drawn.major),
                roughness: roughness(0, off) * 4 + way.outside_aim,
                label,
            });
        }
        model.variable(Variable { name: call.name.clone(), drawn: drawn.major, candidates });
    }
    model
}
