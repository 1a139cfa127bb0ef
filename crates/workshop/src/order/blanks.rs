//! What a section of a turned part is turned to, and which is left as its bar comes.

use super::deed::Job;
use super::harden::left_for_lapping;
use super::roughing::bar;
use super::turned_held::runs_true;
use crate::bench::{Section, Stock};
use crate::drawing::{DimensionId, Element, Feature, FeatureId, Kind, Part, Role, SectionSize};
use crate::measure::Length;
use crate::metric::MadeWith;
use crate::settings::knurl::{Knurl, Rolling, knurl};
use crate::tables::surface::Surface;

/// Whether a section that nothing asks to be close has the size of the bright bar it is turned from.
pub(super) fn as_the_bar_comes(job: &Job, id: FeatureId, diameter: DimensionId) -> bool {
    let Some(Stock { section: Section::Round { diameter: across }, surface, .. }) =
        job.metric.stock.as_ref().map(|stock| &stock.stock)
    else {
        return false;
    };
    let drawn = &job.part.drawing.dimensions[diameter.0];
    *across == job.part.size(diameter)
        && *surface != Some(Surface::Black)
        && job.casting().is_none()
        && runs_true(job, id)
        && blank(job, id, *across) == *across
        && drawn.within.is_none()
        && drawn.role.0 != Role::Hold
        && !job.part.drawing.mates.iter().any(|mate| mate.with == id)
        && !job
            .part
            .drawing
            .geometrical
            .iter()
            .any(|said| [Some(said.of), said.to].contains(&Some(Element::Feature(id))))
}

/// Whether a section is left as its bar comes, and nothing is turned into its outside.
pub(super) fn untouched(job: &Job, id: FeatureId) -> bool {
    let bar = match job.part.feature(id).kind {
        Kind::Section { size: SectionSize::Plain(diameter), .. } => {
            matches!(job.metric.dimensions[diameter.0].made, MadeWith::Stock(_))
                || as_the_bar_comes(job, id, diameter)
        }
        Kind::Section { size: SectionSize::AsBar { .. }, .. } => true,
        _ => false,
    };
    let into = |(cut, feature): (FeatureId, &Feature)| {
        matches!(feature.kind, Kind::Groove { .. } | Kind::Knurl { .. })
            && job.part.section_of(cut) == Some(id)
    };
    bar && !job.part.features().any(into)
}

/// What a plain section is turned to: less where a knurl will raise it, more where it is lapped once it is
/// hard.
pub(super) fn blank(job: &Job, section: FeatureId, finished: Length) -> Length {
    match rolled(job.part, section, finished) {
        Some(rolling) => rolling.blank,
        None => finished + left_for_lapping(job.part, section, bar(job)).unwrap_or_default(),
    }
}

/// The knurl over a section, as it is rolled to a finished size.
pub(crate) fn rolled(part: &Part, section: FeatureId, finished: Length) -> Option<Rolling> {
    let (pitch, pattern) = part.features().find_map(|(_, f)| match f.kind {
        Kind::Knurl { over, pitch, pattern } if over == section => Some((pitch, pattern)),
        _ => None,
    })?;
    knurl(Knurl { finished, pitch: part.size(pitch), pattern }).ok()
}
