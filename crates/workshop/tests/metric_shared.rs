//! Parts that only a list of things to buy ties together, against every combination.
#![allow(missing_docs)]

mod families;

use families::brute::{all, brute, holds};
use families::shop::project;
use families::{Around, Dice, sizes, tied};
use proptest::prelude::*;
use workshop::metric::{
    Demand, Linear, Memory, Model, Outcome, Proof, PurchaseId, THING, VariableId, solve, solve_with,
};

/// Parts of two sizes, tied within; five things to buy, some for one part alone, their
/// prices in so many bands.
fn shop(seed: u64, parts: usize, bands: u64) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, parts * 2, 3, 0);
    let things: Vec<PurchaseId> = (0..5)
        .map(|at| model.purchase(format!("reamer {at}"), THING as u32 + 1 + dice.below(bands) as u32))
        .collect();
    for variable in &mut model.variables {
        let nothing_owned = dice.below(3) == 0;
        for candidate in &mut variable.candidates {
            for _ in 0..1 + dice.below(8) / 7 {
                if nothing_owned || dice.below(2) == 0 {
                    candidate.buys.push(things[dice.below(5) as usize]);
                }
            }
            candidate.buys.dedup();
        }
    }
    for part in 0..parts {
        if dice.below(4) > 0 {
            tied(&mut model, &mut dice, Around::Planted, &[part * 2, part * 2 + 1]);
        }
    }
    model
}

/// The same with its parts the other way round.
fn turned(model: &Model) -> Model {
    let last = model.variables.len() - 1;
    let turn = |v: &VariableId| VariableId(last - v.0);
    let mut turned = Model { purchases: model.purchases.clone(), ..Model::default() };
    model.variables.iter().rev().for_each(|variable| {
        turned.variable(variable.clone());
    });
    for constraint in model.constraints.iter().rev() {
        let Demand::Between { sum, least, most } = &constraint.demand else { panic!("only sums") };
        let terms = sum.terms.iter().map(|(v, times)| (turn(v), *times)).collect();
        let sum = Linear { terms, constant: sum.constant };
        turned.demand(&constraint.name, "", Demand::Between { sum, least: *least, most: *most });
    }
    turned
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_bought_for_several_parts_is_what_every_combination_says(seed: u64) {
        let model = shop(seed, 3, 3);
        let Outcome::Solved(solved) = solve(&model).unwrap() else { panic!("a planted choice exists") };
        prop_assert_eq!(solved.proof, Proof::Optimal);
        prop_assert_eq!(solved.cost, model.cost(&solved.choice));
        prop_assert_eq!(Some(solved.cost), brute(&model, &all(&model)));
        for constraint in &model.constraints {
            prop_assert!(holds(&model, &solved.choice, &constraint.demand), "{} broken", constraint.name);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// All things cost the same, so that many lists are equally short and the sizes decide
    /// between them; and no order of the parts makes it dearer.
    #[test]
    fn of_many_lists_as_short_the_one_that_serves_all_parts_best_is_found(seed: u64) {
        let model = shop(seed, 4, 1);
        let Outcome::Solved(solved) = solve(&model).unwrap() else { panic!("a planted choice exists") };
        prop_assert_eq!(solved.proof, Proof::Optimal);
        prop_assert_eq!(Some(solved.cost), brute(&model, &all(&model)));
        let Outcome::Solved(again) = solve(&turned(&model)).unwrap() else { panic!("it is the same choice") };
        prop_assert_eq!((again.cost, again.proof), (solved.cost, Proof::Optimal));
    }
}

/// Two threads share the work, and nothing shows it: the same choice, cost and effort each
/// time, also when what was remembered comes into it.
#[test]
fn the_answer_is_the_same_whichever_thread_is_first() {
    let model = project(1, 60, 8, 8);
    let first = solve(&model).unwrap();
    assert!(matches!(&first, Outcome::Solved(solved) if solved.cost.buy > 0), "something has to be bought");
    let mut memory = Memory::new();
    for _ in 0..8 {
        assert_eq!(solve(&model).unwrap(), first);
        assert_eq!(solve_with(&model, &mut memory).unwrap(), first);
    }
}
