//! One thing that can be let go so that parts can be made: carried out on their
//! drawings, as a change to their files, and in words.

use super::choice::MetricPart;
use super::model::ConstraintId;
use super::screws;
use super::standoff::Edit;
use super::ties::At;
use super::walls::Between;
use super::way::{drill_name, reamer_name};
use super::wide::Wide;
use crate::bench::{Bench, Reamer};
use crate::drawing::{DimensionId, Drawing, FeatureId, LeastWall, Role, ThreadId};
use crate::edit::{Change, Value};
use crate::measure::{Length, Unit, Written};
use crate::tables::drills::Drill;
use crate::tables::threads::Thread;

/// What to do with a wall that is thinner than it should be.
const GENTLY: &str = "cut it last and gently, and try whether it is stiff and strong enough";

/// One thing let go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// A dimension may go so far.
    Allow(At<DimensionId>, Length),
    /// The pin of a dimension is taken back.
    Unpin(At<DimensionId>),
    /// The pin of a thread is taken back.
    UnpinThread(At<ThreadId>),
    /// A hole is made as drawn, with the tool of that size bought.
    AsDrawn(At<DimensionId>, Tool),
    /// A thread stays as drawn, with its own tap.
    Keep(At<ThreadId>),
    /// A thread may keep so many percent of its stress area, which makes room for a thinner one.
    Weaken(At<ThreadId>, &'static Thread, u32),
    /// A thread that is held may follow what it screws into.
    LetFollow(At<ThreadId>),
    /// A mate gets another fit, in both files where both say it.
    Fit(Vec<At<usize>>, &'static str),
    /// A mate that counts as made follows what it meets.
    Follow(At<usize>),
    /// A chain may leave less, or more.
    Chain(At<usize>, End, Length),
    /// A size need not stay equal to another: its entry, and which it is.
    Differ(At<usize>, DimensionId),
    /// A wall may be so thin.
    Thin(At<Between>, Length),
}

/// One end of what a chain may leave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// At least.
    Least,
    /// At most.
    Most,
}

/// A tool of a size that no metric shop lists.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tool {
    /// A drill by its name.
    Drill(Drill),
    /// A reamer.
    Reamer(Reamer),
}

impl Tool {
    /// As the list of what to buy has it.
    pub fn name(&self) -> String {
        match self {
            Self::Drill(drill) => drill_name(drill),
            Self::Reamer(reamer) => reamer_name(reamer),
        }
    }
}

impl End {
    const fn key(self) -> &'static str {
        match self {
            Self::Least => "least",
            Self::Most => "most",
        }
    }
}

impl Act {
    /// The part whose file it changes; none for the bench.
    pub fn part(&self) -> Option<usize> {
        match self {
            Self::Allow(At { part, .. }, _)
            | Self::Unpin(At { part, .. })
            | Self::UnpinThread(At { part, .. })
            | Self::Keep(At { part, .. })
            | Self::Weaken(At { part, .. }, ..)
            | Self::LetFollow(At { part, .. })
            | Self::Follow(At { part, .. })
            | Self::Chain(At { part, .. }, ..)
            | Self::Differ(At { part, .. }, _)
            | Self::Thin(At { part, .. }, _) => Some(*part),
            Self::Fit(mates, _) => mates.first().map(|at| at.part),
            Self::AsDrawn(..) => None,
        }
    }

    /// Makes the change in the drawings and the bench.
    pub fn done(&self, drawings: &mut [Drawing], bench: &mut Bench) {
        match *self {
            Self::Allow(at, within) => drawings[at.part].dimensions[at.size.0].within = Some(within),
            Self::Unpin(at) => drawings[at.part].dimensions[at.size.0].pin = None,
            Self::UnpinThread(at) => drawings[at.part].threads[at.size.0].pin = None,
            Self::AsDrawn(_, Tool::Drill(ref drill)) => bench.drills.push(drill.clone()),
            Self::AsDrawn(_, Tool::Reamer(ref reamer)) => bench.reamers.push(reamer.clone()),
            Self::Keep(at) => drawings[at.part].threads[at.size.0].role.0 = Role::Hold,
            Self::Weaken(at, _, percent) => drawings[at.part].threads[at.size.0].keeps = Some(percent),
            Self::LetFollow(at) => drawings[at.part].threads[at.size.0].role.0 = Role::Suit,
            Self::Fit(ref mates, fit) => {
                for at in mates {
                    fit.clone_into(&mut drawings[at.part].mates[at.size].fit);
                }
            }
            Self::Follow(at) => drawings[at.part].mates[at.size].fixed = false,
            Self::Chain(at, end, to) => {
                let chain = &mut drawings[at.part].chains[at.size];
                let bound = Some(written(to));
                match end {
                    End::Least => chain.least = bound,
                    End::Most => chain.most = bound,
                }
            }
            Self::Differ(at, id) => {
                drawings[at.part].equal[at.size].dimensions.retain(|&equal| equal != id);
                drawings[at.part].equal.retain(|equal| equal.dimensions.len() > 1);
            }
            Self::Thin(At { part, size: (first, second) }, least) => {
                let (least, line) = (written(least), 0);
                let walls = &mut drawings[part].walls;
                walls.retain(|wall| !wall.is_of(first, second));
                walls.push(LeastWall { first, second, least, line });
            }
        }
    }

    /// The same change in the files.
    pub fn edits(&self, drawings: &[&Drawing]) -> Vec<Edit> {
        let of = |part: usize, change: Change| Edit::Other {
            part: drawings[part].name.clone(),
            file: drawings[part].file.clone(),
            change,
        };
        let set = |part: usize, at: String, to: Value| of(part, Change::Set { at, to });
        let dimension = |at: At<DimensionId>| &drawings[at.part].dimensions[at.size.0].at;
        let thread = |at: At<ThreadId>| &drawings[at.part].threads[at.size.0].at;
        match *self {
            Self::Allow(at, within) => {
                vec![set(at.part, format!("{}/within", dimension(at)), Value::text(exactly(within)))]
            }
            Self::Unpin(at) => vec![of(at.part, Change::Clear { at: format!("{}/pin", dimension(at)) })],
            Self::UnpinThread(at) => vec![of(at.part, Change::Clear { at: format!("{}/pin", thread(at)) })],
            Self::AsDrawn(_, Tool::Drill(ref drill)) => {
                vec![Edit::Bench(Change::Include { at: "drills".into(), item: Value::text(&drill.name) })]
            }
            Self::AsDrawn(_, Tool::Reamer(ref reamer)) => {
                let name = reamer_name(reamer);
                let item = Value::text(name.trim_start_matches("reamer "));
                vec![Edit::Bench(Change::Include { at: "reamers".into(), item })]
            }
            Self::Keep(at) => vec![set(at.part, format!("{}/role", thread(at)), Value::text("hold"))],
            Self::Weaken(at, _, percent) => {
                vec![set(at.part, format!("{}/keeps", thread(at)), Value::text(format!("{percent} %")))]
            }
            Self::LetFollow(at) => vec![set(at.part, format!("{}/role", thread(at)), Value::text("suit"))],
            Self::Fit(ref mates, fit) => mates
                .iter()
                .map(|at| set(at.part, format!("mate/{}/fit", at.size), Value::text(fit)))
                .collect(),
            Self::Follow(at) => vec![of(at.part, Change::Clear { at: format!("mate/{}/fixed", at.size) })],
            Self::Chain(at, end, to) => {
                vec![set(at.part, format!("chain/{}/{}", at.size, end.key()), Value::text(exactly(to)))]
            }
            Self::Differ(at, id) => {
                let equal = &drawings[at.part].equal[at.size].dimensions;
                let place = equal.iter().position(|&one| one == id).unwrap_or_default();
                vec![of(
                    at.part,
                    match equal.len() {
                        ..=2 => Change::Remove { table: "equal".into(), index: at.size },
                        _ => Change::Clear { at: format!("equal/{}/dimensions/{place}", at.size) },
                    },
                )]
            }
            Self::Thin(At { part, size: (first, second) }, least) => {
                let drawing = drawings[part];
                if let Some(known) = drawing.walls.iter().position(|wall| wall.is_of(first, second)) {
                    return vec![set(part, format!("wall/{known}/least"), Value::text(exactly(least)))];
                }
                let name = |id: FeatureId| drawing.features[id.0].name.clone();
                let entries = vec![
                    ("between".to_owned(), Value::texts([name(first), second.word(name)])),
                    ("least".to_owned(), Value::text(exactly(least))),
                ];
                vec![of(part, Change::Add { table: "wall".into(), entries, before: None })]
            }
        }
    }

    /// What to do, in words, with how it would come out.
    pub fn words(&self, drawings: &[&Drawing], wide: &Wide, parts: &[MetricPart]) -> String {
        let of = |part: usize| match drawings.len() {
            1 => String::new(),
            _ => format!(" of {}", drawings[part].name),
        };
        let size = |at: At<DimensionId>| {
            format!("`{}`{}", drawings[at.part].dimensions[at.size.0].name, of(at.part))
        };
        let comes =
            |at: At<DimensionId>| format!("{} mm", parts[at.part].dimensions[at.size.0].chosen.shown(3));
        let call = |at: At<ThreadId>| &drawings[at.part].threads[at.size.0];
        let thread = |at: At<ThreadId>| format!("`{}`{}", call(at).name, of(at.part));
        match *self {
            Self::Allow(at, within) => format!(
                "allow {} {} instead of {} (`within = \"{}\"`), so that it can be {}",
                size(at),
                exactly(within),
                exactly(wide.allowed[at.part][at.size.0]),
                exactly(within),
                comes(at)
            ),
            Self::Unpin(at) => format!("take back the pin of {}: it would be {}", size(at), comes(at)),
            Self::UnpinThread(at) => format!(
                "take back the pin of {}: it would be {}",
                thread(at),
                parts[at.part].threads[at.size.0].chosen.designation
            ),
            Self::AsDrawn(at, _) => format!("make {} as drawn", size(at)),
            Self::Keep(at) => {
                format!("keep the {} screw of {} (`role = \"hold\"`)", call(at).text, thread(at))
            }
            Self::Weaken(at, thinner, percent) => format!(
                "let {} be weaker than {} (`keeps = \"{percent} %\"`), so that it can be {}",
                thread(at),
                call(at).text,
                thinner.designation
            ),
            Self::LetFollow(at) => format!(
                "let {} be another (`role = \"suit\"`): it would be {}",
                thread(at),
                parts[at.part].threads[at.size.0].chosen.designation
            ),
            Self::Fit(ref mates, fit) => {
                let named = |at: &At<usize>| {
                    let mate = &drawings[at.part].mates[at.size];
                    (format!("`{}`{}", mate.name, of(at.part)), &mate.fit)
                };
                let (names, fits): (Vec<String>, Vec<&String>) = mates.iter().map(named).unzip();
                format!(
                    "make the fit of {} {fit} instead of {} (`fit = \"{fit}\"`)",
                    names.join(" and "),
                    fits[0]
                )
            }
            Self::Follow(at) => format!(
                "let `{}`{} follow what it meets: take `fixed = true` away",
                drawings[at.part].mates[at.size].name,
                of(at.part)
            ),
            Self::Chain(at, end, to) => {
                let chain = &drawings[at.part].chains[at.size];
                let (word, was) = match end {
                    End::Least => ("as little as", &chain.least),
                    End::Most => ("as much as", &chain.most),
                };
                let was = was.as_ref().map(|was| was.length).unwrap_or_default();
                format!(
                    "let `{}`{} leave {word} {} instead of {} (`{} = \"{}\"`)",
                    chain.name,
                    of(at.part),
                    exactly(to),
                    exactly(was),
                    end.key(),
                    exactly(to)
                )
            }
            Self::Differ(at, id) => {
                let equal = &drawings[at.part].equal[at.size].dimensions;
                let name = |id: &DimensionId| format!("`{}`", drawings[at.part].dimensions[id.0].name);
                let others: Vec<String> = equal.iter().filter(|&&other| other != id).map(name).collect();
                let one = At { part: at.part, size: id };
                format!(
                    "let {} differ from {}: take it out of `equal`, and it would be {}",
                    size(one),
                    others.join(" and "),
                    comes(one)
                )
            }
            Self::Thin(At { part, size: (first, second) }, least) => {
                let name = |id: FeatureId| drawings[part].features[id.0].name.clone();
                format!(
                    "let the wall between {} and {}{} be {} (a `[[wall]]` with `least = \"{}\"`)",
                    name(first),
                    second.word(name),
                    of(part),
                    exactly(least),
                    exactly(least)
                )
            }
        }
    }
}

impl Act {
    /// What speaks against it all the same.
    pub fn caution(&self, wide: &Wide, core: &[ConstraintId]) -> Option<String> {
        if let Self::Weaken(_, thinner, percent) = self {
            return Some(screws::weak(thinner, *percent));
        }
        let Self::Thin(at, _) = self else { return None };
        let id = core.iter().find(|id| wide.walls.get(id) == Some(at))?;
        Some(format!("{}; {GENTLY}", wide.model.constraints[id.0].because))
    }
}

/// A length in millimetres to the last place.
pub fn exactly(length: Length) -> String {
    format!("{} mm", length.shown(9))
}

fn written(length: Length) -> Written {
    Written { text: exactly(length), unit: Unit::Mm, length }
}
