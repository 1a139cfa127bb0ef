//! The part as lines and arcs, its walls, and what is impossible about it.

use super::across_corners;
use super::{Axis, Body, Depth, Face, FeatureId, Kind, Part, Reference, Says, SectionSize};
use crate::geometry::wall::{Shape, wall};
use crate::geometry::{Circle, Line, Outline, Point, Segment, tangents};
use crate::measure::Length;
use crate::problem::Problem;

/// A wall of metal between two things, and how thick it is.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedWall {
    /// The first feature.
    pub first: FeatureId,
    /// The other feature, or `None` for the outside of the part.
    pub second: Option<FeatureId>,
    /// Least thickness; negative when one breaks into the other.
    pub thickness: Length,
}

impl Part<'_> {
    /// The outside of a plate, anticlockwise, in the axes of the part.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when the bosses have no common tangents, or for a turned
    /// part, which has no outline in plan.
    pub fn outline(&self) -> Result<Outline, Problem> {
        let outline = match &self.drawing.body {
            Body::Bosses { around, .. } => {
                let mut circles: Vec<Circle> = around.iter().filter_map(|&id| self.boss(id)).collect();
                // Seen in a mirror the bosses run clockwise: take them in the other order.
                if self.image == super::Image::Mirrored {
                    circles.reverse();
                }
                tangents::around_bosses(&circles)
            }
            Body::Outline { .. } => self.drawn_around(),
            Body::Rectangle { width, height, .. } => {
                let [left, _, bottom, _] = self.edges();
                tangents::rectangle(self.size(*width), self.size(*height), Length::ZERO)
                    .map(|made| made.translated(Point::at(left, bottom) - lower_left(&made)))
            }
            Body::Disc { diameter, .. } => {
                tangents::disc(Circle::of_diameter(Point::ORIGIN, self.size(*diameter)))
            }
            Body::Turned { .. } => {
                Err(Problem::new(format!("`{}` is turned: it has no outline in plan", self.drawing.name)))
            }
        };
        outline.map_err(|fault| fault.at(self.drawing.file.clone()))
    }

    /// A boss as a circle.
    pub fn boss(&self, id: FeatureId) -> Option<Circle> {
        let Kind::Boss { radius } = self.feature(id).kind else { return None };
        let (x, y) = self.xy(id)?;
        Some(Circle::of_diameter(Point::at(x, y), self.size(radius) * 2))
    }

    /// Left, right, bottom and top of the outside, where they are straight or
    /// round the datum; of bosses, the extremes.
    pub fn edges(&self) -> [Length; 4] {
        *self.reckoned.edges.get_or_init(|| self.extremes())
    }

    fn extremes(&self) -> [Length; 4] {
        use super::Reference::{BottomEdge, LeftEdge, RightEdge, TopEdge};
        let known = [LeftEdge, RightEdge, BottomEdge, TopEdge]
            .map(|edge| self.solved.edge(edge).map(|l| self.value(l)));
        if let [Some(left), Some(right), Some(bottom), Some(top)] = known {
            return match self.image {
                super::Image::Drawn => [left, right, bottom, top],
                super::Image::Mirrored => [-right, -left, bottom, top],
            };
        }
        if let Body::Outline { .. } = self.drawing.body {
            return match self.bounds_around() {
                Some(bounds) => [bounds.least.x_mm, bounds.most.x_mm, bounds.least.y_mm, bounds.most.y_mm]
                    .map(Length::nearest),
                None => Default::default(),
            };
        }
        let mut edges: Option<[Length; 4]> = None;
        for (id, feature) in self.features() {
            let Kind::Boss { radius } = feature.kind else { continue };
            let (Some((x, y)), r) = (self.xy(id), self.size(radius)) else { continue };
            let own = [x - r, x + r, y - r, y + r];
            edges = Some(match edges {
                None => own,
                Some(e) => [e[0].min(own[0]), e[1].max(own[1]), e[2].min(own[2]), e[3].max(own[3])],
            });
        }
        edges.unwrap_or_default()
    }

    /// Diameter that a feature cuts away: the major diameter of a thread.
    pub fn cut_diameter(&self, id: FeatureId) -> Option<Length> {
        match &self.feature(id).kind {
            Kind::Hole { diameter, .. } | Kind::Counterbore { diameter, .. } => Some(self.size(*diameter)),
            Kind::Tapped { thread, .. } => Some(self.thread(*thread).major),
            Kind::ClampScrew { thread, clearance, .. } => {
                Some(self.size(*clearance).max(self.thread(*thread).major))
            }
            Kind::Slot { width, .. }
            | Kind::CurvedSlot { width, .. }
            | Kind::Keyway { width, .. }
            | Kind::Slit { width, .. } => Some(self.size(*width)),
            Kind::Section { size: SectionSize::Plain(id), .. } | Kind::Groove { diameter: id, .. } => {
                Some(self.size(*id))
            }
            Kind::Section { size: SectionSize::Threaded(id), .. } => Some(self.thread(*id).major),
            Kind::Section { size: SectionSize::Taper { left, right }, .. } => {
                Some(self.size(*left).max(self.size(*right)))
            }
            Kind::Section { size: SectionSize::AsBar { across, sides }, .. } => {
                Some(across_corners(self.size(*across), *sides))
            }
            Kind::TaperPin { .. } => self.pin_ends(id).map(|(large, _)| large),
            Kind::Countersink { diameter, .. } | Kind::Flatted { diameter, .. } => Some(self.size(*diameter)),
            Kind::Square { across, .. } => Some(self.size(*across)),
            Kind::Pocket { width, height, .. } => Some(self.size(*width).min(self.size(*height))),
            Kind::Boss { .. }
            | Kind::Corner { .. }
            | Kind::Step { .. }
            | Kind::PitchCircle { .. }
            | Kind::Row { .. }
            | Kind::Knurl { .. }
            | Kind::Flats { .. }
            | Kind::Chamfer { .. }
            | Kind::Recess { .. } => None,
        }
    }

    /// What a feature cuts away, seen in plan: `None` for what has no plan.
    pub fn plan_shape(&self, id: FeatureId) -> Option<Shape> {
        let feature = self.feature(id);
        if let Kind::Step { side, .. } = feature.kind {
            return self.notch(id, side);
        }
        let diameter = self.cut_diameter(id)?;
        let [left, right, bottom, top] = self.edges();
        match &feature.kind {
            Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => {
                // Over a pattern it stands over every hole: see `walls`.
                let (x, y) = self.xy(self.hole_of(*over))?;
                Some(Shape::Circle(Circle::of_diameter(Point::at(x, y), diameter)))
            }
            Kind::Slot { along, .. } => {
                let (x, y) = self.xy(id)?;
                let centre = Point::at(x, y);
                let turned = match self.image {
                    super::Image::Drawn => along.as_rad(),
                    super::Image::Mirrored => std::f64::consts::PI - along.as_rad(),
                };
                let [from_mm, to_mm] = self.slot_span_mm(id, 0.0)?;
                let centre_line = Segment::line(centre.polar(from_mm, turned), centre.polar(to_mm, turned));
                Some(Shape::Slot { centre_line, radius_mm: diameter.half().as_mm() })
            }
            Kind::Keyway { .. } if matches!(feature.face, Face::Front | Face::Back) => {
                Some(Shape::Hollow(self.keyway_edge(id)?))
            }
            Kind::CurvedSlot { .. } => {
                let centre_line = Segment::Arc(self.curved_arc(id)?);
                Some(Shape::Slot { centre_line, radius_mm: diameter.half().as_mm() })
            }
            Kind::Slit { into, toward, .. } => {
                let (x, y) = self.xy(*into)?;
                let end = match self.side(*toward) {
                    Face::Left => Point::at(left, y),
                    Face::Right => Point::at(right, y),
                    Face::Bottom => Point::at(x, bottom),
                    Face::Top | Face::Front | Face::Back => Point::at(x, top),
                };
                Some(Shape::Line(Line::new(Point::at(x, y), end)))
            }
            Kind::Pocket { .. } | Kind::Square { .. } | Kind::Flatted { .. } => {
                Some(Shape::Hollow(self.edge_within(id)?))
            }
            Kind::Hole { depth, .. } | Kind::Tapped { depth, .. } | Kind::TaperPin { depth, .. } => {
                match feature.face {
                    Face::Front | Face::Back => {
                        let (x, y) = self.xy(id)?;
                        Some(Shape::Circle(Circle::of_diameter(Point::at(x, y), diameter)))
                    }
                    face => self.across(id, self.side(face), diameter, Some(*depth)),
                }
            }
            Kind::ClampScrew { .. } => self.across(id, self.side(feature.face), diameter, None),
            Kind::Keyway { .. }
            | Kind::Boss { .. }
            | Kind::Corner { .. }
            | Kind::Step { .. }
            | Kind::PitchCircle { .. }
            | Kind::Row { .. }
            | Kind::Section { .. }
            | Kind::Groove { .. }
            | Kind::Knurl { .. }
            | Kind::Flats { .. }
            | Kind::Chamfer { .. }
            | Kind::Recess { .. } => None,
        }
    }

    /// The corner that a step cut from an edge takes off, where that shows in plan.
    fn notch(&self, id: FeatureId, side: Face) -> Option<Shape> {
        let face = self.side(self.feature(id).face);
        if face.axis() == Axis::Z || side.axis() == Axis::Z {
            return None;
        }
        let mut span = self.edges();
        for (face, at) in [(face, self.level_of(id)?), (self.side(side), self.at(id, side.axis())?)] {
            match face {
                Face::Right => span[0] = at,
                Face::Left => span[1] = at,
                Face::Top => span[2] = at,
                _ => span[3] = at,
            }
        }
        let [left, right, bottom, top] = span;
        let made = tangents::rectangle(right - left, top - bottom, Length::ZERO).ok()?;
        Some(Shape::Hollow(made.translated(Point::at(left, bottom))))
    }

    /// The plan of a hole that enters from an edge.
    fn across(&self, id: FeatureId, face: Face, diameter: Length, depth: Option<Depth>) -> Option<Shape> {
        let [left, right, bottom, top] = self.edges_at(id);
        let deep = match depth {
            Some(Depth::To(id)) => Some(self.size(id)),
            Some(Depth::Through) | None => None,
        };
        let (from, to) = match face {
            Face::Top | Face::Bottom => {
                let x = self.at(id, Axis::X)?;
                let end = |far: Length, near: Length, sign: i64| deep.map_or(far, |d| near + d * sign);
                if face == Face::Top {
                    (Point::at(x, top), Point::at(x, end(bottom, top, -1)))
                } else {
                    (Point::at(x, bottom), Point::at(x, end(top, bottom, 1)))
                }
            }
            Face::Left => {
                let y = self.at(id, Axis::Y)?;
                (Point::at(left, y), Point::at(deep.map_or(right, |d| left + d), y))
            }
            Face::Right => {
                let y = self.at(id, Axis::Y)?;
                (Point::at(right, y), Point::at(deep.map_or(left, |d| right - d), y))
            }
            Face::Front | Face::Back => return None,
        };
        Some(Shape::Slot { centre_line: Segment::line(from, to), radius_mm: diameter.half().as_mm() })
    }

    /// Every wall of a plate in plan: between what is cut from it, and to its outside.
    ///
    /// Left out are pairs that meet on purpose: a slit and what it opens or is
    /// crossed by, a counterbore and its hole, the mouth of a hole in an edge.
    pub fn walls(&self) -> &[NamedWall] {
        self.reckoned.walls.get_or_init(|| self.walls_among(|_| true))
    }

    /// The least of the walls between two features, as [`Part::walls`] names them; between a
    /// feature and the outside where no second is given.
    pub fn wall(&self, first: FeatureId, second: Option<FeatureId>) -> Option<Length> {
        let walls = self.walls_among(|id| id == first || Some(id) == second);
        let same = walls.into_iter().filter(|wall| (wall.first, wall.second) == (first, second));
        same.map(|wall| wall.thickness).min()
    }

    /// The walls of some features to each other and to the outside.
    fn walls_among(&self, asked: impl Fn(FeatureId) -> bool) -> Vec<NamedWall> {
        let Ok(outline) = self.outline() else { return Vec::new() };
        let asked_for = || self.features().filter(|(id, _)| asked(*id));
        let mut shapes: Vec<(FeatureId, Shape)> =
            asked_for().filter_map(|(id, _)| Some((id, self.plan_shape(id)?))).collect();
        for (id, feature) in asked_for() {
            let Kind::Countersink { over, .. } = feature.kind else { continue };
            let Some(diameter) = self.cut_diameter(id) else { continue };
            let others = self.feature(over).kind.pattern().and_then(<[FeatureId]>::split_first);
            for (x, y) in others.into_iter().flat_map(|(_, rest)| rest).filter_map(|&hole| self.xy(hole)) {
                shapes.push((id, Shape::Circle(Circle::of_diameter(Point::at(x, y), diameter))));
            }
        }
        let deep: Vec<(Length, Length)> = shapes.iter().map(|(id, _)| self.depth_range(*id)).collect();
        let share_depth = |a: usize, b: usize| deep[a].0 < deep[b].1 && deep[b].0 < deep[a].1;
        let stands_in = self.stand_in_pockets(&shapes);
        let mut walls = Vec::new();
        for (index, (id, shape)) in shapes.iter().enumerate() {
            let from_front = matches!(self.feature(*id).face, Face::Front | Face::Back);
            if from_front && !matches!(self.feature(*id).kind, Kind::Slit { .. }) {
                let found = self.wall_to_outside_mm(*id, shape, &outline);
                walls.extend(found.map(|thickness_mm| NamedWall {
                    first: *id,
                    second: None,
                    thickness: Length::nearest(thickness_mm),
                }));
            }
            for (at, (other, other_shape)) in shapes.iter().enumerate().skip(index + 1) {
                if id != other && share_depth(index, at) && !self.meet_on_purpose(*id, *other, &stands_in) {
                    let found = wall(shape, other_shape);
                    walls.push(NamedWall {
                        first: *id,
                        second: Some(*other),
                        thickness: Length::nearest(found.thickness_mm),
                    });
                }
            }
        }
        walls
    }

    /// Those of some features that stand in the floor of a pocket, with that pocket.
    fn stand_in_pockets(&self, shapes: &[(FeatureId, Shape)]) -> Vec<(FeatureId, FeatureId)> {
        let of = |id: FeatureId| {
            self.in_pocket(id).or_else(|| self.out_in_pocket(id)).map(|(pocket, _)| (id, pocket))
        };
        shapes.iter().filter_map(|&(id, _)| of(id)).collect()
    }

    fn meet_on_purpose(&self, a: FeatureId, b: FeatureId, stands_in: &[(FeatureId, FeatureId)]) -> bool {
        let one_way = |a: FeatureId, b: FeatureId| match self.feature(a).kind {
            Kind::Slit { into, .. } | Kind::Keyway { into, .. } => into == b,
            Kind::ClampScrew { across, .. } => across == b,
            Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => {
                over == b || self.feature(over).kind.pattern().is_some_and(|holes| holes.contains(&b))
            }
            Kind::TaperPin { .. } if self.pins(a) == Some(b) => true,
            Kind::Pocket { .. } => stands_in.contains(&(b, a)),
            Kind::Slot { .. } if self.crosses_gap(a, b) || self.slots_cross(a, b) => true,
            // What is cut square to a step's shoulder, or to its floor, comes out there.
            Kind::Step { side, .. } => [side, self.feature(a).face].iter().any(|out| {
                self.feature(b).kind.depth().is_some() && out.axis() == self.feature(b).face.axis()
            }),
            // A cross hole that lies over a bore's own axis is meant to reach it:
            // a lock screw, an oil hole.
            Kind::Hole { .. } | Kind::Tapped { .. } => {
                self.aims_at(a, b) || self.stepped(a, b) || self.axes_meet(a, b)
            }
            _ => false,
        };
        one_way(a, b) || one_way(b, a)
    }

    /// True when the drawing itself says that a hole goes on from another: a thread below a bore.
    fn stepped(&self, a: FeatureId, b: FeatureId) -> bool {
        let along = matches!(self.feature(b).kind, Kind::Hole { .. } | Kind::Tapped { .. });
        let said = Says::Concentric(Reference::Feature(b));
        along && self.feature(a).placing.iter().any(|statement| statement.says == said)
    }

    /// True when a hole from an edge points at the axis of a hole from the front.
    fn aims_at(&self, cross: FeatureId, bore: FeatureId) -> bool {
        let (cross_face, bore_face) = (self.feature(cross).face, self.feature(bore).face);
        if matches!(cross_face, Face::Front | Face::Back) || !matches!(bore_face, Face::Front | Face::Back) {
            return false;
        }
        let axis = if matches!(cross_face, Face::Top | Face::Bottom) { Axis::X } else { Axis::Y };
        matches!((self.at(cross, axis), self.at(bore, axis)), (Some(a), Some(b)) if a == b)
    }

    /// True when the axes of two round holes cross, as those of waterways do, or are one: a thread at the
    /// mouth of a passage. Two of one size on one axis are one hole that is drawn twice.
    fn axes_meet(&self, a: FeatureId, b: FeatureId) -> bool {
        let round = |id: FeatureId| matches!(self.feature(id).kind, Kind::Hole { .. } | Kind::Tapped { .. });
        let (own, other) = (self.feature(a).face.axis(), self.feature(b).face.axis());
        let mut beside = [Axis::X, Axis::Y, Axis::Z].into_iter().filter(|&axis| axis != own && axis != other);
        let same = |axis| matches!((self.at(a, axis), self.at(b, axis)), (Some(a), Some(b)) if a == b);
        let twice = own == other && self.cut_diameter(a) == self.cut_diameter(b);
        round(a) && round(b) && !twice && beside.all(same)
    }

    /// The holes from front or back that lie in the way of a hole from an edge, each
    /// with the metal before it.
    pub fn in_the_way(&self, cross: FeatureId) -> Vec<(FeatureId, Length)> {
        let face = self.side(self.feature(cross).face);
        let Some(radius) = self.cut_diameter(cross).map(|d| d.half().as_mm()) else { return Vec::new() };
        let [left, right, bottom, top] = self.edges_at(cross);
        let met = |(id, feature): (FeatureId, &super::Feature)| {
            if !matches!(feature.face, Face::Front | Face::Back)
                || !matches!(feature.kind, Kind::Hole { .. } | Kind::Tapped { .. })
                || !self.share_depth(cross, id)
            {
                return None;
            }
            let (x, y) = self.xy(id)?;
            let (beside, before) = match face {
                Face::Top => (self.at(cross, Axis::X)? - x, top - y),
                Face::Bottom => (self.at(cross, Axis::X)? - x, y - bottom),
                Face::Left => (self.at(cross, Axis::Y)? - y, x - left),
                Face::Right => (self.at(cross, Axis::Y)? - y, right - x),
                Face::Front | Face::Back => return None,
            };
            let reach = self.cut_diameter(id)?.half().as_mm();
            // The near side of the drill meets the hole first where the two are not in line.
            let nearest = (beside.abs().as_mm() - radius).max(0.0);
            (nearest < reach)
                .then(|| (id, before - Length::nearest((reach * reach - nearest * nearest).sqrt())))
        };
        self.features().filter_map(met).filter(|(_, metal)| metal.is_positive()).collect()
    }

    /// False when two features lie at different depths and cannot meet.
    fn share_depth(&self, a: FeatureId, b: FeatureId) -> bool {
        let (low_a, high_a) = self.depth_range(a);
        let (low_b, high_b) = self.depth_range(b);
        low_a < high_b && low_b < high_a
    }

    /// The range of z that a feature takes up.
    fn depth_range(&self, id: FeatureId) -> (Length, Length) {
        let thickness = self.thickness();
        let feature = self.feature(id);
        if !matches!(feature.face, Face::Front | Face::Back) {
            if matches!(feature.kind, Kind::Step { .. }) {
                return (Length::ZERO, thickness);
            }
            let radius = self.cut_diameter(id).unwrap_or_default().half();
            let z = self.at(id, Axis::Z).unwrap_or(thickness.half());
            return (z - radius, z + radius);
        }
        let deep = match feature.kind.depth() {
            Some(Depth::To(d)) => self.size(d),
            _ => self.sunk(id).unwrap_or(thickness),
        };
        if feature.face == Face::Front { (thickness - deep, thickness) } else { (Length::ZERO, deep) }
    }
}

fn lower_left(outline: &Outline) -> Point {
    let bounds = outline.bounds();
    bounds.least
}
