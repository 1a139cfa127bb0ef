//! Writes choices and what the search makes of them, one JSON object a line, so that
//! another solver can be held against it.
//!
//! The words are families of generated choices, each `FAMILY:SIZE:CANDIDATES:SEEDS`; a
//! family whose name ends in `-drawn` may have no answer. Or they are files, a bench and
//! the parts of a project, `BENCH.toml+PART.toml+PART.toml`: then every choice that is put
//! to the search on the way to the metric parts is written, the last one last.
//!
//! After the word `--ask` comes an empty line when all are written; then a choice is read
//! from each line, `[MODEL, [CANDIDATE, …]]`, and the demands with a judge that it breaks
//! are answered.
//!
//! The time the search took is written too; only the comparison of times reads it.
#![allow(missing_docs)]

#[path = "../tests/families/mod.rs"]
mod families;

use std::time::Instant;

use families::mixed::mixed;
use families::shop::{mixture, plate, project};
use families::{Around, chain, grid, holes, runs, tree};
use serde_json::{Value, json};
use workshop::bench::read_bench;
use workshop::drawing::{Drawing, Solved, read_drawing, solve as places};
use workshop::measure::Length;
use workshop::metric::{
    Demand, Judgement, Linear, Model, Outcome, Piece, Proof, Span, Test, VariableId, asked, solve,
};

/// Of a demand with a judge so many combinations are tried and written down; one that has
/// more is left out, and the line says so: it can be asked about.
const LISTED: usize = 4_000;

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
    let mut words: Vec<String> = std::env::args().skip(1).collect();
    let asks = words.first().is_some_and(|word| word == "--ask");
    let mut models = Vec::new();
    for word in words.drain(usize::from(asks)..) {
        for (at, model) in choices_of(&word).into_iter().enumerate() {
            println!("{}", answered(&format!("{word} {at}"), &model));
            models.push(model);
        }
    }
    if asks {
        println!();
        for line in std::io::stdin().lines() {
            let line = line.expect("a line of text");
            let (at, choice): (usize, Vec<usize>) = serde_json::from_str(&line).expect("[MODEL, [CHOICE]]");
            println!("{}", json!(broken(&models[at], &choice)));
        }
    }
}

fn choices_of(word: &str) -> Vec<Model> {
    if word.contains(".toml") {
        return of_files(word);
    }
    let words: Vec<&str> = word.split(':').collect();
    let number = |at: usize| words[at].parse::<usize>().expect("FAMILY:SIZE:CANDIDATES:SEEDS");
    (0..number(3) as u64).map(|seed| generated(words[0], seed, number(1), number(2))).collect()
}

/// The demands with a judge that a choice breaks.
fn broken(model: &Model, choice: &[usize]) -> Vec<usize> {
    let breaks = |demand: &Demand| {
        let Demand::Test(test) = demand else { return false };
        let span = |id: &VariableId| {
            let value = model.variables[id.0].candidates[choice[id.0]].value;
            Span { least: value, most: value }
        };
        (test.judge)(&test.on.iter().map(span).collect::<Vec<_>>()) != Judgement::Holds
    };
    let all = model.constraints.iter().enumerate();
    all.filter(|(_, constraint)| breaks(&constraint.demand)).map(|(at, _)| at).collect()
}

/// The choices of a bench and parts in files. A part with faults takes no part.
fn of_files(word: &str) -> Vec<Model> {
    let read = |file: &str| std::fs::read_to_string(file).unwrap_or_else(|fault| panic!("{file}: {fault}"));
    let mut files = word.split('+');
    let bench = files.next().expect("a bench");
    let bench = read_bench(bench, &read(bench)).unwrap_or_else(|faults| panic!("{bench}: {faults:?}"));
    let part = |file: &str| {
        let drawing = read_drawing(file, &read(file)).ok()?;
        places(&drawing).ok().map(|solved| (drawing, solved))
    };
    let parts: Vec<(Drawing, Solved)> = files.filter_map(part).collect();
    let pieces: Vec<Piece> = parts.iter().map(|(drawing, solved)| Piece { drawing, solved }).collect();
    asked(&pieces, &bench)
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
        Demand::Reaches { sum, by, least } => {
            let least: Vec<String> = least.iter().map(|&least| exact(least)).collect();
            json!({ "reaches": linear(sum), "by": by.0, "least": least })
        }
        Demand::Pairs { a, b, allowed } => json!({ "pairs": [a.0, b.0], "allowed": allowed }),
        Demand::Not { variable, candidate } => json!({ "not": [variable.0, candidate] }),
        Demand::Is { variable, candidate } => json!({ "is": [variable.0, candidate] }),
        Demand::Test(test) => listed(model, test),
    }
}

/// A judge cannot be written down, but what it says of every combination can, where
/// there are not too many.
fn listed(model: &Model, test: &Test) -> Value {
    let candidates = |at: usize| &model.variables[test.on[at].0].candidates;
    let many = |product: usize, at: usize| product.saturating_mul(candidates(at).len());
    if (0..test.on.len()).fold(1, many) > LISTED {
        return json!({ "left_out": test.on.iter().map(|v| v.0).collect::<Vec<_>>() });
    }
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
