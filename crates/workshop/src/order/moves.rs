//! What may stand elsewhere in an order of work, at what cost, and why not.
//!
//! A step is moved, or two change places, and everything else keeps its order. Where
//! another of a step's ways then serves better or is the only one left, that is taken.
//! Habits of a tidy bench may be broken by asking, and are then named.

use super::asking::habit;
use super::calls::folded;
use super::check::{Broken, broken, tally};
use super::compile::{Book, CompiledWay};
use super::model::{After, Model, OpId, Plan, Rule, Step};
use super::node::Moment;
use super::uses::{Cost, Uses};
use super::work::OrderOfWork;
use crate::why::Why;
use std::collections::BTreeSet;

/// What was planned, and the plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Certificate {
    pub model: Model,
    pub plan: Plan,
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
    /// The model that was planned and the plan it came to, for whoever checks them another
    /// way. Of several ways of going about the part it is the one that was kept.
    pub fn planned_from(&self) -> (&Model, &Plan) {
        (&self.certificate.model, &self.certificate.plan)
    }

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

    /// Why a step stands where it does: what it needs, what would be lost earlier or later,
    /// and what doing it otherwise would cost.
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
        why = self.other_ways(at).into_iter().fold(why, Why::because);
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

    /// What doing the steps in this sequence breaks, by their places in the order: the step whose
    /// rule it is, and the one that came in its way, where one did. Habits may be broken.
    pub fn broken_by(&self, sequence: &[usize]) -> Vec<(usize, Option<usize>)> {
        let planned = &self.certificate.plan.steps;
        let steps: Vec<Step> = sequence.iter().filter_map(|&n| planned.get(n).copied()).collect();
        let place = |op: OpId| planned.iter().position(|step| step.op == op);
        let lost = broken(&self.certificate.without_habits(), &steps);
        lost.iter().filter_map(|one| Some((place(one.op)?, one.culprit.and_then(place)))).collect()
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
        let uses = |steps: &[Step]| Uses::of(&self.model, steps, &tally(&self.model, steps));
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

/// Operations in an order, each in the way that makes the whole of it least and lets all
/// places agree that have to; where nothing allows an operation any more, in the way it had.
///
/// Of all ways of getting as far as a step, those are told apart that stand elsewhere or
/// leave other things to agree with; of those alike the cheapest is kept.
pub(super) fn sequenced(model: &Model, plan: &Plan, ops: &[OpId]) -> Vec<Step> {
    let book = Book::new(model);
    let had = |op: OpId| plan.steps.iter().find(|step| step.op == op).map_or(0, |step| step.way);
    let mut layers: Vec<Vec<Reached>> = Vec::new();
    for (n, &op) in ops.iter().enumerate() {
        let compiled = &book.ops[op.0];
        let start = [Reached { moment: book.start(), way: 0, from: 0 }];
        let before: &[Reached] = if n == 0 { &start } else { &layers[n - 1] };
        let still = ops[n + 1..].iter().fold(0, |all, later| all | book.ops[later.0].kin);
        let setup = model.operations[op.0].ways[had(op)].setup.0;
        // What the rules allow; failing that what holds the work, though places then do not
        // agree; failing that the holding it had.
        let allowed = |moment: &Moment, way: &CompiledWay| book.holds(moment, op.0, way);
        let held = |moment: &Moment, way: &CompiledWay| book.is_held(moment, way);
        let as_was = |_: &Moment, way: &CompiledWay| usize::from(way.stand.setup) == setup;
        let may: [&Allows; 3] = [&allowed, &held, &as_was];
        let layer = may.iter().map(|may| {
            let mut layer: Vec<Reached> = Vec::new();
            for (from, reached) in before.iter().enumerate() {
                for way in compiled.ways.iter().filter(|way| may(&reached.moment, way)) {
                    let mut moment = book.after(&reached.moment, op.0, way);
                    moment.marks &= still;
                    moment.here &= still;
                    layer.push(Reached { moment, way: way.way, from });
                }
            }
            layer
        });
        let mut layer = layer.into_iter().find(|layer| !layer.is_empty()).unwrap_or_default();
        layer.sort_by_key(|reached| reached.moment.spent);
        let mut known = BTreeSet::new();
        layer.retain(|Reached { moment, .. }| known.insert((moment.stand, moment.marks, moment.here)));
        layer.truncate(MOST_REACHED);
        layers.push(layer);
    }
    let mut steps = Vec::new();
    let mut at = 0; // the cheapest stands first
    for (layer, &op) in layers.iter().zip(ops).rev() {
        let Reached { way, from, .. } = layer[at];
        steps.push(Step { op, way });
        at = from;
    }
    steps.reverse();
    steps
}

/// Whether a way may be taken from a moment.
type Allows<'a> = dyn Fn(&Moment, &CompiledWay) -> bool + 'a;

/// A way of getting as far as a step: how that was done, and from which way before it.
struct Reached {
    moment: Moment,
    way: usize,
    from: usize,
}

/// So many ways of getting as far as a step are told apart, the cheapest of them.
const MOST_REACHED: usize = 1_000;
