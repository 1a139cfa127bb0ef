//! What must not be done early, and what each would lose.
//!
//! Every deed of the plan is put, in thought, right before each earlier one that it must not
//! come before by a rule people fall foul of. The planner's own account of what breaks is then
//! said in one sentence.

use super::deeds::World;
use super::stages::Stage;
use crate::order::{Broken, OpId, would_lose};
use crate::sheet::Trap;
use crate::why::capital;

/// The traps of a stage, in the order of the deeds that set them.
pub(super) fn traps(world: &World, stage: &Stage) -> Vec<Trap> {
    let (model, plan) = (&stage.built.model, &stage.plan);
    let mut traps: Vec<Trap> = Vec::new();
    for (n, late) in plan.steps.iter().enumerate() {
        for early in plan.steps[..n].iter().rev() {
            for broken in would_lose(model, plan, late.op, early.op) {
                let Some(lost) = stage.built.demands.get(&broken.rule).and_then(|d| d.lost.clone()) else {
                    continue;
                };
                if !(broken.op == late.op && made_by(stage, &broken, early.op)) && broken.op != early.op {
                    continue;
                }
                let name = |op: OpId| world.name(stage.built.deeds[op.0]);
                let trap = Trap {
                    early: format!("{} before `{}`", doing(&name(late.op)), name(early.op)),
                    lost: capital(&lost),
                };
                if !traps.contains(&trap) {
                    traps.push(trap);
                }
            }
        }
    }
    traps
}

/// Whether it is the absence of just this earlier deed that breaks the rule.
fn made_by(stage: &Stage, broken: &Broken, early: OpId) -> bool {
    let model = &stage.built.model;
    match broken.rule {
        crate::order::Rule::Needs(op, n) => {
            let token = model.operations[op.0].needs[n].token;
            model.operations[early.0].makes.contains(&token)
        }
        crate::order::Rule::NeedsAbsent(op, n) => {
            let token = model.operations[op.0].needs_absent[n].token;
            model.operations[early.0].spoils.iter().any(|spoil| spoil.token == token)
        }
        crate::order::Rule::After(..) => true,
        crate::order::Rule::SetupNeeds(..)
        | crate::order::Rule::Spoils(..)
        | crate::order::Rule::Agrees(_) => false,
    }
}

/// `press together: the pin` as something one might do.
fn doing(name: &str) -> String {
    capital(&format!("`{name}`"))
}
