//! What may stand elsewhere in an order of work, at what cost, and why not.
//!
//! A step is moved, or two change places, and everything else keeps its order. Where
//! another of a step's ways then serves better or is the only one left, that is taken.
//! Habits of a tidy bench may be broken by asking, and are then named.

use super::asking::habit;
use super::calls::folded;
use super::check::{Broken, broken, tally};
use super::model::{After, FirstSetup, Model, OpId, Plan, Presence, Rule, Step};
use super::uses::{Cost, Uses};
use super::work::OrderOfWork;
use crate::why::Why;

/// What was planned, and the plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Certificate {
    pub model: Model,
    pub plan: Plan,
    /// Which setups are only the bench.
    pub flat: Vec<bool>,
}

/// Whether steps may stand otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum May {
    /// They may.
    Yes {
        /// What the order then uses more.
        cost: Cost,
        /// The habits it goes against, each with its reason.
        against: Vec<String>,
    },
    /// They may not, and why: the rules broken first of all.
    No(Vec<String>),
}

/// Where a step may stand while all else keeps its order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Room {
    /// The earliest place, from nought.
    pub earliest: usize,
    /// Why no earlier; empty when it may stand first.
    pub not_earlier: Vec<String>,
    /// The latest place.
    pub latest: usize,
    /// Why no later; empty when it may stand last.
    pub not_later: Vec<String>,
}

/// How many reasons are told of one move: what follows from the first need not be.
const MOST_REASONS: usize = 3;

impl OrderOfWork {
    /// The step that words name: its number from one, its call, or its line on the sheet.
    ///
    /// # Errors
    ///
    /// The calls of steps that might have been meant, possibly none.
    pub fn step_named(&self, words: &str) -> Result<usize, Vec<&str>> {
        let wanted = folded(words);
        if let Ok(number) = wanted.trim_start_matches("step ").parse::<usize>()
            && (1..=self.steps.len()).contains(&number)
        {
            return Ok(number - 1);
        }
        let exact = |step: &super::work::Step| folded(&step.call) == wanted || folded(&step.text) == wanted;
        if let Some(found) = self.steps.iter().position(exact) {
            return Ok(found);
        }
        let asked: Vec<&str> = wanted.split(' ').collect();
        let holds = |step: &super::work::Step| {
            let (call, text) = (folded(&step.call), folded(&step.text));
            !wanted.is_empty() && asked.iter().all(|word| call.contains(word) || text.contains(word))
        };
        let near: Vec<usize> = (0..self.steps.len()).filter(|&n| holds(&self.steps[n])).collect();
        match near.as_slice() {
            [only] => Ok(*only),
            several => Err(several.iter().map(|&n| self.steps[n].call.as_str()).collect()),
        }
    }

    /// Whether the step at one place may stand at another, counted from nought once it is
    /// taken out; everything else keeps its order.
    pub fn may_move(&self, from: usize, to: usize) -> May {
        let mut ops = self.ops();
        if from >= ops.len() || to >= ops.len() {
            return May::No(vec!["there is no such step".into()]);
        }
        let op = ops.remove(from);
        ops.insert(to, op);
        self.certificate.may(&ops)
    }

    /// Whether two steps may change places, everything between them staying as it is.
    pub fn may_change_places(&self, one: usize, other: usize) -> May {
        let mut ops = self.ops();
        if one >= ops.len() || other >= ops.len() {
            return May::No(vec!["there is no such step".into()]);
        }
        ops.swap(one, other);
        self.certificate.may(&ops)
    }

    /// How far a step may go either way before something is lost.
    pub fn room(&self, at: usize) -> Room {
        let last = self.steps.len().saturating_sub(1);
        let mut room = Room { earliest: at, not_earlier: Vec::new(), latest: at, not_later: Vec::new() };
        while room.earliest > 0 {
            match self.may_move(at, room.earliest - 1) {
                May::Yes { .. } => room.earliest -= 1,
                May::No(reasons) => {
                    room.not_earlier = reasons;
                    break;
                }
            }
        }
        while room.latest < last {
            match self.may_move(at, room.latest + 1) {
                May::Yes { .. } => room.latest += 1,
                May::No(reasons) => {
                    room.not_later = reasons;
                    break;
                }
            }
        }
        room
    }

    /// Why a step stands where it does: what it needs, and what would be lost earlier or later.
    pub fn why_here(&self, at: usize) -> Why {
        let step = &self.steps[at];
        let room = self.room(at);
        let call = |n: usize| self.steps[n].call.as_str();
        let mut why = step.why.clone();
        why = why.because(match room.not_earlier.first() {
            Some(_) => {
                side("it cannot stand earlier than after", call(room.earliest.max(1) - 1), &room.not_earlier)
            }
            None => {
                Why::new("nothing would be lost if it came first of all").source("worked out from the rules")
            }
        });
        why.because(match room.not_later.first() {
            Some(_) => side(
                "it cannot stand later than before",
                call((room.latest + 1).min(self.steps.len() - 1)),
                &room.not_later,
            ),
            None => {
                Why::new("nothing would be lost if it came last of all").source("worked out from the rules")
            }
        })
    }

    fn ops(&self) -> Vec<OpId> {
        self.certificate.plan.steps.iter().map(|step| step.op).collect()
    }
}

fn side(words: &str, call: &str, reasons: &[String]) -> Why {
    Why::new(format!("{words} `{call}`: {}", reasons.join("; "))).source("worked out from the rules")
}

impl Certificate {
    /// Whether the operations may be done in this order.
    fn may(&self, ops: &[OpId]) -> May {
        let free = self.without_habits();
        let steps = sequenced(&free, &self.plan, ops);
        let lost = broken(&free, &steps);
        if !lost.is_empty() {
            return May::No(words(&free, &lost));
        }
        let uses = |steps: &[Step]| Uses::of(&self.model, steps, &tally(&self.model, steps), &self.flat);
        let against = broken(&self.model, &steps);
        May::Yes {
            cost: uses(&steps).more_than(&uses(&self.plan.steps)),
            against: words(&self.model, &against),
        }
    }

    /// The model with the rules that cost metal only.
    fn without_habits(&self) -> Model {
        let mut model = self.model.clone();
        for op in &mut model.operations {
            op.after.retain(|after| !matches!(after, After::Operation(_, because) if habit(because)));
        }
        model
    }
}

/// What is broken, in words, each reason once, the first few.
fn words(model: &Model, lost: &[Broken]) -> Vec<String> {
    let mut said: Vec<(&str, String)> = Vec::new();
    for one in lost {
        let (because, words) = sentence(model, one);
        if said.len() < MOST_REASONS && !said.iter().any(|(known, _)| *known == because) {
            said.push((because, words));
        }
    }
    said.into_iter().map(|(_, words)| words).collect()
}

/// One broken rule as a sentence, and the reason in it.
fn sentence<'a>(model: &'a Model, broken: &'a Broken) -> (&'a str, String) {
    let name = |op: OpId| model.name(op);
    let need = match broken.rule {
        Rule::SetupNeeds(setup, n) => model.setups[setup.0].needs.get(n),
        Rule::Needs(op, n) => model.operations[op.0].needs.get(n),
        Rule::After(op, n) => {
            return match &model.operations[op.0].after[n] {
                After::Operation(early, because) => {
                    (because, format!("`{}` comes after `{}`: {because}", name(op), name(*early)))
                }
                After::Group(_, because) => (because, broken.words.clone()),
            };
        }
        Rule::Agrees(n) => {
            let agreement = &model.agreements[n];
            let [one, other] = agreement.ops.map(name);
            let because = &agreement.because;
            return (because, format!("`{one}` and `{other}` would be done in two holdings: {because}"));
        }
        Rule::NeedsAbsent(..) | Rule::Spoils(..) => None,
    };
    let Some(need) = need else { return (&broken.words, broken.words.clone()) };
    let (token, wants, because) = (&model.tokens[need.token.0].name, name(broken.op), &need.because);
    let words = match broken.culprit {
        Some(culprit) => {
            format!("`{}` takes away the {token}, and `{wants}` needs it: {because}", name(culprit))
        }
        None => format!("`{wants}` needs a {token}, and there is none yet: {because}"),
    };
    (because, words)
}

/// Operations in an order, each in the way that makes the whole of it least; where
/// nothing holds an operation any more, in the way it had.
fn sequenced(model: &Model, plan: &Plan, ops: &[OpId]) -> Vec<Step> {
    let had = |op: OpId| plan.steps.iter().find(|step| step.op == op).map_or(0, |step| step.way);
    let mut exists: Vec<bool> = model.tokens.iter().map(|t| t.at_start == Presence::Present).collect();
    let pass = |exists: &mut Vec<bool>, op: OpId| {
        let op = &model.operations[op.0];
        for spoil in op.spoils.iter().filter(|spoil| !op.makes.contains(&spoil.token)) {
            exists[spoil.token.0] = false;
        }
        for made in &op.makes {
            exists[made.0] = true;
        }
    };
    for &op in &model.start.done {
        pass(&mut exists, op);
    }
    let weights = model.weights();
    // Of each way of the step reached: the least charge of coming there, and from which
    // way of the step before.
    let mut columns: Vec<Vec<(usize, u64, usize)>> = Vec::new();
    for (n, &op) in ops.iter().enumerate() {
        let ways = &model.operations[op.0].ways;
        let holds =
            |way: &usize| model.setups[ways[*way].setup.0].needs.iter().all(|need| exists[need.token.0]);
        let mut open: Vec<usize> = (0..ways.len()).filter(holds).collect();
        if open.is_empty() {
            open.push(had(op));
        }
        let column = open.into_iter().map(|way| {
            let to = ways[way];
            let charge = |from: Option<(super::SetupId, super::ToolId)>| {
                let machine = |setup: super::SetupId| model.setups[setup.0].machine;
                let other_machine = from.is_some_and(|(setup, _)| machine(setup) != machine(to.setup));
                let other_tool = other_machine || from.is_some_and(|(_, tool)| tool != to.tool);
                let mut sum = to.minutes + u64::from(other_tool) * weights.tool_change;
                sum += u64::from(other_machine) * weights.machine_change;
                if from.is_none_or(|(setup, _)| setup != to.setup) {
                    sum += model.setups[to.setup.0].minutes;
                    if from.is_some() || weights.first == FirstSetup::Counted {
                        sum += weights.setup * model.setups[to.setup.0].count;
                    }
                }
                sum
            };
            let Some(before) = n.checked_sub(1) else { return (way, charge(model.start.standing), 0) };
            let stood = |way: usize| {
                let way = model.operations[ops[before].0].ways[way];
                (way.setup, way.tool)
            };
            let come = columns[before]
                .iter()
                .enumerate()
                .map(|(k, &(was, sum, _))| (sum + charge(Some(stood(was))), k));
            let (sum, from) = come.min().unwrap_or_default();
            (way, sum, from)
        });
        let column: Vec<(usize, u64, usize)> = column.collect();
        columns.push(column);
        pass(&mut exists, op);
    }
    let mut steps = Vec::new();
    let mut at = columns.last().and_then(|last| (0..last.len()).min_by_key(|&k| (last[k].1, k))).unwrap_or(0);
    for (n, &op) in ops.iter().enumerate().rev() {
        let (way, _, from) = columns[n][at];
        steps.push(Step { op, way });
        at = from;
    }
    steps.reverse();
    steps
}
