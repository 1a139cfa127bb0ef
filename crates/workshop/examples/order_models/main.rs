//! Writes orders of work to be planned and what the search makes of them, one JSON object a
//! line, so that another solver can be held against it.
//!
//! The words are families of generated models, each `FAMILY:SIZE:SEEDS`; `published`, the
//! sequencing instances of the literature; or files, a bench and one part,
//! `BENCH.toml+PART.toml`: then the model whose plan is the part's order is written.
//!
//! The time the search took is written too; only the comparison of times reads it.
#![allow(missing_docs)]

mod drawn;
#[path = "../../tests/sequencing/mod.rs"]
mod sequencing;
mod write;

use std::time::Instant;

use workshop::bench::read_bench;
use workshop::drawing::{Part, read_drawing, solve};
use workshop::metric::metricate;
use workshop::order::*;

fn main() {
    for word in std::env::args().skip(1) {
        for (name, model) in models(&word) {
            let start = Instant::now();
            // A part is planned with its own effort; its plan is the one that is written.
            let planned = match &model {
                Asked::Model(model) => plan(model, Effort::default()).expect("a sound model"),
                Asked::Part(_, plan) => Outcome::Planned(plan.clone()),
            };
            let ms = start.elapsed().as_secs_f64() * 1e3;
            let (Asked::Model(model) | Asked::Part(model, _)) = &model;
            println!("{}", write::line(&name, model, &planned, ms));
        }
    }
}

/// A model to be planned, or that of a part with its plan.
enum Asked {
    Model(Model),
    Part(Model, Plan),
}

fn models(word: &str) -> Vec<(String, Asked)> {
    if word.contains(".toml") {
        let part = of_files(word).map(|(model, plan)| (word.to_owned(), Asked::Part(model, plan)));
        return part.into_iter().collect();
    }
    if word == "published" {
        let all = [
            ("published A", sequencing::ma_zhang_nee_2000()),
            ("published B", sequencing::wang_zhang_fuh_2009()),
            ("published C", sequencing::guo_2006()),
            ("published D", sequencing::li_mcmahon_2007()),
        ];
        return all.map(|(name, model)| (name.to_owned(), Asked::Model(model))).into();
    }
    let words: Vec<&str> = word.split(':').collect();
    let number = |at: usize| words[at].parse::<usize>().expect("FAMILY:SIZE:SEEDS");
    let generated = |seed: u64| match words[0] {
        "ordinary" => drawn::ordinary(seed, number(1)),
        "weak" => drawn::weak(seed, number(1)),
        "plate" => drawn::plate(seed, number(1)),
        "mixed" => drawn::mixed(seed, number(1), false),
        "planted" => drawn::mixed(seed, number(1), true),
        other => panic!("no family `{other}`"),
    };
    (0..number(2) as u64).map(|seed| (format!("{word} {seed}"), Asked::Model(generated(seed)))).collect()
}

/// The model and plan of a part in a file; `None` for one that has no order of work.
fn of_files(word: &str) -> Option<(Model, Plan)> {
    let read = |file: &str| std::fs::read_to_string(file).unwrap_or_else(|fault| panic!("{file}: {fault}"));
    let (bench, part) = word.split_once('+').expect("BENCH.toml+PART.toml");
    let bench = read_bench(bench, &read(bench)).unwrap_or_else(|faults| panic!("{bench}: {faults:?}"));
    let drawing = read_drawing(part, &read(part)).ok()?;
    let solved = solve(&drawing).ok()?;
    let metric = metricate(&drawing, &solved, &bench).ok()?;
    let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
    let order = order_of_work(&part, &metric, &bench).ok()?;
    let (model, plan) = order.planned_from();
    Some((model.clone(), plan.clone()))
}
