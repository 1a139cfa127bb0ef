//! Positions against printed examples, closed forms and the equations themselves.

mod made;

use std::f64::consts::TAU;

use made::*;
use mechanism::{Assembly, FRAME, Kind, Line, Mechanism, Model, Side};

fn degrees(model: &Model, state: &mechanism::State, link: mechanism::LinkId) -> f64 {
    let t = model.pose(state, link).t.to_degrees();
    t - (t / 360.0).round() * 360.0
}

/// Norton, Design of Machinery, example 4-1 and problem 4-6 row a (from memory): coupler and
/// rocker angles, open then crossed, to the two places printed.
#[test]
fn four_bar_angles_are_those_of_the_handbook() {
    let cases = [
        ((40.0, 120.0, 80.0, 100.0, 40.0), [20.30, 57.33, -60.98, -98.01]),
        ((2.0, 7.0, 9.0, 6.0, 30.0), [88.84, 117.29, -115.21, -143.66]),
    ];
    for ((crank, coupler, rocker, ground, at), want) in cases {
        let made = four_bar(crank, coupler, rocker, ground);
        let model = Model::new(&made.of).unwrap();
        let modes = model.modes(f64::to_radians(at)).unwrap();
        assert_eq!(modes.len(), 2);
        let mut got: Vec<[f64; 2]> = modes
            .iter()
            .map(|s| [degrees(&model, s, made.links[1]), degrees(&model, s, made.links[2])])
            .collect();
        got.sort_by(|a, b| b[0].total_cmp(&a[0]));
        for (g, w) in got.concat().iter().zip(want) {
            assert!((g - w).abs() < 0.006, "{g} and not {w}");
        }
    }
}

/// Norton, example 4-2 (from memory): the offset slider's place on both sides.
#[test]
fn an_offset_slider_stands_where_the_handbook_says() {
    let made = slider_crank(40.0, 120.0, -20.0);
    let model = Model::new(&made.of).unwrap();
    let mut got: Vec<f64> =
        model.modes(60_f64.to_radians()).unwrap().iter().map(|s| model.place(s, made.small_end)[0]).collect();
    got.sort_by(f64::total_cmp);
    assert!((got[0] + 86.84).abs() < 0.006 && (got[1] - 126.84).abs() < 0.006, "{got:?}");
}

/// The textbook's x = r cos θ + sqrt(l² - r² sin² θ), all the way round.
#[test]
fn a_crosshead_follows_the_closed_form() {
    let made = slider_crank(20.0, 70.0, 0.0);
    let model = Model::new(&made.of).unwrap();
    let mut state = model.assemble(0.3, &Assembly::Rough(vec![(made.small_end, [90.0, 0.0])])).unwrap();
    for i in 0..=720 {
        let t = 0.3 + f64::from(i) * TAU / 360.0;
        model.go(&mut state, t).unwrap();
        let want = 20.0 * t.cos() + (70.0_f64.powi(2) - (20.0 * t.sin()).powi(2)).sqrt();
        assert!((model.place(&state, made.small_end)[0] - want).abs() < 1e-12);
    }
}

/// Every kind of gear keeps its own equations all the way round, to far below a nanometre.
#[test]
fn every_made_up_gear_goes_round_and_keeps_its_equations() {
    let open = link_motion(true, 0.1);
    let radial = radial_gear(0.05);
    let (hot, drop) = (displacer(), drop_valve());
    let cases = [
        (&open.engine.of, Assembly::Rough(open.rough.clone())),
        (&radial.engine.of, Assembly::Rough(radial.rough.clone())),
        (
            &hot.of,
            Assembly::Rough(vec![
                (hot.piston, [60.0, 0.0]),
                (hot.valve, [95.0, -20.0]),
                (hot.of.find_point(hot.of.find_link("bell crank").unwrap(), "in").unwrap(), [40.0, 0.0]),
            ]),
        ),
        (
            &drop.of,
            Assembly::Rough(vec![
                (drop.piston, [5.0, 55.0]),
                (drop.of.find_point(drop.of.find_link("lever").unwrap(), "out").unwrap(), [60.0, 55.0]),
            ]),
        ),
    ];
    for (n, (of, how)) in cases.into_iter().enumerate() {
        let model = Model::new(of).unwrap_or_else(|f| panic!("{n}: {}", f[0]));
        let mut state = model.assemble(0.2, &how).unwrap_or_else(|f| panic!("{n}: {f}"));
        let start = state.clone();
        for i in 1..=720 {
            model
                .go(&mut state, 0.2 + f64::from(i) * TAU / 720.0)
                .unwrap_or_else(|s| panic!("{n} {i}: {s:?}"));
            assert!(model.error(&state) < 1e-12, "{n}: {}", model.error(&state));
        }
        for link in 1..of.links.len() {
            let (a, b) =
                (model.pose(&start, mechanism::LinkId(link)), model.pose(&state, mechanism::LinkId(link)));
            assert!((a.x - b.x).hypot(a.y - b.y) < 1e-9 && (a.c - b.c).abs() < 1e-10, "{n}: link {link}");
        }
    }
}

#[test]
fn a_mechanism_that_can_move_two_ways_names_the_loose_links() {
    let mut made = four_bar(20.0, 60.0, 50.0, 70.0);
    made.of.joints.retain(|joint| joint.name != "rocker bearing");
    let faults = Model::new(&made.of).unwrap_err();
    assert_eq!(faults.len(), 1);
    assert!(faults[0].what.contains("2 ways more"), "{}", faults[0]);
    assert!(faults[0].place.contains(&"rocker".to_owned()) && !faults[0].place.contains(&"crank".to_owned()));
}

#[test]
fn a_mechanism_that_is_held_fast_says_which_links() {
    let mut made = four_bar(20.0, 60.0, 50.0, 70.0);
    let p = made.of.point(FRAME, "stop", mechanism::At::xy(35.0, 30.0));
    let q = made.of.point(made.links[1], "middle", mechanism::At::xy(30.0, 4.0));
    made.of.slot("peg", p, Line::At(q, 0.0.into()));
    let model = Model::new(&made.of).unwrap();
    let fault = model.assemble(0.5, &Assembly::Mode(0)).unwrap_err();
    assert!(fault.place.contains(&"coupler".to_owned()), "{fault}");
    assert!(!fault.place.contains(&"crank".to_owned()), "{fault}");
}

/// Two equal cranks and a rod with a third between them: held once too often, yet it goes.
#[test]
fn three_coupled_wheels_go_round_though_held_too_often() {
    let mut m = Mechanism::new();
    let mut rods = Vec::new();
    let (r, gap) = (m.param("throw", 15.0), m.param("wheelbase", 60.0));
    // Cranks a quarter apart carry a rod on either side, as on a locomotive: never all in line.
    let side = [m.link("left rod"), m.link("right rod")];
    for n in 0..3 {
        let at = mechanism::Size::from(gap) * f64::from(n);
        let o = m.point(FRAME, format!("axle {n}"), mechanism::At::xy(at.clone(), 0.0));
        let wheel = m.link(format!("wheel {n}"));
        let eye = m.point(wheel, "eye", mechanism::At::xy(0.0, 0.0));
        m.pin(format!("axle {n}"), o, eye);
        for (k, &rod) in side.iter().enumerate() {
            let angle = std::f64::consts::FRAC_PI_2 * k as f64;
            let pin = m.point(wheel, format!("pin {k}"), mechanism::At::polar(r, angle));
            let hole = m.point(rod, format!("hole {n}"), mechanism::At::xy(at.clone(), 0.0));
            m.pin(format!("crankpin {n} {k}"), pin, hole);
            rods.push((hole, pin));
        }
        if n == 0 {
            m.crank(wheel);
        }
    }
    // A piston rod hung on the last pin is none of the coupled links' business.
    let l = m.param("rod", 70.0);
    let rod = m.link("piston rod");
    let (big, small) =
        (m.point(rod, "big", mechanism::At::xy(0.0, 0.0)), m.point(rod, "small", mechanism::At::xy(l, 0.0)));
    m.pin("big end", rods[4].1, big);
    m.slot("crosshead", small, Line::At(mechanism::PointId { link: FRAME, point: 0 }, 0.0.into()));
    let model = Model::new(&m).unwrap();
    assert_eq!(model.notes().len(), 1);
    assert!(!model.notes()[0].contains("piston rod"), "{:?}", model.notes());
    let rough = vec![
        (small, [205.0, 0.0]),
        (rods[0].0, [15.0, 0.0]),
        (rods[4].0, [135.0, 0.0]),
        (rods[2].1, [75.0, 0.0]),
    ];
    let mut rough_both = rough.clone();
    rough_both.extend([(rods[1].0, [0.0, 15.0]), (rods[5].0, [120.0, 15.0]), (rods[5].1, [120.0, 15.0])]);
    rough_both.extend([(rods[3].1, [60.0, 15.0]), (rods[4].1, [135.0, 0.0])]);
    let mut state = model.assemble(0.0, &Assembly::Rough(rough_both)).unwrap_or_else(|f| panic!("{f}"));
    for i in 1..=180 {
        let t = f64::from(i) * TAU / 180.0;
        model.go(&mut state, t).unwrap();
        let wheel = m.find_link("wheel 2").unwrap();
        assert!((model.pose(&state, wheel).t - t).abs() < 1e-9, "{i}");
        let want = 120.0 + 15.0 * t.cos() + (4900.0 - 225.0 * t.sin() * t.sin()).sqrt();
        assert!((model.place(&state, small)[0] - want).abs() < 1e-8, "{i}");
    }
}

/// A planet inside a ring twice its size draws a straight line (Cardan's circles).
#[test]
fn a_planet_half_the_ring_moves_its_rim_along_a_diameter() {
    let mut m = Mechanism::new();
    let r = m.param("pitch radius", 10.0);
    let ratio = m.param("ratio", 2.0);
    let o = m.point(FRAME, "axle", mechanism::At::xy(0.0, 0.0));
    let arm = m.link("arm");
    let (eye, tip) =
        (m.point(arm, "eye", mechanism::At::xy(0.0, 0.0)), m.point(arm, "tip", mechanism::At::xy(r, 0.0)));
    let planet = m.link("planet");
    let axle = m.point(planet, "axle", mechanism::At::xy(0.0, 0.0));
    let rim = m.point(planet, "rim", mechanism::At::xy(r, 0.0));
    m.pin("axle", o, eye);
    m.pin("planet axle", tip, axle);
    let gear = Kind::Gear { link: planet, by: FRAME, carrier: arm, ratio: ratio.into(), phase: 0.0.into() };
    m.joint("ring", gear);
    m.crank(arm);
    let model = Model::new(&m).unwrap();
    let mut state = model.assemble(0.0, &Assembly::Only).unwrap();
    for i in 0..=100 {
        let t = f64::from(i) * 0.1;
        model.go(&mut state, t).unwrap();
        let at = model.place(&state, rim);
        assert!((at[0] - 20.0 * t.cos()).abs() < 1e-12 && at[1].abs() < 1e-12, "{t}: {at:?}");
    }
}

#[test]
fn the_side_of_three_points_picks_the_assembly() {
    let made = four_bar(40.0, 120.0, 80.0, 100.0);
    let model = Model::new(&made.of).unwrap();
    for (side, want) in [(Side::Left, -60.98), (Side::Right, 20.30)] {
        let three = [made.crank_pin, made.rod_end, made.fixed[1]];
        let state = model.assemble(40_f64.to_radians(), &Assembly::Sides(vec![(three, side)])).unwrap();
        assert!((degrees(&model, &state, made.links[1]) - want).abs() < 0.01);
    }
    let fault = model.assemble(1.0, &Assembly::Only).unwrap_err();
    assert!(fault.what.contains("2 ways"), "{fault}");
}

#[test]
fn links_that_do_not_reach_say_by_how_much() {
    let made = four_bar(10.0, 20.0, 20.0, 70.0);
    let fault = Model::new(&made.of).unwrap().modes(0.0).unwrap_err();
    // The pin stands 60 from the rocker's shaft and 40 of links are there.
    assert!(fault.place == ["coupler", "rocker"] && fault.why.contains("mm"), "{fault}");
}
