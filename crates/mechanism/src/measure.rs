//! What can be measured on a mechanism at one position: a distance or an angle.

use crate::derive::{Motion, moving};
use crate::describe::{JointId, Kind, Line, LinkId, PointId, Size};
use crate::hyper::Hyper;
use crate::model::{Model, State};
use crate::num::{Field, Num};
use crate::rows::Pose;
use crate::sized::{Sized, size};

/// Something that has a number at every position: millimetres, or radians for angles.
#[derive(Clone, Debug, PartialEq)]
pub enum Measure {
    /// How far a point stands along a line, from the line's first point.
    Along(PointId, Line),
    /// How far a point stands to the left of a line.
    Across(PointId, Line),
    /// How far two points stand apart.
    Apart(PointId, PointId),
    /// The angle of a link from another, counted on through whole turns.
    Turned(LinkId, LinkId),
    /// The angle at the middle of three points, from 0 to π.
    Corner(PointId, PointId, PointId),
    /// The angle between the way from one point to another and a line, from 0 to π.
    Slant(PointId, PointId, Line),
    /// Where a pin or die block stands in its slot: along a straight slot from the line's
    /// first point; along a curved one from the middle of the slot's link.
    InSlot(JointId),
    /// The drive itself.
    Drive,
    /// Measures times factors, and a size.
    Sum(Vec<(Measure, f64)>, Size),
}

/// A measure with its derivatives by the drive, at one angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reckoned {
    /// The drive's angle.
    pub angle: f64,
    /// The value: millimetres or radians.
    pub value: f64,
    /// For one radian of the drive.
    pub first: f64,
    /// For one radian of the drive, twice.
    pub second: f64,
}

/// A position in any kind of number.
pub(crate) struct Posed<'a, S> {
    pub model: &'a Model,
    pub params: &'a [S],
    pub by: &'a Sized<S>,
    pub poses: &'a [Pose<S>],
    pub drive: S,
}

impl<S: Field> Posed<'_, S> {
    fn place(&self, point: PointId) -> [S; 2] {
        self.poses[point.link.0].place(self.by.points[self.model.rows.at(point)])
    }

    fn direction(&self, line: &Line) -> [S; 2] {
        match line {
            Line::At(point, angle) => {
                let (s, c) = size(angle, self.params).sin_cos();
                self.poses[point.link.0].turned([c, s])
            }
            Line::Between(a, b) => {
                let (a, b) = (self.place(*a), self.place(*b));
                let d = [b[0] - a[0], b[1] - a[1]];
                let one = (d[0] * d[0] + d[1] * d[1]).sqrt().recip();
                [d[0] * one, d[1] * one]
            }
        }
    }

    fn on_line(&self, point: PointId, line: &Line) -> [S; 2] {
        let (p, o, u) = (self.place(point), self.place(line.origin()), self.direction(line));
        let d = [p[0] - o[0], p[1] - o[1]];
        [d[0] * u[0] + d[1] * u[1], d[1] * u[0] - d[0] * u[1]]
    }

    pub fn measure(&self, what: &Measure) -> S {
        match what {
            Measure::Along(point, line) => self.on_line(*point, line)[0],
            Measure::Across(point, line) => self.on_line(*point, line)[1],
            Measure::Apart(a, b) => {
                let (a, b) = (self.place(*a), self.place(*b));
                let d = [b[0] - a[0], b[1] - a[1]];
                (d[0] * d[0] + d[1] * d[1]).sqrt()
            }
            Measure::Turned(a, b) => self.poses[a.0].t - self.poses[b.0].t,
            Measure::Corner(a, b, c) => {
                let (a, b, c) = (self.place(*a), self.place(*b), self.place(*c));
                let (u, v) = ([a[0] - b[0], a[1] - b[1]], [c[0] - b[0], c[1] - b[1]]);
                let dot = u[0] * v[0] + u[1] * v[1];
                let cross = u[0] * v[1] - u[1] * v[0];
                cross.abs().atan2(dot)
            }
            Measure::Slant(a, b, line) => {
                let (a, b, u) = (self.place(*a), self.place(*b), self.direction(line));
                let v = [b[0] - a[0], b[1] - a[1]];
                let cross = u[0] * v[1] - u[1] * v[0];
                cross.abs().atan2(u[0] * v[0] + u[1] * v[1])
            }
            Measure::InSlot(joint) => self.in_slot(*joint),
            Measure::Drive => self.drive,
            Measure::Sum(parts, plus) => parts
                .iter()
                .fold(size(plus, self.params), |sum, (part, by)| sum + self.measure(part) * S::of(*by)),
        }
    }

    fn in_slot(&self, joint: JointId) -> S {
        match &self.model.of.joints[joint.0].kind {
            Kind::Slot(point, line) => self.on_line(*point, line)[0],
            Kind::Arc { point, centre, radius } => {
                let (p, c) = (self.place(*point), self.place(*centre));
                let d = [p[0] - c[0], p[1] - c[1]];
                let u = self.poses[centre.link.0].turned(self.model.slot_middle(*centre).map(S::of));
                (d[1] * u[0] - d[0] * u[1]).atan2(d[0] * u[0] + d[1] * u[1]) * size(radius, self.params)
            }
            // Other joints have nothing that slides.
            _ => S::of(0.0),
        }
    }
}

impl Model {
    /// The direction from a slot's centre to the middle of its link's other points, in the
    /// link's own coordinates as described: distance along the slot is counted from there.
    fn slot_middle(&self, centre: PointId) -> [f64; 2] {
        let own = self.by.points[self.rows.at(centre)];
        let points = &self.of.links[centre.link.0].points;
        let (mut x, mut y) = (0.0, 0.0);
        for point in 0..points.len() {
            let at = self.by.points[self.rows.at(PointId { link: centre.link, point })];
            (x, y) = (x + at[0] - own[0], y + at[1] - own[1]);
        }
        let long = x.hypot(y);
        if long > 1e-9 { [x / long, y / long] } else { [1.0, 0.0] }
    }

    /// A measure at a position.
    pub fn measure(&self, state: &State, what: &Measure) -> f64 {
        let (params, by, poses) = (&self.params, &self.by, &state.poses);
        Posed { model: self, params, by, poses, drive: state.angle }.measure(what)
    }

    /// A measure at a position, with its derivatives by the drive.
    pub fn reckon(&self, state: &State, motion: &Motion, what: &Measure) -> Reckoned {
        let params: Vec<Hyper> = self.params.iter().map(|&v| Hyper::of(v)).collect();
        let by = self.by.lift();
        let poses = moving(state, &motion.first, &motion.first, Some(&motion.second));
        let drive = Hyper::new(state.angle, 1.0, 1.0, 0.0);
        let (params, by, poses) = (&params[..], &by, &poses[..]);
        let y = Posed { model: self, params, by, poses, drive }.measure(what);
        Reckoned { angle: state.angle, value: y.a, first: y.b, second: y.d }
    }

    /// Whether the measure speaks only of what is there.
    pub(crate) fn knows(&self, what: &Measure) -> bool {
        let point = |p: &PointId| self.of.links.get(p.link.0).is_some_and(|l| p.point < l.points.len());
        let known = |s: &Size| s.terms.iter().all(|(p, _)| p.0 < self.params.len());
        let link = |l: &LinkId| l.0 < self.of.links.len();
        let drawn = |line: &Line| {
            point(&line.origin())
                && match line {
                    Line::At(_, angle) => known(angle),
                    Line::Between(_, b) => point(b),
                }
        };
        match what {
            Measure::Along(p, line) | Measure::Across(p, line) => point(p) && drawn(line),
            Measure::Slant(a, b, line) => point(a) && point(b) && drawn(line),
            Measure::Apart(a, b) => point(a) && point(b),
            Measure::Turned(a, b) => link(a) && link(b),
            Measure::Corner(a, b, c) => point(a) && point(b) && point(c),
            Measure::InSlot(joint) => joint.0 < self.of.joints.len(),
            Measure::Drive => true,
            Measure::Sum(parts, plus) => known(plus) && parts.iter().all(|(part, _)| self.knows(part)),
        }
    }
}
