//! What no best choice would buy, taken out before anything is searched.
//!
//! Parts hang together by what must hold between them, and besides by the tools that
//! several of them could buy. The second tie is the wider: one list of tools goes
//! round the whole project. Mostly it ties nothing, because buying comes before
//! departure in what a choice costs.
//!
//! Why it is sound: take the groups that hang together by demands alone. Let some of
//! them be known to have a choice that buys nothing. A purchase that only such groups
//! can use is in no best choice: leave it out of what is bought, with everything else
//! that only they use, and every group still has a choice, the others the one they
//! had; fewer points are paid, and points come first. So candidates that need such a
//! purchase can go. A group of which that is not known counts as one that may have to
//! buy, and keeps all it can use. What costs no points is as good as owned.

use std::collections::BTreeSet;

use super::factor::{Domain, each};
use super::memory::{Memory, Notes};
use super::model::{Model, PurchaseId};
use super::narrow::{Readers, settle};
use super::network::{Group, NEVER};

/// The candidates worth looking at, by variable of the model: all of what the groups
/// (by demands alone) leave, but for those that need what no best choice buys.
pub fn worth_buying(model: &Model, groups: &[Group], effort: u64, memory: &mut Memory) -> Vec<Domain> {
    let paid = |v: usize, at: usize| {
        let buys = model.variables[v].candidates[at].buys.iter();
        buys.copied().filter(|&PurchaseId(at)| model.purchases[at].points > 0)
    };
    let used = |group: &Group, notes: &mut Notes| -> BTreeSet<PurchaseId> {
        let owned = |(v, kept): &(usize, Vec<usize>)| -> Domain {
            let owned = kept.iter().enumerate().filter(|(_, at)| paid(*v, **at).next().is_none());
            owned.fold(0, |domain, (place, _)| domain | 1 << place)
        };
        let owned: Vec<Domain> = group.variables.iter().map(owned).collect();
        if can_hold(group, owned, effort, notes) == Some(true) {
            return BTreeSet::new();
        }
        let all = group.variables.iter().flat_map(|(v, kept)| kept.iter().map(|at| (*v, *at)));
        all.flat_map(|(v, at)| paid(v, at)).collect()
    };
    let useful: BTreeSet<PurchaseId> = memory.abreast(groups, used).into_iter().flatten().collect();
    let mut open = vec![0; model.variables.len()];
    for (v, kept) in groups.iter().flat_map(|group| &group.variables) {
        let worth = kept.iter().filter(|&&at| paid(*v, at).all(|purchase| useful.contains(&purchase)));
        open[*v] = worth.fold(0, |domain, &at| domain | 1 << at);
    }
    open
}

/// Whether the group has a choice among these candidates; `None` when the search was cut
/// short before it was known.
pub fn can_hold(group: &Group, owned: Vec<Domain>, effort: u64, notes: &mut Notes) -> Option<bool> {
    if owned.contains(&0) {
        return Some(false);
    }
    if group.factors.is_empty() || plainly_holds(group, owned.clone()) {
        return Some(true);
    }
    let Some(narrowed) = group.narrowed(owned) else { return Some(false) };
    let answer = notes.answer(&narrowed, effort);
    if answer.best.is_some() { Some(true) } else { (answer.bound >= NEVER).then_some(false) }
}

/// Whether a choice is found without turning back: each size in turn takes the first
/// candidate, from the middle of what is left, after which something is left of all.
fn plainly_holds(group: &Group, mut open: Vec<Domain>) -> bool {
    let factors: Vec<_> = group.factors.iter().collect();
    let readers = Readers::of(open.len(), &group.factors);
    if !settle(&factors, &readers, (0..factors.len()).collect(), &mut open, |_, _, _| ()) {
        return false;
    }
    for v in 0..open.len() {
        let candidates: Vec<usize> = each(open[v]).collect();
        let middle = candidates.len() / 2;
        let from_the_middle = candidates[middle..].iter().chain(&candidates[..middle]);
        let holds = from_the_middle.copied().any(|at| {
            let mut undo = vec![(v, open[v])];
            open[v] = 1 << at;
            let waiting = readers.of_variable(v).iter().copied().collect();
            let left = settle(&factors, &readers, waiting, &mut open, |v, _, before| undo.push((v, before)));
            if !left {
                undo.into_iter().rev().for_each(|(v, before)| open[v] = before);
            }
            left
        });
        if !holds {
            return false;
        }
    }
    let choice = |v: &usize| open[*v].trailing_zeros() as usize;
    factors.iter().all(|factor| factor.holds_at(&factor.scope.iter().map(choice).collect::<Vec<_>>()))
}
