//! What is proven of a turn, against closed forms and against a turn followed too coarsely.

mod made;

use std::f64::consts::{PI, TAU};

use mechanism::proven::NARROW;
use mechanism::{Assembly, FRAME, Line, Measure, Model, Reading, Span};

/// A slider-crank turns back at its two dead centres only, r + l and l - r from the shaft.
#[test]
fn a_slider_crank_turns_back_at_its_dead_centres_alone() {
    let made = made::slider_crank(20.0, 70.0, 0.0);
    let model = Model::new(&made.of).unwrap();
    let start = model.assemble(0.4, &Assembly::Rough(vec![(made.small_end, [88.0, 0.0])])).unwrap();
    let turn = model.turn(&start, Span::TURN);
    let what = Measure::Along(made.small_end, Line::At(made.axle, 0.0.into()));
    let proven = turn.proven(&Reading::stroke(&what).turning());
    assert!(proven.in_line.is_empty() && proven.measures.len() == 1);
    let one = &proven.measures[0];
    assert!(one.unseen.is_empty() && one.more < 1e-8, "{one:?}");
    assert_eq!(one.within.len(), 2);
    for (span, centre) in one.within.iter().zip([PI, TAU]) {
        assert!(span[0] <= centre && centre <= span[1] && span[1] - span[0] < 3.0 * NARROW, "{span:?}");
    }
}

/// The rocker of a crank-rocker turns back where crank and coupler are in line: by the law of
/// cosines where the rocker's pin is b + a and b - a from the shaft.
#[test]
fn a_rocker_turns_back_where_crank_and_coupler_are_in_line() {
    let (a, b, c, d) = (20.0_f64, 70.0_f64, 50.0_f64, 80.0_f64);
    let made = made::four_bar(a, b, c, d);
    let model = Model::new(&made.of).unwrap();
    let start = model.modes(0.0).unwrap().swap_remove(0);
    let turn = model.turn(&start, Span::TURN);
    let proven = turn.proven(&[
        Measure::Turned(made.links[2], FRAME),
        Measure::Corner(made.fixed[1], made.rod_end, made.crank_pin),
    ]);
    assert!(proven.in_line.is_empty());
    let at = |far: f64| ((far * far + d * d - c * c) / (2.0 * far * d)).acos();
    let up = turn.states.iter().all(|state| turn.model.place(state, made.rocker_pin)[1] > 0.0);
    let sign = if up { 1.0 } else { -1.0 };
    // Stretched out at the angle of the rocker's pin; folded half a turn from it.
    let mut expected = [sign * at(b + a), sign * at(b - a) + PI].map(|angle| angle.rem_euclid(TAU));
    expected.sort_by(f64::total_cmp);
    let swing = &proven.measures[0];
    assert_eq!(swing.within.len(), 2, "{swing:?}");
    for (span, centre) in swing.within.iter().zip(expected) {
        assert!(span[0] <= centre && centre <= span[1], "{span:?} {centre}");
    }
    // The angle at the coupler's end turns back with the crank along the ground line.
    let corner = &proven.measures[1];
    assert!(corner.unseen.is_empty());
    assert!(
        corner
            .within
            .iter()
            .all(|[from, to]| [0.0, PI, TAU].iter().any(|k| from - NARROW <= *k && *k <= to + NARROW))
    );
}

/// A turn followed in two steps that turning points are missed is not called proven: those
/// missed are told. In half degrees none is.
#[test]
fn what_coarse_steps_miss_is_told_and_half_degrees_miss_nothing() {
    let gear = made::link_motion(true, 0.2);
    let model = Model::new(&gear.engine.of).unwrap();
    let start = model.assemble(0.0, &Assembly::Rough(gear.rough)).unwrap();
    let what = [
        Measure::InSlot(gear.die_joint),
        Measure::Along(gear.engine.valve, Line::At(gear.engine.axle, 0.0.into())),
    ];
    let fine = model.turn(&start, Span::TURN).proven(&what);
    assert!(fine.in_line.is_empty() && fine.measures.iter().all(|one| one.unseen.is_empty()), "{fine:?}");
    let coarse = model.turn(&start, Span { long: TAU, steps: 2 });
    let seen: usize = what.iter().map(|what| coarse.extremes(what).len()).sum();
    let proven = coarse.proven(&what);
    let real: usize = fine.measures.iter().map(|one| one.within.len()).sum();
    let unseen: usize = proven.measures.iter().map(|one| one.unseen.len()).sum();
    assert!(seen < real && unseen > 0, "{seen} of {real}, {unseen} told");
}

/// Where a parallelogram's links come into line nothing is claimed; everywhere else it is.
#[test]
fn places_in_line_are_left_out_of_the_proof() {
    let made = made::four_bar(30.0, 80.0, 30.0, 80.0);
    let model = Model::new(&made.of).unwrap();
    let rough = vec![(made.rocker_pin, [80.0 + 30.0 * 0.5_f64.cos(), 30.0 * 0.5_f64.sin()])];
    let start = model.assemble(0.5, &Assembly::Rough(rough)).unwrap();
    let proven = model.turn(&start, Span::TURN).proven(&[Measure::Turned(made.links[2], FRAME)]);
    assert_eq!(proven.in_line.len(), 2, "{proven:?}");
    for (span, line) in proven.in_line.iter().zip([PI, TAU]) {
        assert!(span[0] <= line && line <= span[1] && span[1] - span[0] < 1e-3);
    }
    // The rocker never turns back; only close to those places is its rate not bounded.
    let about = |span: &[f64; 2]| [PI, TAU].iter().any(|line| (span[0] - line).abs() < 1e-3);
    assert!(proven.measures[0].within.iter().all(about), "{proven:?}");
    assert!(proven.measures[0].unseen.is_empty());
}
