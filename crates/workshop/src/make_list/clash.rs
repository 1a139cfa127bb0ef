//! Statements that cannot all hold, in words.

use super::build::Built;
use super::deeds::World;
use crate::order::{Conflict, Rule};
use crate::problem::Problem;

/// The problem of an assembly that cannot be put together: the least set of statements, each
/// with where it is said.
pub(super) fn problem(world: &World, built: &Built, conflict: &Conflict) -> Problem {
    let words: Vec<String> = conflict
        .core
        .iter()
        .map(|&rule| {
            let sentence = built.model.sentence(rule);
            match built.demands.get(&rule).and_then(|demand| demand.said.as_ref()) {
                Some(said) => format!("{sentence} ({said})"),
                None => sentence,
            }
        })
        .collect();
    let least = if conflict.least {
        "Leave out any one of them, and the rest can be kept"
    } else {
        "Perhaps not all of them have a part in it"
    };
    let file = world.fitting.file.clone().unwrap_or_else(|| "assembly.toml".into());
    let mut problem = Problem::new("there is no order in which this project can be put together")
        .at(file)
        .why(format!("these cannot all hold: {}. {least}", words.join("; ")))
        .mend(mend(built, conflict));
    for demand in conflict.core.iter().filter_map(|rule| built.demands.get(rule)) {
        problem = problem.concerns(world.name(demand.of));
    }
    problem
}

/// How such a set is most likely mended.
fn mend(built: &Built, conflict: &Conflict) -> &'static str {
    let rules = || conflict.core.iter().filter_map(|rule| built.demands.get(rule)).map(|demand| demand.rule);
    let has = |name: &str| rules().any(|rule| rule == name);
    if has("no joint hotter than it holds") || has("hardened by itself") {
        return "join them in a way that bears the heat or comes apart, keep the heat from the joint and say so \
                with `keep_cool`, or leave out the heat treatment";
    }
    if has("got at before closed off") {
        return "let the join that closes it off come apart, or set and finish from something that stays open";
    }
    let own = |rule: &Rule| matches!(rule, Rule::After(..));
    if conflict.core.iter().any(own) {
        return "take one of these statements out of the assembly file";
    }
    "set one of them by something that is there before it, or let one of the joins come apart"
}
