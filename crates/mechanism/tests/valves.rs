//! Valve events against rules in print and closed forms.

mod made;

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use made::*;
use mechanism::{
    Admission, Assembly, At, FRAME, Line, Measure, Mechanism, Model, ParamId, PointId, PortEnd, Span, Turn,
    Valve,
};

/// Crank and eccentric whose shadows along x are piston and valve: rods without end.
struct Shadow {
    turn: Turn,
    valve: Valve,
    lap: ParamId,
}

fn shadow(stroke: f64, throw: f64, lap: f64, lead: f64, exhaust: f64, admission: Admission) -> Shadow {
    let mut m = Mechanism::new();
    let (r, e) = (m.param("crank", stroke / 2.0), m.param("throw", throw));
    let advance = m.param("advance", ((lap + lead) / throw).asin());
    let (lap, exhaust) = (m.param("lap", lap), m.param("exhaust lap", exhaust));
    let axle = m.point(FRAME, "axle", At::xy(0.0, 0.0));
    let crank = m.link("crank");
    let eye = m.point(crank, "eye", At::xy(0.0, 0.0));
    let pin = m.point(crank, "pin", At::xy(r, 0.0));
    let angle = match admission {
        Admission::Outside => mechanism::Size::from(advance) + FRAC_PI_2,
        Admission::Inside => mechanism::Size::from(advance) - FRAC_PI_2,
    };
    let sheave = m.point(crank, "sheave", At::polar(e, angle));
    m.pin("bearing", axle, eye);
    m.crank(crank);
    let model = Model::new(&m).unwrap();
    let state = model.assemble(0.1, &Assembly::Only).unwrap();
    let x = |p: PointId| Measure::Along(p, Line::At(axle, 0.0.into()));
    let end = PortEnd { lap: lap.into(), exhaust_lap: exhaust.into(), port: 0.8.into() };
    let valve =
        Valve { piston: x(pin), place: x(sheave), mid: 0.0.into(), admission, ends: [end.clone(), end] };
    Shadow { turn: model.turn(&state, Span::TURN), valve, lap }
}

/// The valve equation x = r sin(θ + δ), sin δ = (lap + lead)/r, at lap 1, lead 1/8, half travel 2,
/// exhaust lap 1/8, stroke 24: cut-off, release and compression in degrees, piston shares. Both
/// ends are alike without rods, and inside admission does the same with its eccentric behind.
#[test]
fn events_without_rods_are_the_closed_form() {
    for admission in [Admission::Outside, Admission::Inside] {
        let made = shadow(24.0, 2.0, 1.0, 0.125, 0.125, admission);
        let told = made.turn.valve_events(&made.valve).unwrap();
        assert!((told.stroke.0 - 24.0).abs() < 1e-12 && (told.travel.0 - 4.0).abs() < 1e-12);
        for end in &told.ends {
            let at = |t: &Option<mechanism::Timed>| t.as_ref().unwrap().angle.to_degrees();
            assert!((at(&end.cut_off) - 115.771_134).abs() < 1e-5, "{}", at(&end.cut_off));
            assert!((at(&end.release) - 149.354_455).abs() < 1e-5);
            assert!((at(&end.compression) - 322.187_812).abs() < 1e-5);
            // Admission: lead closes as far before the dead centre as asin(lap/r) is short of δ.
            let want = ((1.0_f64 / 2.0).asin() - (1.125_f64 / 2.0).asin()).to_degrees();
            assert!((at(&end.admission) - 360.0 - want).abs() < 1e-9);
            assert!((end.cut_off.as_ref().unwrap().share - 0.717_389).abs() < 1e-6);
            assert!((end.release.as_ref().unwrap().share - 0.930_169).abs() < 1e-6);
            assert!(!end.release.as_ref().unwrap().returning && end.compression.as_ref().unwrap().returning);
            assert!((end.lead.0 - 0.125).abs() < 1e-12 && (end.opening.0 - 1.0).abs() < 1e-12);
            assert!((end.past_port - 0.2).abs() < 1e-12 && end.notes.is_empty());
        }
    }
}

/// Bourne, A Catechism of the Steam Engine, question 190 (public page; numbers ours): with no
/// lead a lap of sqrt((S - c)/S) half travels cuts off at c of the stroke S.
#[test]
fn the_old_rule_for_lap_cuts_off_where_it_says() {
    for (lap, share) in [(1.5, 0.75), (3.0_f64.sqrt(), 2.0 / 3.0)] {
        let made = shadow(24.0, 3.0, lap, 0.0, 0.0, Admission::Outside);
        let told = made.turn.valve_events(&made.valve).unwrap();
        assert!((told.ends[0].cut_off.as_ref().unwrap().share - share).abs() < 1e-12);
    }
}

/// Sinclair, Locomotive Engine Running and Management (public page): travel 5, lap 1, lead 1/16,
/// stroke 24 in; cut-off about 18 and release about 22 in, good to two inches: a look, no test
/// of accuracy.
#[test]
fn full_gear_of_an_old_locomotive_is_about_as_printed() {
    let made = shadow(24.0, 2.5, 1.0, 0.0625, 0.0, Admission::Outside);
    let told = made.turn.valve_events(&made.valve).unwrap();
    let share = |t: &Option<mechanism::Timed>| 24.0 * t.as_ref().unwrap().share;
    assert!((share(&told.ends[0].cut_off) - 18.0).abs() < 2.0);
    assert!((share(&told.ends[0].release) - 22.0).abs() < 2.0);
}

/// dθ/dlap at cut-off, θ = π - asin(lap/r) - δ with δ kept: -1/sqrt(r² - lap²).
#[test]
fn a_cut_off_moves_with_the_lap_as_the_closed_form_does() {
    let made = shadow(24.0, 2.0, 1.0, 0.125, 0.0, Admission::Outside);
    let told = made.turn.valve_events(&made.valve).unwrap();
    let judge = made.turn.judge().unwrap();
    let cut = told.ends[0].cut_off.as_ref().unwrap();
    let by = judge.read(&cut.angle_by).unwrap();
    assert!((by.by[made.lap.0] + 1.0 / 3.0_f64.sqrt()).abs() < 1e-12, "{:?}", by.by);
    // The piston's share is (1 - cos θ)/2.
    let by = judge.read(&cut.share_by).unwrap();
    assert!((by.by[made.lap.0] + 0.5 * cut.angle.sin() / 3.0_f64.sqrt()).abs() < 1e-12);
}

/// With a real rod the piston share at crank angle θ from the head end is
/// [R(1 - cos θ) + L - sqrt(L² - R² sin² θ)]/2R, and less at the crank end.
#[test]
fn real_rods_make_the_ends_differ_as_the_closed_form_does() {
    let (r, l) = (20.0, 80.0);
    let engine = slide_valve(r, l, 6.0, 30.0, 90.0);
    let model = Model::new(&engine.of).unwrap();
    let how = Assembly::Rough(vec![(engine.piston, [90.0, 0.0]), (engine.valve, [90.0, 0.0])]);
    let turn = model.turn(&model.assemble(0.1, &how).unwrap(), Span::TURN);
    let x = |p: PointId| Measure::Along(p, Line::At(engine.axle, 0.0.into()));
    let end = PortEnd { lap: 2.5.into(), exhaust_lap: 0.2.into(), port: 4.0.into() };
    let mid = 90.0; // the valve's mid place with its rod square to the throw, near enough
    let valve = Valve {
        piston: x(engine.piston),
        place: x(engine.valve),
        mid: mid.into(),
        admission: Admission::Outside,
        ends: [end.clone(), end],
    };
    let told = turn.valve_events(&valve).unwrap();
    let share = |t: f64| (r * (1.0 - t.cos()) + l - (l * l - (r * t.sin()).powi(2)).sqrt()) / (2.0 * r);
    for (n, end) in told.ends.iter().enumerate() {
        let cut = end.cut_off.as_ref().unwrap();
        let want = if n == 0 { share(cut.angle) } else { 1.0 - share(cut.angle + PI) };
        assert!((cut.share - want).abs() < 1e-12, "{} and not {want}", cut.share);
        // The valve stands where its own rod puts it: x = e cos α + sqrt(l² - e² sin² α).
        let at = turn.when(&cut.moment).unwrap();
        let a = at + FRAC_PI_2 + 30_f64.to_radians();
        let place = 6.0 * a.cos() + (90.0_f64.powi(2) - (6.0 * a.sin()).powi(2)).sqrt();
        let sign = if n == 0 { -1.0 } else { 1.0 };
        assert!((sign * (place - mid) - 2.5).abs() < 1e-10);
    }
    assert!(told.ends[0].cut_off.as_ref().unwrap().share > told.ends[1].cut_off.as_ref().unwrap().share);
}

#[test]
fn a_port_that_never_opens_says_what_is_wanting() {
    let mut made = shadow(24.0, 2.0, 1.0, 0.125, 0.0, Admission::Outside);
    made.valve.ends[0].lap = 2.25.into();
    let told = made.turn.valve_events(&made.valve).unwrap();
    assert!(told.ends[0].cut_off.is_none() && told.ends[1].cut_off.is_some());
    assert!(told.ends[0].notes[0].contains("0.250 mm are wanting"), "{:?}", told.ends[0].notes);
}

/// Stephenson's gear: open rods make the lead grow towards mid gear, crossed rods make it fall
/// (any locomotive text; Zeuner); and full back is full forward turned round.
#[test]
fn open_rods_gain_lead_towards_mid_gear_and_crossed_rods_lose_it() {
    for (open, grows) in [(true, true), (false, false)] {
        let gear = link_motion(open, 0.36);
        let model = Model::new(&gear.engine.of).unwrap();
        let start = model.assemble(0.2, &Assembly::Rough(gear.rough.clone())).unwrap();
        let turns =
            model.settings(&start, gear.lift, &[0.36, 0.2, 0.0, -0.2, -0.36], Span { long: TAU, steps: 180 });
        let turns = turns.unwrap();
        let x = |p: PointId| Measure::Along(p, Line::At(gear.engine.axle, 0.0.into()));
        let far = |turn: &Turn| {
            let place = x(gear.engine.valve);
            let [most, least] = turn.range(&place).unwrap();
            let at = |angle: f64| turn.reckon(angle, &place).unwrap().value;
            // Half of what the valve stands off its middle between both dead centres: lap and lead.
            (0.5 * (at(PI) - at(TAU)).abs(), most.value - least.value)
        };
        let told: Vec<(f64, f64)> = turns.iter().map(far).collect();
        assert!((told[2].0 > told[0].0) == grows && (told[2].0 > told[4].0) == grows, "{open}: {told:?}");
        assert!(told[2].1 < told[0].1 && told[2].1 < told[4].1, "{open}: {told:?}");
        // The mid-gear throw along the line, e (sin δ ± (c/l) cos δ), after Zeuner: small angles.
        let (e, d, c, l) = (6.0, 18_f64.to_radians(), 12.0, 90.0);
        let mid = e * (d.sin() + if open { c / l } else { -c / l } * d.cos());
        assert!((told[2].0 - mid).abs() < 0.03 * e, "{open}: {told:?} {mid}");
    }
}
