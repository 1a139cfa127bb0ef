//! Tests of the planner against outside values and independent methods.

mod accuracy;
mod arcs;
mod brute;
mod by_hand;
mod gripped;
mod held;
mod held_parts;
mod holes;
mod kept;
mod lined_up;
mod mutations;
mod processes;
mod properties;
mod published;
mod roughing;
mod rule_parts;
mod rules;
mod screwed;
mod screwed_on;
mod several;
mod shop;
mod stand_in;
mod thin;
mod traps;
mod true_running;
mod variations;
mod waste;

use super::*;

/// Plans with the usual effort; the plan must pass the separate checker.
fn planned(model: &Model) -> Plan {
    match plan(model, Effort::default()).expect("the model is sound") {
        Outcome::Planned(plan) => {
            if let Err(faults) = check(model, &plan) {
                let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
                panic!("the checker refuses the plan:\n{}", words.join("\n"));
            }
            plan
        }
        other => panic!("no plan: {other:?}"),
    }
}
