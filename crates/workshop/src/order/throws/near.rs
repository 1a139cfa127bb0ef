//! How near a throw comes by what sets it over, and what of that a held throw rules out.

use super::{cranked, four_jaw};
use crate::drawing::{FeatureId, Kind};
use crate::measure::Length;
use crate::order::deed::{Deed, Job, Makings, Place};
use crate::order::figures;
use crate::order::model::Plan;
use crate::order::work::{Held, Holding, Machine, Work};
use crate::tables::processes::{locating, overhang, process};
use crate::why::Why;

/// What a throw has to come within; none where nothing is said.
fn room_of(job: &Job, section: FeatureId) -> Option<Length> {
    let Kind::Section { throw: Some(throw), .. } = job.part.feature(section).kind else { return None };
    job.room_of(throw.offset)
}

/// How near a holding sets a throw over, the work as it stands in it, and in words.
pub(super) fn set_within(job: &Job, makings: &Makings, holding: &Holding) -> Option<(Length, String)> {
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

/// What gripping the bar again for its own axis adds; with the indicator on it, where a throw
/// between webs is held nearer than a scroll chuck brings it.
pub(super) fn again(job: &Job, section: FeatureId, holding: &Holding, set: Length) -> Length {
    match holding.held {
        Held::FourJaw { on: None, .. } | Held::Packed { on: None, .. } => {
            locating(if clocked_again(job, section, set) { "four-jaw clocked" } else { "three-jaw chuck" })
                .error
        }
        _ => Length::ZERO,
    }
}

/// Whether the bar is clocked true in the four-jaw after a throw.
pub(super) fn clocked_again(job: &Job, section: FeatureId, set: Length) -> bool {
    let near = room_of(job, section).is_some_and(|room| set + locating("three-jaw chuck").error > room);
    near && cranked(job, section) && four_jaw(job)
}

/// Of the places a section may be set over in, those that come near enough to its throw; all where
/// none does.
pub(in crate::order) fn near_enough(
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

/// Of those places the ones that hold the bar stiffly enough: set over in a chuck, no tailstock comes
/// up to it. Where all are chucks it is told.
pub(in crate::order) fn stiff_enough(
    job: &Job,
    makings: &mut Makings,
    sections: &[FeatureId],
    places: Vec<usize>,
) -> Vec<usize> {
    let out = job.part.length_of(sections);
    let bar = job.part.bar_needed();
    let by_the_bar = |&place: &usize| makings.places[place].holding.held.by_the_bar();
    if out <= bar.scaled(overhang("the chuck alone")) || !places.iter().any(by_the_bar) {
        return places;
    }
    let others: Vec<usize> = places.iter().copied().filter(|place| !by_the_bar(place)).collect();
    if !others.is_empty() {
        return others;
    }
    makings.assume(format!(
        "{out} of bar stands out of the chuck off centre, more than {} times its {bar}: drill a centre where the axis of the throw \
         comes out of the end, and bring up the tailstock before it is cut",
        overhang("the chuck alone")
    ));
    places
}

/// Whether a throw comes too far out where the bar is gripped again true after it.
pub(in crate::order) fn asks_for_true_first(
    job: &Job,
    makings: &Makings,
    deed: &Deed,
    section: FeatureId,
) -> bool {
    // A crank turned true first would be cut off centre with nothing stiff left to carry it; a pin
    // that all else hangs by comes last anyhow.
    let Some(room) = room_of(job, section).filter(|_| !cranked(job, section)) else { return false };
    deed.places.iter().any(|&place| {
        let holding = &makings.places[place].holding;
        let set = set_within(job, makings, holding).map(|(error, _)| error);
        set.is_some_and(|set| {
            let more = again(job, section, holding, set);
            more.is_positive() && set + more > room
        })
    })
}

/// What one throw of a plan comes to.
pub(in crate::order) struct Charge {
    /// The operation that turns it.
    pub op: usize,
    name: String,
    room: Option<Length>,
    error: Length,
    how: String,
}

/// What every throw of a plan comes to.
pub(in crate::order) fn charges(job: &Job, makings: &Makings, plan: &Plan) -> Vec<Charge> {
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
        let more = if true_later { again(job, id, holding, set) } else { Length::ZERO };
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
    pub(in crate::order) fn why(&self) -> Why {
        let asked = match self.room {
            Some(room) => format!("the throw of {} is to be within {}, and", self.name, figures::room(room)),
            None => format!("the throw of {}", self.name),
        };
        Why::new(format!("{asked} comes within {}: {}", figures::error(self.error), self.how))
            .source("common practice")
    }

    /// What is too much, and what to do.
    pub(in crate::order) fn short(&self) -> Option<String> {
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
