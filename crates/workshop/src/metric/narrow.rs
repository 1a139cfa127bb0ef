//! What the demands rule out, taken out until nothing more goes.
//!
//! Demands wait in a queue: one is looked at again only when a variable it reads
//! has lost a candidate, so a long chain of parts costs what its own changes cost.

use std::collections::VecDeque;

use super::factor::{Domain, Factor};
use super::model::Judgement;

/// For each variable, which of some factors read it.
pub struct Readers(Vec<Vec<usize>>);

impl Readers {
    /// Of `variables` variables.
    pub fn of<'a>(variables: usize, factors: impl IntoIterator<Item = &'a Factor>) -> Self {
        let mut readers = vec![Vec::new(); variables];
        for (at, factor) in factors.into_iter().enumerate() {
            factor.scope.iter().for_each(|&v| readers[v].push(at));
        }
        Self(readers)
    }

    /// Those that read one variable.
    pub fn of_variable(&self, variable: usize) -> &[usize] {
        &self.0[variable]
    }
}

/// Narrows by every factor; false when a variable has nothing left.
pub fn narrow(factors: &[Factor], domains: &mut [Domain]) -> bool {
    if factors.iter().any(|factor| factor.scope.is_empty() && factor.judge(domains) == Judgement::Breaks) {
        return false;
    }
    let readers = Readers::of(domains.len(), factors);
    let every: Vec<&Factor> = factors.iter().collect();
    settle(&every, &readers, (0..factors.len()).collect(), domains)
}

/// Narrows by the factors waiting, and by those that read what they change.
pub fn settle(
    factors: &[&Factor],
    readers: &Readers,
    mut queue: VecDeque<usize>,
    domains: &mut [Domain],
) -> bool {
    let mut waiting = vec![false; factors.len()];
    queue.iter().for_each(|&at| waiting[at] = true);
    let mut before = Vec::new();
    while let Some(at) = queue.pop_front() {
        waiting[at] = false;
        let factor = factors[at];
        before.clear();
        before.extend(factor.scope.iter().map(|&v| domains[v]));
        if !factor.narrow(domains) {
            continue;
        }
        for (&v, &before) in factor.scope.iter().zip(&before) {
            if domains[v] == 0 {
                return false;
            }
            if domains[v] != before {
                for &reader in readers.of_variable(v) {
                    if !std::mem::replace(&mut waiting[reader], true) {
                        queue.push_back(reader);
                    }
                }
            }
        }
    }
    true
}
