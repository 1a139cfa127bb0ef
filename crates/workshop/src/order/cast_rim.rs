//! Castings that the jaws hold where they are to be turned.

use super::deed::{Job, Makings};
use super::turned::First;
use super::turned_held;
use crate::drawing::{Face, FeatureId, GivenStock};
use crate::measure::Length;
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

/// A rim of two steps, as the flange and tread of a wheel: the jaws hold the casting by the one while it is
/// bored and faced, and then both are turned by the bore, in one holding.
pub(super) fn rim_in_steps(
    job: &Job,
    makings: &mut Makings,
    first: First,
    (near, far): (&mut Vec<FeatureId>, &mut Vec<FeatureId>),
) {
    let turned =
        job.casting().is_some_and(GivenStock::turns) && turned_held::finished_bore(job, first).is_some();
    let sides = match first.end() {
        Face::Left => near.last().zip(far.first()),
        _ => near.first().zip(far.last()),
    };
    let Some((&widest, &beside)) = sides.filter(|_| turned) else { return };
    let across = |id: FeatureId| job.part.cut_diameter(id).unwrap_or_default();
    // As wide as that, the two are one rim.
    let rim = limit("one rim").scaled(across(widest).ratio_to(Length::mm(100)));
    let one_rim = (rim..=across(widest)).contains(&across(beside)) && !job.part.is_eccentric(widest);
    if !one_rim || near.iter().any(|&id| across(id) >= rim && id != widest) {
        return;
    }
    near.retain(|&id| id != widest);
    match first.end() {
        Face::Left => far.insert(0, widest),
        _ => far.push(widest),
    }
    makings.assume(format!(
        "the jaws hold the casting by {} as it is cast, the inside of its rim set true by the indicator, while it is bored and \
         faced; then its whole rim is turned by {}",
        job.name(beside),
        turned_held::finished_bore(job, first).map_or("its bore", |bore| job.name(bore))
    ));
}

/// Says where a casting is gripped when its far side stands out by less than jaws close on.
pub(super) fn little_for_the_jaws(job: &Job, makings: &mut Makings, far: &[FeatureId]) {
    let Some(casting) = job.casting().filter(|casting| casting.turns() && !far.is_empty()) else { return };
    let stands = job.part.length_of(far) + casting.left_on();
    if stands < limit("jaw grip") {
        makings.loosely_held += 1;
        makings.assume(format!(
            "the far side of the casting stands out by only {stands}: hold it from within its rim, or by spokes or web on the \
             faceplate, so that all which is turned here is clear of what holds it"
        ));
    }
}
