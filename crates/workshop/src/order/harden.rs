//! Hardening and tempering a part by itself, after the last cut that needs soft metal.

use super::deed::{Job, Makings};
use super::plates::add;
use super::work::{Held, Holding, Located, Machine, Tool, Work};
use crate::drawing::{Face, FeatureId, Finish, Kind, Part, SectionSize};
use crate::measure::Length;
use crate::tables::processes::limit;

/// What of a part fits something closely: each with its size and whether it is a hole. Reamed and
/// bored holes, and what a mate meets; what is finished in assembly is not there yet. Where the part stays soft,
/// of holes only what is bored to fit something: a reamer leaves nothing for a lap.
fn close_fits(part: &Part) -> Vec<(FeatureId, Length, bool)> {
    let soft = part.drawing.harden.is_none();
    let found = part.features().filter_map(|(id, feature)| {
        let fits = part.drawing.mates.iter().any(|mate| mate.with == id);
        if part.drawing.left(id).is_some() {
            return None;
        }
        match feature.kind {
            Kind::Hole { diameter, finish, .. } if soft => {
                (fits && finish == Finish::Bored).then(|| (id, part.size(diameter), true))
            }
            Kind::Hole { diameter, finish, .. } if fits || finish != Finish::Drilled => {
                Some((id, part.size(diameter), true))
            }
            Kind::Section { size: SectionSize::Plain(diameter), .. } if fits => {
                Some((id, part.size(diameter), false))
            }
            _ => None,
        }
    });
    found.collect()
}

/// Whether what fits closely on a part is lapped: it is hardened, or its file says so.
fn is_lapped(part: &Part) -> bool {
    part.drawing.harden.is_some() || part.drawing.lapping.is_some()
}

/// How much of a diameter is left for the lap: as the part file says, or supposed.
pub(crate) fn lapped_off(part: &Part) -> Length {
    part.drawing.lapping.unwrap_or_else(|| limit("left for lapping"))
}

/// What is left on the diameter of a section that is lapped to its size once it is hard; none on any other,
/// nor where the bar has no room for it.
pub(crate) fn left_for_lapping(part: &Part, section: FeatureId, bar: Length) -> Option<Length> {
    is_lapped(part).then_some(())?;
    let (_, finished, _) = close_fits(part).into_iter().find(|&(id, _, hole)| id == section && !hole)?;
    let left = lapped_off(part);
    (finished + left <= bar).then_some(left)
}

/// Says what is left on a section for lapping, where the part file does not.
pub(super) fn told_of_lapping(job: &Job, makings: &mut Makings, section: FeatureId) {
    let left = left_for_lapping(job.part, section, super::roughing::bar(job));
    if let Some(left) = left.filter(|_| job.part.drawing.lapping.is_none()) {
        makings.assume(format!(
            "{left} is left on {} for lapping it once it is hard: `lapping` of the part file says otherwise",
            job.name(section)
        ));
    }
}

/// Adds what is done to each piece of a part that is hardened: hardening, tempering, and what fits
/// closely brought to size after it. What is lapped soft has only that.
pub(super) fn all(job: &Job, makings: &mut Makings) {
    if !is_lapped(job.part) {
        return;
    }
    let hardened = job.part.drawing.harden.is_some();
    for lot in job.singles() {
        let holding = Holding {
            machine: Machine::BenchVice,
            pieces: job.pieces(lot),
            up: Face::Front,
            held: Held::Bench,
            located: Located::Nothing,
            image: job.image(lot),
            steadied: Default::default(),
        };
        let place = makings.place(job, lot, holding);
        for work in [Work::Harden, Work::Temper].into_iter().filter(|_| hardened) {
            add(job, makings, work, None, lot, Tool::Hearth, vec![place]);
        }
        for (id, diameter, hole) in close_fits(job.part) {
            let (work, tool) = (Work::Lap { diameter, hole }, Tool::Lap { diameter, hole });
            add(job, makings, work, Some(id), lot, tool, vec![place]);
        }
    }
}
