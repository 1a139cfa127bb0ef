//! The path: every command, plain and relative.

use std::f64::consts::TAU;

use svgtypes::{PathParser, PathSegment};

use crate::exchange::spline::Spline;
use crate::exchange::stroke::{Round, Stroke};
use crate::geometry::{Point, within_turn};
use crate::problem::Problem;

/// What a path draws.
pub(super) fn strokes(data: &str) -> Result<Vec<Stroke>, Problem> {
    let mut pen = Pen::default();
    for segment in PathParser::from(data) {
        let segment = segment.map_err(|fault| {
            Problem::new("cannot read a path")
                .why(fault.to_string())
                .mend("save the file again from the program that drew it")
        })?;
        pen.draw(segment);
    }
    Ok(pen.strokes)
}

/// Where the path has got to.
#[derive(Default)]
struct Pen {
    strokes: Vec<Stroke>,
    begun: Point,
    at: Point,
    /// The last handle of the curve just drawn, where the next may go on smoothly.
    cubic: Option<Point>,
    quadratic: Option<Point>,
}

impl Pen {
    fn draw(&mut self, segment: PathSegment) {
        let from = |abs: bool| if abs { Point::ORIGIN } else { self.at };
        let (cubic, quadratic) = (self.cubic.take(), self.quadratic.take());
        // A smooth curve begins with the handle before it, turned about where they meet.
        let mirrored = |handle: Option<Point>| handle.map_or(self.at, |handle| self.at.times(2.0) - handle);
        match segment {
            PathSegment::MoveTo { abs, x, y } => {
                self.at = from(abs) + Point::new(x, y);
                self.begun = self.at;
            }
            PathSegment::LineTo { abs, x, y } => self.line_to(from(abs) + Point::new(x, y)),
            PathSegment::HorizontalLineTo { abs, x } => {
                self.line_to(Point::new(from(abs).x_mm + x, self.at.y_mm));
            }
            PathSegment::VerticalLineTo { abs, y } => {
                self.line_to(Point::new(self.at.x_mm, from(abs).y_mm + y));
            }
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                let o = from(abs);
                self.cubic_to(o + Point::new(x1, y1), o + Point::new(x2, y2), o + Point::new(x, y));
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let (o, first) = (from(abs), mirrored(cubic));
                self.cubic_to(first, o + Point::new(x2, y2), o + Point::new(x, y));
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                let o = from(abs);
                self.quadratic_to(o + Point::new(x1, y1), o + Point::new(x, y));
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                let (o, handle) = (from(abs), mirrored(quadratic));
                self.quadratic_to(handle, o + Point::new(x, y));
            }
            PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let end = from(abs) + Point::new(x, y);
                let arc = Arc { rx, ry, turned_rad: x_axis_rotation.to_radians(), large_arc, sweep };
                self.strokes.extend(arc.stroke(self.at, end));
                self.at = end;
            }
            PathSegment::ClosePath { .. } => {
                // Written to so many digits, a path may come back to its beginning all but exactly.
                if self.at.distance_mm(self.begun) > 1e-9 * (1.0 + self.begun.norm_mm()) {
                    self.line_to(self.begun);
                }
                self.at = self.begun;
            }
        }
    }

    fn line_to(&mut self, end: Point) {
        if end != self.at {
            self.strokes.push(Stroke::line(self.at, end));
        }
        self.at = end;
    }

    fn cubic_to(&mut self, first: Point, second: Point, end: Point) {
        if [first, second, end].iter().any(|p| *p != self.at) {
            self.strokes.push(Stroke::Spline(Spline::bezier(&[self.at, first, second, end])));
        }
        self.at = end;
        self.cubic = Some(second);
    }

    fn quadratic_to(&mut self, handle: Point, end: Point) {
        if handle != self.at || end != self.at {
            self.strokes.push(Stroke::Spline(Spline::bezier(&[self.at, handle, end])));
        }
        self.at = end;
        self.quadratic = Some(handle);
    }
}

/// An elliptical arc as a path gives it.
struct Arc {
    rx: f64,
    ry: f64,
    turned_rad: f64,
    large_arc: bool,
    sweep: bool,
}

impl Arc {
    /// By its centre: the implementation notes of SVG 1.1, F.6.5 and F.6.6.
    fn stroke(&self, start: Point, end: Point) -> Option<Stroke> {
        if start == end {
            return None;
        }
        let (mut rx, mut ry) = (self.rx.abs(), self.ry.abs());
        if rx == 0.0 || ry == 0.0 {
            return Some(Stroke::line(start, end));
        }
        let half = (start - end).times(0.5).rotated(-self.turned_rad);
        // Radii too small to reach are made just large enough.
        let short = (half.x_mm / rx).powi(2) + (half.y_mm / ry).powi(2);
        if short > 1.0 {
            rx *= short.sqrt();
            ry *= short.sqrt();
        }
        let (u, v) = (half.x_mm / rx, half.y_mm / ry);
        let square = u * u + v * v;
        let out = (1.0 / square - 1.0).max(0.0).sqrt();
        let side = if self.large_arc == self.sweep { -out } else { out };
        // In the plane where the ellipse is the unit circle about this centre.
        let centre = Point::new(side * v, -side * u);
        let from = centre.direction_rad(Point::new(u, v));
        let to = centre.direction_rad(Point::new(-u, -v));
        let sweep_rad = if self.sweep { within_turn(to - from) } else { -within_turn(from - to) };
        let middle = Point::new(centre.x_mm * rx, centre.y_mm * ry).rotated(self.turned_rad);
        Some(Stroke::Round(Round {
            centre: middle + (start + end).times(0.5),
            u: Point::new(rx, 0.0).rotated(self.turned_rad),
            v: Point::new(0.0, ry).rotated(self.turned_rad),
            start_rad: from,
            sweep_rad: sweep_rad.clamp(-TAU, TAU),
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Segment;
    use proptest::prelude::*;

    fn ends(data: &str) -> Vec<(Point, Point)> {
        let fitted = |stroke: &Stroke| {
            let segments = stroke.fitted(1e-3).segments;
            (segments[0].start(), segments.last().unwrap().end())
        };
        strokes(data).unwrap().iter().map(fitted).collect()
    }

    /// The same square in every way that a path has of drawing straight lines.
    #[test]
    fn relative_and_plain_commands_draw_the_same() {
        let square = ends("M1 2 L5 2 L5 6 L1 6 Z");
        assert_eq!(square.len(), 4);
        for same in
            ["m1 2 4 0 0 4 -4 0z", "M1 2H5V6H1Z", "M1,2h4v4h-4z", "M1 2 5 2 5 6 1 6Z", "m1 2l4 0 0 4-4 0z"]
        {
            assert_eq!(ends(same), square, "{same}");
        }
        assert!(strokes("M 1 2 L").is_err());
        // After closing, the next part begins where the last one did.
        assert_eq!(ends("M1 2h4v4z l1 1")[3].0, Point::new(1.0, 2.0));
    }

    #[test]
    fn the_four_arcs_between_two_points_are_told_apart() {
        // Radius 5 from (0, 0) to (6, 0): the centre is at (3, ±4). Y runs down here.
        for (flags, centre_y, sweep) in
            [("0 0", -4.0, -1.287), ("0 1", 4.0, 1.287), ("1 0", 4.0, -4.996), ("1 1", -4.0, 4.996)]
        {
            let read = strokes(&format!("M0 0A5 5 0 {flags} 6 0")).unwrap();
            let Segment::Arc(arc) = read[0].fitted(0.01).segments[0] else { panic!("{read:?}") };
            assert!(arc.centre.distance_mm(Point::new(3.0, centre_y)) < 1e-9, "{flags}: {arc:?}");
            assert!((arc.sweep_rad - sweep).abs() < 1e-3, "{flags}: {arc:?}");
        }
        // Too small to reach: half a turn on the chord.
        let read = strokes("M0 0A1 1 0 0 1 6 0").unwrap();
        let Segment::Arc(arc) = read[0].fitted(0.01).segments[0] else { panic!("{read:?}") };
        assert!((arc.radius_mm - 3.0).abs() < 1e-9);
    }

    #[test]
    fn smooth_curves_go_on_from_the_handle_before() {
        let plain = "M0 0C0 4 4 8 8 8 C12 8 16 4 16 0";
        assert_eq!(strokes("M0 0C0 4 4 8 8 8S16 4 16 0").unwrap(), strokes(plain).unwrap());
        assert_eq!(strokes("M0 0Q4 8 8 0T16 0").unwrap(), strokes("M0 0Q4 8 8 0Q12-8 16 0").unwrap());
        // A curve of the other kind leaves no handle to go on from.
        assert_eq!(strokes("M0 0C0 4 4 8 8 8T16 0").unwrap(), strokes("M0 0C0 4 4 8 8 8Q8 8 16 0").unwrap());
        // With no curve before it the handle is where the pen is.
        assert_eq!(strokes("M0 0S4 8 8 8").unwrap(), strokes("M0 0C0 0 4 8 8 8").unwrap());
    }

    proptest! {
        #[test]
        fn an_arc_runs_from_where_the_pen_is_to_where_it_is_sent(
            rx in 0.5..20.0f64, ry in 0.5..20.0f64, turn in -180.0..180.0f64,
            large: bool, sweep: bool, x in -20.0..20.0f64, y in -20.0..20.0f64,
        ) {
            prop_assume!(x.hypot(y) > 0.1);
            let data = format!("M3 4A{rx} {ry} {turn} {} {} {} {}", u8::from(large), u8::from(sweep), x + 3.0, y + 4.0);
            let (start, end) = ends(&data)[0];
            prop_assert!(start.distance_mm(Point::new(3.0, 4.0)) < 1e-6);
            prop_assert!(end.distance_mm(Point::new(x + 3.0, y + 4.0)) < 1e-6);
        }

        #[test]
        fn no_text_makes_the_reader_panic(text in "[MmLlHhVvCcSsQqTtAaZz0-9 .,eE+-]{0,80}") {
            for stroke in strokes(&text).unwrap_or_default() {
                if stroke.reach() <= 1e7 {
                    prop_assert!(stroke.fitted(0.01).segments.len() < 1_000_000);
                }
            }
        }
    }
}
