//! A finished bore that an aid goes into: its size, its limits, the metal round it.

use super::Ask;
use crate::drawing::{Body, Depth, DimensionId, Face, FeatureId, Finish, Kind};
use crate::geometry::Point;
use crate::measure::Length;
use crate::metric::MadeWith;
use crate::problem::Problem;
use crate::settings::show::mm;
use crate::tables::drills::Drill;
use crate::tables::fits::{self, Limits};
use crate::why::Why;

/// A bore of the work.
pub(super) struct Bore {
    /// `pivot bore`.
    pub name: String,
    /// Its finished nominal size.
    pub size: Length,
    /// Its limits.
    pub limits: Limits,
    /// The drill before it is finished, where there is one.
    pub pilot: Option<Drill>,
    /// Bored, where it is not reamed.
    pub bored: bool,
    /// Its place in the axes of the part.
    pub xy: (Length, Length),
    /// Least thickness of one piece there: no step leaves less.
    pub thickness: Length,
    /// Across the largest circle round it that lies within the finished outside.
    pub round_it: Length,
    /// Where its size and limits come from.
    pub why: Why,
}

/// What an aid must know of a bore.
pub(super) fn bore(ask: &Ask, id: FeatureId) -> Result<Bore, Problem> {
    let feature = ask.part.feature(id);
    let Kind::Hole { diameter, finish, depth, .. } = feature.kind else {
        return Err(Problem::new(format!("`{}` is a {}, no bore", feature.name, feature.kind.word()))
            .why("an aid carries the work by a plain hole")
            .mend("plan the work from a plain hole"));
    };
    if depth != Depth::Through {
        return Err(Problem::new(format!("`{}` does not run through the work", feature.name))
            .why("no screw can hold the work through a blind hole")
            .mend("plan the work from a bore that runs from front to back"));
    }
    let turned = matches!(ask.part.drawing.body, Body::Turned { .. });
    let through = match feature.face {
        Face::Front | Face::Back if !turned => ask.part.xy(id),
        // Along the axis of a turned part.
        Face::Left | Face::Right if turned && !ask.part.off_axis(id) => Some((Length::ZERO, Length::ZERO)),
        _ => None,
    };
    let xy = through.ok_or_else(|| {
        Problem::new(format!("`{}` has no place in the plane of the drawing", feature.name))
            .mend("plan the work from a bore that runs from front to back")
    })?;
    let size = ask.part.size(diameter);
    let (limits, by) = limits(ask, diameter, size, finish)?;
    let chosen = ask.metric.dimensions.get(diameter.0).map(|choice| choice.why.clone());
    let why = Why::new(format!(
        "`{}` is finished {} to {} mm",
        feature.name,
        limits.least().decimals(3),
        limits.greatest().decimals(3)
    ))
    .source(limits.source.to_string())
    .because(by);
    Ok(Bore {
        name: feature.name.clone(),
        size,
        limits,
        pilot: ask.metric.dimensions.get(diameter.0).and_then(|choice| match &choice.made {
            MadeWith::Reamer { pilot, .. } | MadeWith::Boring { pilot } => Some(pilot.clone()),
            _ => None,
        }),
        bored: ask
            .metric
            .dimensions
            .get(diameter.0)
            .is_some_and(|choice| matches!(choice.made, MadeWith::Boring { .. })),
        xy,
        thickness: if turned { ask.part.thickness() } else { ask.part.thickness_at(id) },
        round_it: round_it(ask, id, Point::at(xy.0, xy.1))?,
        why: chosen.into_iter().fold(why, Why::because),
    })
}

/// The limits of a finished bore, and where they come from: the class of the
/// reamer, else what the finish usually holds.
fn limits(ask: &Ask, diameter: DimensionId, size: Length, finish: Finish) -> Result<(Limits, Why), Problem> {
    if let Some(choice) = ask.metric.dimensions.get(diameter.0)
        && let MadeWith::Reamer { reamer, .. } = &choice.made
        && let Ok(limits) = fits::limits(&reamer.class, size)
    {
        return Ok((limits, Why::new(format!("a {} reamer of {} makes it", reamer.class, mm(size)))));
    }
    let (class, why) = match finish {
        Finish::Reamed => ("H7", "a hand or machine reamer is supposed to be H7"),
        Finish::Bored => ("H7", "bored holes are supposed to be held to H7"),
        Finish::Drilled => ("H11", "a drilled hole is supposed to run to H11: measure it before turning"),
    };
    Ok((fits::limits(class, size)?, Why::assumed(why)))
}

/// Across the largest circle about a bore that stays within the finished outside.
fn round_it(ask: &Ask, id: FeatureId, centre: Point) -> Result<Length, Problem> {
    let part = ask.part;
    // Behind turned work the tool may run on into the shoulder, and takes it down with it:
    // room for a ring of a millimetre is always there.
    if matches!(part.drawing.body, Body::Turned { .. }) {
        let least = part.sections().iter().filter_map(|&id| part.cut_diameter(id)).min().unwrap_or_default();
        let bore = part.cut_diameter(id).unwrap_or_default();
        return Ok((least + Length::mm(1)).max(bore + Length::mm(3)));
    }
    // Where a boss or the disc is concentric, its own size is exact.
    let concentric = part.features().find_map(|(other, feature)| match feature.kind {
        Kind::Boss { radius } if part.xy(other) == part.xy(id) => Some(part.size(radius) * 2),
        _ => None,
    });
    if let Some(across) = concentric {
        return Ok(across);
    }
    if let Body::Disc { diameter, .. } = part.drawing.body
        && part.xy(id) == Some((Length::ZERO, Length::ZERO))
    {
        return Ok(part.size(diameter));
    }
    Ok(Length::nearest(part.outline()?.distance_mm(centre) * 2.0))
}
