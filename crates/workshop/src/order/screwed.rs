//! Stacks that are screwed together through holes of their own, instead of stuck.
//!
//! The blanks are clamped together, squared and drilled as they lie. Cap screws go through two of
//! the holes while the clamps still hold, so that nothing has moved; from then on screws take
//! the push of the cutter, and the clamps are out of its way. It is common practice wherever the part has the
//! holes for it. [`screws`] says which holes serve, by what the standards print of screws, heads and nuts.

use super::deed::{Deed, Job, Lot, Makings, Scheme};
use super::places::holding;
use super::plates;
use super::rules;
use super::stacks;
use super::waste;
use super::work::{Held, Holding, Joined, Located, Machine, Tool, Work};
use crate::drawing::{Body, Depth, Face, FeatureId, Kind};
use crate::geometry::{Outline, Point};
use crate::measure::Length;
use crate::tables::clearance::{self, Class};
use crate::tables::heads::{cap_head, nut, sold_length};
use crate::tables::processes::limit;
use crate::tables::threads::{self, Thread};

/// A cap screw with its nut, through one hole of a stack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Screw {
    /// The hole.
    pub hole: FeatureId,
    /// The screw's thread: the largest coarse one that passes the hole.
    pub thread: &'static Thread,
    /// Its length under the head, for the tallest stack.
    pub long: Length,
    /// The same for the lower stacks, where those have more than one piece.
    pub long_in_lower: Option<Length>,
}

/// The screws that serve, smallest first: those of which any shed has some, with heads that go under a stack on
/// packing of a centimetre.
const SIZES: [&str; 5] = ["M3", "M4", "M5", "M6", "M8"];

/// The two screws that hold a stack of this scheme while its outline is cut, as far apart as may be; none
/// where no outline is cut on the stack, or no two holes serve.
pub(super) fn screws(job: &Job) -> Option<Vec<Screw>> {
    let outlined = matches!(job.part.drawing.body, Body::Bosses { .. } | Body::Outline { .. });
    let cut = outlined && job.mills() && job.cuts_outline() && job.mill_covers(job.metal(Lot::Stack));
    if !job.scheme.sticks() || !cut {
        return None;
    }
    let outline = job.part.outline().ok()?;
    let fit: Vec<Fit> = job.part.features().filter_map(|(id, _)| fit(job, &outline, id)).collect();
    let pairs = fit.iter().enumerate().flat_map(|(n, one)| fit[n + 1..].iter().map(move |two| (one, two)));
    let apart_mm = |(one, two): &(&Fit, &Fit)| one.at.distance_mm(two.at);
    // Nearer than this the two are as good as one, about which a stack turns.
    let far = |pair: &(&Fit, &Fit)| apart_mm(pair) >= 4.0 * pair.0.room_mm.max(pair.1.room_mm);
    let best = pairs.filter(far).max_by(|a, b| apart_mm(a).total_cmp(&apart_mm(b)));
    best.map(|(one, two)| vec![one.screw.clone(), two.screw.clone()])
}

/// A hole that a screw goes through.
struct Fit {
    screw: Screw,
    at: Point,
    /// From its middle to what the head and the nut reach.
    room_mm: f64,
}

fn fit(job: &Job, outline: &Outline, id: FeatureId) -> Option<Fit> {
    let Kind::Hole { diameter, depth: Depth::Through, .. } = job.part.feature(id).kind else { return None };
    let flat = |id: FeatureId| matches!(job.part.feature(id).face, Face::Front | Face::Back);
    let there = job.part.drawing.left(id).is_none() && job.joint_of(id).is_none();
    if !flat(id) || !there || !made_in_stack(job, id) {
        return None;
    }
    let size = job.part.size(diameter);
    let passes = |thread: &&'static Thread| {
        clearance::hole(thread, Class::Fine).is_ok_and(|hole| hole.diameter <= size)
    };
    let thread = SIZES.iter().rev().filter_map(|name| threads::find(name).ok()).find(passes)?;
    let (head, nut) = (cap_head(thread)?, nut(thread)?);
    let bears = size + limit("head bears") * 2;
    if head.plain < bears || nut.across < bears {
        return None;
    }
    let corners_mm = nut.across.as_mm() / (std::f64::consts::PI / 6.0).cos();
    let room_mm = head.plain.as_mm().max(corners_mm) / 2.0;
    let clear_mm = room_mm + limit("clear of the next").as_mm();
    let (x, y) = job.part.xy(id)?;
    let at = Point::at(x, y);
    let near = |(other, _): &(FeatureId, &crate::drawing::Feature)| {
        let reach = reach_mm(job, *other);
        let centre = job.part.xy(*other).map(|(x, y)| Point::at(x, y));
        let meets =
            centre.zip(reach).is_some_and(|(centre, reach)| centre.distance_mm(at) < clear_mm + reach);
        *other != id && flat(*other) && meets
    };
    if outline.distance_mm(at) < clear_mm || job.part.features().any(|other| near(&other)) {
        return None;
    }
    // The nut, and two threads that stand out of it.
    let past = nut.height + thread.pitch * 2;
    let lots = job.pieces(Lot::Stack).lots()?;
    let long_for = |high: u32| sold_length(job.part.thickness() * i64::from(high) + past);
    let lower = (lots.lowest() < lots.high && lots.lowest() > 1).then(|| long_for(lots.lowest()));
    let screw = Screw { hole: id, thread, long: long_for(lots.high)?, long_in_lower: lower.flatten() };
    Some(Fit { screw, at, room_mm })
}

/// Whether all that makes a hole reaches through the stack.
fn made_in_stack(job: &Job, id: FeatureId) -> bool {
    let Kind::Hole { diameter, .. } = job.part.feature(id).kind else { return false };
    let (drill, then) = job.hole_tools(diameter);
    let then_reaches = match then {
        None => true,
        Some(Tool::File) => false,
        Some(Tool::BoringTool) => job.bores_through(job.part.size(diameter), Lot::Stack),
        Some(tool) => job.reaches(&tool, Lot::Stack),
    };
    job.drilled_from_both_sides(id).is_none() && then_reaches && job.reaches(&Tool::Drill(drill), Lot::Stack)
}

/// How far what is cut right through reaches from its middle, all round; none of what is cut in each piece by
/// itself, when the screws are out, or lies all over the face.
fn reach_mm(job: &Job, id: FeatureId) -> Option<f64> {
    let size_mm = |id| job.part.size(id).as_mm();
    let kind = &job.part.feature(id).kind;
    if !matches!(kind.depth(), Some(Depth::Through)) {
        return None;
    }
    match kind {
        Kind::Hole { diameter, .. } | Kind::Flatted { diameter, .. } => Some(size_mm(*diameter) / 2.0),
        Kind::Tapped { thread, .. } => Some(job.part.thread(*thread).major.as_mm() / 2.0),
        Kind::Square { across, .. } => Some(size_mm(*across)),
        Kind::Slot { width, centres: Some(centres), open, .. } if open.is_empty() => {
            Some((size_mm(*width) + size_mm(*centres)) / 2.0)
        }
        // An open slot runs out somewhere over the part: no head is trusted beside it.
        Kind::Slot { .. } | Kind::CurvedSlot { .. } => Some(f64::INFINITY),
        Kind::Pocket { width, height, .. } => Some((size_mm(*width) + size_mm(*height)) / 2.0),
        _ => None,
    }
}

/// Adds the screwing together, once the holes are listed.
pub(super) fn screw(job: &Job, makings: &mut Makings) {
    if job.scheme.joined != Joined::Screwed {
        return;
    }
    let Some(screws) = screws(job) else { return };
    let place = on_bench(job, makings);
    let work = Work::ScrewTogether { screws };
    plates::add(job, makings, work, None, Lot::Stack, Tool::Screws, vec![place]);
}

/// Laid flat on the bench, the stack with whatever holds it.
pub(super) fn on_bench(job: &Job, makings: &mut Makings) -> usize {
    let bench = holding(job, Lot::Stack, Face::Front, Held::Bench, Located::Nothing);
    let bench = Holding { machine: Machine::BenchVice, up: Face::Front, ..bench };
    makings.place(job, Lot::Stack, bench)
}

/// The same stacks screwed instead of stuck, where two holes serve.
///
/// No order of them is ever better than that of the stuck ones: it keeps every rule of those and has
/// one more step, with tools of its own.
pub(super) fn instead_of(job: &Job) -> Option<Scheme> {
    let screwed = job.scheme.screwed();
    let serves = job.scheme.joined == Joined::Stuck && screws(&Job { scheme: screwed, ..*job }).is_some();
    serves.then_some(screwed)
}

/// Whether the person says anything of what holds pieces together: then every screwed stack is planned.
pub(super) fn asked_for(job: &Job) -> bool {
    let asked = &job.part.drawing.asked;
    let said = |words: &str| words.contains("screw") || words.contains(stacks::STUCK);
    asked.wanted.iter().chain(&asked.done).any(|stated| said(&stated.text.to_lowercase()))
}

/// The holes that a deed's screws go through.
pub(super) fn holes(deed: &Deed) -> Vec<FeatureId> {
    match &deed.work {
        Work::ScrewTogether { screws } => screws.iter().map(|screw| screw.hole).collect(),
        _ => Vec::new(),
    }
}

/// Every hole that screws go through.
pub(super) fn all_holes(makings: &Makings) -> Vec<FeatureId> {
    makings.deeds.iter().flat_map(holes).collect()
}

/// Whether a deed pushes the pieces of a screwed stack aside: clamps alone do not hold against it.
pub(super) fn pushes(job: &Job, deed: &Deed) -> bool {
    let milled = matches!(
        deed.work,
        Work::MillSlot { .. } | Work::MillPocket { .. } | Work::MillStep { .. } | Work::FileHole
    );
    job.scheme.joined == Joined::Screwed && deed.lot == Lot::Stack && (milled || waste::forms_outline(deed))
}

/// Whether a deed brings a hole to its size in the whole stack.
pub(super) fn makes(job: &Job, deed: &Deed, hole: FeatureId) -> bool {
    deed.lot == Lot::Stack && rules::is_for(job, deed, hole) && rules::finishes(job, deed, hole)
}
