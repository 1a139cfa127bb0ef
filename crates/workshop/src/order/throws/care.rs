//! What is minded while a crank is turned: the tool that goes down between its webs, the gaps that
//! are packed before anything else is cut, and the bar that is clocked again.

use super::near::{again, clocked_again, set_within};
use super::{carries_the_rest, cranked, throw_of};
use crate::drawing::{FeatureId, SectionEnd};
use crate::measure::Length;
use crate::order::deed::{Deed, Job, Makings};
use crate::order::model::Plan;
use crate::order::roughing::bar;
use crate::order::work::{Held, Holding, Steadied, Work};
use crate::tables::processes::limit;

/// What is minded before a step of a plan, in words, where it turns a section of a crank.
pub(in crate::order) fn care(job: &Job, makings: &Makings, plan: &Plan, at: usize) -> Vec<String> {
    let of = |n: usize| {
        let step = &plan.steps[n];
        let deed = &makings.deeds[step.op.0];
        (deed, &makings.places[deed.places[step.way]].holding)
    };
    let (deed, holding) = of(at);
    let Some(own) = deed.feature.filter(|_| turns(deed) && holding.held.turns()) else { return Vec::new() };
    let mut all: Vec<String> = between_webs(job, holding, own).into_iter().collect();
    let turned = |n: usize| of(n).0.feature.filter(|_| turns(of(n).0));
    let throws: Vec<usize> = (0..at).filter(|&n| turned(n).is_some_and(|id| cranked(job, id))).collect();
    let packed = |&&throw: &&usize| (throw + 1..at).any(|n| turned(n).is_some());
    let (kept, open): (Vec<usize>, Vec<usize>) = throws.iter().partition(packed);
    let gaps = |throws: &[usize]| {
        let all: Vec<String> = throws.iter().filter_map(|&n| gap(job, turned(n)?)).collect();
        all.join(", ")
    };
    if !open.is_empty() {
        let steady = holding.steadied == Steadied::Tailstock
            || matches!(holding.held, Held::Centres | Held::OffsetCentres { .. });
        let centre = if steady { ", and bring the centre up no harder than that" } else { "" };
        all.push(format!(
            "Before {} is turned: pack {} with a block that just pushes in, tied so that it cannot fly{centre}.",
            job.name(own),
            gaps(&open)
        ));
    }
    let begins = (0..at).rev().take_while(|&n| of(n).1 == holding).all(|n| turned(n).is_none());
    if begins && !kept.is_empty() {
        all.push(format!("What is packed stays packed until the last section is turned: {}.", gaps(&kept)));
    }
    let clocked = |&n: &usize| {
        let (id, held) = (turned(n)?, of(n).1);
        let (set, _) = set_within(job, makings, held)?;
        Some(again(job, id, held, set).is_positive() && clocked_again(job, id, set))
    };
    if matches!(holding.held, Held::Chuck { on: None }) && throws.iter().filter_map(clocked).any(|yes| yes) {
        all.push(
            "The throws are held close: grip the bar in the four-jaw chuck here, and move opposite jaws until an indicator on it \
             shows no more than 0.02 mm over one turn."
                .into(),
        );
    }
    all
}

/// Whether a deed brings the outside of a section to its size.
const fn turns(deed: &Deed) -> bool {
    matches!(deed.work, Work::TurnSection { .. } | Work::TurnTaper { .. })
}

/// What a throw leaves open between its webs.
fn gap(job: &Job, throw: FeatureId) -> Option<String> {
    let web = |end| job.part.neighbour(throw, end).map(|web| job.name(web));
    let (one, two) = (web(SectionEnd::Left)?, web(SectionEnd::Right)?);
    Some(format!("the gap of {} between {one} and {two}", job.part.section_length(throw)))
}

/// How a pin is cut that stands deep in the bar: the tool's reach, and where the cut stops knocking.
fn between_webs(job: &Job, holding: &Holding, pin: FeatureId) -> Option<String> {
    let by_the_bar = holding.held.by_the_bar() && carries_the_rest(job, pin, holding.up);
    if holding.held.set_over().is_none() || !(cranked(job, pin) || by_the_bar) {
        return None;
    }
    let (round, throw, own) = (bar(job).half(), throw_of(job, pin), job.part.cut_diameter(pin)?);
    let reach = round + throw - own.half();
    let name = job.name(pin);
    let mut words = format!(
        "{name} is cut with a square-nosed tool as for parting, narrower than the gap and {reach} or more out of its holder, \
         let in beside both webs in turn"
    );
    let whole = (round - throw) * 2;
    if whole > own {
        words += &format!("; it knocks until the work is round, at {whole}");
    }
    words += ".";
    if reach > limit("parting reach") {
        words += " So far out it chatters: drill and saw out most of the gap before, or take small cuts.";
    }
    if by_the_bar {
        words += &format!(
            " Go on {} past its end into the bar: the pin alone is then left to cut through; hold what comes off.",
            past_the_pin()
        );
    }
    Some(words)
}

/// How far a pin by the bar is turned past its end: room for a saw beside what is faced off.
pub(crate) fn past_the_pin() -> Length {
    Length::mm(5)
}
