//! When nothing fits: the smallest sets of demands that cannot all hold, and what
//! giving one of them up would bring.
//!
//! Demands are taken in the order given. The shortest run of them that cannot
//! hold ends in a demand that belongs to the clash; that one is put first, and
//! the search repeats with those before it, until the ones found clash by
//! themselves. Every demand so found is needed: without it the rest can hold.
//!
//! Before that, what narrowing ruled out is followed back to the demands behind
//! it, so that only those near the clash are tried, however large the project.

use super::memory::Memory;
use super::model::{ConstraintId, Cost, Demand, Linear, Model};
use super::network::{Boiled, Minding, NEVER, Network};
use super::search::{Outcome, Proof, solve_with};
use crate::measure::Length;
use crate::problem::Problem;

/// The most sets of demands sought that clash, each by itself.
const MOST_CORES: usize = 12;

/// Demands that cannot all hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Core {
    /// The demands, in the model's order.
    pub demands: Vec<ConstraintId>,
    /// True when the set is known to be minimal: drop any one of it and the rest of
    /// it can hold. False when the node limit left that open.
    pub minimal: bool,
}

/// A demand given up, and what can be had then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Relaxation {
    /// The demand given up.
    pub dropped: ConstraintId,
    /// What the best choice without it costs.
    pub cost: Cost,
    /// How good that is known to be.
    pub proof: Proof,
    /// That choice.
    pub choice: Vec<usize>,
    /// How far that choice goes past what the dropped demand allows: by how much the
    /// sum is too small or too large, or the distance too short (to the nearest
    /// nanometre). `None` for a demand that is not a length.
    pub by: Option<Length>,
}

/// Sets of demands that cannot all hold, no demand in two of them; empty when all
/// demands can hold, or when the node limit left that open.
///
/// # Errors
///
/// A [`Problem`] when the model itself is at fault.
pub fn cores(model: &Model, memory: &mut Memory) -> Result<Vec<Core>, Problem> {
    model.check()?;
    let network = Network::of(model)?;
    let mut active: Vec<ConstraintId> = (0..model.constraints.len()).map(ConstraintId).collect();
    let mut cores = Vec::new();
    while cores.len() < MOST_CORES
        && let Some(near) = clash(&network, &active, model.effort, memory)
    {
        let core = least(&network, near, model.effort, memory);
        active.retain(|demand| !core.demands.contains(demand));
        cores.push(core);
    }
    Ok(cores)
}

/// The first of the sets that [`cores`] finds.
pub(super) fn core(network: &Network, model: &Model, memory: &mut Memory) -> Option<Core> {
    let all: Vec<ConstraintId> = (0..model.constraints.len()).map(ConstraintId).collect();
    let near = clash(network, &all, model.effort, memory)?;
    Some(least(network, near, model.effort, memory))
}

/// Of some demands, those near a clash; `None` when none is known.
fn clash(
    network: &Network,
    active: &[ConstraintId],
    effort: u64,
    memory: &mut Memory,
) -> Option<Vec<ConstraintId>> {
    match network.boiled(active, Minding::Nothing) {
        Boiled::Clash(near) => Some(near),
        Boiled::Groups { groups, log } => {
            let clashing = groups.iter().find(|group| memory.answer(group, effort).bound >= NEVER)?;
            Some(network.behind(clashing, active, &log))
        }
    }
}

/// The least set among demands known to clash.
fn least(network: &Network, mut others: Vec<ConstraintId>, effort: u64, memory: &mut Memory) -> Core {
    let mut core: Vec<ConstraintId> = Vec::new();
    let mut minimal = true;
    // Not known to hold and not known to clash counts as holding: the core stays
    // a clash, and is only perhaps larger than it need be.
    let mut clashes = |core: &[ConstraintId], others: &[ConstraintId]| {
        let active: Vec<ConstraintId> = core.iter().chain(others).copied().collect();
        let known = can_hold(network, &active, effort, memory);
        minimal &= known.is_some();
        known == Some(false)
    };
    while !clashes(&core, &[]) && !others.is_empty() {
        // `others[..high]` with the core clashes; `others[..low]` does not.
        let (mut low, mut high) = (0, others.len());
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if clashes(&core, &others[..middle]) { high = middle } else { low = middle }
        }
        core.push(others[high - 1]);
        others.truncate(high - 1);
    }
    core.sort_unstable();
    Core { demands: core, minimal }
}

/// Whether the demands given can all hold; `None` when the node limit left it open.
fn can_hold(network: &Network, active: &[ConstraintId], effort: u64, memory: &mut Memory) -> Option<bool> {
    let Boiled::Groups { groups, .. } = network.boiled(active, Minding::Nothing) else {
        return Some(false);
    };
    let mut known = Some(true);
    for group in groups.iter().filter(|group| !group.factors.is_empty()) {
        let answer = memory.answer(group, effort);
        if answer.bound >= NEVER {
            return Some(false);
        }
        if answer.best.is_none() {
            known = None;
        }
    }
    known
}

/// For each demand of a core, the best that can be had when it alone is given up,
/// cheapest first. Where other demands clash besides, each of those clashes is left
/// out: it is another matter.
///
/// A demand after whose loss nothing was found is not in the list.
///
/// # Errors
///
/// A [`Problem`] when the model itself is at fault, or the core names demands it
/// has not.
pub fn relaxations(
    model: &Model,
    core: &[ConstraintId],
    memory: &mut Memory,
) -> Result<Vec<Relaxation>, Problem> {
    if core.iter().any(|demand| demand.0 >= model.constraints.len()) {
        return Err(Problem::new("the demands do not belong to this model"));
    }
    let elsewhere: Vec<ConstraintId> = cores(model, memory)?
        .into_iter()
        .filter(|other| !other.demands.iter().any(|demand| core.contains(demand)))
        .flat_map(|other| other.demands)
        .collect();
    let mut relaxations = Vec::new();
    for &dropped in core {
        let mut without = model.clone();
        without.constraints = model
            .constraints
            .iter()
            .enumerate()
            .filter(|&(at, _)| at != dropped.0 && !elsewhere.contains(&ConstraintId(at)))
            .map(|(_, constraint)| constraint.clone())
            .collect();
        if let Outcome::Solved(solved) = solve_with(&without, memory)? {
            let by = exceeded(model, &solved.choice, &model.constraints[dropped.0].demand);
            relaxations.push(Relaxation {
                dropped,
                cost: solved.cost,
                proof: solved.proof,
                choice: solved.choice,
                by,
            });
        }
    }
    relaxations.sort_by_key(|relaxation| (relaxation.cost, relaxation.dropped));
    Ok(relaxations)
}

/// How far a choice goes past what a demand allows.
fn exceeded(model: &Model, choice: &[usize], demand: &Demand) -> Option<Length> {
    let value = |linear: &Linear| {
        let terms = linear.terms.iter();
        terms.fold(linear.constant, |sum, &(v, times)| {
            sum + model.variables[v.0].candidates[choice[v.0]].value.scaled(times)
        })
    };
    match demand {
        Demand::Between { sum, least, most } => {
            let sum = value(sum);
            let short = least.map_or(Length::ZERO, |least| least - sum);
            let long = most.map_or(Length::ZERO, |most| sum - most);
            Some(short.max(long).max(Length::ZERO))
        }
        Demand::Apart { along, across, reach } => {
            let [x, y, reach] = [along, across, reach].map(value);
            let short = reach - Length::nearest(x.as_mm().hypot(y.as_mm()));
            Some(short.max(Length::ZERO))
        }
        Demand::Reaches { sum, by, least } => Some((least[choice[by.0]] - value(sum)).max(Length::ZERO)),
        Demand::Pairs { .. } | Demand::Not { .. } | Demand::Is { .. } | Demand::Test(_) => None,
    }
}
