//! Roughing by itself: which sections are turned near their size first and finished later.
//!
//! Metal that comes off lets go what stress was in the bar, and a drill heats the work: what
//! fits something or is held closely is finished once that is over. It is asked for where
//! the work is slender, where a wide hole follows, and where the wall will be so thin that
//! it gives while it is bored. Elsewhere one operation does both, as the sheet's cuts say.

use super::all_over::Later;
use super::deed::{Deed, Job, Makings};
use super::turned::{First, axial};
use super::turned_held::{hollowed, thin_over, wall_left};
use super::work::{Roughing, Steadied, Work};
use crate::bench::Section;
use crate::drawing::{Face, FeatureId, Kind, Part, SectionSize, Turning};
use crate::measure::Length;
use crate::metric::MetricPart;
use crate::tables::processes::limit;

/// A tolerance no wider than this is close: a size is finished once nothing moves it any more.
fn close() -> Length {
    limit("close tolerance")
}

/// What is roughed at one end: each section with the diameter it is left at, and why. Nothing
/// where nothing there asks for it; else every section that enough comes off.
pub(super) fn at_end(
    job: &Job,
    (end, first): (Face, First),
    sections: &[FeatureId],
    later: Option<&Later>,
) -> Vec<(FeatureId, Length, Roughing)> {
    let part = job.part;
    let mut all = in_one_holding(job, (end, first), sections);
    for &id in later.iter().flat_map(|later| &later.sections) {
        let because = later.map(|later| Roughing::AllOver { row: later.because });
        let known = all.iter().position(|(known, ..)| *known == id);
        let left = known.map(|at| all.remove(at).1);
        let usual = || Some(part.cut_diameter(id)? + limit("left for finishing"));
        if let (Some(because), Some(left)) = (because, left.or_else(usual)) {
            all.push((id, left, because));
        }
    }
    all
}

/// What is roughed and finished at one end in one holding.
fn in_one_holding(
    job: &Job,
    (end, first): (Face, First),
    sections: &[FeatureId],
) -> Vec<(FeatureId, Length, Roughing)> {
    let part = job.part;
    let other = |kind: &Kind| matches!(kind, Kind::Knurl { .. });
    // A knurl wants its blank finished while the work is stiff, and a throw its axis true first.
    if part.drawing.turned != Turning::Anyhow
        || job.casting().is_some()
        || part.sections().iter().any(|&id| part.is_eccentric(id))
        || part.features().any(|(_, feature)| other(&feature.kind))
    {
        return Vec::new();
    }
    let asked =
        |&id: &FeatureId| demanding(job.part, id).then(|| reason(job, (end, first), sections, id)).flatten();
    let Some(asking) = sections.iter().find(|id| asked(id).is_some()).copied() else { return Vec::new() };
    let left_on = limit("left for finishing");
    let roughed = sections.iter().filter_map(|&id| {
        let finished = match part.feature(id).kind {
            Kind::Section { size: SectionSize::Plain(_) | SectionSize::Threaded(_), .. } => {
                part.cut_diameter(id)?
            }
            Kind::Section { size: SectionSize::Taper { left, right }, .. } => {
                part.size(left).max(part.size(right))
            }
            _ => return None,
        };
        let because = asked(&id).unwrap_or(Roughing::Beside { section: asking });
        let diameter = match because {
            Roughing::Thin { left, .. } => finished + (left * 2).max(left_on),
            _ => finished + left_on,
        };
        (bar(job) - diameter >= limit("worth roughing")).then_some((id, diameter, because))
    });
    roughed.collect()
}

/// Whether a section fits something, or is held closely.
pub(super) fn demanding(part: &Part, id: FeatureId) -> bool {
    let plain = matches!(part.feature(id).kind, Kind::Section { size: SectionSize::Plain(_), .. });
    plain && part.drawing.mates.iter().any(|mate| mate.with == id) || held_closely(part, id)
}

/// Whether the diameter of a plain section is held closely.
fn held_closely(part: &Part, id: FeatureId) -> bool {
    let Kind::Section { size: SectionSize::Plain(diameter), .. } = part.feature(id).kind else {
        return false;
    };
    part.drawing.dimensions[diameter.0].within.is_some_and(|within| within <= close())
}

fn reason(job: &Job, (end, first): (Face, First), sections: &[FeatureId], id: FeatureId) -> Option<Roughing> {
    let across = job.part.cut_diameter(id)?;
    let here: Vec<FeatureId> =
        job.part.features().map(|(hole, _)| hole).filter(|&hole| axial(job, hole, end, first)).collect();
    // Bored from the other end, it is bored before or after, in another holding.
    if let Some(wall) = wall_left(job, id).filter(|_| here.iter().any(|&hole| thin_over(job, id, hole))) {
        // As thick as a wall that does not give.
        let firm = limit("thin wall").min(across / 10);
        return Some(Roughing::Thin { wall, left: (firm - wall).max(Length::ZERO) });
    }
    if super::overhang::slender(job, end, sections) {
        return Some(Roughing::Slender);
    }
    let hollow = here.into_iter().find(|&hole| hollowed(job, id, hole));
    hollow.filter(|_| held_closely(job.part, id)).map(|hole| Roughing::Hollow { hole })
}

/// Across the bar that it is turned from.
pub(super) fn bar(job: &Job) -> Length {
    across_the_bar(job.part, job.metric)
}

/// The same of a part with its metric sizes.
pub(crate) fn across_the_bar(part: &Part, metric: &MetricPart) -> Length {
    match metric.stock.as_ref().map(|stock| stock.stock.section) {
        Some(Section::Round { diameter }) => diameter,
        _ => part.bar_needed(),
    }
}

/// Whether what a deed finishes is roughed by itself first.
pub(super) fn roughed(makings: &Makings, deed: &Deed) -> bool {
    deed.feature.is_some() && makings.deeds.iter().any(|other| other.feature == deed.feature && roughs(other))
}

/// Whether a deed roughs a section.
pub(super) const fn roughs(deed: &Deed) -> bool {
    matches!(deed.work, Work::RoughSection { .. })
}

/// Whether a deed drills what a roughed section is hollowed by before it is finished. Drilled
/// in a slender end, it would take away the centre that the finishing cut is steadied by.
pub(super) fn drilled_between(job: &Job, makings: &Makings, drilling: &Deed, finishing: &Deed) -> bool {
    let steady = |&place: &usize| makings.places[place].holding.steadied != Steadied::Not;
    matches!((drilling.feature, finishing.feature), (Some(hole), Some(section))
        if hollowed(job, section, hole))
        && roughed(makings, finishing)
        && !finishing.places.iter().any(steady)
}

impl Roughing {
    /// Why, for the person at the lathe.
    pub fn words(self, part: &Part) -> String {
        let name = |id: FeatureId| &part.feature(id).name;
        match self {
            Self::Slender => {
                "slender work springs as its skin comes off: it is roughed all along, and finished when it has cooled"
                    .into()
            }
            Self::Thin { wall, left } => format!(
                "{wall} of wall will be left: {left} a side more stands while it is bored, so that it does not give"
            ),
            Self::Hollow { hole } => format!(
                "drilling {} out of it heats the work and lets go what stress was in the bar: it is finished after that",
                name(hole)
            ),
            Self::AllOver { row } => format!(
                "{}: both ends are roughed before either is finished, and this is finished once the other end is done",
                row.because
            ),
            Self::Beside { section } => {
                format!("all roughing at this end is done before {} is finished", name(section))
            }
        }
    }
}
