//! How much of a screw is in its thread: the screw of one part, the tapped hole of another,
//! and what the screw passes through on its way.
//!
//! The screw is followed from the shoulder it is screwed up to: its thread stands between two
//! places along it, and the tapped hole begins where what it passes through ends. How much
//! the two have in common is the least of three sums of sizes of all the parts, so the pair
//! is judged as it is made, at the shorter and the weaker of both. That the hole is long
//! enough by itself is [`crate::metric::engagement`]'s affair.

use std::collections::BTreeMap;

use super::{At, Parts, Tie, Ties};
use crate::drawing::{self, Axis, Depth, Face, FeatureId, Kind, Reference, SectionEnd, ThreadId};
use crate::measure::Length;
use crate::metric::demands::simple;
use crate::metric::engagement;
use crate::metric::gauge::sum_of;
use crate::metric::making::{Making, Moves};
use crate::metric::model::{Linear, VariableId};
use crate::metric::rules::{SCREW_REACHES, THREE_THREADS};
use crate::metric::stitch::Stitched;
use crate::metric::way::Cut;

/// A screw and the hole it is screwed into.
struct Pair {
    screw: At<ThreadId>,
    section: FeatureId,
    hole: At<ThreadId>,
    tapped: FeatureId,
}

/// Where the thread of a screw stands, from the shoulder it is screwed up to.
struct Along {
    begins: Linear,
    ends: Linear,
}

/// A sum that must not fall short, and what it is called.
struct Short {
    what: &'static str,
    sum: Linear,
}

impl Ties {
    /// Demands that screws keep enough of their thread in their holes.
    pub(super) fn screwed_in(&self, parts: &Parts, begins: &BTreeMap<usize, usize>, stitched: &mut Stitched) {
        for pair in self.pairs(parts) {
            self.keep_engaged(&pair, parts, begins, stitched);
        }
    }

    /// Screws with the holes they are tied to, where both parts are there.
    fn pairs(&self, parts: &Parts) -> Vec<Pair> {
        let there = |both: &[At<ThreadId>; 2]| both.iter().all(|at| parts.contains_key(&at.part));
        let cut = |at: At<ThreadId>| parts[&at.part].job.cut(at.size);
        let pair = |screw: At<ThreadId>, hole: At<ThreadId>| match (cut(screw), cut(hole)) {
            (Cut::Outside(section), Cut::Inside(tapped)) => Some(Pair { screw, section, hole, tapped }),
            _ => None,
        };
        let screws = self.ties.iter().filter_map(|tie| match tie {
            Tie::Screw(both) if there(both) => Some(*both),
            _ => None,
        });
        screws.filter_map(|[one, other]| pair(one, other).or_else(|| pair(other, one))).collect()
    }

    /// The holes that a screw passes on its way into its thread, as the files say.
    fn passed(&self, pair: &Pair, parts: &Parts) -> Vec<(usize, FeatureId)> {
        let ends = [pair.screw, pair.hole];
        let other = |both: &[At<ThreadId>; 2]| match both {
            [one, other] if ends.contains(one) => Some(*other),
            [one, other] if ends.contains(other) => Some(*one),
            _ => None,
        };
        let mut passed: Vec<(usize, FeatureId)> = Vec::new();
        for tie in &self.ties {
            let Tie::Screw(both) = tie else { continue };
            let Some(at) = other(both) else { continue };
            let Some(making) = parts.get(&at.part) else { continue };
            let clears =
                |kind: &Kind| matches!(*kind, Kind::Hole { clears: Some(own), .. } if own == at.size);
            let hole = making.job.part.features().find(|(_, feature)| clears(&feature.kind));
            passed.extend(hole.map(|(hole, _)| (at.part, hole)).filter(|hole| !passed.contains(hole)));
        }
        passed
    }

    fn keep_engaged(
        &self,
        pair: &Pair,
        parts: &Parts,
        begins: &BTreeMap<usize, usize>,
        stitched: &mut Stitched,
    ) {
        let (own, other) = (parts[&pair.screw.part], parts[&pair.hole.part]);
        if [own, other].iter().all(|making| making.moves == Moves::Never) {
            return;
        }
        let placed = |part: usize, sum: Linear| moved(sum, begins[&part]);
        let Some(full) = full_thread(own, pair.section) else { return };
        let full = placed(pair.screw.part, full);
        let mut short = vec![Short { what: "full thread on the screw of", sum: full.clone() }];
        let before: Option<Vec<Linear>> = self
            .passed(pair, parts)
            .into_iter()
            .map(|(part, hole)| thick_at(parts[&part], hole).map(|sum| placed(part, sum)))
            .collect();
        let sunk = sunk_below(other, pair.tapped).map(|sum| placed(pair.hole.part, sum));
        if let (Some(along), Some(before)) =
            (along(own, pair.section, &full, begins[&pair.screw.part]), before)
        {
            let before = before.iter().chain(&sunk).fold(Linear::default(), plus);
            short.push(Short {
                what: "screw beyond what it passes of",
                sum: along.ends.clone().less(&before),
            });
            if let Some(deep) = deep(other, pair.tapped) {
                let end = plus(before, &placed(pair.hole.part, deep));
                let end = sunk.iter().fold(end, |end, sunk| end.less(sunk));
                short.push(Short { what: "tapped hole beyond the shank of", sum: end.less(&along.begins) });
            }
        }
        let as_drawn = |sum: &Linear| sum_of(sum, |variable| stitched.model.variables[variable.0].drawn);
        let long = short.iter().map(|short| as_drawn(&short.sum)).min().unwrap_or_default();
        // On the drawings as they are entered the two do not meet: nothing is to be kept.
        if !long.is_positive() {
            return;
        }
        let drawn = other.job.drawing.threads[pair.hole.size.0].thread;
        let ways = &other.threads[pair.hole.size.0].ways;
        let least: Vec<Length> =
            ways.iter().map(|way| engagement::least(&other.job, drawn, long, way)).collect();
        let thread = VariableId(begins[&pair.hole.part] + other.ways.len() + pair.hole.size.0);
        let names = [
            format!("{} of {}", own.job.feature(pair.section).name, own.job.drawing.name),
            format!("{} of {}", other.job.feature(pair.tapped).name, other.job.drawing.name),
        ];
        for Short { what, sum } in short {
            let sum = simple(&sum);
            if sum.terms.is_empty() {
                continue;
            }
            let name = format!("{what} {} in {}", names[0], names[1]);
            let because = format!(
                "{} and {} have {long} of thread in common on the drawings: {}; {}",
                names[0], names[1], SCREW_REACHES.because, THREE_THREADS.because
            );
            engagement::reaches(&mut stitched.model, (name, because), (thread, least.clone()), sum);
        }
    }
}

/// A sum of a part's own sizes.
fn own(sum: &drawing::Linear) -> Linear {
    Linear {
        terms: sum.terms.iter().map(|(&id, &times)| (VariableId(id.0), times)).collect(),
        constant: sum.constant,
    }
}

fn size(id: drawing::DimensionId) -> Linear {
    Linear::default().plus(VariableId(id.0), 1.into())
}

fn plus(sum: Linear, other: &Linear) -> Linear {
    crate::metric::demands::add(sum, other, 1.into())
}

/// The same of variables that lie so much further on.
fn moved(mut sum: Linear, by: usize) -> Linear {
    sum.terms.iter_mut().for_each(|(variable, _)| variable.0 += by);
    sum
}

/// From one end of a section to the other.
fn long(making: &Making, section: FeatureId) -> Option<Linear> {
    let job = &making.job;
    let start = job.solved.place(section, Axis::X)?;
    let end = match job.part.neighbour(section, SectionEnd::Right) {
        Some(next) => job.solved.place(next, Axis::X)?,
        None => job.solved.edge(Reference::RightEdge)?,
    };
    Some(own(end).less(&own(start)))
}

/// The full thread on a section: its length less the grooves in it and its chamfers.
fn full_thread(making: &Making, section: FeatureId) -> Option<Linear> {
    let part = &making.job.part;
    let lost = part.features().filter_map(|(id, feature)| match feature.kind {
        Kind::Groove { width, .. } if part.section_of(id) == Some(section) => Some(size(width)),
        Kind::Chamfer { of, size: own, .. } if of == section => Some(size(own)),
        _ => None,
    });
    Some(lost.fold(long(making, section)?, |full, lost| full.less(&lost)))
}

/// Where the thread of a screw with one shoulder stands, counted from that; none for a stud
/// without one, which goes in as far as its thread does.
fn along(making: &Making, section: FeatureId, full: &Linear, begins: usize) -> Option<Along> {
    let part = &making.job.part;
    let Kind::Section { size: drawing::SectionSize::Threaded(thread), .. } = part.feature(section).kind
    else {
        return None;
    };
    let major = part.thread(thread).major;
    // The shank up to the shoulder; none where the part ends before there is one.
    let shank = |end: SectionEnd| {
        let mut shank = Vec::new();
        let mut at = part.neighbour(section, end)?;
        while part.reach_of(at)? * 2 <= major {
            shank.push(at);
            at = part.neighbour(at, end)?;
        }
        Some(shank)
    };
    let (shank, goes_in) = match (shank(SectionEnd::Left), shank(SectionEnd::Right)) {
        (Some(shank), None) => (shank, SectionEnd::Right),
        (None, Some(shank)) => (shank, SectionEnd::Left),
        _ => return None,
    };
    let whole = shank.iter().chain([&section]).map(|&id| long(making, id));
    let whole = whole.collect::<Option<Vec<Linear>>>()?.iter().fold(Linear::default(), plus);
    let point = part.features().filter_map(|(_, feature)| match feature.kind {
        Kind::Chamfer { of, end, size: own } if of == section && end == goes_in => Some(size(own)),
        _ => None,
    });
    let ends = moved(point.fold(whole, |ends, point| ends.less(&point)), begins);
    Some(Along { begins: ends.clone().less(full), ends })
}

/// What a screw passes through at a hole, under its head: the plate's thickness less what its
/// head is sunk. None where no sum says it.
fn thick_at(making: &Making, hole: FeatureId) -> Option<Linear> {
    let part = &making.job.part;
    let sunk = part
        .features()
        .any(|(_, feature)| matches!(feature.kind, Kind::Countersink { over, .. } if over == hole));
    let whole = plate_at(making, hole).filter(|_| !sunk)?;
    Some(match sunk_below(making, hole) {
        Some(sunk) => whole.less(&sunk),
        None => whole,
    })
}

/// How deep the counterbore over a hole is.
fn sunk_below(making: &Making, hole: FeatureId) -> Option<Linear> {
    making.job.part.features().find_map(|(_, feature)| match feature.kind {
        Kind::Counterbore { over, depth, .. } if over == hole => Some(size(depth)),
        _ => None,
    })
}

/// The thickness of the plate where a hole goes through it, where that is one size.
fn plate_at(making: &Making, hole: FeatureId) -> Option<Linear> {
    let (job, feature) = (&making.job, making.job.feature(hole));
    let thickness = job.plate_thickness()?;
    let whole = job.part.thickness_at(hole) == job.part.thickness();
    let plan =
        matches!(feature.face, Face::Front | Face::Back) && feature.kind.depth() == Some(Depth::Through);
    (plan && whole).then(|| size(thickness))
}

/// How deep the thread of a tapped hole goes from its face, where a sum says it.
fn deep(making: &Making, tapped: FeatureId) -> Option<Linear> {
    match making.job.feature(tapped).kind {
        Kind::Tapped { depth: Depth::To(depth), .. } => Some(size(depth)),
        Kind::Tapped { depth: Depth::Through, .. } => plate_at(making, tapped),
        _ => None,
    }
}
