//! Paths of straight lines and arcs, on the page or in the model.

use std::f64::consts::{FRAC_PI_2, TAU};

use super::{Bounds, Point};

/// Which way round, as it looks to the reader of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// With the hands of a clock.
    Clockwise,
    /// Against the hands of a clock.
    Anticlockwise,
}

/// Whether a path comes back to its start.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum End {
    /// It stops where it stops.
    #[default]
    Open,
    /// A straight line takes it back to its start.
    Closed,
}

/// One step along a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step<P> {
    /// Straight to a point.
    To(P),
    /// Round a centre to a point.
    Arc {
        /// The centre.
        centre: P,
        /// The end of the arc. An arc that ends where it began is a whole turn.
        to: P,
        /// Which way round.
        turn: Turn,
    },
}

/// A path of straight lines and arcs. `P` is the kind of point: on the page
/// ([`Point`]) or in the model ([`crate::picture::Place`]), never both.
#[derive(Clone, Debug, PartialEq)]
pub struct Path<P> {
    /// Where it begins.
    pub start: P,
    /// What follows.
    pub steps: Vec<Step<P>>,
    /// Whether it comes back.
    pub end: End,
}

/// An arc as its radius, the angle where it begins and how far it turns.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sweep {
    pub radius_mm: f64,
    pub from_rad: f64,
    /// Anticlockwise on the page when positive.
    pub sweep_rad: f64,
}

/// Angles nearer than this are one direction: 0.0001 mm at the far side of A4.
const SAME_DIRECTION_RAD: f64 = 3e-7;

impl Sweep {
    pub(crate) fn of(from: Point, centre: Point, to: Point, turn: Turn) -> Self {
        let from_rad = centre.direction_rad(from);
        let anticlockwise = (centre.direction_rad(to) - from_rad).rem_euclid(TAU);
        let closes = !(SAME_DIRECTION_RAD..=TAU - SAME_DIRECTION_RAD).contains(&anticlockwise);
        let sweep_rad = match (turn, closes) {
            (Turn::Anticlockwise, true) => TAU,
            (Turn::Clockwise, true) => -TAU,
            (Turn::Anticlockwise, false) => anticlockwise,
            (Turn::Clockwise, false) => anticlockwise - TAU,
        };
        Self { radius_mm: centre.distance_mm(from), from_rad, sweep_rad }
    }
}

impl<P: Copy> Path<P> {
    /// A path that begins here.
    pub fn from(start: P) -> Self {
        Self { start, steps: Vec::new(), end: End::Open }
    }

    /// Goes straight on to a point.
    #[must_use]
    pub fn to(mut self, to: P) -> Self {
        self.steps.push(Step::To(to));
        self
    }

    /// Goes round a centre to a point.
    #[must_use]
    pub fn arc(mut self, centre: P, to: P, turn: Turn) -> Self {
        self.steps.push(Step::Arc { centre, to, turn });
        self
    }

    /// Comes back to the start, or does not.
    #[must_use]
    pub fn ending(mut self, end: End) -> Self {
        self.end = end;
        self
    }

    /// The same path with every point put elsewhere by a move, turn or scale
    /// that does not mirror it.
    #[must_use]
    pub fn map<Q: Copy>(&self, put: impl Fn(P) -> Q) -> Path<Q> {
        Path {
            start: put(self.start),
            steps: self
                .steps
                .iter()
                .map(|step| match *step {
                    Step::To(to) => Step::To(put(to)),
                    Step::Arc { centre, to, turn } => Step::Arc { centre: put(centre), to: put(to), turn },
                })
                .collect(),
            end: self.end,
        }
    }
}

impl Path<Point> {
    /// The least box that holds the path.
    pub fn bounds(&self) -> Bounds {
        let mut bounds = Bounds::around([self.start]);
        let mut at = self.start;
        for step in &self.steps {
            match *step {
                Step::To(to) => {
                    bounds = bounds.union(Bounds::around([to]));
                    at = to;
                }
                Step::Arc { centre, to, turn } => {
                    let Sweep { radius_mm, from_rad, sweep_rad } = Sweep::of(at, centre, to, turn);
                    bounds = bounds.union(Bounds::around([to]));
                    let (low, high) = if sweep_rad < 0.0 {
                        (from_rad + sweep_rad, from_rad)
                    } else {
                        (from_rad, from_rad + sweep_rad)
                    };
                    // The four crowns of the circle, where the arc passes them.
                    let mut quarter = (low / FRAC_PI_2).ceil();
                    while quarter * FRAC_PI_2 <= high {
                        let crown = centre.polar(radius_mm, quarter * FRAC_PI_2);
                        bounds = bounds.union(Bounds::around([crown]));
                        quarter += 1.0;
                    }
                    at = to;
                }
            }
        }
        bounds
    }

    /// The path as short straight lines that leave it by no more than
    /// `sag_mm`; a closed path ends on its first point.
    pub fn flattened(&self, sag_mm: f64) -> Vec<Point> {
        let mut points = vec![self.start];
        let mut at = self.start;
        for step in &self.steps {
            match *step {
                Step::To(to) => {
                    points.push(to);
                    at = to;
                }
                Step::Arc { centre, to, turn } => {
                    let Sweep { radius_mm, from_rad, sweep_rad } = Sweep::of(at, centre, to, turn);
                    // A chord over angle t sags by r(1 - cos(t/2)).
                    let chord_rad = 2.0 * (1.0 - (sag_mm / radius_mm).min(1.0)).acos();
                    let pieces = (sweep_rad.abs() / chord_rad).ceil().clamp(1.0, 720.0);
                    for n in 1..pieces as u32 {
                        points.push(centre.polar(radius_mm, from_rad + sweep_rad * f64::from(n) / pieces));
                    }
                    points.push(to);
                    at = to;
                }
            }
        }
        if self.end == End::Closed {
            points.push(self.start);
        }
        points
    }
}
