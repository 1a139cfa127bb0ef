//! Statements that disagree, cut down to the fewest.
//!
//! Of sums of dimensions the fewest are found by going round: every coordinate in a
//! set that contradicts itself is named at least twice, so a set grows only by what
//! names a coordinate that is named once. Of curves, statements are taken out one
//! at a time for as long as the rest still disagree: what is left is irreducible.

use std::collections::{BTreeMap, BTreeSet};

use super::Linear;
use super::agree::agrees;
use super::rows::{Row, Unknown};
use super::settled::Quarrel;
use super::system::{Clash, System, row_of, slack, take};
use crate::measure::Length;

/// Statements that cannot all be true; taking any one out lets the rest be true.
#[derive(Clone, Debug)]
pub(super) struct Disagreement {
    /// The statements, in the order of the file.
    pub(super) sources: Vec<usize>,
    /// What should come to nought, where all of them are sums.
    pub(super) difference: Option<Linear>,
    /// Coordinates that break the least, where some are curves.
    pub(super) near: Vec<f64>,
}

/// Every disagreement of a drawing, each as few statements as can be found.
pub(super) fn disagreements(system: &System, quarrels: &[Quarrel]) -> Vec<Disagreement> {
    let mut found: Vec<Disagreement> = Vec::new();
    let sums = system.clashes.iter().map(|clash| fewest(system, clash));
    let curves = quarrels.iter().map(|quarrel| irreducible(system, quarrel));
    for disagreement in sums.chain(curves) {
        if found.iter().all(|other| other.sources != disagreement.sources) {
            found.push(disagreement);
        }
    }
    found
}

/// Most steps of one search: enough for any drawing a person would type.
const STEPS: usize = 20_000;

/// The fewest statements, among them one of the clash, that contradict each other.
fn fewest(system: &System, clash: &Clash) -> Disagreement {
    let mut search = Search { system, naming: BTreeMap::new(), steps: 0 };
    for (index, stated) in system.stated.iter().enumerate() {
        for (unknown, _) in &stated.terms {
            search.naming.entry(*unknown).or_default().push(index);
        }
    }
    let starts: Vec<usize> =
        (0..system.stated.len()).filter(|&at| clash.sources.contains(&system.stated[at].source)).collect();
    for size in 1..clash.sources.len() {
        for &start in &starts {
            if let Some((sources, difference)) = search.grow(&mut vec![start], size) {
                return Disagreement { sources, difference: Some(difference), near: Vec::new() };
            }
        }
    }
    Disagreement {
        sources: clash.sources.clone(),
        difference: Some(clash.difference.clone()),
        near: Vec::new(),
    }
}

struct Search<'a> {
    system: &'a System<'a>,
    /// The equations that name each coordinate.
    naming: BTreeMap<Unknown, Vec<usize>>,
    steps: usize,
}

impl Search<'_> {
    /// The statements of some equations; what everything of its kind has says nothing.
    fn sources(&self, chosen: &[usize]) -> BTreeSet<usize> {
        let sources = chosen.iter().map(|&at| self.system.stated[at].source);
        sources.filter(|&at| !self.system.sources[at].text.is_empty()).collect()
    }

    /// Grows a set of equations to one that contradicts itself, with at most `size`
    /// statements.
    fn grow(&mut self, chosen: &mut Vec<usize>, size: usize) -> Option<(Vec<usize>, Linear)> {
        self.steps += 1;
        if self.steps > STEPS || self.sources(chosen).len() > size {
            return None;
        }
        let mut times: BTreeMap<Unknown, usize> = BTreeMap::new();
        for &at in chosen.iter() {
            for (unknown, _) in &self.system.stated[at].terms {
                *times.entry(*unknown).or_default() += 1;
            }
        }
        let open = times.iter().filter(|(_, times)| **times == 1).map(|(unknown, _)| *unknown);
        let Some(open) = open.min_by_key(|unknown| self.naming[unknown].len()) else {
            let difference = self.contradiction(chosen)?;
            return Some((self.sources(chosen).into_iter().collect(), difference));
        };
        for next in self.naming[&open].clone() {
            if chosen.contains(&next) {
                continue;
            }
            chosen.push(next);
            let found = self.grow(chosen, size);
            chosen.pop();
            if found.is_some() {
                return found;
            }
        }
        None
    }

    /// What the equations come to that should be nought, where it is not.
    fn contradiction(&self, chosen: &[usize]) -> Option<Linear> {
        let mut rows: Vec<Row> = Vec::new();
        chosen.iter().find_map(|&at| {
            let left = take(&mut rows, row_of(&self.system.stated[at]))?;
            let breaks = self.system.drawn(&left.value).abs() > slack(self.system.drawing, &left.value);
            breaks.then_some(left.value)
        })
    }
}

/// Takes statements out of a quarrel for as long as the rest disagree.
fn irreducible(system: &System, quarrel: &Quarrel) -> Disagreement {
    let cut = |order: Vec<usize>| {
        let mut left = quarrel.sources.clone();
        for source in order {
            left.remove(&source);
            if agrees(system, &left, &quarrel.near) {
                left.insert(source);
            }
        }
        left
    };
    let forward: Vec<usize> = quarrel.sources.iter().copied().collect();
    let one = cut(forward.clone());
    let other = cut(forward.into_iter().rev().collect());
    let sources = if other.len() < one.len() { other } else { one };
    Disagreement { sources: sources.into_iter().collect(), difference: None, near: quarrel.near.clone() }
}

/// By how much some statements disagree: what their sum comes to, or the least that
/// one of the curves would have to give.
pub(super) fn amount(system: &System, disagreement: &Disagreement, least: Option<Length>) -> Length {
    match &disagreement.difference {
        Some(difference) => system.drawn(difference).abs(),
        None => least.unwrap_or_default(),
    }
}
