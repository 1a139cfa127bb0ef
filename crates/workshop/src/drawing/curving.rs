//! Statements of place as curves: distances, touches and lines that no sum of
//! dimensions gives.

use num_rational::Ratio;

use super::curved::{Curve, Direction, Reach, Shape, Spot};
use super::place::{Course, Round, Says, Target, Touch};
use super::rows::{Node, unknown};
use super::sides::{SideTest, SideWord};
use super::stating::plane;
use super::system::System;
use super::{Axis, DimensionId, FeatureId, Kind, Linear, Reference, SectionSize, Through};
use crate::problem::Problem;

/// A statement that leaves no choice needs no words to choose by.
const NO_CHOICE: &str = "";

/// The cosine and sine of turning by nothing, and by a quarter turn.
const ALONG: [f64; 2] = [1.0, 0.0];
const SQUARE: [f64; 2] = [0.0, 1.0];

impl System<'_> {
    /// Adds the curves of one statement.
    pub(super) fn curve(&mut self, id: FeatureId, axes: &[Axis], says: &Says) {
        let plane = plane(self.drawing.features[id.0].face);
        if !plane.iter().all(|axis| axes.contains(axis)) {
            return self.not_in_plane(id);
        }
        let Some(own) = self.spot(id, Reference::Feature(id)) else { return };
        let dimension = |id: &DimensionId| Linear::dimension(*id);
        let half = Ratio::new(1, 2);
        match says {
            Says::Distance { dimension: by, from, round } => {
                let reach = match round {
                    Round::Radius => dimension(by),
                    Round::Diameter => dimension(by).times(half),
                };
                self.apart(id, own, *from, reach);
            }
            Says::OnPitchCircle { of, .. } => {
                let Some(across) = self.pitch_circle(id, *of) else { return };
                self.apart(id, own, Reference::Feature(*of), dimension(&across).times(half));
            }
            Says::Toward { dimension: by, from, course, other } => {
                let line = Through { from: *from, to: *other };
                let sign = match course {
                    Course::Toward => 1,
                    Course::Away => -1,
                };
                let reach = dimension(by).times(Ratio::from_integer(sign));
                self.off_line(id, &[(own, 1.0)], *from, line, ALONG, vec![reach]);
                self.off_line(id, &[(own, 1.0)], *from, line, SQUARE, vec![Linear::default()]);
            }
            Says::AtLine { dimension: by, from, angle, line } => {
                let (sin, cos) = angle.as_rad().sin_cos();
                self.off_line(id, &[(own, 1.0)], *from, *line, [cos, sin], vec![dimension(by)]);
                self.off_line(id, &[(own, 1.0)], *from, *line, [-sin, cos], vec![Linear::default()]);
            }
            Says::Bearing { from, angle } => {
                let Some(from) = self.spot(id, *from) else { return };
                let (sin, cos) = angle.as_rad().sin_cos();
                let sum = vec![(own, 1.0), (from, -1.0)];
                self.add(
                    Shape::Along { sum, direction: Direction::Fixed([-sin, cos]) },
                    vec![Linear::default()],
                );
                self.side(id, SideTest::Ray { own, from, direction: [cos, sin] });
            }
            Says::FromLine { dimension: by, line, side } => {
                let reaches = vec![dimension(by), dimension(by).times(Ratio::from_integer(-1))];
                self.off_line(id, &[(own, 1.0)], line.from, *line, SQUARE, reaches);
                if let Some(side) = side {
                    self.beside_line(id, own, *line, *side);
                }
            }
            Says::OnLine(line) => {
                self.off_line(id, &[(own, 1.0)], line.from, *line, SQUARE, vec![Linear::default()]);
            }
            Says::SquareTo { line, at } => {
                self.off_line(id, &[(own, 1.0)], *at, *line, ALONG, vec![Linear::default()]);
            }
            Says::ParallelTo { line, at } => {
                self.off_line(id, &[(own, 1.0)], *at, *line, SQUARE, vec![Linear::default()]);
            }
            Says::Mirrored { with, line } => {
                let Some(with) = self.spot(id, *with) else { return };
                // The middle of the two lies on the line, and the way between them square to it.
                let middle = [(own, 0.5), (with, 0.5)];
                self.off_line(id, &middle, line.from, *line, SQUARE, vec![Linear::default()]);
                let [Some(from), Some(to)] = [line.from, line.to].map(|of| self.spot(id, of)) else { return };
                let sum = vec![(own, 1.0), (with, -1.0)];
                let direction = Direction::Line { from, to, turn: ALONG };
                self.add(Shape::Along { sum, direction }, vec![Linear::default()]);
            }
            Says::Tangent { to, touch } => self.touch(id, own, *to, *touch, None),
            Says::Clear { dimension: by, of, touch } => self.touch(id, own, *of, *touch, Some(*by)),
            Says::Equidistant(a, b) => self.alike(id, own, *a, own, *b),
            Says::AsFar { from, as_ } => {
                let Some(as_) = self.spot(id, *as_) else { return };
                self.alike(id, own, *from, as_, *from);
            }
            Says::Beside { side, of: Target::Line(line) } => self.beside_line(id, own, *line, *side),
            _ => unreachable!("sums of dimensions are stated elsewhere"),
        }
    }

    /// Adds a curve said by the newest source.
    fn add(&mut self, shape: Shape, reaches: Vec<Linear>) {
        let source = self.source();
        let reaches = reaches.into_iter().map(|is| Reach { is, words: NO_CHOICE }).collect();
        self.curves.push(Curve { shape, reaches, source });
    }

    fn side(&mut self, feature: FeatureId, test: SideTest) {
        let source = self.source();
        self.sides.push(SideWord { feature, source, test });
    }

    fn apart(&mut self, id: FeatureId, own: Spot, from: Reference, reach: Linear) {
        let Some(from) = self.spot(id, from) else { return };
        self.add(Shape::Apart(own, from), vec![reach]);
    }

    fn alike(&mut self, id: FeatureId, a: Spot, b: Reference, c: Spot, d: Reference) {
        let [Some(b), Some(d)] = [b, d].map(|of| self.spot(id, of)) else { return };
        self.add(Shape::Alike([a, b, c, d]), vec![Linear::default()]);
    }

    /// A sum of points less `at`, measured along the turned way of a line.
    fn off_line(
        &mut self,
        id: FeatureId,
        points: &[(Spot, f64)],
        at: Reference,
        line: Through,
        turn: [f64; 2],
        reaches: Vec<Linear>,
    ) {
        let [Some(at), Some(from), Some(to)] = [at, line.from, line.to].map(|of| self.spot(id, of)) else {
            return;
        };
        let sum = points.iter().copied().chain([(at, -1.0)]).collect();
        self.add(Shape::Along { sum, direction: Direction::Line { from, to, turn } }, reaches);
    }

    fn beside_line(&mut self, id: FeatureId, own: Spot, line: Through, side: super::Side) {
        let plane = plane(self.drawing.features[id.0].face);
        let Some(axis) = plane.iter().position(|&axis| axis == side.axis()) else {
            return self.not_in_plane(id);
        };
        let [Some(from), Some(to)] = [line.from, line.to].map(|of| self.spot(id, of)) else { return };
        self.side(id, SideTest::Line { own, from, to, axis, less: side.is_less() });
    }

    /// Round edges that touch, or lie a wall apart.
    fn touch(&mut self, id: FeatureId, own: Spot, to: Target, touch: Touch, wall: Option<DimensionId>) {
        let Some(radius) = self.radius(id) else { return self.not_round(id, id) };
        let one = Ratio::from_integer(1);
        let wall = wall.map(Linear::dimension).unwrap_or_default();
        let thing = match to {
            Target::Line(line) => {
                let reach = radius.plus(&wall, one);
                let reaches = vec![reach.clone(), reach.times(-one)];
                return self.off_line(id, &[(own, 1.0)], line.from, line, SQUARE, reaches);
            }
            Target::Thing(Reference::Feature(thing)) => thing,
            Target::Thing(_) => return self.not_round(id, id),
        };
        let Some(other) = self.radius(thing) else { return self.not_round(id, thing) };
        let Some(spot) = self.spot(id, Reference::Feature(thing)) else { return };
        let outside = radius.clone().plus(&other, one).plus(&wall, one);
        let within = if self.drawn(&other) >= self.drawn(&radius) {
            other.minus(&radius)
        } else {
            radius.minus(&other)
        };
        let within = within.minus(&wall);
        let touch = match touch {
            // Two holes, or two bosses, have the wall between them.
            Touch::Unsaid if wall != Linear::default() && self.is_metal(id) == self.is_metal(thing) => {
                Touch::Outside
            }
            said => said,
        };
        let mut reaches = Vec::new();
        if touch != Touch::Inside {
            reaches.push(Reach { is: outside, words: "outside" });
        }
        if touch != Touch::Outside && self.drawn(&within).is_positive() {
            reaches.push(Reach { is: within, words: "inside" });
        }
        if reaches.is_empty() {
            return self.no_room(id, thing);
        }
        let source = self.source();
        self.curves.push(Curve { shape: Shape::Apart(own, spot), reaches, source });
    }

    /// The coordinates of a reference in the plane that a feature lies in.
    fn spot(&mut self, id: FeatureId, of: Reference) -> Option<Spot> {
        let plane = plane(self.drawing.features[id.0].face);
        match of {
            Reference::Datum => Some([None, None]),
            Reference::Feature(of) => Some(plane.map(|axis| Some(unknown(Node::Feature(of), axis)))),
            _ => {
                self.not_in_plane(id);
                None
            }
        }
    }

    /// Half the distance across a round feature; of a thread, across its crests on
    /// the drawing, so that another thread does not move the hole.
    pub(super) fn radius(&self, id: FeatureId) -> Option<Linear> {
        let half = Ratio::new(1, 2);
        match self.drawing.features[id.0].kind {
            Kind::Boss { radius } => Some(Linear::dimension(radius)),
            Kind::Hole { diameter, .. }
            | Kind::Flatted { diameter, .. }
            | Kind::Section { size: SectionSize::Plain(diameter), .. } => {
                Some(Linear::dimension(diameter).times(half))
            }
            Kind::Tapped { thread, .. } => {
                Some(Linear::constant(self.drawing.threads[thread.0].thread.major.half()))
            }
            _ => None,
        }
    }

    /// True for what is metal rather than cut away.
    fn is_metal(&self, id: FeatureId) -> bool {
        matches!(self.drawing.features[id.0].kind, Kind::Boss { .. } | Kind::Section { .. })
    }

    pub(super) fn pitch_circle(&mut self, id: FeatureId, of: FeatureId) -> Option<DimensionId> {
        if let Kind::PitchCircle { diameter, .. } = self.drawing.features[of.0].kind {
            return Some(diameter);
        }
        let name = &self.drawing.features[of.0].name;
        let fault = Problem::new(format!("`{name}` has no pitch circle"))
            .mend("name a feature of the kind `pitch circle`, or write `on a circle of … about NAME`");
        self.refuse(id, fault);
        None
    }

    /// A fault of the statement being read.
    fn refuse(&mut self, id: FeatureId, fault: Problem) {
        let feature = &self.drawing.features[id.0];
        let line = self.sources.last().and_then(|source| source.line).unwrap_or(feature.line);
        self.faults.push(
            fault
                .at(format!("line {line}, `{}`", feature.name))
                .at(self.drawing.file.clone())
                .concerns(feature.name.clone()),
        );
    }

    pub(super) fn not_round(&mut self, id: FeatureId, which: FeatureId) {
        let text = self.sources.last().map_or_else(String::new, |source| source.text.clone());
        let name = &self.drawing.features[which.0].name;
        let fault = Problem::new(format!("`{text}` needs round edges on both sides"))
            .why(format!("`{name}` has none that a distance could be measured to"))
            .mend("place it by its middle, such as `1/2 from NAME`");
        self.refuse(id, fault);
    }

    fn no_room(&mut self, id: FeatureId, within: FeatureId) {
        let [name, other] = [id, within].map(|id| self.drawing.features[id.0].name.clone());
        let fault = Problem::new(format!("`{name}` has no room inside `{other}`"))
            .why("the two are of one size, or the wall is more than the difference of their radii")
            .mend("check both sizes and the wall, or write `outside`");
        self.refuse(id, fault);
    }

    fn not_in_plane(&mut self, id: FeatureId) {
        let text = self.sources.last().map_or_else(String::new, |source| source.text.clone());
        let fault = Problem::new(format!("`{text}` cannot place `{}`", self.drawing.features[id.0].name))
            .why("it is placed along one direction only, or that side is not in the plane it is cut from")
            .mend("say how far it is along its own direction, such as `… right of NAME`");
        self.refuse(id, fault);
    }
}
