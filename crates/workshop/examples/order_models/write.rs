//! A model and its plan as JSON.

use serde_json::{Value, json};
use workshop::order::*;

/// One line: the model, our answer, the time it took.
pub fn line(name: &str, model: &Model, outcome: &Outcome, ms: f64) -> Value {
    let needs = |needs: &[Need]| needs.iter().map(|need| need.token.0).collect::<Vec<_>>();
    let setups = model.setups.iter().map(|s| {
        json!({ "machine": s.machine.0, "needs": needs(&s.needs), "minutes": s.minutes, "count": s.count })
    });
    let operations = model.operations.iter().map(|op| {
        let after = op.after.iter().map(|after| match after {
            After::Operation(op, _) => json!({ "op": op.0 }),
            After::Group(group, _) => json!({ "group": group.0 }),
        });
        json!({
            "ways": op.ways.iter().map(|w| (w.setup.0, w.tool.0, w.minutes)).collect::<Vec<_>>(),
            "needs": needs(&op.needs),
            "absent": needs(&op.needs_absent),
            "makes": op.makes.iter().map(|t| t.0).collect::<Vec<_>>(),
            "spoils": op.spoils.iter().map(|s| s.token.0).collect::<Vec<_>>(),
            "after": after.collect::<Vec<_>>(),
            "aids": op.aids.iter().map(|a| a.0).collect::<Vec<_>>(),
            "choice": op.choice.map(|c| (c.group.0, c.variant)),
        })
    });
    let agreements = model
        .agreements
        .iter()
        .map(|a| json!({ "ops": a.ops.map(|op| op.0), "in_one": a.in_one, "apart": a.apart }));
    let weights = match model.charges {
        Charges::InTurn => Value::Null,
        Charges::Weighted(w) => json!({
            "machine": w.machine_change, "setup": w.setup, "tool": w.tool_change, "aid": w.aid,
            "first": w.first == FirstSetup::Counted,
        }),
    };
    json!({
        "name": name,
        "tokens": model.tokens.iter().map(|t| t.at_start == Presence::Present).collect::<Vec<_>>(),
        "setups": setups.collect::<Vec<_>>(),
        "aids": model.aids.len(),
        "groups": model.groups.iter().map(|g| g.variants.len()).collect::<Vec<_>>(),
        "operations": operations.collect::<Vec<_>>(),
        "agreements": agreements.collect::<Vec<_>>(),
        "done": model.start.done.iter().map(|op| op.0).collect::<Vec<_>>(),
        "standing": model.start.standing.map(|(setup, tool)| (setup.0, tool.0)),
        "weights": weights,
        "ours": answer(model, outcome),
        "ms": ms,
    })
}

fn answer(model: &Model, outcome: &Outcome) -> Value {
    match outcome {
        Outcome::Planned(plan) => {
            let t = &plan.tally;
            json!({
                "steps": plan.steps.iter().map(|s| (s.op.0, s.way)).collect::<Vec<_>>(),
                "tally": [t.machine_changes, t.setups, t.tool_changes, t.aids, t.minutes],
                "proven": plan.proof == Proof::Optimal,
                "score": plan.score,
                "bound": match plan.proof {
                    Proof::Optimal => plan.score,
                    Proof::Within { bound } => bound,
                },
                "setup_weighs": model.weights().setup,
                "states": plan.states,
            })
        }
        Outcome::Impossible(conflict) => json!({ "impossible": true, "least": conflict.least }),
        Outcome::Undecided { states } => json!({ "undecided": true, "states": states }),
    }
}
