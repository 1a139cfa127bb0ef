//! What is done to one feature where there is no mill: drilled, sawn and filed.
//!
//! What goes right through is drilled out and filed to its lines; what has a floor is drilled to a
//! stop and chiselled flat; a step is sawn and filed; a slit is sawn. What is too narrow or too
//! deep for a chisel, or bored where no faceplate takes it, has no way, and the order says so
//! ([`refused`]).

use super::{Cut, Reach, drill, hollow, slot_as_cut};

use crate::drawing::{Axis, Depth, Face, FeatureId, Kind};
use crate::measure::{Length, Toward};
use crate::order::by_eye;
use crate::order::deed::{Deed, Job, Makings};
use crate::order::work::{Deep, Tool, Work};
use crate::tables::drills::{self, Drill};
use crate::tables::processes::{limit, process};

/// The cuts of a feature by hand; none where it cannot be made so.
pub(in crate::order) fn cuts(job: &Job, makings: &mut Makings, id: FeatureId) -> Vec<Cut> {
    if refused(job, id).is_some() {
        return Vec::new();
    }
    let part = job.part;
    let cut = |work, size, reach, tool| Cut { feature: id, work, size, reach, tool, times: 1, from: None };
    match &part.feature(id).kind {
        Kind::Slot { width, depth: Depth::To(deep), .. } => {
            let (width, deep) = (part.size(*width), part.size(*deep));
            let long =
                part.slot_span_mm(id, 0.0).map_or(Length::ZERO, |[from, to]| Length::nearest(to - from));
            let slot = cut(slot_as_cut, width, Reach::To(deep), Tool::Chisel);
            waste_out(job, id, [width, long], deep).into_iter().chain([slot]).collect()
        }
        Kind::Pocket { width, height, depth: Depth::To(deep), .. } => {
            let sides = [part.size(*width), part.size(*height)];
            let deep = part.size(*deep);
            let least = sides[0].min(sides[1]);
            let pocket = cut(|_, deep| Work::MillPocket { deep }, least, Reach::To(deep), Tool::Chisel);
            waste_out(job, id, sides, deep).into_iter().chain([pocket]).collect()
        }
        Kind::Slot { width, .. } => {
            let slot = cut(slot_as_cut, part.size(*width), Reach::Through, Tool::File);
            let ends = 2 * u64::from(part.slot_opens(id).iter().all(Option::is_none)).max(1);
            way_in(job, makings, id, part.size(*width), ends).into_iter().chain([slot]).collect()
        }
        Kind::Pocket { width, height, .. } => {
            let least = part.size(*width).min(part.size(*height));
            let pocket = cut(|_, deep| Work::MillPocket { deep }, least, Reach::Through, Tool::File);
            way_in(job, makings, id, least, 4).into_iter().chain([pocket]).collect()
        }
        Kind::Step { .. } => super::steps::filed(job, id).into_iter().collect(),
        Kind::Slit { width, .. } => {
            makings.assume(format!(
                "{} is sawn by hand and comes out as wide as the blade cuts, about a millimetre",
                job.name(id)
            ));
            vec![cut(|_, _| Work::Slit, part.size(*width), Reach::Through, Tool::HandSaw)]
        }
        Kind::Counterbore { diameter, depth, .. } => {
            let size = part.size(*diameter);
            makings.assume(format!(
                "a counterbore of {size} with a pilot for the hole is needed on the drill press: an end mill snatches there"
            ));
            let counterbore = |diameter, deep: Deep| Work::Counterbore { diameter, depth: deep.length() };
            vec![cut(counterbore, size, Reach::To(part.size(*depth)), Tool::PilotedCounterbore(size))]
        }
        _ => super::cuts(job, makings, id),
    }
}

/// Holes to a stop, side by side over all of a floor, as wide as a drill owned leaves room for: their
/// points stop short of it. None where there is no such drill, or no depth for its point: then the
/// chisel takes all.
fn waste_out(job: &Job, id: FeatureId, [wide, long]: [Length; 2], deep: Length) -> Option<Cut> {
    let (narrow, long) = (wide.min(long), wide.max(long));
    let most = (narrow - limit("filing allowance") * 2).min(limit("widest drill"));
    let to = |bit: &Drill| deep - limit("pocket floor") - drills::point(bit.diameter);
    // A point longer than a third of the depth leaves the chisel most of the metal.
    let most = most.min(deep.max(Length::mm(2)));
    let fits = |bit: &&Drill| bit.diameter <= most && bit.diameter >= Length::mm(2) && to(bit).is_positive();
    let bit = job.bench.drills.iter().filter(fits).max_by_key(|bit| bit.diameter)?.clone();
    let beside = |along: Length| {
        let pitch = (bit.diameter + limit("chain web")).as_mm();
        ((along - bit.diameter).as_mm() / pitch).floor().max(0.0) as u64 + 1
    };
    Some(Cut {
        feature: id,
        work: drill,
        size: bit.diameter,
        reach: Reach::To(to(&bit).rounded(Length::microns(100), Toward::Less).value),
        times: beside(narrow) * beside(long),
        tool: Tool::Drill(bit),
        from: None,
    })
    .filter(|cut| matches!(cut.reach, Reach::To(deep) if deep.is_positive()))
}

/// Holes that let a file in, as wide as a drill owned leaves room for.
fn way_in(job: &Job, makings: &mut Makings, id: FeatureId, width: Length, holes: u64) -> Option<Cut> {
    let most = (width - limit("filing allowance") * 2).min(limit("widest drill"));
    let Some(bit) = hollow::below(job, most).filter(|bit| bit.diameter >= Length::mm(1)) else {
        makings.assume(format!("a drill under {most} to let a file into {} has to be bought", job.name(id)));
        return None;
    };
    let (work, reach) = (drill, Reach::Through);
    Some(Cut {
        feature: id,
        work,
        size: bit.diameter,
        reach,
        tool: Tool::Drill(bit),
        times: holes,
        from: None,
    })
}

/// Why a feature of a plate has no way without a mill; `None` where it has one.
pub(in crate::order) fn refused(job: &Job, id: FeatureId) -> Option<String> {
    let feature = job.part.feature(id);
    let chiselled = |across: Length, deep: Length| {
        let narrow = limit("narrow chisel");
        if across < narrow {
            return Some(format!(
                "there is no mill, and neither chisel nor file goes into {across} with a floor: {narrow} at the least"
            ));
        }
        let most = process("chisel out").reach.map_or(deep, |times| across.scaled(times));
        (deep > most).then(|| {
            format!("there is no mill, and a chisel reaches {most} down into {across}, not {deep}: twice the width")
        })
    };
    match &feature.kind {
        Kind::Slot { width, depth: Depth::To(deep), .. } => {
            chiselled(job.part.size(*width), job.part.size(*deep))
        }
        Kind::Pocket { width, height, depth: Depth::To(deep), .. } => {
            chiselled(job.part.size(*width).min(job.part.size(*height)), job.part.size(*deep))
        }
        Kind::Hole { .. } if by_eye::bored_in_lathe(job, id) => by_eye::no_boring(job, id),
        Kind::PitchCircle { holes, .. } | Kind::Row { holes, .. } => {
            let bored = holes.iter().filter(|&&hole| by_eye::bored_in_lathe(job, hole));
            bored.into_iter().find_map(|&hole| by_eye::no_boring(job, hole))
        }
        _ => None,
    }
}

/// Minutes by hand for what is filed out: round its sides, through its metal.
pub(in crate::order) fn minutes(job: &Job, deed: &Deed) -> u64 {
    let part = job.part;
    let whole = deed.process().minutes * job.turns(deed.lot);
    let Some(id) = deed.feature else { return whole };
    let round = match &part.feature(id).kind {
        Kind::Slot { width, depth: Depth::To(_), .. } => {
            // The floor is brought down as wide as it is long.
            let long = part.slot_span_mm(id, 0.0).map_or(0.0, |[from, to]| to - from);
            let (long, wide) = (Length::nearest(long), part.size(*width));
            return deed.process().minutes_by_hand(long, wide) * job.turns(deed.lot);
        }
        Kind::Pocket { width, height, depth: Depth::To(_), .. } => {
            let (wide, high) = (part.size(*width), part.size(*height));
            return deed.process().minutes_by_hand(wide, high) * job.turns(deed.lot);
        }
        Kind::Slot { width, .. } => {
            let long = part.slot_span_mm(id, 0.0).map_or(0.0, |[from, to]| to - from);
            Length::nearest(long * 2.0) + part.size(*width) * 3
        }
        Kind::Pocket { width, height, .. } => (part.size(*width) + part.size(*height)) * 2,
        // The floor of a step is filed as wide as it is long.
        Kind::Step { side, .. } => {
            let at = part.at(id, side.axis()).unwrap_or_default();
            let [left, right, bottom, top] = part.edges();
            let (out, along) = match side {
                Face::Left => (at - left, top - bottom),
                Face::Right => (right - at, top - bottom),
                Face::Bottom => (at - bottom, right - left),
                Face::Top => (top - at, right - left),
                _ => (part.whole(Axis::Z), right - left),
            };
            return deed.process().minutes_by_hand(out.max(Length::ZERO), along) * job.turns(deed.lot);
        }
        _ => return whole,
    };
    let metal = by_eye::deep(&deed.work).unwrap_or_default();
    deed.process().minutes_by_hand(round, metal) * job.turns(deed.lot)
}
