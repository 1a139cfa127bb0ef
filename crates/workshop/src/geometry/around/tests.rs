//! Outlines of corners, round ends and arcs, against elementary geometry.

use super::super::Arc;
use super::*;
use proptest::prelude::*;

fn corner(name: &str, x: f64, y: f64, radius_mm: f64) -> (Stop, Side) {
    let turn = Turn::Corner { at: Point::new(x, y), radius_mm };
    (Stop { name: name.into(), turn }, Side::Line)
}

/// Round bosses alone are the band of a lever, which has its own construction.
#[test]
fn bosses_alone_make_the_band_round_them() {
    let circles = [
        Circle::new(Point::new(0.0, 0.0), 9.0),
        Circle::new(Point::new(50.0, 4.0), 5.0),
        Circle::new(Point::new(22.0, 31.0), 7.0),
    ];
    let stops: Vec<(Stop, Side)> = circles
        .iter()
        .map(|&circle| (Stop { name: "boss".into(), turn: Turn::Round(circle) }, Side::Line))
        .collect();
    let made = around(&stops).unwrap().outline;
    let band = crate::geometry::tangents::around_bosses(&circles).unwrap();
    assert!((made.area_mm2() - band.area_mm2()).abs() < 1e-9);
    assert!((made.length_mm() - band.length_mm()).abs() < 1e-9);
}

/// A keyhole: a boss of 10 on a stem 8 wide, to a foot square to it. Elementary: the
/// stem's sides slant to the boss as tangents from their corners, √(d² − r²) long.
#[test]
fn a_boss_between_corners_is_met_by_tangents() {
    let boss = Turn::Round(Circle::new(Point::new(0.0, 40.0), 10.0));
    let stops = [
        corner("left", -4.0, 0.0, 0.0),
        corner("right", 4.0, 0.0, 0.0),
        (Stop { name: "head".into(), turn: boss }, Side::Line),
    ];
    let made = around(&stops).unwrap();
    assert_eq!(made.names, ["left to right", "right to head", "head", "head to left"]);
    let tangent = (40.0_f64.powi(2) + 16.0 - 100.0).sqrt();
    let lengths: Vec<f64> = made.outline.segments().iter().map(Segment::length_mm).collect();
    assert!((lengths[1] - tangent).abs() < 1e-9 && (lengths[3] - tangent).abs() < 1e-9, "{lengths:?}");
    assert!(lengths[2] > 10.0 * PI, "more than half of the boss stands out: {lengths:?}");
}

/// A lever with a flank hollow and a flank full: bosses of 10 and 6, 50 apart. By hand: the middle of a hollow
/// of 40 is 50 from the one centre and 46 from the other, that of a full flank of 40 is 30 and 34 from them;
/// each touches both bosses, and the outline goes on there without a corner.
#[test]
fn arcs_between_bosses_touch_both() {
    let (big, small) = (Circle::new(Point::ORIGIN, 10.0), Circle::new(Point::new(50.0, 0.0), 6.0));
    let boss = |circle, out| {
        let side = Side::Arc { radius_mm: 40.0, out, greater: false };
        (Stop { name: "boss".into(), turn: Turn::Round(circle) }, side)
    };
    let made = around(&[boss(big, false), boss(small, true)]).unwrap().outline;
    let arcs: Vec<Arc> = made
        .segments()
        .iter()
        .filter_map(|piece| match piece {
            Segment::Arc(arc) if arc.radius_mm > 30.0 => Some(*arc),
            _ => None,
        })
        .collect();
    let [hollow, full] = arcs[..] else { panic!("{made:?}") };
    for (arc, far) in [(hollow, [50.0, 46.0]), (full, [30.0, 34.0])] {
        for (circle, far) in [big, small].into_iter().zip(far) {
            assert!((arc.centre.distance_mm(circle.centre) - far).abs() < 1e-9, "{arc:?}");
        }
    }
    assert!(hollow.centre.y_mm < 0.0 && hollow.sweep_rad < 0.0, "below, and run clockwise: {hollow:?}");
    assert!(full.centre.y_mm < 0.0 && full.sweep_rad > 0.0, "its middle lies across: {full:?}");
    for (one, next) in made.segments().iter().zip(made.segments().iter().cycle().skip(1)) {
        assert!(heading(one, 1.0).distance_mm(heading(next, 0.0)) < 1e-9, "{one:?} {next:?}");
    }
}

/// The greater arc of a chord is the whole circle without the lesser.
#[test]
fn the_greater_arc_is_the_rest_of_the_circle() {
    let through = |greater| {
        let mut stops = vec![
            corner("a", 0.0, 0.0, 0.0),
            corner("b", 12.0, 0.0, 0.0),
            corner("c", 12.0, -30.0, 0.0),
            corner("d", 0.0, -30.0, 0.0),
        ];
        stops.reverse();
        // From b on to a, across the top.
        stops[2].1 = Side::Arc { radius_mm: 10.0, out: true, greater };
        around(&stops).unwrap().outline
    };
    let (lesser, greater) = (through(false), through(true));
    let arc = |outline: &Outline| {
        outline.segments().iter().find(|s| matches!(s, Segment::Arc(_))).unwrap().length_mm()
    };
    assert!((arc(&lesser) + arc(&greater) - TAU * 10.0).abs() < 1e-9);
    assert!(greater.area_mm2() > lesser.area_mm2());
}

proptest! {
    /// Any outline of corners: rounding one that turns by θ takes r²(tan θ/2 − θ/2)
    /// off the area and r(2 tan θ/2 − θ) off the length, and gives as much at an
    /// inside corner. The corners lie round the middle, so that the sides never cross.
    #[test]
    fn rounded_corners_change_area_and_length_as_geometry_says(
        spokes in prop::collection::vec((20.0..60.0f64, 0.0..1.0f64), 3..9),
    ) {
        let count = spokes.len();
        let at: Vec<Point> = spokes.iter().enumerate()
            .map(|(n, &(long, _))| Point::ORIGIN.polar(long, TAU * n as f64 / count as f64)).collect();
        let turn = |n: usize| {
            let (a, b, c) = (at[(n + count - 1) % count], at[n], at[(n + 1) % count]);
            let (into, out) = (a.direction_rad(b), b.direction_rad(c));
            (out - into).sin().atan2((out - into).cos())
        };
        // A rounding takes at most two fifths of the shorter side beside it.
        let radius = |n: usize| {
            let beside = at[n].distance_mm(at[(n + 1) % count]).min(at[n].distance_mm(at[(n + count - 1) % count]));
            spokes[n].1 * 0.4 * beside / (turn(n).abs() / 2.0).tan().max(1e-3)
        };
        let stops: Vec<(Stop, Side)> = (0..count)
            .map(|n| corner("corner", at[n].x_mm, at[n].y_mm, if radius(n) > 0.01 { radius(n) } else { 0.0 }))
            .collect();
        let smooth = (0..count).any(|n| turn(n).abs() < 1e-3);
        prop_assume!(!smooth);
        let sharp: Vec<(Stop, Side)> = (0..count).map(|n| corner("corner", at[n].x_mm, at[n].y_mm, 0.0)).collect();
        let (made, sharp) = (around(&stops).unwrap().outline, around(&sharp).unwrap().outline);
        let (mut area, mut length) = (sharp.area_mm2(), sharp.length_mm());
        for n in 0..count {
            let (r, half) = (if radius(n) > 0.01 { radius(n) } else { 0.0 }, turn(n).abs() / 2.0);
            area -= r * r * (half.tan() - half) * turn(n).signum();
            length -= 2.0 * r * (half.tan() - half);
        }
        prop_assert!((made.area_mm2() - area).abs() < 1e-6 * area.max(1.0), "{} {area}", made.area_mm2());
        prop_assert!((made.length_mm() - length).abs() < 1e-6 * length, "{} {length}", made.length_mm());
        let whole = bounds(&stops).unwrap();
        prop_assert!((whole.width_mm() - made.bounds().width_mm()).abs() < 1e-9);
    }

    /// Whatever is asked for: an outline that closes and does not cross, or a reason.
    #[test]
    fn any_stops_make_an_outline_or_a_problem(
        stops in prop::collection::vec(
            (-50.0..50.0f64, -50.0..50.0f64, 0.0..30.0f64, 0u8..6), 0..7),
    ) {
        let stops: Vec<(Stop, Side)> = stops.into_iter().enumerate().map(|(n, (x, y, r, what))| {
            let at = Point::new(x, y);
            let turn = match what {
                0 => Turn::Round(Circle::new(at, r)),
                1 => Turn::Corner { at, radius_mm: 0.0 },
                _ => Turn::Corner { at, radius_mm: r / 4.0 },
            };
            let side = match what {
                4 => Side::Arc { radius_mm: r * 2.0, out: true, greater: n % 2 == 0 },
                5 => Side::Arc { radius_mm: r * 2.0, out: false, greater: n % 2 == 0 },
                _ => Side::Line,
            };
            (Stop { name: format!("stop {n}"), turn }, side)
        }).collect();
        match around(&stops) {
            Ok(made) => {
                prop_assert!(made.outline.area_mm2() > 0.0);
                prop_assert_eq!(made.names.len(), made.outline.segments().len());
                prop_assert!(Outline::new(made.outline.segments().to_vec()).is_ok());
            }
            Err(fault) => prop_assert!(fault.remedy().is_some(), "{}", fault),
        }
        let _ = bounds(&stops);
    }
}
