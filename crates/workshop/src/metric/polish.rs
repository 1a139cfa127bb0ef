//! Bettering a known choice: one size changed at a time, then two that some
//! demand ties together, as long as it gets cheaper.
//!
//! The search proves; this only brings the ceiling down early, so that fewer
//! candidates are left to prove anything about.

use std::collections::BTreeSet;

use super::factor::Domain;
use super::model::Judgement;
use super::network::{Group, Weight};

/// Betters `choice`, one candidate number per variable of the group, in place,
/// and gives its cost.
pub fn polish(group: &Group, choice: &mut [usize]) -> Weight {
    let mut readers = vec![Vec::new(); choice.len()];
    let mut moves: BTreeSet<(usize, usize)> = (0..choice.len()).map(|v| (v, v)).collect();
    for (at, factor) in group.factors.iter().enumerate() {
        for (place, &v) in factor.scope.iter().enumerate() {
            readers[v].push(at);
            moves.extend(factor.scope[..place].iter().map(|&other| (v.min(other), v.max(other))));
        }
    }
    // Single changes first: they are quick and leave fewer double ones.
    let mut moves: Vec<(usize, usize)> = moves.into_iter().collect();
    moves.sort_by_key(|&(a, b)| (a != b, a, b));
    let mut domains: Vec<Domain> = choice.iter().map(|&at| 1 << at).collect();
    let mut bettered = true;
    while bettered {
        bettered = false;
        for &(a, b) in &moves {
            bettered |= best_move(group, &readers, choice, &mut domains, (a, b));
        }
    }
    choice.iter().zip(&group.costs).map(|(&at, costs)| costs[at]).sum()
}

/// Makes the cheapest change of `a` and `b` that still holds; says whether any
/// was cheaper.
fn best_move(
    group: &Group,
    readers: &[Vec<usize>],
    choice: &mut [usize],
    domains: &mut [Domain],
    (a, b): (usize, usize),
) -> bool {
    let own = |at_a: usize, at_b: usize| group.costs[a][at_a] + if a == b { 0 } else { group.costs[b][at_b] };
    let now = own(choice[a], choice[b]);
    let others = |at_a: usize| if a == b { at_a..at_a + 1 } else { 0..group.costs[b].len() };
    let mut cheaper: Vec<(Weight, usize, usize)> = (0..group.costs[a].len())
        .flat_map(|at_a| others(at_a).map(move |at_b| (at_a, at_b)))
        .map(|(at_a, at_b)| (own(at_a, at_b), at_a, at_b))
        .filter(|(cost, ..)| *cost < now)
        .collect();
    cheaper.sort_unstable();
    for (_, at_a, at_b) in cheaper {
        (domains[a], domains[b]) = (1 << at_a, 1 << at_b);
        let mut read = readers[a].iter().chain(&readers[b]);
        if read.all(|&at| group.factors[at].judge(domains) == Judgement::Holds) {
            (choice[a], choice[b]) = (at_a, at_b);
            return true;
        }
    }
    (domains[a], domains[b]) = (1 << choice[a], 1 << choice[b]);
    false
}
