//! A slanting side cut by coordinates: cutter centres in steps beside it, and the ridges they
//! leave.
//!
//! For a side that no slide runs along and that nothing turns to lie along one. Every place
//! is rounded to the side that leaves metal; a file takes the ridges off.

use super::show::{geometry, mm, positive, practice};
use super::stepped_curve::{Place, drawn_off, place_figures};
use crate::geometry::clear::{settled, stands_clear};
use crate::geometry::{Line, Point, Segment};
use crate::measure::{Length, Rounded};
use crate::problem::Problem;
use crate::why::Figure;

/// A side to be stepped, and how finely.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// The road of the cutter's middle along it, from the datum, the metal on its left.
    pub road: Line,
    /// The diameter of the cutter.
    pub cutter: Length,
    /// The highest ridge that may be left for the file.
    pub ridge: Length,
    /// The step of the readout.
    pub step: Length,
}

/// The places that cut a side.
#[derive(Clone, Debug, PartialEq)]
pub struct SteppedLine {
    /// The side asked for.
    pub side: Side,
    /// Cutter centres from its first end to its last.
    pub places: Vec<Place>,
    /// From each to the next along the side.
    pub between: Length,
    /// The ridge that is left.
    pub ridge: Length,
}

/// More places than anyone will wind.
const MOST_PLACES: f64 = 500.0;

/// Works out the places.
///
/// `rest` is the outline that the side belongs to, from the datum: no place cuts into any of it.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or no number, the ridge asks for over 500
/// places, or no place that the slides can be set to keeps clear of the rest.
pub fn stepped_line(side: Side, rest: &[Segment]) -> Result<SteppedLine, Problem> {
    for (size, name) in
        [(side.cutter, "cutter diameter"), (side.ridge, "ridge allowed"), (side.step, "step of the readout")]
    {
        positive(size, name)?;
    }
    let long_mm = side.road.length_mm();
    if !long_mm.is_finite() || long_mm > 1e4 {
        return Err(Problem::new("the side lies beyond any machine here")
            .why("it is longer than 10 m, or an end of it is no number")
            .mend("check the outline and its unit"));
    }
    let (reach_mm, ridge_mm) = (side.cutter.half().as_mm(), side.ridge.as_mm());
    // r − √(r² − p²/4) for the step p, turned about: the circles cross where the ridge stands.
    let widest_mm = match ridge_mm < reach_mm {
        true => 2.0 * (ridge_mm * (2.0 * reach_mm - ridge_mm)).sqrt(),
        false => 2.0 * reach_mm,
    };
    let count = (long_mm / widest_mm).ceil().max(1.0);
    if count > MOST_PLACES {
        return Err(Problem::new(format!("a ridge of {} needs {count} places", mm(side.ridge)))
            .why("nobody winds so many")
            .mend("allow a higher ridge and file it off, or use a larger cutter"));
    }
    let along = Segment::Line(side.road);
    let place = |n: usize| -> Result<Place, Problem> {
        let exact = along.along(n as f64 / count);
        let set = settled(exact, side.step, |at| beside(&side.road, at) && stands_clear(rest, at, reach_mm));
        let (x, y) = set.ok_or_else(|| {
            Problem::new(format!("place {} of the side cannot be set", n + 1))
                .why("wherever the slides stand about it, the cutter would cut into the outline")
                .mend("use a smaller cutter, or file this side")
        })?;
        let rounded =
            |value: Length, exact_mm: f64| Rounded { value, loss: value - Length::nearest(exact_mm) };
        Ok(Place { x: rounded(x, exact.x_mm), y: rounded(y, exact.y_mm) })
    };
    let between_mm = long_mm / count;
    Ok(SteppedLine {
        side,
        places: (0..=count as usize).map(place).collect::<Result<_, Problem>>()?,
        between: Length::nearest(between_mm),
        ridge: Length::nearest(reach_mm - (reach_mm.powi(2) - between_mm.powi(2) / 4.0).max(0.0).sqrt()),
    })
}

/// Whether a place is on the road or on the side of it where no metal stays.
fn beside(road: &Line, at: Point) -> bool {
    let way = road.end - road.start;
    way.cross(at - road.start) <= 1e-9 * way.norm_mm().max(1.0)
}

impl SteppedLine {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let ridge = geometry(format!(
            "places {} apart leave ridges where the cutter's circles cross",
            mm(self.between)
        ))
        .because(practice(format!("at most {} may be left for the file", mm(self.side.ridge))));
        let mut figures =
            vec![Figure::new("cusp left for the file", format!("{} mm", self.ridge.decimals(3)), ridge)];
        figures.push(drawn_off());
        figures.extend(place_figures(&self.places, self.side.step));
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn side(end: (f64, f64), cutter: i64, ridge: i64) -> Side {
        Side {
            road: Line::new(Point::ORIGIN, Point::new(end.0, end.1)),
            cutter: Length::mm(cutter),
            ridge: Length::microns(ridge),
            step: Length::microns(5),
        }
    }

    /// A wall cut by the side of a cutter in steps of p stands h = rc − √(rc² − p²/4) high, about
    /// p²/(8 rc) (the usual rule for scallops): 0.1 with a cutter of 10 is steps of 1.99, so 50
    /// along a 3-4-5 slope is 26 steps.
    #[test]
    fn the_steps_follow_the_rule_for_scallops() {
        let found = stepped_line(side((30.0, 40.0), 10, 100), &[]).unwrap();
        assert_eq!(found.places.len(), 27);
        assert!((found.ridge.as_mm() - (50.0_f64 / 26.0).powi(2) / 40.0).abs() < 0.002);
        assert_eq!(found.places[0].x.value, Length::ZERO);
        assert_eq!((found.places[26].x.value, found.places[26].y.value), (Length::mm(30), Length::mm(40)));
    }

    #[test]
    fn what_cannot_be_stepped_says_why() {
        for wrong in [side((1e6, 0.0), 10, 100), side((f64::NAN, 0.0), 10, 100), side((900.0, 9.0), 2, 1)] {
            let fault = stepped_line(wrong, &[]).unwrap_err();
            assert!(fault.reason().is_some() && fault.remedy().is_some(), "{fault}");
        }
        assert!(stepped_line(side((30.0, 1.0), 0, 100), &[]).is_err());
    }

    proptest! {
        /// No place is on the metal's side of the road, and what is left between two of them
        /// is no higher than the ridge and the rounding.
        #[test]
        fn the_wall_left_is_within_the_ridge(x in 3.0..80.0f64, y in -60.0..60.0f64, cutter in 4i64..16, ridge in 20i64..200) {
            let asked = side((x, y), cutter, ridge);
            let found = stepped_line(asked, &[]).unwrap();
            let reach_mm = asked.cutter.half().as_mm();
            let way = asked.road.direction_rad();
            let out = |place: &Place| -Point::at(place.x.value, place.y.value).rotated(-way).y_mm;
            prop_assert!(found.places.iter().all(|place| (-1e-6..0.02).contains(&out(place))));
            for pair in found.places.windows(2) {
                let [a, b] = [&pair[0], &pair[1]].map(|p| Point::at(p.x.value, p.y.value));
                let left = reach_mm - (reach_mm.powi(2) - a.distance_mm(b).powi(2) / 4.0).sqrt();
                prop_assert!(left + out(&pair[0]).max(out(&pair[1])) <= asked.ridge.as_mm() + 0.03);
            }
        }
    }
}
