//! What must be true of the least cost however a model was drawn, of models past trying
//! every order.

use super::brute::{Draw, any_model};
use super::*;
use proptest::prelude::*;

/// The least cost, as the search finds and proves it; `None` when there is no order.
fn proven(model: &Model) -> Option<u64> {
    match plan(model, Effort::default()).expect("the model is sound") {
        Outcome::Planned(plan) => {
            assert_eq!((check(model, &plan), plan.proof), (Ok(()), Proof::Optimal));
            Some(plan.score)
        }
        Outcome::Impossible(_) => None,
        Outcome::Undecided { .. } => panic!("a model this small is decided"),
    }
}

/// The model with its operations in another order: the one at `to[i]` is now at `i`.
fn renamed(model: &Model, to: &[usize]) -> Model {
    let now = |op: OpId| OpId(to.iter().position(|&was| was == op.0).expect("every operation stays"));
    let mut renamed = model.clone();
    renamed.operations = to.iter().map(|&was| model.operations[was].clone()).collect();
    for after in renamed.operations.iter_mut().flat_map(|op| &mut op.after) {
        if let After::Operation(before, _) = after {
            *before = now(*before);
        }
    }
    for agreement in &mut renamed.agreements {
        agreement.ops = agreement.ops.map(now);
    }
    renamed.start.done = model.start.done.iter().map(|&op| now(op)).collect();
    renamed
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_rule_less_never_costs_more(bytes in prop::collection::vec(any::<u8>(), 400)) {
        let model = any_model(&mut Draw(bytes.iter()), 12);
        let Some(least) = proven(&model) else { return Ok(()) };
        for left_out in model.rules() {
            let rest: Vec<Rule> = model.rules().into_iter().filter(|rule| *rule != left_out).collect();
            let with_less = proven(&model.with_only(&rest));
            prop_assert!(with_less.is_some_and(|less| less <= least), "{:?}", left_out);
        }
    }

    #[test]
    fn the_order_operations_are_listed_in_costs_nothing(
        bytes in prop::collection::vec(any::<u8>(), 400),
        to in Just((0..12).collect::<Vec<usize>>()).prop_shuffle(),
    ) {
        let model = any_model(&mut Draw(bytes.iter()), 12);
        let to: Vec<usize> = to.into_iter().filter(|&op| op < model.operations.len()).collect();
        prop_assert_eq!(proven(&model), proven(&renamed(&model, &to)));
    }

    /// The same from the whole search, of the model in which nothing but a counted setup is charged.
    #[test]
    fn setups_are_counted_as_the_whole_search_has_them(
        bytes in prop::collection::vec(any::<u8>(), 400),
    ) {
        let model = any_model(&mut Draw(bytes.iter()), 12);
        let mut counted = model.clone();
        let (first, nought) = (FirstSetup::Counted, 0);
        counted.charges = Charges::Weighted(Weights {
            machine_change: nought, setup: 1, tool_change: nought, aid: nought, first,
        });
        counted.setups.iter_mut().for_each(|setup| setup.minutes = 0);
        counted.operations.iter_mut().flat_map(|op| &mut op.ways).for_each(|way| way.minutes = 0);
        prop_assert_eq!(search::fewest_setups(&model, u64::MAX), proven(&counted));
    }

    #[test]
    fn a_bound_is_never_above_the_least(bytes in prop::collection::vec(any::<u8>(), 400), states in 1usize..60) {
        let model = any_model(&mut Draw(bytes.iter()), 12);
        let least = proven(&model);
        match plan(&model, Effort { states, beam: 1 }).expect("the model is sound") {
            Outcome::Planned(quick) => {
                let bound = if let Proof::Within { bound } = quick.proof { bound } else { quick.score };
                prop_assert_eq!(check(&model, &quick), Ok(()));
                prop_assert!(least.is_some_and(|least| bound <= least && least <= quick.score));
            }
            Outcome::Impossible(_) => prop_assert_eq!(least, None),
            Outcome::Undecided { .. } => {}
        }
    }
}
