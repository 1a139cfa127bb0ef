//! What the demands rule out, taken out until nothing more goes.
//!
//! Demands wait in a queue: one is looked at again only when a variable it reads
//! has lost a candidate, so a long chain of parts costs what its own changes cost.

use std::collections::{BTreeSet, VecDeque};

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

/// Which factor took candidates from which variable.
#[derive(Debug)]
pub struct Log(Vec<(usize, usize)>);

impl Log {
    /// The factors given, and those that took candidates from a variable one of
    /// them reads, and so back. By themselves they rule out all that these do.
    pub fn behind(&self, factors: &[&Factor], given: impl IntoIterator<Item = usize>) -> BTreeSet<usize> {
        let mut behind: BTreeSet<usize> = given.into_iter().collect();
        let read = |at: &usize| factors[*at].scope.iter().copied();
        let mut variables: BTreeSet<usize> = behind.iter().flat_map(read).collect();
        for &(variable, at) in self.0.iter().rev() {
            if variables.contains(&variable) && behind.insert(at) {
                variables.extend(read(&at));
            }
        }
        behind
    }
}

/// Narrows by every factor; false when a variable has nothing left.
pub fn narrow(factors: &[Factor], domains: &mut [Domain]) -> bool {
    let every: Vec<&Factor> = factors.iter().collect();
    narrow_noting(&every, domains).is_ok()
}

/// Narrows by every factor, and says what took what.
///
/// # Errors
///
/// Factors that cannot all hold, when a variable has nothing left.
pub fn narrow_noting(factors: &[&Factor], domains: &mut [Domain]) -> Result<Log, Vec<usize>> {
    let fixed = |factor: &&&Factor| factor.scope.is_empty();
    if let Some(at) = factors.iter().position(|f| fixed(&f) && f.judge(domains) == Judgement::Breaks) {
        return Err(vec![at]);
    }
    let readers = Readers::of(domains.len(), factors.iter().copied());
    let mut log = Log(Vec::new());
    let held = settle(factors, &readers, (0..factors.len()).collect(), domains, |variable, at, _| {
        log.0.push((variable, at));
    });
    match (held, log.0.last()) {
        (false, Some(&(_, last))) => Err(log.behind(factors, [last]).into_iter().collect()),
        _ => Ok(log),
    }
}

/// Narrows by the factors waiting, and by those that read what they change; tells
/// `note` each variable that lost candidates, the factor that took them and what was
/// open before. False when a variable has nothing left.
pub fn settle(
    factors: &[&Factor],
    readers: &Readers,
    mut queue: VecDeque<usize>,
    domains: &mut [Domain],
    mut note: impl FnMut(usize, usize, Domain),
) -> bool {
    let mut waiting: BTreeSet<usize> = queue.iter().copied().collect();
    let mut before = Vec::new();
    while let Some(at) = queue.pop_front() {
        waiting.remove(&at);
        let factor = factors[at];
        before.clear();
        before.extend(factor.scope.iter().map(|&v| domains[v]));
        if !factor.narrow(domains) {
            continue;
        }
        let mut left = true;
        for (&v, &before) in factor.scope.iter().zip(&before) {
            if domains[v] == before {
                continue;
            }
            note(v, at, before);
            left &= domains[v] != 0;
            queue.extend(readers.of_variable(v).iter().filter(|&&reader| waiting.insert(reader)));
        }
        if !left {
            return false;
        }
    }
    true
}
