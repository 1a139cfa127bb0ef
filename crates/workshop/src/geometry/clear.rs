//! Places and runs of a cutter that cut into no piece of an outline.
//!
//! The slides stand only on whole steps, so a place that is exact on paper is rounded
//! at the machine. Here it is rounded to the side that leaves metal, whatever lies
//! about it: the arc itself, the flank it blends into, the fillet beyond.

use super::{Point, Segment, closest};
use crate::measure::{Length, Toward};

/// A cutter this far into a piece still only touches it: what `f64` and lengths held to
/// the nanometre leave.
pub const TOUCH_MM: f64 = 2e-7;

/// How many steps a place may be moved to find one that is clear; more is another place.
const MOST_STEPS: i64 = 6;

/// True when a cutter of radius `reach_mm` with its middle at a place cuts into none of
/// the pieces. The place is taken to be on the side where no metal stays.
pub fn stands_clear(pieces: &[Segment], at: Point, reach_mm: f64) -> bool {
    pieces.iter().all(|piece| piece.nearest(at).distance_mm(at) >= reach_mm - TOUCH_MM)
}

/// True when a cutter that runs along `road` cuts into none of the pieces.
pub fn runs_clear(pieces: &[Segment], road: &Segment, reach_mm: f64) -> bool {
    pieces.iter().all(|piece| closest(road, piece).distance_mm() >= reach_mm - TOUCH_MM)
}

/// The place on whole steps of the slides nearest to `at` where `clear` holds; none within
/// a few steps.
pub fn settled(at: Point, step: Length, clear: impl Fn(Point) -> bool) -> Option<(Length, Length)> {
    let [x, y] = [at.x_mm, at.y_mm].map(|mm| Length::nearest(mm).rounded(step, Toward::Nearest).value);
    let mut tries: Vec<(f64, Length, Length)> = (-MOST_STEPS..=MOST_STEPS)
        .flat_map(|i| (-MOST_STEPS..=MOST_STEPS).map(move |j| (x + step * i, y + step * j)))
        .map(|(x, y)| (Point::at(x, y).distance_mm(at), x, y))
        .collect();
    tries.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    tries.into_iter().map(|(_, x, y)| (x, y)).find(|&(x, y)| clear(Point::at(x, y)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Arc;
    use proptest::prelude::*;
    use std::f64::consts::PI;

    /// A hollow of 3 between two sides at right angles, and a cutter of its own size: the
    /// middle of the arc is at (1.0003, 1.0003), and a step of 0.01 must go outwards.
    #[test]
    fn in_a_hollow_of_its_own_size_a_cutter_settles_away_from_both_sides() {
        let c = Point::new(1.0003, 1.0003);
        let hollow =
            Segment::Arc(Arc { centre: c, radius_mm: 3.0, start_rad: -PI / 2.0, sweep_rad: -PI / 2.0 });
        let sides = [
            Segment::line(Point::new(-1.9997, 20.0), Point::new(-1.9997, 1.0003)),
            hollow,
            Segment::line(Point::new(1.0003, -1.9997), Point::new(20.0, -1.9997)),
        ];
        let found = settled(c, Length::microns(10), |p| stands_clear(&sides, p, 3.0)).unwrap();
        assert_eq!(found, (Length::microns(1010), Length::microns(1010)));
        assert!(settled(c, Length::microns(10), |_| false).is_none());
    }

    proptest! {
        /// Round a boss: never into it, and no farther off than a step and a half.
        #[test]
        fn round_a_boss_it_settles_close_and_clear(
            r in 2.0..30.0f64, reach in 1.0..8.0f64, rad in 0.0..6.3f64, x in -1.0..1.0f64, y in -1.0..1.0f64,
        ) {
            let centre = Point::new(x, y);
            let boss = [Segment::Arc(Arc { centre, radius_mm: r, start_rad: 0.0, sweep_rad: 2.0 * PI })];
            let step = Length::microns(20);
            let exact = centre.polar(r + reach, rad);
            let (x, y) = settled(exact, step, |p| stands_clear(&boss, p, reach)).unwrap();
            let at = Point::at(x, y);
            prop_assert!(at.distance_mm(centre) >= r + reach - 1e-6);
            prop_assert!(at.distance_mm(exact) <= 0.03);
        }
    }
}
