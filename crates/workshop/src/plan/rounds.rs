//! The round things of a part in metric: what plugs and bushes of the project are made to.

use crate::drawing::{FeatureId, Kind, Part, SectionSize};
use crate::measure::Length;
use crate::metric::{MadeWith, MetricPart};

/// A hole, boss or plain section of the metric part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Round {
    /// Which feature.
    pub feature: FeatureId,
    /// Across it.
    pub diameter: Length,
    /// The drill that goes through first; of what is only drilled, its own diameter.
    pub drill: Length,
}

/// Every round feature, in the order of the part.
pub fn rounds(part: &Part, metric: &MetricPart) -> Vec<Round> {
    let found = part.features().filter_map(|(feature, thing)| match thing.kind {
        Kind::Hole { diameter, .. } | Kind::Section { size: SectionSize::Plain(diameter), .. } => {
            let across = part.size(diameter);
            let drill = match metric.dimensions.get(diameter.0).map(|choice| &choice.made) {
                Some(MadeWith::Reamer { pilot, .. } | MadeWith::Boring { pilot }) => pilot.diameter,
                _ => across,
            };
            Some(Round { feature, diameter: across, drill })
        }
        Kind::Boss { radius } => {
            let across = part.size(radius) * 2;
            Some(Round { feature, diameter: across, drill: across })
        }
        _ => None,
    });
    found.collect()
}
