//! Work set over by a throw: what holds it off centre, how far that goes, and how near the throw
//! comes out.
//!
//! A four-jaw chuck sets any throw that leaves a jaw short of the middle; where there is none,
//! packing under one jaw of the three-jaw does for throws up to a quarter of what is gripped. Any
//! throw that leaves room for a centre hole in both ends of the bar may be turned between offset
//! centres instead, drilled while the bar is whole. Of these a held throw rules out what does not
//! come near enough (`near`), as long as something does. `cranked` knows webs and pins, and `care`
//! what is minded while they are turned.

mod care;
mod cranked;
mod near;

pub(super) use care::care;
pub(crate) use care::past_the_pin;
pub(super) use cranked::{
    carries_the_rest, cranked, gripped_by_a_web, held_lightly, pin_from_the_bar, steadied_round, thinner_web,
    webs_between,
};
pub(super) use near::{Charge, asks_for_true_first, charges, near_enough, stiff_enough};

use super::deed::{Deed, Job, Lot, Makings, Token};
use super::plates::deed;
use super::turned::First;
use super::turned_held::{self, Grips, in_lathe};
use super::work::{Held, Holding, Machine, Tool, Work};
use crate::bench::{There, WorkHolder};
use crate::drawing::{Face, FeatureId, Kind, Turning};
use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::eccentric::{Eccentric, eccentric};
use crate::tables::processes::limit;

/// The throw of a section; nought of one that runs true.
pub(super) fn throw_of(job: &Job, section: FeatureId) -> Length {
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

/// Whether two sections turn about one axis.
pub(super) fn same_axis(job: &Job, one: FeatureId, other: FeatureId) -> bool {
    job.part.section_axis(one) == job.part.section_axis(other)
}

/// The axes of a part that it may be turned about between offset centres, each by its first
/// section: none where something is cut along the axis, nothing carries work between centres, or
/// the bar leaves no metal round a hole.
pub(super) fn between_offset_centres(job: &Job, first: First) -> Vec<FeatureId> {
    let mut axes: Vec<FeatureId> = Vec::new();
    for &id in job.part.sections().iter().filter(|&&id| throw_of(job, id).is_positive()) {
        if !axes.iter().any(|&known| same_axis(job, known, id)) {
            axes.push(id);
        }
    }
    let room = limit("centre hole").half() + limit("round a centre hole");
    let fits = |&id: &FeatureId| throw_of(job, id) + room <= job.part.bar_needed().half();
    let hollow = [Face::Left, Face::Right]
        .into_iter()
        .any(|end| job.part.features().any(|(id, _)| super::turned::axial(job, id, end, first)));
    let plain = job.casting().is_none()
        && job.part.drawing.turned == Turning::Anyhow
        && job.part.bar_left().is_none()
        && !job.part.features().any(|(_, f)| matches!(f.kind, Kind::Knurl { .. }));
    // A chuck holds the sawn length while its ends are faced.
    let chuck = four_jaw(job) || job.bench.has(WorkHolder::ThreeJaw) != There::No;
    let carried = chuck && turned_held::there(job, &Held::Centres);
    if hollow || !plain || !carried || !axes.iter().all(fits) { Vec::new() } else { axes }
}

/// The whole bar on end, for centre holes off its axis: under the mill, or at punched centres
/// where there is none or the bar is too long to stand there.
pub(super) fn whole_bar(job: &Job, makings: &mut Makings, end: Face) -> usize {
    let tall = job.part.thickness() > job.bench.mill.travel[2].half();
    let machine = if job.mills() && !tall { Machine::Mill } else { job.drills_on() };
    let holding = Holding { machine, ..in_lathe(job, end, Held::WholeBar) };
    makings.place(job, Lot::Piece(0), holding)
}

/// Offers turning between offset centres: an either-or where a chuck would do too.
pub(super) fn offer_centres(job: &Job, makings: &mut Makings, axes: &[FeatureId], grips: [&mut Grips; 2]) {
    let chucks = grips[1].on.iter().any(Held::in_jaws);
    let (four, three) = (four_jaw(job), job.bench.has(WorkHolder::ThreeJaw) != There::No);
    let far = grips[1].on.clone();
    let in_jaws = |&&id: &&FeatureId| {
        let on = far.iter().filter_map(Held::grips);
        throws_in(job, id, None) || on.into_iter().any(|on| throws_in(job, id, Some(on)))
    };
    let either = chucks && (four || three) && axes.iter().all(|id| in_jaws(&id));
    let choice = either.then(|| {
        makings
            .choices
            .push(("the throw".into(), vec!["set over in a chuck".into(), "between offset centres".into()]));
        (makings.choices.len() - 1, 1)
    });
    for &axis in axes {
        for end in [Face::Left, Face::Right] {
            let place = whole_bar(job, makings, end);
            let work = Work::OffsetCentre { end };
            let mut hole = deed(job, work, Some(axis), Lot::Piece(0), Tool::CentreDrill, vec![place]);
            hole.choice = choice;
            makings.deeds.push(hole);
        }
    }
    for grips in grips {
        grips.offset = axes.to_vec();
        grips.centres = true;
        grips.sawn = true;
    }
}

/// The centre holes that are gone when an end is turned down.
pub(super) fn holes_lost(job: &Job, deed: &Deed) -> Vec<Token> {
    let (Work::TurnSection { diameter }, Some(section)) = (&deed.work, deed.feature) else {
        return Vec::new();
    };
    let sections = job.part.sections();
    let (y, z) = job.part.section_axis(section);
    let lost = |axis: (Length, Length)| {
        let off = Length::nearest((axis.0 - y).as_mm().hypot((axis.1 - z).as_mm()));
        off + limit("centre hole").half() > diameter.half()
    };
    let mut all = Vec::new();
    let mut axes: Vec<FeatureId> = Vec::new();
    for &id in sections.iter().filter(|&&id| job.part.is_eccentric(id)) {
        if !axes.iter().any(|&known| same_axis(job, known, id)) {
            axes.push(id);
        }
    }
    // Without a throw every centre hole lies in the axis, and stays.
    if axes.is_empty() {
        return all;
    }
    for (end, left) in [(sections.first(), true), (sections.last(), false)] {
        if end != Some(&section) {
            continue;
        }
        let gone = axes.iter().filter(|&&axis| lost(job.part.section_axis(axis)));
        all.extend(
            gone.map(|&axis| if left { Token::OffCentredLeft(axis) } else { Token::OffCentredRight(axis) }),
        );
        if lost((Length::ZERO, Length::ZERO)) {
            all.push(if left { Token::CentredLeft } else { Token::CentredRight });
        }
    }
    all
}
