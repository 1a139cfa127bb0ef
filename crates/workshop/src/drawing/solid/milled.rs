//! What is milled, sawn or filed, as solids.

use super::super::{Depth, Face, FeatureId, Kind, Part};
use super::cuts::{Floor, Stand, outward};
use super::{BEYOND_MM, Cut, Shaped, taken};
use crate::geometry::solid::{Convex, Frame, Piece, Plan, Prism, Spot};
use crate::geometry::{Point, Segment};

/// What a slot, pocket, filed hole, slit or step cuts.
pub(super) fn cut(shaped: &Shaped, part: &Part, id: FeatureId) -> Option<Cut> {
    let feature = part.feature(id);
    let sized = |plan: Plan, turned_rad: f64, depth: Depth, width_mm: f64| {
        let stand = Stand::of(shaped, part, id, feature.face)?;
        Some(straight(part, id, &stand, plan, turned_rad, depth, width_mm))
    };
    match feature.kind {
        Kind::Slot { width, along, depth, .. } => {
            let width_mm = part.size(width).as_mm();
            let plan = |beyond_mm: f64| {
                let corners = part.slot_span_mm(id, beyond_mm)?.map(|mm| Point::new(mm, 0.0)).to_vec();
                Some(Plan::Rounded { corners, radius_mm: width_mm / 2.0 })
            };
            let mut cut = sized(plan(0.0)?, along.as_rad(), depth, width_mm)?;
            let opens = part.slot_opens(id);
            if opens != [None; 2] {
                let outer = sized(plan(BEYOND_MM)?, along.as_rad(), depth, width_mm)?;
                cut.removed = outer.removed;
                cut.opens.extend(opens.into_iter().flatten().map(|side| outward(part.side(side))));
            }
            Some(cut)
        }
        Kind::Keyway { width, into, toward, .. } => {
            let plan = Plan::Rounded { corners: part.keyway_corners(id)?.to_vec(), radius_mm: 0.0 };
            let stand = Stand::of(shaped, part, into, part.feature(into).face)?;
            let width_mm = part.size(width).as_mm();
            Some(straight(part, id, &stand, plan, toward.as_rad(), Depth::Through, width_mm))
        }
        Kind::CurvedSlot { depth, .. } => curved(shaped, part, id, depth),
        Kind::Pocket { width, height, corner, depth, along } => {
            let [wide, high, corner] = [width, height, corner].map(|id| part.size(id).as_mm());
            let cut = sized(Plan::rectangle(wide, high, corner, 0.0), along.as_rad(), depth, wide.min(high))?;
            let floor = if depth == Depth::Through { Floor::None } else { Floor::Pocket };
            Some(Cut { floor, ..cut })
        }
        Kind::Square { across, depth, along } => {
            let across = part.size(across).as_mm();
            sized(Plan::rectangle(across, across, 0.0, 0.0), along.as_rad(), depth, across)
        }
        Kind::Flatted { diameter, across, depth, toward } => {
            let radius_mm = part.size(diameter).half().as_mm();
            let flat_mm = part.size(across).as_mm() - radius_mm;
            if flat_mm.abs() >= radius_mm {
                return None;
            }
            sized(Plan::Flatted { radius_mm, flat_mm }, toward.as_rad(), depth, 2.0 * radius_mm)
        }
        Kind::Slit { width, into, toward } => slit(shaped, part, id, width, into, toward),
        Kind::Step { leaves, side } => step(shaped, part, id, leaves, side),
        _ => None,
    }
}

/// A cut with straight sides, to a depth or right through.
fn straight(
    part: &Part,
    id: FeatureId,
    stand: &Stand,
    plan: Plan,
    turned_rad: f64,
    depth: Depth,
    width_mm: f64,
) -> Cut {
    let frame = stand.frame(turned_rad);
    let deep_mm = match depth {
        Depth::Through => stand.through_mm,
        Depth::To(depth) => part.size(depth).as_mm(),
    };
    let through = deep_mm >= stand.through_mm;
    let beyond_mm = if depth == Depth::Through { BEYOND_MM } else { 0.0 };
    let solid = |plan, from_mm, to_mm| Convex::Prism(Prism { frame, plan, from_mm, to_mm });
    let within = vec![solid(plan.clone(), 0.0, deep_mm)];
    Cut::hole(id, stand, within, vec![solid(plan, -BEYOND_MM, deep_mm + beyond_mm)], width_mm, through)
}

/// How far the straight pieces that a curved slot is made up of may lie off its arc: no wall is
/// told so finely.
const OFF_ARC_MM: f64 = 0.002;

/// A slot round an arc: for walls a row of short straight ones, for what it removes itself.
fn curved(shaped: &Shaped, part: &Part, id: FeatureId, depth: Depth) -> Option<Cut> {
    let face = part.feature(id).face;
    let (arc, edge) = (part.curved_arc(id)?, part.curved_edge(id)?);
    let stand = Stand::of(shaped, part, id, face)?;
    let deep_mm = match depth {
        Depth::Through => stand.through_mm,
        Depth::To(depth) => part.size(depth).as_mm(),
    };
    let through = deep_mm >= stand.through_mm;
    let half_mm = part.cut_diameter(id)?.half().as_mm();
    // A chord of so much of the arc lies as far inside it, at its middle.
    let each_rad = 2.0 * (1.0 - OFF_ARC_MM / arc.radius_mm).max(0.5).acos();
    let count = (arc.sweep_rad / each_rad).ceil().max(1.0) as usize;
    let at = |n: usize| Segment::Arc(arc).along(n as f64 / count as f64);
    let level = |deep_mm: f64| stand.below(deep_mm).z_mm;
    let (low_mm, high_mm) = (level(0.0).min(level(deep_mm)), level(0.0).max(level(deep_mm)));
    let frame = Frame { origin: Spot::new(0.0, 0.0, 0.0), u: Spot::X, v: Spot::Y, w: Spot::Z };
    let piece = |n: usize| {
        let plan = Plan::Rounded { corners: vec![at(n), at(n + 1)], radius_mm: half_mm };
        Convex::Prism(Prism { frame, plan, from_mm: low_mm, to_mm: high_mm })
    };
    let beyond_mm = if depth == Depth::Through { BEYOND_MM } else { 0.0 };
    let (first, last) = (level(-BEYOND_MM), level(deep_mm + beyond_mm));
    let taken = Piece::Extruded { outline: edge, low_mm: first.min(last), high_mm: first.max(last) };
    let within = (0..count).map(piece).collect();
    Some(Cut { removed: vec![taken], ..Cut::hole(id, &stand, within, Vec::new(), 2.0 * half_mm, through) })
}

/// A saw cut from the middle of a bore to the outside, right through along the bore.
fn slit(
    shaped: &Shaped,
    part: &Part,
    id: FeatureId,
    width: super::super::DimensionId,
    into: FeatureId,
    toward: Face,
) -> Option<Cut> {
    let bore = Stand::of(shaped, part, into, part.feature(into).face)?;
    let out = outward(toward);
    let [least, most] = shaped.bounds();
    let reach = |way: Spot| [least, most].map(|at| at.dot(way)).into_iter().fold(f64::NEG_INFINITY, f64::max);
    let out_mm = reach(out) - bore.entry.dot(out);
    if out_mm <= 0.0 || out.cross(bore.inward).norm_mm() == 0.0 {
        return None;
    }
    let width_mm = part.size(width).as_mm();
    let frame = Frame { origin: bore.entry, u: out, v: bore.inward.cross(out), w: bore.inward };
    let solid = |out_mm: f64, from_mm: f64, to_mm: f64| {
        let half = width_mm / 2.0;
        let corners = [(0.0, -half), (out_mm, -half), (out_mm, half), (0.0, half)]
            .map(|(x, y)| crate::geometry::Point::new(x, y));
        let plan = Plan::Rounded { corners: corners.to_vec(), radius_mm: 0.0 };
        Convex::Prism(Prism { frame, plan, from_mm, to_mm })
    };
    Some(Cut {
        feature: id,
        within: vec![solid(out_mm, 0.0, bore.through_mm)],
        tip: None,
        hollow: Vec::new(),
        removed: taken(vec![solid(out_mm + BEYOND_MM, -BEYOND_MM, bore.through_mm + BEYOND_MM)]),
        opens: vec![out, bore.inward, -bore.inward],
        axis: None,
        width_mm: Some(width_mm),
        floor: Floor::None,
    })
}

/// Everything outside a floor and beyond a shoulder.
fn step(
    shaped: &Shaped,
    part: &Part,
    id: FeatureId,
    leaves: super::super::DimensionId,
    side: Face,
) -> Option<Cut> {
    let face = part.feature(id).face;
    let shoulder_mm = part.at(id, side.axis())?.as_mm();
    let [least, most] = shaped.bounds();
    let leaves_mm = part.size(leaves).as_mm();
    let pick = |way: Spot, at: Spot| way.times(way.dot(at));
    let abs = |way: Spot| Spot::new(way.x_mm.abs(), way.y_mm.abs(), way.z_mm.abs());
    // One direction at a time: across the floor's depth, along from the shoulder, and
    // the third from side to side.
    let (depth_way, side_way) = (abs(outward(face)), abs(outward(side)));
    let free_way = Spot::new(1.0, 1.0, 1.0) - depth_way - side_way;
    if depth_way == side_way {
        return None;
    }
    let between = |low: f64, high: f64, outwards: bool, from: f64| {
        if outwards { (from, high) } else { (low, from) }
    };
    let (low, high) = (least.dot(depth_way), most.dot(depth_way));
    let positive = |face: Face| matches!(face, Face::Front | Face::Right | Face::Top);
    let floor = if positive(face) { low + leaves_mm } else { high - leaves_mm };
    let (d0, d1) = between(low, high, positive(face), floor);
    let (s0, s1) = between(least.dot(side_way), most.dot(side_way), positive(side), shoulder_mm);
    if d0 >= d1 || s0 >= s1 {
        return None;
    }
    let corner = |d: f64, s: f64, free: Spot| depth_way.times(d) + side_way.times(s) + free;
    let within = Convex::cuboid(corner(d0, s0, pick(free_way, least)), corner(d1, s1, pick(free_way, most)));
    let far = |way: Spot, sign: f64| way.times(sign * BEYOND_MM);
    let grow = |at: f64, fixed: f64, sign: f64| if at == fixed { at } else { at + sign * BEYOND_MM };
    let removed = Convex::cuboid(
        corner(
            grow(d0, floor, -1.0),
            grow(s0, shoulder_mm, -1.0),
            pick(free_way, least) + far(free_way, -1.0),
        ),
        corner(grow(d1, floor, 1.0), grow(s1, shoulder_mm, 1.0), pick(free_way, most) + far(free_way, 1.0)),
    );
    Some(Cut {
        feature: id,
        within: vec![within],
        tip: None,
        hollow: Vec::new(),
        removed: taken(vec![removed]),
        opens: vec![outward(face), outward(side), free_way, -free_way],
        axis: None,
        width_mm: None,
        floor: Floor::Open,
    })
}
