//! The rules' own models against every choice there is, judged by plain sums.

use std::collections::BTreeSet;

use num_rational::Ratio;
use proptest::prelude::*;

use super::demands::Demands;
use super::metricate::variables;
use super::model::{Demand, Judgement, Linear, Model, Span};
use super::search::{self, Outcome, Proof};
use super::shelf::Shelf;
use super::way::{Job, ThreadWays};
use super::{screws, ways};
use crate::bench::read_bench;
use crate::drawing::{Part, ThreadId, read_drawing, solve};
use crate::measure::Length;
use crate::tables::materials;

const BENCH: &str = "drills = [\"1 mm to 6 mm by 0.5 mm\", \"7.8 mm\"]\nreamers = [\"5 mm\", \"8 mm\"]\ntaps = [\"M3\", \"M4\"]\n\
     [[stock]]\nmaterial = \"brass\"\nflat = [\"3 mm\", \"6 mm\"]\n";

/// How many ways of each size are kept, so that every choice can be tried.
const KEPT: usize = 3;

/// A part, narrowed to a few ways for each size, as a model.
fn model_of(text: &str) -> Option<Model> {
    let drawing = read_drawing("part.toml", text).ok()?;
    let solved = solve(&drawing).ok()?;
    let bench = read_bench("bench.toml", BENCH).ok()?;
    let part = Part::as_drawn(&drawing, &solved);
    if !part.impossible().is_empty() {
        return None;
    }
    let material = materials::find("brass").ok()?;
    let shelf = Shelf::of(&bench);
    let job = Job { drawing: &drawing, solved: &solved, bench: &bench, part, shelf: &shelf, material };
    let mut threads: Vec<ThreadWays> =
        (0..drawing.threads.len()).map(|at| screws::ways(&job, ThreadId(at))).collect();
    let mut ways = ways::every_way(&job, &threads);
    for ways in &mut ways {
        ways.ways = spread(&ways.ways);
    }
    for ways in &mut threads {
        ways.ways = spread(&ways.ways);
    }
    if ways.iter().any(|ways| ways.ways.is_empty()) || threads.iter().any(|ways| ways.ways.is_empty()) {
        return None;
    }
    let mut model = variables(&job, &ways, &threads);
    let thinned = BTreeSet::new();
    let mut demands = Demands::new(&job, &ways, &threads, &mut model, &thinned);
    demands.sums().ok()?;
    demands.walls();
    Some(model)
}

/// The first, the last and the middle.
fn spread<T: Clone>(all: &[T]) -> Vec<T> {
    let mut places = [0, all.len() / 2, all.len().saturating_sub(1)][..KEPT].to_vec();
    places.dedup();
    places.into_iter().filter_map(|at| all.get(at).cloned()).collect()
}

fn sum(linear: &Linear, model: &Model, choice: &[usize]) -> Ratio<i128> {
    let value = |variable: usize| model.variables[variable].candidates[choice[variable]].value.ratio();
    linear.terms.iter().map(|(v, times)| value(v.0) * times).sum::<Ratio<i128>>() + linear.constant.ratio()
}

fn holds(demand: &Demand, model: &Model, choice: &[usize]) -> bool {
    match demand {
        Demand::Between { sum: linear, least, most } => {
            let value = Length::from_ratio(sum(linear, model, choice));
            least.is_none_or(|least| value >= least) && most.is_none_or(|most| value <= most)
        }
        Demand::Apart { along, across, reach } => {
            let [x, y, r] = [along, across, reach].map(|linear| sum(linear, model, choice));
            r <= Ratio::from(0) || x * x + y * y >= r * r
        }
        Demand::Pairs { a, b, allowed } => allowed[choice[a.0]][choice[b.0]],
        Demand::Not { variable, candidate } => choice[variable.0] != *candidate,
        Demand::Is { variable, candidate } => choice[variable.0] == *candidate,
        Demand::Test(test) => {
            let span = |v: usize| {
                let value = model.variables[v].candidates[choice[v]].value;
                Span { least: value, most: value }
            };
            let spans: Vec<Span> = test.on.iter().map(|v| span(v.0)).collect();
            (test.judge)(&spans) == Judgement::Holds
        }
    }
}

fn any_part() -> impl Strategy<Value = String> {
    let kinds = prop::sample::select(vec!["drilled", "reamed", "tapped"]);
    let holes = prop::collection::vec((kinds, 10..24i32, 8..56i32, 8..36i32), 1..3);
    (holes, prop::bool::ANY).prop_map(|(holes, disc)| {
        let body = if disc {
            "kind = \"disc\"\ndiameter = \"1 1/4\"\nthickness = \"1/4\"\n"
        } else {
            "kind = \"rectangle\"\nwidth = \"1\"\nheight = \"5/8\"\nthickness = \"1/8\"\ndatum = \"bottom left\"\n"
        };
        let mut text = format!("part = \"p\"\nunit = \"inch\"\nmaterial = \"brass\"\n[body]\n{body}");
        for (at, (kind, size, x, y)) in holes.into_iter().enumerate() {
            let size = if kind == "tapped" {
                "kind = \"tapped hole\"\nthread = \"5 BA\"".to_owned()
            } else {
                format!("kind = \"hole\"\nfinish = \"{kind}\"\ndiameter = \"{size}/64\"")
            };
            let from = if at == 0 { "datum" } else { "f0" };
            let (x, y) = if disc || at > 0 { (x - 24, y - 20) } else { (x, y) };
            let (side, height) = (if x < 0 { "left of" } else { "right of" }, if y < 0 { "below" } else { "above" });
            text += &format!(
                "[[feature]]\nname = \"f{at}\"\n{size}\nplace = [\"{}/64 {side} {from}\", \"{}/64 {height} {from}\"]\n",
                x.abs(), y.abs()
            );
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn the_search_agrees_with_trying_everything(text in any_part()) {
        let model = model_of(&text);
        prop_assume!(model.is_some());
        let model = model.expect("just seen");
        let sizes: Vec<usize> = model.variables.iter().map(|v| v.candidates.len()).collect();
        let mut best = None;
        let mut choice = vec![0; sizes.len()];
        'all: loop {
            if model.constraints.iter().all(|c| holds(&c.demand, &model, &choice)) {
                let cost = model.cost(&choice);
                best = Some(best.map_or(cost, |best: super::model::Cost| best.min(cost)));
            }
            let mut at = 0;
            loop {
                if at == sizes.len() {
                    break 'all;
                }
                choice[at] += 1;
                if choice[at] < sizes[at] {
                    break;
                }
                choice[at] = 0;
                at += 1;
            }
        }
        match search::solve(&model).expect("the model is sound") {
            Outcome::Solved(found) => {
                prop_assert_eq!(found.proof, Proof::Optimal);
                prop_assert_eq!(Some(found.cost), best);
            }
            Outcome::Infeasible { .. } => prop_assert_eq!(best, None),
            Outcome::GaveUp { .. } => prop_assert!(false, "so small a model is always settled"),
        }
    }
}
