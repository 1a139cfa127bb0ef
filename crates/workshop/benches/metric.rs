//! The metric choice at full size: sixty coupled sizes of twenty candidates, a pin on a
//! plate of thirty holes, a project of a thousand parts.
//!
//! `cargo bench -p workshop`. Aims: each shape under a second, the pin under 50 ms, the
//! project under two seconds.
#![allow(missing_docs)]

#[path = "../tests/families/mod.rs"]
mod families;

use divan::Bencher;
use families::shop::{mixture, plate, project};
use families::{Around, chain, grid, holes, runs, tree};
use workshop::metric::{Memory, Model, VariableId, solve, solve_with};

fn main() {
    divan::main();
}

fn shaped(shape: &str) -> Model {
    let around = Around::Planted;
    match shape {
        "chain" => chain(1, around, 60, 20),
        "tree" => tree(1, around, 60, 20, 6),
        "grid" => grid(1, around, 10, 6, 20),
        "runs" => runs(1, around, 60, 20, 6),
        "holes" => holes(1, around, 20, 20),
        "plate" => plate(1, 20, 20),
        _ => mixture(1, around, 60, 20, 6),
    }
}

#[divan::bench(args = ["chain", "tree", "grid", "runs", "holes", "plate", "mixture"], sample_count = 5)]
fn sixty_sizes(bencher: Bencher, shape: &str) {
    let model = shaped(shape);
    bencher.bench(|| solve(&model));
}

/// Seed 1 has an answer; each time another hole's height is pinned, so that only what is
/// not remembered is searched.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn pin_on_a_plate_of_thirty_holes(bencher: Bencher) {
    let model = plate(1, 30, 12);
    let mut memory = Memory::new();
    solve_with(&model, &mut memory).expect("a sound model");
    let mut hole = 0;
    bencher.bench_local(|| {
        hole = (hole + 1) % 30;
        solve_with(&model.pinned(VariableId(hole * 3 + 1), 5), &mut memory)
    });
}

#[divan::bench(args = [100, 1000], sample_count = 2, sample_size = 1)]
fn project_of_parts(bencher: Bencher, parts: usize) {
    let model = project(1, parts, 20, 20);
    bencher.bench(|| solve(&model));
}
