//! The two things an outline is made of: straight lines and arcs.

use std::f64::consts::TAU;

use super::{Bounds, Point, SAME_POINT_MM, within_turn};

/// A straight line from one point to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Where it begins.
    pub start: Point,
    /// Where it ends.
    pub end: Point,
}

impl Line {
    /// A line between two points.
    pub const fn new(start: Point, end: Point) -> Self {
        Self { start, end }
    }

    /// Its length in millimetres.
    pub fn length_mm(self) -> f64 {
        self.start.distance_mm(self.end)
    }

    /// Its direction in radians, anticlockwise from X.
    pub fn direction_rad(self) -> f64 {
        self.start.direction_rad(self.end)
    }

    /// The place on it nearest to `point`.
    pub fn nearest(self, point: Point) -> Point {
        let along = self.end - self.start;
        let square = along.dot(along);
        if square == 0.0 {
            return self.start;
        }
        let fraction = ((point - self.start).dot(along) / square).clamp(0.0, 1.0);
        self.start + along.times(fraction)
    }
}

/// Part of a circle, or the whole of it, run through in one sense.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// The centre of its circle.
    pub centre: Point,
    /// Its radius in millimetres, more than nought.
    pub radius_mm: f64,
    /// The direction of its first point from the centre, in radians.
    pub start_rad: f64,
    /// How far it turns, in radians: anticlockwise positive, at most one turn.
    pub sweep_rad: f64,
}

impl Arc {
    /// Its first point.
    pub fn start(self) -> Point {
        self.centre.polar(self.radius_mm, self.start_rad)
    }

    /// Its last point.
    pub fn end(self) -> Point {
        self.centre.polar(self.radius_mm, self.end_rad())
    }

    /// The direction of its last point from the centre, in radians.
    pub fn end_rad(self) -> f64 {
        self.start_rad + self.sweep_rad
    }

    /// Its length in millimetres.
    pub fn length_mm(self) -> f64 {
        self.radius_mm * self.sweep_rad.abs()
    }

    /// True when the arc passes through the direction `rad` from its centre.
    pub fn passes(self, rad: f64) -> bool {
        let slack = SAME_POINT_MM / self.radius_mm;
        let from_start = match self.sweep_rad >= 0.0 {
            true => within_turn(rad - self.start_rad),
            false => within_turn(self.start_rad - rad),
        };
        from_start <= self.sweep_rad.abs() + slack || from_start >= TAU - slack
    }

    /// The place on it nearest to `point`.
    pub fn nearest(self, point: Point) -> Point {
        if point.distance_mm(self.centre) == 0.0 {
            return self.start();
        }
        let towards = self.centre.direction_rad(point);
        if self.passes(towards) {
            return self.centre.polar(self.radius_mm, towards);
        }
        let (start, end) = (self.start(), self.end());
        if point.distance_mm(start) <= point.distance_mm(end) { start } else { end }
    }
}

/// A straight line or an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// A straight line.
    Line(Line),
    /// An arc of a circle.
    Arc(Arc),
}

impl Segment {
    /// A line between two points.
    pub const fn line(start: Point, end: Point) -> Self {
        Self::Line(Line::new(start, end))
    }

    /// An arc; see [`Arc`] for the sense of its angles.
    pub const fn arc(centre: Point, radius_mm: f64, start_rad: f64, sweep_rad: f64) -> Self {
        Self::Arc(Arc { centre, radius_mm, start_rad, sweep_rad })
    }

    /// Its first point.
    pub fn start(&self) -> Point {
        match self {
            Self::Line(line) => line.start,
            Self::Arc(arc) => arc.start(),
        }
    }

    /// Its last point.
    pub fn end(&self) -> Point {
        match self {
            Self::Line(line) => line.end,
            Self::Arc(arc) => arc.end(),
        }
    }

    /// Its length in millimetres.
    pub fn length_mm(&self) -> f64 {
        match self {
            Self::Line(line) => line.length_mm(),
            Self::Arc(arc) => arc.length_mm(),
        }
    }

    /// The point a fraction of the way along it, nought to one.
    pub fn along(&self, fraction: f64) -> Point {
        match self {
            Self::Line(line) => line.start + (line.end - line.start).times(fraction),
            Self::Arc(arc) => arc.centre.polar(arc.radius_mm, arc.start_rad + arc.sweep_rad * fraction),
        }
    }

    /// The place on it nearest to `point`.
    pub fn nearest(&self, point: Point) -> Point {
        match self {
            Self::Line(line) => line.nearest(point),
            Self::Arc(arc) => arc.nearest(point),
        }
    }

    /// Run through the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        match *self {
            Self::Line(Line { start, end }) => Self::line(end, start),
            Self::Arc(arc) => Self::arc(arc.centre, arc.radius_mm, arc.end_rad(), -arc.sweep_rad),
        }
    }

    /// Moved by a way.
    #[must_use]
    pub fn translated(&self, by: Point) -> Self {
        match *self {
            Self::Line(Line { start, end }) => Self::line(start + by, end + by),
            Self::Arc(arc) => Self::Arc(Arc { centre: arc.centre + by, ..arc }),
        }
    }

    /// Turned anticlockwise about the origin.
    #[must_use]
    pub fn rotated(&self, rad: f64) -> Self {
        match *self {
            Self::Line(Line { start, end }) => Self::line(start.rotated(rad), end.rotated(rad)),
            Self::Arc(arc) => {
                Self::Arc(Arc { centre: arc.centre.rotated(rad), start_rad: arc.start_rad + rad, ..arc })
            }
        }
    }

    /// Mirrored in the Y axis, run through in the same order.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        match *self {
            Self::Line(Line { start, end }) => Self::line(start.mirrored(), end.mirrored()),
            Self::Arc(arc) => Self::arc(
                arc.centre.mirrored(),
                arc.radius_mm,
                std::f64::consts::PI - arc.start_rad,
                -arc.sweep_rad,
            ),
        }
    }

    /// The smallest upright rectangle around it.
    pub fn bounds(&self) -> Bounds {
        let arc = match self {
            Self::Line(line) => return Bounds::of(line.start).including(line.end),
            Self::Arc(arc) => arc,
        };
        let out = |across: f64, up: f64| arc.centre + Point::new(across, up).times(arc.radius_mm);
        if arc.sweep_rad.abs() >= TAU {
            return Bounds { least: out(-1.0, -1.0), most: out(1.0, 1.0) };
        }
        let sides = [out(1.0, 0.0), out(0.0, 1.0), out(-1.0, 0.0), out(0.0, -1.0)];
        let passed = (0..4).zip(sides).filter(|&(quarter, _)| arc.passes(f64::from(quarter) * TAU / 4.0));
        passed.fold(Bounds::of(arc.start()).including(arc.end()), |bounds, (_, side)| bounds.including(side))
    }

    /// Its share of twice the signed area, by Green's theorem, in square mm.
    pub(super) fn twice_area(&self) -> f64 {
        let chord = self.start().cross(self.end());
        match self {
            Self::Line(_) => chord,
            Self::Arc(arc) => chord + arc.radius_mm.powi(2) * (arc.sweep_rad - arc.sweep_rad.sin()),
        }
    }

    /// The angle it turns through as seen from `point`, in radians.
    ///
    /// An arc turns as its chord does, and one whole turn more when the point
    /// lies between the two. The point must not lie on the segment.
    pub(super) fn turn_seen_from_rad(&self, point: Point) -> f64 {
        match self {
            Self::Line(line) => chord_turn_rad(line.start, line.end, point),
            Self::Arc(arc) if arc.sweep_rad.abs() > std::f64::consts::PI => {
                let half = Arc { sweep_rad: arc.sweep_rad / 2.0, ..*arc };
                let rest = Arc { start_rad: arc.start_rad + half.sweep_rad, ..half };
                Self::Arc(half).turn_seen_from_rad(point) + Self::Arc(rest).turn_seen_from_rad(point)
            }
            Self::Arc(arc) => {
                let turn = chord_turn_rad(arc.start(), arc.end(), point);
                // From within its circle an arc turns the way it runs, also where the
                // point lies on the chord and rounding picks either sign for half a turn.
                if turn * arc.sweep_rad < 0.0 && point.distance_mm(arc.centre) < arc.radius_mm {
                    turn + TAU * arc.sweep_rad.signum()
                } else {
                    turn
                }
            }
        }
    }
}

/// The signed angle from `start` to `end` as seen from `point`.
fn chord_turn_rad(start: Point, end: Point, point: Point) -> f64 {
    let (a, b) = (start - point, end - point);
    a.cross(b).atan2(a.dot(b))
}
