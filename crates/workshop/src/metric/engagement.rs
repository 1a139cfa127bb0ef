//! How much thread a tapped hole has room for.

use super::way::Job;
use crate::drawing::{Axis, Body, Depth, Face, FeatureId, Kind, Part, Sizes};
use crate::geometry::{Line, Outline, Point, Segment, crossings};
use crate::measure::Length;

/// The length of thread in a feature of the metric part; none where nothing on
/// the drawing settles it.
pub fn available(job: &Job, sizes: &Sizes, id: FeatureId) -> Option<Length> {
    let part = job.part.with_sizes(sizes.clone());
    let feature = part.feature(id);
    match feature.kind {
        Kind::Tapped { depth: Depth::To(depth), .. } => Some(part.size(depth)),
        Kind::Tapped { depth: Depth::Through, .. } => through(&part, id),
        Kind::ClampScrew { across, .. } => beyond_slit(&part, id, across),
        _ => None,
    }
}

fn through(part: &Part, id: FeatureId) -> Option<Length> {
    let face = part.feature(id).face;
    if let Body::Turned { .. } = part.drawing.body {
        return match face {
            Face::Left | Face::Right => Some(part.thickness()),
            _ => part.cut_diameter(part.section_at(part.at(id, Axis::X)?)?),
        };
    }
    match face {
        Face::Front | Face::Back => Some(part.thickness_at(id)),
        _ => {
            let (first, last) = chord_mm(part, id)?;
            Some(Length::nearest(last - first))
        }
    }
}

/// From the far side of the slit to the far side of the part.
fn beyond_slit(part: &Part, id: FeatureId, slit: FeatureId) -> Option<Length> {
    let Kind::Slit { into, width, .. } = part.feature(slit).kind else { return None };
    let (first, last) = chord_mm(part, id)?;
    let axis = part.feature(id).face.axis();
    let middle = part.at(into, axis)?.as_mm();
    let half = part.size(width).half().as_mm();
    let long = match part.feature(id).face {
        Face::Top | Face::Right => middle - half - first,
        _ => last - middle - half,
    };
    (long > 0.0).then(|| Length::nearest(long))
}

/// Where the axis of a cross hole enters and leaves the outside.
fn chord_mm(part: &Part, id: FeatureId) -> Option<(f64, f64)> {
    let outline: Outline = part.outline().ok()?;
    let bounds = outline.bounds();
    let (along_y, at) = match part.feature(id).face.axis() {
        Axis::Y => (true, part.at(id, Axis::X)?.as_mm()),
        Axis::X => (false, part.at(id, Axis::Y)?.as_mm()),
        Axis::Z => return None,
    };
    let line = if along_y {
        Line::new(Point::new(at, bounds.least.y_mm - 1.0), Point::new(at, bounds.most.y_mm + 1.0))
    } else {
        Line::new(Point::new(bounds.least.x_mm - 1.0, at), Point::new(bounds.most.x_mm + 1.0, at))
    };
    let across = Segment::Line(line);
    let places = outline.segments().iter().flat_map(|segment| crossings(segment, &across));
    let places: Vec<f64> = places.map(|p| if along_y { p.y_mm } else { p.x_mm }).collect();
    let first = places.iter().copied().fold(f64::INFINITY, f64::min);
    let last = places.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (last > first).then_some((first, last))
}
