//! Lines tangent to two circles, and the outlines built from them.
//!
//! Source of the formulas: elementary geometry. The line of centres, the
//! difference of the radii and the tangent make a right triangle.

use std::f64::consts::{PI, TAU};

use super::{Circle, Line, Outline, Point, SAME_POINT_MM, Segment, within_turn};
use crate::measure::Length;
use crate::problem::Problem;

/// A straight line that touches two circles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tangent {
    /// From the touch on the first circle to the touch on the second.
    pub line: Line,
    /// The direction of the touch from the first centre, in radians.
    pub first_rad: f64,
    /// The direction of the touch from the second centre, in radians.
    pub second_rad: f64,
}

/// The two tangents of a pair of circles, seen along the way from the first
/// centre to the second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tangents {
    /// The one that leaves the first circle on the right of that way.
    pub right: Tangent,
    /// The one that leaves the first circle on the left of that way.
    pub left: Tangent,
    /// The angle at the first centre between the way and either touch, in radians.
    pub touch_rad: f64,
    /// The straight length between the touches, in millimetres.
    pub straight_mm: f64,
}

/// The tangents that keep both circles on one side: the flanks of a lever.
///
/// # Errors
///
/// A [`Problem`] when a radius is not more than nought or one circle lies
/// within the other.
pub fn external(first: Circle, second: Circle) -> Result<Tangents, Problem> {
    check_radii(first, second)?;
    let apart_mm = first.centre.distance_mm(second.centre);
    let difference_mm = first.radius_mm - second.radius_mm;
    if apart_mm <= difference_mm.abs() + SAME_POINT_MM {
        return Err(swallowed(first, second));
    }
    let touch_rad = (difference_mm / apart_mm).acos();
    Ok(pair(first, second, touch_rad, 0.0))
}

/// The tangents that cross between the circles: a crossed belt.
///
/// # Errors
///
/// A [`Problem`] when a radius is not more than nought or the circles overlap.
pub fn crossed(first: Circle, second: Circle) -> Result<Tangents, Problem> {
    check_radii(first, second)?;
    let apart_mm = first.centre.distance_mm(second.centre);
    let sum_mm = first.radius_mm + second.radius_mm;
    if apart_mm <= sum_mm + SAME_POINT_MM {
        return Err(Problem::new("the two circles have no crossed tangents")
            .why(format!(
                "their centres are {apart_mm:.3} mm apart and their radii come to {sum_mm:.3} mm, so they overlap"
            ))
            .mend("check both radii and the distance between centres"));
    }
    let touch_rad = (sum_mm / apart_mm).acos();
    Ok(pair(first, second, touch_rad, PI))
}

/// Both tangents, the touch on the second circle turned on by `turn_rad`.
fn pair(first: Circle, second: Circle, touch_rad: f64, turn_rad: f64) -> Tangents {
    let along = first.centre.direction_rad(second.centre);
    let tangent = |first_rad: f64| {
        let second_rad = first_rad + turn_rad;
        let start = first.centre.polar(first.radius_mm, first_rad);
        let end = second.centre.polar(second.radius_mm, second_rad);
        Tangent {
            line: Line::new(start, end),
            first_rad: within_turn(first_rad),
            second_rad: within_turn(second_rad),
        }
    };
    let right = tangent(along - touch_rad);
    Tangents { right, left: tangent(along + touch_rad), touch_rad, straight_mm: right.line.length_mm() }
}

/// An outline around bosses joined by external tangents, like a band drawn
/// tight around pegs.
///
/// Give two or more bosses in anticlockwise order.
///
/// # Errors
///
/// A [`Problem`] naming the boss (counted from one) that lies within another or
/// that the band does not reach.
pub fn around_bosses(bosses: &[Circle]) -> Result<Outline, Problem> {
    let count = bosses.len();
    if count < 2 {
        return Err(Problem::new("an outline around bosses needs at least two of them")
            .mend("give a second boss, or ask for a disc"));
    }
    for (i, boss) in bosses.iter().enumerate() {
        for (j, other) in bosses.iter().enumerate() {
            let apart_mm = boss.centre.distance_mm(other.centre);
            if i != j && apart_mm + boss.radius_mm <= other.radius_mm + SAME_POINT_MM {
                let what = format!("boss {} lies wholly within boss {}", i + 1, j + 1);
                return Err(Problem::new(what).mend("leave it out, or check its radius and its place"));
            }
        }
    }
    let sweeps = sweeps(bosses)?;
    if sweeps.iter().sum::<f64>() > TAU + 1e-6 {
        return Err(not_reached(bosses));
    }
    let mut segments = Vec::with_capacity(2 * count);
    for (i, boss) in bosses.iter().enumerate() {
        let out = external(*boss, bosses[(i + 1) % count])?.right;
        if sweeps[i] * boss.radius_mm > SAME_POINT_MM {
            segments.push(Segment::arc(boss.centre, boss.radius_mm, out.first_rad - sweeps[i], sweeps[i]));
        }
        segments.push(Segment::Line(out.line));
    }
    // Only left turns, and one whole turn of them: convex, so it cannot cross.
    let band = Outline::known_good(segments);
    if bosses.iter().all(|boss| holds(&band, *boss)) { Ok(band) } else { Err(not_reached(bosses)) }
}

/// True when the whole circle lies within the outline, touching it at most.
fn holds(outline: &Outline, circle: Circle) -> bool {
    outline.contains(circle.centre) && outline.distance_mm(circle.centre) >= circle.radius_mm - SAME_POINT_MM
}

/// The arc that the band lies on at each boss, in radians.
fn sweeps(bosses: &[Circle]) -> Result<Vec<f64>, Problem> {
    let count = bosses.len();
    (0..count)
        .map(|i| {
            let before = external(bosses[(i + count - 1) % count], bosses[i])?.right.second_rad;
            let after = external(bosses[i], bosses[(i + 1) % count])?.right.first_rad;
            let sweep = within_turn(after - before);
            // A boss that only just touches a straight may come out a hair below nought.
            Ok(if TAU - sweep < 1e-9 { 0.0 } else { sweep })
        })
        .collect()
}

/// Names the boss that the band around the others already holds.
fn not_reached(bosses: &[Circle]) -> Problem {
    let spare = (0..bosses.len()).filter(|_| bosses.len() > 2).find(|&i| {
        let mut rest = bosses.to_vec();
        rest.remove(i);
        around_bosses(&rest).is_ok_and(|band| holds(&band, bosses[i]))
    });
    match spare {
        Some(i) => Problem::new(format!("boss {} does not reach the outline", i + 1))
            .why("the tangents of its neighbours pass outside it")
            .mend("leave it out, make it larger, or give the bosses in anticlockwise order"),
        None => Problem::new("the tangents around these bosses cross")
            .why("the bosses are not in anticlockwise order, or some lie inside the rest")
            .mend("give them in order, going round anticlockwise"),
    }
}

/// A rectangle with its left lower corner at the origin, its corners rounded
/// when `corner` is more than nought.
///
/// # Errors
///
/// A [`Problem`] when a side is not more than nought or the corners do not fit.
pub fn rectangle(width: Length, height: Length, corner: Length) -> Result<Outline, Problem> {
    let short = width.min(height);
    if !short.is_positive() || corner < Length::ZERO || corner * 2 > short {
        return Err(Problem::new(format!("there is no rectangle {width} by {height} with corners {corner}"))
            .why("the sides must be more than nought and two corner radii must fit in the shorter")
            .mend("check the sizes"));
    }
    let (w, h, r) = (width.as_mm(), height.as_mm(), corner.as_mm());
    let centres = [(r, r), (w - r, r), (w - r, h - r), (r, h - r)].map(|(x, y)| Point::new(x, y));
    // Corner i is turned from the direction of side i - 1 to that of side i.
    let mut segments = Vec::with_capacity(8);
    for (i, centre) in centres.into_iter().enumerate() {
        let start_rad = PI + i as f64 * PI / 2.0;
        let next = centres[(i + 1) % 4];
        if corner.is_positive() {
            segments.push(Segment::arc(centre, r, start_rad, PI / 2.0));
        }
        let out_rad = start_rad + PI / 2.0;
        let side = Line::new(centre.polar(r, out_rad), next.polar(r, out_rad));
        if side.length_mm() > SAME_POINT_MM {
            segments.push(Segment::Line(side));
        }
    }
    Ok(Outline::known_good(segments))
}

/// A whole circle as an outline.
///
/// # Errors
///
/// A [`Problem`] when the radius is not more than nought.
pub fn disc(circle: Circle) -> Result<Outline, Problem> {
    check_radii(circle, circle)?;
    Ok(Outline::known_good(vec![Segment::arc(circle.centre, circle.radius_mm, 0.0, TAU)]))
}

fn check_radii(first: Circle, second: Circle) -> Result<(), Problem> {
    for circle in [first, second] {
        if !(circle.radius_mm.is_finite() && circle.radius_mm > SAME_POINT_MM) {
            return Err(Problem::new(format!("a circle of radius {} mm cannot be drawn", circle.radius_mm))
                .mend("give a radius of more than nought"));
        }
    }
    Ok(())
}

fn swallowed(first: Circle, second: Circle) -> Problem {
    let apart_mm = first.centre.distance_mm(second.centre);
    Problem::new("one circle lies within the other, so no line touches both")
        .why(format!(
            "the radii are {:.3} and {:.3} mm and the centres only {apart_mm:.3} mm apart",
            first.radius_mm, second.radius_mm
        ))
        .mend("check both radii and the distance between centres")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn circle(x: f64, y: f64, r: f64) -> Circle {
        Circle::new(Point::new(x, y), r)
    }

    /// A public algebra page: radii 5 and 12, centres 25, straight 24. A homework
    /// page prints 14.142 for radii 5 and 7, centres 14: it added the squares
    /// where the right triangle subtracts them; 13.8564 is right.
    #[test]
    fn straights_agree_with_worked_examples() {
        for (one, other, centres, straight) in [(5.0, 12.0, 25.0, 24.0), (5.0, 7.0, 14.0, 13.8564)] {
            let found = external(circle(0.0, 0.0, one), circle(centres, 0.0, other)).unwrap();
            assert!((found.straight_mm - straight).abs() < 1e-4, "{found:?}");
        }
    }

    /// Two equal bosses have half turns at both ends, and each centre lies on the
    /// chord of its own arc: they were refused when the second lay left or below.
    #[test]
    fn equal_bosses_make_a_band_whichever_way_they_lie() {
        for turn in 0..360 {
            let far = Point::ORIGIN.polar(60.0, f64::from(turn).to_radians());
            for far in [far, Point::new(far.x_mm.round(), far.y_mm.round())] {
                let bosses = [circle(0.0, 0.0, 3.5), circle(far.x_mm, far.y_mm, 3.5)];
                let band = around_bosses(&bosses).unwrap_or_else(|fault| panic!("{turn}°: {fault}"));
                let length = TAU * 3.5 + 2.0 * Point::ORIGIN.distance_mm(far);
                assert!((band.length_mm() - length).abs() < 1e-6, "{turn}°");
                assert!(band.reversed().contains(Point::ORIGIN) && band.reversed().contains(far), "{turn}°");
            }
        }
    }

    /// Machinery's Handbook 31, p. 701, disks and tangent straight edges. The
    /// book works in inches; only ratios matter.
    #[test]
    fn flank_angles_agree_with_the_handbook_disks() {
        let half_rad = |d: f64, big: f64, centres: f64| {
            let t = external(circle(0.0, 0.0, big / 2.0), circle(centres, 0.0, d / 2.0)).unwrap();
            PI / 2.0 - t.touch_rad
        };
        // d 1, D 1 1/2, C 5: 1.2015 in a foot at right angles to the centre line.
        assert!((24.0 * half_rad(1.0, 1.5, 5.0).tan() - 1.2015).abs() < 6e-5);
        // d 1 1/4, D 1 1/2, 3/4 in a foot: C 4.002.
        assert!((24.0 * half_rad(1.25, 1.5, 4.002).tan() - 0.75).abs() < 1e-4);
        // d 1, D 3, 20 degrees between the tangents: C 5.759.
        assert!((2.0 * half_rad(1.0, 3.0, 5.759).to_degrees() - 20.0).abs() < 1e-3);
        // d 2, D 3, C 5: 2.4367 in a foot measured from one tangent.
        assert!((12.0 * (2.0 * half_rad(2.0, 3.0, 5.0)).tan() - 2.4367).abs() < 6e-5);
    }

    #[test]
    fn impossible_tangents_are_problems() {
        let inside = external(circle(0.0, 0.0, 10.0), circle(3.0, 0.0, 5.0)).unwrap_err();
        assert!(inside.what().contains("within"), "{inside}");
        assert!(external(circle(0.0, 0.0, 0.0), circle(3.0, 0.0, 5.0)).is_err());
        assert!(external(circle(0.0, 0.0, f64::NAN), circle(3.0, 0.0, 5.0)).is_err());
        assert!(crossed(circle(0.0, 0.0, 5.0), circle(9.0, 0.0, 5.0)).unwrap_err().reason().is_some());
    }

    /// Radii 8 and 4, centres 20: `acos(4 / 20)`, arcs 2 pi less twice that and
    /// twice that, two straights of `sqrt(400 - 16)`.
    #[test]
    fn a_lever_of_two_bosses_has_the_length_of_its_parts() {
        let outline = around_bosses(&[circle(0.0, 0.0, 8.0), circle(20.0, 0.0, 4.0)]).unwrap();
        let touch = 0.2_f64.acos();
        let by_hand = 8.0 * (TAU - 2.0 * touch) + 4.0 * 2.0 * touch + 2.0 * 384.0_f64.sqrt();
        assert!((outline.length_mm() - by_hand).abs() < 1e-9);
        assert_eq!(outline.segments().len(), 4);
        assert!(Outline::new(outline.segments().to_vec()).is_ok());
    }

    #[test]
    fn a_boss_that_is_not_reached_is_named() {
        let ends = [circle(0.0, 0.0, 8.0), circle(40.0, 0.0, 8.0)];
        let swallowed = around_bosses(&[ends[0], circle(1.0, 0.0, 2.0), ends[1]]).unwrap_err();
        assert!(swallowed.what().contains("boss 2 lies wholly within boss 1"), "{swallowed}");
        let short = around_bosses(&[ends[0], circle(20.0, 0.0, 3.0), ends[1]]).unwrap_err();
        assert!(short.what().contains("boss 2 does not reach"), "{short}");
        let clockwise = [circle(0.0, 0.0, 3.0), circle(0.0, 30.0, 3.0), circle(30.0, 0.0, 3.0)];
        assert!(around_bosses(&clockwise).is_err());
        // Found by a property test: clockwise, yet its turns add up to one.
        let sly: Vec<Circle> = [(0.0, 1.0), (5.872, 2.0), (5.994, 3.0)]
            .map(|(rad, r)| Circle::new(Point::ORIGIN.polar(40.0, rad), r))
            .to_vec();
        assert!(around_bosses(&sly).is_err());
        assert!(around_bosses(&ends[..1]).is_err());
    }

    #[test]
    fn rectangles_keep_their_sides_and_lose_their_corners() {
        let plain = rectangle(Length::mm(30), Length::mm(20), Length::ZERO).unwrap();
        assert!((plain.area_mm2() - 600.0).abs() < 1e-9 && plain.segments().len() == 4);
        let rounded = rectangle(Length::mm(30), Length::mm(20), Length::mm(4)).unwrap();
        assert!((rounded.area_mm2() - (600.0 - (4.0 - PI) * 16.0)).abs() < 1e-9);
        let stadium = rectangle(Length::mm(30), Length::mm(20), Length::mm(10)).unwrap();
        assert_eq!(stadium.segments().len(), 6);
        for outline in [plain, rounded, stadium] {
            assert!(Outline::new(outline.segments().to_vec()).is_ok());
        }
        assert!(rectangle(Length::mm(30), Length::mm(20), Length::mm(11)).is_err());
        assert!(rectangle(Length::ZERO, Length::mm(20), Length::ZERO).is_err());
    }

    proptest! {
        /// A tangent is square to the radius at each touch and its line is one
        /// radius from each centre, so it meets each circle at one point only.
        #[test]
        fn tangents_touch_each_circle_once(
            x in -50.0..50.0f64, y in -50.0..50.0f64, r1 in 0.5..20.0f64, r2 in 0.5..20.0f64,
        ) {
            let (a, b) = (circle(3.0, -2.0, r1), circle(x, y, r2));
            for (tangents, crosses) in [(external(a, b), false), (crossed(a, b), true)] {
                let Ok(tangents) = tangents else { continue };
                for t in [tangents.right, tangents.left] {
                    let unit = (t.line.end - t.line.start).times(1.0 / t.line.length_mm());
                    let side = |c: Circle| unit.cross(c.centre - t.line.start);
                    prop_assert!((side(a).abs() - r1).abs() < 1e-7);
                    prop_assert!((side(b).abs() - r2).abs() < 1e-7);
                    prop_assert_eq!(side(a) * side(b) < 0.0, crosses);
                    prop_assert!(unit.dot(a.centre - t.line.start).abs() < 1e-7);
                    prop_assert!(unit.dot(b.centre - t.line.end).abs() < 1e-7);
                }
                let right = tangents.right.line;
                prop_assert!((right.end - right.start).cross(a.centre - right.start) > 0.0);
            }
        }

        /// A band round bosses is closed, uncrossed, holds every boss, and
        /// round pegs larger by one it is longer by a turn of radius one.
        #[test]
        fn a_band_holds_its_bosses(
            jitter in prop::collection::vec(-0.3..0.3f64, 2..6), seed in 1.0..6.0f64,
        ) {
            let count = jitter.len() as f64;
            let bosses: Vec<Circle> = jitter.iter().enumerate()
                .map(|(i, off)| (i as f64, i as f64 * TAU / count + off))
                .map(|(i, rad)| Circle::new(Point::ORIGIN.polar(40.0, rad), seed + i))
                .collect();
            let band = around_bosses(&bosses).unwrap();
            prop_assert!(Outline::new(band.segments().to_vec()).is_ok());
            prop_assert!(band.area_mm2() > 0.0);
            for boss in &bosses {
                prop_assert!(band.contains(boss.centre));
                prop_assert!(band.distance_mm(boss.centre) >= boss.radius_mm - 1e-6);
            }
            let larger: Vec<Circle> =
                bosses.iter().map(|b| Circle::new(b.centre, b.radius_mm + 1.0)).collect();
            let wide = around_bosses(&larger).unwrap();
            prop_assert!((wide.length_mm() - band.length_mm() - TAU).abs() < 1e-6);
        }
    }
}
