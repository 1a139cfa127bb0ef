//! Work set over by a throw: what holds it off centre, how far that goes, and how near the throw
//! comes out.
//!
//! A four-jaw chuck sets any throw that leaves a jaw short of the middle; where there is none,
//! packing under one jaw of the three-jaw does for throws up to a quarter of what is gripped.

use super::deed::{Job, Makings};
use super::turned_held::in_lathe;
use super::work::{Held, Holding};
use crate::bench::{There, WorkHolder};
use crate::drawing::{Face, FeatureId, Kind, Role};
use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::eccentric::{Eccentric, eccentric};
use crate::tables::processes::locating;

/// The throw of a section; nought of one that runs true.
fn throw_of(job: &Job, section: FeatureId) -> Length {
    match job.part.feature(section).kind {
        Kind::Section { throw: Some(throw), .. } => job.part.size(throw.offset),
        _ => Length::ZERO,
    }
}

fn four_jaw(job: &Job) -> bool {
    job.bench.has(WorkHolder::FourJaw) != There::No
}

/// Whether what is gripped can be set over for a section by what the bench has: no jaw of four
/// passes the middle of the chuck, and three hold packed work up to a quarter of its diameter.
pub(super) fn throws_in(job: &Job, section: FeatureId, on: Option<FeatureId>) -> bool {
    let throw = throw_of(job, section);
    if throw == Length::ZERO {
        return true;
    }
    let gripped = match on {
        Some(on) => job.part.cut_diameter(on).unwrap_or_default(),
        None => job.part.bar_needed(),
    };
    if four_jaw(job) { gripped.half() > throw } else { eccentric(Eccentric { throw, gripped }).is_ok() }
}

/// Every eccentric section of the second end can be set true by some section.
pub(super) fn thrown_within_the_grip(job: &Job, far: &[FeatureId], on: &[Held]) -> Result<(), Problem> {
    let thrown = |id| throw_of(job, id) > Length::ZERO;
    let stuck = |&&id: &&FeatureId| {
        thrown(id) && !on.iter().filter_map(Held::grips).any(|on| throws_in(job, id, Some(on)))
    };
    let Some(&id) = far.iter().find(stuck) else { return Ok(()) };
    let widest = on.iter().filter_map(Held::grips).filter_map(|on| job.part.cut_diameter(on)).max();
    let (throw, widest) = (throw_of(job, id), widest.unwrap_or_default());
    let (share, least) = if four_jaw(job) { ("half", throw * 2) } else { ("a quarter", throw * 4) };
    Err(Problem::new(format!("`{}` cannot be set true in the chuck", job.name(id)))
        .at(format!("line {}", job.part.feature(id).line))
        .why(format!(
            "its throw of {throw} is more than {share} of {widest}, the widest that could be gripped then: {}",
            if four_jaw(job) {
                "a jaw would have to pass the middle of the chuck"
            } else {
                "packed under one jaw, three no longer hold it between them"
            }
        ))
        .mend(format!(
            "leave a chucking piece of more than {least} on the drawing, and saw it off last; or have it turned between \
             offset centres, drilled at the throw in both ends of the bar while it is whole"
        )))
}

/// Held off centre, so that a section's own axis runs true.
pub(super) fn off_centre(job: &Job, end: Face, on: Option<FeatureId>, section: FeatureId) -> Holding {
    // Sections on one axis share a holding: it is named for the first of them.
    let same = |id: &&FeatureId| job.part.section_axis(**id) == job.part.section_axis(section);
    let section = job.part.sections().iter().find(same).copied().unwrap_or(section);
    let held = if four_jaw(job) { Held::FourJaw { on, section } } else { Held::Packed { on, section } };
    in_lathe(job, end, held)
}

/// Whether there is a chuck to hold work off centre in, where something is eccentric.
pub(super) fn off_centre_at_all(job: &Job) -> Result<(), Problem> {
    let thrown = |id: &&FeatureId| job.part.is_eccentric(**id);
    let Some(&id) = job.part.sections().iter().find(thrown) else { return Ok(()) };
    if four_jaw(job) {
        return Ok(());
    }
    let no = |why: String, mend: String| {
        Err(Problem::new(format!("`{}` is off centre, and there is no four-jaw chuck", job.name(id)))
            .at(format!("line {}", job.part.feature(id).line))
            .why(why)
            .mend(mend))
    };
    if job.bench.has(WorkHolder::ThreeJaw) == There::No {
        return no(
            "work is set over by its throw between four jaws that move one by one, or by packing under one jaw of three"
                .into(),
            "add `four-jaw chuck` or `three-jaw chuck` to `work_holding` of the bench file, or have it turned".into(),
        );
    }
    let far = job.part.sections().iter().find(|&&id| job.part.is_eccentric(id) && !throws_in(job, id, None));
    match far {
        None => Ok(()),
        Some(&far) => {
            let throw = throw_of(job, far);
            no(
                format!(
                    "packing under one jaw of three holds no throw over a quarter of what is gripped: {throw} in a bar of {}",
                    job.part.bar_needed()
                ),
                format!(
                    "add `four-jaw chuck` to `work_holding` of the bench file, turn it from a bar of {} or more, or have it \
                     turned between offset centres",
                    throw * 4
                ),
            )
        }
    }
}

/// How near a throw comes out, and why: what sets the work over, and where the bar is gripped again
/// for its own axis, what that puts it out by.
fn comes_within(job: &Job, held: &Held) -> (Length, String) {
    let set = locating(if four_jaw(job) { "four-jaw clocked" } else { "packing set by indicator" });
    match held.grips() {
        Some(on) => (set.error, format!("{} set over by {}", set.error, job.name(on))),
        None => {
            let again = locating("three-jaw chuck");
            (
                set.error + again.error,
                format!(
                    "{} set over by the bar, and {} when the bar is gripped again true",
                    set.error, again.error
                ),
            )
        }
    }
}

/// Tells of every throw that is held nearer than it comes out.
pub(super) fn charged(job: &Job, makings: &mut Makings) {
    for &id in job.part.sections() {
        let Kind::Section { throw: Some(throw), .. } = job.part.feature(id).kind else { continue };
        let drawn = &job.part.drawing.dimensions[throw.offset.0];
        let Some(within) = drawn.within.filter(|_| drawn.role.0 == Role::Hold) else { continue };
        let axis = job.part.section_axis(id);
        let ways = makings.places.iter().map(|place| &place.holding.held);
        let own = ways.filter(|held| held.set_over().is_some_and(|of| job.part.section_axis(of) == axis));
        let worst = own.map(|held| comes_within(job, held)).max_by_key(|(error, _)| *error);
        if let Some((error, how)) = worst.filter(|(error, _)| *error > within) {
            makings.assume(format!(
                "the throw of {} is held within {within}, and comes within {error} ({how}): clock the finished axis true for the \
                 second, in the four-jaw by a turned section, and measure the throw before the last cut",
                job.name(id)
            ));
        }
    }
}
