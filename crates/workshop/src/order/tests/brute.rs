//! Every order and every way, tried one after another.
//!
//! The independent witness: it knows the statement of the model and nothing of the
//! search. Cost aside, it cuts only where a rule is broken.

use super::*;
use proptest::prelude::*;

/// The least score of all valid orders, or `None` when there is none.
fn cheapest(model: &Model) -> Option<u64> {
    let mut brute = Brute { model, weights: model.weights(), least: None };
    let mut exists: Vec<bool> = model.tokens.iter().map(|t| t.at_start == Presence::Present).collect();
    let mut aids = vec![false; model.aids.len()];
    for &op in &model.start.done {
        effect(model, op, &mut exists, &mut aids);
    }
    brute.from(&mut model.start.done.clone(), &exists, &aids, model.start.standing, 0);
    brute.least
}

struct Brute<'a> {
    model: &'a Model,
    weights: Weights,
    least: Option<u64>,
}

/// Applies an operation; says how many aids it newly needs.
fn effect(model: &Model, op: OpId, exists: &mut [bool], aids: &mut [bool]) -> u64 {
    let op = &model.operations[op.0];
    op.spoils.iter().for_each(|s| exists[s.token.0] = false);
    op.makes.iter().for_each(|t| exists[t.0] = true);
    op.aids.iter().filter(|a| !std::mem::replace(&mut aids[a.0], true)).count() as u64
}

impl Brute<'_> {
    fn complete(&self, done: &[OpId]) -> bool {
        let model = self.model;
        let ops = || (0..model.operations.len()).map(OpId);
        let all_plain = ops().all(|o| model.operations[o.0].choice.is_some() || done.contains(&o));
        let chosen_once = (0..model.groups.len()).all(|g| {
            let exact = |v| {
                ops().all(|o| match model.operations[o.0].choice {
                    Some(c) if c.group.0 == g => done.contains(&o) == (c.variant == v),
                    _ => true,
                })
            };
            (0..model.groups[g].variants.len()).any(exact)
        });
        all_plain && chosen_once
    }

    /// Whether something done was to come after this operation.
    fn late(&self, op: OpId, done: &[OpId]) -> bool {
        let choice = self.model.operations[op.0].choice;
        done.iter().flat_map(|d| &self.model.operations[d.0].after).any(|after| match after {
            After::Operation(before, _) => *before == op,
            After::Group(group, _) => choice.is_some_and(|c| c.group == *group),
        })
    }

    fn from(
        &mut self,
        done: &mut Vec<OpId>,
        exists: &[bool],
        aids: &[bool],
        stands: Option<(SetupId, ToolId)>,
        spent: u64,
    ) {
        if self.least.is_some_and(|least| spent >= least) {
            return;
        }
        if self.complete(done) {
            self.least = Some(spent);
        }
        let model = self.model;
        for (i, op) in model.operations.iter().enumerate() {
            let id = OpId(i);
            if done.contains(&id)
                || self.late(id, done)
                || op.needs.iter().any(|n| !exists[n.token.0])
                || op.needs_absent.iter().any(|n| exists[n.token.0])
            {
                continue;
            }
            for way in &op.ways {
                let setup = &model.setups[way.setup.0];
                if setup.needs.iter().any(|n| !exists[n.token.0]) {
                    continue;
                }
                let (mut exists, mut aids) = (exists.to_vec(), aids.to_vec());
                let new_aids = effect(model, id, &mut exists, &mut aids);
                let moved = stands.is_some_and(|s| model.setups[s.0.0].machine != setup.machine);
                let tool = moved || stands.is_some_and(|s| s.1 != way.tool);
                let held = stands.is_none_or(|s| s.0 != way.setup);
                let counted = held && (stands.is_some() || self.weights.first == FirstSetup::Counted);
                let charge = u64::from(moved) * self.weights.machine_change
                    + u64::from(tool) * self.weights.tool_change
                    + u64::from(counted) * self.weights.setup
                    + if held { setup.minutes } else { 0 }
                    + new_aids * self.weights.aid
                    + way.minutes;
                done.push(id);
                self.from(done, &exists, &aids, Some((way.setup, way.tool)), spent + charge);
                done.pop();
            }
        }
    }
}

/// Draws numbers from a list of bytes, so that a failing model shrinks.
pub(super) struct Draw<'a>(pub std::slice::Iter<'a, u8>);

impl Draw<'_> {
    fn below(&mut self, n: usize) -> usize {
        usize::from(self.0.next().copied().unwrap_or(0)) % n
    }

    fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == n - 1
    }
}

/// A small model of any kind: tokens that come and go, setups that need them, choices
/// with empty and double variants, aids, work already done.
pub(super) fn any_model(draw: &mut Draw<'_>, most: usize) -> Model {
    let mut model = Model::default();
    let because = || String::from("it was drawn so");
    for t in 0..1 + draw.below(4) {
        let at_start = if draw.one_in(2) { Presence::Present } else { Presence::Absent };
        model.token(format!("token {t}"), at_start);
    }
    let tokens = model.tokens.len();
    model.machine("mill");
    model.machine("lathe");
    for s in 0..1 + draw.below(3) {
        let needs =
            if draw.one_in(4) { vec![Need::new(TokenId(draw.below(tokens)), because())] } else { vec![] };
        let (machine, minutes) = (MachineId(draw.below(2)), draw.below(4) as u64);
        model.setup(Setup { name: format!("setup {s}"), machine, needs, minutes });
    }
    for name in ["drill", "end mill", "file"] {
        model.tool(name);
    }
    model.aid("mandrel");
    model.aid("buttons");
    let groups = draw.below(3);
    for g in 0..groups {
        model.group(format!("choice {g}"), &["this", "that"]);
    }
    let count = 2 + draw.below(most - 1);
    for i in 0..count {
        let mut op = Operation { name: format!("op {i}"), ..Operation::default() };
        for _ in 0..1 + draw.below(2) {
            let (setup, tool) = (SetupId(draw.below(model.setups.len())), ToolId(draw.below(3)));
            op.ways.push(Way { setup, tool, minutes: draw.below(6) as u64 });
        }
        if draw.one_in(4) {
            op.needs.push(Need::new(TokenId(draw.below(tokens)), because()));
        }
        if draw.one_in(8) {
            op.needs_absent.push(Need::new(TokenId(draw.below(tokens)), because()));
        }
        if draw.one_in(3) {
            op.makes.push(TokenId(draw.below(tokens)));
        }
        if draw.one_in(4) {
            op.spoils.push(Spoil::new(TokenId(draw.below(tokens)), because()));
        }
        if i > 0 && draw.one_in(3) {
            op.after.push(After::Operation(OpId(draw.below(i)), because()));
        }
        if draw.one_in(4) {
            op.aids.push(AidId(draw.below(2)));
        }
        if groups > 0 && draw.one_in(2) {
            op.choice = Some(Choice { group: GroupId(draw.below(groups)), variant: draw.below(2) });
        } else if groups > 0 && draw.one_in(5) {
            op.after.push(After::Group(GroupId(draw.below(groups)), because()));
        }
        model.operation(op);
    }
    if draw.one_in(3) && model.operations[0].choice.is_none() {
        model.start.done.push(OpId(0));
        model.start.standing = draw.one_in(2).then_some((SetupId(0), ToolId(0)));
    }
    if draw.one_in(3) {
        let (machine_change, setup) = (draw.below(9) as u64, draw.below(9) as u64);
        let (tool_change, aid) = (draw.below(9) as u64, draw.below(9) as u64);
        let first = if draw.one_in(2) { FirstSetup::Free } else { FirstSetup::Counted };
        model.charges = Charges::Weighted(Weights { machine_change, setup, tool_change, aid, first });
    }
    model
}

/// The search agrees with trying everything; what it calls impossible is.
fn agrees(model: &Model) -> Result<(), TestCaseError> {
    prop_assert_eq!(model.faults(), vec![]);
    let outcome = plan(model, Effort::default()).unwrap();
    prop_assert_eq!(&outcome, &plan(model, Effort::default()).unwrap(), "not the same twice");
    match (outcome, cheapest(model)) {
        (Outcome::Planned(plan), Some(least)) => {
            prop_assert_eq!(check(model, &plan), Ok(()));
            prop_assert_eq!((plan.score, plan.proof), (least, Proof::Optimal));
            swaps_agree(model, &plan)?;
        }
        (Outcome::Impossible(conflict), None) => {
            prop_assert!(conflict.least);
            prop_assert_eq!(cheapest(&model.with_only(&conflict.core)), None);
            for left_out in &conflict.core {
                let rest: Vec<Rule> = conflict.core.iter().copied().filter(|r| r != left_out).collect();
                prop_assert!(cheapest(&model.with_only(&rest)).is_some(), "{:?} is not needed", left_out);
            }
        }
        (outcome, least) => prop_assert!(false, "{outcome:?} against {least:?}"),
    }
    Ok(())
}

/// Of any two neighbours changed about, the checker says what brute replay says.
fn swaps_agree(model: &Model, plan: &Plan) -> Result<(), TestCaseError> {
    for i in 1..plan.steps.len() {
        let mut steps = plan.steps.clone();
        steps.swap(i - 1, i);
        // Only this order and these ways: each operation comes after the one before.
        let mut only = model.clone();
        only.charges = Charges::Weighted(model.weights());
        for (n, step) in steps.iter().enumerate() {
            only.operations[step.op.0].ways = vec![model.operations[step.op.0].ways[step.way]];
            if n > 0 {
                let before = After::Operation(steps[n - 1].op, "of the order tried".into());
                only.operations[step.op.0].after.push(before);
            }
        }
        let others = (0..only.operations.len())
            .map(OpId)
            .filter(|&o| !steps.iter().any(|s| s.op == o) && !only.start.done.contains(&o));
        for other in others.collect::<Vec<_>>() {
            let never = After::Operation(other, "it is never done".into());
            only.operations[steps[0].op.0].after.push(never);
        }
        let least = cheapest(&only);
        let tally = check::tally(model, &steps);
        let swapped = Plan { score: tally.score(&model.weights()), tally, steps, ..plan.clone() };
        prop_assert_eq!(check(model, &swapped).is_ok(), least.is_some());
        if let Swap::Allowed(tally) = may_swap(model, plan, i - 1) {
            prop_assert_eq!(least, Some(tally.score(&model.weights())));
        } else {
            prop_assert_eq!(least, None);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_order_is_cheaper_in_small_models(bytes in prop::collection::vec(any::<u8>(), 200)) {
        agrees(&any_model(&mut Draw(bytes.iter()), 6))?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn no_order_is_cheaper_up_to_nine_operations(bytes in prop::collection::vec(any::<u8>(), 260)) {
        agrees(&any_model(&mut Draw(bytes.iter()), 9))?;
    }
}
