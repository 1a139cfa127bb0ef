//! What is done to a plain or tapped hole, in order: a pilot where the drill is large, the
//! drill, and what brings it to size; a hole wider than any drill is chain drilled and filed.

use super::{Cut, Reach, reach, tap, through};
use crate::drawing::{Body, Depth, FeatureId, Kind};
use crate::measure::{Length, Toward};
use crate::order::by_eye;
use crate::order::deed::{Deed, Job, Lot, Makings};
use crate::order::places::opposite;
use crate::order::work::{Deep, Tool, Work};
use crate::settings::boring::cuts_to;
use crate::tables::drills::Drill;
use crate::tables::processes::{limit, locating, process};

/// A plain or tapped hole.
pub(super) fn plain(job: &Job, id: FeatureId) -> Vec<Cut> {
    let cut = |work, size, reach, tool| Cut { feature: id, work, size, reach, tool, times: 1, from: None };
    let mut all: Vec<Cut> = Vec::new();
    match &job.part.feature(id).kind {
        Kind::Hole { diameter, depth, .. } => {
            let (first, then) = job.hole_tools(*diameter);
            let (size, deep) = (job.part.size(*diameter), reach(job, *depth));
            if then == Some(Tool::File) {
                all.push(cut(chain_drill, size, deep, Tool::Drill(first)));
                all.push(cut(file_round, size, deep, Tool::File));
                return all;
            }
            all.extend(drilled(job, id, first, deep));
            if let Some(tool) = then {
                let work = if tool == Tool::BoringTool { bore } else { ream };
                all.push(cut(work, size, deep, tool));
            }
        }
        Kind::Tapped { thread, depth } => {
            let (first, deep) = (job.tapping_drill(*thread), reach(job, *depth));
            let size = first.diameter;
            all.extend(drilled(job, id, first, deep));
            all.push(cut(tap, size, deep, Tool::Tap(job.part.thread(*thread))));
        }
        _ => {}
    }
    all
}

/// A drill, after a pilot where it is large.
pub(super) fn drilled(job: &Job, id: FeatureId, drill: Drill, reach: Reach) -> Vec<Cut> {
    let cut = |drill: Drill| Cut {
        feature: id,
        work: super::drill,
        size: drill.diameter,
        reach,
        tool: Tool::Drill(drill),
        times: 1,
        from: None,
    };
    pilot(job, id, &drill, reach).into_iter().chain([drill]).map(cut).collect()
}

/// The drill that goes before a large one: wider than its web, whose chisel edge does not cut,
/// and long enough. None where the drill is small or no drill owned serves.
fn pilot(job: &Job, id: FeatureId, drill: &Drill, reach: Reach) -> Option<Drill> {
    if drill.diameter <= limit("pilot above") {
        return None;
    }
    let web = limit("drill web").scaled(drill.diameter.ratio_to(Length::mm(100)));
    let lot = if job.scheme.sticks() { Lot::Stack } else { Lot::Piece(0) };
    let metal = match reach {
        Reach::To(depth) => depth,
        Reach::Through => through(job, id, lot),
    };
    let serves = |own: &&Drill| {
        own.diameter >= web
            && own.diameter * 2 <= drill.diameter
            && process("drill").reaches(own.diameter, metal)
    };
    job.bench.drills.iter().filter(serves).min_by_key(|own| own.diameter).cloned()
}

/// The cuts of one hole for all holes of a pattern, which never gain by being apart; where each
/// is clocked by itself, those of each.
pub(super) fn of_pattern(job: &Job, id: FeatureId, holes: &[FeatureId], first: Vec<Cut>) -> Vec<Cut> {
    if holes.first().is_some_and(|&hole| by_eye::bored_in_lathe(job, hole)) {
        return holes.iter().flat_map(|&hole| plain(job, hole)).collect();
    }
    first.into_iter().map(|cut| Cut { feature: id, times: holes.len() as u64, ..cut }).collect()
}

/// A hole deeper than its drill reaches: half way from either side, and told.
pub(super) fn told_both_sides(job: &Job, makings: &mut Makings, id: FeatureId) -> Vec<Cut> {
    let all = plain(job, id);
    let (Some(metal), Some(Cut { tool: Tool::Drill(bit), .. })) =
        (job.drilled_from_both_sides(id), all.last())
    else {
        return all;
    };
    makings.assume(format!(
        "{} is {metal} deep and its drill reaches {}: it is drilled from both sides, and where the halves meet they may stand {} apart",
        job.name(id),
        process("drill").reach.map_or(metal, |times| bit.diameter.scaled(times)),
        halves_apart(job),
    ));
    both_sides(job, id, bit.clone(), metal)
}

/// How far apart two halves of a hole may stand where they meet.
pub(super) fn halves_apart(job: &Job) -> Length {
    let one =
        process("drill").position.unwrap_or_default() + job.slides_within() + locating("edge finder").error;
    one * 2
}

/// Half way from either side, the first past the middle.
pub(super) fn both_sides(job: &Job, id: FeatureId, bit: Drill, metal: Length) -> Vec<Cut> {
    let face = job.part.feature(id).face;
    let middle = metal.half().rounded(Length::microns(100), Toward::More).value;
    [(face, middle + limit("past the middle")), (opposite(face), middle)]
        .into_iter()
        .flat_map(|(from, depth)| {
            let half = drilled(job, id, bit.clone(), Reach::To(depth));
            half.into_iter().map(move |cut| Cut { from: Some(from), ..cut })
        })
        .collect()
}

/// Minutes of what takes longer the larger the hole: chain drilling and filing by the way
/// round, boring by its cuts. None of anything else.
pub(super) fn minutes(job: &Job, makings: &Makings, deed: &Deed) -> Option<u64> {
    let round = |diameter: Length| Length::nearest(diameter.as_mm() * std::f64::consts::PI);
    let one = match deed.work {
        Work::ChainDrill { diameter, .. } => deed.process().minutes_for(round(diameter)),
        Work::FileHoleRound { diameter, deep } => {
            deed.process().minutes_by_hand(round(diameter), deep.length())
        }
        Work::Bore { diameter, .. } => {
            let from = before_boring(makings, deed)?;
            deed.process().minutes + cuts_to(from, diameter).saturating_sub(USUAL_CUTS) * MINUTES_A_CUT
        }
        _ => return None,
    };
    Some(one * job.turns(deed.lot))
}

/// As many cuts as the minutes of boring stand for: two to rough and two to finish.
const USUAL_CUTS: u64 = 4;

/// One more cut of a boring tool with its setting, from memory.
const MINUTES_A_CUT: u64 = 2;

/// What a hole is before it is bored: as wide as what was listed for it last.
fn before_boring(makings: &Makings, deed: &Deed) -> Option<Length> {
    let own = |before: &&Deed| before.feature == deed.feature && before.lot == deed.lot;
    makings.deeds.iter().rev().filter(own).find_map(|before| match before.work {
        Work::Drill { diameter, .. } => Some(diameter),
        Work::ChainDrill { diameter, .. } => Some(broken_out(diameter)),
        _ => None,
    })
}

/// Across what is left when the middle of a chain drilled hole is broken out.
pub(in crate::order) fn broken_out(diameter: Length) -> Length {
    diameter - limit("chain margin") * 2
}

impl Job<'_> {
    /// The drill that brings a hole, or the holes of a pattern, to the size that a drill leaves.
    pub(in crate::order) fn last_drill(&self, id: FeatureId) -> Option<Drill> {
        match &self.part.feature(self.part.hole_of(id)).kind {
            Kind::Hole { diameter, .. } => Some(self.hole_tools(*diameter).0),
            Kind::Tapped { thread, .. } => Some(self.tapping_drill(*thread)),
            _ => None,
        }
    }

    /// The metal that a plain drilled hole goes through when its drill reaches no more than
    /// half of it; none for any other hole.
    pub(in crate::order) fn drilled_from_both_sides(&self, id: FeatureId) -> Option<Length> {
        let (drill, metal) = self.drilled_through(id)?;
        let reaches = |metal| process("drill").reaches(drill.diameter, metal);
        let half = metal.half() + limit("past the middle");
        (!reaches(metal) && reaches(half)).then_some(metal)
    }

    /// The drill and the metal of a plain hole that is drilled right through a plate.
    pub(super) fn drilled_through(&self, id: FeatureId) -> Option<(Drill, Length)> {
        let Kind::Hole { diameter, depth: Depth::Through, .. } = self.part.feature(id).kind else {
            return None;
        };
        let (drill, then) = self.hole_tools(diameter);
        let joint = self.joint_of(id).is_some();
        if then.is_some() || joint || matches!(self.part.drawing.body, Body::Turned { .. }) {
            return None;
        }
        Some((drill, through(self, id, Lot::Piece(0))))
    }

    /// Whether a hole, or those of a pattern, are filed round for want of a drill so wide.
    pub(in crate::order) fn filed_round(&self, id: FeatureId) -> bool {
        let Kind::Hole { diameter, .. } = self.part.feature(self.part.hole_of(id)).kind else { return false };
        self.hole_tools(diameter).1 == Some(Tool::File)
    }
}

pub(super) fn chain_drill(diameter: Length, deep: Deep) -> Work {
    Work::ChainDrill { diameter, deep }
}

fn file_round(diameter: Length, deep: Deep) -> Work {
    Work::FileHoleRound { diameter, deep }
}

pub(super) fn ream(diameter: Length, deep: Deep) -> Work {
    Work::Ream { diameter, deep }
}

pub(super) fn bore(diameter: Length, deep: Deep) -> Work {
    Work::Bore { diameter, deep }
}
