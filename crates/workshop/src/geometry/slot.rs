//! The edge of a slot with round ends, straight or along an arc.

use std::f64::consts::{FRAC_PI_2, PI};

use super::{Arc, Segment};

/// The two sides and the two round ends of a slot about its middle line, anticlockwise; the radius of
/// an arc is more than half the width.
pub fn slot_edge(centre_line: &Segment, radius_mm: f64) -> Vec<Segment> {
    let (a, b) = (centre_line.start(), centre_line.end());
    match *centre_line {
        Segment::Line(_) => {
            let along = a.direction_rad(b);
            let left = along + FRAC_PI_2;
            vec![
                Segment::line(a.polar(radius_mm, left - PI), b.polar(radius_mm, left - PI)),
                Segment::arc(b, radius_mm, along - FRAC_PI_2, PI),
                Segment::line(b.polar(radius_mm, left), a.polar(radius_mm, left)),
                Segment::arc(a, radius_mm, left, PI),
            ]
        }
        Segment::Arc(arc) => {
            // Run through anticlockwise, the outside is on its right.
            let arc = if arc.sweep_rad < 0.0 {
                Arc { start_rad: arc.end_rad(), sweep_rad: -arc.sweep_rad, ..arc }
            } else {
                arc
            };
            let (first, last) = (arc.start_rad, arc.end_rad());
            vec![
                Segment::Arc(Arc { radius_mm: arc.radius_mm + radius_mm, ..arc }),
                Segment::arc(arc.end(), radius_mm, last, PI),
                Segment::arc(arc.centre, arc.radius_mm - radius_mm, last, -arc.sweep_rad),
                Segment::arc(arc.start(), radius_mm, first + PI, PI),
            ]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Outline, Point};

    /// Pappus: the area is the length of the middle line by the width, and the two half rounds.
    #[test]
    fn a_curved_slot_is_closed_and_as_large_as_its_middle_line_says() {
        for sweep_rad in [0.7, -0.7, 4.0] {
            let arc = Arc { centre: Point::new(3.0, -2.0), radius_mm: 30.0, start_rad: 1.1, sweep_rad };
            let edge = Outline::new(slot_edge(&Segment::Arc(arc), 4.0)).unwrap();
            let area = 30.0 * sweep_rad.abs() * 8.0 + PI * 16.0;
            assert!((edge.area_mm2() - area).abs() < 1e-9, "{}", edge.area_mm2());
        }
        let line = Segment::line(Point::new(0.0, 0.0), Point::new(0.0, 20.0));
        let edge = Outline::new(slot_edge(&line, 3.0)).unwrap();
        assert!((edge.area_mm2() - (120.0 + PI * 9.0)).abs() < 1e-9);
    }
}
