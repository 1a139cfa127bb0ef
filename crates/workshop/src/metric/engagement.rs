//! How much thread a tapped hole has room for.

use super::way::Job;
use crate::drawing::{Axis, Body, Depth, Face, FeatureId, Kind, Part, Sizes};
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
            let (first, last) = part.chord(id)?;
            Some(last - first)
        }
    }
}

/// From the far side of the slit to the far side of the part.
fn beyond_slit(part: &Part, id: FeatureId, slit: FeatureId) -> Option<Length> {
    let Kind::Slit { into, width, .. } = part.feature(slit).kind else { return None };
    let (first, last) = part.chord(id)?;
    let axis = part.feature(id).face.axis();
    let middle = part.at(into, axis)?;
    let half = part.size(width).half();
    let long = match part.feature(id).face {
        Face::Top | Face::Right => middle - half - first,
        _ => last - middle - half,
    };
    long.is_positive().then_some(long)
}
