//! Positions solved one after another round the turn.

#[path = "../tests/made/mod.rs"]
mod made;

use std::f64::consts::TAU;

use divan::Bencher;
use divan::counter::ItemsCount;
use mechanism::{Assembly, Model, Span, State};

fn main() {
    divan::main();
}

fn round(bencher: Bencher, model: &Model, start: &State) {
    bencher.counter(ItemsCount::new(720_usize)).bench_local(|| {
        let mut state = start.clone();
        for i in 0..720 {
            model.go(&mut state, start.angle + TAU * f64::from(i) / 720.0).expect("it goes round");
        }
        state
    });
}

#[divan::bench]
fn four_bar(bencher: Bencher) {
    let made = made::four_bar(20.0, 70.0, 50.0, 80.0);
    let model = Model::new(&made.of).expect("it is whole");
    let start = model.modes(0.0).expect("it goes together").swap_remove(0);
    round(bencher, &model, &start);
}

#[divan::bench]
fn reversing_gear(bencher: Bencher) {
    let gear = made::link_motion(true, 0.2);
    let model = Model::new(&gear.engine.of).expect("it is whole");
    let start = model.assemble(0.0, &Assembly::Rough(gear.rough)).expect("it goes together");
    round(bencher, &model, &start);
}

#[divan::bench(args = [10, 20, 50])]
fn of_so_many_links(bencher: Bencher, links: usize) {
    let made = made::generated::generated(7, links);
    let model = Model::new(&made.of).expect("it is whole");
    round(bencher, &model, &made.start);
}

/// A whole turn with rates at every position and both derivatives of each.
#[divan::bench]
fn turn_of_a_reversing_gear(bencher: Bencher) {
    let gear = made::link_motion(true, 0.2);
    let model = Model::new(&gear.engine.of).expect("it is whole");
    let start = model.assemble(0.0, &Assembly::Rough(gear.rough)).expect("it goes together");
    bencher.bench_local(|| model.turn(&start, Span::TURN));
}
