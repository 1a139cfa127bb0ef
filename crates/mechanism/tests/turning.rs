//! Strokes, rates, locks, changes and transmission angles against closed forms, and every
//! derivative against differences.

mod made;

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use made::*;
use mechanism::{Assembly, At, Event, FRAME, Line, Measure, Mechanism, Model, Moment, Reading, Span, Turn};

fn along_x(point: mechanism::PointId, from: mechanism::PointId) -> Measure {
    Measure::Along(point, Line::At(from, 0.0.into()))
}

fn slider(crank: f64, rod: f64, offset: f64) -> (SliderCrank, Turn, Measure) {
    let made = slider_crank(crank, rod, offset);
    let model = Model::new(&made.of).unwrap();
    let state = model.assemble(0.3, &Assembly::Rough(vec![(made.small_end, [rod, offset])])).unwrap();
    let turn = model.turn(&state, Span::TURN);
    let x = along_x(made.small_end, made.axle);
    (made, turn, x)
}

/// stroke = sqrt((l+r)² - h²) - sqrt((l-r)² - h²); the dead centres where crank and rod lie in
/// one line through the axle.
#[test]
fn an_offset_stroke_and_its_dead_centres_are_the_closed_form() {
    let (r, l, h) = (20.0, 65.0, 7.0_f64);
    let (_, turn, x) = slider(r, l, h);
    assert!(turn.closed && turn.events.is_empty());
    let (far, near) = (((l + r).powi(2) - h * h).sqrt(), ((l - r).powi(2) - h * h).sqrt());
    let [most, least] = turn.range(&x).unwrap();
    assert!((most.value - far).abs() < 1e-12 && (least.value - near).abs() < 1e-12);
    assert!(((most.angle - (h / (l + r)).asin()).rem_euclid(TAU)).min(1.0) < 1e-10, "{}", most.angle);
    assert!((least.angle - (PI + (h / (l - r)).asin())).abs() < 1e-10, "{}", least.angle);
}

/// A university worksheet: crank 10 in, rod 20 in, 45°, 1 rad/s: slider 9.744 in/s, rod 0.378 rad/s
/// (public page); Khurmi and Gupta, Theory of Machines, example 8.1 (from memory): 5.67 rad/s and
/// 171.67 rad/s² found by drawing, which half a percent is all it can bear.
#[test]
fn rates_are_those_of_the_worked_examples() {
    let (made, turn, x) = slider(10.0, 20.0, 0.0);
    let at = turn.reckon(FRAC_PI_2 / 2.0, &x).unwrap();
    let rod = turn.reckon(FRAC_PI_2 / 2.0, &Measure::Turned(made.links[1], FRAME)).unwrap();
    assert!((at.first.abs() - 9.744).abs() < 6e-4 && (rod.first.abs() - 0.378).abs() < 6e-4);
    let (made, turn, _) = slider(150.0, 600.0, 0.0);
    let w = 300.0 * TAU / 60.0;
    let rod = turn.reckon(FRAC_PI_2 / 2.0, &Measure::Turned(made.links[1], FRAME)).unwrap();
    assert!((rod.first.abs() * w - 5.67).abs() < 0.15 && (rod.second.abs() * w * w - 171.67).abs() < 0.15);
}

/// In line the coupler and rocker reach coupler ± rocker: cosine rule at the crank's shaft.
#[test]
fn a_crank_that_cannot_go_round_locks_where_the_cosine_rule_says() {
    let (a, b, c, d) = (50.0, 60.0, 45.0, 70.0_f64);
    let made = four_bar(a, b, c, d);
    let model = Model::new(&made.of).unwrap();
    let state = &model.modes(0.8).unwrap()[0];
    let turn = model.turn(state, Span::TURN);
    assert!(!turn.whole && !turn.closed);
    let reach = ((a * a + d * d - (b + c).powi(2)) / (2.0 * a * d)).acos();
    let angles: Vec<f64> = turn.events.iter().map(Event::angle).collect();
    assert_eq!(angles.len(), 2, "{:?}", turn.events);
    let closed = (d - a).abs() > (b - c).abs();
    assert!(closed, "the lower limit does not exist, so it swings through nought");
    assert!((angles[1] - reach).abs() < 1e-9 && (angles[0] + reach).abs() < 1e-9, "{angles:?} {reach}");
    assert!(
        turn.events.iter().all(|e| matches!(e, Event::Lock { links, .. } if links == &["coupler", "rocker"]))
    );
}

/// A parallelogram comes into line at 0 and 180°, where it could fold; followed smoothly it
/// stays a parallelogram.
#[test]
fn a_parallelogram_tells_both_its_change_points_and_stays_one() {
    let made = four_bar(20.0, 60.0, 20.0, 60.0);
    let model = Model::new(&made.of).unwrap();
    let side = mechanism::Side::Right;
    let three = [made.crank_pin, made.rod_end, made.fixed[1]];
    let state = model.assemble(0.5, &Assembly::Sides(vec![(three, side)])).unwrap();
    let turn = model.turn(&state, Span::TURN);
    let angles: Vec<f64> = turn.events.iter().map(Event::angle).collect();
    assert_eq!(angles.len(), 2, "{:?}", turn.events);
    assert!((angles[0] - PI).abs() < 1e-9 && (angles[1] - TAU).abs() < 1e-9, "{angles:?}");
    assert!(turn.whole && turn.closed);
    for state in &turn.states {
        assert!((model.pose(state, made.links[2]).t - state.angle).abs() < 1e-6, "{}", state.angle);
    }
}

/// A pin block that cannot turn, held at two distances: the four-bar's rod and rocker without
/// links of their own, which only Newton's method solves.
fn block_on_two_distances(a: f64, b: f64, c: f64, d: f64) -> (mechanism::Mechanism, mechanism::PointId) {
    use mechanism::{At, Kind};
    let mut m = mechanism::Mechanism::new();
    let (o, p) = (m.point(FRAME, "axle", At::xy(0.0, 0.0)), m.point(FRAME, "shaft", At::xy(d, 0.0)));
    let (crank, block) = (m.link("crank"), m.link("block"));
    let (eye, pin) = (m.point(crank, "eye", At::xy(0.0, 0.0)), m.point(crank, "pin", At::xy(a, 0.0)));
    let q = m.point(block, "pin", At::xy(0.0, 0.0));
    m.pin("bearing", o, eye);
    m.joint("rod", Kind::Arc { point: q, centre: pin, radius: b.into() });
    m.joint("rocker", Kind::Arc { point: q, centre: p, radius: c.into() });
    m.joint("guide", Kind::Keep { link: block, on: FRAME, angle: 0.0.into() });
    m.crank(crank);
    (m, q)
}

#[test]
fn locks_and_changes_are_found_as_well_without_a_closed_form() {
    let (a, b, c, d) = (50.0, 60.0, 45.0, 70.0_f64);
    let (of, q) = block_on_two_distances(a, b, c, d);
    let model = Model::new(&of).unwrap();
    let modes = model.modes(0.8).unwrap();
    assert_eq!(modes.len(), 2);
    let turn = model.turn(&modes[0], Span::TURN);
    let reach = ((a * a + d * d - (b + c).powi(2)) / (2.0 * a * d)).acos();
    let angles: Vec<f64> = turn.events.iter().map(Event::angle).collect();
    assert!(
        angles.len() == 2 && (angles[1] - reach).abs() < 1e-9 && (angles[0] + reach).abs() < 1e-9,
        "{angles:?}"
    );
    // In line at the lock: the block lies on the line from the crankpin to the shaft.
    let last = turn.states.last().unwrap();
    let (x, y) = (a * reach.cos(), a * reach.sin());
    let at = model.place(last, q);
    assert!((at[0] - x - (d - x) * b / (b + c)).hypot(at[1] - y + y * b / (b + c)) < 2e-3, "{at:?}");

    let (of, q) = block_on_two_distances(20.0, 60.0, 20.0, 60.0);
    let model = Model::new(&of).unwrap();
    let start = model.assemble(0.5, &Assembly::Rough(vec![(q, [77.0, 10.0])])).unwrap();
    let turn = model.turn(&start, Span::TURN);
    let angles: Vec<f64> = turn.events.iter().map(Event::angle).collect();
    assert_eq!(angles.len(), 2, "{:?}", turn.events);
    assert!((angles[0] - PI).abs() < 1e-9 && (angles[1] - TAU).abs() < 1e-9, "{angles:?}");
    assert!(turn.closed);
    for state in &turn.states {
        let (at, t) = (model.place(state, q), state.angle);
        assert!((at[0] - 60.0 - 20.0 * t.cos()).hypot(at[1] - 20.0 * t.sin()) < 1e-5, "{t}");
    }
}

/// A rocker that drives swings its measures as far as the locks: the ends count.
#[test]
fn a_swing_between_locks_is_measured_to_its_ends() {
    let (a, b, c, d) = (50.0, 60.0, 45.0, 70.0_f64);
    let made = four_bar(a, b, c, d);
    let model = Model::new(&made.of).unwrap();
    let turn = model.turn(&model.modes(0.8).unwrap()[0], Span::TURN);
    let reach = ((a * a + d * d - (b + c).powi(2)) / (2.0 * a * d)).acos();
    let swing = turn.value(&Reading::stroke(&Measure::Turned(made.links[0], FRAME))).unwrap();
    assert!((swing - 2.0 * reach).abs() < 1e-9, "{swing}");
}

#[test]
fn a_start_with_links_in_line_is_refused_with_a_way_out() {
    let made = four_bar(20.0, 60.0, 20.0, 60.0);
    let fault = Model::new(&made.of).unwrap().assemble(0.0, &Assembly::Mode(0)).unwrap_err();
    assert!(fault.what.contains("in line") && fault.place == ["coupler", "rocker"], "{fault}");
}

/// cos μ = (b² + c² - (d ∓ a)²)/2bc with the crank along the ground line.
#[test]
fn the_least_transmission_angle_is_at_the_ground_line() {
    let (a, b, c, d) = (20.0, 70.0, 50.0, 80.0_f64);
    let made = four_bar(a, b, c, d);
    let model = Model::new(&made.of).unwrap();
    let turn = model.turn(&model.modes(1.0).unwrap()[0], Span::TURN);
    let mu = |far: f64| ((b * b + c * c - far * far) / (2.0 * b * c)).acos();
    let worst = mu(d - a).min(PI - mu(d + a)).min(mu(d + a));
    let told = &turn.transmission()[0];
    assert!((told.least - worst).abs() < 1e-9 && told.links == ["coupler", "rocker"], "{told:?} {worst}");
    assert_eq!(told.poor, worst < 40_f64.to_radians());
    // By the crank, where the crank lies along the ground line towards the rocker: the cosine
    // rule's own derivative, -sin μ dμ = (d - a) da/bc.
    let read = turn.judge().unwrap().read(&told.by).unwrap();
    assert!((read.value - worst).abs() < 1e-9);
    let want = -(d - a) / (b * c * mu(d - a).sin());
    assert!((read.by[0] - want).abs() < 1e-9, "{} {want}", read.by[0]);
}

/// A rod to a line: its least transmission angle has the cosine (r + |h|)/l.
#[test]
fn transmission_to_a_guide_is_told_with_what_it_hangs_on() {
    let (r, l, h) = (20.0, 65.0, 7.0_f64);
    let (made, turn, _) = slider(r, l, h);
    let told = turn.transmission();
    let least = ((r + h) / l).acos();
    assert!(told.len() == 1 && (told[0].least - least).abs() < 1e-9, "{told:?} {least}");
    let read = turn.judge().unwrap().read(&told[0].by).unwrap();
    let rod = made.of.find_param("rod").unwrap().0;
    assert!((read.value - least).abs() < 1e-9);
    assert!((read.by[rod] - (r + h) / (l * l * least.sin())).abs() < 1e-9, "{:?}", read.by);
}

/// Rocker swing between the two places where crank and coupler are in line: cosine rule.
#[test]
fn a_rocker_swings_as_far_as_the_cosine_rule_says() {
    let (a, b, c, d) = (20.0, 70.0, 50.0, 80.0_f64);
    let made = four_bar(a, b, c, d);
    let model = Model::new(&made.of).unwrap();
    let turn = model.turn(&model.modes(1.0).unwrap()[0], Span::TURN);
    let at = |far: f64| ((c * c + d * d - far * far) / (2.0 * c * d)).acos();
    let swing = turn.value(&Reading::stroke(&Measure::Turned(made.links[2], FRAME))).unwrap();
    assert!((swing - (at(a + b) - at(b - a))).abs() < 1e-10);
}

fn readings(engine: &Engine) -> Vec<Reading> {
    let piston = along_x(engine.piston, engine.axle);
    let valve = along_x(engine.valve, engine.axle);
    let middle = 0.0;
    let passes = |rising| Moment::Passes { what: valve.clone(), level: 88.0.into(), rising, near: middle };
    vec![
        Reading::stroke(&piston),
        Reading::stroke(&valve),
        Reading::When(Moment::Most(valve.clone())),
        Reading::Since(Moment::Most(piston.clone()), Moment::Least(valve.clone())),
        Reading::Value(piston.clone(), Moment::At(1.1.into())),
        Reading::Rate(valve.clone(), Moment::At(2.1.into())),
        Reading::When(passes(true)),
        Reading::Rate(piston.clone(), passes(false)),
        Reading::Ratio(
            Box::new(Reading::Value(piston.clone(), passes(true))),
            Box::new(Reading::stroke(&piston)),
        ),
    ]
}

/// Every derivative of every kind of result by every parameter, against central differences
/// of whole solutions with Richardson's correction.
#[test]
fn every_derivative_agrees_with_differences() {
    let gears = [link_motion(true, 0.1), radial_gear(0.05)];
    for (n, gear) in gears.into_iter().enumerate() {
        let model = Model::new(&gear.engine.of).unwrap();
        let start = model.assemble(0.2, &Assembly::Rough(gear.rough.clone())).unwrap();
        let span = Span { steps: 90, ..Span::TURN };
        let turn = model.turn(&start, span);
        assert!(turn.closed, "{n}: {:?}", turn.events);
        let mut all = readings(&gear.engine);
        if n == 1 {
            // The other gear's valve does not pass the same place.
            all.retain(|r| !format!("{r:?}").contains("Passes"));
            let slip = Reading::stroke(&Measure::InSlot(gear.die_joint));
            all.push(slip);
        }
        let judge = turn.judge().unwrap();
        let told: Vec<_> = all.iter().map(|r| judge.read(r).unwrap()).collect();
        for p in 0..model.values().len() {
            // A step for angles is a step of a whole arm.
            let h = if model.values()[p].abs() < 2.0 { 1e-4 } else { 1e-3 };
            let at = |by: f64| -> Vec<f64> {
                let mut params = model.values().to_vec();
                params[p] += by;
                let (other, state) = model.carry(&start, &params).unwrap();
                let turn = other.turn(&state, span);
                all.iter().map(|r| turn.value(r).unwrap()).collect()
            };
            let (a, b, c, d) = (at(-h), at(h), at(-2.0 * h), at(2.0 * h));
            // A moment near the beginning of the turn may be found a turn later.
            let gap = |x: f64, y: f64| if (x - y).abs() > 3.0 { x - y - TAU.copysign(x - y) } else { x - y };
            for (i, told) in told.iter().enumerate() {
                let want = (8.0 * gap(b[i], a[i]) - gap(d[i], c[i])) / (12.0 * h);
                let name = &gear.engine.of.params[p].name;
                assert!(
                    (told.by[p] - want).abs() < 1e-9 * (1.0 + want.abs()),
                    "gear {n}, result {i} by {name}: {} and not {want}",
                    told.by[p]
                );
            }
        }
    }
}

/// Rates and second rates of a whole gear against differences along the turn.
#[test]
fn rates_along_the_turn_agree_with_differences() {
    let gear = link_motion(false, -0.1);
    let model = Model::new(&gear.engine.of).unwrap();
    let start = model.assemble(0.2, &Assembly::Rough(gear.rough.clone())).unwrap();
    let turn = model.turn(&start, Span { steps: 360, ..Span::TURN });
    let valve = along_x(gear.engine.valve, gear.engine.axle);
    for i in 0..24 {
        let t = 0.4 + 0.25 * f64::from(i);
        let h = 1e-3;
        let at = |by: f64| turn.reckon(t + by, &valve).unwrap();
        let (a, b, c, d, m) = (at(-h), at(h), at(-2.0 * h), at(2.0 * h), at(0.0));
        let first = (8.0 * (b.value - a.value) - (d.value - c.value)) / (12.0 * h);
        let second = (8.0 * (b.first - a.first) - (d.first - c.first)) / (12.0 * h);
        assert!(
            (m.first - first).abs() < 1e-9 && (m.second - second).abs() < 1e-8,
            "{t}: {m:?} {first} {second}"
        );
    }
}

/// A turn that begins at a dead centre has it at both its ends, each with its own rounding:
/// the stroke is twice the throw wherever the cylinder points and wherever the turn begins.
#[test]
fn a_turn_may_begin_at_a_dead_centre_whichever_way_the_cylinder_points() {
    for way in 0..72 {
        let angle = f64::from(way).to_radians() * 5.0;
        let mut m = Mechanism::new();
        let (r, l) = (m.param("crank", 17.46), m.param("rod", 76.2));
        let at = m.param("cylinder at", angle);
        let axle = m.point(FRAME, "axle", At::xy(0.0, 0.0));
        let links = [m.link("crank"), m.link("rod")];
        let eye = m.point(links[0], "eye", At::xy(0.0, 0.0));
        let pin = m.point(links[0], "pin", At::xy(r, 0.0));
        let big = m.point(links[1], "big end", At::xy(0.0, 0.0));
        let small = m.point(links[1], "small end", At::xy(l, 0.0));
        m.pin("main bearing", axle, eye);
        m.pin("crankpin", pin, big);
        let line = Line::At(axle, at.into());
        m.slot("crosshead", small, line.clone());
        m.crank(links[0]);
        let model = Model::new(&m).unwrap();
        let far = [93.66 * angle.cos(), 93.66 * angle.sin()];
        for begin in [angle, angle + PI, angle + 1e-13, angle - 1e-13] {
            let near = if begin == angle + PI { [far[0] * 0.63, far[1] * 0.63] } else { far };
            let state = model.assemble(begin, &Assembly::Rough(vec![(small, near)])).unwrap();
            for throw in [17.46, 17.47] {
                let (model, state) = model.carry(&state, &[throw, 76.2, angle]).unwrap();
                let turn = model.turn(&state, Span::TURN);
                let what = Measure::Along(small, line.clone());
                let extremes = turn.extremes(&what);
                assert_eq!(extremes.len(), 2, "{way} {begin}: {extremes:?}");
                let [most, least] = turn.range(&what).unwrap();
                assert!(
                    (most.value - 76.2 - throw).abs() < 1e-9 && (least.value - 76.2 + throw).abs() < 1e-9
                );
                // Half a stroke's way up it passes the height of the rod's foot twice.
                let middle = 76.2_f64.hypot(0.0);
                assert_eq!(turn.crossings(&what, middle).len(), 2, "{way} {begin}");
                // And a level passed just where the turn begins, once each way.
                let across = Measure::Across(pin, line.clone());
                assert_eq!(turn.crossings(&across, 0.0).len(), 2, "{way} {begin}");
            }
        }
    }
}

/// Links of a parallelogram come into line at 0° and 180°, wherever about there the turn begins;
/// carried on smoothly, the rocker goes round with the crank.
#[test]
fn a_change_just_after_the_beginning_is_not_missed() {
    let made = made::four_bar(30.0, 80.0, 30.0, 80.0);
    let model = Model::new(&made.of).unwrap();
    for off in [-0.24, -0.1, -1e-2, 1e-2, 0.1, 0.24, 0.26, 0.49] {
        let begin = f64::to_radians(off);
        let rough = [30.0 * begin.cos() + 80.0, 30.0 * begin.sin()];
        let state = model.assemble(begin, &Assembly::Rough(vec![(made.rocker_pin, rough)])).unwrap();
        let turn = model.turn(&state, Span::TURN);
        let mut at: Vec<f64> = turn
            .events
            .iter()
            .map(|event| event.angle().to_degrees().rem_euclid(360.0).round() % 360.0)
            .collect();
        at.sort_by(f64::total_cmp);
        assert_eq!(at, [0.0, 180.0], "{off}: {:?}", turn.events);
        let turned = turn.curve(&Measure::Turned(made.links[2], FRAME));
        for one in &turned {
            let gap = one.value - one.angle;
            assert!(gap.sin().abs() < 1e-5 && gap.cos() > 0.0, "{off}: {one:?}");
        }
    }
}
