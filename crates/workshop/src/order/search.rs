//! Finding the cheapest order of work, and proving that it is.
//!
//! Best-first search over moments (`node.rs`). Three things keep it
//! small: what is free now is done now; of moments with the same work done and the
//! same tokens only those are kept that no other could reach by merely changing
//! over; and every moment is judged by what the rest must cost at least
//! (`bound.rs`, `coarse.rs`). A narrow beam goes first, so that there is a plan to beat,
//! and ways that no better plan can take are left out. Where the proof takes long the plan to
//! beat is bettered part by part (`improve.rs`), so that it is good though its proof is a bound.
//!
//! The search is deterministic: ties go to the moment with more work done, then
//! to the one found first.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};
use std::hash::{BuildHasherDefault, Hasher};

use super::bound::Scratch;
use super::coarse::Coarse;
use super::compile::{Bits, Book, CompiledWay, SETUP, Stand, places};
use super::conflict::{Conflict, conflict};
use super::model::{FirstSetup, Model, Plan, Proof, Step, Weights};
use super::node::{Moment, View};
use super::told::{replay, tidy};
use crate::problem::Problem;

/// How long to go on before settling for a bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// States kept before the search stops with the best plan it has; about 150 bytes each.
    pub states: usize,
    /// Width of the beam that goes first; with none, no plan is looked for beforehand.
    pub beam: usize,
}

impl Default for Effort {
    /// 150,000 states, some tens of megabytes and a second or two; a beam of 24.
    fn default() -> Self {
        Self { states: 150_000, beam: 24 }
    }
}

/// What planning comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// An order of work.
    Planned(Plan),
    /// No order keeps all rules; these cannot all hold.
    Impossible(Conflict),
    /// The limit was reached before any plan, or the lack of one, was found.
    Undecided {
        /// How many states were kept.
        states: usize,
    },
}

/// Plans the work.
///
/// # Errors
///
/// The model's [faults](Model::faults), all of them.
pub fn plan(model: &Model, effort: Effort) -> Result<Outcome, Vec<Problem>> {
    let faults = model.faults();
    if !faults.is_empty() {
        return Err(faults);
    }
    let book = Book::new(model);
    let mut search = Search::new(book.clone(), effort);
    search.find_floor();
    search.beam(effort.beam);
    if search.narrow() {
        search.beam(effort.beam);
    }
    let mut bound = search.best_first(effort.states / TAKEN_UP);
    if bound.is_some() {
        search.improve(effort.states / TAKEN_UP, 1);
        if search.narrow() {
            search.begin();
        }
        bound = search.best_first(effort.states);
    }
    if bound.is_some() {
        search.improve(effort.states / LAST, 2);
    }
    let proof = bound.map_or(Proof::Optimal, |bound| Proof::Within { bound });
    let states = search.nodes.len();
    Ok(match search.best.take() {
        Some(steps) => Outcome::Planned(tidy(&book, steps, proof, states)),
        None if proof == Proof::Optimal => Outcome::Impossible(conflict(model, effort)),
        None => Outcome::Undecided { states },
    })
}

/// How many setups every plan takes at least, as setups by themselves tell within a small effort;
/// not looked into beyond a limit. `None` when there is no plan.
pub(super) fn fewest_setups(model: &Model, limit: u64) -> Option<u64> {
    let mut book = Book::new(model);
    book.weights =
        Weights { machine_change: 0, setup: 1, tool_change: 0, aid: 0, first: FirstSetup::Counted };
    book.setup_minutes.iter_mut().for_each(|minutes| *minutes = 0);
    let mut start = book.start();
    book.settle(&mut start, |_, _| {})?;
    Coarse::new(&book, COUNTED).least(&start, limit)
}

/// Moments by setups alone that are looked at to count what every plan takes.
const COUNTED: usize = 5000;

/// A kept moment and how it was come by.
struct Node {
    moment: Moment,
    from: u32,
    op: u8,
    way: u16,
}

/// How many moments by setups alone are looked at to leave out one way, and all of them.
const TRIAL: usize = 40;
const TRIALS: usize = 400;

/// When so small a part of the effort is spent the plan to beat is taken up again, with as
/// much effort; and once more, with rather more, where the limit is reached.
const TAKEN_UP: usize = 12;
const LAST: usize = 8;

/// No node: the moment planning begins.
const START: u32 = u32::MAX;

/// Of one set of work done, tokens and marks: the kept moments, and their nodes.
type Kept = Vec<(At, u64, u32)>;

/// Where the work stands, and what was made since it was set up there that something
/// still has to agree with.
pub(super) type At = (Option<Stand>, Bits);

/// What is done, what exists, what is still to be agreed with.
pub(super) type State = (Bits, Bits, Bits);

pub(super) const fn state(moment: &Moment) -> State {
    (moment.done, moment.tokens, moment.marks)
}

pub(super) struct Search {
    pub(super) book: Book,
    effort: Effort,
    nodes: Vec<Node>,
    /// What is still to be looked into: at least so dear, with so much undone.
    queue: BinaryHeap<Reverse<(u64, u32, u32)>>,
    kept: HashMap<State, Kept, BuildHasherDefault<Mix>>,
    /// What the moments come to had spent at least, before anything free was done.
    come_to: HashMap<(State, At), u64, BuildHasherDefault<Mix>>,
    scratch: Scratch,
    coarse: Coarse,
    /// What no plan can go below.
    pub(super) floor: u64,
    /// The score to beat, and the plan that has it.
    pub(super) least: u64,
    pub(super) best: Option<Vec<Step>>,
}

impl Search {
    pub(super) fn new(book: Book, effort: Effort) -> Self {
        let (nodes, kept, come_to) = (Vec::new(), HashMap::default(), HashMap::default());
        let scratch = Scratch::default();
        let coarse = Coarse::new(&book, effort.states);
        Self {
            book,
            effort,
            nodes,
            queue: BinaryHeap::new(),
            kept,
            come_to,
            scratch,
            coarse,
            floor: 0,
            least: u64::MAX,
            best: None,
        }
    }

    /// Leaves out the ways in setups that no plan better than the one to beat can take, for
    /// what the rest would then cost at least.
    /// Whether any was left out.
    fn narrow(&mut self) -> bool {
        if self.best.is_none() || self.floor >= self.least {
            return false;
        }
        let (mut narrower, mut left) = (false, TRIALS);
        for i in 0..self.book.ops.len() {
            let setups = self.book.ops[i].at[SETUP];
            for setup in places(setups).filter(|_| !setups.is_power_of_two()) {
                let mut trial = self.book.clone();
                trial.keep_ways(i, |way| usize::from(way.stand.setup) == setup);
                let (least, looked_at) = self.least_of(&trial, TRIAL.min(left));
                left -= looked_at;
                if least.is_none_or(|least| least >= self.least) {
                    self.book.keep_ways(i, |way| usize::from(way.stand.setup) != setup);
                    narrower = true;
                }
            }
        }
        if narrower {
            self.coarse = Coarse::new(&self.book, self.effort.states);
        }
        narrower
    }

    /// What the best plan of a book costs at least, `None` when it has none; and how many
    /// moments by setups alone were looked at, at most so many.
    fn least_of(&mut self, book: &Book, effort: usize) -> (Option<u64>, usize) {
        let mut coarse = Coarse::new(book, effort);
        let least = least_by(&mut coarse, book, self.least, &mut self.scratch);
        (least, effort - coarse.left)
    }

    /// Finds what no plan can go below. What is learnt of setups on the way serves the whole
    /// search, which has as much effort again for more of it.
    fn find_floor(&mut self) {
        let least = least_by(&mut self.coarse, &self.book, self.least, &mut self.scratch);
        self.floor = self.floor.max(least.unwrap_or(0));
        self.coarse.left = self.effort.states;
    }

    /// How dear a plan may be for setups by themselves to be looked into to the end: below the
    /// one to beat; while there is none, within a setup of the floor. What is dearer is told by a
    /// bound, for the most would be spent there on what no good plan goes through.
    fn near(&self) -> u64 {
        match self.least {
            u64::MAX => self.floor.saturating_add(self.book.dearest_setup()),
            least => least,
        }
    }

    /// How many moments are kept.
    pub(super) fn kept(&self) -> usize {
        self.nodes.len()
    }

    /// Sets the search to the start of the work.
    fn begin(&mut self) {
        self.nodes.clear();
        self.kept.clear();
        self.come_to.clear();
        self.queue.clear();
        let mut start = self.book.start();
        if let Some(view) = self.book.settle(&mut start, |_, _| {}) {
            self.keep(start, &view, Node { moment: start, from: START, op: 0, way: 0 }, self.floor);
        }
    }

    /// Runs until no kept moment could beat the best plan, or so many are kept: then what no
    /// plan can go below. It begins at the start, or goes on from where it stopped.
    pub(super) fn best_first(&mut self, states: usize) -> Option<u64> {
        if self.nodes.is_empty() {
            self.begin();
        }
        while let Some(Reverse((bound, left, node))) = self.queue.pop() {
            if bound >= self.least {
                break;
            }
            if self.nodes.len() >= states {
                self.queue.push(Reverse((bound, left, node)));
                return Some(bound);
            }
            let moment = self.nodes[node as usize].moment;
            let kept = &self.kept[&state(&moment)];
            if !kept.iter().any(|k| k.2 == node) {
                continue; // a cheaper moment has taken its place
            }
            let view = View::of(&self.book, &moment).expect("a moment is kept only when its view exists");
            for (op, way) in self.book.steps(&moment, &view) {
                let mut next = self.book.after(&moment, op, &way);
                let come_to = self.come_to.entry((state(&next), (next.stand, next.here))).or_insert(u64::MAX);
                if *come_to <= next.spent {
                    continue;
                }
                *come_to = next.spent;
                let Some(view) = self.book.settle(&mut next, |_, _| {}) else { continue };
                let node = Node { moment: next, from: node, op: op as u8, way: way.way as u16 };
                self.keep(next, &view, node, bound);
            }
        }
        None
    }

    /// Keeps a moment unless it is too dear or another could reach it by changing over.
    ///
    /// If a kept moment has done the same work, sees the same tokens, and could change
    /// over to this stand for no more than this one has spent, then whatever follows
    /// here can follow there for no more: changing over by way of this stand never
    /// costs less than changing straight to the next step's. What was made since the work
    /// was set up here, and still has to be agreed with here, must have been made there in
    /// the same stay.
    fn keep(&mut self, moment: Moment, view: &View, node: Node, floor: u64) {
        let reaches = |(a, made): At, spent: u64, (b, wanted): At| {
            let same = a.map(|stand| stand.setup) == b.map(|stand| stand.setup);
            match (a, b) {
                _ if wanted & !(if same { made } else { 0 }) != 0 => u64::MAX,
                _ if a == b => spent,
                (Some(_), Some(b)) => spent + self.book.change(a, b),
                _ => u64::MAX,
            }
        };
        let limit = self.near().saturating_sub(moment.spent);
        let here = (moment.stand, moment.here);
        let kept = self.kept.entry(state(&moment)).or_default();
        if kept.iter().any(|&(at, spent, _)| reaches(at, spent, here) <= moment.spent) {
            return;
        }
        let Some(setting) = self.coarse.least(&moment, limit) else { return };
        let bound = self.book.bound(&moment, view, setting, &mut self.scratch).max(floor);
        if bound >= self.least {
            return;
        }
        kept.retain(|&(at, spent, _)| reaches(here, moment.spent, at) > spent);
        let place = self.nodes.len() as u32;
        kept.push((here, moment.spent, place));
        self.nodes.push(node);
        if view.finished {
            self.least = moment.spent;
            self.best = Some(self.trace(place));
        }
        let left = self.book.ops.len() as u32 - moment.done.count_ones();
        self.queue.push(Reverse((bound, left, place)));
    }

    /// The steps that led to a node: the free ones are found again on the way.
    fn trace(&self, mut node: u32) -> Vec<Step> {
        let mut chosen = Vec::new();
        while node != START {
            let n = &self.nodes[node as usize];
            if n.from != START {
                chosen.push((usize::from(n.op), usize::from(n.way)));
            }
            node = n.from;
        }
        chosen.reverse();
        replay(&self.book, &chosen)
    }

    /// A quick plan to beat: keeps the few most promising moments after each choice.
    fn beam(&mut self, width: usize) {
        let mut start = self.book.start();
        if self.book.settle(&mut start, |_, _| {}).is_none() {
            return;
        }
        let mut layer = vec![(start, Vec::new())];
        while !layer.is_empty() {
            let near = self.near();
            let mut next: Vec<(u64, Moment, usize, usize, CompiledWay)> = Vec::new();
            for (from, (moment, chosen)) in layer.iter().enumerate() {
                let Some(view) = View::of(&self.book, moment) else { continue };
                if view.finished && moment.spent < self.least {
                    self.least = moment.spent;
                    self.best = Some(replay(&self.book, chosen));
                }
                for (op, way) in self.book.steps(moment, &view) {
                    let mut after = self.book.after(moment, op, &way);
                    let Some(view) = self.book.settle(&mut after, |_, _| {}) else { continue };
                    let limit = near.saturating_sub(after.spent);
                    let Some(setting) = self.coarse.least(&after, limit) else { continue };
                    let bound = self.book.bound(&after, &view, setting, &mut self.scratch);
                    if bound < self.least {
                        next.push((bound, after, from, op, way));
                    }
                }
            }
            next.sort_by_key(|(bound, after, from, op, _)| {
                (*bound, Reverse(after.done.count_ones()), *from, *op)
            });
            let mut wide: Vec<(Moment, Vec<(usize, usize)>)> = Vec::new();
            for (_, after, from, op, way) in next {
                let same =
                    |m: &Moment| (state(m), m.stand, m.here) == (state(&after), after.stand, after.here);
                if wide.len() < width && !wide.iter().any(|(m, _)| same(m)) {
                    let mut chosen = layer[from].1.clone();
                    chosen.push((op, way.way));
                    wide.push((after, chosen));
                }
            }
            layer = wide;
        }
    }
}

/// What the best plan of a book costs at least, as far as setups by themselves tell; `None`
/// when it has none, or none below the limit.
fn least_by(coarse: &mut Coarse, book: &Book, limit: u64, scratch: &mut Scratch) -> Option<u64> {
    let mut start = book.start();
    let view = book.settle(&mut start, |_, _| {})?;
    let setting = coarse.least(&start, limit.saturating_sub(start.spent))?;
    Some(book.bound(&start, &view, setting, scratch))
}

/// Mixes words into a hash by multiplying and folding; nothing here comes from an adversary.
#[derive(Default)]
pub(super) struct Mix(u64);

impl Hasher for Mix {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.write_u64(u64::from_le_bytes(word));
        }
    }

    fn write_u64(&mut self, word: u64) {
        // The odd constant is the golden ratio in 64 bits (Knuth, TAOCP vol. 3, 6.4).
        let product = u128::from(self.0 ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        self.0 = (product as u64) ^ (product >> 64) as u64;
    }

    fn write_u128(&mut self, word: u128) {
        self.write_u64(word as u64);
        self.write_u64((word >> 64) as u64 ^ 0x5851_F42D_4C95_7F2D);
    }
}
