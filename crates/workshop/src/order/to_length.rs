//! Turned work that nothing holds off its bar, and castings that the jaws hold where they are to be turned.

use super::deed::{Job, Lot, Makings, Place};
use super::places::opposite;
use super::plates::add;
use super::turned::{First, axial, nearly_flush_tapers, parts_off};
use super::turned_held::{self, Grips};
use super::turned_lathe::{CentreHoles, at_the_parting, one_end};
use super::turned_mill;
use super::work::{Tool, Work};
use crate::drawing::FeatureId;
use crate::measure::Length;
use crate::problem::{Outcome, Problem};
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

/// Whether more than facing is to be done at the end where the work comes off its bar, or it cannot be
/// parted there to its length.
pub(super) fn steps_at_the_far_end(job: &Job, first: First, near: &[FeatureId], far: &[FeatureId]) -> bool {
    let end = opposite(first.end());
    let along = job.part.features().any(|(id, _)| axial(job, id, end, first));
    let thrown = near.iter().any(|&id| job.part.is_eccentric(id));
    let wide = job.part.bar_needed() > limit("parted to length");
    wide || !far.is_empty()
        || along
        || thrown
        || job.casting().is_some()
        || parts_off(job, first, near) != Tool::PartingTool
}

/// Work that nothing holds once it is off its bar, and at whose other end nothing is cut: all of it is turned
/// from the bar, and the parting tool leaves its length.
pub(super) fn parted_to_length(
    job: &Job,
    mut makings: Makings,
    first: First,
    near: &[FeatureId],
    bar: &Grips,
) -> Outcome<Makings> {
    let centres = CentreHoles::of(job, &mut makings, first.end(), [(near, bar), (&[], bar)]);
    one_end(job, &mut makings, (first.end(), first), near, bar, &centres);
    let ends = [first.end(), first.end()];
    at_the_parting(job, &mut makings, ends, near, bar, &centres);
    let on_bar = |place: &Place| place.holding.held == bar.on[0];
    let places = (0..makings.places.len()).filter(|&n| on_bar(&makings.places[n])).collect();
    add(job, &mut makings, Work::PartOff, None, Lot::Piece(0), Tool::PartingTool, places);
    if let Some(deed) = makings.deeds.last_mut() {
        deed.text = "part off to length".into();
    }
    makings.assume(format!(
        "nothing of {} is left to hold it by once it is off its bar, and only its {} end would be faced: it is parted off \
         to its length, and that end is finished by hand",
        job.part.drawing.name,
        opposite(first.end()).word()
    ));
    turned_mill::all(job, &mut makings).map_err(|fault| vec![fault.at(job.part.drawing.file.clone())])?;
    nearly_flush_tapers(job, &mut makings);
    super::harden::all(job, &mut makings);
    Ok(makings)
}

/// Says where a casting is gripped when its far side stands out by less than jaws close on.
pub(super) fn little_for_the_jaws(job: &Job, makings: &mut Makings, far: &[FeatureId]) {
    let Some(casting) = job.casting().filter(|casting| casting.turns() && !far.is_empty()) else { return };
    let out: Length = far.iter().map(|&id| job.part.section_length(id)).sum();
    let stands = out + casting.left_on();
    if stands < limit("jaw grip") {
        makings.assume(format!(
            "the far side of the casting stands out by only {stands}: hold it from within its rim, or by spokes or web on the \
             faceplate, so that all which is turned here is clear of what holds it"
        ));
    }
}
