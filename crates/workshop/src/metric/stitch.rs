//! Models of several parts made one: each part's variables follow the last one's,
//! and what has one name to buy is bought once.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::model::{Constraint, Demand, Linear, Model, PurchaseId, Test, VariableId};

/// Several models as one.
#[derive(Debug, Default)]
pub struct Stitched {
    /// The one model.
    pub model: Model,
    /// Where the variables of each part begin, in the order they were added.
    pub begins: Vec<usize>,
    purchases: BTreeMap<String, PurchaseId>,
}

impl Stitched {
    /// The variables of each part, in the order they were added.
    pub fn parts(&self) -> impl Iterator<Item = Range<usize>> + '_ {
        let ends = self.begins.iter().skip(1).copied().chain([self.model.variables.len()]);
        self.begins.iter().zip(ends).map(|(&begins, ends)| begins..ends)
    }

    /// Which part a variable is of, in the order they were added.
    pub fn part_of(&self, variable: VariableId) -> usize {
        self.begins.partition_point(|&begins| begins <= variable.0) - 1
    }

    /// What a choice buys, by name, and which parts need it.
    pub fn bought(&self, choice: &[usize]) -> BTreeMap<&str, BTreeSet<usize>> {
        let mut bought: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
        for (at, part) in self.parts().enumerate() {
            for variable in part {
                for id in &self.model.variables[variable].candidates[choice[variable]].buys {
                    bought.entry(self.model.purchases[id.0].name.as_str()).or_default().insert(at);
                }
            }
        }
        bought
    }

    /// Adds a part's own model.
    pub fn add(&mut self, own: &Model) {
        let begins = self.model.variables.len();
        self.begins.push(begins);
        let mut bought = Vec::with_capacity(own.purchases.len());
        for purchase in &own.purchases {
            bought.push(match self.purchases.get(&purchase.name) {
                Some(&id) => id,
                None => {
                    let id = self.model.purchase(purchase.name.clone(), purchase.points);
                    self.purchases.insert(purchase.name.clone(), id);
                    id
                }
            });
        }
        for variable in &own.variables {
            let mut variable = variable.clone();
            for candidate in &mut variable.candidates {
                candidate.buys.iter_mut().for_each(|id| *id = bought[id.0]);
            }
            self.model.variable(variable);
        }
        for Constraint { name, because, demand, gauge } in &own.constraints {
            let id = self.model.demand(name.clone(), because.clone(), shifted(demand, begins));
            if let Some(gauge) = gauge {
                self.model.measure(id, gauge.shifted(begins));
            }
        }
    }
}

/// A demand on variables that lie so much further on.
fn shifted(demand: &Demand, by: usize) -> Demand {
    let on = |variable: &VariableId| VariableId(variable.0 + by);
    let sum = |sum: &Linear| Linear {
        terms: sum.terms.iter().map(|(variable, times)| (on(variable), *times)).collect(),
        constant: sum.constant,
    };
    match demand {
        Demand::Between { sum: of, least, most } => {
            Demand::Between { sum: sum(of), least: *least, most: *most }
        }
        Demand::Apart { along, across, reach } => {
            Demand::Apart { along: sum(along), across: sum(across), reach: sum(reach) }
        }
        Demand::Reaches { sum: of, by, least } => {
            Demand::Reaches { sum: sum(of), by: on(by), least: least.clone() }
        }
        Demand::Pairs { a, b, allowed } => Demand::Pairs { a: on(a), b: on(b), allowed: allowed.clone() },
        Demand::Not { variable, candidate } => Demand::Not { variable: on(variable), candidate: *candidate },
        Demand::Is { variable, candidate } => Demand::Is { variable: on(variable), candidate: *candidate },
        Demand::Test(test) => {
            Demand::Test(Test { on: test.on.iter().map(on).collect(), judge: test.judge.clone() })
        }
    }
}
