//! Where holes and keyways lie in turned work, and how deep what is cut in its round is.

use super::places::{later_of_patterns, plug_of, plugged, sum, told};
use super::{Asked, Rows};
use crate::drawing::{Axis, Body, Depth, DimensionId, Face, FeatureId, Kind};
use crate::measure::Length;
use crate::settings::measuring::over_pins::from_edge;
use crate::settings::measuring::reading::Limits;
use crate::settings::show::{geometry, mm, practice};
use crate::tables::instruments::Across;
use crate::why::Why;

/// The directions in which a feature of turned work is measured over a plug.
pub(super) fn measured_along(job: &super::Job, id: FeatureId) -> &'static [Axis] {
    let feature = job.part.feature(id);
    let hole = matches!(feature.kind, Kind::Hole { .. } | Kind::Tapped { .. });
    match (hole && plug_of(job, id).is_some(), feature.face) {
        (true, Face::Left | Face::Right) if job.part.off_axis(id) && outside(job, id).is_some() => {
            &[Axis::Y, Axis::Z]
        }
        (true, Face::Top | Face::Bottom | Face::Front | Face::Back) => &[Axis::X],
        _ => &[],
    }
}

/// The round that a hole in an end lies in, where its axis is that of the part.
fn outside(job: &super::Job, id: FeatureId) -> Option<Length> {
    let face = job.part.feature(id).face;
    let &section = job.part.sections_below(id).first()?;
    let end =
        if face == Face::Left { crate::drawing::SectionEnd::Left } else { crate::drawing::SectionEnd::Right };
    if job.part.is_eccentric(section) { None } else { job.part.end_diameter(section, end) }
}

pub(super) fn add(rows: &mut Rows) {
    let job = rows.job;
    if !matches!(job.part.drawing.body, Body::Turned { .. }) {
        return;
    }
    let in_patterns = later_of_patterns(job);
    for (id, _) in job.part.features().filter(|(id, _)| !in_patterns.contains(id)) {
        match measured_along(job, id) {
            [Axis::X] => across(rows, id),
            [_, _] => in_end(rows, id),
            _ => {}
        }
    }
}

/// A hole across the axis: from the left end to the far side of a plug.
fn across(rows: &mut Rows, id: FeatureId) {
    let job = rows.job;
    let (Some(plug), Some(at), Some(place)) =
        (plug_of(job, id), job.part.at(id, Axis::X), job.part.solved.place(id, Axis::X))
    else {
        return;
    };
    let Ok(over) = from_edge(at, plug) else { return };
    let (out, whys) = told(rows, sum(job, place), at);
    let why = geometry(format!("{} and half of the plug, {}", mm(at), mm(plug.half())));
    let name = &job.part.feature(id).name;
    let asked = Asked {
        what: format!("{name} from the left end"),
        size: at,
        limits: Limits::about(over.over, out),
        why: whys.into_iter().fold(why, Why::because),
        across: Across::Outside,
        how: "from the left end to the far side of a plug that stands out".into(),
    };
    let words = plugged(rows, id, plug);
    rows.over(asked, over.over, &words);
}

/// A hole in an end, off the axis: from the far side of the round to the far side of a plug.
fn in_end(rows: &mut Rows, id: FeatureId) {
    let job = rows.job;
    let (Some(plug), Some(round)) = (plug_of(job, id), outside(job, id)) else { return };
    let from_axis = job.part.from_axis(id);
    let over = from_axis + round.half() + plug.half();
    let mut out = Length::ZERO;
    let mut whys = Vec::new();
    for axis in [Axis::Y, Axis::Z] {
        let (Some(at), Some(place)) = (job.part.at(id, axis), job.part.solved.place(id, axis)) else {
            continue;
        };
        let share = Length::nearest((at.as_mm() / from_axis.as_mm()).abs());
        let (along, reasons) = sum(job, place);
        out += along.scaled(share.ratio());
        whys.extend(reasons);
    }
    let (out, whys) = told(rows, (out, whys), from_axis);
    let why = geometry(format!(
        "{} from the axis, half of the round, {}, and half of the plug, {}",
        mm(from_axis),
        mm(round.half()),
        mm(plug.half())
    ));
    let name = &job.part.feature(id).name;
    let asked = Asked {
        what: format!("{name} from the axis"),
        size: from_axis,
        limits: Limits::about(over, out),
        why: whys
            .into_iter()
            .fold(why, Why::because)
            .because(Why::assumed("the round itself has its size: add half of what it has been found over")),
        across: Across::Outside,
        how: "from the far side of the round, through the axis, to the far side of a plug".into(),
    };
    let words = plugged(rows, id, plug);
    rows.over(asked, over, &words);
}

/// The floor of a slot, pocket or flatted hole cut into the round of turned work.
pub(super) struct Floor {
    /// Across the round there.
    round: Length,
}

/// The floor whose depth a dimension is, where it is measured over the far side of the round.
pub(super) fn floor(job: &super::Job, id: DimensionId) -> Option<Floor> {
    if !matches!(job.part.drawing.body, Body::Turned { .. }) {
        return None;
    }
    job.part.features().find_map(|(feature, kind)| {
        let (Kind::Slot { depth: Depth::To(deep), .. } | Kind::Pocket { depth: Depth::To(deep), .. }) =
            kind.kind
        else {
            return None;
        };
        if deep != id || matches!(kind.face, Face::Left | Face::Right) {
            return None;
        }
        let section = job.part.section_of(feature)?;
        let along = job.part.at(feature, Axis::X)?;
        let round = job.part.diameter_at(section, along)?;
        (!job.part.is_eccentric(section)).then_some(Floor { round })
    })
}

/// A keyway's depth: what is left from its floor to the far side.
pub(super) fn over_floor(rows: &mut Rows, floor: Floor, asked: Asked) {
    let left = floor.round - asked.size;
    let limits =
        Limits { least: floor.round - asked.limits.greatest, greatest: floor.round - asked.limits.least };
    let why = geometry(format!("{} across the round less {} deep", mm(floor.round), mm(asked.size)))
        .because(asked.why.clone())
        .because(Why::assumed("the round itself has its size: add what it has been found over"));
    let how = "from its floor to the far side of the round, a key or a piece of square bar laid in where the jaws do not reach";
    rows.over_nothing(Asked { limits, why, how: how.into(), ..asked }, left);
}

/// Over how many ridges of a knurl the pitch is taken: common practice.
const RIDGES: i64 = 10;

/// The pitch of a knurl: over several of its ridges, rubbed on paper.
pub(super) fn ridges(rows: &mut Rows, asked: Asked) {
    let limits = Limits { least: asked.limits.least * RIDGES, greatest: asked.limits.greatest * RIDGES };
    let why = practice(format!(
        "{RIDGES} pitches together, {} each: what one is out by is too small to see",
        mm(asked.size)
    ))
    .because(asked.why.clone());
    let how = format!(
        "a strip of paper laid round the knurl and rubbed with a pencil; on it, square to the ridges that run one way, from one to the {RIDGES}th after it, by the points of the jaws"
    );
    let reading = asked.size * RIDGES;
    rows.by_points(Asked { limits, why, how, ..asked }, reading, "the wheels make it");
}

/// A chamfer: what it leaves of the end face, across its rim.
pub(super) fn rim(rows: &mut Rows, id: DimensionId, asked: Asked) {
    let part = rows.job.part;
    let across = part.features().find_map(|(_, feature)| match feature.kind {
        Kind::Chamfer { of, end, size } if size == id => part.end_diameter(of, end),
        _ => None,
    });
    let Some(across) = across.filter(|across| asked.limits.greatest * 2 < *across) else {
        rows.by_tool(asked, "the tool's travel makes it", "a magnifier with a scale");
        return;
    };
    let reading = across - asked.size * 2;
    let limits =
        Limits { least: across - asked.limits.greatest * 2, greatest: across - asked.limits.least * 2 };
    let why = geometry(format!("{} across, less {} on either side", mm(across), mm(asked.size)))
        .because(asked.why.clone())
        .because(Why::assumed("the round itself has its size: add what it has been found over"))
        .because(practice("a flat anvil would ride up the chamfer: the points of the jaws do not"));
    let how = "across the rim of the end face, where the chamfer begins, by the points of the jaws".into();
    rows.by_points(Asked { limits, why, how, ..asked }, reading, "the tool's travel makes it");
}
