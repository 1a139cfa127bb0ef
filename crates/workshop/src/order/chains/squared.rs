//! Square and flatted holes: drilled and filed, or, where a broach of the size is owned,
//! drilled and broached. The search chooses which.

use super::{Cut, Reach, drill, through};
use crate::drawing::{Depth, FeatureId, Kind};
use crate::measure::Length;
use crate::order::deed::{Job, Lot, Makings};
use crate::order::work::{Deep, Tool, Work};
use crate::settings::squaring::{Hole, to_broach, to_file};

fn cut(id: FeatureId, work: fn(Length, Deep) -> Work, size: Length, tool: Tool) -> Cut {
    Cut { feature: id, work, size, reach: Reach::Through, tool, times: 1, from: None }
}

/// A round hole, then files.
pub(super) fn filed(job: &Job, makings: &mut Makings, id: FeatureId) -> Vec<Cut> {
    let (across, depth) = match job.part.feature(id).kind {
        Kind::Square { across, depth, .. } | Kind::Flatted { across, depth, .. } => (across, depth),
        _ => return Vec::new(),
    };
    // A file goes right through or not at all.
    if depth != Depth::Through {
        return Vec::new();
    }
    let size = job.part.size(across);
    let first = first(job, makings, id, to_file(size, &job.bench.drills));
    vec![first, cut(id, |_, _| Work::FileHole, size, Tool::File)]
}

/// A round hole as wide as the square, then a broach; none where no broach of the size is
/// owned or the metal is too deep for it.
pub(super) fn broached(job: &Job, makings: &mut Makings, id: FeatureId) -> Option<Vec<Cut>> {
    let Kind::Square { across, depth: Depth::Through, .. } = job.part.feature(id).kind else { return None };
    let size = job.part.size(across);
    if !job.bench.broaches.contains(&size) {
        return None;
    }
    let (tool, metal) = (Tool::Broach(size), through(job, id, Lot::Piece(0)));
    if !job.reaches_into(&tool, metal) {
        makings.assume(format!(
            "{} is {metal} deep, which is more than a broach of {size} is pushed through: it is filed",
            job.name(id)
        ));
        return None;
    }
    let first = first(job, makings, id, to_broach(size, &job.bench.drills));
    Some(vec![first, cut(id, |across, _| Work::Broach { across }, size, tool)])
}

fn first(job: &Job, makings: &mut Makings, id: FeatureId, hole: Hole) -> Cut {
    if !hole.owned {
        makings.assume(format!("drill {} has to be bought for {}", hole.drill.name, job.name(id)));
    }
    cut(id, drill, hole.drill.diameter, Tool::Drill(hole.drill))
}
