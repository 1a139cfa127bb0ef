//! Equations of place that are not sums of dimensions, and their slopes.
//!
//! Three shapes cover every statement: so far apart, as far apart as, and so far
//! along or off a direction. Each gives a residual in millimetres and how fast
//! it changes with each coordinate, so that Newton's method can solve it and the
//! place's dependence on the dimensions is known without trial steps.

use super::Linear;
use super::rows::Unknown;
use crate::measure::Length;

/// A point as its two coordinates in the plane of the feature; `None` is nought,
/// where the datum lies.
pub(super) type Spot = [Option<Unknown>; 2];

/// What an equation compares.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Shape {
    /// The distance between two points.
    Apart(Spot, Spot),
    /// The distance between the first two less that between the others.
    Alike([Spot; 4]),
    /// A sum of points, measured along a direction.
    Along { sum: Vec<(Spot, f64)>, direction: Direction },
}

/// A direction in the plane.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Direction {
    /// The same whatever the sizes.
    Fixed([f64; 2]),
    /// That of the way between two points, turned by an angle of this cosine and sine.
    Line { from: Spot, to: Spot, turn: [f64; 2] },
}

/// One way in which an equation may hold.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Reach {
    /// What the shape comes to.
    pub(super) is: Linear,
    /// The words that say so, where the statement leaves a choice.
    pub(super) words: &'static str,
}

/// An equation: a shape, and what it may come to.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Curve {
    pub(super) shape: Shape,
    /// One, or several where the words leave a choice.
    pub(super) reaches: Vec<Reach>,
    /// Which statement says it.
    pub(super) source: usize,
}

/// What a shape comes to at given coordinates, and how fast that changes with each.
pub(super) struct Slope {
    pub(super) value_mm: f64,
    pub(super) by: Vec<(Unknown, f64)>,
}

/// Coordinates of every unknown, in millimetres.
pub(super) trait Coordinates {
    fn at_mm(&self, unknown: Unknown) -> f64;
}

impl Coordinates for [f64] {
    fn at_mm(&self, unknown: Unknown) -> f64 {
        self[unknown]
    }
}

/// Below this two points give no direction.
const NO_WAY_MM: f64 = 1e-12;

fn point<C: Coordinates + ?Sized>(spot: &Spot, at: &C) -> [f64; 2] {
    spot.map(|unknown| unknown.map_or(0.0, |unknown| at.at_mm(unknown)))
}

fn way<C: Coordinates + ?Sized>(from: &Spot, to: &Spot, at: &C) -> [f64; 2] {
    let ([x, y], [tx, ty]) = (point(from, at), point(to, at));
    [tx - x, ty - y]
}

/// A unit vector and its length; to the right where there is no way.
fn unit([x, y]: [f64; 2]) -> ([f64; 2], f64) {
    let long_mm = x.hypot(y);
    if long_mm > NO_WAY_MM { ([x / long_mm, y / long_mm], long_mm) } else { ([1.0, 0.0], NO_WAY_MM) }
}

impl Shape {
    /// What it comes to, and its slopes.
    pub(super) fn slope<C: Coordinates + ?Sized>(&self, at: &C) -> Slope {
        let mut by = Vec::new();
        let value_mm = match self {
            Self::Apart(a, b) => apart(a, b, 1.0, at, &mut by),
            Self::Alike([a, b, c, d]) => apart(a, b, 1.0, at, &mut by) + apart(c, d, -1.0, at, &mut by),
            Self::Along { sum, direction } => along(sum, direction, at, &mut by),
        };
        Slope { value_mm, by }
    }

    /// Every unknown it reads.
    pub(super) fn unknowns(&self) -> Vec<Unknown> {
        let spots: Vec<&Spot> = match self {
            Self::Apart(a, b) => vec![a, b],
            Self::Alike(all) => all.iter().collect(),
            Self::Along { sum, direction } => {
                let line = match direction {
                    Direction::Fixed(_) => Vec::new(),
                    Direction::Line { from, to, .. } => vec![from, to],
                };
                sum.iter().map(|(spot, _)| spot).chain(line).collect()
            }
        };
        let mut all: Vec<Unknown> = spots.into_iter().flatten().flatten().copied().collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

/// Adds `sign` times the slopes of a distance; returns `sign` times the distance.
fn apart<C: Coordinates + ?Sized>(
    a: &Spot,
    b: &Spot,
    sign: f64,
    at: &C,
    by: &mut Vec<(Unknown, f64)>,
) -> f64 {
    let (u, long_mm) = unit(way(b, a, at));
    for axis in 0..2 {
        by.extend(a[axis].map(|unknown| (unknown, sign * u[axis])));
        by.extend(b[axis].map(|unknown| (unknown, -sign * u[axis])));
    }
    sign * long_mm
}

fn along<C: Coordinates + ?Sized>(
    sum: &[(Spot, f64)],
    direction: &Direction,
    at: &C,
    by: &mut Vec<(Unknown, f64)>,
) -> f64 {
    let mut total = [0.0; 2];
    for (spot, times) in sum {
        let [x, y] = point(spot, at);
        total = [total[0] + times * x, total[1] + times * y];
    }
    let n = match direction {
        Direction::Fixed(n) => *n,
        Direction::Line { from, to, turn: [cos, sin] } => {
            let (u, long_mm) = unit(way(from, to, at));
            // The turned way changes only square to itself, the slower the longer it is.
            let turned_back = [cos * total[0] + sin * total[1], cos * total[1] - sin * total[0]];
            let with = turned_back[0] * u[0] + turned_back[1] * u[1];
            for axis in 0..2 {
                let slope = (turned_back[axis] - with * u[axis]) / long_mm;
                by.extend(to[axis].map(|unknown| (unknown, slope)));
                by.extend(from[axis].map(|unknown| (unknown, -slope)));
            }
            [cos * u[0] - sin * u[1], sin * u[0] + cos * u[1]]
        }
    };
    for (spot, times) in sum {
        for axis in 0..2 {
            by.extend(spot[axis].map(|unknown| (unknown, times * n[axis])));
        }
    }
    total[0] * n[0] + total[1] * n[1]
}

/// A sum of dimensions in millimetres, at given sizes.
pub(super) fn reach_mm(sum: &Linear, sizes: &[Length]) -> f64 {
    sum.value(sizes).as_mm()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn shapes() -> Vec<Shape> {
        let spot = |n: usize| [Some(2 * n), Some(2 * n + 1)];
        let line = |turn| Direction::Line { from: spot(1), to: spot(2), turn };
        vec![
            Shape::Apart(spot(0), spot(1)),
            Shape::Apart(spot(0), [None, Some(3)]),
            Shape::Alike([spot(0), spot(1), spot(0), spot(2)]),
            Shape::Along { sum: vec![(spot(0), 1.0), (spot(1), -1.0)], direction: line([0.0, 1.0]) },
            Shape::Along { sum: vec![(spot(0), 1.0), (spot(3), -1.0)], direction: line([0.8, 0.6]) },
            Shape::Along {
                sum: vec![(spot(0), 0.5), (spot(3), 0.5), (spot(1), -1.0)],
                direction: line([0.0, 1.0]),
            },
            Shape::Along {
                sum: vec![(spot(0), 1.0), (spot(3), -1.0)],
                direction: Direction::Fixed([0.6, -0.8]),
            },
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// Each slope against the difference of two values a small step apart.
        #[test]
        fn slopes_are_what_small_steps_show(at in prop::collection::vec(-50.0f64..50.0, 8)) {
            // Points nearer than this turn too fast for a step to measure.
            prop_assume!((0..4).all(|i| (0..i).all(|j| {
                (at[2 * i] - at[2 * j]).hypot(at[2 * i + 1] - at[2 * j + 1]) > 1.0
            })));
            prop_assume!(at[0].hypot(at[1] - at[3]) > 1.0);
            for shape in shapes() {
                let slope = shape.slope(at.as_slice());
                for unknown in shape.unknowns() {
                    let said: f64 = slope.by.iter().filter(|(u, _)| *u == unknown).map(|(_, by)| by).sum();
                    let moved = |step: f64| {
                        let mut to = at.clone();
                        to[unknown] += step;
                        shape.slope(to.as_slice()).value_mm
                    };
                    let seen = (moved(1e-5) - moved(-1e-5)) / 2e-5;
                    prop_assert!((said - seen).abs() < 1e-5, "{shape:?} by {unknown}: {said} and {seen}");
                }
            }
        }
    }
}
