//! What is cut from an edge where a step took metal away: it begins or ends at the floor or the
//! shoulder of the step, and the metal it passes is what the step leaves.

use super::stating::plane;
use super::{Axis, Body, Face, FeatureId, Kind, Part};
use crate::geometry::Point;
use crate::measure::Length;

/// Far below what anybody measures.
const TOUCHES_MM: f64 = 1e-6;

/// A step as it is cut with one of its two open sides up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StepCut {
    /// How far down its floor lies from the side that is up.
    pub deep: Length,
    /// The other side that it is open to, as the part lies; the wall stands on that axis.
    pub open: Face,
    /// Where its wall stands.
    pub wall: Length,
}

impl Part<'_> {
    /// A step as it is cut with a side of the part, as it lies, up: down from the face it is drawn from, or in
    /// from the side that is cut away, its floor and its shoulder changed about; none from anywhere else.
    pub fn step_from(&self, step: FeatureId, up: Face) -> Option<StepCut> {
        let [floor, shoulder] = self.faces_of_step(step)?;
        let ((_, level), (open, wall)) = match up {
            up if up == floor.0 => (floor, shoulder),
            up if up == shoulder.0 => (shoulder, floor),
            _ => return None,
        };
        Some(StepCut { deep: self.outermost(up).gap(level), open, wall })
    }

    /// How far the part, as it lies, reaches toward a side: a place along its axis.
    fn outermost(&self, side: Face) -> Length {
        let [left, right, bottom, top] = self.edges();
        match side {
            Face::Left => left,
            Face::Right => right,
            Face::Bottom => bottom,
            Face::Top => top,
            Face::Back => Length::ZERO,
            Face::Front => self.thickness(),
        }
    }

    /// The floor and the shoulder that a step leaves: toward which side of the part, as it lies, the metal is
    /// gone, and where each stands.
    fn faces_of_step(&self, step: FeatureId) -> Option<[(Face, Length); 2]> {
        let feature = self.feature(step);
        let Kind::Step { side, .. } = feature.kind else { return None };
        let side = self.side(side);
        Some([(self.side(feature.face), self.level_of(step)?), (side, self.at(step, side.axis())?)])
    }

    /// Whether a feature of an edge lies wholly in line with what a step took away: over its floor
    /// where both are cut along one direction, before its shoulder where it is cut square to
    /// that; of a pattern, whether all its holes do.
    pub fn over_floor(&self, step: FeatureId, id: FeatureId) -> bool {
        match self.feature(id).kind.pattern() {
            Some(holes) => !holes.is_empty() && holes.iter().all(|&hole| self.met(step, hole).is_some()),
            None => self.met(step, id).is_some(),
        }
    }

    /// Where what is cut from an edge meets the floor or the shoulder of a step, and the side of
    /// the part, as it lies, toward which the metal is gone there.
    fn met(&self, step: FeatureId, id: FeatureId) -> Option<(Face, Length)> {
        let axis = self.feature(id).face.axis();
        if step == id || axis == Axis::Z {
            return None;
        }
        let [floor, shoulder] = self.faces_of_step(step)?;
        let (met, (beyond, edge)) = match () {
            () if floor.0.axis() == axis => (floor, shoulder),
            () if shoulder.0.axis() == axis => (shoulder, floor),
            () => return None,
        };
        let [least_mm, most_mm] = self.span_mm(id, beyond.axis())?;
        let clear = match beyond {
            Face::Right | Face::Top | Face::Front => least_mm > edge.as_mm() - TOUCHES_MM,
            Face::Left | Face::Bottom | Face::Back => most_mm < edge.as_mm() + TOUCHES_MM,
        };
        clear.then_some(met)
    }

    /// Whether a feature of an edge stands in the floor of any step.
    pub fn is_over_floor(&self, id: FeatureId) -> bool {
        self.features().any(|(step, _)| self.over_floor(step, id))
    }

    /// The step or pocket that took away the metal toward a side of the part, as it lies, where a feature of
    /// an edge stands, and where along X or Y metal begins; the deepest of several.
    pub fn floor_toward(&self, id: FeatureId, face: Face) -> Option<(FeatureId, Length)> {
        let floors = self.features().filter_map(|(step, _)| Some((step, self.met(step, id)?)));
        let steps = floors.filter(|(_, met)| met.0 == face).map(|(step, met)| (step, met.1));
        let floors = steps.chain(self.pocket_toward(id, face));
        match face {
            Face::Right | Face::Top | Face::Front => floors.min_by_key(|&(_, level)| level),
            Face::Left | Face::Bottom | Face::Back => floors.max_by_key(|&(_, level)| level),
        }
    }

    /// The pocket of an edge in whose floor a feature of that edge stands, or in whose floor what goes right
    /// through from the other side comes out, and where along X or Y that floor lies.
    fn pocket_toward(&self, id: FeatureId, face: Face) -> Option<(FeatureId, Length)> {
        if face.axis() == Axis::Z || self.feature(id).face.axis() != face.axis() {
            return None;
        }
        let own = self.side(self.feature(id).face) == face;
        let (pocket, deep) = match own {
            true => self.in_pocket(id).filter(|_| self.within(id))?,
            false => self.out_in_pocket(id)?,
        };
        let outermost = self.outermost(face);
        let inwards = matches!(face, Face::Left | Face::Bottom);
        Some((pocket, if inwards { outermost + deep } else { outermost - deep }))
    }

    /// The step or pocket in whose floor a feature stands that is cut with a side of the part, as it lies, up,
    /// and how far below that side the floor lies: depths there count from it.
    pub fn begins_on(&self, id: FeatureId, up: Face) -> Option<(FeatureId, Length)> {
        let one = self.hole_of(id);
        if up.axis() != Axis::Z {
            let (floor, level) = self.floor_toward(one, up)?;
            return Some((floor, self.outermost(up).gap(level)));
        }
        let lowered = |step: FeatureId| Some((step, self.step_from(step, up)?.deep));
        let steps = self.features().filter(|&(step, cut)| cut.face == up && self.beyond(step, one));
        let steps = steps.filter_map(|(step, _)| lowered(step));
        let pocket = self.in_pocket(one).filter(|_| self.feature(id).face == up && self.within(id));
        steps.chain(pocket).max_by_key(|&(_, deep)| deep)
    }

    /// Whether both ends of a slot stand in the pocket that its middle does; true of all else.
    fn within(&self, id: FeatureId) -> bool {
        let Kind::Slot { width, along, .. } = self.feature(id).kind else { return true };
        let inside = || {
            let (pocket, _) = self.in_pocket(id)?;
            let [across, up] = plane(self.feature(id).face);
            let (at, way) = (self.in_plane(id, self.feature(id).face)?, self.way(id, along));
            let way = Point::new(way[across as usize], way[up as usize]);
            let ends = self.slot_span_mm(id, 0.0)?.map(|mm| at + way.times(mm));
            let (edge, half_mm) = (self.edge_in_face(pocket)?, self.size(width).half().as_mm());
            Some(ends.into_iter().all(|end| edge.contains(end) && edge.distance_mm(end) >= half_mm))
        };
        inside().unwrap_or(false)
    }

    /// What is left, of the metal in line with a feature of an edge between two places along X or
    /// Y, the lesser first, by the steps in whose floors it stands.
    pub(super) fn between_floors(&self, id: FeatureId, first: Length, last: Length) -> (Length, Length) {
        let (low, high) = match self.feature(id).face.axis() {
            Axis::X => (Face::Left, Face::Right),
            Axis::Y => (Face::Bottom, Face::Top),
            Axis::Z => return (first, last),
        };
        let first = self.floor_toward(id, low).map_or(first, |(_, level)| first.max(level));
        (first, self.floor_toward(id, high).map_or(last, |(_, level)| last.min(level)))
    }

    /// Left, right, bottom and top of the outside, as what is cut from an edge finds them: over
    /// the floor of a step, that floor.
    pub(super) fn edges_at(&self, id: FeatureId) -> [Length; 4] {
        let [left, right, bottom, top] = self.edges();
        match self.feature(id).face.axis() {
            Axis::X => {
                let (left, right) = self.between_floors(id, left, right);
                [left, right, bottom, top]
            }
            Axis::Y => {
                let (bottom, top) = self.between_floors(id, bottom, top);
                [left, right, bottom, top]
            }
            Axis::Z => [left, right, bottom, top],
        }
    }

    /// The metal of a plate in line with a feature: its thickness there, or from edge to edge
    /// less what steps took; of a turned part, its length.
    pub fn metal_at(&self, id: FeatureId) -> Length {
        let across = self.chord(id).map(|(first, last)| last - first);
        across.unwrap_or_else(|| match (&self.drawing.body, self.feature(id).face.axis()) {
            (Body::Turned { .. }, _) | (_, Axis::Z) => self.thickness_at(id),
            // Beside the part: it is told so.
            (_, axis) => self.whole(axis),
        })
    }

    /// From where to where a feature of an edge reaches along an axis of that edge, in
    /// millimetres, the lesser first.
    fn span_mm(&self, id: FeatureId, axis: Axis) -> Option<[f64; 2]> {
        let feature = self.feature(id);
        let placed = match feature.kind {
            Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => self.hole_of(over),
            _ => id,
        };
        let at_mm = self.at(placed, axis)?.as_mm();
        let (low_mm, high_mm) = match feature.kind {
            Kind::Slot { width, along, .. } => {
                let share = self.way(id, along)[axis as usize];
                let [a, b] = self.slot_span_mm(id, 0.0)?.map(|end_mm| end_mm * share);
                let half_mm = self.size(width).half().as_mm();
                (a.min(b) - half_mm, a.max(b) + half_mm)
            }
            Kind::Pocket { width, height, along, .. } => {
                let share = self.way(id, along)[axis as usize].abs();
                let other = (1.0 - share * share).max(0.0).sqrt();
                let half_mm =
                    self.size(width).half().as_mm() * share + self.size(height).half().as_mm() * other;
                (-half_mm, half_mm)
            }
            // The named end of a pin: its hole is no wider than depends on where it stands.
            Kind::TaperPin { pin, .. } => {
                let half_mm = self.size(pin).half().as_mm();
                (-half_mm, half_mm)
            }
            _ => {
                let half_mm = self.cut_diameter(id)?.half().as_mm();
                (-half_mm, half_mm)
            }
        };
        Some([at_mm + low_mm, at_mm + high_mm])
    }
}
