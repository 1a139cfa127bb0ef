//! The model boiled down: what the demands leave open, in connected groups.

use std::collections::{BTreeMap, BTreeSet};

use super::factor::{Ask, Domain, Factor, each, full};
use super::model::{ConstraintId, Cost, Judgement, Model, PurchaseId};
use super::multiplied::Multiplied;
use super::narrow::{Log, narrow, narrow_noting};
use crate::problem::Problem;

/// A cost as one number: points above departure above roughness.
pub type Weight = i128;

/// More than any cost, and still safe to double.
pub const NEVER: Weight = 1 << 126;

/// The one number for a cost.
pub fn weigh(cost: Cost) -> Weight {
    (i128::from(cost.buy) << 96) + (i128::from(cost.departure) << 32) + i128::from(cost.roughness)
}

/// The cost behind the one number.
pub fn unweigh(weight: Weight) -> Cost {
    let part = |shift: u32, bits: u32| ((weight >> shift) & ((1 << bits) - 1)) as u64;
    Cost { buy: part(96, 30), departure: part(32, 64), roughness: part(0, 32) }
}

/// Whether a search minds what things cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Minding {
    /// It seeks the cheapest.
    Cost,
    /// Anything that holds will do.
    Nothing,
}

/// Variables that hang together, renumbered from nought.
#[derive(Clone, Debug)]
pub struct Group {
    /// Which variable of the model, and which of its candidates each number means.
    /// An answer gives those numbers, so that like groups have like answers.
    pub variables: Vec<(usize, Vec<usize>)>,
    /// The cost of each candidate; beyond `variables` come the purchases, whose
    /// two candidates are *left* and *bought*.
    pub costs: Vec<Vec<Weight>>,
    /// What must hold.
    pub factors: Vec<Factor>,
}

impl Group {
    /// The same group with only these candidates open, and what they rule out in
    /// turn gone too; `None` when a variable has nothing left.
    pub fn narrowed(&self, mut open: Vec<Domain>) -> Option<Self> {
        if open.contains(&0) || !narrow(&self.factors, &mut open) {
            return None;
        }
        let kept: Vec<Vec<usize>> = open.iter().map(|&domain| each(domain).collect()).collect();
        fn pick<T: Copy>((of, kept): (&Vec<T>, &Vec<usize>)) -> Vec<T> {
            kept.iter().map(|&at| of[at]).collect()
        }
        let variables = self.variables.iter().zip(&kept).map(|((v, of), kept)| (*v, pick((of, kept))));
        let undecided = self.factors.iter().filter(|factor| factor.judge(&open) == Judgement::Unsure);
        Some(Self {
            variables: variables.collect(),
            costs: self.costs.iter().zip(&kept).map(pick).collect(),
            factors: undecided.map(|factor| factor.over(&kept)).collect(),
        })
    }
}

/// A model with every demand multiplied out, to be boiled down under some of them.
pub struct Network<'a> {
    model: &'a Model,
    factors: Vec<Factor>,
}

/// What is left of some demands.
pub enum Boiled {
    /// Groups that have nothing to do with one another.
    Groups {
        /// The groups.
        groups: Vec<Group>,
        /// What ruled out what on the way.
        log: Log,
    },
    /// These demands plainly cannot all hold.
    Clash(Vec<ConstraintId>),
}

impl<'a> Network<'a> {
    /// Multiplies out every demand of the model.
    pub fn of(model: &'a Model) -> Result<Self, Problem> {
        let multiplied = Multiplied::of(model);
        let factors = model.constraints.iter().map(|constraint| multiplied.factor(constraint));
        Ok(Self { model, factors: factors.collect::<Result<_, _>>()? })
    }

    /// Boils the model down under the demands given.
    pub fn boiled(&self, active: &[ConstraintId], minding: Minding) -> Boiled {
        let all = self.model.variables.iter().map(|v| full(v.candidates.len()));
        self.boiled_from(all.collect(), active, minding)
    }

    /// The same with only these candidates open.
    pub fn boiled_from(&self, mut domains: Vec<Domain>, active: &[ConstraintId], minding: Minding) -> Boiled {
        let factors: Vec<&Factor> = active.iter().map(|&ConstraintId(at)| &self.factors[at]).collect();
        let log = match narrow_noting(&factors, &mut domains) {
            Ok(log) => log,
            Err(clash) => return Boiled::Clash(clash.into_iter().map(|at| active[at]).collect()),
        };
        let kept: Vec<Vec<usize>> = domains.iter().map(|&domain| each(domain).collect()).collect();
        let undecided = factors.iter().filter(|factor| factor.judge(&domains) == Judgement::Unsure);
        let mut factors: Vec<Factor> = undecided.map(|factor| factor.over(&kept)).collect();
        let costs = match minding {
            Minding::Cost => costs_with_purchases(self.model, &kept, &mut factors),
            Minding::Nothing => kept.iter().map(|open| vec![0; open.len()]).collect(),
        };
        Boiled::Groups { groups: split(kept, costs, factors), log }
    }

    /// Of the demands given, those that can have to do with some group: those that
    /// read its variables, and those that ruled out any of their candidates, and so on.
    pub fn behind(&self, group: &Group, active: &[ConstraintId], log: &Log) -> Vec<ConstraintId> {
        let inside: BTreeSet<usize> = group.variables.iter().map(|(v, _)| *v).collect();
        let reads = |at: &usize| self.factors[active[*at].0].scope.iter().any(|v| inside.contains(v));
        let reading: Vec<usize> = (0..active.len()).filter(reads).collect();
        let scopes: Vec<&Factor> = active.iter().map(|&ConstraintId(at)| &self.factors[at]).collect();
        log.behind(&scopes, reading).into_iter().map(|at| active[at]).collect()
    }
}

/// Each candidate's own cost. A purchase only one variable can use is part of
/// it; one that several share becomes a variable, tied to each of them.
fn costs_with_purchases(model: &Model, kept: &[Vec<usize>], factors: &mut Vec<Factor>) -> Vec<Vec<Weight>> {
    let mut users: BTreeMap<PurchaseId, Vec<usize>> = BTreeMap::new();
    let candidate = |v: usize, at: usize| &model.variables[v].candidates[at];
    let uses = |v: usize, at: usize, purchase| candidate(v, at).buys.contains(&purchase);
    for (v, open) in kept.iter().enumerate() {
        for purchase in open.iter().flat_map(|&at| &candidate(v, at).buys) {
            let users = users.entry(*purchase).or_default();
            if users.last() != Some(&v) {
                users.push(v);
            }
        }
    }
    let own = |v: usize, at: usize| {
        let c = candidate(v, at);
        weigh(Cost { buy: 0, departure: c.departure, roughness: c.roughness.into() })
    };
    let mut costs: Vec<Vec<Weight>> =
        kept.iter().enumerate().map(|(v, open)| open.iter().map(|&at| own(v, at)).collect()).collect();
    for (purchase, users) in users {
        let points = weigh(Cost { buy: model.purchases[purchase.0].points.into(), ..Cost::default() });
        let always = users.iter().any(|&v| kept[v].iter().all(|&at| uses(v, at, purchase)));
        if points == 0 || (always && users.len() > 1) {
            // Bought whatever is chosen: it changes no comparison but the sum.
            if let Some(&v) = users.first() {
                costs[v].iter_mut().for_each(|cost| *cost += points);
            }
        } else if let [v] = users[..] {
            for (cost, &at) in costs[v].iter_mut().zip(&kept[v]) {
                *cost += if uses(v, at, purchase) { points } else { 0 };
            }
        } else {
            let bought = costs.len();
            costs.push(vec![0, points]);
            for v in users {
                let allowed = kept[v].iter().flat_map(|&at| [!uses(v, at, purchase), true]).collect();
                let ask = Ask::Table { sizes: vec![kept[v].len(), 2], allowed };
                factors.push(Factor { scope: vec![v, bought], ask });
            }
        }
    }
    costs
}

/// Parts a network where no factor ties. Each variable has the candidates kept of it and
/// their costs; beyond them come the costs of purchases.
pub fn split(mut kept: Vec<Vec<usize>>, mut costs: Vec<Vec<Weight>>, factors: Vec<Factor>) -> Vec<Group> {
    let real = kept.len();
    kept.resize(costs.len(), vec![]);
    let mut root: Vec<usize> = (0..costs.len()).collect();
    fn find(root: &mut [usize], mut v: usize) -> usize {
        while root[v] != v {
            root[v] = root[root[v]];
            v = root[v];
        }
        v
    }
    for factor in &factors {
        for pair in factor.scope.windows(2) {
            let (a, b) = (find(&mut root, pair[0]), find(&mut root, pair[1]));
            root[a.max(b)] = a.min(b);
        }
    }
    let mut groups: BTreeMap<usize, Group> = BTreeMap::new();
    let mut place = vec![0; costs.len()];
    for (v, open) in kept.into_iter().enumerate() {
        let group = groups.entry(find(&mut root, v)).or_insert_with(|| Group {
            variables: vec![],
            costs: vec![],
            factors: vec![],
        });
        place[v] = group.costs.len();
        if v < real {
            group.variables.push((v, open));
        }
        group.costs.push(std::mem::take(&mut costs[v]));
    }
    for mut factor in factors {
        let group = groups.get_mut(&find(&mut root, factor.scope[0])).expect("every factor has a group");
        factor.scope.iter_mut().for_each(|v| *v = place[*v]);
        group.factors.push(factor);
    }
    groups.into_values().collect()
}
