//! The equations that the kind of a part and of a feature bring with them.

use num_rational::Ratio;

use super::rows::{Node, Unknown, cosine, sine, unknown};
use super::stating::{placed_on, plane};
use super::system::{Source, System};
use super::{Axis, Body, Corner, Drawing, FeatureId, Kind, Linear, Reference};
use crate::measure::{Angle, Length};
use crate::problem::Problem;

impl System<'_> {
    /// The equations of the outside.
    pub(super) fn body(&mut self) {
        let edge = |reference: Reference| {
            let (axis, _) = reference.edge().expect("called with edges only");
            unknown(Node::Edge(reference), axis)
        };
        let (left, right) = (edge(Reference::LeftEdge), edge(Reference::RightEdge));
        let (bottom, top) = (edge(Reference::BottomEdge), edge(Reference::TopEdge));
        let (back, front) = (edge(Reference::BackFace), edge(Reference::FrontFace));
        let half = Ratio::new(1, 2);
        let span = |system: &mut Self, near, far, id: super::DimensionId| {
            let dimension = &system.drawing.dimensions[id.0];
            let (text, line) = (format!("{} {}", dimension.name, dimension.written.text), dimension.line);
            system.say(Source { text, line: Some(line), statement: None, dimension: Some(id) });
            system.equation(&[(far, 1), (near, -1)], Linear::dimension(id));
        };
        let zero = |system: &mut Self, at: &[(Unknown, i128)]| {
            system.nobody_says();
            system.equation(at, Linear::default());
        };
        let drawing = self.drawing;
        match &drawing.body {
            Body::Bosses { thickness, .. } | Body::Outline { thickness, .. } => {
                zero(self, &[(back, 1)]);
                span(self, back, front, *thickness);
            }
            Body::Rectangle { width, height, thickness, datum } => {
                let (x, y): (&[_], &[_]) = match datum {
                    Corner::BottomLeft => (&[(left, 1)], &[(bottom, 1)]),
                    Corner::BottomRight => (&[(right, 1)], &[(bottom, 1)]),
                    Corner::TopLeft => (&[(left, 1)], &[(top, 1)]),
                    Corner::TopRight => (&[(right, 1)], &[(top, 1)]),
                    Corner::Centre => (&[(left, 1), (right, 1)], &[(bottom, 1), (top, 1)]),
                };
                zero(self, x);
                zero(self, y);
                zero(self, &[(back, 1)]);
                span(self, left, right, *width);
                span(self, bottom, top, *height);
                span(self, back, front, *thickness);
            }
            Body::Disc { diameter, thickness } => {
                let radius = Linear::dimension(*diameter).times(half);
                for (at, side) in [(left, -1), (right, 1), (bottom, -1), (top, 1)] {
                    self.nobody_says();
                    self.equation(&[(at, 1)], radius.times(Ratio::from_integer(side)));
                }
                zero(self, &[(back, 1)]);
                span(self, back, front, *thickness);
            }
            Body::Turned { sections, length } => {
                zero(self, &[(left, 1)]);
                let start = |id: FeatureId| unknown(Node::Feature(id), Axis::X);
                if let Some(&first) = sections.first() {
                    zero(self, &[(start(first), 1)]);
                }
                for (index, &section) in sections.iter().enumerate() {
                    let end = sections.get(index + 1).map_or(right, |&next| start(next));
                    if let Kind::Section { length: Some(id), .. } = drawing.features[section.0].kind {
                        span(self, start(section), end, id);
                    }
                }
                if let Some(length) = length {
                    span(self, left, right, *length);
                }
            }
        }
    }

    pub(super) fn feature(&mut self, id: FeatureId) {
        let drawing = self.drawing;
        let feature = &drawing.features[id.0];
        let turned = matches!(drawing.body, Body::Turned { .. });
        let axes = needed_axes(drawing, id);
        let own = |axis| unknown(Node::Feature(id), axis);
        for (at, statement) in feature.placing.iter().enumerate() {
            self.say(Source {
                text: statement.text.clone(),
                line: Some(statement.line),
                statement: Some((id, at)),
                dimension: statement.says.dimension(),
            });
            self.statement(id, &axes, &statement.says);
        }
        let placed_by_pattern =
            drawing.features.iter().any(|f| f.kind.pattern().is_some_and(|holes| holes.contains(&id)));
        if turned && !matches!(feature.kind, Kind::Section { .. }) && !placed_by_pattern {
            // What is cut on a turned part lies on its axis unless it is placed off it.
            for axis in [Axis::Y, Axis::Z] {
                if axes.contains(&axis) && !placed_on(feature, axis) {
                    self.nobody_says();
                    self.equation(&[(own(axis), 1)], Linear::default());
                }
            }
        }
        if let Kind::Slot { open, .. } = &feature.kind
            && let [one, _] = open[..]
            && axes.contains(&one.axis())
            && !placed_on(feature, one.axis())
            && let Some([near, far]) = self.ends_along(one.axis())
        {
            // Along a slot right across any point does: half-way, where the drawing gives none.
            self.nobody_says();
            self.equation(&[(own(one.axis()), 2), (near, -1), (far, -1)], Linear::default());
        }
        if let Kind::Row { spacing, holes, along } = &feature.kind {
            for (index, &hole) in holes.iter().enumerate() {
                let from_first = Linear::dimension(*spacing).times(Ratio::from_integer(index as i128));
                let [across, up] = plane(feature.face);
                for (axis, share) in [(across, cosine(*along)), (up, sine(*along))] {
                    self.nobody_says();
                    let from = unknown(Node::Feature(id), axis);
                    let hole = unknown(Node::Feature(hole), axis);
                    self.equation(&[(hole, 1), (from, -1)], from_first.times(share));
                }
            }
        }
        if let Kind::PitchCircle { diameter, holes, first } = &feature.kind {
            for (index, &hole) in holes.iter().enumerate() {
                let angle = *first + Angle::ratio(360 * index as i128, holes.len() as i128);
                let spoke = Linear::dimension(*diameter).times(Ratio::new(1, 2));
                let [across, up] = plane(feature.face);
                for (axis, share) in [(across, cosine(angle)), (up, sine(angle))] {
                    self.nobody_says();
                    let from = unknown(Node::Feature(id), axis);
                    self.equation(&[(unknown(Node::Feature(hole), axis), 1), (from, -1)], spoke.times(share));
                }
            }
        }
    }

    /// The two ends of the body along an axis, where its own sizes settle them.
    fn ends_along(&self, axis: Axis) -> Option<[Unknown; 2]> {
        let (near, far) = match (axis, &self.drawing.body) {
            (
                Axis::Z,
                Body::Rectangle { .. } | Body::Disc { .. } | Body::Bosses { .. } | Body::Outline { .. },
            ) => (Reference::BackFace, Reference::FrontFace),
            (Axis::X, Body::Rectangle { .. } | Body::Disc { .. }) => {
                (Reference::LeftEdge, Reference::RightEdge)
            }
            (Axis::Y, Body::Rectangle { .. } | Body::Disc { .. }) => {
                (Reference::BottomEdge, Reference::TopEdge)
            }
            _ => return None,
        };
        Some([near, far].map(|end| unknown(Node::Edge(end), axis)))
    }

    /// Sizes that the file holds equal: each against the first.
    pub(super) fn equalities(&mut self) {
        let drawing = self.drawing;
        for equal in &drawing.equal {
            let Some((&first, rest)) = equal.dimensions.split_first() else { continue };
            for &other in rest {
                let names = [first, other].map(|id| drawing.dimensions[id.0].name.clone());
                let [a, b] = [first, other].map(|id| drawing.dimensions[id.0].written.length);
                if a != b {
                    self.faults.push(
                        Problem::new(format!("`{}` and `{}` differ by {}", names[0], names[1], a.gap(b)))
                            .at(format!("line {}, `equal`", equal.line))
                            .at(drawing.file.clone())
                            .why("the file says that they are equal, and the drawing gives them different sizes")
                            .mend("check both against the drawing, or take one out of `equal`")
                            .concerns(names[0].clone())
                            .concerns(names[1].clone()),
                    );
                    continue;
                }
                let difference = Linear::dimension(first).minus(&Linear::dimension(other));
                let statements = vec![format!("{} stays equal to {}", names[0], names[1])];
                self.checks.push(super::Check { statements, difference, slack: Length::ZERO });
            }
        }
    }
}

/// The axes on which a feature must be placed.
pub(super) fn needed_axes(drawing: &Drawing, id: FeatureId) -> Vec<Axis> {
    let feature = &drawing.features[id.0];
    match &feature.kind {
        Kind::Slit { .. }
        | Kind::Keyway { .. }
        | Kind::Counterbore { .. }
        | Kind::Countersink { .. }
        | Kind::Knurl { .. }
        | Kind::Chamfer { .. }
        | Kind::Recess { .. } => Vec::new(),
        Kind::Step { side, .. } => vec![side.axis()],
        Kind::Section { .. } | Kind::Groove { .. } | Kind::Flats { .. } => vec![Axis::X],
        Kind::Boss { .. } | Kind::Corner { .. } => vec![Axis::X, Axis::Y],
        Kind::Hole { .. }
        | Kind::Tapped { .. }
        | Kind::ClampScrew { .. }
        | Kind::Slot { .. }
        | Kind::CurvedSlot { .. }
        | Kind::TaperPin { .. }
        | Kind::Pocket { .. }
        | Kind::Square { .. }
        | Kind::Flatted { .. }
        | Kind::Row { .. }
        | Kind::PitchCircle { .. } => {
            [Axis::X, Axis::Y, Axis::Z].into_iter().filter(|&axis| axis != feature.face.axis()).collect()
        }
    }
}
