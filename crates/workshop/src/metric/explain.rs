//! Why every other candidate was left: what it breaks, or what it costs, with
//! everything else as chosen.

use std::ops::Range;

use super::factor::Factor;
use super::model::{ConstraintId, Cost, Judgement, Model, VariableId};
use super::multiplied::Multiplied;
use super::search::Solved;
use crate::problem::Problem;

/// A solved model, ready to be asked about its other candidates.
pub struct Explained<'a> {
    /// The model.
    pub model: &'a Model,
    /// The choice.
    pub solved: &'a Solved,
    /// The variables of the part that is told of.
    pub part: Range<usize>,
    factors: Vec<Factor>,
    /// For each variable, the demands that read it.
    reading: Vec<Vec<usize>>,
    /// How often each purchase is used by the choice.
    used: Vec<usize>,
}

/// What another candidate would mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Instead {
    /// It breaks these.
    Breaks(Vec<ConstraintId>),
    /// It breaks nothing; the whole then costs this, and these have to be bought
    /// that are not bought now.
    Costs {
        /// The whole cost.
        cost: Cost,
        /// Names of what is bought besides.
        buys: Vec<String>,
    },
}

impl<'a> Explained<'a> {
    /// Prepares the demands of a solved model.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when a demand's numbers are past counting.
    pub fn new(model: &'a Model, solved: &'a Solved, part: Range<usize>) -> Result<Self, Problem> {
        let mut reading = vec![Vec::new(); model.variables.len()];
        let multiplied = Multiplied::of(model);
        let mut factors = Vec::with_capacity(model.constraints.len());
        for (at, constraint) in model.constraints.iter().enumerate() {
            factors.push(multiplied.factor(constraint)?);
            for variable in constraint.demand.variables() {
                reading[variable.0].push(at);
            }
        }
        let mut used = vec![0; model.purchases.len()];
        for (variable, &at) in model.variables.iter().zip(&solved.choice) {
            for purchase in &variable.candidates[at].buys {
                used[purchase.0] += 1;
            }
        }
        Ok(Self { model, solved, part, factors, reading, used })
    }

    /// What the whole would be with one candidate in the place of the chosen one.
    pub fn instead(&self, variable: VariableId, candidate: usize) -> Instead {
        let mut domains: Vec<_> = self.solved.choice.iter().map(|&at| 1 << at).collect();
        domains[variable.0] = 1 << candidate;
        let broken: Vec<ConstraintId> = self.reading[variable.0]
            .iter()
            .filter(|&&at| self.factors[at].judge(&domains) != Judgement::Holds)
            .map(|&at| ConstraintId(at))
            .collect();
        if !broken.is_empty() {
            return Instead::Breaks(broken);
        }
        let candidates = &self.model.variables[variable.0].candidates;
        let (chosen, other) = (&candidates[self.solved.choice[variable.0]], &candidates[candidate]);
        let own = |purchase: usize| usize::from(chosen.buys.iter().any(|p| p.0 == purchase));
        let buys = other
            .buys
            .iter()
            .filter(|p| self.used[p.0] == own(p.0) && own(p.0) == 0)
            .map(|p| self.model.purchases[p.0].name.clone())
            .collect();
        let mut choice = self.solved.choice.clone();
        choice[variable.0] = candidate;
        Instead::Costs { cost: self.model.cost(&choice), buys }
    }

    /// The candidate chosen.
    pub fn chosen(&self, variable: VariableId) -> usize {
        self.solved.choice[variable.0]
    }
}
