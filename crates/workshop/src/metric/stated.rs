//! What parts were found to state and to come to, kept so that a part which has not
//! changed is neither stated nor looked at again.
//!
//! All is kept with everything that it rests on: the drawing, its places, the bench, the
//! ways that ties have given it, the sizes that were looked at. It is given back only
//! where that is the same throughout, so that nothing can depend on what is kept. What is
//! given back is the very same demands, so that the search knows them again too.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, Weak};

use super::choice::MetricPart;
use super::model::Model;
use super::pressure::Bound;
use super::together::Piece;
use super::walls::Between;
use super::way::{ThreadWays, Ways};
use crate::bench::Bench;
use crate::drawing::{Drawing, Sizes, Solved};
use crate::problem::Outcome;

/// How many benches parts are kept for: that before a change, that after, one more.
const BENCHES: usize = 3;

/// How many names of parts, past which all are forgotten.
const NAMES: usize = 10_000;

/// How many drawings of one name, and how many statements and looks of each.
const EACH: usize = 12;

/// What is kept, by bench.
#[derive(Default)]
pub struct Statements(Vec<Arc<OnBench>>);

/// What is kept for one bench, by the name of the part.
pub struct OnBench {
    bench: Bench,
    parts: Mutex<HashMap<String, Vec<Arc<Begun>>>>,
}

/// The ways of a part's sizes and of its threads.
pub type EveryWay = (Vec<Ways>, Vec<ThreadWays>);

/// A part by itself, with the ways that it has so.
pub struct Begun {
    drawing: Drawing,
    solved: Solved,
    touching: Solved,
    bound: Bound,
    /// Its ways, or why it has none.
    pub ways: Outcome<EveryWay>,
    stated: Mutex<Vec<Stated>>,
}

/// What it states with the ways that its ties give it.
struct Stated {
    sizes: BTreeMap<usize, Ways>,
    threads: BTreeMap<usize, ThreadWays>,
    thinned: BTreeSet<String>,
    state: Outcome<Arc<State>>,
}

/// A part that has stated its demands.
#[derive(Default)]
pub struct State {
    /// Its variables and demands.
    pub model: Arc<Model>,
    /// Walls that are kept as drawn and could be thinned.
    pub may_thin: BTreeSet<String>,
    /// What the walls demanded from the beginning stand between, by name.
    pub between: BTreeMap<String, Between>,
    /// How often walls were added.
    pub rounds: usize,
    looked: Mutex<Vec<(Sizes, Outcome<Looked>)>>,
    told: Mutex<Vec<(Told, Vec<MetricPart>)>>,
}

/// All that what is said of the parts of a cluster rests on, where nothing can be better
/// than their choice.
#[derive(Clone)]
pub struct Told {
    /// What each states; kept with the first of them, which it must not keep itself.
    pub states: Vec<Weak<State>>,
    /// What is supposed of others beside each.
    pub alone: Vec<Vec<String>>,
    /// Which of them are asked for.
    pub asked: Vec<bool>,
    /// The choice of all of them.
    pub choice: Vec<usize>,
    /// Things that others buy anyway.
    pub free: BTreeSet<String>,
}

impl Told {
    fn is_same(&self, other: &Self) -> bool {
        self.choice == other.choice
            && self.free == other.free
            && self.asked == other.asked
            && self.alone == other.alone
            && self.states.len() == other.states.len()
            && self.states.iter().zip(&other.states).all(|(one, other)| one.ptr_eq(other))
    }
}

/// What a choice of sizes came to.
#[derive(Clone)]
pub enum Looked {
    /// The part can be made so.
    Good,
    /// It has walls too thin, which it demands now.
    Again(Arc<State>),
    /// Curved places have moved off their sums: these touch them there.
    Touch(Box<Solved>),
}

impl Statements {
    /// What is kept for a bench.
    pub fn on(&mut self, bench: &Bench) -> Arc<OnBench> {
        let kept = match self.0.iter().position(|on| on.bench == *bench) {
            Some(at) => self.0.remove(at),
            None => Arc::new(OnBench::new(bench)),
        };
        if self.0.len() == BENCHES {
            self.0.remove(0);
        }
        self.0.push(Arc::clone(&kept));
        kept
    }
}

impl OnBench {
    /// Nothing yet.
    pub fn new(bench: &Bench) -> Self {
        Self { bench: bench.clone(), parts: Mutex::default() }
    }

    /// A part as it was begun before, or as `begin` has it now.
    pub fn begun(
        &self,
        piece: &Piece,
        touching: &Solved,
        bound: &Bound,
        begin: impl FnOnce() -> Outcome<EveryWay>,
    ) -> Arc<Begun> {
        let is_same = |begun: &Arc<Begun>| {
            begun.drawing == *piece.drawing
                && begun.bound == *bound
                && begun.touching == *touching
                && begun.solved == *piece.solved
        };
        {
            let mut parts = held(&self.parts);
            if let Some(known) = parts.get_mut(&piece.drawing.name)
                && let Some(at) = known.iter().rposition(is_same)
            {
                let begun = known.remove(at);
                known.push(Arc::clone(&begun));
                return begun;
            }
        }
        let begun = Arc::new(Begun {
            drawing: piece.drawing.clone(),
            solved: piece.solved.clone(),
            touching: touching.clone(),
            bound: bound.clone(),
            ways: begin(),
            stated: Mutex::default(),
        });
        let mut parts = held(&self.parts);
        if parts.len() >= NAMES && !parts.contains_key(&piece.drawing.name) {
            parts.clear();
        }
        keep(parts.entry(piece.drawing.name.clone()).or_default(), Arc::clone(&begun));
        begun
    }
}

impl Begun {
    /// The part stated as before, or as `state` has it now. Of its ways these have been
    /// changed by its ties.
    ///
    /// # Errors
    ///
    /// Those of `state`.
    pub fn stated(
        &self,
        sizes: BTreeMap<usize, &Ways>,
        threads: BTreeMap<usize, &ThreadWays>,
        thinned: &BTreeSet<String>,
        state: impl FnOnce() -> Outcome<State>,
    ) -> Outcome<Arc<State>> {
        let is_same = |stated: &Stated| {
            stated.thinned == *thinned
                && stated.sizes.iter().map(|(at, ways)| (*at, ways)).eq(sizes.iter().map(|(at, w)| (*at, *w)))
                && stated
                    .threads
                    .iter()
                    .map(|(at, ways)| (*at, ways))
                    .eq(threads.iter().map(|(at, w)| (*at, *w)))
        };
        if let Some(known) = held(&self.stated).iter().rfind(|stated| is_same(stated)) {
            return known.state.clone();
        }
        let state = state().map(Arc::new);
        let stated = Stated {
            sizes: sizes.into_iter().map(|(at, ways)| (at, ways.clone())).collect(),
            threads: threads.into_iter().map(|(at, ways)| (at, ways.clone())).collect(),
            thinned: thinned.clone(),
            state: state.clone(),
        };
        keep(&mut held(&self.stated), stated);
        state
    }
}

impl State {
    /// A part that states this.
    pub fn new(
        model: Model,
        may_thin: BTreeSet<String>,
        between: BTreeMap<String, Between>,
        rounds: usize,
    ) -> Self {
        Self { model: Arc::new(model), may_thin, between, rounds, ..Self::default() }
    }

    /// What sizes came to before, or come to by `look` now.
    ///
    /// # Errors
    ///
    /// Those of `look`.
    pub fn looked(&self, sizes: &Sizes, look: impl FnOnce() -> Outcome<Looked>) -> Outcome<Looked> {
        if let Some((_, looked)) = held(&self.looked).iter().rfind(|(known, _)| known == sizes) {
            return looked.clone();
        }
        let looked = look();
        keep(&mut held(&self.looked), (sizes.clone(), looked.clone()));
        looked
    }
}

/// What was said before of the parts of a cluster that are asked for.
pub fn told_before(told: &Told) -> Option<Vec<MetricPart>> {
    let first = told.states.first()?.upgrade()?;
    let known = held(&first.told);
    known.iter().rfind(|(known, _)| known.is_same(told)).map(|(_, parts)| parts.clone())
}

/// Keeps what is said of the parts of a cluster that are asked for.
pub fn keep_told(told: Told, parts: Vec<MetricPart>) {
    if let Some(first) = told.states.first().and_then(Weak::upgrade) {
        keep(&mut held(&first.told), (told, parts));
    }
}

/// Puts something last; the first goes where there are too many.
fn keep<T>(kept: &mut Vec<T>, one: T) {
    if kept.len() >= EACH {
        kept.remove(0);
    }
    kept.push(one);
}

/// What is kept is whole whatever happened to whoever held it.
fn held<T>(kept: &Mutex<T>) -> MutexGuard<'_, T> {
    kept.lock().unwrap_or_else(PoisonError::into_inner)
}
