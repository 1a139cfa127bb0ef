//! What the person says of the order, put to the planner: what is done already and
//! what they want, as far as the trade allows it.
//!
//! A wish becomes a rule of the model like any other, with the person's own words as
//! its reason, so that the search, the checker and the account of a conflict need know
//! nothing of it. What is done becomes [`Start::done`](super::model::Start::done).

use super::calls::{calls, folded, named};
use super::deed::{Deed, Job, Lot, Makings};
use super::model::{After, Choice, Model, Need, OpId, Presence};
use super::turned::First;
use super::work::Work;
use super::{rules, stacks};
use crate::drawing::Face;
use crate::drawing::{Asked, Stated};

/// Statements by their places in the two lists of [`Asked`].
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Heeded {
    pub done: Vec<usize>,
    pub wanted: Vec<usize>,
}

impl Heeded {
    /// All of them.
    pub(super) fn all(asked: &Asked) -> Self {
        Self { done: (0..asked.done.len()).collect(), wanted: (0..asked.wanted.len()).collect() }
    }

    /// Without one of them.
    pub(super) fn without(&self, one: Which) -> Self {
        let mut less = self.clone();
        match one {
            Which::Done(n) => less.done.retain(|&m| m != n),
            Which::Wanted(n) => less.wanted.retain(|&m| m != n),
        }
        less
    }

    /// Each of them.
    pub(super) fn each(&self) -> Vec<Which> {
        self.wanted
            .iter()
            .map(|&n| Which::Wanted(n))
            .chain(self.done.iter().map(|&n| Which::Done(n)))
            .collect()
    }
}

/// One statement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Which {
    Done(usize),
    Wanted(usize),
}

impl Which {
    pub(super) fn of(self, asked: &Asked) -> &Stated {
        match self {
            Self::Done(n) => &asked.done[n],
            Self::Wanted(n) => &asked.wanted[n],
        }
    }
}

/// What a wish comes to in one way of going about the part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Wish {
    /// Some deeds before others.
    Before(Vec<usize>, Vec<usize>),
    /// Variants of choices, each by group and variant, or any but those.
    Variants { named: Vec<(usize, usize)>, wanted: bool },
    /// About the way of going about it as a whole: whether this is one that is wanted.
    Scheme(bool),
    /// It speaks of what this way of going about it does not have.
    Nothing,
}

/// Reads a wish; `None` when it names nothing that is known here.
pub(super) fn wish(job: &Job, makings: &Makings, first: Option<First>, words: &str) -> Option<Wish> {
    let calls = calls(job, makings);
    let text = folded(words);
    let (not, bare) = match text.strip_prefix("not ") {
        Some(rest) => (true, rest),
        None => (false, text.as_str()),
    };
    let scheme = match bare {
        words if stacks::is_name(words) => Some(stacks::fits(job.scheme, words)),
        "left end first" => first.map(|first| first.end() == Face::Left),
        "right end first" => first.map(|first| first.end() == Face::Right),
        _ => None,
    };
    if let Some(holds) = scheme {
        return Some(Wish::Scheme(holds != not));
    }
    if bare.ends_with("end first") && first.is_none() {
        return None;
    }
    let choices = makings.choices.iter().enumerate();
    // `both at once` is said of every way that is done so.
    let said = |name: &str, variant: &str| {
        let whole = folded(variant) == bare || folded(&format!("{name}: {variant}")) == bare;
        let part = |part: &str| folded(part) == bare || folded(&format!("{name}: {part}")) == bare;
        whole || variant.split(", ").any(part)
    };
    let chosen = choices.flat_map(|(group, (name, variants))| {
        let fits = |(variant, words): (usize, &String)| said(name, words).then_some((group, variant));
        variants.iter().enumerate().filter_map(fits).collect::<Vec<_>>()
    });
    let chosen: Vec<(usize, usize)> = chosen.collect();
    if !chosen.is_empty() {
        return Some(Wish::Variants { named: chosen, wanted: !not });
    }
    // A name may have the word in it: every place of it is tried.
    let mut half = false;
    for (word, turned) in [(" before ", false), (" after ", true)] {
        for (at, _) in text.match_indices(word) {
            let (one, two) = (&text[..at], &text[at + word.len()..]);
            let (one, two) = if turned { (two, one) } else { (one, two) };
            let (one, two) = (whoever(job, makings, &calls, one), whoever(job, makings, &calls, two));
            if !one.is_empty() && !two.is_empty() {
                return Some(Wish::Before(one, two));
            }
            half |= !one.is_empty() || !two.is_empty();
        }
    }
    half.then_some(Wish::Nothing)
}

/// The deeds that words name in a wish: what is wanted of a pair is wanted of its pieces
/// when they are made apart, and what is wanted of one piece also while it is part of the
/// pair. Nobody gets round a wish by doing the same work another way.
fn whoever(job: &Job, makings: &Makings, calls: &[String], words: &str) -> Vec<usize> {
    let Some((bare, whose)) = words.rsplit_once(" (").filter(|(_, whose)| WHOSE.contains(whose)) else {
        return named(job, makings, calls, words);
    };
    let all = named(job, makings, calls, bare);
    if ["the pair)", "the stack)"].contains(&whose) {
        return all;
    }
    let its = |n: &usize| makings.deeds[*n].lot == Lot::Stack || calls[*n].ends_with(whose);
    all.into_iter().filter(its).collect()
}

/// How a call ends that says whose metal it is.
const WHOSE: &[&str] = &["the pair)", "the stack)", "each piece)", "right hand)", "left hand)"];

/// What is to be said of a wish as a reason, to follow "because".
pub(super) fn because(stated: &Stated) -> String {
    match stated.line {
        0 => "you ask for it".into(),
        line => format!("you asked for it (line {line}: `{}`)", stated.text),
    }
}

/// Puts what is heeded into a model. False when this way of going about the part is out.
pub(super) fn heed(
    job: &Job,
    makings: &Makings,
    first: Option<First>,
    model: &mut Model,
    heeded: &Heeded,
) -> bool {
    let asked = &job.part.drawing.asked;
    for &n in &heeded.wanted {
        let stated = &asked.wanted[n];
        match wish(job, makings, first, &stated.text) {
            Some(Wish::Before(one, two)) => {
                drop_habits(model, &|op| one.contains(&op) || two.contains(&op));
                for (early, then) in pairs(makings, &one, &two) {
                    model.operations[then].after.push(After::Operation(OpId(early), because(stated)));
                }
            }
            Some(Wish::Variants { named, wanted }) => {
                let never = model.token("leave to do it otherwise", Presence::Absent);
                for (op, deed) in model.operations.iter_mut().zip(&makings.deeds) {
                    let Some(own) = deed.choice else { continue };
                    let spoken_of = named.iter().any(|(group, _)| *group == own.0);
                    if spoken_of && named.contains(&own) != wanted {
                        op.needs.push(Need::new(never, because(stated)));
                    }
                }
            }
            Some(Wish::Scheme(false)) => return false,
            Some(Wish::Scheme(true) | Wish::Nothing) | None => {}
        }
    }
    let Some(done) = done(job, makings, model, heeded) else { return false };
    drop_habits(model, &|op| done.contains(&op));
    model.start.done = done.into_iter().map(OpId).collect();
    true
}

/// Which deeds come before which: each piece's own before its own, where it is not said
/// that one piece is to wait for the other.
fn pairs(makings: &Makings, one: &[usize], two: &[usize]) -> Vec<(usize, usize)> {
    let every = || one.iter().flat_map(|&a| two.iter().map(move |&b| (a, b))).filter(|(a, b)| a != b);
    let overlap = |&(a, b): &(usize, usize)| {
        let (a, b) = (makings.deeds[a].lot, makings.deeds[b].lot);
        a.meets(b)
    };
    let own: Vec<(usize, usize)> = every().filter(overlap).collect();
    if own.is_empty() { every().collect() } else { own }
}

/// The deeds that are done, in an order they may have been done in; `None` when they
/// cannot have been done in this way of going about the part.
fn done(job: &Job, makings: &Makings, model: &Model, heeded: &Heeded) -> Option<Vec<usize>> {
    let asked = &job.part.drawing.asked;
    let calls = calls(job, makings);
    let mut all: Vec<usize> = Vec::new();
    let mut sets: Vec<Vec<usize>> = Vec::new();
    for &n in &heeded.done {
        let found = named(job, makings, &calls, &asked.done[n].text);
        if found.is_empty() {
            return None;
        }
        sets.push(found);
    }
    let of = |n: usize| &makings.deeds[n];
    let stuck = sets.iter().flatten().any(|&n| of(n).work == Work::Stick)
        || sets.iter().any(|set| set.iter().all(|&n| of(n).lot == Lot::Stack));
    for set in sets {
        // What is said of a hole without saying whose was done to both in one of two ways.
        let choice: Option<Choice> = set.iter().find_map(|&n| model.operations[n].choice);
        let kept = |n: &usize| match (model.operations[*n].choice, choice) {
            (Some(_), Some(_)) if set.len() > 1 => {
                of(*n).lot == Lot::Stack && stuck
                    || of(*n).lot != Lot::Stack && !stuck
                    || !both(&set, makings)
            }
            _ => true,
        };
        let mut kept: Vec<usize> = set.iter().copied().filter(kept).collect();
        // Of several ways to do it, what is called by the feature alone was done in the first.
        let taken: Vec<Choice> = kept.iter().filter_map(|&n| model.operations[n].choice).collect();
        let first = |own: Choice| taken.iter().find(|c| c.group == own.group) == Some(&own);
        kept.retain(|&n| model.operations[n].choice.is_none_or(first));
        all.extend(kept);
    }
    all.sort_unstable();
    all.dedup();
    // A hole that is reamed or tapped was drilled, a blank of its size was squared; a pair that is cut as one was stuck.
    loop {
        let more: Vec<usize> = (0..makings.deeds.len())
            .filter(|n| !all.contains(n) && all.iter().any(|&late| implied(model, makings, *n, late)))
            .collect();
        if more.is_empty() {
            break;
        }
        all.extend(more);
        all.sort_unstable();
    }
    let mut ordered: Vec<usize> = Vec::new();
    while ordered.len() < all.len() {
        let waits = |n: usize| {
            model.operations[n].after.iter().any(|after| {
                matches!(after, After::Operation(early, _) if all.contains(&early.0) && !ordered.contains(&early.0))
            })
        };
        let left = || all.iter().copied().filter(|n| !ordered.contains(n));
        let next = left().find(|&n| !waits(n)).or_else(|| left().next())?;
        ordered.push(next);
    }
    Some(ordered)
}

/// Whether a set of deeds has both what is done to a pair and to single pieces.
fn both(set: &[usize], makings: &Makings) -> bool {
    let pair = |&n: &usize| makings.deeds[n].lot == Lot::Stack;
    set.iter().any(pair) && !set.iter().all(pair)
}

/// Whether something must have been done, since something else has: nothing is reamed
/// that was not drilled, and no pair cut as one that was not stuck.
fn implied(model: &Model, makings: &Makings, early: usize, late: usize) -> bool {
    let (a, b): (&Deed, &Deed) = (&makings.deeds[early], &makings.deeds[late]);
    let hole = a.feature.is_some() && a.feature == b.feature && a.lot == b.lot && a.choice == b.choice;
    let follows = model.operations[late]
        .after
        .iter()
        .any(|after| matches!(after, After::Operation(op, because) if op.0 == early && !wished(because)));
    let stuck = a.work == Work::Stick && (b.lot == Lot::Stack && b.work != Work::Stick && made_stuck(b));
    // A blank that has its size was squared, and one that is square was faced.
    let blank = matches!(a.work, Work::SquareEdges | Work::FaceToThickness)
        && matches!(b.work, Work::SquareEdges | Work::MillToSize);
    ((hole || blank) && follows) || stuck
}

/// Whether a deed to a pair is done after it is stuck: facing both to one thickness is not.
fn made_stuck(deed: &Deed) -> bool {
    deed.work != Work::FaceToThickness
}

/// Whether a reason is the person's own wish.
pub(super) fn wished(because: &str) -> bool {
    because.starts_with("you ask")
}

/// Rules that keep a bench tidy and cost no metal when they are broken: what the person
/// says comes before them.
const HABITS: &[&str] = &["in order of size", "round in order", "one hand, then the other"];

/// Whether a reason is that of a habit.
pub(super) fn habit(because: &str) -> bool {
    rules::all().any(|rule| rule.because == because && HABITS.contains(&rule.name))
}

/// Leaves out the habits that speak of some operations.
fn drop_habits(model: &mut Model, touched: &dyn Fn(usize) -> bool) {
    for n in 0..model.operations.len() {
        model.operations[n].after.retain(|after| match after {
            After::Operation(early, because) => !(habit(because) && (touched(n) || touched(early.0))),
            After::Group(..) => true,
        });
    }
}
