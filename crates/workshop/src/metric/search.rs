//! The best choice, and the proof that nothing is better.
//!
//! Each connected group is searched by itself: depth first, in the order its
//! [`Buckets`] give, cheapest bound first, passing over whatever cannot beat the
//! best so far. Small tables are tried first; where they prove nothing in a few
//! nodes, larger ones follow. Nodes are counted, never time, so the same model
//! gives the same answer everywhere.

use super::bucket::Buckets;
use super::clash;
use super::factor::{Domain, full};
use super::model::{ConstraintId, Cost, Judgement, Model};
use super::network::{Group, Minding, NEVER, Weight, groups, unweigh};
use crate::problem::Problem;

/// How far an answer is proven.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// Nothing is cheaper.
    Optimal,
    /// The search stopped at its node limit. Nothing is cheaper than `bound`.
    Within {
        /// No choice can cost less than this.
        bound: Cost,
    },
}

/// A choice that breaks nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solved {
    /// One candidate index per variable.
    pub choice: Vec<usize>,
    /// What it costs.
    pub cost: Cost,
    /// How good that is known to be.
    pub proof: Proof,
    /// How many partial choices were opened to find out.
    pub nodes: u64,
}

/// What came of the search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// A choice was found.
    Solved(Solved),
    /// Nothing satisfies every demand.
    Infeasible {
        /// Demands that cannot all hold.
        core: Vec<ConstraintId>,
        /// True when the core is known to be minimal: drop any one of it and
        /// the rest of it can hold. False when the node limit left that open.
        minimal: bool,
    },
    /// The node limit came before any choice was found: there may be one.
    GaveUp {
        /// No choice can cost less than this.
        bound: Cost,
        /// How many partial choices were opened.
        nodes: u64,
    },
}

/// Solves the model.
///
/// # Errors
///
/// A [`Problem`] when the model itself is at fault: a dimension without
/// candidates, a demand that names what is not there, numbers past counting.
pub fn solve(model: &Model) -> Result<Outcome, Problem> {
    model.check()?;
    let all: Vec<ConstraintId> = (0..model.constraints.len()).map(ConstraintId).collect();
    let Some(groups) = groups(model, &all, Minding::Cost)? else {
        return clash::infeasible(model);
    };
    let mut choice = vec![0; model.variables.len()];
    let (mut bound, mut nodes, mut found) = (0, 0, true);
    for group in &groups {
        let answer = search(group, model.effort);
        nodes += answer.nodes;
        if answer.bound >= NEVER {
            return clash::infeasible(model);
        }
        bound += answer.bound;
        match answer.best {
            Some((_, picked)) => {
                for ((variable, kept), at) in group.variables.iter().zip(picked) {
                    choice[*variable] = kept[at];
                }
            }
            None => found = false,
        }
    }
    let bound = unweigh(bound);
    if !found {
        return Ok(Outcome::GaveUp { bound, nodes });
    }
    let cost = model.cost(&choice);
    debug_assert!(bound <= cost, "a bound above a cost that was reached");
    let proof = if cost == bound { Proof::Optimal } else { Proof::Within { bound } };
    Ok(Outcome::Solved(Solved { choice, cost, proof, nodes }))
}

/// What is known of one group.
pub(super) struct Answer {
    /// The best found, with its cost.
    pub best: Option<(Weight, Vec<usize>)>,
    /// Nothing is cheaper: equal to the best when that is proven, [`NEVER`] when
    /// nothing holds.
    pub bound: Weight,
    /// How many partial choices were opened.
    pub nodes: u64,
}

/// Table sizes in the order tried, each with how many nodes it is given; the
/// last is given whatever effort is left.
const LEVELS: [(usize, u64); 3] = [(1 << 12, 2_000), (1 << 16, 20_000), (1 << 19, u64::MAX)];

/// Searches one group.
pub(super) fn search(group: &Group, effort: u64) -> Answer {
    let mut answer = Answer { best: None, bound: 0, nodes: 0 };
    for (limit, nodes) in LEVELS {
        let buckets = Buckets::of(group, limit);
        answer.bound = answer.bound.max(buckets.least);
        let mut walk = Walk {
            group,
            buckets: &buckets,
            domains: buckets.sizes.iter().map(|&size| full(size)).collect(),
            choice: vec![0; buckets.sizes.len()],
            best: answer.best.take(),
            nodes: 0,
            most: nodes.min(effort - answer.nodes),
            loose: loose_by_variable(group, &buckets),
        };
        let finished = walk.down(0, buckets.least);
        (answer.best, answer.nodes) = (walk.best, answer.nodes + walk.nodes);
        if finished {
            answer.bound = answer.best.as_ref().map_or(NEVER, |best| best.0);
        }
        let settled = answer.best.as_ref().map_or(NEVER, |best| best.0) <= answer.bound;
        if settled || answer.nodes >= effort {
            break;
        }
    }
    answer
}

/// For each variable, the factors no table holds that read it.
fn loose_by_variable(group: &Group, buckets: &Buckets) -> Vec<Vec<usize>> {
    let mut loose = vec![Vec::new(); buckets.sizes.len()];
    for &at in &buckets.loose {
        for &v in &group.factors[at].scope {
            loose[v].push(at);
        }
    }
    loose
}

/// One walk down and back through the choices.
struct Walk<'a> {
    group: &'a Group,
    buckets: &'a Buckets,
    domains: Vec<Domain>,
    choice: Vec<usize>,
    best: Option<(Weight, Vec<usize>)>,
    nodes: u64,
    most: u64,
    loose: Vec<Vec<usize>>,
}

impl Walk<'_> {
    /// Tries everything below; false when the node limit cut it short.
    fn down(&mut self, depth: usize, bound: Weight) -> bool {
        let ceiling = |best: &Option<(Weight, Vec<usize>)>| best.as_ref().map_or(NEVER, |best| best.0);
        if bound >= ceiling(&self.best) {
            return true;
        }
        let Some(bucket) = self.buckets.order.get(depth) else {
            self.best = Some((bound, self.choice[..self.group.variables.len()].to_vec()));
            return true;
        };
        let variable = bucket.variable;
        let mut next = self.buckets.bounds(depth, &mut self.choice, bound);
        next.retain(|&(bound, _)| bound < ceiling(&self.best));
        next.sort_unstable();
        let open = self.domains[variable];
        let mut finished = true;
        for (bound, candidate) in next {
            if bound >= ceiling(&self.best) {
                break;
            }
            if self.nodes >= self.most {
                finished = false;
                break;
            }
            self.nodes += 1;
            self.domains[variable] = 1 << candidate;
            self.choice[variable] = candidate;
            let holds = |&at: &usize| self.group.factors[at].judge(&self.domains) != Judgement::Breaks;
            if self.loose[variable].iter().all(holds) && !self.down(depth + 1, bound) {
                finished = false;
                break;
            }
        }
        self.domains[variable] = open;
        finished
    }
}

/// Whether the demands given can all hold; `None` when the node limit left it open.
pub(super) fn can_hold(model: &Model, active: &[ConstraintId]) -> Result<Option<bool>, Problem> {
    let Some(groups) = groups(model, active, Minding::Nothing)? else {
        return Ok(Some(false));
    };
    let mut known = Some(true);
    for group in &groups {
        let answer = search(group, model.effort);
        if answer.bound >= NEVER {
            return Ok(Some(false));
        }
        if answer.best.is_none() {
            known = None;
        }
    }
    Ok(known)
}
