//! The metric choice of a whole project by itself: parts of twenty sizes of twenty
//! candidates, nine in ten fitting the one before, all sharing one list of things to buy.
//!
//! `cargo bench -p workshop --bench many`, with numbers after `--` for so many parts.
//! Prints what is bought, how far that is proven and how long it took. Aim: a thousand
//! parts under two seconds on two cores.
#![allow(missing_docs)]

#[path = "../tests/families/mod.rs"]
mod families;

use std::time::Instant;

use families::shop::project;
use workshop::metric::{Outcome, Proof, solve};

/// Different projects of each size.
const SEEDS: u64 = 3;

fn main() {
    let mut counts: Vec<usize> = std::env::args().filter_map(|word| word.parse().ok()).collect();
    if counts.is_empty() {
        counts = vec![100, 1000];
    }
    for parts in counts {
        for seed in 1..=SEEDS {
            let model = project(seed, parts, 20, 20);
            let begun = Instant::now();
            let outcome = solve(&model);
            let taken = begun.elapsed().as_secs_f64();
            let said = match outcome {
                Ok(Outcome::Solved(solved)) => {
                    let things = solved.cost.things();
                    match solved.proof {
                        Proof::Optimal => format!("{things} things to buy, proven"),
                        Proof::Within { bound } => {
                            let off = solved.cost.departure as f64 / bound.departure.max(1) as f64 - 1.0;
                            let least = bound.things();
                            format!(
                                "{things} things to buy, {least} at least; departure within {:.1} %",
                                off * 100.0
                            )
                        }
                    }
                }
                Ok(Outcome::Infeasible { .. }) => "nothing holds".to_owned(),
                Ok(Outcome::GaveUp { .. }) => "given up".to_owned(),
                Err(fault) => fault.to_string(),
            };
            println!("{parts} parts, project {seed}: {said}, in {taken:.2} s");
        }
    }
}
