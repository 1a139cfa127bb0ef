//! The order of work around what the person says: with what each wish costs, or which
//! of the things said cannot all hold.

use super::answer::ways_about;
use super::asking::{Heeded, Which, heed, wish};
use super::best::best;
use super::calls::{calls, named};
use super::feasible::feasible;
use super::work::{Answered, OrderOfWork};
use super::{build, deed::Job};
use crate::bench::Bench;
use crate::document::nearest_word;
use crate::drawing::{Part, Stated};
use crate::metric::MetricPart;
use crate::problem::{Outcome, Problem};

/// What is planned, on which bench.
#[derive(Clone, Copy)]
struct Question<'a> {
    part: &'a Part<'a>,
    metric: &'a MetricPart,
    bench: &'a Bench,
}

/// States looked at to find out whether there is any order at all.
const FEASIBLE: usize = 50_000;

/// Wishes past so many are not priced one by one: each takes a planning of its own.
const MOST_PRICED: usize = 12;

/// The order around everything that is said.
pub(super) fn order(part: &Part, metric: &MetricPart, bench: &Bench) -> Outcome<OrderOfWork> {
    let asks = Question { part, metric, bench };
    let unknown = asks.unknown();
    if !unknown.is_empty() {
        return Err(unknown);
    }
    let asked = &part.drawing.asked;
    let all = Heeded::all(asked);
    let mut order = match asks.best(&all) {
        Ok(order) => order,
        Err(_) => {
            // What cannot be made at all is not the fault of what is said.
            asks.best(&Heeded::default())?;
            return Err(vec![asks.conflict(&all)]);
        }
    };
    let priced = all.wanted.len() <= MOST_PRICED;
    let cost = |which: Which| {
        let without = asks.best(&all.without(which)).ok().filter(|_| priced)?;
        Some(order.uses.more_than(&without.uses))
    };
    let wishes = asked.wanted.iter().enumerate().map(|(n, stated)| Answered {
        text: stated.text.clone(),
        line: stated.line,
        cost: cost(Which::Wanted(n)),
    });
    let wishes: Vec<Answered> = wishes.collect();
    if !wishes.is_empty() {
        let free = Heeded { wanted: Vec::new(), ..all };
        order.free = asks.best(&free).ok().map(|free| free.uses);
    }
    order.wishes = wishes;
    Ok(order)
}

impl Question<'_> {
    fn best(&self, heeded: &Heeded) -> Outcome<OrderOfWork> {
        best(self.part, self.metric, self.bench, heeded)
    }

    /// Whether any order heeds this.
    fn stands(&self, heeded: &Heeded) -> bool {
        ways_about(self.part, self.metric, self.bench).into_iter().any(|(scheme, first)| {
            let job = Job { part: self.part, metric: self.metric, bench: self.bench, scheme };
            let Ok(makings) = super::answer::makings(&job, first) else { return false };
            let (mut model, _) = build::model(&job, &makings);
            heed(&job, &makings, first, &mut model, heeded)
                && model.faults().is_empty()
                && feasible(&model, FEASIBLE) == Some(true)
        })
    }

    /// Statements that name nothing in any way of going about the part.
    fn unknown(&self) -> Vec<Problem> {
        let asked = &self.part.drawing.asked;
        let mut known: Vec<String> = Vec::new();
        let mut done = vec![false; asked.done.len()];
        let mut wanted = vec![false; asked.wanted.len()];
        for (scheme, first) in ways_about(self.part, self.metric, self.bench) {
            let job = Job { part: self.part, metric: self.metric, bench: self.bench, scheme };
            let Ok(makings) = super::answer::makings(&job, first) else { continue };
            let calls = calls(&job, &makings);
            for (n, stated) in asked.done.iter().enumerate() {
                done[n] |= !named(&job, &makings, &calls, &stated.text).is_empty();
            }
            for (n, stated) in asked.wanted.iter().enumerate() {
                let said = wish(&job, &makings, first, &stated.text);
                wanted[n] |= said.is_some_and(|said| said != super::asking::Wish::Nothing);
            }
            let variants = makings.choices.iter().flat_map(|(name, variants)| {
                variants.iter().map(move |variant| format!("{name}: {variant}"))
            });
            known.extend(calls.iter().cloned().chain(variants));
            known.extend(
                first.map(|_| ["left end first", "right end first"].map(String::from)).into_iter().flatten(),
            );
        }
        known.sort();
        known.dedup();
        let said = asked.done.iter().zip(done).map(|(stated, found)| (stated, found, "done"));
        let said =
            said.chain(asked.wanted.iter().zip(wanted).map(|(stated, found)| (stated, found, "wanted")));
        said.filter(|(_, found, _)| !found)
            .map(|(stated, _, key)| self.not_known(stated, key, &known))
            .collect()
    }

    fn not_known(&self, stated: &Stated, key: &str, known: &[String]) -> Problem {
        // Of `A before B` the half that nothing is called is looked for.
        let halves: Vec<&str> =
            match stated.text.split_once(" before ").or_else(|| stated.text.split_once(" after ")) {
                Some((one, two)) if key == "wanted" => vec![one, two],
                _ => vec![stated.text.as_str()],
            };
        let is = |half: &str, call: &str| {
            let (half, call) = (super::calls::folded(half), super::calls::folded(call));
            half == call || Some(half.as_str()) == call.split(" (").next()
        };
        let strange = halves.iter().copied().find(|half| !known.iter().any(|call| is(half, call)));
        let strange = strange.unwrap_or(&stated.text);
        let bare = |call: &str| call.split(" (").next().unwrap_or_default().to_owned();
        let near = nearest_word(strange, known.iter().map(String::as_str)).map(str::to_owned).or_else(|| {
            let bares: Vec<String> = known.iter().map(|call| bare(call)).collect();
            nearest_word(strange, bares.iter().map(String::as_str)).map(str::to_owned)
        });
        let named = self.part.features().map(|(_, feature)| feature.name.as_str());
        let of = named.filter(|name| strange.contains(*name)).max_by_key(|name| name.len());
        let mend = match (near, of) {
            (Some(near), _) => format!("did you mean `{near}`?"),
            (None, Some(name)) => {
                let there: Vec<String> =
                    known.iter().filter(|call| call.contains(name)).map(|call| format!("`{call}`")).collect();
                match there.is_empty() {
                    true => format!("nothing is done to {name} by itself: take the line out"),
                    false => format!("what is done to {name} is {}", there.join(", ")),
                }
            }
            (None, None) => {
                let some: Vec<String> = known.iter().take(4).map(|call| format!("`{call}`")).collect();
                format!("write it as `oddleg order` lists it, without sizes: {}", some.join(", "))
            }
        };
        let why = match key {
            "done" => "an operation is named by its work and its feature",
            _ => "it reads `OPERATION before OPERATION`, or names one way of going about the part",
        };
        Problem::new(format!("no operation of this part is called `{strange}`"))
            .at(format!("line {}, `{key}` of `[order]`", stated.line))
            .at(self.part.drawing.file.clone())
            .why(why)
            .mend(mend)
    }

    /// Which of the things said cannot all hold, and which of them to take back.
    fn conflict(&self, all: &Heeded) -> Problem {
        let asked = &self.part.drawing.asked;
        // Wishes are told before facts: a fact is let go first where one will do.
        let mut least = all.clone();
        let mut tried = least.each();
        tried.reverse();
        for which in tried {
            let less = least.without(which);
            if !self.stands(&less) {
                least = less;
            }
        }
        let said = |which: &Which| {
            let stated = which.of(asked);
            let word = match which {
                Which::Done(_) => "done",
                Which::Wanted(_) => "wanted",
            };
            match stated.line {
                0 => format!("`{}` is asked", stated.text),
                line => format!("`{}` is {word} (line {line})", stated.text),
            }
        };
        let core = least.each();
        let trade = self
            .best(&least)
            .err()
            .and_then(|faults| faults.first().and_then(|f| f.reason().map(str::to_owned)));
        let mut words = core.iter().map(said).collect::<Vec<_>>().join("; ");
        if let Some(trade) = trade {
            words = format!(
                "{words}. {}",
                trade.replacen("these", "With that, these", 1).replacen("no order", "No order", 1)
            );
        }
        let ways: Vec<String> = core
            .iter()
            .filter(|which| which.of(asked).line > 0)
            .filter_map(|&which| {
                let order = self.best(&all.without(which)).ok()?;
                let stated = which.of(asked);
                Some(format!(
                    "take back `{}` (line {}): then there is an order of {}",
                    stated.text,
                    stated.line,
                    order.uses.words()
                ))
            })
            .collect();
        let mend = match (ways.is_empty(), core.iter().all(|which| which.of(asked).line == 0)) {
            (false, _) => ways.join("; or "),
            (true, true) => "leave the order as it is".into(),
            (true, false) => {
                "more than one thing stands against another: take one of these back, and look again".into()
            }
        };
        let line = core.iter().map(|which| which.of(asked).line).find(|&line| line > 0);
        let problem = Problem::new(format!(
            "there is no order in which `{}` can be made as asked",
            self.part.drawing.name
        ));
        let problem = match line {
            Some(line) => problem.at(format!("line {line}, `[order]`")),
            None => problem,
        };
        problem.at(self.part.drawing.file.clone()).why(words).mend(mend)
    }
}
