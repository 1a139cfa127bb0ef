//! Castings that the jaws hold where they are to be turned.

use super::deed::{Job, Makings};
use super::turned::First;
use super::turned_held;
use crate::drawing::FeatureId;
use crate::problem::Problem;
use crate::tables::processes::limit;

/// One rim alone is where the jaws hold the casting first: it is turned by its bore, once that is finished.
pub(super) fn rim_by_its_bore(job: &Job, first: First) -> Result<(), Problem> {
    if turned_held::finished_bore(job, first).is_some() {
        return Ok(());
    }
    let end = first.end().word();
    Err(Problem::new(format!("from the {end} end, nothing holds the rim of `{}`", job.part.drawing.name))
        .why("the jaws hold the casting where it is to be turned, and no bore is finished there to hold it by afterwards")
        .mend(format!("bore it from the {end} end, or begin at the other")))
}

/// Says where a casting is gripped when its far side stands out by less than jaws close on.
pub(super) fn little_for_the_jaws(job: &Job, makings: &mut Makings, far: &[FeatureId]) {
    let Some(casting) = job.casting().filter(|casting| casting.turns() && !far.is_empty()) else { return };
    let stands = job.part.length_of(far) + casting.left_on();
    if stands < limit("jaw grip") {
        makings.assume(format!(
            "the far side of the casting stands out by only {stands}: hold it from within its rim, or by spokes or web on the \
             faceplate, so that all which is turned here is clear of what holds it"
        ));
    }
}
