//! Of orders that cost the same: a reamer follows its drill while the work stays as it is held, where it
//! goes down in line with the hole and nothing is found again.

use super::check;
use super::deed::Makings;
use super::model::{Model, OpId, Plan, Step};
use super::work::Work;

/// The plan, with each reamer that costs nothing more there moved to where its drill is.
pub(super) fn followed(model: &Model, makings: &Makings, mut plan: Plan) -> Plan {
    let reamers = makings.deeds.iter().enumerate();
    for (op, _) in reamers.filter(|(_, deed)| matches!(deed.work, Work::Ream { .. })) {
        if let Some(moved) = follows(model, makings, &plan, OpId(op)) {
            plan = moved;
        }
    }
    plan
}

/// The plan with one reamer in the stay of its drill; none where it is there, cannot be, or costs more.
fn follows(model: &Model, makings: &Makings, plan: &Plan, reamer: OpId) -> Option<Plan> {
    let (steps, own) = (&plan.steps, &makings.deeds[reamer.0]);
    let at = steps.iter().position(|step| step.op == reamer)?;
    let before = |step: &Step| {
        let deed = &makings.deeds[step.op.0];
        let drills = matches!(deed.work, Work::Drill { .. } | Work::TrueHole { .. });
        drills && deed.feature == own.feature && deed.lot == own.lot
    };
    let drilled = steps[..at].iter().rposition(before)?;
    let setup = |step: &Step| model.operations[step.op.0].ways[step.way].setup;
    let held = setup(&steps[drilled]);
    let end = drilled + steps[drilled..].iter().take_while(|step| setup(step) == held).count();
    if end > at {
        return None;
    }
    let way = model.operations[reamer.0].ways.iter().position(|way| way.setup == held)?;
    (drilled + 1..=end).rev().find_map(|to| {
        let mut steps = steps.clone();
        steps.remove(at);
        steps.insert(to, Step { op: reamer, way });
        let tally = check::tally(model, &steps);
        let score = tally.score(&model.weights());
        let moved = Plan { steps, tally, score, ..plan.clone() };
        (score <= plan.score && check::check(model, &moved).is_ok()).then_some(moved)
    })
}
