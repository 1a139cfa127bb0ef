//! Between what a size of the metric part must lie.

use super::super::job::Job;
use crate::drawing::{DimensionId, Finish, Given, Kind, Measures, Part, Role, SectionSize};
use crate::measure::Length;
use crate::metric::{MadeWith, clearance_asked};
use crate::settings::measuring::reading::Limits;
use crate::settings::show::mm;
use crate::tables::fits;
use crate::tables::general_tolerance::{Class, general_tolerance};
use crate::why::Why;

/// The limits of a dimension and where they come from.
///
/// In this order: the class that its reamer or the boring tool is held to; the fit with its
/// mate; the drawing's own tolerance; what a held size is held to; the general tolerance, about
/// the size that was chosen.
pub(super) fn of(job: &Job, id: DimensionId) -> (Limits, Why) {
    let dimension = &job.part.drawing.dimensions[id.0];
    let choice = &job.metric.dimensions[id.0];
    let size = job.part.size(id);
    let decided = || job.why_dimension(id);
    if let Some(class) = class(&choice.made, dimension.measures)
        && let Ok(found) = fits::limits(&class, size)
    {
        let why = Why::new(format!("{class} at {}", mm(size))).source(found.source.to_string());
        return (Limits { least: found.least(), greatest: found.greatest() }, why.because(decided()));
    }
    if let Some((limits, why)) = mated(job, id) {
        return (limits, why.because(decided()));
    }
    if let Some(within) = dimension.within {
        let why =
            Why::new(format!("{} with {} either way", mm(choice.exact), mm(within))).source("the drawing");
        return (Limits::about(choice.exact, within), why.because(decided()));
    }
    if dimension.role.0 == Role::Hold {
        let words = format!("held to {} within {}", mm(choice.exact), mm(choice.limit));
        let why = match dimension.role.1 {
            Given::Said => Why::new(words),
            Given::Assumed => Why::assumed(words),
        };
        return (Limits::about(choice.exact, choice.limit), why.because(decided()));
    }
    let (either_way, why) = general(job, size);
    (Limits::about(size, either_way), why.because(decided()))
}

/// What a size without its own tolerance may be out by.
pub(super) fn general(job: &Job, size: Length) -> (Length, Why) {
    let class = job.part.drawing.general_tolerance;
    match general_tolerance(class.unwrap_or(Class::SUPPOSED), size.abs()) {
        Ok(row) => {
            let words = format!("the {} class of general tolerances at {}", row.class.name(), mm(size));
            let why = if class.is_some() { Why::new(words) } else { Why::assumed(words) };
            (row.plus_minus, why.source(row.source.to_string()))
        }
        Err(_) => {
            let either_way = (size.abs() / 4).max(Length::microns(50));
            let why = Why::assumed(format!("{} at {}: the table begins above it", mm(either_way), mm(size)));
            (either_way, why.source("common practice"))
        }
    }
}

/// True where sizes are held to a class that nobody named.
pub(super) fn supposed(job: &Job) -> bool {
    let drawing = job.part.drawing;
    let open = |d: &crate::drawing::Dimension| d.within.is_none() && d.role.0 != Role::Hold;
    drawing.general_tolerance.is_none() && drawing.dimensions.iter().any(open)
}

/// How far a dimension may be out, the worse way.
pub(super) fn either_way(job: &Job, id: DimensionId) -> Length {
    let (limits, _) = of(job, id);
    let size = job.part.size(id);
    limits.greatest.gap(size).max(limits.least.gap(size))
}

/// The class that a hole is brought to.
fn class(made: &MadeWith, measures: Measures) -> Option<String> {
    match (made, measures) {
        (MadeWith::Reamer { reamer, .. }, _) => Some(reamer.class.clone()),
        (_, Measures::Hole(Finish::Bored | Finish::Reamed)) => Some("H7".into()),
        _ => None,
    }
}

/// The limits that a fit with a mate asks of a bore or a turned section.
fn mated(job: &Job, id: DimensionId) -> Option<(Limits, Why)> {
    let part: &Part = job.part;
    let mate = part.drawing.mates.iter().find(|mate| match &part.feature(mate.with).kind {
        Kind::Hole { diameter, .. } => *diameter == id,
        Kind::Section { size: SectionSize::Plain(diameter), .. } => *diameter == id,
        _ => false,
    })?;
    let other = part.size(mate.size);
    let (least, greatest) = clearance_asked(&mate.fit, part.size(id))?;
    let limits = match part.feature(mate.with).kind {
        Kind::Hole { .. } => Limits { least: other + least, greatest: other + greatest },
        _ => Limits { least: other - greatest, greatest: other - least },
    };
    let why = Why::new(format!(
        "a {} fit with {}, itself {}: {} to {} mm of clearance",
        mate.fit,
        mate.name,
        mm(other),
        least.decimals(3),
        greatest.decimals(3)
    ));
    Some((limits, why.because(job.why_dimension(mate.size))))
}
