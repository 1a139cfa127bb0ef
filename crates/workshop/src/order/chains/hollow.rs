//! Holes that are not simply drilled: for taper pins, countersunk, square, flatted; and
//! pockets.

use super::{Cut, Reach, drill, reach};
use crate::drawing::{Depth, FeatureId, Kind};
use crate::measure::{Length, Toward};
use crate::order::deed::{Job, Lot, Makings};
use crate::order::rules::thin;
use crate::order::work::{Deep, Tool, Work};
use crate::settings::taper_pin::{Pinning, taper_hole};
use crate::tables::drills::{self, Drill};
use crate::tables::processes::limit;
use crate::tables::taper_pins;

/// What a drill leaves for the file on either side.
fn filing() -> Length {
    limit("filing allowance")
}

/// What the drill that lets a cutter into a pocket leaves of its floor.
fn floor() -> Length {
    limit("pocket floor")
}

/// The widest drill that a small mill pushes into solid metal.
fn widest() -> Length {
    limit("widest drill")
}

fn cut(id: FeatureId, work: fn(Length, Deep) -> Work, size: Length, reach: Reach, tool: Tool) -> Cut {
    Cut { feature: id, work, size, reach, tool, times: 1, from: None }
}

/// Stepped drills, then the taper reamer.
pub(super) fn taper_pin(job: &Job, makings: &mut Makings, id: FeatureId) -> Vec<Cut> {
    let Kind::TaperPin { pin, depth } = job.part.feature(id).kind else { return Vec::new() };
    let Some(pin) = taper_pins::of_nominal(job.part.size(pin)) else { return Vec::new() };
    let whole = reach(job, depth);
    let (Some((large, _)), Some(length)) = (job.part.pin_ends(id), deep(job, id, depth)) else {
        return Vec::new();
    };
    let pinning = Pinning { pin: pin.clone(), length, through: length, proud: Length::ZERO };
    let hole = match taper_hole(pinning.clone(), &job.bench.drills) {
        Ok(hole) => hole,
        Err(_) => {
            let Ok(hole) = taper_hole(pinning, drills::all()) else { return Vec::new() };
            makings.assume(format!(
                "a drill small enough for the {} taper pin of {} has to be bought",
                pin.name,
                job.name(id)
            ));
            hole
        }
    };
    makings.assume(format!(
        "the pin of {} is as long as its hole, {:.1} mm, and flush at both ends: a longer one is cut off",
        job.name(id),
        length.as_mm()
    ));
    let mut all: Vec<Cut> = Vec::new();
    for (place, step) in hole.steps.iter().enumerate() {
        // No quill is set finer than a tenth; short of it the reamer has a little more.
        let depth = step.depth.rounded(Length::microns(100), Toward::Less).value;
        if place > 0 && !depth.is_positive() {
            continue;
        }
        let reach = if place == 0 { whole } else { Reach::To(depth) };
        all.push(cut(id, drill, step.drill.diameter, reach, Tool::Drill(step.drill.clone())));
    }
    let ream = |large, deep| Work::TaperReam { large, deep };
    all.push(cut(id, ream, large, whole, Tool::TaperReamer(pin)));
    all
}

/// The metal that a hole goes into.
fn deep(job: &Job, id: FeatureId, depth: Depth) -> Option<Length> {
    match depth {
        Depth::To(depth) => Some(job.part.size(depth)),
        Depth::Through => job.part.through(id),
    }
}

/// The cone, after the hole.
pub(super) fn countersink(job: &Job, id: FeatureId) -> Vec<Cut> {
    let Kind::Countersink { diameter, angle, over } = job.part.feature(id).kind else { return Vec::new() };
    let Some(sunk) = job.part.sunk(id) else { return Vec::new() };
    let work = |diameter, deep: Deep| Work::Countersink { diameter, deep: deep.length() };
    let mut made = cut(id, work, job.part.size(diameter), Reach::To(sunk), Tool::Countersink(angle));
    made.times = job.part.feature(over).kind.pattern().map_or(1, |holes| holes.len() as u64);
    vec![made]
}

/// A hole to let the cutter in, where there is room for one, then the pocket.
pub(super) fn pocket(job: &Job, makings: &mut Makings, id: FeatureId) -> Vec<Cut> {
    let Kind::Pocket { width, height, corner, depth, along } = job.part.feature(id).kind else {
        return Vec::new();
    };
    // The slides of a mill cut along themselves alone.
    if !(along.exact() / 90).is_integer() {
        return Vec::new();
    }
    let least = job.part.size(width).min(job.part.size(height));
    let whole = reach(job, depth);
    let deep = match whole {
        Reach::Through => job.metal(Lot::Piece(0)),
        Reach::To(deep) => deep,
    };
    let mill = job.mill_round(corner, deep, makings);
    let most = (least - filing() * 2).min(widest());
    let way_in = || {
        let entry = entering(job, id, mill.diameter, most)?;
        let reach = match whole {
            Reach::Through => Reach::Through,
            Reach::To(deep) => {
                let deep = deep - floor() - drills::point(entry.diameter);
                Reach::To(Some(deep).filter(|left| left.is_positive())?)
            }
        };
        Some(cut(id, drill, entry.diameter, reach, Tool::Drill(entry)))
    };
    let hole = thin::way_in(job, id, mill.diameter).map(|hole| job.name(hole));
    let drilled = if hole.is_none() { way_in() } else { None };
    match hole {
        Some(hole) => makings
            .assume(format!("the cutter goes down into {} in {hole}, which is there by then", job.name(id))),
        None if drilled.is_none() => makings.assume(format!(
            "{} has no room for a drilled way in: the {} cutter cuts to its middle, or goes down on a slope",
            job.name(id),
            mill.diameter
        )),
        None => {}
    }
    let work = |_, deep| Work::MillPocket { deep };
    drilled.into_iter().chain([cut(id, work, least, whole, Tool::EndMill(mill))]).collect()
}

/// The drill that lets a cutter into a pocket: the widest that a hole of the same face is drilled with anyway,
/// which is a drill less; else the widest that goes into the other pockets of that face too.
fn entering(job: &Job, pocket: FeatureId, cutter: Length, most: Length) -> Option<Drill> {
    let face = job.part.feature(pocket).face;
    let of_face = || job.part.features().filter(|(_, feature)| feature.face == face);
    let used = of_face().filter_map(|(_, feature)| match feature.kind {
        Kind::Hole { diameter, .. } => {
            let (drill, then) = job.hole_tools(diameter);
            (then != Some(Tool::File)).then_some(drill)
        }
        Kind::Tapped { thread, .. } => Some(job.tapping_drill(thread)),
        _ => None,
    });
    let fits = |drill: &Drill| drill.diameter >= cutter && drill.diameter <= most;
    let others = of_face().filter_map(|(_, feature)| match feature.kind {
        Kind::Pocket { width, height, .. } => {
            Some(job.part.size(width).min(job.part.size(height)) - filing() * 2)
        }
        _ => None,
    });
    let least = others.filter(|&most| most >= cutter).fold(most, Length::min);
    let widest = |most| below(job, most).filter(fits);
    used.filter(fits).max_by_key(|drill| drill.diameter).or_else(|| widest(least)).or_else(|| widest(most))
}

/// The widest drill owned that is no wider than a size.
pub(super) fn below(job: &Job, most: Length) -> Option<Drill> {
    job.bench.drills.iter().filter(|drill| drill.diameter <= most).max_by_key(|drill| drill.diameter).cloned()
}
