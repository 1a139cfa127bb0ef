//! Sizes found for wanted results, against closed forms and against the results themselves.

mod made;

use std::f64::consts::{FRAC_PI_2, TAU};

use made::*;
use mechanism::allowance::{Allowed, Kept, Together, ranked};
use mechanism::design::{Ask, Freed, ValveAsk, Wish};
use mechanism::{
    Admission, Assembly, FRAME, Line, Measure, Model, Moment, ParamId, PointId, PortEnd, Reading, Span, Turn,
    Valve,
};

const STEPS: Span = Span { long: TAU, steps: 180 };

fn freed(of: &mechanism::Mechanism, name: &str, from: f64, to: f64) -> Freed {
    Freed { param: of.find_param(name).unwrap(), from, to }
}

fn four_bar_turn(a: f64, b: f64, c: f64, d: f64) -> (FourBar, Turn) {
    let made = four_bar(a, b, c, d);
    let model = Model::new(&made.of).unwrap();
    let turn = model.turn(&model.modes(1.0).unwrap()[0], STEPS);
    (made, turn)
}

/// A rocker's swing of 50° by its crank's throw; the swing checked by the cosine rule.
#[test]
fn a_throw_is_found_that_swings_a_rocker_as_far_as_wanted() {
    let (made, turn) = four_bar_turn(20.0, 70.0, 50.0, 80.0);
    let swing = Reading::stroke(&Measure::Turned(made.links[2], FRAME));
    let want = 50_f64.to_radians();
    let wish = Wish { ask: Ask::Reading(swing), want, close: 1e-10 };
    let found = turn.design(&[wish], &[freed(&made.of, "crank", 5.0, 28.0)]).unwrap();
    assert!(found.reached, "{:?}", found.short);
    let a = found.params[0];
    let at = |far: f64| ((50.0_f64.powi(2) + 80.0_f64.powi(2) - far * far) / (2.0 * 50.0 * 80.0)).acos();
    assert!((at(70.0 + a) - at(70.0 - a) - want).abs() < 1e-10, "{a}");
}

#[test]
fn what_cannot_be_had_is_told_with_how_near_it_comes() {
    let (made, turn) = four_bar_turn(20.0, 70.0, 50.0, 80.0);
    let swing = Reading::stroke(&Measure::Turned(made.links[2], FRAME));
    let wish = Wish { ask: Ask::Reading(swing), want: 2.5, close: 1e-9 };
    let found = turn.design(&[wish], &[freed(&made.of, "crank", 5.0, 24.0)]).unwrap();
    assert!(!found.reached && (found.params[0] - 24.0).abs() < 1e-9, "{:?}", found.params);
    let short = found.short.unwrap();
    assert!(short.why.contains("crank 24.0") && short.mend.contains("crank"), "{short}");
}

fn engine() -> (Engine, Turn, Valve) {
    let mut engine = slide_valve(20.0, 80.0, 6.0, 30.0, 90.0);
    let lap = engine.of.param("lap", 2.5);
    let mid = engine.of.param("valve mid", 89.8);
    let model = Model::new(&engine.of).unwrap();
    let how = Assembly::Rough(vec![(engine.piston, [90.0, 0.0]), (engine.valve, [90.0, 0.0])]);
    let turn = model.turn(&model.assemble(0.1, &how).unwrap(), STEPS);
    let x = |p: PointId| Measure::Along(p, Line::At(engine.axle, 0.0.into()));
    let end = PortEnd { lap: lap.into(), exhaust_lap: 0.2.into(), port: 4.0.into() };
    let valve = Valve {
        piston: x(engine.piston),
        place: x(engine.valve),
        mid: mid.into(),
        admission: Admission::Outside,
        ends: [end.clone(), end],
    };
    (engine, turn, valve)
}

/// Equal leads of 0.3 by the valve's nut and the angle of advance: at both dead centres the
/// valve stands lap + lead off its middle, with x = e cos α + sqrt(l² - e² sin² α).
#[test]
fn equal_leads_are_found_by_the_nut_and_the_advance() {
    let (engine, turn, valve) = engine();
    let ask = |what| Ask::Valve(valve.clone(), what);
    let wishes = [
        Wish { ask: ask(ValveAsk::Lead(0)), want: 0.3, close: 1e-10 },
        Wish { ask: ask(ValveAsk::LeadGap), want: 0.0, close: 1e-10 },
    ];
    let free = [freed(&engine.of, "valve mid", 85.0, 95.0), freed(&engine.of, "angle of advance", 0.1, 1.2)];
    let found = turn.design(&wishes, &free).unwrap();
    assert!(found.reached, "{:?}", found.short);
    let at = |name: &str| found.params[engine.of.find_param(name).unwrap().0];
    let place = |theta: f64| {
        let a = theta + FRAC_PI_2 + at("angle of advance");
        6.0 * a.cos() + (90.0_f64.powi(2) - (6.0 * a.sin()).powi(2)).sqrt()
    };
    assert!((at("valve mid") - place(0.0) - 2.8).abs() < 1e-9);
    assert!((place(TAU / 2.0) - at("valve mid") - 2.8).abs() < 1e-9);
}

/// A lap for a cut-off of 70 % at the head end, the advance keeping the lead.
#[test]
fn a_lap_is_found_for_a_cut_off() {
    let (engine, turn, valve) = engine();
    let ask = |what| Ask::Valve(valve.clone(), what);
    let wishes = [
        Wish { ask: ask(ValveAsk::CutOff(0)), want: 0.7, close: 1e-10 },
        Wish { ask: ask(ValveAsk::Lead(0)), want: 0.2, close: 1e-10 },
    ];
    let free = [freed(&engine.of, "lap", 0.5, 5.0), freed(&engine.of, "angle of advance", 0.1, 1.2)];
    let found = turn.design(&wishes, &free).unwrap();
    assert!(found.reached, "{:?}", found.short);
    let events = found.turn.valve_events(&valve).unwrap();
    assert!((events.ends[0].cut_off.as_ref().unwrap().share - 0.7).abs() < 1e-9);
    assert!((events.ends[0].lead.0 - 0.2).abs() < 1e-9);
}

/// From stated allowances to tolerances and back: the worst corner solved anew comes to the
/// allowance, within what second order adds.
#[test]
fn the_widest_tolerances_use_the_allowance_up_and_no_more() {
    let (engine, turn, valve) = engine();
    let events = turn.valve_events(&valve).unwrap();
    let cut = events.ends[0].cut_off.as_ref().unwrap();
    let allowed = [
        Allowed { reading: cut.share_by.clone(), within: 0.01 },
        Allowed { reading: events.ends[0].lead.1.clone(), within: 0.05 },
        Allowed { reading: events.stroke.1.clone(), within: 0.2 },
    ];
    let sizes: Vec<(ParamId, Kept)> = (0..engine.of.params.len())
        .map(|p| {
            // Angles are kept in radians at the throw: a hundredth of a millimetre on 6.
            let want = if engine.of.params[p].name.contains("angle") { 1.0 / 6.0 } else { 1.0 };
            (ParamId(p), Kept::Share { want, most: 1.0 })
        })
        .collect();
    for how in [Together::Worst, Together::RootSquare] {
        let w = turn.widest(&allowed, &sizes, how).unwrap();
        for (a, s) in allowed.iter().zip(&w.strays) {
            assert!(*s <= a.within * (1.0 + 1e-12), "{:?}", w.strays);
        }
        // Each size is wide open or held by a result that is used up.
        for (i, by) in w.bound_by.iter().enumerate() {
            match by {
                Some(r) => assert!((w.strays[*r] - allowed[*r].within).abs() < 1e-12),
                None => assert_eq!(w.within[i], 1.0),
            }
        }
        if how == Together::Worst {
            let bound = w.bound_by.iter().flatten().next().copied().unwrap();
            let real = turn.at_worst(&allowed[bound].reading, &w.within).unwrap();
            for (end, sign) in real.iter().zip([-1.0, 1.0]) {
                assert!((end * sign - allowed[bound].within).abs() < 0.1 * allowed[bound].within, "{real:?}");
            }
            let first = &ranked(&w.effects[bound], &w.within)[0];
            assert!(
                w.effects[bound].iter().zip(&w.within).all(|(e, t)| (e * t).abs() <= first.strays + 1e-15)
            );
        }
    }
}

/// The return arm as the trade reckons it puts the pin where the mechanism wants it: the foot
/// stands alike at both dead centres when the pin is square to the rod's line at mid swing.
#[test]
fn a_return_angle_is_found_that_puts_the_foot_alike_at_both_dead_centres() {
    let gear = radial_gear(0.05);
    let model = Model::new(&gear.engine.of).unwrap();
    let start = model.assemble(0.2, &Assembly::Rough(gear.rough.clone())).unwrap();
    let turn = model.turn(&start, STEPS);
    let link = gear.engine.of.find_link("link").unwrap();
    let swing = |at: f64| Reading::Value(Measure::Turned(link, FRAME), Moment::At(at.into()));
    let gap = Reading::Sum(vec![(swing(0.0), 1.0), (swing(TAU / 2.0), -1.0)]);
    let wish = Wish { ask: Ask::Reading(gap), want: 0.0, close: 1e-11 };
    let found = turn.design(&[wish], &[freed(&gear.engine.of, "return angle", 1.0, 2.2)]).unwrap();
    assert!(found.reached, "{:?}", found.short);
    // Foot at both dead centres on the rod's circle about the two pins, which lie opposite each
    // other through the axle: so the foot lies on the line square to the pins' own.
    let foot = found.turn.at(0.0).unwrap();
    let foot = found.turn.model.place(&foot, gear.engine.of.find_point(link, "foot").unwrap());
    let angle = found.params[gear.engine.of.find_param("return angle").unwrap().0];
    assert!((foot[0] * angle.cos() + foot[1] * angle.sin()).abs() < 1e-8, "{foot:?} {angle}");
}

/// In mid gear the die stands at the trunnion and only the combination lever moves the valve:
/// half its travel is lap and lead, as the lever's share of the throw was made for.
#[test]
fn in_mid_gear_the_lever_gives_lap_and_lead() {
    let gear = radial_gear(0.0);
    let model = Model::new(&gear.engine.of).unwrap();
    let start = model.assemble(0.2, &Assembly::Rough(gear.rough.clone())).unwrap();
    let turn = model.turn(&start, STEPS);
    let travel = turn
        .value(&Reading::stroke(&Measure::Along(gear.engine.valve, Line::At(gear.engine.axle, 0.0.into()))));
    let (lap, lead) = (1.5, 20.0 * 4.0 / 44.0 - 1.5);
    assert!((mechanism::aids::combination_share(lap, lead, 20.0) - 4.0 / 44.0).abs() < 1e-15);
    let half = 0.5 * travel.unwrap();
    assert!((half - (lap + lead)).abs() < 0.05 * (lap + lead), "{half}");
}
