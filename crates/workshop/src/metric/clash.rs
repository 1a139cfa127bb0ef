//! When nothing fits: the smallest set of demands that cannot all hold.
//!
//! Demands are taken in the order given. The shortest run of them that cannot
//! hold ends in a demand that belongs to the clash; that one is put first, and
//! the search repeats with those before it, until the ones found clash by
//! themselves. Every demand so found is needed: without it the rest can hold.

use super::memory::Memory;
use super::model::{ConstraintId, Model};
use super::search::{Outcome, can_hold};
use crate::problem::Problem;

/// The outcome for a model known to have no solution.
pub(super) fn infeasible(model: &Model, memory: &mut Memory) -> Result<Outcome, Problem> {
    let mut core: Vec<ConstraintId> = Vec::new();
    let mut others: Vec<ConstraintId> = (0..model.constraints.len()).map(ConstraintId).collect();
    let mut minimal = true;
    // Not known to hold and not known to clash counts as holding: the core stays
    // a clash, and is only perhaps larger than it need be.
    let mut clashes = |core: &[ConstraintId], others: &[ConstraintId]| -> Result<bool, Problem> {
        let active: Vec<ConstraintId> = core.iter().chain(others).copied().collect();
        let known = can_hold(model, &active, memory)?;
        minimal &= known.is_some();
        Ok(known == Some(false))
    };
    while !clashes(&core, &[])? && !others.is_empty() {
        // `others[..high]` with the core clashes; `others[..low]` does not.
        let (mut low, mut high) = (0, others.len());
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if clashes(&core, &others[..middle])? { high = middle } else { low = middle }
        }
        core.push(others[high - 1]);
        others.truncate(high - 1);
    }
    core.sort_unstable();
    Ok(Outcome::Infeasible { core, minimal })
}
