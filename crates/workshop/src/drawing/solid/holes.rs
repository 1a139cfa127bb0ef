//! Holes as solids: round, tapped, taper-pin, clamp screw, and their mouths.

use super::super::FeatureId;
use super::super::{Axis, Depth, Finish, Kind, Part};
use super::cuts::Stand;
use super::{BEYOND_MM, Cut, Shaped};
use crate::geometry::solid::Convex;

/// Half the angle of a drill's point: 118° in all (common practice).
const HALF_POINT_RAD: f64 = 59.0 * std::f64::consts::PI / 180.0;

/// How deep the point of a drill goes beyond its full diameter.
fn point_mm(radius_mm: f64) -> f64 {
    radius_mm / HALF_POINT_RAD.tan()
}

/// What a hole, or the mouths of one or several, cut.
pub(super) fn cut(shaped: &Shaped, part: &Part, id: FeatureId) -> Option<Cut> {
    let (Kind::Counterbore { over, .. } | Kind::Countersink { over, .. }) = part.feature(id).kind else {
        return cut_at(shaped, part, id, id);
    };
    // Over a pattern there is one over each of its holes.
    let alone = [over];
    let holes = part.feature(over).kind.pattern().unwrap_or(&alone);
    let mouths = holes.iter().filter_map(|&hole| cut_at(shaped, part, id, hole));
    mouths.reduce(|mut all, one| {
        all.within.extend(one.within);
        all.removed.extend(one.removed);
        // No one axis is that of all.
        all.axis = None;
        all
    })
}

/// What a feature cuts at the place of another, or at its own.
fn cut_at(shaped: &Shaped, part: &Part, id: FeatureId, at: FeatureId) -> Option<Cut> {
    let feature = part.feature(id);
    let stand = Stand::of(shaped, part, at, feature.face)?;
    let deep = |depth: Depth| match depth {
        Depth::Through => None,
        Depth::To(depth) => Some(part.size(depth).as_mm()),
    };
    let through = |radius_mm: f64, removed_mm: f64| {
        Cut::hole(
            id,
            &stand,
            vec![Convex::cylinder(stand.entry, stand.below(stand.through_mm), radius_mm)],
            vec![out_of_both(&stand, removed_mm, removed_mm)],
            2.0 * radius_mm,
            true,
        )
    };
    match &feature.kind {
        Kind::Hole { diameter, finish, depth, .. } => {
            let radius_mm = part.size(*diameter).half().as_mm();
            let Some(deep_mm) = deep(*depth) else { return Some(through(radius_mm, radius_mm)) };
            let tip_mm = if *finish == Finish::Bored { 0.0 } else { radius_mm };
            Some(blind(id, &stand, radius_mm, radius_mm, tip_mm, deep_mm))
        }
        Kind::Tapped { thread, depth } => {
            let thread = part.thread(*thread);
            let [major, pitch, minor] =
                [thread.major, thread.pitch_diameter, thread.minor].map(|d| d.half().as_mm());
            let Some(deep_mm) = deep(*depth) else { return Some(through(major, pitch)) };
            Some(blind(id, &stand, major, pitch, minor, deep_mm))
        }
        Kind::TaperPin { depth, .. } => {
            let (large, small) = part.pin_ends(id)?;
            let [large, small] = [large, small].map(|d| d.half().as_mm());
            let deep_mm = deep(*depth).unwrap_or(stand.through_mm);
            let within = Convex::cone(stand.entry, stand.below(deep_mm), large, small);
            let more = (large - small) / deep_mm * BEYOND_MM;
            let removed = match depth {
                Depth::Through => out_of_both(&stand, large + more, (small - more).max(0.0)),
                Depth::To(_) => {
                    Convex::cone(stand.below(-BEYOND_MM), stand.below(deep_mm), large + more, small)
                }
            };
            let is_through = *depth == Depth::Through;
            Some(Cut::hole(id, &stand, vec![within], vec![removed], 2.0 * large, is_through))
        }
        Kind::ClampScrew { thread, clearance, across } => {
            let Kind::Slit { into, .. } = part.feature(*across).kind else { return None };
            let axis = feature.face.axis();
            let slit_mm = part.at(into, axis)?.as_mm();
            let entry_mm = match axis {
                Axis::X => stand.entry.x_mm,
                Axis::Y => stand.entry.y_mm,
                Axis::Z => stand.entry.z_mm,
            };
            let to_slit = (slit_mm - entry_mm).abs().min(stand.through_mm);
            let clearance = part.size(*clearance).half().as_mm();
            let thread = part.thread(*thread);
            let [major, pitch] = [thread.major, thread.pitch_diameter].map(|d| d.half().as_mm());
            let (slit, end) = (stand.below(to_slit), stand.below(stand.through_mm));
            let within =
                vec![Convex::cylinder(stand.entry, slit, clearance), Convex::cylinder(slit, end, major)];
            let removed = vec![
                Convex::cylinder(stand.below(-BEYOND_MM), slit, clearance),
                Convex::cylinder(slit, stand.below(stand.through_mm + BEYOND_MM), pitch),
            ];
            Some(Cut::hole(id, &stand, within, removed, 2.0 * major.max(clearance), true))
        }
        Kind::Counterbore { diameter, depth, .. } => {
            let (radius_mm, deep_mm) = (part.size(*diameter).half().as_mm(), part.size(*depth).as_mm());
            Some(blind(id, &stand, radius_mm, radius_mm, 0.0, deep_mm))
        }
        Kind::Countersink { diameter, angle, over } => {
            let radius_mm = part.size(*diameter).half().as_mm();
            let hole_mm = part.cut_diameter(part.hole_of(*over))?.half().as_mm().min(radius_mm);
            let deep_mm = (radius_mm - hole_mm) / (angle.as_rad() / 2.0).tan();
            let cone = Convex::cone(stand.entry, stand.below(deep_mm), radius_mm, hole_mm);
            let mouth = Convex::cylinder(stand.below(-BEYOND_MM), stand.entry, radius_mm);
            Some(Cut::hole(id, &stand, vec![cone.clone()], vec![cone, mouth], 2.0 * radius_mm, false))
        }
        _ => None,
    }
}

/// A round cut from beyond the entry to beyond the way out.
fn out_of_both(stand: &Stand, from_radius_mm: f64, to_radius_mm: f64) -> Convex {
    let (from, to) = (stand.below(-BEYOND_MM), stand.below(stand.through_mm + BEYOND_MM));
    Convex::cone(from, to, from_radius_mm, to_radius_mm)
}

/// A hole to a depth, with the point of its drill beyond where one stands.
fn blind(id: FeatureId, stand: &Stand, radius_mm: f64, removed_mm: f64, tip_mm: f64, deep_mm: f64) -> Cut {
    let bottom = stand.below(deep_mm);
    let within = vec![Convex::cylinder(stand.entry, bottom, radius_mm)];
    let mut removed = vec![Convex::cylinder(stand.below(-BEYOND_MM), bottom, removed_mm)];
    let tip =
        (tip_mm > 0.0).then(|| Convex::cone(bottom, stand.below(deep_mm + point_mm(tip_mm)), tip_mm, 0.0));
    removed.extend(tip.clone());
    // A blind hole that comes out of the other side is as open there.
    let through = deep_mm >= stand.through_mm;
    Cut { tip, ..Cut::hole(id, stand, within, removed, 2.0 * radius_mm, through) }
}
