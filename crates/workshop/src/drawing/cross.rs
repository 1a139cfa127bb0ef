//! Where two lines or circles cross: every place, found without trying.
//!
//! A curve in one or two coordinates, the rest being known, is mostly a line or a
//! circle. Written as `a·(x² + y²) + b·(x, y) + c`, two of them cross where the
//! line through their crossings meets one.

use super::curved::{Direction, Shape, Spot};
use super::forms::Frame;
use super::rows::Unknown;

/// A line or a circle in the coordinates of a block.
#[derive(Clone, Copy, Debug)]
struct Locus {
    a: f64,
    b: [f64; 2],
    c: f64,
}

/// Curves that come within this of touching are taken to touch: far below what
/// the last digits of a coordinate can tell apart.
const TOUCH_MM: f64 = 1e-12;

/// Every crossing of one curve in one coordinate or two curves in two; `None` where
/// some curve is no line or circle in them.
pub(super) fn crossings(
    curves: &[(&Shape, f64)],
    unknowns: &[Unknown],
    frame: &Frame,
    free: &[f64],
) -> Option<Vec<Vec<f64>>> {
    let (1..=2) = &unknowns.len() else { return None };
    let plane = Plane { unknowns, frame, free };
    let loci: Option<Vec<Locus>> = curves.iter().map(|(shape, reach)| plane.locus(shape, *reach)).collect();
    Some(match loci?.as_slice() {
        [one] if unknowns.len() == 1 => one.roots().into_iter().map(|x| vec![x]).collect(),
        [one, other] if unknowns.len() == 2 => one.meets(other).into_iter().map(|p| p.to_vec()).collect(),
        _ => return None,
    })
}

/// A point as a constant and what each coordinate of the block adds.
#[derive(Clone, Copy)]
struct Moving {
    at: [f64; 2],
    by: [[f64; 2]; 2],
}

impl Moving {
    fn less(self, other: Self) -> Self {
        let minus = |a: [f64; 2], b: [f64; 2]| [a[0] - b[0], a[1] - b[1]];
        Self {
            at: minus(self.at, other.at),
            by: [minus(self.by[0], other.by[0]), minus(self.by[1], other.by[1])],
        }
    }

    fn fixed(&self) -> bool {
        self.by == [[0.0; 2]; 2]
    }

    fn along(&self, n: [f64; 2]) -> Locus {
        let dot = |v: [f64; 2]| v[0] * n[0] + v[1] * n[1];
        Locus { a: 0.0, b: self.by.map(dot), c: dot(self.at) }
    }
}

struct Plane<'a> {
    unknowns: &'a [Unknown],
    frame: &'a Frame,
    free: &'a [f64],
}

impl Plane<'_> {
    fn point(&self, spot: &Spot) -> Moving {
        let mut point = Moving { at: [0.0; 2], by: [[0.0; 2]; 2] };
        for (axis, unknown) in spot.iter().enumerate() {
            let Some(unknown) = *unknown else { continue };
            point.at[axis] = self.frame.constant_mm(unknown);
            for &(free, count) in self.frame.terms(unknown) {
                match self.unknowns.iter().position(|&own| own == free) {
                    Some(own) => point.by[own][axis] += count,
                    // One that is not known yet is only read where it cancels.
                    None if self.free[free].is_finite() => point.at[axis] += count * self.free[free],
                    None => {}
                }
            }
        }
        point
    }

    fn locus(&self, shape: &Shape, reach_mm: f64) -> Option<Locus> {
        match shape {
            Shape::Apart(a, b) => {
                let square = self.square(self.point(a).less(self.point(b)))?;
                Some(Locus { c: square.c - reach_mm * reach_mm, ..square })
            }
            Shape::Alike([a, b, c, d]) => {
                let one = self.square(self.point(a).less(self.point(b)))?;
                let other = self.square(self.point(c).less(self.point(d)))?;
                Some(one.less(&other))
            }
            Shape::Along { sum, direction } => {
                let n = match direction {
                    Direction::Fixed(n) => *n,
                    Direction::Line { from, to, turn: [cos, sin] } => {
                        let way = self.point(to).less(self.point(from));
                        let long_mm = way.at[0].hypot(way.at[1]);
                        if !way.fixed() || long_mm <= TOUCH_MM {
                            return None;
                        }
                        let u = way.at.map(|v| v / long_mm);
                        [cos * u[0] - sin * u[1], sin * u[0] + cos * u[1]]
                    }
                };
                let mut total = Moving { at: [0.0; 2], by: [[0.0; 2]; 2] };
                for (spot, times) in sum {
                    let point = self.point(spot);
                    let minus = Moving {
                        at: point.at.map(|v| -times * v),
                        by: point.by.map(|by| by.map(|v| -times * v)),
                    };
                    total = total.less(minus);
                }
                let line = total.along(n);
                Some(Locus { c: line.c - reach_mm, ..line })
            }
        }
    }

    /// The square of a way, where it is the same in every direction.
    fn square(&self, way: Moving) -> Option<Locus> {
        let dot = |a: [f64; 2], b: [f64; 2]| a[0] * b[0] + a[1] * b[1];
        let [xx, yy, xy] = [(0, 0), (1, 1), (0, 1)].map(|(i, j)| dot(way.by[i], way.by[j]));
        if self.unknowns.len() == 2 && ((xx - yy).abs() > 1e-12 * xx.max(yy) || xy.abs() > 1e-12 * xx.max(yy))
        {
            return None;
        }
        Some(Locus { a: xx, b: way.by.map(|by| 2.0 * dot(by, way.at)), c: dot(way.at, way.at) })
    }
}

impl Locus {
    fn less(&self, other: &Self) -> Self {
        Self { a: self.a - other.a, b: [self.b[0] - other.b[0], self.b[1] - other.b[1]], c: self.c - other.c }
    }

    fn times(&self, by: f64) -> Self {
        Self { a: self.a * by, b: self.b.map(|v| v * by), c: self.c * by }
    }

    /// Where it is nought, in one coordinate.
    fn roots(&self) -> Vec<f64> {
        let (a, b, c) = (self.a, self.b[0], self.c);
        if a == 0.0 {
            return if b == 0.0 { Vec::new() } else { vec![-c / b] };
        }
        let middle = -b / (2.0 * a);
        let half_square = middle * middle - c / a;
        halves(half_square, middle.abs().max((c / a).abs().sqrt())).map(|half| middle + half).collect()
    }

    /// Where two are nought, in two coordinates.
    fn meets(&self, other: &Self) -> Vec<[f64; 2]> {
        let round = |locus: &Self| locus.a != 0.0;
        match (round(self), round(other)) {
            (false, false) => {
                let det = self.b[0] * other.b[1] - self.b[1] * other.b[0];
                let size = self.b[0].hypot(self.b[1]) * other.b[0].hypot(other.b[1]);
                if det.abs() <= 1e-13 * size {
                    return Vec::new();
                }
                vec![[
                    (self.b[1] * other.c - other.b[1] * self.c) / det,
                    (other.b[0] * self.c - self.b[0] * other.c) / det,
                ]]
            }
            (true, false) => self.times(1.0 / self.a).meets_line(other),
            (false, true) => other.times(1.0 / other.a).meets_line(self),
            (true, true) => {
                let (one, other) = (self.times(1.0 / self.a), other.times(1.0 / other.a));
                one.meets_line(&one.less(&other))
            }
        }
    }

    /// Where a circle meets a line.
    fn meets_line(&self, line: &Self) -> Vec<[f64; 2]> {
        let long = line.b[0].hypot(line.b[1]);
        let centre = self.b.map(|v| -v / 2.0);
        let square = centre[0] * centre[0] + centre[1] * centre[1] - self.c;
        if long <= 1e-13 * (1.0 + square.abs().sqrt()) {
            return Vec::new();
        }
        let n = line.b.map(|v| v / long);
        let off = -line.c / long - n[0] * centre[0] - n[1] * centre[1];
        let foot = [centre[0] + off * n[0], centre[1] + off * n[1]];
        halves(square - off * off, square.abs().sqrt())
            .map(|half| [foot[0] - half * n[1], foot[1] + half * n[0]])
            .collect()
    }
}

/// Both roots of a square, one where it is as good as nought, none below it.
fn halves(square: f64, size: f64) -> impl Iterator<Item = f64> {
    let touches = square.abs() <= 2.0 * TOUCH_MM * size.max(TOUCH_MM);
    let both = if touches {
        vec![0.0]
    } else if square > 0.0 {
        vec![-square.sqrt(), square.sqrt()]
    } else {
        Vec::new()
    };
    both.into_iter()
}
