//! Where holes are: over plugs from the edges of a rectangle, and from hole to hole of
//! everything else.

use num_rational::Ratio;

use super::{Asked, Rows, limits};
use crate::drawing::{Axis, Body, DimensionId, Face, FeatureId, Kind, Linear};
use crate::measure::Length;
use crate::settings::measuring::over_pins::{OverPins, between_holes, from_edge};
use crate::settings::measuring::reading::Limits;
use crate::settings::show::{geometry, mm};
use crate::tables::instruments::Across;
use crate::why::Why;

/// Whether a dimension places a round hole, which is measured over a plug instead.
pub(super) fn is_hole(job: &super::Job, id: DimensionId) -> bool {
    job.part.features().any(|(feature, _)| {
        plug_of(job, feature).is_some()
            && [Axis::X, Axis::Y, Axis::Z].into_iter().any(|axis| {
                job.part.solved.place(feature, axis).is_some_and(|place| place.terms.contains_key(&id))
            })
    })
}

/// Across the plug that fills a hole: a tapped one before it is tapped.
fn plug_of(job: &super::Job, id: FeatureId) -> Option<Length> {
    match job.part.feature(id).kind {
        Kind::Hole { diameter, .. } => Some(job.part.size(diameter)),
        Kind::Tapped { thread, .. } => {
            job.metric.threads[thread.0].tapping_drill.as_ref().map(|drill| drill.diameter)
        }
        _ => None,
    }
}

/// A hole in its own face.
struct Hole {
    id: FeatureId,
    face: Face,
    plug: Length,
    tapped: bool,
    at: [Length; 2],
}

/// The two directions of a face.
const fn axes(face: Face) -> [Axis; 2] {
    match face.axis() {
        Axis::X => [Axis::Y, Axis::Z],
        Axis::Y => [Axis::X, Axis::Z],
        Axis::Z => [Axis::X, Axis::Y],
    }
}

pub(super) fn add(rows: &mut Rows) {
    let job = rows.job;
    if matches!(job.part.drawing.body, Body::Turned { .. }) {
        return;
    }
    let in_patterns: Vec<FeatureId> = job
        .part
        .features()
        .filter_map(|(_, feature)| feature.kind.pattern())
        .flat_map(|holes| holes.iter().skip(1).copied())
        .collect();
    let hole = |(id, feature): (FeatureId, &crate::drawing::Feature)| {
        let [a, b] = axes(feature.face);
        Some(Hole {
            id,
            face: feature.face,
            plug: plug_of(job, id)?,
            tapped: matches!(feature.kind, Kind::Tapped { .. }),
            at: [job.part.at(id, a)?, job.part.at(id, b)?],
        })
    };
    let holes: Vec<Hole> =
        job.part.features().filter(|(id, _)| !in_patterns.contains(id)).filter_map(hole).collect();
    for (n, hole) in holes.iter().enumerate() {
        if matches!(job.part.drawing.body, Body::Rectangle { .. }) {
            edges(rows, hole);
            continue;
        }
        let before = holes[..n].iter().filter(|other| other.face.axis() == hole.face.axis());
        let apart = |other: &&Hole| Length::nearest(apart_mm(hole, other));
        if let Some(other) = before.min_by_key(apart) {
            pair(rows, hole, other);
        }
    }
}

fn apart_mm(hole: &Hole, other: &Hole) -> f64 {
    (hole.at[0] - other.at[0]).as_mm().hypot((hole.at[1] - other.at[1]).as_mm())
}

/// What a hole's plug is called, and when it is put in.
fn plugged(rows: &Rows, hole: &Hole) -> String {
    let plug = rows.plug(hole.plug);
    if hole.tapped { format!("{plug} before it is tapped") } else { plug }
}

/// From the left, lower and back edges of a rectangle.
fn edges(rows: &mut Rows, hole: &Hole) {
    let job = rows.job;
    let [left, _, bottom, _] = job.part.edges();
    for (axis, at) in axes(hole.face).into_iter().zip(hole.at) {
        let (edge, from) = match axis {
            Axis::X => ("left edge", left),
            Axis::Y => ("bottom edge", bottom),
            Axis::Z => ("back face", Length::ZERO),
        };
        let Some(place) = job.part.solved.place(hole.id, axis) else { continue };
        let Ok(over) = from_edge(at - from, hole.plug) else { continue };
        let name = &job.part.feature(hole.id).name;
        let how = format!("from the {edge} to the far side of a plug");
        let what = format!("{name} from the {edge}");
        over_plugs(rows, what, at - from, over, sum(job, place), (how, vec![plugged(rows, hole)]));
    }
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
            out += along.scaled(share.ratio());
            whys.extend(reasons);
        }
    }
    if !out.is_positive() {
        out = Length::microns(100);
        whys.push(Why::assumed("a tenth of a millimetre: the places are not sums of dimensions"));
    }
    let names = [hole, other].map(|hole| job.part.feature(hole.id).name.clone());
    let what = format!("{} to {}", names[0], names[1]);
    let plugs = [plugged(rows, hole), plugged(rows, other)];
    let plugs = if plugs[0] == plugs[1] { vec![format!("two of {}", plugs[0])] } else { plugs.to_vec() };
    over_plugs(rows, what, distance, over, (out, whys), ("over the far sides of two plugs".into(), plugs));
}

/// The worst that the dimensions of a sum may be out together.
fn sum(job: &super::Job, place: &Linear) -> (Length, Vec<Why>) {
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
    (how, plugs): (String, Vec<String>),
) {
    let limits = Limits::about(size, out).moved(over.over - size);
    let why = geometry(format!(
        "{} and the plugs' halves, {}; what the dimensions that place it may be out by adds up to {}",
        mm(size),
        mm(over.over - size),
        mm(out)
    ));
    let why = whys.into_iter().fold(why, Why::because);
    let asked = Asked { what, size: over.over, limits, why, across: Across::Outside, how };
    let first = rows.rows.len();
    rows.measured(asked);
    if let Some(row) = rows.rows.get_mut(first) {
        row.with = format!("{}; {}", plugs.join(", "), row.with);
        row.size.shown = mm(size);
    }
}
