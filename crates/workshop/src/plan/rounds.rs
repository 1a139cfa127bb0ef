//! The round things of a part in metric: what plugs and bushes of the project are made to.

use crate::drawing::{Body, Face, FeatureId, Finish, Kind, Part, SectionSize};
use crate::measure::Length;
use crate::metric::{MadeWith, MetricPart};
use crate::tables::threads::Thread;

/// A hole, boss or plain section of the metric part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Round {
    /// Which feature.
    pub feature: FeatureId,
    /// Across it.
    pub diameter: Length,
    /// The drill that goes through first; of what is only drilled, its own diameter.
    pub drill: Length,
    /// How long it is: of a hole the thickness it goes through.
    pub long: Length,
    /// What a hole is finished to, as far as its finish says.
    pub class: &'static str,
    /// The thread, of a tapped hole: then the diameter is that over its crests.
    pub thread: Option<&'static Thread>,
}

/// Every round feature, in the order of the part.
pub fn rounds(part: &Part, metric: &MetricPart) -> Vec<Round> {
    let found = part.features().filter_map(|(feature, thing)| match thing.kind {
        Kind::Hole { diameter, .. } | Kind::Section { size: SectionSize::Plain(diameter), .. } => {
            let class = match thing.kind {
                Kind::Hole { finish: Finish::Drilled, .. } => "H11",
                _ => "H7",
            };
            let across = part.size(diameter);
            let drill = match metric.dimensions.get(diameter.0).map(|choice| &choice.made) {
                Some(MadeWith::Reamer { pilot, .. } | MadeWith::Boring { pilot }) => pilot.diameter,
                _ => across,
            };
            Some(Round { feature, diameter: across, drill, long: long(part, feature), class, thread: None })
        }
        Kind::Boss { radius } => {
            let across = part.size(radius) * 2;
            let long = long(part, feature);
            Some(Round { feature, diameter: across, drill: across, long, class: "H7", thread: None })
        }
        Kind::Tapped { thread, .. } => {
            let thread = part.thread(thread);
            let (diameter, long) = (thread.major, long(part, feature));
            Some(Round { feature, diameter, drill: diameter, long, class: "H7", thread: Some(thread) })
        }
        _ => None,
    });
    found.collect()
}

/// How long something round is: the length of a section, else the metal along it.
fn long(part: &Part, feature: FeatureId) -> Length {
    match part.feature(feature).kind {
        Kind::Section { .. } => part.section_length(feature),
        // Across a turned part it goes through one section.
        _ if matches!(part.drawing.body, Body::Turned { .. })
            && !matches!(part.feature(feature).face, Face::Left | Face::Right) =>
        {
            match part.section_of(feature).map(|section| &part.feature(section).kind) {
                Some(Kind::Section { size: SectionSize::Plain(across), .. }) => part.size(*across),
                _ => part.bar_needed(),
            }
        }
        _ => match part.chord(feature) {
            Some((first, last)) if last > first => last - first,
            _ => part.thickness_at(feature),
        },
    }
}
