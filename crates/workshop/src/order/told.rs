//! The steps of a plan from what the search chose: those that were free come in between, they
//! are put into the order of the list, and what they use is added up.

use super::compile::{Book, Stand};
use super::model::{FirstSetup, OpId, Plan, Proof, Step, Tally};
use super::node::{Moment, View};

/// All steps, from those chosen: what is free comes in between of itself.
pub(super) fn replay(book: &Book, chosen: &[(usize, usize)]) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut moment = book.start();
    book.settle(&mut moment, |op, way| steps.push(Step { op: OpId(op), way }));
    for &(op, way) in chosen {
        let compiled = book.ops[op].ways.iter().find(|w| w.way == way).expect("a chosen way is compiled");
        steps.push(Step { op: OpId(op), way });
        moment = book.after(&moment, op, compiled);
        book.settle(&mut moment, |op, way| steps.push(Step { op: OpId(op), way }));
    }
    steps
}

/// Puts steps that may stand in any order into the order of the list, and adds up.
pub(super) fn tidy(book: &Book, mut steps: Vec<Step>, proof: Proof, states: usize) -> Plan {
    let mut score = run(book, &steps).expect("the search follows the rules").spent;
    let mut moved = true;
    while moved {
        moved = false;
        for i in 1..steps.len() {
            if steps[i].op < steps[i - 1].op {
                steps.swap(i - 1, i);
                match run(book, &steps) {
                    // A plan from a search cut short may even gain by it.
                    Some(end) if end.spent <= score => (score, moved) = (end.spent, true),
                    _ => steps.swap(i - 1, i),
                }
            }
        }
    }
    let proof = if proof == (Proof::Within { bound: score }) { Proof::Optimal } else { proof };
    Plan { tally: count(book, &steps), steps, score, proof, states }
}

/// What valid steps use, counted from the compiled model.
fn count(book: &Book, steps: &[Step]) -> Tally {
    let (mut tally, mut moment) = (Tally::default(), book.start());
    for step in steps {
        let way = book.ops[step.op.0].ways.iter().find(|w| w.way == step.way).expect("the steps were run");
        let stand = moment.stand;
        let machine = |s: Stand| book.setup_machine[usize::from(s.setup)];
        let counted = stand.is_some() || book.weights.first == FirstSetup::Counted;
        let changes = stand.is_none_or(|s| s.setup != way.stand.setup);
        if changes && counted {
            tally.setups += book.setup_count[usize::from(way.stand.setup)];
        }
        tally.minutes += way.minutes;
        if changes {
            tally.minutes += book.setup_minutes[usize::from(way.stand.setup)];
        }
        tally.tool_changes += u64::from(stand.is_some_and(|s| s.fit != way.stand.fit));
        tally.machine_changes += u64::from(stand.is_some_and(|s| machine(s) != machine(way.stand)));
        let aids = moment.aids.count_ones();
        moment = book.after(&moment, step.op.0, way);
        tally.aids += u64::from(moment.aids.count_ones() - aids);
    }
    tally
}

/// Where the steps end, or `None` when they break a rule.
fn run(book: &Book, steps: &[Step]) -> Option<Moment> {
    let mut moment = book.start();
    for step in steps {
        let i = step.op.0;
        let way = book.ops[i].ways.iter().find(|w| w.way == step.way)?;
        let view = View::of(book, &moment)?;
        let allowed =
            view.viable >> i & 1 == 1 && view.ready(book, moment.tokens, i) && book.holds(&moment, i, way);
        if !allowed {
            return None;
        }
        moment = book.after(&moment, i, way);
    }
    Some(moment).filter(|m| View::of(book, m).is_some_and(|v| v.finished))
}
