//! What gives once metal beside it is gone: thin floors and webs, the thin wall beside a
//! pocket, and edges beside a slit.

use crate::drawing::{Axis, Depth, DimensionId, Face, FeatureId, Kind};
use crate::geometry::{Outline, Point, Segment, closest};
use crate::measure::Length;
use crate::order::deed::{Deed, Job};
use crate::order::work::{Deep, Tool, Work};
use crate::tables::processes::{limit, process};

/// Whether a deed goes right through metal that another leaves thin.
pub(super) fn through_thin(job: &Job, deed: &Deed, thinning: &Deed) -> bool {
    let (Some(hole), Some(cut)) = (deed.feature, thinning.feature) else { return false };
    let thins =
        matches!(thinning.work, Work::MillPocket { .. } | Work::MillSlot { .. } | Work::MillStep { .. });
    let through = matches!(
        deed.work,
        Work::Drill { deep: Deep::Through(_), .. }
            | Work::Ream { deep: Deep::Through(_), .. }
            | Work::Bore { deep: Deep::Through(_), .. }
            | Work::TrueHole { deep: Deep::Through(_), .. }
            | Work::Tap { deep: Deep::Through(_) }
            | Work::MillSlot { deep: Deep::Through(_), .. }
    );
    through && thins && stands_in_thin(job, hole, cut)
}

/// Whether a feature stands wholly where a pocket, slot or step of its own two faces leaves the metal thin.
fn stands_in_thin(job: &Job, hole: FeatureId, cut: FeatureId) -> bool {
    let part = job.part;
    let face = |id: FeatureId| part.feature(id).face;
    let left = match part.feature(cut).kind {
        Kind::Pocket { depth: Depth::To(deep), .. } | Kind::Slot { depth: Depth::To(deep), .. } => {
            part.whole(face(cut).axis()) - part.size(deep)
        }
        Kind::Step { leaves, .. } => part.size(leaves),
        _ => return false,
    };
    let stands_in = |id| {
        face(id).axis() == face(cut).axis()
            && match part.feature(cut).kind {
                Kind::Step { .. } => {
                    part.beyond(cut, id) || part.over_floor(cut, id) && reaches_whole(job, id)
                }
                Kind::Slot { .. } => in_slot(job, cut, id),
                _ => in_pocket(job, cut, id),
            }
    };
    let holes = part.feature(hole).kind.pattern().map_or_else(|| vec![hole], <[FeatureId]>::to_vec);
    hole != cut && left < limit("thin wall") && holes.into_iter().all(stands_in)
}

/// Whether a drill goes through the metal that stands before a step is cut from an edge.
fn reaches_whole(job: &Job, hole: FeatureId) -> bool {
    let whole = job.part.whole(job.part.feature(hole).face.axis());
    job.part.cut_diameter(hole).is_some_and(|across| process("drill").reaches(across, whole))
}

/// Whether a plain hole right through is drilled before a pocket: the pocket leaves the metal there thin, or
/// its cutter goes down in that hole.
pub(super) fn drilled_before(job: &Job, hole: FeatureId, pocket: &Deed) -> bool {
    let Some(id) = pocket.feature else { return false };
    // Most holes are too narrow: only of the rest is the way in looked for.
    let lets_in = || match &pocket.tool {
        Tool::EndMill(mill) => {
            so_wide(job, hole, mill.diameter) && way_in(job, id, mill.diameter) == Some(hole)
        }
        _ => false,
    };
    drilled_whole(job, hole, id) || lets_in()
}

/// Whether a plain hole right through is drilled in the whole metal, since a pocket leaves that thin.
fn drilled_whole(job: &Job, hole: FeatureId, pocket: FeatureId) -> bool {
    let pocketed = matches!(job.part.feature(pocket).kind, Kind::Pocket { .. });
    plain_through(job, hole).is_some() && pocketed && stands_in_thin(job, hole, pocket)
}

/// The hole by which a cutter goes down into a pocket: one in its floor that is as wide as the cutter. It is
/// drilled before the pocket in any case, because the metal there will be thin, or may be, since its drill
/// goes through the whole metal: a way in of its own would be a drill more.
pub(in crate::order) fn way_in(job: &Job, pocket: FeatureId, cutter: Length) -> Option<FeatureId> {
    let holes = || job.part.features().map(|(id, _)| id).filter(|&id| so_wide(job, id, cutter));
    let wide = |id: FeatureId| job.part.cut_diameter(id).is_some_and(|across| across >= cutter);
    let whole = job.part.whole(job.part.feature(pocket).face.axis());
    let drilled = |id: FeatureId| {
        let (drill, then) = job.hole_tools(plain_through(job, id)?);
        let reaches = drill.diameter >= cutter && process("drill").reaches(drill.diameter, whole);
        let stands = job.part.in_pocket(id).is_some_and(|(own, _)| own == pocket);
        (then != Some(Tool::File) && reaches && stands).then_some(id)
    };
    let thin = holes().find(|&id| wide(id) && drilled_whole(job, id, pocket));
    thin.or_else(|| holes().find_map(drilled))
}

/// Whether a plain hole right through, or the drill that begins it, is as wide as a cutter.
fn so_wide(job: &Job, hole: FeatureId, cutter: Length) -> bool {
    plain_through(job, hole).is_some_and(|diameter| {
        job.part.size(diameter) >= cutter || job.hole_tools(diameter).0.diameter >= cutter
    })
}

/// The diameter of a plain hole that goes right through, and is none of a pattern.
fn plain_through(job: &Job, hole: FeatureId) -> Option<DimensionId> {
    match job.part.feature(hole).kind {
        Kind::Hole { diameter, depth: Depth::Through, .. } => Some(diameter),
        _ => None,
    }
    .filter(|_| job.joint_of(hole).is_none() && !job.part.in_patterns().any(|of| of == hole))
}

/// Whether a hole stands wholly in a pocket, from whichever side it is made.
fn in_pocket(job: &Job, pocket: FeatureId, id: FeatureId) -> bool {
    let at = job.part.in_plane(id, job.part.feature(pocket).face);
    let Some((edge, at)) = job.part.edge_in_face(pocket).zip(at) else { return false };
    let reach_mm = job.part.cut_diameter(id).unwrap_or_default().half().as_mm();
    edge.contains(at) && edge.distance_mm(at) >= reach_mm
}

/// Whether a hole stands wholly in a slot of a large face.
fn in_slot(job: &Job, slot: FeatureId, id: FeatureId) -> bool {
    let Kind::Slot { width, centres, along, .. } = job.part.feature(slot).kind else { return false };
    let (Some((sx, sy)), Some((x, y))) = (job.part.xy(slot), job.part.xy(id)) else { return false };
    let [wx, wy, _] = job.part.way(slot, along);
    let off = Point::at(x, y) - Point::at(sx, sy);
    let way = Point::new(wx, wy);
    let (along_mm, aside_mm) = (off.dot(way).abs(), off.cross(way).abs());
    let reach = job.part.cut_diameter(id).unwrap_or_default().half();
    let half_mm = centres.map_or(f64::INFINITY, |centres| job.part.size(centres).half().as_mm());
    aside_mm <= (job.part.size(width).half() - reach).as_mm() && along_mm <= half_mm
}

/// Whether a deed makes a hole from a side face through a wall that a pocket leaves thin.
pub(super) fn through_thin_wall(job: &Job, deed: &Deed, thinning: &Deed) -> bool {
    let (Some(hole), Some(pocket)) = (deed.feature, thinning.feature) else { return false };
    let part = job.part;
    let feature = part.feature(hole);
    let (Work::MillPocket { .. }, Kind::Pocket { depth, .. }) = (&thinning.work, &part.feature(pocket).kind)
    else {
        return false;
    };
    let cuts = matches!(
        deed.work,
        Work::Drill { .. }
            | Work::Ream { .. }
            | Work::Bore { .. }
            | Work::TrueHole { .. }
            | Work::OpenClearance { .. }
            | Work::Tap { .. }
    );
    // A pin goes through the shaft in its bore, whenever that is there.
    if !cuts || !matches!(feature.kind, Kind::Hole { .. } | Kind::Tapped { .. } | Kind::ClampScrew { .. }) {
        return false;
    }
    let side = part.side(feature.face);
    let (Some(edge), Some(radius)) = (part.edge_within(pocket), part.cut_diameter(hole).map(Length::half))
    else {
        return false;
    };
    let beside = match side {
        Face::Left | Face::Right => Axis::Y,
        Face::Top | Face::Bottom => Axis::X,
        Face::Front | Face::Back => return false,
    };
    let (Some(at), Some(high), Some((first, last))) =
        (part.at(hole, beside), part.at(hole, Axis::Z), part.chord(hole))
    else {
        return false;
    };
    // How far up the sheet's normal the pocket reaches.
    let (low, top) = match (*depth, part.side(part.feature(pocket).face)) {
        (Depth::Through, _) => (Length::ZERO, part.thickness()),
        (Depth::To(deep), Face::Front) => (part.thickness() - part.size(deep), part.thickness()),
        (Depth::To(deep), _) => (Length::ZERO, part.size(deep)),
    };
    if high + radius <= low || high - radius >= top {
        return false;
    }
    let (outer, inwards) = match side {
        Face::Right | Face::Top => (last, -1.0),
        _ => (first, 1.0),
    };
    let wall_mm = limit("thin wall").as_mm();
    let point = |across_mm: f64, along_mm: f64| match beside {
        Axis::Y => Point::new(along_mm, across_mm),
        _ => Point::new(across_mm, along_mm),
    };
    [-1.0, 0.0, 1.0].into_iter().any(|share| {
        let across_mm = at.as_mm() + share * radius.as_mm();
        let from = point(across_mm, outer.as_mm());
        let to = point(across_mm, outer.as_mm() + inwards * wall_mm);
        reaches(&edge, from, to)
    })
}

/// Whether a line comes into an outline before its end.
fn reaches(edge: &Outline, from: Point, to: Point) -> bool {
    let line = Segment::line(from, to);
    let touches = |piece: &Segment| {
        let near = closest(piece, &line);
        near.distance_mm() < TOUCHES_MM && near.on_second.distance_mm(to) > TOUCHES_MM
    };
    edge.contains(from) || edge.segments().iter().any(touches)
}

/// Far below what anybody measures.
const TOUCHES_MM: f64 = 1e-6;

/// The bores whose slits leave the metal of an outline's piece standing on one side only:
/// those that it lies beside, no farther than the slit is long.
pub(super) fn beside_slits(job: &Job, deed: &Deed) -> Vec<FeatureId> {
    let (Work::MillSide { piece } | Work::StepArc { piece } | Work::TurnArc { piece }) = deed.work else {
        return Vec::new();
    };
    let Ok(outline) = job.part.outline() else { return Vec::new() };
    let Some(segment) = outline.segments().get(piece).copied() else { return Vec::new() };
    let [left, right, bottom, top] = job.part.edges();
    let beside = |(slit, into): (FeatureId, FeatureId)| {
        let Kind::Slit { toward, .. } = job.part.feature(slit).kind else { return None };
        let (x, y) = job.part.xy(into)?;
        let mouth = match job.part.side(toward) {
            Face::Left => (left, y),
            Face::Right => (right, y),
            Face::Top => (x, top),
            Face::Bottom => (x, bottom),
            Face::Front | Face::Back => return None,
        };
        let cut = Segment::line(Point::at(x, y), Point::at(mouth.0, mouth.1));
        (closest(&segment, &cut).distance_mm() <= cut.length_mm()).then_some(into)
    };
    job.slits().filter_map(beside).collect()
}

/// The bores whose bosses a step is milled on and that are slit.
pub(super) fn stepped_slits(job: &Job, deed: &Deed) -> Vec<FeatureId> {
    let (Work::MillStep { .. }, Some(step)) = (&deed.work, deed.feature) else { return Vec::new() };
    job.slits().map(|(_, into)| into).filter(|&into| job.part.beyond(step, into)).collect()
}
