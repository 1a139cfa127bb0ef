//! Where holes and slots are: over plugs from the edges of a rectangle, and from one to another
//! of everything else.

use num_rational::Ratio;

use super::far::{self, From};
use super::{Asked, Rows, limits, turned, walls};
use crate::drawing::{Axis, Body, DimensionId, Face, FeatureId, Kind, Linear, Sweep};
use crate::geometry::{Arc, Point};
use crate::measure::Length;
use crate::settings::measuring::over_pins::{OverPins, between_holes, from_edge};
use crate::settings::measuring::reading::Limits;
use crate::settings::show::{geometry, mm};
use crate::tables::instruments::Across;
use crate::why::Why;

/// Whether a dimension places something that is measured over a plug or over a wall instead.
pub(super) fn elsewhere(job: &super::Job, id: DimensionId) -> bool {
    let on_turned = matches!(job.part.drawing.body, Body::Turned { .. });
    job.part.features().any(|(feature, kind)| {
        let axes: &[Axis] = match (on_turned, &kind.kind) {
            (true, _) => turned::measured_along(job, feature),
            (false, Kind::Pocket { .. } | Kind::Square { .. }) if walls::over(job, feature) => {
                &[Axis::X, Axis::Y, Axis::Z]
            }
            (false, _) if plug_of(job, feature).is_some() && plugged_in(job, feature) => {
                let edges = matches!(job.part.drawing.body, Body::Rectangle { .. });
                let beside = || {
                    job.part.features().take_while(|(other, _)| *other != feature).any(|(other, own)| {
                        own.face.axis() == kind.face.axis()
                            && plug_of(job, other).is_some()
                            && plugged_in(job, other)
                    })
                };
                // Across the plate, with no other beside it, only its height is told by a plug.
                if edges || kind.face.axis() == Axis::Z || beside() {
                    &[Axis::X, Axis::Y, Axis::Z]
                } else {
                    &[Axis::Z]
                }
            }
            _ => &[],
        };
        axes.iter().any(|&axis| {
            job.part.solved.place(feature, axis).is_some_and(|place| place.terms.contains_key(&id))
        })
    })
}

/// Whether a plug stands in it where it is: in a hole, and in a slot's round end.
fn plugged_in(job: &super::Job, id: FeatureId) -> bool {
    !matches!(job.part.feature(id).kind, Kind::Slot { .. }) || !ends(job, id).is_empty()
}

/// How wide the slot is whose round ends a dimension sets apart.
pub(super) fn slot_of(job: &super::Job, id: DimensionId) -> Option<Length> {
    job.part.features().find_map(|(_, feature)| match feature.kind {
        Kind::Slot { centres: Some(centres), width, .. }
        | Kind::CurvedSlot { reach: Sweep::Across { centres, .. }, width, .. }
            if centres == id =>
        {
            Some(job.part.size(width))
        }
        _ => None,
    })
}

/// Across the plug that fills a hole, a tapped one before it is tapped, or a slot's end.
pub(super) fn plug_of(job: &super::Job, id: FeatureId) -> Option<Length> {
    match job.part.feature(id).kind {
        Kind::Hole { diameter, .. } => Some(job.part.size(diameter)),
        Kind::Slot { width, .. } | Kind::CurvedSlot { width, .. } => Some(job.part.size(width)),
        Kind::Tapped { thread, .. } => {
            job.metric.threads[thread.0].tapping_drill.as_ref().map(|drill| drill.diameter)
        }
        _ => None,
    }
}

/// Across the bore in which a keyway has this depth.
pub(super) fn keyed_bore(job: &super::Job, depth: DimensionId) -> Option<Length> {
    job.part.features().find_map(|(_, feature)| match feature.kind {
        Kind::Keyway { depth: own, into, .. } if own == depth => job.part.cut_diameter(into),
        _ => None,
    })
}

/// The curved slot whose radius a dimension is, and the plain hole through the centre of its arc.
pub(super) fn arc_of(job: &super::Job, radius: DimensionId) -> Option<(FeatureId, Option<FeatureId>)> {
    let of = |(id, feature): (FeatureId, &crate::drawing::Feature)| match feature.kind {
        Kind::CurvedSlot { radius: own, .. } if own == radius => Some(id),
        _ => None,
    };
    let slot = job.part.features().find_map(of)?;
    let centre = [Axis::X, Axis::Y].map(|axis| job.part.placed_at(slot, axis));
    let there = |(id, feature): (FeatureId, &crate::drawing::Feature)| {
        let plain = matches!(feature.kind, Kind::Hole { .. }) && feature.face.axis() == Axis::Z;
        (plain && [Axis::X, Axis::Y].map(|axis| job.part.at(id, axis)) == centre).then_some(id)
    };
    Some((slot, job.part.features().find_map(there)))
}

/// The radius of a curved slot: over plugs in the bore at its centre and in one of its ends; where there is no
/// such bore it is told by what made it.
pub(super) fn arc(rows: &mut Rows, asked: Asked, (slot, bore): (FeatureId, Option<FeatureId>)) {
    let sizes = bore.and_then(|bore| Some([plug_of(rows.job, bore)?, plug_of(rows.job, slot)?]));
    let over = sizes.and_then(|sizes| between_holes(asked.size, sizes).ok().zip(Some(sizes)));
    let Some((over, sizes)) = over else {
        let how = "the offset or the places it is cut at make it; a strip cut to its inner side lies along that side without light";
        return rows.by_tool(asked, how, "two bores to measure its ends from");
    };
    let plugs = sizes.map(|size| rows.plug(size));
    let limits = asked.limits.moved(over.over - asked.size);
    let how = "over the far sides of a plug in the bore at its centre and one in either end".into();
    rows.over(Asked { limits, how, across: Across::Outside, ..asked }, over.over, &plugs.join(", "));
}

/// The bore at the middle of the round whose radius a dimension is, and across its plug.
pub(super) fn bore_of(job: &super::Job, radius: DimensionId) -> Option<(String, Length)> {
    let boss = job.part.features().find(|(_, feature)| match feature.kind {
        Kind::Boss { radius: own } => own == radius,
        _ => false,
    })?;
    let flat = |id: FeatureId| Some([job.part.at(id, Axis::X)?, job.part.at(id, Axis::Y)?]);
    let at = flat(boss.0)?;
    job.part.features().find_map(|(id, feature)| {
        let Kind::Hole { diameter, .. } = feature.kind else { return None };
        let through = feature.face.axis() == Axis::Z && flat(id) == Some(at);
        through.then(|| (feature.name.clone(), job.part.size(diameter)))
    })
}

/// A hole, or the end of a slot, in its own face.
#[derive(Clone)]
struct Hole {
    id: FeatureId,
    name: String,
    face: Face,
    plug: Length,
    at: [Length; 2],
    /// What it may be out beside its place, and why: half of what the length of a slot may.
    also: [Length; 2],
    by: Option<DimensionId>,
}

/// The two directions of a face.
pub(super) const fn axes(face: Face) -> [Axis; 2] {
    match face.axis() {
        Axis::X => [Axis::Y, Axis::Z],
        Axis::Y => [Axis::X, Axis::Z],
        Axis::Z => [Axis::X, Axis::Y],
    }
}

/// The closed ends of a slot: what each is called, and how far from its place, with its share of
/// the length.
fn ends(job: &super::Job, id: FeatureId) -> Vec<(&'static str, [f64; 2])> {
    let Kind::Slot { along, .. } = job.part.feature(id).kind else { return Vec::new() };
    let Some(span_mm) = job.part.slot_span_mm(id, 0.0) else { return Vec::new() };
    let opens = job.part.slot_opens(id);
    let (sin, cos) = along.as_rad().sin_cos();
    let named = if opens == [None; 2] { ["first end", "other end"] } else { ["closed end"; 2] };
    let closed = (0..2).filter(|&n| opens[n].is_none());
    closed.map(|n| (named[n], [span_mm[n] * cos, span_mm[n] * sin])).collect()
}

/// Both ends of a curved slot, each out by what its radius may be, and by half of what lies between them.
fn round_ends(job: &super::Job, plain: &Hole, arc: Arc) -> Vec<Hole> {
    let Kind::CurvedSlot { radius, reach, .. } = job.part.feature(plain.id).kind else { return Vec::new() };
    let (along, by) = match reach {
        Sweep::Between { .. } => (Length::ZERO, radius),
        Sweep::Across { centres, .. } => (limits::either_way(job, centres).half(), centres),
    };
    let out = limits::either_way(job, radius);
    let end = |(name, at, rad): (&str, Point, f64)| {
        let (sin, cos) = (rad.sin().abs(), rad.cos().abs());
        let both = |of: f64, across: f64| Length::nearest(out.as_mm() * of + along.as_mm() * across);
        Hole {
            name: format!("{}, {name}", plain.name),
            at: [Length::nearest(at.x_mm), Length::nearest(at.y_mm)],
            also: [both(cos, sin), both(sin, cos)],
            by: Some(by),
            ..plain.clone()
        }
    };
    let ends = [("first end", arc.start(), arc.start_rad), ("other end", arc.end(), arc.end_rad())];
    ends.into_iter().map(end).collect()
}

/// The holes of patterns but the first of each, which stands for the place of all.
pub(super) fn later_of_patterns(job: &super::Job) -> Vec<FeatureId> {
    let later = job.part.features().filter_map(|(_, feature)| feature.kind.pattern());
    later.flat_map(|holes| holes.iter().skip(1).copied()).collect()
}

pub(super) fn add(rows: &mut Rows) {
    let job = rows.job;
    if matches!(job.part.drawing.body, Body::Turned { .. }) {
        return;
    }
    let in_patterns = later_of_patterns(job);
    let hole = |(id, feature): (FeatureId, &crate::drawing::Feature)| -> Option<Vec<Hole>> {
        let [a, b] = axes(feature.face);
        let at = [job.part.at(id, a)?, job.part.at(id, b)?];
        let plain = Hole {
            id,
            name: feature.name.clone(),
            face: feature.face,
            plug: plug_of(job, id)?,
            at,
            also: [Length::ZERO; 2],
            by: None,
        };
        if let Some(arc) = job.part.curved_arc(id) {
            return Some(round_ends(job, &plain, arc));
        }
        let Kind::Slot { centres, .. } = feature.kind else { return Some(vec![plain]) };
        let half = centres.map_or(Length::ZERO, |centres| limits::either_way(job, centres).half());
        let end = |(name, [x, y]): (&str, [f64; 2])| {
            let long = x.hypot(y).max(f64::MIN_POSITIVE);
            let share = |way: f64| Length::nearest(half.as_mm() * (way / long).abs());
            Hole {
                name: format!("{}, {name}", feature.name),
                at: [at[0] + Length::nearest(x), at[1] + Length::nearest(y)],
                also: [share(x), share(y)],
                by: centres,
                ..plain.clone()
            }
        };
        Some(ends(job, id).into_iter().map(end).collect())
    };
    let holes: Vec<Hole> =
        job.part.features().filter(|(id, _)| !in_patterns.contains(id)).filter_map(hole).flatten().collect();
    for (n, hole) in holes.iter().enumerate() {
        if matches!(job.part.drawing.body, Body::Rectangle { .. }) {
            edges(rows, hole);
            continue;
        }
        let before = holes[..n].iter().filter(|other| other.face.axis() == hole.face.axis());
        let apart = |other: &&Hole| Length::nearest(apart_mm(hole, other));
        if let Some(other) = before.min_by_key(apart) {
            pair(rows, hole, other);
        } else if hole.face.axis() == Axis::Z {
            alone(rows, hole);
        } else {
            edge(rows, hole, Axis::Z, 1);
        }
    }
}

/// The first hole of an outline: the metal left to the outside, where its place may be out.
fn alone(rows: &mut Rows, hole: &Hole) {
    let job = rows.job;
    let places = [Axis::X, Axis::Y].map(|axis| job.part.solved.place(hole.id, axis));
    let (Ok(outline), [Some(x), Some(y)]) = (job.part.outline(), places) else { return };
    if x.terms.is_empty() && y.terms.is_empty() {
        return;
    }
    let off_mm = outline.distance_mm(Point::at(hole.at[0], hole.at[1]));
    let wall = Length::nearest(off_mm.abs()) - hole.plug.half();
    if !wall.is_positive() {
        return;
    }
    let [(x_out, mut whys), (y_out, others)] = [x, y].map(|place| sum(job, place));
    whys.extend(others);
    let out = x_out.max(y_out) + hole.also[0].max(hole.also[1]);
    let (out, whys) = told(rows, (out, whys), wall);
    let why = geometry("the nearest of the outside to its middle, less half of the hole");
    rows.measured(Asked {
        what: format!("{} to the outside", hole.name),
        size: wall,
        limits: Limits::about(wall, out),
        why: whys.into_iter().fold(why, Why::because),
        across: Across::Outside,
        how: "over the wall where it is thinnest, a pin on the anvil where the jaws are flat".into(),
    });
}

fn apart_mm(hole: &Hole, other: &Hole) -> f64 {
    (hole.at[0] - other.at[0]).as_mm().hypot((hole.at[1] - other.at[1]).as_mm())
}

/// What a hole's plug is called, and when it is put in.
pub(super) fn plugged(rows: &Rows, id: FeatureId, plug: Length) -> String {
    let words = rows.plug(plug);
    let tapped = matches!(rows.job.part.feature(id).kind, Kind::Tapped { .. });
    if tapped { format!("{words} before it is tapped") } else { words }
}

/// From the left, lower and back edges of a rectangle.
fn edges(rows: &mut Rows, hole: &Hole) {
    for (n, axis) in axes(hole.face).into_iter().enumerate() {
        edge(rows, hole, axis, n);
    }
}

fn edge(rows: &mut Rows, hole: &Hole, axis: Axis, n: usize) {
    let job = rows.job;
    let [left, _, bottom, _] = job.part.edges();
    let (edge, from) = match axis {
        Axis::X => ("left edge", left),
        Axis::Y => ("bottom edge", bottom),
        Axis::Z => ("back face", Length::ZERO),
    };
    let size = hole.at[n] - from;
    let Some(place) = job.part.solved.place(hole.id, axis) else { return };
    let Ok(over) = from_edge(size, hole.plug) else { return };
    let how = format!("from the {edge} to the far side of a plug");
    let what = format!("{} from the {edge}", hole.name);
    let (mut out, mut whys) = sum(job, place);
    out += hole.also[n];
    whys.extend(hole.by.map(|by| job.why_dimension(by)));
    let out = told(rows, (out, whys), size);
    over_plugs(rows, what, size, over, out, (how, vec![plugged(rows, hole.id, hole.plug)], From::Edge));
}

/// From one hole to another, straight.
fn pair(rows: &mut Rows, hole: &Hole, other: &Hole) {
    let job = rows.job;
    let distance_mm = apart_mm(hole, other);
    if distance_mm < 1e-6 {
        return;
    }
    let distance = Length::nearest(distance_mm);
    let Ok(over) = between_holes(distance, [hole.plug, other.plug]) else { return };
    // Along the line between them each direction counts by its share.
    let mut out = Length::ZERO;
    let mut whys = Vec::new();
    for (n, axis) in axes(hole.face).into_iter().enumerate() {
        let places = [hole, other].map(|hole| job.part.solved.place(hole.id, axis));
        let share = Length::nearest(((hole.at[n] - other.at[n]).as_mm() / distance_mm).abs());
        if let [Some(one), Some(two)] = places {
            let (along, reasons) = sum(job, &one.clone().minus(two));
            out += (along + hole.also[n] + other.also[n]).scaled(share.ratio());
            whys.extend(reasons);
        }
    }
    whys.extend([hole, other].into_iter().filter_map(|hole| hole.by).map(|by| job.why_dimension(by)));
    let (out, whys) = told(rows, (out, whys), distance);
    let what = format!("{} to {}", hole.name, other.name);
    let plugs = [plugged(rows, hole.id, hole.plug), plugged(rows, other.id, other.plug)];
    let plugs = if plugs[0] == plugs[1] { vec![format!("two of {}", plugs[0])] } else { plugs.to_vec() };
    let how = "over the far sides of two plugs".into();
    over_plugs(rows, what, distance, over, (out, whys), (how, plugs, From::Hole));
}

/// A place that no dimension lets be out, such as one half-way across, is held as a size of its
/// own would be.
pub(super) fn told(rows: &Rows, (out, mut whys): (Length, Vec<Why>), size: Length) -> (Length, Vec<Why>) {
    if out.is_positive() {
        return (out, whys);
    }
    let (out, why) = limits::general(rows.job, size);
    whys.insert(0, why);
    (out, whys)
}

/// The worst that the dimensions of a sum may be out together.
pub(super) fn sum(job: &super::Job, place: &Linear) -> (Length, Vec<Why>) {
    let each = |(&id, &count): (&DimensionId, &Ratio<i128>)| {
        let count = if count < Ratio::from_integer(0) { -count } else { count };
        limits::either_way(job, id).scaled(count)
    };
    (place.terms.iter().map(each).sum(), job.why_sum(place))
}

fn over_plugs(
    rows: &mut Rows,
    what: String,
    size: Length,
    over: OverPins,
    (out, whys): (Length, Vec<Why>),
    (how, plugs, from): (String, Vec<String>, From),
) {
    let limits = Limits::about(size, out).moved(over.over - size);
    let why = geometry(format!(
        "{} and the plugs' halves, {}; what the dimensions that place it may be out by adds up to {}",
        mm(size),
        mm(over.over - size),
        mm(out)
    ));
    let why = whys.into_iter().fold(why, Why::because);
    let asked = Asked { what, size, limits, why, across: Across::Outside, how };
    let plugs = plugs.join(", ");
    if !far::measured(rows, &asked, over, &plugs, from) {
        rows.over(asked, over.over, &plugs);
    }
}
