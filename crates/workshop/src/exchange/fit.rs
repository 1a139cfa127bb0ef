//! Curves as lines and arcs, within a stated distance.
//!
//! Each piece between two cuts is tried as a line, as one arc, then as two arcs
//! that leave and arrive along the curve; where none lies close enough the piece
//! is halved. The distance is measured at many points of the curve, and the
//! worst is told.
//!
//! Source of the pair of arcs: K. M. Bolton, "Biarc curves", Computer-Aided
//! Design 7 (1975).

use std::f64::consts::TAU;

use crate::geometry::{Point, Segment, within_turn};

/// A curve as lines and arcs.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fitted {
    /// The lines and arcs, in order.
    pub segments: Vec<Segment>,
    /// How far the curve lies from them at most, in millimetres.
    pub worst_mm: f64,
}

impl Fitted {
    /// A thing that is a line or an arc already.
    pub fn exactly(segment: Segment) -> Self {
        Self { segments: vec![segment], worst_mm: 0.0 }
    }
}

/// A curve in pieces: the piece and the place in it give a point and the way there.
type Curve<'a> = dyn Fn(usize, f64) -> (Point, Point) + 'a;

/// How often a piece is halved at most: enough for a millionth of its length.
const MOST_HALVINGS: u32 = 18;
/// The points of a piece at which the distance is measured.
const MEASURED_AT: u32 = 16;
/// A line counts as straight within this share of the distance allowed: where
/// an arc would serve, a chord is not taken.
const STRAIGHT: f64 = 0.01;
/// One arc may leave the direction of the curve by this much at its ends, in radians.
const SAME_WAY_RAD: f64 = 0.02;

/// Lines and arcs within `within_mm` of a curve, piece by piece between the cuts.
pub(super) fn fit(cuts: &[f64], curve: &Curve<'_>, within_mm: f64) -> Fitted {
    let mut fitted = Fitted { segments: Vec::new(), worst_mm: 0.0 };
    for (piece, ends) in cuts.windows(2).enumerate() {
        halve(&Piece { curve, piece, from: ends[0], to: ends[1] }, within_mm, 0, &mut fitted);
    }
    fitted
}

struct Piece<'a> {
    curve: &'a Curve<'a>,
    piece: usize,
    from: f64,
    to: f64,
}

impl Piece<'_> {
    fn at(&self, share: f64) -> (Point, Point) {
        (self.curve)(self.piece, self.from + (self.to - self.from) * share)
    }

    fn point(&self, share: f64) -> Point {
        self.at(share).0
    }

    /// The direction at an end; where the curve stands still there, the
    /// direction in which it sets off.
    fn way(&self, share: f64) -> Option<Point> {
        let inner = if share < 0.5 { share + 1e-4 } else { share - 1e-4 };
        let chord = (self.point(inner) - self.point(share)).times(if share < 0.5 { 1.0 } else { -1.0 });
        let slope = self.at(share).1;
        // A slope that does not fit the first step is the grain of the numbers.
        let way = if slope.dot(chord) > 0.5 * slope.norm_mm() * chord.norm_mm() { slope } else { chord };
        let length = way.norm_mm();
        (length > 0.0 && length.is_finite()).then(|| way.times(1.0 / length))
    }

    /// How far the piece lies from some lines and arcs at most.
    fn distance_mm(&self, from: &[Segment]) -> f64 {
        (1..MEASURED_AT)
            .map(|i| {
                let at = self.point(f64::from(i) / f64::from(MEASURED_AT));
                from.iter().map(|s| s.nearest(at).distance_mm(at)).fold(f64::INFINITY, f64::min)
            })
            .fold(0.0, f64::max)
    }
}

fn halve(piece: &Piece<'_>, within_mm: f64, halvings: u32, fitted: &mut Fitted) {
    let (start, end) = (piece.point(0.0), piece.point(1.0));
    let line = Segment::line(start, end);
    let off_line_mm = piece.distance_mm(&[line]);
    if off_line_mm <= within_mm * STRAIGHT || halvings == MOST_HALVINGS {
        if start != end {
            fitted.segments.push(line);
        }
        fitted.worst_mm = fitted.worst_mm.max(off_line_mm);
        return;
    }
    for tried in [one_arc(piece), two_arcs(piece)].into_iter().flatten() {
        let off_mm = piece.distance_mm(&tried);
        if off_mm <= within_mm {
            fitted.segments.extend(tried);
            fitted.worst_mm = fitted.worst_mm.max(off_mm);
            return;
        }
    }
    let middle = f64::midpoint(piece.from, piece.to);
    halve(&Piece { to: middle, ..*piece }, within_mm, halvings + 1, fitted);
    halve(&Piece { from: middle, ..*piece }, within_mm, halvings + 1, fitted);
}

/// The arc through both ends and the middle, where it runs along the curve.
fn one_arc(piece: &Piece<'_>) -> Option<Vec<Segment>> {
    let (start, middle, end) = (piece.point(0.0), piece.point(0.5), piece.point(1.0));
    let segment = through(start, middle, end)?;
    let Segment::Arc(arc) = segment else { return None };
    let sense = arc.sweep_rad.signum();
    let along = |rad: f64| Point::ORIGIN.polar(1.0, rad + sense * TAU / 4.0);
    let same = |way: Point, rad: f64| way.dot(along(rad)) >= SAME_WAY_RAD.cos();
    (same(piece.way(0.0)?, arc.start_rad) && same(piece.way(1.0)?, arc.end_rad())).then(|| vec![segment])
}

/// The arc through three points; none when they lie in line.
pub(super) fn through(start: Point, middle: Point, end: Point) -> Option<Segment> {
    let (a, b) = (middle - start, end - start);
    let twice = 2.0 * a.cross(b);
    if twice.abs() <= 1e-12 * b.norm_mm() * a.norm_mm() {
        return None;
    }
    let (aa, bb) = (a.dot(a), b.dot(b));
    let from_start = Point::new((b.y_mm * aa - a.y_mm * bb) / twice, (a.x_mm * bb - b.x_mm * aa) / twice);
    let centre = start + from_start;
    let (from, to) = (centre.direction_rad(start), centre.direction_rad(end));
    let sweep = if twice > 0.0 { within_turn(to - from) } else { -within_turn(from - to) };
    Some(Segment::arc(centre, from_start.norm_mm(), from, sweep))
}

/// Two arcs of equal tangent lengths, along the curve at both ends.
fn two_arcs(piece: &Piece<'_>) -> Option<Vec<Segment>> {
    let (start, end) = (piece.point(0.0), piece.point(1.0));
    let (out, into) = (piece.way(0.0)?, piece.way(1.0)?);
    let chord = end - start;
    let (lean, part) = (chord.dot(out + into), 2.0 * (1.0 - out.dot(into)));
    let square = chord.dot(chord);
    let tangent = if part > 1e-12 {
        ((lean * lean + part * square).sqrt() - lean) / part
    } else if lean > 0.0 {
        square / (2.0 * lean)
    } else {
        return None;
    };
    let joint = (start + out.times(tangent) + end - into.times(tangent)).times(0.5);
    let first = leaving(start, out, joint)?;
    let second = leaving(end, into.times(-1.0), joint)?.reversed();
    Some(vec![first, second])
}

/// The arc that leaves a point in a direction and reaches another; a line where
/// the other lies straight ahead.
fn leaving(start: Point, way: Point, end: Point) -> Option<Segment> {
    let chord = end - start;
    let length = chord.norm_mm();
    if length <= 0.0 || !length.is_finite() {
        return None;
    }
    let aside = way.cross(chord);
    if aside.abs() <= 1e-9 * length {
        return (way.dot(chord) > 0.0).then(|| Segment::line(start, end));
    }
    // The centre lies square to the way, on the side to which the end lies.
    let radius = chord.dot(chord) / (2.0 * aside);
    let centre = start + Point::new(-way.y_mm, way.x_mm).times(radius);
    let (from, to) = (centre.direction_rad(start), centre.direction_rad(end));
    let sweep = if radius > 0.0 { within_turn(to - from) } else { -within_turn(from - to) };
    Some(Segment::arc(centre, radius.abs(), from, sweep))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exchange::spline::Spline;
    use proptest::prelude::*;

    fn fitted(spline: &Spline, within_mm: f64) -> Fitted {
        let (spans, cuts) = spline.spans();
        fit(&cuts, &|piece, t| spline.at(spans[piece], t), within_mm)
    }

    #[test]
    fn a_quarter_circle_drawn_as_a_bezier_comes_back_as_one_arc() {
        // 0.5523 is the usual handle of a quarter circle; its middle lies on the circle.
        let handle = 10.0 * 4.0 / 3.0 * (2.0_f64.sqrt() - 1.0);
        let p = Point::new;
        let quarter = Spline::bezier(&[p(10.0, 0.0), p(10.0, handle), p(handle, 10.0), p(0.0, 10.0)]);
        let fitted = fitted(&quarter, 0.01);
        let [Segment::Arc(arc)] = fitted.segments[..] else { panic!("{fitted:?}") };
        assert!((arc.radius_mm - 10.0).abs() < 1e-9 && arc.centre.norm_mm() < 1e-9, "{arc:?}");
        // The Bézier bulges by 0.027 per cent of its radius.
        assert!((fitted.worst_mm - 0.0027).abs() < 2e-4, "{}", fitted.worst_mm);
    }

    #[test]
    fn a_straight_bezier_is_one_line() {
        let p = Point::new;
        let straight = Spline::bezier(&[p(0.0, 0.0), p(1.0, 1.0), p(2.0, 2.0), p(9.0, 9.0)]);
        assert_eq!(fitted(&straight, 0.01).segments, [Segment::line(p(0.0, 0.0), p(9.0, 9.0))]);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        /// However a Bézier lies, loops, cusps and doubled points among them, the
        /// arcs begin and end with it, meet each other, and no point of it, taken
        /// at other places than the fit looks at, is farther off than allowed.
        #[test]
        fn every_bezier_is_followed_within_the_distance(
            xs in prop::array::uniform8(-20i32..=20), within_mm in prop::sample::select(vec![0.1, 0.01, 0.002]),
        ) {
            let p: Vec<Point> = (0..4).map(|i| Point::new(f64::from(xs[i]), f64::from(xs[i + 4]))).collect();
            prop_assume!(p.iter().any(|q| q.distance_mm(p[0]) > 0.5));
            let spline = Spline::bezier(&p);
            let fitted = fitted(&spline, within_mm);
            prop_assert!(fitted.worst_mm <= within_mm);
            prop_assert!(fitted.segments[0].start().distance_mm(p[0]) < 1e-6);
            prop_assert!(fitted.segments.last().unwrap().end().distance_mm(p[3]) < 1e-6);
            for pair in fitted.segments.windows(2) {
                prop_assert!(pair[0].end().distance_mm(pair[1].start()) < 1e-6);
            }
            for i in 0..=301 {
                let at = spline.at(3, f64::from(i) / 301.0).0;
                let off = fitted.segments.iter().map(|s| s.nearest(at).distance_mm(at)).fold(f64::MAX, f64::min);
                prop_assert!(off <= within_mm * 1.1, "{off} at {i}");
            }
        }
    }
}
