//! Statements of place as equations: sums where they are sums.

use num_rational::Ratio;

use super::place::{Says, Target};
use super::rows::{Node, cosine, sine, unknown};
use super::sides::{SideTest, SideWord};
use super::system::System;
use super::{Axis, Body, Face, FeatureId, Linear, Reference};
use crate::measure::Angle;
use crate::problem::Problem;

impl System<'_> {
    /// Adds the equations of one statement.
    pub(super) fn statement(&mut self, id: FeatureId, axes: &[Axis], says: &Says) {
        let own = |axis| unknown(Node::Feature(id), axis);
        let one = Ratio::from_integer(1);
        match says {
            Says::Datum => {
                for &axis in axes {
                    self.equation(&[(own(axis), 1)], Linear::default());
                }
            }
            Says::Along { axis, negative, dimension, from } => {
                let sign = if *negative { -one } else { one };
                self.relate(id, *axis, &[(*from, -1)], 1, Linear::dimension(*dimension).times(sign));
            }
            Says::Polar { dimension, from, angle } => {
                self.polar(id, *from, &Linear::dimension(*dimension), *angle);
            }
            Says::Same { axis, as_ } => self.relate(id, *axis, &[(*as_, -1)], 1, Linear::default()),
            Says::Concentric(of) => {
                for &axis in axes {
                    self.relate(id, axis, &[(*of, -1)], 1, Linear::default());
                }
            }
            Says::Midway(a, b) => {
                let along: Vec<Axis> = match (a.edge(), b.edge()) {
                    (Some((axis, _)), _) | (_, Some((axis, _))) => vec![axis],
                    _ => axes.to_vec(),
                };
                for axis in along {
                    if self.about_the_axis(*a, *b) {
                        self.relate(id, axis, &[(Reference::Datum, -1)], 1, Linear::default());
                        continue;
                    }
                    self.relate(id, axis, &[(*a, -1), (*b, -1)], 2, Linear::default());
                }
            }
            Says::Symmetrical { with, across } => {
                let (near, far) = match across {
                    Axis::X => (Reference::LeftEdge, Reference::RightEdge),
                    Axis::Y => (Reference::BottomEdge, Reference::TopEdge),
                    Axis::Z => (Reference::BackFace, Reference::FrontFace),
                };
                for &axis in axes {
                    if axis == *across {
                        self.relate(id, axis, &[(*with, 1), (near, -1), (far, -1)], 1, Linear::default());
                    } else {
                        self.relate(id, axis, &[(*with, -1)], 1, Linear::default());
                    }
                }
            }
            Says::Opposite { other, about } => {
                let along: Vec<Axis> = match about.edge() {
                    Some((axis, _)) => vec![axis],
                    None => axes.to_vec(),
                };
                for axis in along {
                    self.relate(id, axis, &[(*other, 1), (*about, -2)], 1, Linear::default());
                }
            }
            Says::Spaced { between: [a, b], place, of } => {
                let along: Vec<Axis> = match (a.edge(), b.edge()) {
                    (Some((axis, _)), _) | (_, Some((axis, _))) => vec![axis],
                    _ => axes.to_vec(),
                };
                let (gaps, before) = (i128::from(*of) + 1, i128::from(*place));
                for axis in along {
                    self.relate(id, axis, &[(*a, before - gaps), (*b, -before)], gaps, Linear::default());
                }
            }
            Says::OnPitchCircle { of, at: Some(angle) } => {
                let Some(diameter) = self.pitch_circle(id, *of) else { return };
                let radius = Linear::dimension(diameter).times(Ratio::new(1, 2));
                self.polar(id, Reference::Feature(*of), &radius, *angle);
            }
            Says::Tangent { to: Target::Thing(edge), .. } if edge.edge().is_some() => {
                self.clear_of_edge(id, *edge, &Linear::default());
            }
            Says::Clear { dimension, of: Target::Thing(edge), .. } if edge.edge().is_some() => {
                self.clear_of_edge(id, *edge, &Linear::dimension(*dimension));
            }
            Says::Bearing { from, angle } if Self::square(*angle).is_some() => {
                let (index, less) = Self::square(*angle).expect("the arm asks for it");
                let plane = plane(self.drawing.features[id.0].face);
                self.relate(id, plane[1 - index], &[(*from, -1)], 1, Linear::default());
                self.side_along(id, plane[index], *from, less);
            }
            Says::Beside { side, of: Target::Thing(of) } => {
                self.side_along(id, side.axis(), *of, side.is_less());
            }
            Says::Farthest(side) => {
                let own = own(side.axis());
                let source = self.source();
                let test = SideTest::Farthest { own, side: *side };
                self.sides.push(SideWord { feature: id, source, test });
            }
            Says::Distance { .. }
            | Says::Toward { .. }
            | Says::AtLine { .. }
            | Says::Bearing { .. }
            | Says::FromLine { .. }
            | Says::OnLine(_)
            | Says::SquareTo { .. }
            | Says::ParallelTo { .. }
            | Says::Tangent { .. }
            | Says::Clear { .. }
            | Says::Equidistant(..)
            | Says::AsFar { .. }
            | Says::OnPitchCircle { at: None, .. }
            | Says::Mirrored { .. }
            | Says::Beside { .. } => self.curve(id, axes, says),
        }
    }

    /// A distance in a direction.
    fn polar(&mut self, id: FeatureId, from: Reference, radius: &Linear, angle: Angle) {
        let [across, up] = plane(self.drawing.features[id.0].face);
        for (axis, share) in [(across, cosine(angle)), (up, sine(angle))] {
            self.relate(id, axis, &[(from, -1)], 1, radius.times(share));
        }
    }

    /// The axis of the plane that a direction runs along, and whether it runs to
    /// less of it; `None` for a slanting one.
    fn square(angle: Angle) -> Option<(usize, bool)> {
        let turned = angle.within_turn();
        (0..4)
            .find(|&quarter| Angle::degrees(90 * quarter) == turned)
            .map(|quarter| (quarter as usize % 2, quarter >= 2))
    }

    /// Only which side of something a feature lies on.
    fn side_along(&mut self, id: FeatureId, axis: Axis, of: Reference, less: bool) {
        let Some(other) = self.coordinate(id, axis, of) else { return };
        let test = SideTest::Axis { own: unknown(Node::Feature(id), axis), other, less };
        let source = self.source();
        self.sides.push(SideWord { feature: id, source, test });
    }

    /// A round edge that lies so far within an edge of the part.
    fn clear_of_edge(&mut self, id: FeatureId, edge: Reference, wall: &Linear) {
        let Some((axis, inward_is_more)) = edge.edge() else { return };
        let Some(radius) = self.radius(id) else { return self.not_round(id, id) };
        let sign = Ratio::from_integer(if inward_is_more { 1 } else { -1 });
        self.relate(id, axis, &[(edge, -1)], 1, radius.plus(wall, Ratio::from_integer(1)).times(sign));
    }

    /// `count × own + sum of others = value` on one axis; a fault when a
    /// reference has no coordinate there.
    pub(super) fn relate(
        &mut self,
        id: FeatureId,
        axis: Axis,
        others: &[(Reference, i128)],
        count: i128,
        value: Linear,
    ) {
        let mut terms = vec![(unknown(Node::Feature(id), axis), count)];
        for &(reference, times) in others {
            match self.coordinate(id, axis, reference) {
                Some(Some(other)) => terms.push((other, times)),
                Some(None) => {}
                None => return,
            }
        }
        self.equation(&terms, value);
    }

    /// The coordinate of a reference on an axis, `Some(None)` for the datum's
    /// nought; a fault and `None` where it has none there.
    pub(super) fn coordinate(
        &mut self,
        id: FeatureId,
        axis: Axis,
        reference: Reference,
    ) -> Option<Option<super::rows::Unknown>> {
        match reference {
            Reference::Datum => Some(None),
            Reference::Feature(other) => Some(Some(unknown(Node::Feature(other), axis))),
            edge => {
                let straight = match self.drawing.body {
                    Body::Bosses { .. } | Body::Outline { .. } => axis == Axis::Z,
                    Body::Turned { .. } => axis == Axis::X,
                    Body::Rectangle { .. } | Body::Disc { .. } => true,
                };
                if edge.edge().is_some_and(|(on, _)| on == axis) && straight {
                    return Some(Some(unknown(Node::Edge(edge), axis)));
                }
                self.no_such_edge(id, edge);
                None
            }
        }
    }

    /// Whether half-way between two sides is the axis of a turned part, which is round and has its
    /// datum there.
    fn about_the_axis(&self, one: Reference, other: Reference) -> bool {
        use Reference::{BackFace, BottomEdge, FrontFace, TopEdge};
        matches!(self.drawing.body, Body::Turned { .. })
            && matches!(
                (one, other),
                (BottomEdge, TopEdge) | (TopEdge, BottomEdge) | (BackFace, FrontFace) | (FrontFace, BackFace)
            )
    }

    fn no_such_edge(&mut self, id: FeatureId, edge: Reference) {
        let source = self.sources.last().expect("every equation has its source");
        let feature = &self.drawing.features[id.0];
        self.faults.push(
            Problem::new(format!(
                "`{}` cannot be measured from the {}",
                source.text,
                edge.word(&|_| String::new())
            ))
            .at(format!("line {}, `{}`", source.line.unwrap_or(feature.line), feature.name))
            .at(self.drawing.file.clone())
            .why("this part has no straight edge there in that direction")
            .mend(match self.drawing.body {
                Body::Turned { .. } => {
                    "what is cut across a turned part lies on its axis when only its way from an end is said; off it, write `1/8 above datum`, the datum being on the axis"
                }
                _ => "measure it from a feature, such as a boss, or in the edge's own direction",
            })
            .concerns(feature.name.clone()),
        );
    }
}

/// The two axes of a face, across and up as one looks at it.
pub(super) const fn plane(face: Face) -> [Axis; 2] {
    match face {
        Face::Front | Face::Back => [Axis::X, Axis::Y],
        Face::Left | Face::Right => [Axis::Y, Axis::Z],
        Face::Top | Face::Bottom => [Axis::X, Axis::Z],
    }
}

/// True when some statement may place a feature on an axis.
pub(super) fn placed_on(feature: &super::Feature, axis: Axis) -> bool {
    feature.placing.iter().any(|statement| match &statement.says {
        Says::Along { axis: on, .. } | Says::Same { axis: on, .. } => *on == axis,
        Says::Midway(a, b) | Says::Spaced { between: [a, b], .. } => {
            a.edge().or(b.edge()).is_none_or(|(on, _)| on == axis)
        }
        Says::Opposite { about, .. } => about.edge().is_none_or(|(on, _)| on == axis),
        Says::Tangent { to: Target::Thing(to), .. } | Says::Clear { of: Target::Thing(to), .. } => {
            to.edge().is_none_or(|(on, _)| on == axis)
        }
        Says::Beside { .. } | Says::Farthest(_) => false,
        Says::Polar { .. }
        | Says::Datum
        | Says::Concentric(_)
        | Says::Symmetrical { .. }
        | Says::Distance { .. }
        | Says::Toward { .. }
        | Says::AtLine { .. }
        | Says::Bearing { .. }
        | Says::FromLine { .. }
        | Says::OnLine(_)
        | Says::SquareTo { .. }
        | Says::ParallelTo { .. }
        | Says::Tangent { .. }
        | Says::Clear { .. }
        | Says::Equidistant(..)
        | Says::AsFar { .. }
        | Says::OnPitchCircle { .. }
        | Says::Mirrored { .. } => true,
    })
}
