//! From a drawing and a bench to the metric part: the rules' sizes and demands
//! are stated as a [`Model`], solved, and read back.

use std::collections::{BTreeMap, BTreeSet};

use super::buy::Buy;
use super::choice::MetricPart;
use super::demands::Demands;
use super::explain::Explained;
use super::impasse;
use super::model::{Candidate, Model, PurchaseId, Variable};
use super::read_back;
use super::rules::WALL_THINNED;
use super::search::{self, Outcome as Found};
use super::shelf::Shelf;
use super::way::{Job, ThreadWays, Ways};
use super::weigh::{departure, roughness};
use super::{kept, screws, ways};
use crate::bench::Bench;
use crate::drawing::{Axis, DimensionId, Drawing, Part, Pressure, Role, Sizes, Solved, ThreadId};
use crate::measure::Length;
use crate::problem::{Outcome, Problem};
use crate::tables::materials::{self, Material};

/// Supposed where the drawing does not name a material.
const USUAL_MATERIAL: &str = "mild steel";

/// How often walls that only the metric part has are added and all chosen again.
const ROUNDS: usize = 8;

/// Chooses the metric part: a size for every dimension and a thread for every
/// thread of the drawing, from what the bench can make.
///
/// Fewest things to buy comes first, then the least departure from the drawing,
/// then round numbers. A part that holds pressure is not changed at all: see
/// [`Pressure::Holds`].
///
/// # Errors
///
/// Every dimension for which there is nothing near, or the demands that cannot
/// all hold, with what was tried and the cheapest remedy.
pub fn metricate(drawing: &Drawing, solved: &Solved, bench: &Bench) -> Outcome<MetricPart> {
    let (material, supposed) = material(drawing).map_err(|fault| vec![fault.at(drawing.file.clone())])?;
    // Where places are curved the sums only touch them: they are taken again at the
    // sizes chosen, until a choice holds on the part solved for itself.
    let mut touching = solved.clone();
    for _ in 0..TOUCHES {
        let chosen = touched(drawing, &touching, bench, material, &supposed)?;
        let lengths = &chosen.sizes.lengths;
        let part = Part::as_drawn(drawing, solved).with_sizes(chosen.sizes.clone());
        if !solved.is_curved() || as_reckoned(&part, &touching, lengths) {
            return Ok(chosen);
        }
        touching = solved.touching_at(drawing, lengths).map_err(|fault| vec![fault])?;
    }
    Err(vec![
        Problem::new("the curved places and the sizes do not come to rest")
            .at(drawing.file.clone())
            .why("each choice of sizes moves what is placed by distances, and that asks for another choice")
            .mend("hold the distances that place it: give each `role = \"hold\"`"),
    ])
}

/// Most times that curved places are reckoned again.
const TOUCHES: usize = 6;

/// Sums that touch curved places are good enough when no place is farther from its
/// curve than this: a tenth of the step of an ordinary readout.
fn near_enough() -> Length {
    Length::mm_ratio(5, 10_000)
}

/// True when the sums reckoned with give every place of the part solved for itself.
fn as_reckoned(part: &Part, touching: &Solved, lengths: &[Length]) -> bool {
    part.features().all(|(id, _)| {
        [Axis::X, Axis::Y, Axis::Z].into_iter().all(|axis| {
            match (part.at(id, axis), touching.place(id, axis)) {
                (Some(at), Some(sum)) => at.gap(sum.value(lengths)) <= near_enough(),
                _ => true,
            }
        })
    })
}

/// The metric part with places as these sums have them.
fn touched(
    drawing: &Drawing,
    solved: &Solved,
    bench: &Bench,
    material: &'static Material,
    supposed: &Option<String>,
) -> Outcome<MetricPart> {
    let part = Part::as_drawn(drawing, solved);
    let job = Job { drawing, solved, bench, part, shelf: Shelf::of(bench), material };
    if let Some(fault) = super::stock::too_small(&job) {
        return Err(vec![fault]);
    }
    if drawing.pressure == Pressure::Holds {
        return Ok(kept::as_drawn(&job));
    }
    let threads: Vec<ThreadWays> =
        (0..drawing.threads.len()).map(|at| screws::ways(&job, ThreadId(at))).collect();
    let ways = ways::every_way(&job, &threads);
    let faults = impasse::nothing_near(&job, &ways, &threads);
    if !faults.is_empty() {
        return Err(faults);
    }
    // What the drawing has is kept where it can be; a wall that cannot is thinned.
    let mut thinned = BTreeSet::new();
    loop {
        match choose(&job, &ways, &threads, &thinned, supposed)? {
            Chosen::Part(part) => return Ok(*part),
            Chosen::Thinner(walls) => thinned.extend(walls),
        }
    }
}

/// What came of choosing with some walls thinned.
enum Chosen {
    /// The metric part.
    Part(Box<MetricPart>),
    /// Nothing, while these walls are kept as drawn.
    Thinner(BTreeSet<String>),
}

fn choose(
    job: &Job,
    ways: &[Ways],
    threads: &[ThreadWays],
    thinned: &BTreeSet<String>,
    supposed: &Option<String>,
) -> Outcome<Chosen> {
    let drawing = job.drawing;
    let place = |fault: Problem| vec![fault.at(drawing.file.clone())];
    let mut model = variables(job, ways, threads);
    let mut demands = Demands::new(job, ways, threads, &mut model, thinned);
    demands.sums().map_err(place)?;
    demands.walls();
    for _ in 0..ROUNDS {
        let found = match search::solve(demands.model).map_err(place)? {
            Found::Solved(found) => found,
            Found::Infeasible { core, .. } => {
                let names = core.iter().map(|id| &demands.model.constraints[id.0].name);
                let walls: BTreeSet<String> =
                    names.filter(|name| demands.may_thin.contains(*name)).cloned().collect();
                if !walls.is_empty() {
                    return Ok(Chosen::Thinner(walls));
                }
                return Err(vec![impasse::clash(job, demands.model, &core)]);
            }
            Found::GaveUp { nodes, .. } => return Err(vec![impasse::gave_up(job, nodes)]),
        };
        let sizes = Sizes {
            lengths: (0..drawing.dimensions.len()).map(|at| ways[at].ways[found.choice[at]].value).collect(),
            threads: threads
                .iter()
                .enumerate()
                .map(|(at, ways)| ways.ways[found.choice[drawing.dimensions.len() + at]].thread)
                .collect(),
        };
        let thin = walls_it_made(&mut demands, &sizes) | demands.whole_walls(&sizes);
        if !thin {
            let faults = demands.job.part.with_sizes(sizes.clone()).impossible();
            if !faults.is_empty() {
                return Err(faults);
            }
            let explained = Explained::new(demands.model, &found).map_err(place)?;
            let mut part = read_back::metric_part(job, ways, threads, &explained, sizes, supposed.clone());
            part.assumed.extend(thinned.iter().map(|wall| format!("the {wall}: {}", WALL_THINNED.because)));
            return Ok(Chosen::Part(Box::new(part)));
        }
    }
    Err(vec![impasse::gave_up(job, 0)])
}

/// The material, and whether it had to be supposed.
fn material(drawing: &Drawing) -> Result<(&'static Material, Option<String>), Problem> {
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
            let new = || model.purchase(buy.name.clone(), buy.points);
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
            candidates.push(Candidate {
                value: way.value,
                buys: buys(&mut model, &way.buys),
                departure: departure(dimension.role.0, limit, off) + way.extra,
                roughness: roughness(way.unround, off),
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

/// Demands the walls that these sizes have and the drawing had not, where they are
/// too thin; says whether there were any.
fn walls_it_made(demands: &mut Demands, sizes: &Sizes) -> bool {
    let pair = |wall: &crate::drawing::NamedWall| (wall.first, wall.second);
    let known: Vec<_> = demands.job.part.walls().iter().map(pair).collect();
    let metric = demands.job.part.with_sizes(sizes.clone());
    let new: Vec<_> = metric.walls().into_iter().filter(|wall| !known.contains(&pair(wall))).collect();
    let before = demands.model.constraints.len();
    for wall in new {
        let least = demands.kept(&wall, Length::mm(1)).least;
        let stated = demands.model.constraints.iter().any(|c| c.name == demands.kept(&wall, least).name);
        if wall.thickness < least && !stated {
            demands.wall(&wall);
        }
    }
    demands.model.constraints.len() > before
}
