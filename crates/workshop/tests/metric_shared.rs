//! Parts that only a list of things to buy ties together, against every combination.
#![allow(missing_docs)]

mod families;

use families::brute::{all, brute, holds};
use families::{Around, Dice, sizes, tied};
use proptest::prelude::*;
use workshop::metric::{Model, Outcome, Proof, PurchaseId, THING, solve};

/// Three parts of two sizes, tied within; four things to buy, some for one part alone.
fn shop(seed: u64) -> Model {
    let mut dice = Dice(seed);
    let mut model = sizes(&mut dice, 6, 3, 0);
    let things: Vec<PurchaseId> = (0..5)
        .map(|at| model.purchase(format!("reamer {at}"), THING as u32 + 1 + dice.below(3) as u32))
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
    for part in 0..3 {
        if dice.below(4) > 0 {
            tied(&mut model, &mut dice, Around::Planted, &[part * 2, part * 2 + 1]);
        }
    }
    model
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_bought_for_several_parts_is_what_every_combination_says(seed: u64) {
        let model = shop(seed);
        let Outcome::Solved(solved) = solve(&model).unwrap() else { panic!("a planted choice exists") };
        prop_assert_eq!(solved.proof, Proof::Optimal);
        prop_assert_eq!(solved.cost, model.cost(&solved.choice));
        prop_assert_eq!(Some(solved.cost), brute(&model, &all(&model)));
        for constraint in &model.constraints {
            prop_assert!(holds(&model, &solved.choice, &constraint.demand), "{} broken", constraint.name);
        }
    }
}
