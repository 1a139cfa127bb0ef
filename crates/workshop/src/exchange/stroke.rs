//! What a file draws with: straight lines, rounds and splines, before any of
//! them is turned into lines and arcs.

use std::f64::consts::{FRAC_PI_2, TAU};

use super::affine::Affine;
use super::fit::{Fitted, fit};
use super::spline::Spline;
use crate::geometry::{Arc, Line, Point, Segment};

/// One thing drawn, in the units of its file.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Stroke {
    /// A straight line.
    Line(Line),
    /// Part of a circle or of an ellipse.
    Round(Round),
    /// A spline or a Bézier curve.
    Spline(Spline),
}

/// Part of an ellipse: `centre + u cos t + v sin t`.
///
/// `u` and `v` need not be square to each other, so that every stretch and skew
/// of a circle is one as well.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Round {
    pub centre: Point,
    pub u: Point,
    pub v: Point,
    pub start_rad: f64,
    pub sweep_rad: f64,
}

/// Within this share of its radius an ellipse is a circle: far less than any
/// file's last digit, more than what transforming one costs.
const CIRCLE: f64 = 1e-7;

impl Stroke {
    /// A line between two points.
    pub const fn line(start: Point, end: Point) -> Self {
        Self::Line(Line::new(start, end))
    }

    /// Part of a circle, anticlockwise where the sweep is positive.
    pub const fn arc(centre: Point, radius: f64, start_rad: f64, sweep_rad: f64) -> Self {
        let (u, v) = (Point::new(radius, 0.0), Point::new(0.0, radius));
        Self::Round(Round { centre, u, v, start_rad, sweep_rad })
    }

    /// From one point of a polyline to the next; `bulge` is the tangent of a
    /// quarter of the angle that the arc between them turns through.
    pub fn bulged(start: Point, end: Point, bulge: f64) -> Self {
        if bulge == 0.0 {
            return Self::line(start, end);
        }
        let chord = end - start;
        let left = Point::new(-chord.y_mm, chord.x_mm);
        let middle = start + chord.times(0.5);
        let centre = middle + left.times((1.0 - bulge * bulge) / (4.0 * bulge));
        let radius = centre.distance_mm(start);
        Self::arc(centre, radius, centre.direction_rad(start), 4.0 * bulge.atan())
    }

    /// The same, moved or scaled.
    pub fn transformed(&self, by: Affine) -> Self {
        match self {
            Self::Line(line) => Self::line(by.point(line.start), by.point(line.end)),
            Self::Round(round) => Self::Round(Round {
                centre: by.point(round.centre),
                u: by.way(round.u),
                v: by.way(round.v),
                ..*round
            }),
            Self::Spline(spline) => Self::Spline(spline.transformed(by)),
        }
    }

    /// How far the farthest point that describes it lies from the origin: not a
    /// number when any of them is not.
    pub fn reach(&self) -> f64 {
        let farthest = |points: &[Point]| {
            points.iter().map(|p| p.norm_mm()).fold(0.0, |most: f64, one| {
                if one.is_nan() || most.is_nan() { f64::NAN } else { most.max(one) }
            })
        };
        match self {
            Self::Line(line) => farthest(&[line.start, line.end]),
            Self::Round(round) => {
                farthest(&[round.centre, round.u, round.v, Point::new(round.start_rad, round.sweep_rad)])
            }
            Self::Spline(spline) => farthest(&spline.points()),
        }
    }

    /// As lines and arcs that lie within `within_mm` of it.
    pub fn fitted(&self, within_mm: f64) -> Fitted {
        match self {
            Self::Line(line) => Fitted::exactly(Segment::Line(*line)),
            Self::Round(round) => match round.as_arc() {
                Some(arc) => Fitted::exactly(Segment::Arc(arc)),
                None => {
                    // Cut at the quarters, so that both halves of an ellipse come out alike.
                    let count = (round.sweep_rad.abs() / FRAC_PI_2).ceil().max(1.0);
                    let cuts: Vec<f64> = (0..=count as u32)
                        .map(|i| round.start_rad + round.sweep_rad * f64::from(i) / count)
                        .collect();
                    fit(&cuts, &|_, rad| round.at(rad), within_mm)
                }
            },
            Self::Spline(spline) => {
                let (spans, cuts) = spline.spans();
                fit(&cuts, &|piece, t| spline.at(spans[piece], t), within_mm)
            }
        }
    }
}

impl Round {
    /// The point and the way it moves at an angle.
    fn at(&self, rad: f64) -> (Point, Point) {
        let (sin, cos) = rad.sin_cos();
        let sense = self.sweep_rad.signum();
        let way = self.v.times(cos) - self.u.times(sin);
        (self.centre + self.u.times(cos) + self.v.times(sin), way.times(sense))
    }

    /// As an arc, where it is one.
    fn as_arc(&self) -> Option<Arc> {
        let (a, b) = (self.u.norm_mm(), self.v.norm_mm());
        let radius_mm = (a + b) / 2.0;
        let square = self.u.dot(self.v).abs() <= CIRCLE * radius_mm * radius_mm;
        if !(square && (a - b).abs() <= CIRCLE * radius_mm) {
            return None;
        }
        let turned = if self.u.cross(self.v) >= 0.0 { 1.0 } else { -1.0 };
        Some(Arc {
            centre: self.centre,
            radius_mm,
            start_rad: Point::ORIGIN.direction_rad(self.u) + turned * self.start_rad,
            sweep_rad: turned * self.sweep_rad.clamp(-TAU, TAU),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn end_of(stroke: &Stroke) -> Point {
        stroke.fitted(0.01).segments.last().unwrap().end()
    }

    #[test]
    fn a_bulge_of_one_is_half_a_turn_to_the_left_of_its_chord() {
        let stroke = Stroke::bulged(Point::new(0.0, 0.0), Point::new(10.0, 0.0), 1.0);
        let fitted = stroke.fitted(0.01);
        let Segment::Arc(arc) = fitted.segments[0] else { panic!("{fitted:?}") };
        assert!((arc.radius_mm - 5.0).abs() < 1e-12 && (arc.sweep_rad - TAU / 2.0).abs() < 1e-12);
        // Anticlockwise from left to right runs below.
        assert!(fitted.segments[0].along(0.5).distance_mm(Point::new(5.0, -5.0)) < 1e-9);
    }

    #[test]
    fn a_mirrored_arc_runs_the_other_way_and_a_stretched_one_is_no_arc() {
        let arc = Stroke::arc(Point::new(3.0, 1.0), 2.0, 0.0, FRAC_PI_2);
        let Segment::Arc(seen) = arc.transformed(Affine::FROM_BEHIND).fitted(0.01).segments[0] else {
            panic!("an arc stays an arc")
        };
        assert!(seen.start().distance_mm(Point::new(-5.0, 1.0)) < 1e-12);
        assert!(seen.end().distance_mm(Point::new(-3.0, 3.0)) < 1e-12);
        let stretched = arc.transformed(Affine::scaled(2.0, 1.0)).fitted(0.01);
        assert!(stretched.segments.len() > 1 && stretched.worst_mm > 0.0 && stretched.worst_mm <= 0.01);
        assert!(end_of(&arc.transformed(Affine::scaled(2.0, 1.0))).distance_mm(Point::new(6.0, 3.0)) < 1e-9);
    }

    proptest! {
        #[test]
        fn a_bulge_runs_from_its_first_point_to_its_last(
            (x, y) in (-50.0..50.0f64, -50.0..50.0f64), bulge in -4.0..4.0f64,
        ) {
            let (start, end) = (Point::new(1.0, 2.0), Point::new(x, y));
            prop_assume!(start.distance_mm(end) > 0.01 && bulge.abs() > 1e-4);
            let segment = Stroke::bulged(start, end, bulge).fitted(0.01).segments[0];
            prop_assert!(segment.start().distance_mm(start) < 1e-6);
            prop_assert!(segment.end().distance_mm(end) < 1e-6);
            // The sagitta of an arc is the bulge times half its chord.
            let sagitta = segment.along(0.5).distance_mm(start + (end - start).times(0.5));
            prop_assert!((sagitta - bulge.abs() * start.distance_mm(end) / 2.0).abs() < 1e-6);
        }
    }
}
