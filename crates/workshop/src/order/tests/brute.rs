//! Every order and every way, tried one after another.
//!
//! The independent witness: it knows the statement of the model and nothing of the
//! search. Cost aside, it cuts only where a rule is broken.

use std::collections::BTreeSet;

use super::*;
pub(super) use draw::Draw;
use proptest::prelude::*;

#[path = "../../../tests/draw/mod.rs"]
mod draw;

/// The least score of all valid orders, or `None` when there is none.
pub(super) fn cheapest(model: &Model) -> Option<u64> {
    let mut least = None;
    try_all(model, &Shop::at_start(model), &mut least);
    least
}

/// What these steps score, or `None` when they are no valid order.
fn score(model: &Model, steps: &[Step]) -> Option<u64> {
    let mut shop = Shop::at_start(model);
    for step in steps {
        shop = shop.does(model, step.op, step.way)?;
    }
    shop.complete(model).then_some(shop.spent)
}

fn try_all(model: &Model, shop: &Shop, least: &mut Option<u64>) {
    if least.is_some_and(|least| shop.spent >= least) {
        return;
    }
    if shop.complete(model) {
        *least = Some(shop.spent);
    }
    for (i, op) in model.operations.iter().enumerate() {
        for way in 0..op.ways.len() {
            if let Some(next) = shop.does(model, OpId(i), way) {
                try_all(model, &next, least);
            }
        }
    }
}

/// Whether any valid order exists; cost aside, the same work done with the same tokens
/// need be tried only once.
fn possible(model: &Model) -> bool {
    let (mut seen, mut left) = (BTreeSet::new(), vec![Shop::at_start(model)]);
    while let Some(shop) = left.pop() {
        if shop.complete(model) {
            return true;
        }
        let mut done = shop.done.clone();
        done.sort();
        // Where the work stands and how it was done matter only where places have to agree.
        let mut made: Vec<_> =
            shop.made.iter().map(|&(op, way, stay)| (op, way, stay == shop.stay)).collect();
        made.sort();
        let at = shop.stands.map(|stands| stands.0);
        let agrees = (!model.agreements.is_empty()).then_some((made, at));
        if seen.insert((done, shop.exists.clone(), agrees)) {
            for (i, op) in model.operations.iter().enumerate() {
                left.extend((0..op.ways.len()).filter_map(|way| shop.does(model, OpId(i), way)));
            }
        }
    }
    false
}

/// The shop at a moment, told as plainly as the statement of the model.
#[derive(Clone)]
struct Shop {
    done: Vec<OpId>,
    exists: Vec<bool>,
    aids: Vec<bool>,
    stands: Option<(SetupId, ToolId)>,
    /// What was done since planning began, in which way, and in which stay.
    made: Vec<(OpId, usize, usize)>,
    stay: usize,
    spent: u64,
}

impl Shop {
    fn at_start(model: &Model) -> Self {
        let mut shop = Self {
            done: Vec::new(),
            exists: model.tokens.iter().map(|t| t.at_start == Presence::Present).collect(),
            aids: vec![false; model.aids.len()],
            stands: model.start.standing,
            made: Vec::new(),
            stay: 0,
            spent: 0,
        };
        for &op in &model.start.done {
            shop.effect(model, op);
        }
        shop
    }

    /// Applies an operation; gives the aids it newly needs.
    fn effect(&mut self, model: &Model, id: OpId) -> Vec<AidId> {
        let op = &model.operations[id.0];
        self.done.push(id);
        op.spoils.iter().for_each(|s| self.exists[s.token.0] = false);
        op.makes.iter().for_each(|t| self.exists[t.0] = true);
        let mut new = op.aids.clone();
        new.retain(|a| !std::mem::replace(&mut self.aids[a.0], true));
        new
    }

    fn complete(&self, model: &Model) -> bool {
        let ops = || (0..model.operations.len()).map(OpId);
        let all_plain = ops().all(|o| model.operations[o.0].choice.is_some() || self.done.contains(&o));
        let chosen_once = (0..model.groups.len()).all(|g| {
            let exact = |v| {
                ops().all(|o| match model.operations[o.0].choice {
                    Some(c) if c.group.0 == g => self.done.contains(&o) == (c.variant == v),
                    _ => true,
                })
            };
            (0..model.groups[g].variants.len()).any(exact)
        });
        all_plain && chosen_once
    }

    /// Whether something done was to come after this operation.
    fn too_late(&self, model: &Model, op: OpId) -> bool {
        let choice = model.operations[op.0].choice;
        self.done.iter().flat_map(|d| &model.operations[d.0].after).any(|after| match after {
            After::Operation(before, _) => *before == op,
            After::Group(group, _) => choice.is_some_and(|c| c.group == *group),
        })
    }

    /// Whether an operation done so, in so many stays, agrees with all that was done.
    fn agrees(&self, model: &Model, id: OpId, way: usize, stay: usize) -> bool {
        let mut pairs = model.agreements.iter().flat_map(|a| self.made.iter().map(move |m| (a, m)));
        pairs.all(|(agreement, &(other, theirs, their_stay))| {
            let pair = match agreement.ops {
                [a, b] if (a, b) == (id, other) => [way, theirs],
                [a, b] if (a, b) == (other, id) => [theirs, way],
                _ => return true,
            };
            agreement.apart.contains(&pair) || (agreement.in_one && stay == their_stay)
        })
    }

    /// The shop after one more step, or `None` when a rule forbids it.
    fn does(&self, model: &Model, id: OpId, way: usize) -> Option<Self> {
        let (op, place, way) = (&model.operations[id.0], way, model.operations[id.0].ways[way]);
        let stay = self.stay + usize::from(self.stands.is_none_or(|s| s.0 != way.setup));
        let (setup, weights) = (&model.setups[way.setup.0], model.weights());
        let there = |need: &Need| self.exists[need.token.0];
        if self.done.contains(&id)
            || self.too_late(model, id)
            || !op.needs.iter().all(there)
            || op.needs_absent.iter().any(there)
            || !setup.needs.iter().all(there)
            || !self.agrees(model, id, place, stay)
        {
            return None;
        }
        let mut next = self.clone();
        next.spent += next.effect(model, id).len() as u64 * weights.aid + way.minutes;
        let moved = self.stands.is_some_and(|s| model.setups[s.0.0].machine != setup.machine);
        if moved {
            next.spent += weights.machine_change;
        }
        if moved || self.stands.is_some_and(|s| s.1 != way.tool) {
            next.spent += weights.tool_change;
        }
        if self.stands.is_none_or(|s| s.0 != way.setup) {
            next.spent += setup.minutes;
            if self.stands.is_some() || weights.first == FirstSetup::Counted {
                next.spent += weights.setup * setup.count;
            }
        }
        next.stands = Some((way.setup, way.tool));
        next.stay = stay;
        next.made.push((id, place, stay));
        Some(next)
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
        let count = draw.below(3) as u64;
        model.setup(Setup {
            name: format!("setup {s}"),
            machine,
            needs,
            minutes,
            count,
            sets: Sets::EachTime,
        });
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
    for _ in 0..draw.below(4) {
        let ops = [OpId(draw.below(count)), OpId(draw.below(count))];
        if ops[0] == ops[1] {
            continue;
        }
        let ways = ops.map(|op| model.operations[op.0].ways.len());
        let mut apart = Vec::new();
        for pair in (0..ways[0]).flat_map(|a| (0..ways[1]).map(move |b| [a, b])) {
            if draw.one_in(3) {
                apart.push(pair);
            }
        }
        model.agreements.push(Agreement { ops, in_one: !draw.one_in(4), apart, because: because() });
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
    let least = cheapest(model);
    match (plan(model, Effort { states: 1, beam: 1 }).unwrap(), least) {
        (Outcome::Planned(quick), Some(least)) => {
            prop_assert_eq!(check(model, &quick), Ok(()));
            let bound = if let Proof::Within { bound } = quick.proof { bound } else { quick.score };
            prop_assert!(bound <= least && least <= quick.score, "{} to {}", bound, quick.score);
        }
        (Outcome::Impossible(_), None) | (Outcome::Undecided { .. }, _) => {}
        (quick, least) => prop_assert!(false, "{quick:?} against {least:?}"),
    }
    match (outcome, least) {
        (Outcome::Planned(plan), Some(least)) => {
            prop_assert_eq!(check(model, &plan), Ok(()));
            prop_assert_eq!((plan.score, plan.proof), (least, Proof::Optimal));
            swaps_agree(model, &plan)?;
            moves_agree(model, &plan)?;
        }
        (Outcome::Impossible(conflict), None) => {
            prop_assert!(conflict.least);
            prop_assert!(!possible(&model.with_only(&conflict.core)));
            for left_out in &conflict.core {
                let rest: Vec<Rule> = conflict.core.iter().copied().filter(|r| r != left_out).collect();
                prop_assert!(possible(&model.with_only(&rest)), "{:?} is not needed", left_out);
            }
        }
        (outcome, least) => prop_assert!(false, "{outcome:?} against {least:?}"),
    }
    Ok(())
}

/// The least score of these operations in this order, whatever their ways; `None` when no
/// ways keep the rules.
fn cheapest_ways(model: &Model, ops: &[OpId], shop: &Shop) -> Option<u64> {
    let Some((&op, rest)) = ops.split_first() else { return shop.complete(model).then_some(shop.spent) };
    let ways = 0..model.operations[op.0].ways.len();
    ways.filter_map(|way| cheapest_ways(model, rest, &shop.does(model, op, way)?)).min()
}

/// With any operation moved to any place, the ways that are found for the order are the
/// cheapest that keep the rules, and where none are found there are none.
fn moves_agree(model: &Model, plan: &Plan) -> Result<(), TestCaseError> {
    for (from, to) in (0..plan.steps.len()).flat_map(|a| (0..plan.steps.len()).map(move |b| (a, b))) {
        let mut ops: Vec<OpId> = plan.steps.iter().map(|step| step.op).collect();
        let op = ops.remove(from);
        ops.insert(to, op);
        let steps = moves::sequenced(model, plan, &ops);
        prop_assert_eq!(steps.iter().map(|step| step.op).collect::<Vec<_>>(), ops.clone());
        prop_assert_eq!(score(model, &steps), cheapest_ways(model, &ops, &Shop::at_start(model)));
    }
    Ok(())
}

/// With any two neighbours changed about, the checker says what the plain replay says.
fn swaps_agree(model: &Model, plan: &Plan) -> Result<(), TestCaseError> {
    for i in 1..plan.steps.len() {
        let mut steps = plan.steps.clone();
        steps.swap(i - 1, i);
        let least = score(model, &steps);
        let tally = check::tally(model, &steps);
        let swapped = Plan { score: tally.score(&model.weights()), tally, steps, ..plan.clone() };
        prop_assert_eq!(check(model, &swapped).is_ok(), least.is_some());
        match may_swap(model, plan, i - 1) {
            Swap::Allowed(tally) => prop_assert_eq!(least, Some(tally.score(&model.weights()))),
            Swap::Breaks(broken) => {
                prop_assert!(!broken.is_empty());
                prop_assert_eq!(least, None);
            }
            Swap::NoSuchStep => prop_assert!(false, "steps {} and {} exist", i - 1, i),
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_order_is_cheaper_in_small_models(bytes in prop::collection::vec(any::<u8>(), 200)) {
        agrees(&any_model(&mut Draw(bytes.iter()), 6))?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_order_is_cheaper_up_to_nine_operations(bytes in prop::collection::vec(any::<u8>(), 260)) {
        agrees(&any_model(&mut Draw(bytes.iter()), 9))?;
    }
}

/// Turned parts that ask for more than a chuck: whatever holds them, whichever end is first,
/// no order of all there are costs less.
#[test]
fn no_order_of_turned_work_beats_the_plan() {
    use super::held_parts::{BUSH, ROLLER, WASHER};
    use crate::bench::WorkHolder::{Centres, Faceplate, FourJaw, SoftJaws, ThreeJaw};
    use crate::order::deed::{Job, Scheme};
    let mut met = [0; 2];
    for text in [BUSH, ROLLER, WASHER] {
        for holders in [&[ThreeJaw][..], &[ThreeJaw, Centres], &[ThreeJaw, FourJaw, SoftJaws, Faceplate]] {
            let mut bench = super::shop::boathouse();
            bench.work_holding = Some(holders.to_vec());
            bench.collets.clear();
            super::stand_in::with_part(text, &bench, |part, metric| {
                for first in turned::ways(part) {
                    let job = Job { part, metric, bench: &bench, scheme: Scheme::ALONE };
                    let Ok(makings) = turned::makings(&job, first) else { continue };
                    let model = build::model(&job, &makings).0;
                    let least = cheapest(&model);
                    match plan(&model, Effort::default()).expect("the model is sound") {
                        Outcome::Planned(plan) => {
                            assert_eq!(Some(plan.score), least, "{}", part.drawing.name);
                            assert!(check(&model, &plan).is_ok());
                            met[0] += 1;
                        }
                        _ => {
                            assert_eq!(least, None, "{}", part.drawing.name);
                            met[1] += 1;
                        }
                    }
                }
            });
        }
    }
    assert!(met[0] > 8 && met[1] > 1, "{met:?}");
}
