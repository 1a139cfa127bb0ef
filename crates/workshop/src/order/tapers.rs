//! Tapers too long for the top slide: turned between centres with the tailstock set over,
//! where it goes so far and nothing is cut along the axis.

use super::deed::Job;
use super::turned::{First, axial};
use super::turned_held;
use super::work::Held;
use crate::drawing::{Face, FeatureId, Kind, Turning};
use crate::settings::taper_way::{Asked, Way, way};

/// Whether a section is a taper that is better turned between centres, with the tailstock set
/// over.
pub(super) fn set_over(job: &Job, id: FeatureId) -> bool {
    let unthrown = matches!(job.part.feature(id).kind, Kind::Section { throw: None, .. });
    let (Some(lathe), true) = (&job.bench.lathe, unthrown) else { return false };
    let chosen = Asked::of(job.part, id, lathe, true).map(way);
    matches!(chosen, Some(Ok((Way::Tailstock { .. }, _))))
}

/// Whether anything of the part is such a taper.
pub(super) fn any(job: &Job) -> bool {
    job.part.sections().iter().any(|&id| set_over(job, id))
}

/// Whether the part may hang between centres at all: it comes from a bar, nothing is cut along
/// its axis, and there is what carries it.
pub(super) fn may_hang(job: &Job, first: First) -> bool {
    let hollow = [Face::Left, Face::Right]
        .into_iter()
        .any(|end| job.part.features().any(|(id, _)| axial(job, id, end, first)));
    !hollow
        && job.part.drawing.turned == Turning::Anyhow
        && job.casting().is_none()
        && turned_held::there(job, &Held::Centres)
}
