//! Distances that are held: both ends are made in one holding.

use super::deed::Job;
use crate::drawing::{Face, FeatureId, Kind, Reference, Role, Says};

/// Features that a held distance joins, each cluster once. What stands on a boss is
/// the boss's bore.
pub(super) fn clusters(job: &Job) -> Vec<Vec<FeatureId>> {
    let mut clusters: Vec<Vec<FeatureId>> = Vec::new();
    for (id, feature) in job.part.features() {
        for statement in &feature.placing {
            let (dimension, from) = match statement.says {
                Says::Along { dimension, from, .. } | Says::Polar { dimension, from, .. } => {
                    (dimension, from)
                }
                _ => continue,
            };
            let Reference::Feature(from) = from else { continue };
            if job.part.drawing.dimensions[dimension.0].role.0 != Role::Hold {
                continue;
            }
            let (Some(a), Some(b)) = (hole_at(job, id), hole_at(job, from)) else { continue };
            if a != b {
                join(&mut clusters, a, b);
            }
        }
    }
    for cluster in &mut clusters {
        cluster.sort();
    }
    clusters
}

fn join(clusters: &mut Vec<Vec<FeatureId>>, a: FeatureId, b: FeatureId) {
    let mut joined = vec![a, b];
    clusters.retain(|cluster| {
        let meets = cluster.contains(&a) || cluster.contains(&b);
        if meets {
            joined.extend(cluster.iter().filter(|id| **id != a && **id != b));
        }
        !meets
    });
    clusters.push(joined);
}

/// The hole from the front or back that a feature's place is realised by.
fn hole_at(job: &Job, id: FeatureId) -> Option<FeatureId> {
    let feature = job.part.feature(id);
    match feature.kind {
        Kind::Hole { .. }
        | Kind::Tapped { .. }
        | Kind::Slot { .. }
        | Kind::TaperPin { .. }
        | Kind::Pocket { .. }
        | Kind::Square { .. }
        | Kind::Flatted { .. } => {
            let from_front = matches!(feature.face, Face::Front | Face::Back);
            (from_front && !job.in_patterns().contains(&id)).then_some(id)
        }
        Kind::PitchCircle { .. } | Kind::Row { .. } => Some(id),
        Kind::Boss { .. } => job.part.xy(id).and_then(|place| job.bore_on_axis(place)).map(|(bore, _)| bore),
        _ => None,
    }
}
