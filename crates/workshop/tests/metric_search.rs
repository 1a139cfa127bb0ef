//! The search against every combination tried in turn, and what it promises.
#![allow(missing_docs)]

mod families;

use families::brute::{all, brute, holds};
use families::mixed::mixed;
use families::{Around, chain, grid, holes, runs, tree};
use num_rational::Ratio;
use proptest::prelude::*;
use workshop::measure::Length;
use workshop::metric::{
    Candidate, ConstraintId, Demand, Linear, Model, Outcome, Proof, Solved, Variable, VariableId, Verdict,
    alternatives, solve,
};

/// Solves, and holds the outcome against every combination.
fn agrees_with_brute_force(model: &Model) -> Result<Outcome, TestCaseError> {
    let outcome = solve(model).unwrap();
    match &outcome {
        Outcome::Solved(solved) => {
            for constraint in &model.constraints {
                prop_assert!(holds(model, &solved.choice, &constraint.demand), "{} broken", constraint.name);
            }
            prop_assert_eq!(solved.proof, Proof::Optimal);
            prop_assert_eq!(solved.cost, model.cost(&solved.choice));
            prop_assert_eq!(Some(solved.cost), brute(model, &all(model)));
        }
        Outcome::Infeasible { core, minimal } => {
            prop_assert!(*minimal && !core.is_empty());
            prop_assert_eq!(brute(model, core), None, "the core can hold");
            for without in core {
                let rest: Vec<ConstraintId> = core.iter().copied().filter(|c| c != without).collect();
                prop_assert!(brute(model, &rest).is_some(), "{without:?} is not needed in the core");
            }
        }
        Outcome::GaveUp { .. } => prop_assert!(false, "gave up on a small instance"),
    }
    Ok(outcome)
}

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(cases(600))]

    #[test]
    fn mixed_demands_come_out_as_every_combination_tried(seed: u64) {
        agrees_with_brute_force(&mixed(seed))?;
    }
}

proptest! {
    #![proptest_config(cases(40))]

    #[test]
    fn shapes_come_out_as_every_combination_tried(seed: u64, shape in 0..5) {
        let model = match shape {
            0 => chain(seed, Around::Drawn, 6, 4),
            1 => tree(seed, Around::Drawn, 6, 4, 3),
            2 => grid(seed, Around::Drawn, 2, 3, 4),
            3 => holes(seed, Around::Drawn, 2, 4),
            _ => runs(seed, Around::Drawn, 7, 3, 4),
        };
        agrees_with_brute_force(&model)?;
    }

    /// Another size on the rack never makes the best choice dearer.
    #[test]
    fn one_candidate_more_never_costs_more(seed: u64, at in 0usize..6, microns in 3000i64..16_000) {
        let model = tree(seed, Around::Planted, 6, 4, 2);
        let Outcome::Solved(before) = solve(&model).unwrap() else { panic!("planted") };
        let mut wider = model.clone();
        let variable = &mut wider.variables[at];
        let value = Length::microns(microns);
        let departure = (value.gap(variable.drawn).as_mm() * 1e4) as u64;
        variable.candidates.push(Candidate { value, buys: vec![], departure, roughness: 0, label: 9 });
        let Outcome::Solved(after) = solve(&wider).unwrap() else { panic!("still planted") };
        prop_assert!(after.cost <= before.cost);
    }

    /// What an alternative is said to cost is what the pinned model costs, and
    /// what it is said to break is broken.
    #[test]
    fn alternatives_cost_and_break_what_they_say(seed: u64) {
        let model = tree(seed, Around::Planted, 5, 4, 2);
        let Outcome::Solved(solved) = solve(&model).unwrap() else { panic!("planted") };
        for at in 0..model.variables.len() {
            let others = alternatives(&model, &solved, VariableId(at)).unwrap();
            prop_assert_eq!(others.len(), model.variables[at].candidates.len() - 1);
            for other in others {
                let mut choice = solved.choice.clone();
                choice[at] = other.candidate;
                let broken: Vec<ConstraintId> = all(&model)
                    .into_iter()
                    .filter(|c| !holds(&model, &choice, &model.constraints[c.0].demand))
                    .collect();
                match other.verdict {
                    Verdict::Breaks(said) => prop_assert_eq!(said, broken),
                    Verdict::Costs { cost, proof } => {
                        let pinned = model.pinned(VariableId(at), other.candidate);
                        prop_assert!(broken.is_empty());
                        prop_assert_eq!(proof, Proof::Optimal);
                        prop_assert_eq!(Some(cost), brute(&pinned, &all(&pinned)));
                    }
                }
            }
        }
    }
}

// ------------------------------------------------------------------ full size

fn proven(model: &Model) -> Solved {
    let Outcome::Solved(solved) = solve(model).unwrap() else { panic!("a planted choice exists") };
    assert_eq!(solved.proof, Proof::Optimal);
    for constraint in &model.constraints {
        assert!(holds(model, &solved.choice, &constraint.demand), "{}", constraint.name);
    }
    solved
}

/// Narrow enough for exact tables: the search walks straight down.
#[test]
fn sixty_coupled_sizes_of_twenty_candidates_are_proven_without_a_wrong_turn() {
    for seed in 0..2 {
        assert!(proven(&tree(seed, Around::Planted, 60, 20, 0)).nodes <= 60);
        assert!(proven(&chain(seed, Around::Planted, 60, 20)).nodes <= 10_000);
    }
}

#[test]
fn the_same_model_gives_the_same_answer() {
    let model = tree(3, Around::Planted, 30, 12, 4);
    assert_eq!(solve(&model).unwrap(), solve(&model).unwrap());
}

#[test]
fn a_search_cut_short_says_how_far_it_got() {
    // Too closely tied to be eliminated outright.
    let mut model = grid(1, Around::Planted, 6, 6, 16);
    let best = proven(&model).cost;
    model.effort = 30;
    match solve(&model).unwrap() {
        Outcome::Solved(Solved { proof: Proof::Within { bound }, cost, .. }) => {
            assert!(bound <= best && best <= cost);
        }
        Outcome::GaveUp { bound, nodes } => assert!(bound <= best && nodes <= 30),
        other => panic!("thirty nodes cannot settle it: {other:?}"),
    }
}

// ------------------------------------------------------------------ by hand

fn size(model: &mut Model, name: &str, microns: &[i64]) -> VariableId {
    let drawn = Length::microns(microns[0]);
    let candidate = |&value: &i64| {
        let value = Length::microns(value);
        let departure = value.gap(drawn).rounded(Length::microns(1), workshop::measure::Toward::More);
        let departure = departure.value.ratio_to(Length::microns(1)).to_integer() as u64;
        Candidate { value, buys: vec![], departure, roughness: 0, label: 0 }
    };
    let candidates = microns.iter().map(candidate).collect();
    model.variable(Variable { name: name.into(), drawn, candidates })
}

/// Two reamers of one point each, or one of one point that does for both: the
/// shared one wins although it departs further.
#[test]
fn one_tool_for_two_bores_is_bought_once() {
    let mut model = Model::default();
    let [a, b] = ["left bore", "right bore"].map(|name| size(&mut model, name, &[9525, 9500]));
    let [own_a, own_b, shared] = ["for a", "for b", "for both"].map(|name| model.purchase(name, 1));
    for (v, own) in [(a, own_a), (b, own_b)] {
        model.variables[v.0].candidates[0].buys = vec![own];
        model.variables[v.0].candidates[1].buys = vec![shared];
    }
    let solved = proven(&model);
    assert_eq!((solved.choice, solved.cost.buy), (vec![1, 1], 1));
}

#[test]
fn a_pin_that_cannot_stand_is_named_in_the_clash() {
    let mut model = Model::default();
    let a = size(&mut model, "length", &[10_000, 11_000]);
    let b = size(&mut model, "shoulder", &[4_000, 5_000]);
    let one = Ratio::from_integer(1);
    let sum = Linear::default().plus(a, one).plus(b, one);
    let total = model.demand("total", "it goes between the frames", Demand::equal(sum, Length::mm(15)));
    assert_eq!(proven(&model).cost.departure, 1000);
    let pinned = model.pinned(a, 0).pinned(b, 0);
    let Outcome::Infeasible { core, minimal: true } = solve(&pinned).unwrap() else { panic!("14 is not 15") };
    assert_eq!(core, vec![total, ConstraintId(1), ConstraintId(2)]);
}

#[test]
fn a_model_at_fault_is_a_problem_and_not_a_panic() {
    let mut model = Model::default();
    let v = size(&mut model, "width", &[1000]);
    let far = Demand::Is { variable: v, candidate: 7 };
    let mut wrong = model.clone();
    wrong.demand("pin", "", far);
    assert!(solve(&wrong).unwrap_err().to_string().contains("`pin`"));
    let mut wrong = model.clone();
    wrong.variables[0].candidates.clear();
    assert!(solve(&wrong).unwrap_err().to_string().contains("`width`"));
    let mut wrong = model.clone();
    wrong.variables[0].candidates[0].value = Length::mm_ratio(1, i128::MAX);
    let sum = Linear::default().plus(v, Ratio::from_integer(1));
    wrong.demand("fine", "", Demand::equal(sum, Length::mm(1)));
    assert!(solve(&wrong).unwrap_err().to_string().contains("too fine"));
    let mut wrong = model;
    wrong.demand(
        "lost",
        "",
        Demand::equal(Linear::default().plus(VariableId(5), Ratio::from_integer(1)), Length::ZERO),
    );
    assert!(solve(&wrong).unwrap_err().to_string().contains("`lost`"));
}
