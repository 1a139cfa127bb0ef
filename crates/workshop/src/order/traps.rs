//! Steps that must not be taken early, and what each would lose.
//!
//! Every step that takes something away is put, in thought, right before the last
//! earlier step that needs it. The planner's own account of what breaks is then said
//! in one sentence, once for both hands.

use super::deed::{Makings, Token};
use super::explain::would_lose;
use super::model::{Model, Need, Plan, Rule, Step};
use super::work::Trap;
use crate::why::capital;

/// The traps of a plan, in the order of the steps that set them.
pub(super) fn traps(makings: &Makings, model: &Model, tokens: &[Token], plan: &Plan) -> Vec<Trap> {
    let mut told: Vec<(Token, &str)> = Vec::new();
    let mut traps: Vec<Trap> = Vec::new();
    for (n, late) in plan.steps.iter().enumerate() {
        for spoil in &model.operations[late.op.0].spoils {
            // One trap for each reason to need the token: holding by a bore is one
            // thing, reaming it another.
            for (early, need) in needers(model, &plan.steps[..n], spoil.token) {
                let token = tokens[spoil.token.0].of_any();
                let breaks = would_lose(model, plan, late.op, early.op).into_iter().any(|broken| {
                    broken.op == early.op && needed(model, broken.rule).is_some_and(|n| n == need)
                });
                if !breaks || told.contains(&(token, need.because.as_str())) {
                    continue;
                }
                told.push((token, need.because.as_str()));
                let text = |step: &Step| &makings.deeds[step.op.0].text;
                let early = format!("{} before {}", text(late), text(early));
                let lost = format!("{}. But {}.", capital(&spoil.because), need.because);
                // Said once, with everything that would be lost.
                match traps.iter_mut().find(|trap| trap.early == early) {
                    Some(known) if known.lost.contains(&lost) => {}
                    Some(known) => known.lost = format!("{} {lost}", known.lost),
                    None => traps.push(Trap { early, lost }),
                }
            }
        }
    }
    traps
}

/// The last step that needs a token, for each reason to need it.
fn needers<'a>(model: &'a Model, before: &'a [Step], token: super::TokenId) -> Vec<(&'a Step, &'a Need)> {
    let mut last: Vec<(&Step, &Need)> = Vec::new();
    for step in before.iter().rev() {
        let operation = &model.operations[step.op.0];
        let setup = operation.ways[step.way].setup;
        for need in operation.needs.iter().chain(&model.setups[setup.0].needs) {
            if need.token == token && !last.iter().any(|(_, known)| known.because == need.because) {
                last.push((step, need));
            }
        }
    }
    last
}

/// The need that a rule is.
fn needed(model: &Model, rule: Rule) -> Option<&Need> {
    match rule {
        Rule::SetupNeeds(setup, n) => model.setups[setup.0].needs.get(n),
        Rule::Needs(op, n) => model.operations[op.0].needs.get(n),
        Rule::NeedsAbsent(..) | Rule::Spoils(..) | Rule::After(..) | Rule::Agrees(_) => None,
    }
}
