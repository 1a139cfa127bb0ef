//! The road of a cutter's middle along one piece of an outline, the metal on its left.

use std::f64::consts::PI;

use super::clear::TOUCH_MM;
use super::{Arc, Outline, Point, SAME_POINT_MM, Segment, closest};

/// How a cutter goes along a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Road {
    /// Where its middle runs; of a hollow of the cutter's own radius, a line of no length.
    pub road: Segment,
    /// What it cannot reach where the piece begins and ends in an inside corner, along
    /// the piece, in millimetres.
    pub short_mm: [f64; 2],
}

/// The road along a piece of an anticlockwise outline; none where the cutter does not
/// get in, or would cut into another piece.
///
/// At an outside corner the road runs on until the corner is clear; before an inside
/// corner it stops where the cutter touches the next piece.
pub fn road(outline: &Outline, piece: usize, cutter_radius_mm: f64) -> Option<Road> {
    let segments = outline.segments();
    let count = segments.len();
    let own = segments.get(piece)?;
    let before = &segments[(piece + count - 1) % count];
    let after = &segments[(piece + 1) % count];
    let whole = match own {
        Segment::Line(line) => {
            let along = line.direction_rad();
            let beside = |point: Point| point.polar(cutter_radius_mm, along - PI / 2.0);
            // Never farther than a sharp corner of 60° asks.
            let on = |turn_rad: f64| {
                if turn_rad > 1e-9 { cutter_radius_mm * (turn_rad / 2.0).tan().min(2.0) } else { 0.0 }
            };
            let first = on(turn(before, own));
            let last = on(turn(own, after));
            Segment::line(beside(line.start).polar(-first, along), beside(line.end).polar(last, along))
        }
        Segment::Arc(arc) => {
            let radius_mm = arc.radius_mm + cutter_radius_mm * arc.sweep_rad.signum();
            if radius_mm < -SAME_POINT_MM {
                return None;
            }
            if radius_mm <= SAME_POINT_MM {
                Segment::line(arc.centre, arc.centre)
            } else {
                Segment::Arc(Arc { radius_mm, ..*arc })
            }
        }
    };
    let clear = |point: Point| {
        !(outline.contains(point) && outline.distance_mm(point) > SAME_POINT_MM)
            && outline.distance_mm(point) >= cutter_radius_mm - CLEAR_MM
    };
    if whole.length_mm() <= SAME_POINT_MM {
        return clear(whole.start()).then_some(Road { road: whole, short_mm: [0.0; 2] });
    }
    if !clear(whole.along(0.5)) {
        return None;
    }
    let end = |from: f64| {
        if clear(whole.along(from)) {
            return from;
        }
        let (mut bad, mut good) = (from, 0.5);
        for _ in 0..60 {
            let middle = (bad + good) / 2.0;
            if clear(whole.along(middle)) { good = middle } else { bad = middle }
        }
        good
    };
    let (first, last) = (end(0.0), end(1.0));
    let road = match whole {
        Segment::Line(_) => Segment::line(whole.along(first), whole.along(last)),
        Segment::Arc(arc) => Segment::Arc(Arc {
            start_rad: arc.start_rad + arc.sweep_rad * first,
            sweep_rad: arc.sweep_rad * (last - first),
            ..arc
        }),
    };
    let touches = |other: &Segment| closest(&road, other).distance_mm() >= cutter_radius_mm - 2.0 * CLEAR_MM;
    if road.length_mm() <= SAME_POINT_MM || !segments.iter().all(touches) {
        return None;
    }
    let reached = |at: Point| own.nearest(at);
    let short = |end: Point, at: Point| if end.distance_mm(at) > 1e-3 { end.distance_mm(at) } else { 0.0 };
    let short_mm = [short(own.start(), reached(road.start())), short(own.end(), reached(road.end()))];
    Some(Road { road, short_mm })
}

/// A cutter this far into a piece still only touches it: what `f64` leaves of places that
/// the search for touching ones finds.
const CLEAR_MM: f64 = TOUCH_MM / 2.0;

/// How far the outline turns from one piece to the next, to the left.
fn turn(one: &Segment, next: &Segment) -> f64 {
    let heading = |segment: &Segment, at: f64| match segment {
        Segment::Line(line) => line.direction_rad(),
        Segment::Arc(arc) => arc.start_rad + arc.sweep_rad * at + PI / 2.0 * arc.sweep_rad.signum(),
    };
    let (a, b) = (heading(one, 1.0), heading(next, 0.0));
    (b - a).sin().atan2((b - a).cos())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::tangents;
    use crate::measure::Length;

    /// A bracket of 20 by 20 with a bite of 10 by 10 out of its right upper corner.
    fn angle() -> Outline {
        let p = Point::new;
        let at = [p(0.0, 0.0), p(20.0, 0.0), p(20.0, 10.0), p(10.0, 10.0), p(10.0, 20.0), p(0.0, 20.0)];
        let side = |i: usize| Segment::line(at[i], at[(i + 1) % at.len()]);
        Outline::new((0..at.len()).map(side).collect()).unwrap()
    }

    #[test]
    fn a_straight_side_runs_past_outside_corners_and_stops_at_inside_ones() {
        let found = road(&angle(), 0, 3.0).unwrap();
        // Right angles: one radius beyond either end, one radius below the side.
        assert!(found.road.start().distance_mm(Point::new(-3.0, -3.0)) < 1e-6, "{found:?}");
        assert!(found.road.end().distance_mm(Point::new(23.0, -3.0)) < 1e-6, "{found:?}");
        let inside = road(&angle(), 2, 3.0).unwrap();
        assert!(inside.road.end().distance_mm(Point::new(13.0, 13.0)) < 1e-3, "{inside:?}");
        assert!((inside.short_mm[1] - 3.0).abs() < 1e-3, "{inside:?}");
    }

    #[test]
    fn a_cutter_too_large_for_a_gap_is_refused() {
        let p = Point::new;
        let at = [
            p(0.0, 0.0),
            p(30.0, 0.0),
            p(30.0, 20.0),
            p(18.0, 20.0),
            p(18.0, 8.0),
            p(12.0, 8.0),
            p(12.0, 20.0),
            p(0.0, 20.0),
        ];
        let side = |i: usize| Segment::line(at[i], at[(i + 1) % at.len()]);
        let forked = Outline::new((0..at.len()).map(side).collect()).unwrap();
        assert!(road(&forked, 3, 2.9).is_some());
        assert!(road(&forked, 3, 3.1).is_none());
        assert!(road(&forked, 99, 3.0).is_none());
    }

    #[test]
    fn arcs_are_gone_round_outside_and_in() {
        let round = tangents::rectangle(Length::mm(40), Length::mm(20), Length::mm(5)).unwrap();
        let arc = (0..8).find(|&i| matches!(round.segments()[i], Segment::Arc(_))).unwrap();
        let Segment::Arc(found) = road(&round, arc, 4.0).unwrap().road else { panic!("an arc") };
        assert!((found.radius_mm - 9.0).abs() < 1e-9);
        assert_eq!(road(&round, arc, 4.0).unwrap().short_mm, [0.0; 2]);
    }
}
