//! Discs, washers and rings that jaws do not hold by their length: they lie in a shallow seat of soft jaws or
//! on the steps of jaws. Where nothing holds the work and only its parted face is left, that is rubbed flat by hand.

use super::deed::{Job, Makings};
use super::places::opposite;
use super::turned::{First, axial, entered, goes_through, parts_off};
use super::turned_held::{goes_in, longest, runs_true, there};
use super::work::{Held, Tool};
use crate::drawing::{Face, Feature, FeatureId};
use crate::measure::Length;
use crate::tables::processes::limit;

/// A disc too thin for chuck jaws, in a shallow seat bored in soft ones: its faced end lies on the step.
pub(super) fn in_a_seat(
    job: &Job,
    makings: &mut Makings,
    first: First,
    (near, far): (&[FeatureId], &[FeatureId]),
) -> Option<Held> {
    let inside = first.end();
    let out = job.part.length_of(far);
    let on = lies_in_jaws(job, inside, out).filter(|on| near.contains(on))?;
    // What may be drilled while the bar holds the work is not left to a light seat.
    let drilled = |(id, _)| goes_through(job.part, id) && entered(job, id, first) != inside;
    if job.part.features().any(drilled) {
        return None;
    }
    let held = Held::SoftJaws { on };
    there(job, &held).then(|| {
        makings.assume(format!(
            "{} is too thin for hard jaws: it lies in a seat of the soft ones no deeper than two thirds of its {}, light cuts",
            job.name(on),
            job.part.section_length(on)
        ));
        held
    })
}

/// The longest section of a disc that lies in a shallow seat, or on the steps of jaws, with so much beyond it.
pub(super) fn lies_in_jaws(job: &Job, inside: Face, out: Length) -> Option<FeatureId> {
    if !is_short(job) {
        return None;
    }
    let least = limit("soft jaw seat").max(out);
    longest(job, job.part.sections(), |id| {
        job.part.section_length(id) >= least && runs_true(job, id) && goes_in(job, id, inside)
    })
}

/// Whether a part is no longer than wide, with nothing off its axis: a disc, a ring, a spacer.
fn is_short(job: &Job) -> bool {
    let mut sections = job.part.sections().iter();
    job.part.thickness() <= job.part.bar_needed() && !sections.any(|&id| job.part.is_eccentric(id))
}

/// Whether nothing but the face is left to do at the end that is parted off: that is rubbed flat by hand.
pub(super) fn only_faced(job: &Job, first: First, (near, far): (&[FeatureId], &[FeatureId])) -> bool {
    let end = opposite(first.end());
    let cut = |(id, _): (FeatureId, &Feature)| axial(job, id, end, first);
    far.is_empty()
        && job.casting().is_none()
        && !near.iter().any(|&id| job.part.is_eccentric(id))
        && !job.part.features().any(cut)
        && parts_off(job, first, near) == Tool::PartingTool
}

/// Why that end is rubbed flat.
pub(super) fn told(job: &Job, makings: &mut Makings, first: First) {
    makings.assume(format!(
        "nothing of {} is left to hold it by once it is off its bar, and only its {} end would be faced: that end is rubbed \
         flat by hand",
        job.part.drawing.name,
        opposite(first.end()).word()
    ));
}
