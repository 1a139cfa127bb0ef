//! Castings that the jaws hold where they are to be turned.

use super::deed::Job;
use super::turned::First;
use super::turned_held;
use crate::problem::Problem;

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
