//! What is done to one feature where there is no mill: drilled, sawn and filed.
//!
//! What goes right through is drilled out and filed to its lines; a step is sawn and filed; a
//! slit is sawn. What needs a floor cut from above, or an edge bored, has no way, and the order
//! says so ([`refused`]).

use super::{Cut, Reach, drill, hollow};
use crate::drawing::{Axis, Depth, Face, FeatureId, Kind};
use crate::measure::Length;
use crate::order::by_eye;
use crate::order::deed::{Deed, Job, Makings};
use crate::order::work::{Deep, Tool, Work};
use crate::tables::processes::limit;

/// The cuts of a feature by hand; none where it cannot be made so.
pub(super) fn cuts(job: &Job, makings: &mut Makings, id: FeatureId) -> Vec<Cut> {
    if refused(job, id).is_some() {
        return Vec::new();
    }
    let part = job.part;
    let cut = |work, size, reach, tool| Cut { feature: id, work, size, reach, tool, times: 1, from: None };
    match &part.feature(id).kind {
        Kind::Slot { width, .. } => {
            let slot = cut(|_, deep| Work::MillSlot { deep }, part.size(*width), Reach::Through, Tool::File);
            let ends = 2 * u64::from(part.slot_opens(id).iter().all(Option::is_none)).max(1);
            way_in(job, makings, id, part.size(*width), ends).into_iter().chain([slot]).collect()
        }
        Kind::Pocket { width, height, .. } => {
            let least = part.size(*width).min(part.size(*height));
            let pocket = cut(|_, deep| Work::MillPocket { deep }, least, Reach::Through, Tool::File);
            way_in(job, makings, id, least, 4).into_iter().chain([pocket]).collect()
        }
        Kind::Step { leaves, .. } => {
            let whole = part.whole(part.feature(id).face.axis());
            let leaves = part.size(*leaves);
            vec![cut(|leaves, _| Work::MillStep { leaves }, leaves, Reach::To(whole - leaves), Tool::File)]
        }
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
    let blind = |depth: &Depth| *depth != Depth::Through;
    match &feature.kind {
        Kind::Slot { depth, .. } | Kind::Pocket { depth, .. } if blind(depth) => {
            Some("it has a floor, and there is no mill: a file goes right through or not at all".into())
        }
        Kind::Hole { .. } if by_eye::bored_in_lathe(job, id) => by_eye::no_boring(job, id),
        Kind::PitchCircle { holes, .. } | Kind::Row { holes, .. } => {
            let bored = holes.iter().any(|&hole| by_eye::bored_in_lathe(job, hole));
            bored.then(|| "its holes are bored, and there is no mill".into())
        }
        _ => None,
    }
}

/// Minutes by hand for what is filed out: round its sides, through its metal.
pub(super) fn minutes(job: &Job, deed: &Deed) -> u64 {
    let part = job.part;
    let whole = deed.process().minutes * job.turns(deed.lot);
    let Some(id) = deed.feature else { return whole };
    let round = match &part.feature(id).kind {
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
