//! The rules' own models against every choice there is, judged by plain sums.

use std::collections::BTreeSet;

use num_rational::Ratio;
use proptest::prelude::*;

use super::demands::Demands;
use super::making::Making;
use super::metricate::variables;
use super::model::{Demand, Judgement, Linear, Model, Span};
use super::search::{self, Outcome, Proof};
use super::shelf::Shelf;
use super::stated::OnBench;
use super::stitch::Stitched;
use super::ties::{Other, Parts, Ties};
use super::together::Piece;
use super::way::{Job, ThreadWays};
use super::{pressure, screws, ways};
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
        Demand::Reaches { sum: linear, by, least } => {
            sum(linear, model, choice) >= least[choice[by.0]].ratio()
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

/// Every choice of candidates of a model.
fn every_choice(model: &Model) -> impl Iterator<Item = Vec<usize>> + '_ {
    let sizes = || model.variables.iter().map(|variable| variable.candidates.len());
    (0..sizes().product::<usize>()).map(move |number| {
        let mut left = number;
        sizes().map(|size| (left % size, left /= size).0).collect()
    })
}

/// A ring and the pin that it goes on, and how much longer the pin is to be.
fn ring_and_pin(size: i32, thick: i32, long: i32, room: i32) -> [String; 2] {
    let ring = format!(
        "part = \"Ring\"\nunit = \"inch\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\ndiameter = \"1 1/4\"\n\
         thickness = \"{thick}/32\"\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\nfinish = \"reamed\"\n\
         diameter = \"{size}/64\"\nplace = [\"datum\"]\n[[mate]]\nname = \"pin\"\nin = \"bore\"\nsize = \"{size}/64\"\n\
         fit = \"sliding\"\nwith = \"Pin: journal\"\n"
    );
    let pin = format!(
        "part = \"Pin\"\nunit = \"inch\"\nmaterial = \"brass\"\n[body]\nkind = \"turned\"\n[[feature]]\n\
         name = \"journal\"\nkind = \"section\"\ndiameter = \"{size}/64\"\nlength = \"{long}/32\"\n[[chain]]\n\
         name = \"room\"\nadds = [\"journal: length\"]\nless = [\"Ring: body: thickness\"]\nleast = \"{room}/64\"\n\
         most = \"{}/64\"\n",
        room + 1
    );
    [ring, pin]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Two parts tied by a mate and a chain: the search over both at once against every
    /// choice of both, where what ties them is asked of the sizes themselves.
    #[test]
    fn two_parts_together_come_out_as_every_choice_of_both_tried(
        size in 18..34i32, thick in 4..9i32, longer in 1..4i32, off in -1..1i32,
    ) {
        let texts = ring_and_pin(size, thick, thick + longer, 2 * longer + off);
        let drawings = texts.map(|text| read_drawing("part.toml", &text).expect("it reads"));
        let solved = drawings.each_ref().map(|drawing| solve(drawing).expect("it solves"));
        let bench = read_bench("bench.toml", BENCH).expect("it reads");
        let shelf = Shelf::of(&bench);
        let pieces = [0, 1].map(|at| Piece { drawing: &drawings[at], solved: &solved[at] });
        let bound = pressure::beside(&pieces);
        let mut makings = [0, 1].map(|at| {
            let mut making =
                Making::new(&pieces[at], &solved[at], &bench, &shelf, &bound[at], &OnBench::new(&bench)).expect("it can be made");
            making.ways.iter_mut().for_each(|ways| ways.ways = spread(&ways.ways));
            making
        });
        let steps: [fn(&Ties, &Parts, usize) -> Other; 2] = [Ties::further, Ties::stand_ins];
        for open in steps {
            let opened: Vec<Other> = {
                let parts: Parts = makings.iter().enumerate().collect();
                let ties = Ties::between(&parts, &[]);
                (0..2).map(|at| open(&ties, &parts, at)).collect()
            };
            for (making, (sizes, threads)) in makings.iter_mut().zip(opened) {
                making.tie(sizes, threads);
            }
        }
        makings.iter_mut().for_each(|making| making.demand().expect("it can be stated"));
        let mut stitched = Stitched::default();
        makings.iter().for_each(|making| stitched.add(&making.model));
        let untied = stitched.model.clone();
        let tied: Parts = makings.iter().enumerate().collect();
        Ties::between(&tied, &[]).demand(&tied, &mut stitched);
        let at = |part: usize, name: &str| {
            let named = drawings[part].dimensions.iter().position(|d| d.name == name);
            stitched.begins[part] + named.unwrap_or_else(|| panic!("no {name}"))
        };
        let [stand_in, journal] = [at(0, "pin: size"), at(1, "journal: diameter")];
        let [thick, long] = [at(0, "body: thickness"), at(1, "journal: length")];
        let room = &drawings[1].chains[0];
        let [least, most] = [&room.least, &room.most].map(|bound| bound.as_ref().expect("both are given").length);
        let best = every_choice(&untied)
            .filter(|choice| {
                let value = |v: usize| untied.variables[v].candidates[choice[v]].value;
                let left = value(long) - value(thick);
                // One way of the pin may be as large as another: the stand-in is the same way.
                choice[stand_in] == choice[journal]
                    && value(stand_in) == value(journal)
                    && left >= least
                    && left <= most
                    && untied.constraints.iter().all(|c| holds(&c.demand, &untied, choice))
            })
            .map(|choice| untied.cost(&choice))
            .min();
        match search::solve(&stitched.model).expect("the model is sound") {
            Outcome::Solved(found) => {
                prop_assert_eq!(found.proof, Proof::Optimal);
                prop_assert_eq!(Some(found.cost), best);
            }
            Outcome::Infeasible { .. } => prop_assert_eq!(best, None),
            Outcome::GaveUp { .. } => prop_assert!(false, "so small a model is always settled"),
        }
    }

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
