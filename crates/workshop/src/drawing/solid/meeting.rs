//! Which features meet on purpose.

use super::super::{FeatureId, Kind, Part, Reference, Says};
use super::{Cut, Floor};
use crate::geometry::SAME_POINT_MM;
use crate::geometry::solid::Spot;

/// Whether two features may meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Meeting {
    /// One belongs to the other: there is no wall between them.
    Belong,
    /// They may meet; where they do not, the metal between them is a wall.
    May,
    /// They may not meet.
    MayNot,
}

/// Whether two cuts may meet.
pub(super) fn meeting(part: &Part, a: &Cut, b: &Cut) -> Meeting {
    let (one, other) = (a.feature, b.feature);
    if belongs(part, one, other) || belongs(part, other, one) {
        Meeting::Belong
    } else if said(part, one, other)
        || said(part, other, one)
        || in_line(a, b)
        || opens_into(part, a, b)
        || opens_into(part, b, a)
        || part.slots_cross(one, other)
    {
        Meeting::May
    } else {
        Meeting::MayNot
    }
}

/// Whether two cuts may meet only because their axes happen to be one line, or to cross.
pub(super) fn on_one_axis(part: &Part, a: &Cut, b: &Cut) -> bool {
    let (one, other) = (a.feature, b.feature);
    let said = said(part, one, other) || said(part, other, one);
    let wide = opens_into(part, a, b) || opens_into(part, b, a);
    in_line(a, b) && !said && !wide && meeting(part, a, b) == Meeting::May
}

/// A slit and its bore, a clamp screw and its slit, a mouth and its hole, two mouths
/// of one hole, the slit of a bore and the mouth of it.
fn belongs(part: &Part, a: FeatureId, b: FeatureId) -> bool {
    let over = |id: FeatureId| match part.feature(id).kind {
        Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => Some(over),
        Kind::Slit { into, .. } => Some(into),
        _ => None,
    };
    let one_of = |of: FeatureId| part.feature(of).kind.pattern().is_some_and(|holes| holes.contains(&b));
    match part.feature(a).kind {
        Kind::ClampScrew { across, .. } => across == b,
        _ => over(a).is_some_and(|of| of == b || one_of(of) || over(b) == Some(of)),
    }
}

/// The drawing itself places one at the other.
fn said(part: &Part, a: FeatureId, b: FeatureId) -> bool {
    part.feature(a).placing.iter().any(|statement| statement.says == Says::Concentric(Reference::Feature(b)))
}

/// Their axes are one line, or cross: a hole that points at the axis of another is
/// meant to reach it.
fn in_line(a: &Cut, b: &Cut) -> bool {
    let (Some((p, d)), Some((q, e))) = (a.axis, b.axis) else { return false };
    let (between, square) = (q - p, d.cross(e));
    let apart_mm = match square.unit() {
        Some(square) if d.cross(e).norm_mm() > 1e-9 => between.dot(square).abs(),
        _ => between.cross(d).norm_mm(),
    };
    apart_mm <= SAME_POINT_MM
}

/// A way square to the floor of what is open at the side; of a step to its shoulder too.
fn across_a_wall(kind: &Kind, wide: &Cut, way: Spot) -> bool {
    let walls = if matches!(kind, Kind::Step { .. }) { 2 } else { 1 };
    wide.opens.iter().take(walls).any(|out| out.dot(way).abs() > 0.5)
}

/// A hole along the part that crosses a groove where that is cut away all round it.
fn passes_beside(part: &Part, groove: FeatureId, hole: &Cut) -> bool {
    let Kind::Groove { diameter, .. } = part.feature(groove).kind else { return false };
    let along = hole.axis.is_some_and(|(_, way)| way.x_mm.abs() > 0.5);
    let wide = part.cut_diameter(hole.feature).filter(|_| along);
    wide.is_some_and(|wide| part.from_axis(hole.feature) >= (part.size(diameter) + wide).half())
}

/// One is drilled through the floor or the side of something wide.
fn opens_into(part: &Part, wide: &Cut, hole: &Cut) -> bool {
    let kind = &part.feature(wide.feature).kind;
    if let Kind::Groove { width, .. } = *kind {
        // A stud hole goes through fins and the gaps between them, wholly outside what is left there.
        if passes_beside(part, wide.feature, hole) {
            return true;
        }
        // A hole whose axis lies within the groove is an oil hole in it.
        let from_mm = part.along(wide.feature).map_or(0.0, crate::measure::Length::as_mm);
        let to_mm = from_mm + part.size(width).as_mm();
        return hole.floor == Floor::Open
            || hole
                .axis
                .is_some_and(|(at, way)| way.x_mm.abs() < 0.5 && from_mm < at.x_mm && at.x_mm < to_mm);
    }
    let sawn = matches!(part.feature(hole.feature).kind, Kind::Slit { .. });
    if (wide.floor == Floor::Open) && (hole.floor == Floor::Open || sawn) {
        return true;
    }
    let wide_kind = matches!(
        kind,
        Kind::Slot { .. }
            | Kind::CurvedSlot { .. }
            | Kind::Pocket { .. }
            | Kind::Counterbore { .. }
            | Kind::Countersink { .. }
    );
    let across_the_shoulder =
        (wide.floor == Floor::Open) && hole.axis.is_some_and(|(_, way)| across_a_wall(kind, wide, way));
    across_the_shoulder || (((wide.floor == Floor::Open) || wide_kind) && wide.is_crossed_by(hole))
}
