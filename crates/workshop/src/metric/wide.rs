//! Parts that cannot be made, stated so that every demand on them can be named: each
//! size may go further than it is allowed, and how far it is allowed is a demand of
//! its own beside the walls, the fits and the pins.

use std::collections::{BTreeMap, BTreeSet};

use super::demands::one;
use super::metricate::material;
use super::model::{ConstraintId, Demand, Model, VariableId};
use super::project::{Project, Touchings};
use super::shelf::Shelf;
use super::stated::OnBench;
use super::ties::{At, Mated, Tie};
use super::together::Piece;
use super::walls::Between;
use super::way::{Costs, Job, Ways};
use super::weigh::departure;
use super::{heads, pressure, screws, ways};
use crate::bench::Bench;
use crate::drawing::{DimensionId, Drawing, Measures, Part, Pressure, Source, ThreadId};
use crate::measure::Length;
use crate::problem::Problem;

/// How many times further than allowed a size is looked for.
const FURTHER: i64 = 4;

/// Parts with room to give.
pub struct Wide {
    /// Their variables and demands, part by part, and then what holds between them.
    pub model: Model,
    /// Where the variables of each part begin.
    pub begins: Vec<usize>,
    /// The ways of every dimension of every part.
    pub ways: Vec<Vec<Ways>>,
    /// Which demands say how far a dimension may go.
    pub limits: BTreeMap<ConstraintId, At<DimensionId>>,
    /// How far each dimension of each part may go.
    pub allowed: Vec<Vec<Length>>,
    /// How far off each counts as far.
    pub counted: Vec<Vec<Length>>,
    /// The screw that each dimension of each part is for: of a hole it passes, or of its head.
    pub screws: Vec<Vec<Option<ThreadId>>>,
    /// Which part states a demand, for those that a part states by itself.
    pub owners: BTreeMap<ConstraintId, usize>,
    /// Which demands are chains across parts: the part whose file says so, and which.
    pub chains: BTreeMap<ConstraintId, At<usize>>,
    /// What walls stand between.
    pub walls: BTreeMap<ConstraintId, At<Between>>,
    /// The real sizes of those that only stand in for them.
    pub real: BTreeMap<VariableId, VariableId>,
    /// Walls that could be thinned.
    pub may_thin: BTreeSet<At<String>>,
}

/// States parts with room to give; walls that may be `thinned` are.
///
/// # Errors
///
/// Whatever hinders that any of their sizes is chosen: a size for which there is
/// nothing far and wide.
pub fn wide(pieces: &[Piece], bench: &Bench, thinned: &BTreeSet<At<String>>) -> Result<Wide, Vec<Problem>> {
    let shelf = Shelf::of(bench);
    let strict: Vec<Strict> =
        pieces.iter().map(|piece| Strict::of(piece, bench, &shelf)).collect::<Result<_, _>>()?;
    let drawings: Vec<Drawing> =
        pieces.iter().zip(&strict).map(|(piece, strict)| strict.further(piece.drawing)).collect();
    let far: Vec<Piece> =
        drawings.iter().zip(pieces).map(|(drawing, piece)| Piece { drawing, solved: piece.solved }).collect();
    let touchings: Vec<Touchings> = far.iter().map(|_| Touchings::default()).collect();
    let bound = pressure::beside(&far);
    let kept = OnBench::new(bench);
    let mut project = Project::begun(&far, bench, &shelf, &touchings, &bound, &kept);
    project.tie();
    for (part, _) in pieces.iter().enumerate() {
        let names: Vec<String> =
            thinned.iter().filter(|wall| wall.part == part).map(|wall| wall.size.clone()).collect();
        if project.going.contains_key(&part) {
            project.making(part).thin(names.iter())?;
        }
    }
    if let Some(faults) = project.first_fault() {
        return Err(faults);
    }
    let all: Vec<usize> = (0..pieces.len()).collect();
    let stitched = project.stitched(&all);
    let mut wide = Wide {
        model: stitched.model,
        begins: stitched.begins,
        ways: Vec::new(),
        limits: BTreeMap::new(),
        allowed: Vec::new(),
        counted: Vec::new(),
        screws: Vec::new(),
        owners: BTreeMap::new(),
        chains: BTreeMap::new(),
        walls: BTreeMap::new(),
        real: BTreeMap::new(),
        may_thin: BTreeSet::new(),
    };
    let mut next = 0;
    for (part, going) in &project.going {
        let making = &going.making;
        for constraint in &making.model.constraints {
            let id = ConstraintId(next);
            next += 1;
            wide.owners.insert(id, *part);
            if let Some(&between) = making.between().get(&constraint.name) {
                wide.walls.insert(id, At { part: *part, size: between });
            }
        }
        wide.may_thin.extend(making.may_thin().map(|name| At { part: *part, size: name.clone() }));
        wide.ways.push(making.ways.clone());
    }
    for tie in project.ties.all() {
        if let Tie::Chain { said, .. } = tie {
            wide.chains.insert(ConstraintId(next), *said);
        }
        if let Tie::Mate(Mated { stand_in, is, .. }) = tie {
            let [from, to] = [stand_in, is].map(|at| VariableId(wide.begins[at.part] + at.size.0));
            wide.real.insert(from, to);
        }
        next += 1;
    }
    for (part, strict) in strict.into_iter().enumerate() {
        wide.limit(part, pieces[part].drawing, &strict);
        wide.allowed.push(strict.ways.iter().map(|ways| ways.limit).collect());
        wide.counted.push(strict.counted);
        wide.screws.push(strict.screws);
    }
    Ok(wide)
}

/// A part as strict as it is.
struct Strict {
    ways: Vec<Ways>,
    counted: Vec<Length>,
    screws: Vec<Option<ThreadId>>,
}

impl Strict {
    fn of(piece: &Piece, bench: &Bench, shelf: &Shelf) -> Result<Self, Vec<Problem>> {
        let drawing = piece.drawing;
        let (material, _) = material(drawing).map_err(|fault| vec![fault])?;
        let part = Part::as_drawn(drawing, piece.solved);
        let job = Job { drawing, solved: piece.solved, bench, part, shelf, material };
        let threads: Vec<_> = (0..drawing.threads.len()).map(|at| screws::ways(&job, ThreadId(at))).collect();
        let counted =
            (0..drawing.dimensions.len()).map(|at| ways::counted_limit(&job, DimensionId(at))).collect();
        let screws = (0..drawing.dimensions.len()).map(|at| heads::screw_of(&job, DimensionId(at))).collect();
        Ok(Self { ways: ways::every_way(&job, &threads), counted, screws })
    }

    /// The same drawing with room to give.
    fn further(&self, drawing: &Drawing) -> Drawing {
        let mut drawing = drawing.clone();
        if drawing.pressure == Pressure::Holds || drawing.source == Source::Bought {
            return drawing;
        }
        for (dimension, ways) in drawing.dimensions.iter_mut().zip(&self.ways) {
            let settled = dimension.made.is_some() || dimension.measures == Measures::TaperPin;
            if !settled {
                dimension.within = Some(looked_for(dimension.measures, ways.limit, dimension.written.length));
            }
        }
        drawing
    }
}

impl Wide {
    /// Demands that the sizes of a part stay within what they are allowed, and counts
    /// their departure by that.
    fn limit(&mut self, part: usize, drawing: &Drawing, strict: &Strict) {
        for (at, (dimension, strict_ways)) in drawing.dimensions.iter().zip(&strict.ways).enumerate() {
            let (ways, variable) = (&self.ways[part][at], VariableId(self.begins[part] + at));
            let drawn = dimension.written.length;
            if ways.costs == Costs::Here {
                let candidates = &mut self.model.variables[variable.0].candidates;
                for (candidate, way) in candidates.iter_mut().zip(&ways.ways) {
                    candidate.departure =
                        departure(dimension.role.0, strict.counted[at], way.value - drawn) + way.extra;
                }
            }
            let stands_in = self.real.contains_key(&variable);
            if stands_in || ways.ways.iter().all(|way| way.value.gap(drawn) <= strict_ways.limit) {
                continue;
            }
            let why = &strict_ways.limit_why;
            let source = why.source.as_ref().map(|source| format!(" ({source})")).unwrap_or_default();
            let because =
                format!("`{}` is {drawn} on the drawing and {}{source}", dimension.name, why.statement);
            let demand = Demand::Between {
                sum: one(variable),
                least: Some(drawn - strict_ways.limit),
                most: Some(drawn + strict_ways.limit),
            };
            let id = self.model.demand(limit_name(&dimension.name), because, demand);
            self.limits.insert(id, At { part, size: DimensionId(at) });
            self.owners.insert(id, part);
        }
    }

    /// The part and the place in it of a variable; of what stands in for a size of another
    /// part, that size.
    pub fn place(&self, variable: VariableId) -> At<usize> {
        let variable = self.real.get(&variable).copied().unwrap_or(variable);
        let part = self.begins.partition_point(|&begins| begins <= variable.0) - 1;
        At { part, size: variable.0 - self.begins[part] }
    }

    /// The sizes and threads that some demands read, each once.
    pub fn read_by(&self, core: &[ConstraintId]) -> Vec<At<usize>> {
        let of = |id: &ConstraintId| self.model.constraints[id.0].demand.variables();
        let mut read: Vec<At<usize>> =
            core.iter().flat_map(of).map(|variable| self.place(variable)).collect();
        read.sort_unstable();
        read.dedup();
        read
    }
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
