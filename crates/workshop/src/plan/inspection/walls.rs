//! Pockets and square holes of a rectangle: over the wall between each and the edges.

use super::places::{axes, sum};
use super::{Asked, Rows, limits};
use crate::drawing::{Axis, Body, DimensionId, FeatureId, Kind};
use crate::measure::Length;
use crate::settings::measuring::reading::Limits;
use crate::settings::show::{geometry, mm};
use crate::tables::instruments::Across;
use crate::why::Why;

/// Across a pocket or a square along the two directions of its face; none where it lies askew.
fn spans(job: &super::Job, id: FeatureId) -> Option<[DimensionId; 2]> {
    let (sizes, along) = match job.part.feature(id).kind {
        Kind::Pocket { width, height, along, .. } => ([width, height], along),
        Kind::Square { across, along, .. } => ([across; 2], along),
        _ => return None,
    };
    let quarters = along.as_degrees() / 90.0;
    if (quarters - quarters.round()).abs() > 1e-9 {
        return None;
    }
    let turned = (quarters.round() as i64).rem_euclid(2) == 1;
    Some(if turned { [sizes[1], sizes[0]] } else { sizes })
}

/// Whether a feature is measured so.
pub(super) fn over(job: &super::Job, id: FeatureId) -> bool {
    matches!(job.part.drawing.body, Body::Rectangle { .. }) && spans(job, id).is_some()
}

pub(super) fn add(rows: &mut Rows) {
    let job = rows.job;
    for (id, feature) in job.part.features().filter(|(id, _)| over(job, *id)) {
        let Some(spans) = spans(job, id) else { continue };
        for (axis, span) in axes(feature.face).into_iter().zip(spans) {
            let [left, _, bottom, _] = job.part.edges();
            let (edge, from) = match axis {
                Axis::X => ("left edge", left),
                Axis::Y => ("bottom edge", bottom),
                Axis::Z => ("back face", Length::ZERO),
            };
            let (Some(at), Some(place)) = (job.part.at(id, axis), job.part.solved.place(id, axis)) else {
                continue;
            };
            let wall = at - from - job.part.size(span).half();
            let (out, whys) = sum(job, place);
            let out = out + limits::either_way(job, span).half();
            let why = geometry(format!(
                "its middle lies {} from the edge, and it is {} across there",
                mm(at - from),
                mm(job.part.size(span))
            ));
            let why = whys.into_iter().fold(why, Why::because).because(job.why_dimension(span));
            if wall.is_positive() {
                rows.measured(Asked {
                    what: format!("{}, near side from the {edge}", feature.name),
                    size: wall,
                    limits: Limits::about(wall, out),
                    why,
                    across: Across::Outside,
                    how: "over the wall between them, one jaw in it, or a ball on the anvil".into(),
                });
            }
        }
    }
}
