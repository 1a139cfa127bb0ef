//! Roughing all over: what fits closely at the end that is worked first is only roughed there, and finished in a
//! third holding, once the other end is done; nothing that comes off moves it any more.
//!
//! What asks for it stands in `tables/processes/rough_all_over.csv`: castings, thin walls, slender shafts. It
//! costs a setup, and so ordinary work from bar is left alone.

use super::deed::{Deed, Job, Makings};
use super::roughing::{bar, demanding};
use super::turned::First;
use super::turned_held::{self, Grips, goes_in, grips, wall_left};
use super::work::{Held, Roughing, Work};
use super::{places::opposite, tapers};
use crate::drawing::{FeatureId, Kind, SectionSize, Turning};
use crate::measure::Length;
use crate::metric::clearance_asked;
use crate::tables::fits;
use crate::tables::processes::{AllOver, limit, rough_all_over};

/// What is finished in a third holding, and in which.
#[derive(Clone, Debug)]
pub(super) struct Later {
    /// The sections that fit closely.
    pub sections: Vec<FeatureId>,
    /// What then holds the work, by the end that is finished.
    pub on: Vec<Held>,
    /// Why.
    pub because: &'static AllOver,
}

/// What of the end that is worked first is finished last.
pub(super) fn later(
    job: &Job,
    first: First,
    (near, far): (&[FeatureId], &[FeatureId]),
    bar: &Grips,
) -> Option<Later> {
    let part = job.part;
    let plain_work = part.drawing.turned == Turning::Anyhow
        && !part.sections().iter().any(|&id| part.is_eccentric(id))
        && !part.features().any(|(_, feature)| matches!(feature.kind, Kind::Knurl { .. }));
    if !plain_work || !far.iter().any(|&id| heavy(job, id)) {
        return None;
    }
    let because =
        rough_all_over().iter().find(|row| asks(job, row) && near.iter().any(|&id| close(job, id, row)))?;
    let sections: Vec<FeatureId> =
        near.iter().copied().filter(|&id| close(job, id, because) && heavy(job, id)).collect();
    let held = |id: &FeatureId| {
        goes_in(job, *id, opposite(first.end())) && grips(job, *id) && wall_left(job, *id).is_none()
    };
    let mut on: Vec<Held> =
        far.iter().copied().filter(held).map(|id| turned_held::by(job, Some(id))).collect();
    if bar.centres && tapers::may_hang(job, first) {
        on.push(Held::Centres);
    }
    (!sections.is_empty() && !on.is_empty()).then_some(Later { sections, on, because })
}

/// Whether the part is of the work that a row is about.
fn asks(job: &Job, row: &AllOver) -> bool {
    let sections = job.part.sections();
    match row.work {
        "casting" => job.casting().is_some_and(crate::drawing::GivenStock::turns),
        "thin wall" => sections.iter().any(|&id| wall_left(job, id).is_some()),
        _ => true,
    }
}

/// Whether a section fits so closely, and the work is long enough for its width, that a row asks for it.
fn close(job: &Job, id: FeatureId, row: &AllOver) -> bool {
    let Some(across) = job.part.cut_diameter(id).filter(|_| demanding(job.part, id)) else { return false };
    let slender = job.part.thickness() > job.part.bar_needed().scaled(row.diameters);
    let room = room(job, id, across);
    let grade = |number| fits::grade(number, across).map_or(Length::ZERO, |(width, _)| width);
    slender && room.is_some_and(|room| room <= grade(row.grade) + grade(row.grade - 1))
}

/// Between the tightest and the loosest that a section may turn out: with what it fits, or by its own limits.
fn room(job: &Job, id: FeatureId, across: Length) -> Option<Length> {
    let fits = job.part.drawing.mates.iter().filter(|mate| mate.with == id);
    let fits =
        fits.filter_map(|mate| clearance_asked(&mate.fit, across).map(|(least, most)| most - least)).min();
    let Kind::Section { size: SectionSize::Plain(diameter), .. } = job.part.feature(id).kind else {
        return fits;
    };
    fits.or_else(|| job.part.drawing.dimensions[diameter.0].within.map(|within| within * 2))
}

/// Whether enough is turned off a section for a cut by itself.
fn heavy(job: &Job, id: FeatureId) -> bool {
    let Some(across) = job.part.cut_diameter(id) else { return false };
    let off = match job.casting() {
        Some(casting) => casting.left_on() * 2,
        None => bar(job) - across,
    };
    off >= limit("worth roughing") + limit("left for finishing")
}

/// Whether a deed roughs a section that is finished in a third holding.
pub(super) fn roughs_for_later(deed: &Deed) -> bool {
    matches!(deed.work, Work::RoughSection { because: Roughing::AllOver { .. }, .. })
}

/// Whether what a deed finishes is finished in a third holding.
pub(super) fn is_later(makings: &Makings, deed: &Deed) -> bool {
    matches!(deed.work, Work::TurnSection { .. })
        && makings.deeds.iter().any(|other| other.feature == deed.feature && roughs_for_later(other))
}
