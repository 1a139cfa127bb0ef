//! A closed outline of lines and arcs.

use std::f64::consts::TAU;

use super::{Point, SAME_POINT_MM, Segment, crossings};
use crate::problem::Problem;

/// An upright rectangle around something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Its left lower corner.
    pub least: Point,
    /// Its right upper corner.
    pub most: Point,
}

impl Bounds {
    /// The rectangle of one point.
    pub const fn of(point: Point) -> Self {
        Self { least: point, most: point }
    }

    /// Grown to hold `point` too.
    #[must_use]
    pub fn including(self, point: Point) -> Self {
        Self {
            least: Point::new(self.least.x_mm.min(point.x_mm), self.least.y_mm.min(point.y_mm)),
            most: Point::new(self.most.x_mm.max(point.x_mm), self.most.y_mm.max(point.y_mm)),
        }
    }

    /// Its size along X, in millimetres.
    pub fn width_mm(self) -> f64 {
        self.most.x_mm - self.least.x_mm
    }

    /// Its size along Y, in millimetres.
    pub fn height_mm(self) -> f64 {
        self.most.y_mm - self.least.y_mm
    }

    /// True when the two come within [`SAME_POINT_MM`] of each other.
    pub fn meets(self, other: Self) -> bool {
        self.least.x_mm <= other.most.x_mm + SAME_POINT_MM
            && other.least.x_mm <= self.most.x_mm + SAME_POINT_MM
            && self.least.y_mm <= other.most.y_mm + SAME_POINT_MM
            && other.least.y_mm <= self.most.y_mm + SAME_POINT_MM
    }
}

/// A closed line around a piece of metal or a pocket.
///
/// Each segment begins where the one before ended and the last ends where the
/// first began; no two cross or touch elsewhere. Anticlockwise is the usual
/// sense, with a positive area; [`Outline::reversed`] gives the other.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    segments: Vec<Segment>,
}

impl Outline {
    /// Checks that the segments close and do not cross, and joins them.
    ///
    /// # Errors
    ///
    /// A [`Problem`] naming the segments (counted from one) when there is none,
    /// one has no length or no finite size, two do not meet, or two cross; or when
    /// nothing is enclosed.
    pub fn new(segments: Vec<Segment>) -> Result<Self, Problem> {
        if segments.is_empty() {
            return Err(Problem::new("the outline has no lines or arcs").mend("give at least one circle"));
        }
        for (i, segment) in segments.iter().enumerate() {
            check_sized(i, segment)?;
        }
        let outline = Self { segments };
        outline.check_closed()?;
        outline.check_uncrossed()?;
        if outline.area_mm2().abs() <= SAME_POINT_MM * outline.length_mm() {
            return Err(Problem::new("the outline encloses nothing")
                .why("it runs out and back along one line")
                .mend("check the points"));
        }
        Ok(outline)
    }

    /// An outline whose builder guarantees what [`Outline::new`] checks.
    pub(super) const fn known_good(segments: Vec<Segment>) -> Self {
        Self { segments }
    }

    /// Its lines and arcs, in order.
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// The area inside in square millimetres: negative when run clockwise.
    pub fn area_mm2(&self) -> f64 {
        self.segments.iter().map(Segment::twice_area).sum::<f64>() / 2.0
    }

    /// The length all round, in millimetres.
    pub fn length_mm(&self) -> f64 {
        self.segments.iter().map(Segment::length_mm).sum()
    }

    /// The smallest upright rectangle around it.
    pub fn bounds(&self) -> Bounds {
        let first = Bounds::of(self.segments[0].start());
        self.segments
            .iter()
            .map(Segment::bounds)
            .fold(first, |all, b| all.including(b.least).including(b.most))
    }

    /// True when `point` is inside, or on the line itself.
    pub fn contains(&self, point: Point) -> bool {
        if self.distance_mm(point) <= SAME_POINT_MM {
            return true;
        }
        let turn: f64 = self.segments.iter().map(|s| s.turn_seen_from_rad(point)).sum();
        turn.abs() > TAU / 2.0
    }

    /// The place on the line nearest to `point`.
    pub fn nearest(&self, point: Point) -> Point {
        self.segments
            .iter()
            .map(|s| s.nearest(point))
            .min_by(|a, b| point.distance_mm(*a).total_cmp(&point.distance_mm(*b)))
            .expect("an outline has at least one segment")
    }

    /// How far `point` is from the line, in millimetres, inside or out.
    pub fn distance_mm(&self, point: Point) -> f64 {
        point.distance_mm(self.nearest(point))
    }

    /// Run through the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self { segments: self.segments.iter().rev().map(Segment::reversed).collect() }
    }

    /// The same line run anticlockwise.
    #[must_use]
    pub fn anticlockwise(&self) -> Self {
        if self.area_mm2() < 0.0 { self.reversed() } else { self.clone() }
    }

    /// Moved by a way.
    #[must_use]
    pub fn translated(&self, by: Point) -> Self {
        Self { segments: self.segments.iter().map(|s| s.translated(by)).collect() }
    }

    /// Turned anticlockwise about the origin.
    #[must_use]
    pub fn rotated(&self, rad: f64) -> Self {
        Self { segments: self.segments.iter().map(|s| s.rotated(rad)).collect() }
    }

    /// The other hand: mirrored in the Y axis, and run in the same sense as before.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self { segments: self.segments.iter().rev().map(|s| s.mirrored().reversed()).collect() }
    }

    fn check_closed(&self) -> Result<(), Problem> {
        let count = self.segments.len();
        for (i, segment) in self.segments.iter().enumerate() {
            let next = (i + 1) % count;
            let gap_mm = segment.end().distance_mm(self.segments[next].start());
            if gap_mm > SAME_POINT_MM {
                let what = format!("segment {} of the outline does not meet segment {}", i + 1, next + 1);
                return Err(Problem::new(what)
                    .why(format!("there are {gap_mm:.4} mm between them"))
                    .mend("give the end of one as the start of the next"));
            }
        }
        Ok(())
    }

    fn check_uncrossed(&self) -> Result<(), Problem> {
        match self.crossing() {
            Some((i, j, at)) => {
                let what = format!("segments {} and {} of the outline cross", i + 1, j + 1);
                Err(Problem::new(what)
                    .why(format!("they meet at X {:.3}, Y {:.3} mm", at.x_mm, at.y_mm))
                    .mend("check the sizes and the order of the points"))
            }
            None => Ok(()),
        }
    }

    /// Two segments that cross or touch away from the joint they share, and where.
    pub(super) fn crossing(&self) -> Option<(usize, usize, Point)> {
        let count = self.segments.len();
        let bounds: Vec<Bounds> = self.segments.iter().map(Segment::bounds).collect();
        for i in 0..count {
            for j in i + 1..count {
                if !bounds[i].meets(bounds[j]) {
                    continue;
                }
                let (a, b) = (&self.segments[i], &self.segments[j]);
                // Neighbours share an end, and two segments alone share both.
                let mut joints = Vec::new();
                if j == i + 1 {
                    joints.push(a.end());
                }
                if (j + 1) % count == i {
                    joints.push(b.end());
                }
                // A touch at a tangent is found to about the square root of f64's grain.
                let stray = crossings(a, b)
                    .into_iter()
                    .find(|p| joints.iter().all(|joint| joint.distance_mm(*p) > 1000.0 * SAME_POINT_MM));
                if let Some(at) = stray {
                    return Some((i, j, at));
                }
            }
        }
        None
    }
}

/// A segment must have some length, and no more than a turn of arc.
fn check_sized(i: usize, segment: &Segment) -> Result<(), Problem> {
    let length_mm = segment.length_mm();
    let sized = length_mm.is_finite() && length_mm > SAME_POINT_MM;
    let turns_once = match segment {
        Segment::Line(_) => true,
        Segment::Arc(arc) => arc.radius_mm > SAME_POINT_MM && arc.sweep_rad.abs() <= TAU + 1e-9,
    };
    if sized && turns_once {
        return Ok(());
    }
    Err(Problem::new(format!("segment {} of the outline has no usable size", i + 1))
        .why("a line needs two different ends; an arc a radius and at most one turn")
        .mend("leave the segment out, or correct its size"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Circle, tangents};
    use proptest::prelude::*;

    fn lever(l: f64, r1: f64, r2: f64) -> Outline {
        let bosses = [Circle::new(Point::ORIGIN, r1), Circle::new(Point::new(l, 0.0), r2)];
        tangents::around_bosses(&bosses).unwrap()
    }

    /// A square of 20 with a bite of radius 5 out of its top edge.
    fn bitten() -> Outline {
        let p = Point::new;
        Outline::new(vec![
            Segment::line(p(0.0, 0.0), p(20.0, 0.0)),
            Segment::line(p(20.0, 0.0), p(20.0, 20.0)),
            Segment::line(p(20.0, 20.0), p(15.0, 20.0)),
            Segment::arc(p(10.0, 20.0), 5.0, 0.0, -TAU / 2.0),
            Segment::line(p(5.0, 20.0), p(0.0, 20.0)),
            Segment::line(p(0.0, 20.0), p(0.0, 0.0)),
        ])
        .unwrap()
    }

    #[test]
    fn a_bite_is_outside_and_takes_its_half_disc() {
        let outline = bitten();
        assert!((outline.area_mm2() - (400.0 - TAU / 4.0 * 25.0)).abs() < 1e-9);
        assert!(!outline.contains(Point::new(10.0, 18.0)), "in the bite");
        assert!(outline.contains(Point::new(10.0, 14.9)), "below the bite");
        assert!((outline.distance_mm(Point::new(10.0, 20.0)) - 5.0).abs() < 1e-9);
        assert_eq!(outline.bounds().least, Point::new(0.0, 0.0));
        assert!((outline.bounds().height_mm() - 20.0).abs() < 1e-9);
    }

    #[test]
    fn outlines_that_gape_or_cross_are_problems() {
        let p = Point::new;
        let corners = [p(0.0, 0.0), p(10.0, 0.0), p(10.0, 10.0), p(0.0, 10.0)];
        let through = |order: &[usize]| {
            let at = |i: usize| corners[order[i % order.len()]];
            Outline::new((0..order.len()).map(|i| Segment::line(at(i), at(i + 1))).collect())
        };
        assert!(through(&[0, 1, 2, 3]).is_ok());
        let crossed = through(&[0, 2, 1, 3]).unwrap_err();
        assert!(crossed.what().contains("segments 1 and 3"), "{crossed}");
        // There and back along one line encloses nothing.
        assert!(through(&[0, 1]).is_err());
        let gaping = Outline::new(vec![Segment::line(corners[0], corners[1])]).unwrap_err();
        assert!(gaping.reason().unwrap().contains("10.0000 mm"), "{gaping}");
        assert!(Outline::new(Vec::new()).is_err());
        assert!(Outline::new(vec![Segment::arc(p(0.0, 0.0), f64::NAN, 0.0, TAU)]).is_err());
        // The top edge as an arc: hollowed by one, then the long way round, out
        // through both sides.
        let arched = |centre_y: f64, long_way: f64| {
            let centre = p(5.0, centre_y);
            let (from, to) = (centre.direction_rad(corners[2]), centre.direction_rad(corners[3]));
            let mut sides = through(&[0, 1, 2, 3]).unwrap().segments().to_vec();
            sides[2] = Segment::arc(centre, centre.distance_mm(corners[2]), from, to - from + long_way);
            Outline::new(sides)
        };
        assert!(arched(22.0, 0.0).is_ok());
        assert!(arched(7.0, -TAU).is_err());
    }

    proptest! {
        #[test]
        fn reversed_keeps_length_and_flips_area(l in 30.0..90.0f64, r1 in 2.0..14.0f64, r2 in 2.0..14.0f64) {
            let outline = lever(l, r1, r2);
            let back = outline.reversed();
            prop_assert!((back.length_mm() - outline.length_mm()).abs() < 1e-9);
            prop_assert!((back.area_mm2() + outline.area_mm2()).abs() < 1e-9);
            prop_assert!(Outline::new(back.segments().to_vec()).is_ok());
            prop_assert!((back.anticlockwise().area_mm2() - outline.area_mm2()).abs() < 1e-9);
        }

        /// Moving, turning and mirroring change no size; mirrored twice is where it was.
        #[test]
        fn rigid_moves_keep_every_size(x in -50.0..50.0f64, rad in -7.0..7.0f64, r2 in 2.0..14.0f64) {
            let outline = lever(40.0, 9.0, r2);
            let moved = outline.rotated(rad).translated(Point::new(x, -x)).mirrored();
            prop_assert!((moved.area_mm2() - outline.area_mm2()).abs() < 1e-8);
            prop_assert!((moved.length_mm() - outline.length_mm()).abs() < 1e-8);
            prop_assert!(Outline::new(moved.segments().to_vec()).is_ok());
            let again = outline.mirrored().mirrored();
            for (a, b) in again.segments().iter().zip(outline.segments()) {
                prop_assert!(a.start().distance_mm(b.start()) < 1e-9);
            }
        }

        /// Inside and outside agree with counting the crossings of a ray through
        /// the outline drawn as 4000 short straights.
        #[test]
        fn contains_agrees_with_counting_crossings(x in -3.0..23.0f64, y in -3.0..23.0f64) {
            let outline = bitten();
            let point = Point::new(x, y);
            prop_assume!(outline.distance_mm(point) > 0.05);
            let corners: Vec<Point> = outline.segments().iter()
                .flat_map(|s| (0..700).map(move |k| s.along(f64::from(k) / 700.0)))
                .collect();
            let mut inside = false;
            for (i, a) in corners.iter().enumerate() {
                let b = corners[(i + 1) % corners.len()];
                if (a.y_mm > y) != (b.y_mm > y)
                    && x < a.x_mm + (y - a.y_mm) / (b.y_mm - a.y_mm) * (b.x_mm - a.x_mm)
                {
                    inside = !inside;
                }
            }
            prop_assert_eq!(outline.contains(point), inside);
            prop_assert_eq!(outline.reversed().contains(point), inside);
        }
    }
}
