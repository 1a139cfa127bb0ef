//! When no metric part can be had: which demands cannot all hold, in words, and the
//! ways out, cheapest first, each tried before it is told.

use std::collections::BTreeSet;

use super::clash;
use super::explain::demanded;
use super::memory::Memory;
use super::model::ConstraintId;
use super::together::Piece;
use super::way::Job;
use super::ways_out::{Act, Stuck, acts, read_by};
use super::wide::{Wide, wide};
use super::{Demanded, metricate, search};
use crate::bench::Bench;
use crate::drawing::{Part, Pressure, Source};
use crate::edit::Change;
use crate::problem::Problem;

/// Most ways out that are told of for one set of demands.
const TOLD: usize = 5;

/// Most ways out that are tried for one set of demands.
const TRIED: usize = 16;

/// The strain of a size that goes just as far as it was allowed.
const WHOLE: u64 = 1000;

/// Demands that cannot all hold: without any one of them the others can.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standoff {
    /// The demands.
    pub demands: Vec<Demanded>,
    /// True when the set is known to be the least: every one of it is needed.
    pub least: bool,
    /// The dimensions and threads that they are about, by name.
    pub about: Vec<String>,
    /// What is settled among them and cannot move: `... is already made 8.02 mm`.
    pub given: Vec<String>,
    /// What can be let go, cheapest first.
    pub ways_out: Vec<WayOut>,
}

/// Something that can be let go, and what is had then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayOut {
    /// What to do, with its numbers.
    pub advice: String,
    /// The same as changes to the files.
    pub edits: Vec<Edit>,
    /// What the sizes concerned become: name and size.
    pub brings: Vec<(String, String)>,
    /// What has to be bought for the part then.
    pub buys: Vec<String>,
    /// The greatest share of what it was allowed that any size then departs by, in
    /// thousandths: 3400 for one that goes 3.4 times as far.
    pub strain: u64,
    /// How far the whole part then departs from the drawing, weighted.
    pub departure: u64,
}

/// A change to one of the files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Edit {
    /// To the file of the part.
    Part(Change),
    /// To the file of the bench.
    Bench(Change),
}

/// Every set of demands on a part that cannot all hold, no demand in two of them;
/// empty where the part can be made, or where the fault is another.
pub fn standoffs(piece: &Piece, bench: &Bench, memory: &mut Memory) -> Vec<Standoff> {
    let drawing = piece.drawing;
    if drawing.pressure == Pressure::Holds || drawing.source == Source::Bought {
        return Vec::new();
    }
    let Ok((material, _)) = metricate::material(drawing) else { return Vec::new() };
    let shelf = super::shelf::Shelf::of(bench);
    let part = Part::as_drawn(drawing, piece.solved);
    let job = Job { drawing, solved: piece.solved, bench, part, shelf: &shelf, material };
    let mut thinned = BTreeSet::new();
    // Walls that may be thinned are no hindrance: they are thinned first.
    let (wide, cores) = loop {
        let Ok(wide) = wide(&job, &thinned) else { return Vec::new() };
        let Ok(cores) = clash::cores(&wide.model, memory) else { return Vec::new() };
        let names = cores.iter().flat_map(|core| &core.demands).map(|id| &wide.model.constraints[id.0].name);
        let thinner: Vec<String> = names.filter(|name| wide.may_thin.contains(*name)).cloned().collect();
        if thinner.is_empty() {
            break (wide, cores);
        }
        thinned.extend(thinner);
    };
    let options: Vec<Vec<Vec<Act>>> = cores
        .iter()
        .map(|core| {
            let relaxed = clash::relaxations(&wide.model, &core.demands, memory).unwrap_or_default();
            acts(&job, &wide, &core.demands, &relaxed)
        })
        .collect();
    let stuck = Stuck { piece: *piece, bench, wide: &wide };
    let of = |(at, core): (usize, &clash::Core)| {
        let besides = (0..cores.len()).filter(|&other| other != at);
        let besides: Vec<Act> =
            besides.filter_map(|other| options[other].first()).flatten().cloned().collect();
        told(&job, &stuck, core, &options[at], &besides, memory)
    };
    cores.iter().enumerate().map(of).collect()
}

/// Whether sizes can be had that hold every demand but those of these names, with the
/// walls thinned that may be; `None` where the search could not tell.
pub fn can_be_had(piece: &Piece, bench: &Bench, without: &[&str]) -> Option<bool> {
    let (material, _) = metricate::material(piece.drawing).ok()?;
    let shelf = super::shelf::Shelf::of(bench);
    let part = Part::as_drawn(piece.drawing, piece.solved);
    let job = Job { drawing: piece.drawing, solved: piece.solved, bench, part, shelf: &shelf, material };
    let all = wide(&job, &BTreeSet::new()).ok()?;
    let mut wide = wide(&job, &all.may_thin).ok()?;
    wide.model.constraints.retain(|constraint| !without.contains(&constraint.name.as_str()));
    match search::solve(&wide.model).ok()? {
        search::Outcome::Solved(_) => Some(true),
        search::Outcome::Infeasible { .. } => Some(false),
        search::Outcome::GaveUp { .. } => None,
    }
}

fn told(
    job: &Job,
    stuck: &Stuck,
    core: &clash::Core,
    options: &[Vec<Act>],
    besides: &[Act],
    memory: &mut Memory,
) -> Standoff {
    let wide: &Wide = stuck.wide;
    let tried = options.iter().take(TRIED);
    let mut ways_out: Vec<WayOut> =
        tried.filter_map(|acts| stuck.tried(job, acts, besides, &core.demands, memory)).collect();
    ways_out.sort_by(|a, b| {
        let key = |way: &WayOut| (way.buys.len(), way.edits.len(), way.strain.max(WHOLE), way.departure);
        key(a).cmp(&key(b)).then_with(|| a.advice.cmp(&b.advice))
    });
    // One reamer bought for the one hole or for both is one way out.
    let mut told: Vec<WayOut> = Vec::new();
    for way in ways_out {
        if !told.iter().any(|other| other.edits == way.edits) && told.len() < TOLD {
            told.push(way);
        }
    }
    let read = read_by(wide, &core.demands);
    let demand = |id: &ConstraintId| demanded(&wide.model.constraints[id.0]);
    let given = read.iter().filter_map(|&at| {
        let dimension = job.drawing.dimensions.get(at)?;
        dimension.made.map(|made| format!("`{}` is already made {made}", dimension.name))
    });
    Standoff {
        demands: core.demands.iter().map(demand).collect(),
        least: core.minimal,
        about: read.iter().map(|&at| wide.model.variables[at].name.clone()).collect(),
        given: given.collect(),
        ways_out: told,
    }
}

impl Standoff {
    /// The ways out in one line, cheapest first; none where none was found.
    pub(super) fn mend(&self) -> Option<String> {
        let ways_out: Vec<String> = self.ways_out.iter().map(WayOut::to_string).collect();
        (!ways_out.is_empty()).then(|| ways_out.join("; or "))
    }

    /// The same as a problem.
    pub fn problem(&self, file: &str) -> Problem {
        let names: Vec<String> = self.about.iter().map(|name| format!("`{name}`")).collect();
        let said: Vec<&str> = self.demands.iter().map(|demand| demand.because.as_str()).collect();
        let hold = match said.len() {
            1 => "this cannot hold",
            2 => "these cannot both hold",
            _ => "these cannot all hold",
        };
        let mut why = format!("{hold}: {}", said.join("; "));
        if !self.given.is_empty() {
            why += &format!("; and {}", self.given.join(", "));
        }
        if !self.least {
            why += " (the search stopped before it knew whether each of these is needed)";
        }
        let problem = Problem::new(format!("no metric sizes for {} satisfy every demand", names.join(", ")))
            .at(file.to_owned())
            .why(why)
            .mend(self.mend().unwrap_or_else(|| {
                "nothing that is let go alone was found to help: allow several of these sizes more with \
                     `within`, or move what stands there"
                    .into()
            }));
        self.about.iter().fold(problem, |problem, name| problem.concerns(name))
    }
}

impl std::fmt::Display for WayOut {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.advice)?;
        let things =
            if self.buys.len() == 1 { "1 thing".to_owned() } else { format!("{} things", self.buys.len()) };
        if !self.buys.is_empty() {
            write!(f, ", and buy {} ({things})", self.buys.join(", "))?;
        }
        Ok(())
    }
}
