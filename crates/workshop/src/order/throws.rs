//! Work set over by a throw: what holds it off centre, how far that goes, and how near the throw
//! comes out.
//!
//! A four-jaw chuck sets any throw that leaves a jaw short of the middle; where there is none,
//! packing under one jaw of the three-jaw does for throws up to a quarter of what is gripped. Any
//! throw that leaves room for a centre hole in both ends of the bar may be turned between offset
//! centres instead, drilled while the bar is whole. Of these a held throw rules out what does not
//! come near enough, as long as something does.

use super::deed::{Deed, Job, Lot, Makings, Place, Token};
use super::figures;
use super::model::Plan;
use super::plates::deed;
use super::turned::First;
use super::turned_held::{self, Grips, in_lathe};
use super::work::{Held, Holding, Machine, Tool, Work};
use crate::bench::{There, WorkHolder};
use crate::drawing::{Face, FeatureId, Kind, Turning};
use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::eccentric::{Eccentric, eccentric};
use crate::tables::processes::{limit, locating, process};
use crate::why::Why;

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

/// What a throw has to come within; none where nothing is said.
fn room_of(job: &Job, section: FeatureId) -> Option<Length> {
    let Kind::Section { throw: Some(throw), .. } = job.part.feature(section).kind else { return None };
    job.room_of(throw.offset)
}

/// How near a holding sets a throw over, the work as it stands in it, and in words.
fn set_within(job: &Job, makings: &Makings, holding: &Holding) -> Option<(Length, String)> {
    let row = |name: &'static str| locating(name).error;
    Some(match holding.held {
        Held::FourJaw { .. } => (
            row("four-jaw clocked"),
            format!("{} set over in the four-jaw by the indicator", row("four-jaw clocked")),
        ),
        Held::Packed { .. } => (
            row("packing set by indicator"),
            format!("{} set over by packing", row("packing set by indicator")),
        ),
        Held::OffsetCentres { .. } => {
            let whole = |place: &&Place| place.holding.held == Held::WholeBar;
            let machine = makings.places.iter().find(whole).map(|place| place.holding.machine)?;
            let drilled = match machine {
                Machine::Mill => {
                    process("centre off the axis").position.unwrap_or_default()
                        + job.slides_within()
                        + row("edge finder")
                }
                _ => process("mark out").position.unwrap_or_default() + row("punched centre"),
            };
            let running = row("between centres");
            let how =
                if machine == Machine::Mill { "drilled by the slides" } else { "drilled at punched centres" };
            (drilled + running, format!("{drilled} either centre hole {how} and {running} between centres"))
        }
        _ => return None,
    })
}

/// What gripping the bar again for its own axis adds.
fn again(holding: &Holding) -> Length {
    let bar = matches!(holding.held, Held::FourJaw { on: None, .. } | Held::Packed { on: None, .. });
    if bar { locating("three-jaw chuck").error } else { Length::ZERO }
}

/// Of the places a section may be set over in, those that come near enough to its throw; all where
/// none does.
pub(super) fn near_enough(
    job: &Job,
    makings: &Makings,
    section: FeatureId,
    places: Vec<usize>,
) -> Vec<usize> {
    let Some(room) = room_of(job, section) else { return places };
    let comes = |&place: &usize| {
        set_within(job, makings, &makings.places[place].holding).is_none_or(|(error, _)| error <= room)
    };
    let near: Vec<usize> = places.iter().copied().filter(comes).collect();
    if near.is_empty() { places } else { near }
}

/// Whether a throw comes too far out where the bar is gripped again true after it.
pub(super) fn asks_for_true_first(job: &Job, makings: &Makings, deed: &Deed, section: FeatureId) -> bool {
    let Some(room) = room_of(job, section) else { return false };
    deed.places.iter().any(|&place| {
        let holding = &makings.places[place].holding;
        let set = set_within(job, makings, holding).map(|(error, _)| error);
        set.is_some_and(|set| again(holding).is_positive() && set + again(holding) > room)
    })
}

/// What one throw of a plan comes to.
pub(super) struct Charge {
    /// The operation that turns it.
    pub op: usize,
    name: String,
    room: Option<Length>,
    error: Length,
    how: String,
}

/// What every throw of a plan comes to.
pub(super) fn charges(job: &Job, makings: &Makings, plan: &Plan) -> Vec<Charge> {
    let mut all = Vec::new();
    for (n, step) in plan.steps.iter().enumerate() {
        let deed = &makings.deeds[step.op.0];
        let (Work::TurnSection { .. }, Some(id)) = (&deed.work, deed.feature) else { continue };
        let holding = &makings.places[deed.places[step.way]].holding;
        let Some((set, how)) = set_within(job, makings, holding).filter(|_| job.part.is_eccentric(id)) else {
            continue;
        };
        // What is turned true afterwards with the bar gripped again lies off by that.
        let true_later = plan.steps[n..].iter().any(|later| {
            let after = &makings.deeds[later.op.0];
            let held = &makings.places[after.places[later.way]].holding.held;
            matches!(held, Held::Chuck { on: None })
                && matches!(
                    after.work,
                    Work::TurnSection { .. } | Work::TurnTaper { .. } | Work::Bore { .. } | Work::Ream { .. }
                )
        });
        let more = if true_later { again(holding) } else { Length::ZERO };
        let how = if more.is_positive() {
            format!("{how}, and {more} when the bar is gripped again true")
        } else {
            how
        };
        let name = job.name(id).to_owned();
        all.push(Charge { op: step.op.0, name, room: room_of(job, id), error: set + more, how });
    }
    all
}

impl Charge {
    /// What is charged, for the step that turns it.
    pub(super) fn why(&self) -> Why {
        let asked = match self.room {
            Some(room) => format!("the throw of {} is to be within {}, and", self.name, figures::room(room)),
            None => format!("the throw of {}", self.name),
        };
        Why::new(format!("{asked} comes within {}: {}", figures::error(self.error), self.how))
            .source("common practice")
    }

    /// What is too much, and what to do.
    pub(super) fn short(&self) -> Option<String> {
        let room = self.room.filter(|&room| self.error > room)?;
        Some(format!(
            "the throw of {} is held within {}, and comes within {} ({}): clock the finished axis true for the second, in the \
             four-jaw by a turned section, and measure the throw before the last cut",
            self.name,
            figures::room(room),
            figures::error(self.error),
            self.how
        ))
    }
}
