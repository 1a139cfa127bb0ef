//! What is remembered never changes an answer.
#![allow(missing_docs)]

mod families;

use families::mixed::mixed;
use families::{Around, grid, tree};
use proptest::prelude::*;
use workshop::metric::{Memory, VariableId, solve, solve_with};

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// One memory through many models, each of them asked twice and then pinned.
    #[test]
    fn an_answer_does_not_depend_on_what_is_remembered(seeds in prop::collection::vec(0u64..20, 1..6)) {
        let mut memory = Memory::new();
        for seed in seeds {
            for model in [mixed(seed), tree(seed, Around::Drawn, 6, 4, 2)] {
                let pinned = model.pinned(VariableId(0), 1);
                let searched_less = {
                    let mut model = model.clone();
                    model.effort = 2;
                    model
                };
                for model in [&model, &model, &pinned, &searched_less, &pinned] {
                    prop_assert_eq!(solve_with(model, &mut memory).unwrap(), solve(model).unwrap());
                }
            }
        }
    }
}

/// The same model again finds every group remembered.
#[test]
fn a_group_already_searched_is_remembered() {
    let mut memory = Memory::new();
    let model = grid(1, Around::Planted, 2, 3, 6);
    let answer = solve_with(&model, &mut memory).unwrap();
    let kept = memory.answers();
    assert!(kept > 0);
    assert_eq!(solve_with(&model, &mut memory).unwrap(), answer);
    assert_eq!(memory.answers(), kept, "the same groups again are nothing new");
}
