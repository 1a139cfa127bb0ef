//! Writes generated choices and what the search makes of them, one JSON object a
//! line, so that another solver can be held against it.
//!
//! The words are families, each `FAMILY:SIZE:CANDIDATES:SEEDS`; a family whose name
//! ends in `-drawn` may have no answer. The time the search took is written too;
//! only the comparison of times reads it.
#![allow(missing_docs)]

#[path = "../tests/families/mod.rs"]
mod families;

use std::time::Instant;

use families::mixed::mixed;
use families::shop::{mixture, plate, project};
use families::{Around, chain, grid, holes, runs, tree};
use serde_json::{Value, json};
use workshop::measure::Length;
use workshop::metric::{Demand, Judgement, Linear, Model, Outcome, Proof, Span, Test, solve};

fn generated(family: &str, seed: u64, size: usize, candidates: usize) -> Model {
    let around = if family.ends_with("-drawn") { Around::Drawn } else { Around::Planted };
    match family.trim_end_matches("-drawn") {
        "mixed" => mixed(seed),
        "chain" => chain(seed, around, size, candidates),
        "tree" => tree(seed, around, size, candidates, 6),
        "grid" => grid(seed, around, size / 6, 6, candidates),
        "runs" => runs(seed, around, size, candidates, 6),
        "long-runs" => runs(seed, around, size, candidates, 12),
        "holes" => holes(seed, around, size / 3, candidates),
        "mixture" => mixture(seed, around, size, candidates, 6),
        "plate" => plate(seed, size / 3, candidates),
        "project" => project(seed, size, 20, candidates),
        other => panic!("no family `{other}`"),
    }
}

fn main() {
    for word in std::env::args().skip(1) {
        let words: Vec<&str> = word.split(':').collect();
        let number = |at: usize| words[at].parse::<usize>().expect("FAMILY:SIZE:CANDIDATES:SEEDS");
        for seed in 0..number(3) as u64 {
            let model = generated(words[0], seed, number(1), number(2));
            let name = format!("{word} {seed}");
            println!("{}", answered(&name, &model));
        }
    }
}

/// A model, our answer to it and the time it took, in milliseconds.
fn answered(name: &str, model: &Model) -> Value {
    let start = Instant::now();
    let outcome = solve(model).expect("a sound model");
    let ms = start.elapsed().as_secs_f64() * 1e3;
    let answer = match &outcome {
        Outcome::Solved(solved) => json!({
            "choice": solved.choice,
            "cost": [solved.cost.buy, solved.cost.departure, solved.cost.roughness],
            "proven": solved.proof == Proof::Optimal,
            "nodes": solved.nodes,
        }),
        Outcome::Infeasible { core, minimal } => {
            json!({ "core": core.iter().map(|id| id.0).collect::<Vec<_>>(), "minimal": minimal })
        }
        Outcome::GaveUp { nodes, .. } => json!({ "gave_up": true, "nodes": nodes }),
    };
    let variables = model.variables.iter().map(|variable| {
        let candidate = |c: &workshop::metric::Candidate| {
            let buys: Vec<usize> = c.buys.iter().map(|p| p.0).collect();
            json!([exact(c.value), c.departure, c.roughness, buys])
        };
        variable.candidates.iter().map(candidate).collect::<Vec<_>>()
    });
    json!({
        "name": name,
        "variables": variables.collect::<Vec<_>>(),
        "purchases": model.purchases.iter().map(|p| p.points).collect::<Vec<_>>(),
        "demands": model.constraints.iter().map(|c| demand(model, &c.demand)).collect::<Vec<_>>(),
        "ours": answer,
        "ms": ms,
    })
}

fn demand(model: &Model, demand: &Demand) -> Value {
    match demand {
        Demand::Between { sum, least, most } => {
            json!({ "between": linear(sum), "least": least.map(exact), "most": most.map(exact) })
        }
        Demand::Apart { along, across, reach } => {
            json!({ "apart": [linear(along), linear(across), linear(reach)] })
        }
        Demand::Pairs { a, b, allowed } => json!({ "pairs": [a.0, b.0], "allowed": allowed }),
        Demand::Not { variable, candidate } => json!({ "not": [variable.0, candidate] }),
        Demand::Is { variable, candidate } => json!({ "is": [variable.0, candidate] }),
        Demand::Test(test) => listed(model, test),
    }
}

/// A judge cannot be written down, but what it says of every combination can.
fn listed(model: &Model, test: &Test) -> Value {
    let candidates = |at: usize| &model.variables[test.on[at].0].candidates;
    let mut allowed = Vec::new();
    let mut choice = vec![0; test.on.len()];
    loop {
        let single = |(at, &candidate): (usize, &usize)| {
            let value = candidates(at)[candidate].value;
            Span { least: value, most: value }
        };
        let spans: Vec<Span> = choice.iter().enumerate().map(single).collect();
        if (test.judge)(&spans) == Judgement::Holds {
            allowed.push(choice.clone());
        }
        let Some(at) = (0..choice.len()).find(|&at| choice[at] + 1 < candidates(at).len()) else { break };
        choice[at] += 1;
        choice[..at].fill(0);
    }
    json!({ "on": test.on.iter().map(|v| v.0).collect::<Vec<_>>(), "allowed": allowed })
}

fn linear(linear: &Linear) -> Value {
    let terms: Vec<Value> = linear.terms.iter().map(|(v, times)| json!([v.0, times.to_string()])).collect();
    json!({ "terms": terms, "constant": exact(linear.constant) })
}

/// Millimetres as a ratio of whole numbers.
fn exact(length: Length) -> String {
    length.ratio().to_string()
}
