//! What every other candidate would break, or what it would cost, with everything
//! else as chosen.

use std::ops::Range;
use std::sync::Arc;

use super::against::{Broken, Demanded};
use super::factor::{Domain, Factor};
use super::gauge;
use super::model::{Candidate, Constraint, Judgement, Model, VariableId};
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
    /// What each demand is called, shared by all that would break it.
    demanded: Vec<Arc<Demanded>>,
    /// For each variable, the demands that read it.
    reading: Vec<Vec<usize>>,
    /// How often each purchase is used by the choice.
    used: Vec<usize>,
    /// Each variable narrowed to its choice.
    domains: Vec<Domain>,
}

/// What changes in the whole cost when one candidate takes the place of the chosen one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct More {
    /// Names of what is bought besides.
    pub buys: Vec<String>,
    /// Names of what need not be bought any more.
    pub saves: Vec<String>,
    /// Points of purchases.
    pub points: i64,
    /// Weighted departure.
    pub departure: i64,
    /// Roughness.
    pub roughness: i64,
}

/// What a demand is called, for whoever it is broken by.
pub fn demanded(constraint: &Constraint) -> Demanded {
    Demanded { name: constraint.name.clone(), because: constraint.because.clone() }
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
        let demanded = model.constraints.iter().map(|constraint| Arc::new(demanded(constraint))).collect();
        let domains = solved.choice.iter().map(|&at| 1 << at).collect();
        Ok(Self { model, solved, part, factors, demanded, reading, used, domains })
    }

    /// What breaks with one candidate in the place of the chosen one.
    pub fn breaks(&self, variable: VariableId, candidate: usize) -> Vec<Broken> {
        let reading = &self.reading[variable.0];
        if reading.is_empty() {
            return Vec::new();
        }
        let mut domains = self.domains.clone();
        domains[variable.0] = 1 << candidate;
        let broken = reading.iter().filter(|&&at| self.factors[at].judge(&domains) != Judgement::Holds);
        let mut choice = None;
        let of = |&at: &usize| {
            let choice = choice.get_or_insert_with(|| {
                let mut choice = self.solved.choice.clone();
                choice[variable.0] = candidate;
                choice
            });
            let reading = gauge::reading(self.model, &self.model.constraints[at], choice);
            Broken { demand: Arc::clone(&self.demanded[at]), reading }
        };
        broken.map(of).collect()
    }

    /// What the whole costs more, or less, with one candidate in the place of the chosen one.
    pub fn more(&self, variable: VariableId, candidate: usize) -> More {
        let candidates = &self.model.variables[variable.0].candidates;
        let (chosen, other) = (&candidates[self.chosen(variable)], &candidates[candidate]);
        let mut more = More {
            departure: other.departure.cast_signed() - chosen.departure.cast_signed(),
            roughness: i64::from(other.roughness) - i64::from(chosen.roughness),
            ..More::default()
        };
        let has = |of: &Candidate, purchase| of.buys.contains(&purchase);
        for &purchase in other.buys.iter().filter(|&&p| !has(chosen, p) && self.used[p.0] == 0) {
            let bought = &self.model.purchases[purchase.0];
            more.buys.push(bought.name.clone());
            more.points += i64::from(bought.points);
        }
        for &purchase in chosen.buys.iter().filter(|&&p| !has(other, p) && self.used[p.0] == 1) {
            let bought = &self.model.purchases[purchase.0];
            more.saves.push(bought.name.clone());
            more.points -= i64::from(bought.points);
        }
        more
    }

    /// The candidate chosen.
    pub fn chosen(&self, variable: VariableId) -> usize {
        self.solved.choice[variable.0]
    }
}
