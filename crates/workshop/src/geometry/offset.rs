//! The road of a cutter's centre: an outline moved out or in by its radius.
//!
//! The work is done by the crate `cavalier_contours`, on closed polylines whose
//! arcs are written as bulges; this file carries our outlines there and back.

use std::f64::consts::PI;

use cavalier_contours::polyline::{
    PlineSource, PlineSourceMut, PlineVertex, Polyline, seg_arc_radius_and_center,
};

use super::{Arc, Outline, Point, Segment};
use crate::measure::Length;
use crate::problem::Problem;

/// Two arcs whose centres and radii agree to this, in millimetres, are one arc
/// that the offset cut in two.
const SAME_ARC_MM: f64 = 1e-5;

/// Which side of the line the cutter runs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Around the metal.
    Outside,
    /// Within the line, as in a pocket.
    Inside,
}

/// Moves an outline by a distance to one side, every part of the result that
/// far from the line. All results run anticlockwise.
///
/// A narrow waist may part the inside road into several.
///
/// # Errors
///
/// A [`Problem`] when `by` is not more than nought, or the cutter has no room
/// anywhere inside.
pub fn offset(outline: &Outline, by: Length, side: Side) -> Result<Vec<Outline>, Problem> {
    if !by.is_positive() {
        return Err(Problem::new(format!("an outline cannot be offset by {by}"))
            .mend("give a distance of more than nought"));
    }
    // The crate moves to the left of the line when positive: inwards here.
    let leftwards_mm = match side {
        Side::Outside => -by.as_mm(),
        Side::Inside => by.as_mm(),
    };
    let moved = to_polyline(&outline.anticlockwise()).parallel_offset(leftwards_mm);
    // A loop that runs clockwise is an island shut in by the line: no road leads to it.
    let roads: Vec<Outline> =
        moved.iter().filter(|road| road.area() > 0.0).map(from_polyline).collect::<Result<_, _>>()?;
    if roads.is_empty() {
        return Err(Problem::new(format!("nothing is left of the outline {by} within the line"))
            .why("the outline is nowhere wide enough")
            .mend("use a smaller cutter"));
    }
    Ok(roads)
}

/// An outline as vertices with bulges: the tangent of a quarter of each sweep.
/// Arcs of half a turn or more are cut up, since no bulge can hold a whole one.
fn to_polyline(outline: &Outline) -> Polyline {
    let mut line = Polyline::new_closed();
    for segment in outline.segments() {
        match segment {
            Segment::Line(straight) => line.add(straight.start.x_mm, straight.start.y_mm, 0.0),
            Segment::Arc(arc) => {
                let pieces = (arc.sweep_rad.abs() / (0.75 * PI)).ceil().max(1.0);
                let sweep_rad = arc.sweep_rad / pieces;
                for piece in 0..pieces as usize {
                    let rad = arc.start_rad + piece as f64 * sweep_rad;
                    let at = arc.centre.polar(arc.radius_mm, rad);
                    line.add(at.x_mm, at.y_mm, (sweep_rad / 4.0).tan());
                }
            }
        }
    }
    line
}

/// Vertices with bulges as an outline, arcs that were cut up joined again.
fn from_polyline(line: &Polyline) -> Result<Outline, Problem> {
    let mut segments: Vec<Segment> = Vec::new();
    for (from, to) in line.iter_segments() {
        let next = to_segment(from, to);
        match segments.last().and_then(|last| joined(last, &next)) {
            Some(one) => *segments.last_mut().expect("just looked at") = one,
            None => segments.push(next),
        }
    }
    // The line may begin in the middle of an arc.
    while segments.len() > 1 {
        let Some(one) = joined(&segments[segments.len() - 1], &segments[0]) else { break };
        segments.pop();
        segments[0] = one;
    }
    Outline::new(segments)
}

fn to_segment(from: PlineVertex, to: PlineVertex) -> Segment {
    let (start, end) = (Point::new(from.x, from.y), Point::new(to.x, to.y));
    if from.bulge_is_zero() {
        return Segment::line(start, end);
    }
    let (radius_mm, centre) = seg_arc_radius_and_center(from, to);
    let centre = Point::new(centre.x, centre.y);
    Segment::arc(centre, radius_mm, centre.direction_rad(start), 4.0 * from.bulge.atan())
}

/// Two arcs as one, when the second carries the first on.
fn joined(first: &Segment, second: &Segment) -> Option<Segment> {
    let (Segment::Arc(a), Segment::Arc(b)) = (first, second) else { return None };
    let same = a.centre.distance_mm(b.centre) <= SAME_ARC_MM
        && (a.radius_mm - b.radius_mm).abs() <= SAME_ARC_MM
        && a.sweep_rad * b.sweep_rad > 0.0
        && (a.sweep_rad + b.sweep_rad).abs() <= 2.0 * PI + 1e-9;
    same.then_some(Segment::Arc(Arc { sweep_rad: a.sweep_rad + b.sweep_rad, ..*a }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Circle, tangents};
    use proptest::prelude::*;

    fn disc(radius_mm: f64) -> Outline {
        tangents::disc(Circle::new(Point::new(2.0, 3.0), radius_mm)).unwrap()
    }

    #[test]
    fn a_disc_moves_out_and_in_by_the_radius_and_stays_one_arc() {
        for (side, radius_mm) in [(Side::Outside, 13.0), (Side::Inside, 7.0)] {
            let road = offset(&disc(10.0), Length::mm(3), side).unwrap();
            let [Segment::Arc(arc)] = road[0].segments() else { panic!("one arc: {road:?}") };
            assert!((arc.radius_mm - radius_mm).abs() < 1e-9, "{arc:?}");
            assert!((arc.sweep_rad - 2.0 * PI).abs() < 1e-9);
        }
    }

    /// Steiner's formula for a convex outline: area + length r + pi r².
    #[test]
    fn a_rectangle_moved_out_has_the_steiner_area() {
        let outline = tangents::rectangle(Length::mm(30), Length::mm(20), Length::ZERO).unwrap();
        let road = &offset(&outline, Length::mm(4), Side::Outside).unwrap()[0];
        assert!((road.area_mm2() - (600.0 + 100.0 * 4.0 + PI * 16.0)).abs() < 1e-6);
        let inside = &offset(&outline, Length::mm(4), Side::Inside).unwrap()[0];
        assert!((inside.area_mm2() - 22.0 * 12.0).abs() < 1e-6);
    }

    #[test]
    fn a_cutter_with_no_room_is_a_problem() {
        let fault = offset(&disc(3.0), Length::mm(4), Side::Inside).unwrap_err();
        assert!(fault.remedy().unwrap().contains("smaller cutter"), "{fault}");
        assert!(offset(&disc(3.0), Length::ZERO, Side::Outside).is_err());
    }

    /// A narrow waist parts the road of a wide cutter: two pockets of radius 10
    /// joined by a neck 4 wide, cutter radius 3.
    #[test]
    fn a_waist_parts_the_road_in_two() {
        let neck = 2.0f64;
        let dx = (100.0 - neck * neck).sqrt();
        let open = (neck / 10.0).asin();
        let p = Point::new;
        let outline = Outline::new(vec![
            Segment::arc(p(0.0, 0.0), 10.0, open, 2.0 * (PI - open)),
            Segment::line(p(dx, -neck), p(40.0 - dx, -neck)),
            Segment::arc(p(40.0, 0.0), 10.0, open - PI, 2.0 * (PI - open)),
            Segment::line(p(40.0 - dx, neck), p(dx, neck)),
        ])
        .unwrap();
        assert_eq!(offset(&outline, Length::mm(3), Side::Inside).unwrap().len(), 2);
        assert_eq!(offset(&outline, Length::mm(1), Side::Inside).unwrap().len(), 1);
    }

    /// A cavity of radius 10 with a mouth 4 wide in the side of a square: round the
    /// outside a cutter of radius 3 passes the mouth by, and the ring that would
    /// run round within the cavity is no road from outside.
    #[test]
    fn a_mouth_too_narrow_is_passed_by() {
        let p = Point::new;
        let (half, open) = (2.0f64, (2.0f64 / 10.0).asin());
        let lip = 20.0 + 10.0 * open.cos();
        let outline = Outline::new(vec![
            Segment::line(p(0.0, 0.0), p(40.0, 0.0)),
            Segment::line(p(40.0, 0.0), p(40.0, 20.0 - half)),
            Segment::line(p(40.0, 20.0 - half), p(lip, 20.0 - half)),
            Segment::arc(p(20.0, 20.0), 10.0, -open, -2.0 * (PI - open)),
            Segment::line(p(lip, 20.0 + half), p(40.0, 20.0 + half)),
            Segment::line(p(40.0, 20.0 + half), p(40.0, 40.0)),
            Segment::line(p(40.0, 40.0), p(0.0, 40.0)),
            Segment::line(p(0.0, 40.0), p(0.0, 0.0)),
        ])
        .unwrap();
        let roads = offset(&outline, Length::mm(3), Side::Outside).unwrap();
        assert_eq!(roads.len(), 1);
        assert!(roads[0].area_mm2() > 40.0 * 40.0);
    }

    proptest! {
        /// Every place on the road is the cutter's radius from the line, and the
        /// road of a lever's outside is the band around bosses larger by it.
        #[test]
        fn the_road_is_everywhere_one_radius_off(
            l in 30.0..80.0f64, r1 in 3.0..12.0f64, r2 in 3.0..12.0f64, by in 500i64..2900,
        ) {
            let bosses = |more: f64| [
                Circle::new(Point::ORIGIN, r1 + more),
                Circle::new(Point::new(l, 0.0), r2 + more),
            ];
            let lever = tangents::around_bosses(&bosses(0.0)).unwrap();
            let by = Length::microns(by);
            for (side, sense) in [(Side::Outside, 1.0), (Side::Inside, -1.0)] {
                let roads = offset(&lever, by, side).unwrap();
                prop_assert_eq!(roads.len(), 1);
                let expected = tangents::around_bosses(&bosses(sense * by.as_mm())).unwrap();
                prop_assert!((roads[0].length_mm() - expected.length_mm()).abs() < 1e-6);
                prop_assert_eq!(roads[0].segments().len(), 4);
                for segment in roads[0].segments() {
                    for k in 0..=8 {
                        let place = segment.along(f64::from(k) / 8.0);
                        prop_assert!((lever.distance_mm(place) - by.as_mm()).abs() < 1e-6);
                        prop_assert_eq!(lever.contains(place), side == Side::Inside);
                    }
                }
            }
        }
    }
}
