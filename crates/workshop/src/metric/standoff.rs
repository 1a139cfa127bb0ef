//! When no metric part can be had: which demands cannot all hold, in words, and the
//! ways out, cheapest first, each tried before it is told.

use std::collections::BTreeSet;

use super::act::Act;
use super::clash;
use super::explain::demanded;
use super::memory::Memory;
use super::model::{ConstraintId, Model};
use super::ties::At;
use super::together::{Piece, in_order};
use super::ways_out::Stuck;
use super::wide::wide;
use super::{Demanded, search};
use crate::bench::Bench;
use crate::drawing::{Drawing, Pressure, Source};
use crate::edit::Change;
use crate::problem::Problem;

/// Most ways out that are told of for one set of demands.
const TOLD: usize = 5;

/// Most ways out that are tried for one set of demands.
const TRIED: usize = 20;

/// The strain of a size that goes just as far as it was allowed.
const WHOLE: u64 = 1000;

/// Demands that cannot all hold: without any one of them the others can.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standoff {
    /// The demands.
    pub demands: Vec<Demanded>,
    /// True when the set is known to be the least: every one of it is needed.
    pub least: bool,
    /// The dimensions and threads that they are about, by name; of several parts those of
    /// the part that it is told of.
    pub about: Vec<String>,
    /// The same of all parts that it is about.
    pub sizes: Vec<Sized>,
    /// What is settled among them and cannot move: `... is already made 8.02 mm`.
    pub given: Vec<String>,
    /// What can be let go, cheapest first.
    pub ways_out: Vec<WayOut>,
}

/// A dimension or thread of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sized {
    /// The part.
    pub part: String,
    /// Its file.
    pub file: String,
    /// The name of the dimension or thread.
    pub name: String,
}

/// Something that can be let go, and what is had then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayOut {
    /// What to do, with its numbers.
    pub advice: String,
    /// What speaks against it all the same, and what to do about that.
    pub caution: Option<String>,
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
    /// To the file of another part that it hangs together with.
    Other {
        /// The part.
        part: String,
        /// Its file.
        file: String,
        /// What is changed there.
        change: Change,
    },
}

/// Every set of demands on a part that cannot all hold, no demand in two of them;
/// empty where the part can be made, or where the fault is another.
pub fn standoffs(piece: &Piece, bench: &Bench, memory: &mut Memory) -> Vec<Standoff> {
    let drawing = piece.drawing;
    if drawing.pressure == Pressure::Holds || drawing.source == Source::Bought {
        return Vec::new();
    }
    let found = standoffs_of(&[*piece], bench, memory);
    found.iter().filter_map(|standoff| standoff.seen_from(drawing)).collect()
}

/// The same of parts that hang together, as nobody in particular sees it.
pub(super) fn standoffs_of(pieces: &[Piece], bench: &Bench, memory: &mut Memory) -> Vec<Standoff> {
    let pieces: Vec<Piece> = in_order(pieces).into_iter().map(|place| pieces[place]).collect();
    let mut thinned = BTreeSet::new();
    // Walls that may be thinned are no hindrance: they are thinned first.
    let (wide, cores) = loop {
        let Ok(wide) = wide(&pieces, bench, &thinned) else { return Vec::new() };
        let Ok(cores) = clash::cores(&wide.model, memory) else { return Vec::new() };
        let walls = cores.iter().flat_map(|core| &core.demands).filter_map(|id| {
            let part = *wide.owners.get(id)?;
            Some(At { part, size: wide.model.constraints[id.0].name.clone() })
        });
        let thinner: Vec<At<String>> = walls.filter(|wall| wide.may_thin.contains(wall)).collect();
        if thinner.is_empty() {
            break (wide, cores);
        }
        thinned.extend(thinner);
    };
    let stuck = Stuck { pieces: &pieces, bench, wide: &wide };
    let options: Vec<Vec<Vec<Act>>> = cores
        .iter()
        .map(|core| {
            let relaxed = clash::relaxations(&wide.model, &core.demands, memory).unwrap_or_default();
            stuck.acts(&core.demands, &relaxed)
        })
        .collect();
    let of = |(at, core): (usize, &clash::Core)| {
        let besides = (0..cores.len()).filter(|&other| other != at);
        let besides: Vec<Act> =
            besides.filter_map(|other| options[other].first()).flatten().cloned().collect();
        one_told(&stuck, core, &options[at], &besides, memory)
    };
    // What two files say of one fit clashes twice, and has the same ways out.
    let mut told: Vec<Standoff> = Vec::new();
    for standoff in cores.iter().enumerate().map(of) {
        let same = |known: &Standoff| {
            !standoff.ways_out.is_empty()
                && (&known.sizes, &known.ways_out) == (&standoff.sizes, &standoff.ways_out)
        };
        if !told.iter().any(same) {
            told.push(standoff);
        }
    }
    told
}

/// Whether sizes can be had that hold every demand but those of these names, with the
/// walls thinned that may be; `None` where the search could not tell.
pub fn can_be_had(piece: &Piece, bench: &Bench, without: &[&str]) -> Option<bool> {
    all_can_be_had(&[*piece], bench, without)
}

/// The same of parts that hang together.
pub fn all_can_be_had(pieces: &[Piece], bench: &Bench, without: &[&str]) -> Option<bool> {
    let all = wide(pieces, bench, &BTreeSet::new()).ok()?;
    let mut wide = wide(pieces, bench, &all.may_thin).ok()?;
    wide.model.constraints.retain(|constraint| !without.contains(&constraint.name.as_str()));
    known(&wide.model)
}

/// Whether these demands of a part can all hold, whatever else is asked of it.
pub fn these_can_hold(piece: &Piece, bench: &Bench, these: &[&str]) -> Option<bool> {
    let pieces = [*piece];
    let all = wide(&pieces, bench, &BTreeSet::new()).ok()?;
    let mut wide = wide(&pieces, bench, &all.may_thin).ok()?;
    wide.model.constraints.retain(|constraint| these.contains(&constraint.name.as_str()));
    known(&wide.model)
}

fn known(model: &Model) -> Option<bool> {
    match search::solve(model).ok()? {
        search::Outcome::Solved(_) => Some(true),
        search::Outcome::Infeasible { .. } => Some(false),
        search::Outcome::GaveUp { .. } => None,
    }
}

fn one_told(
    stuck: &Stuck,
    core: &clash::Core,
    options: &[Vec<Act>],
    besides: &[Act],
    memory: &mut Memory,
) -> Standoff {
    let wide = stuck.wide;
    let tried = options.iter().take(TRIED);
    let mut ways_out: Vec<WayOut> =
        tried.filter_map(|acts| stuck.tried_with(acts, besides, &core.demands, memory)).collect();
    ways_out.sort_by(|a, b| {
        // What takes metal away from a wall comes after what does not.
        let key = |way: &WayOut| {
            let strain = way.strain.max(WHOLE);
            (way.buys.len(), way.caution.is_some(), way.edits.len(), strain, way.departure)
        };
        key(a).cmp(&key(b)).then_with(|| a.advice.cmp(&b.advice))
    });
    // One reamer bought for the one hole or for both is one way out.
    let mut told: Vec<WayOut> = Vec::new();
    for way in ways_out {
        if !told.iter().any(|other| other.edits == way.edits) && told.len() < TOLD {
            told.push(way);
        }
    }
    let read = wide.read_by(&core.demands);
    let given = read.iter().filter_map(|at| {
        let dimension = stuck.pieces[at.part].drawing.dimensions.get(at.size)?;
        dimension.made.map(|made| format!("`{}` is already made {made}", dimension.name))
    });
    // Of several parts it is said whose each demand is.
    let said = |id: &ConstraintId| {
        let mut said = demanded(&wide.model.constraints[id.0]);
        if let Some(&part) = wide.owners.get(id).filter(|_| stuck.pieces.len() > 1) {
            said.because = format!("of {}, {}", stuck.pieces[part].drawing.name, said.because);
        }
        said
    };
    Standoff {
        demands: core.demands.iter().map(said).collect(),
        least: core.minimal,
        about: Vec::new(),
        given: given.collect(),
        sizes: read.iter().map(|&at| stuck.sized(at)).collect(),
        ways_out: told,
    }
}

impl Standoff {
    /// The ways out in one line, cheapest first; none where none was found.
    pub(super) fn mend(&self) -> Option<String> {
        let ways_out: Vec<String> = self.ways_out.iter().map(WayOut::to_string).collect();
        (!ways_out.is_empty()).then(|| ways_out.join("; or "))
    }

    /// The same as the person sees it who works on one of the parts; none where it is not
    /// about that part.
    pub(super) fn seen_from(&self, drawing: &Drawing) -> Option<Self> {
        let mine = |part: &str, file: &str| part == drawing.name && file == drawing.file;
        let own = self.sizes.iter().filter(|size| mine(&size.part, &size.file));
        let about: Vec<String> = own.map(|size| size.name.clone()).collect();
        let mut seen = Self { about, ..self.clone() };
        for edit in seen.ways_out.iter_mut().flat_map(|way| &mut way.edits) {
            if let Edit::Other { part, file, change } = edit
                && mine(part, file)
            {
                *edit = Edit::Part(change.clone());
            }
        }
        (!seen.about.is_empty()).then_some(seen)
    }

    /// The same as a problem.
    pub fn problem(&self, file: &str) -> Problem {
        let one = self.sizes.iter().all(|size| size.part == self.sizes[0].part);
        let named = |size: &Sized| match one {
            true => format!("`{}`", size.name),
            false => format!("`{}` of {}", size.name, size.part),
        };
        let names: Vec<String> = self.sizes.iter().map(named).collect();
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
        let what = if one { "satisfy every demand" } else { "go together" };
        let problem = Problem::new(format!("no metric sizes for {} {what}", names.join(", ")))
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

impl Edit {
    /// What it changes: the file and the place in it.
    pub(super) fn place(&self) -> String {
        let (file, change) = match self {
            Self::Part(change) => ("", change),
            Self::Bench(change) => return format!("bench {change:?}"),
            Self::Other { file, change, .. } => (file.as_str(), change),
        };
        match change {
            Change::Set { at, .. } | Change::Clear { at } => format!("{file} {at}"),
            other => format!("{file} {other:?}"),
        }
    }
}

impl WayOut {
    /// Whether it can all be done in the part's own file and that of the bench.
    pub fn is_here(&self) -> bool {
        !self.edits.iter().any(|edit| matches!(edit, Edit::Other { .. }))
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
        if let Some(caution) = &self.caution {
            write!(f, " [caution: {caution}]")?;
        }
        Ok(())
    }
}
