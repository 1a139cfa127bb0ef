//! What would be lost by doing a step early, and which steps may change places.

use super::check::{Broken, broken, tally};
use super::model::{Model, OpId, Plan, Step, Tally};

/// What changing two neighbouring steps comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Swap {
    /// It breaks no rule; this is what the plan then uses.
    Allowed(Tally),
    /// It breaks these rules.
    Breaks(Vec<Broken>),
    /// There is no such pair of steps.
    NoSuchStep,
}

/// What breaks when `op` is done directly before `before` instead of in its own place.
///
/// Empty when nothing breaks, or when the plan does not have `op` after `before`.
pub fn would_lose(model: &Model, plan: &Plan, op: OpId, before: OpId) -> Vec<Broken> {
    let place = |op| plan.steps.iter().position(|s| s.op == op);
    let (Some(from), Some(to)) = (place(op), place(before)) else { return Vec::new() };
    if from <= to {
        return Vec::new();
    }
    let mut steps: Vec<Step> = plan.steps.clone();
    steps[to..=from].rotate_right(1);
    broken(model, &steps)
}

/// Whether step `i` (from nought) and the next may change places.
pub fn may_swap(model: &Model, plan: &Plan, i: usize) -> Swap {
    let mut steps: Vec<Step> = plan.steps.clone();
    if i + 1 >= steps.len() {
        return Swap::NoSuchStep;
    }
    steps.swap(i, i + 1);
    let broken = broken(model, &steps);
    if broken.is_empty() { Swap::Allowed(tally(model, &steps)) } else { Swap::Breaks(broken) }
}
