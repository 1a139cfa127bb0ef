//! Answers kept, so that what has not changed is not searched again.
//!
//! An answer is kept with everything it rests on: the costs and demands of its
//! group, number by number, and how long it was searched for. It is given back
//! only to a group that is the same throughout, so it is the answer that the
//! search would have found, and nothing can depend on what is kept.

use std::collections::HashMap;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

use num_rational::Ratio;

use super::factor::{Ask, Parts};
use super::model::Judge;
use super::network::Group;
use super::search::{Answer, search};
use super::stated::Statements;
use crate::abreast::abreast;

/// How many numbers one half of the memory may hold: some sixty million bytes.
const MOST: usize = 1 << 22;

/// Answers of groups of demands already searched.
///
/// It is bounded: answers that nobody has asked for since as many others came
/// are forgotten.
#[derive(Default)]
pub struct Memory {
    recent: Half,
    older: Half,
    /// What parts stated.
    pub(super) statements: Statements,
}

impl std::fmt::Debug for Memory {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Memory").field("answers", &self.answers()).finish()
    }
}

/// Answers and how many numbers they hold. Only ever looked up in, never walked.
#[derive(Default)]
struct Half {
    answers: HashMap<Content, Answer>,
    numbers: usize,
}

impl Memory {
    /// Nothing remembered.
    pub fn new() -> Self {
        Self::default()
    }

    /// How many answers are kept.
    pub fn answers(&self) -> usize {
        self.recent.answers.len() + self.older.answers.len()
    }

    /// The answer for a group: kept, or searched for now and kept.
    pub(super) fn answer(&mut self, group: &Group, effort: u64) -> Answer {
        let mut notes = Notes { memory: self, fresh: Vec::new() };
        let answer = notes.answer(group, effort);
        let fresh = notes.fresh;
        self.keep(fresh);
        answer
    }

    /// Does the same to many things on two threads, each with what is remembered at hand;
    /// what that finds out is kept in the order of the things.
    pub(super) fn abreast<T: Sync, R: Send>(
        &mut self,
        things: &[T],
        work: impl Fn(&T, &mut Notes) -> R + Sync,
    ) -> Vec<R> {
        let done = abreast(things, |thing| {
            let mut notes = Notes { memory: self, fresh: Vec::new() };
            let result = work(thing, &mut notes);
            (result, notes.fresh)
        });
        let keep = |(result, fresh)| {
            self.keep(fresh);
            result
        };
        done.into_iter().map(keep).collect()
    }

    fn keep(&mut self, fresh: Vec<(Content, Answer)>) {
        for (content, answer) in fresh {
            let numbers = content.words.len();
            if self.older.answers.remove(&content).is_some() {
                self.older.numbers -= numbers;
            }
            if self.recent.answers.contains_key(&content) {
                continue;
            }
            if self.recent.numbers + numbers > MOST {
                self.older = std::mem::take(&mut self.recent);
            }
            self.recent.numbers += numbers;
            self.recent.answers.insert(content, answer);
        }
    }
}

/// What is remembered, with what one piece of work has found out besides.
pub(super) struct Notes<'m> {
    memory: &'m Memory,
    /// New, or not asked for of late.
    fresh: Vec<(Content, Answer)>,
}

impl Notes<'_> {
    /// The answer for a group: kept, or searched for now and noted.
    pub fn answer(&mut self, group: &Group, effort: u64) -> Answer {
        self.answer_by(group, effort, || search(group, effort))
    }

    /// The same, searched for in a way that finds what the search would.
    pub fn answer_by(&mut self, group: &Group, effort: u64, search: impl FnOnce() -> Answer) -> Answer {
        let content = Content::of(group, effort);
        if let Some(answer) = self.memory.recent.answers.get(&content) {
            return answer.clone();
        }
        if let Some((_, answer)) = self.fresh.iter().find(|(other, _)| *other == content) {
            return answer.clone();
        }
        let older = self.memory.older.answers.get(&content).cloned();
        let answer = older.unwrap_or_else(search);
        self.fresh.push((content, answer.clone()));
        answer
    }
}

/// All that the answer of a group rests on.
pub(super) struct Content {
    words: Vec<i128>,
    /// The callers' own judges. They are the same when they are one and the same.
    judges: Vec<Arc<Judge>>,
}

impl PartialEq for Content {
    fn eq(&self, other: &Self) -> bool {
        self.words == other.words
            && self.judges.len() == other.judges.len()
            && self.judges.iter().zip(&other.judges).all(|(one, other)| Arc::ptr_eq(one, other))
    }
}

impl Eq for Content {}

impl Hash for Content {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.words.hash(state);
    }
}

impl Content {
    /// All of a group, and how long it is searched for.
    pub fn of(group: &Group, effort: u64) -> Self {
        let mut content = Self { words: vec![effort.into()], judges: Vec::new() };
        content.count(group.variables.len());
        content.count(group.costs.len());
        for costs in &group.costs {
            content.row(costs);
        }
        for factor in &group.factors {
            content.count(factor.scope.len());
            factor.scope.iter().for_each(|&v| content.count(v));
            content.ask(&factor.ask);
        }
        content
    }

    /// The same with more numbers.
    #[must_use]
    pub fn with(mut self, numbers: impl IntoIterator<Item = i128>) -> Self {
        self.words.extend(numbers);
        self
    }

    /// Every list begins with its length and every demand with its kind, so that
    /// different groups never read the same.
    fn ask(&mut self, ask: &Ask) {
        match ask {
            Ask::Sum { parts, low, high } => {
                self.count(0);
                self.parts(parts);
                self.words.extend([low, high]);
            }
            Ask::Apart { along, across, reach } => {
                self.count(1);
                [along, across, reach].into_iter().for_each(|parts| self.parts(parts));
            }
            Ask::Total { parts, ranges } => {
                self.count(2);
                self.parts(parts);
                self.count(ranges.len());
                self.words.extend(ranges.iter().flat_map(|range| [range.0, range.1]));
            }
            Ask::Table { sizes, allowed } => {
                self.count(3);
                sizes.iter().for_each(|&size| self.count(size));
                let bits = |bits: &[bool]| bits.iter().fold(0, |word, &bit| word << 1 | i128::from(bit));
                self.words.extend(allowed.chunks(64).map(bits));
            }
            Ask::Test { values, places, test } => {
                self.count(4);
                self.count(places.len());
                places.iter().for_each(|&place| self.count(place));
                for row in values {
                    self.count(row.len());
                    self.words.extend(row.iter().flat_map(|value| {
                        let ratio: Ratio<i128> = value.ratio();
                        [*ratio.numer(), *ratio.denom()]
                    }));
                }
                self.judges.push(Arc::clone(&test.judge));
            }
        }
    }

    fn count(&mut self, count: usize) {
        self.words.push(count as i128);
    }

    fn row(&mut self, row: &[i128]) {
        self.count(row.len());
        self.words.extend(row);
    }

    fn parts(&mut self, parts: &Parts) {
        self.words.push(parts.offset);
        self.count(parts.rows.len());
        parts.rows.iter().for_each(|row| self.row(row));
    }
}
