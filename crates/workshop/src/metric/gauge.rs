//! How far a demand is from holding, for words: what it comes to, and what it
//! must be. The search reads none of this.

use std::fmt;
use std::sync::Arc;

use super::model::{Candidate, Constraint, Demand, Linear, Model, VariableId};
use crate::measure::Length;

/// What a demand comes to for some sizes, and what it must be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// What is measured, where the demand's name does not say it: `a clearance of`.
    pub what: &'static str,
    /// What it comes to.
    pub is: Length,
    /// It must be this at least.
    pub least: Option<Length>,
    /// It must be this at most.
    pub most: Option<Length>,
}

/// The function behind a [`Gauge`]: one candidate for each variable it reads.
pub type Read = dyn Fn(&[&Candidate]) -> Option<Reading> + Send + Sync;

/// Measures a demand that is no plain sum.
#[derive(Clone)]
pub struct Gauge {
    /// The variables it reads.
    pub on: Vec<VariableId>,
    /// What it reads.
    pub read: Arc<Read>,
}

impl fmt::Debug for Gauge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Gauge").field("on", &self.on).finish_non_exhaustive()
    }
}

impl Gauge {
    /// Of a length that depends on sizes and must be no less than another.
    pub fn at_least(
        on: Vec<VariableId>,
        least: Length,
        is: impl Fn(&[&Candidate]) -> Length + Send + Sync + 'static,
    ) -> Self {
        let read = move |sizes: &[&Candidate]| {
            Some(Reading { what: "", is: is(sizes), least: Some(least), most: None })
        };
        Self { on, read: Arc::new(read) }
    }

    /// Of a sum that must be no less than a length.
    pub fn of_sum(sum: Linear, least: Length) -> Self {
        let mut on: Vec<VariableId> = sum.terms.iter().map(|term| term.0).collect();
        on.sort_unstable();
        on.dedup();
        let places = on.clone();
        Self::at_least(on, least, move |sizes| sum_of(&sum, |v| sizes[place(&places, v)].value))
    }

    /// The same on variables that lie so much further on.
    pub fn shifted(&self, by: usize) -> Self {
        let on = self.on.iter().map(|variable| VariableId(variable.0 + by)).collect();
        Self { on, read: Arc::clone(&self.read) }
    }

    /// Of the wall that stands between two rounds: what lies between their middles
    /// beyond `reach`, which holds the least wall itself.
    pub fn apart(demand: &Demand, least: Length) -> Option<Self> {
        let Demand::Apart { along, across, reach } = demand else { return None };
        let on = demand.variables();
        let (along, across, reach, places) = (along.clone(), across.clone(), reach.clone(), on.clone());
        Some(Self::at_least(on, least, move |sizes| {
            let value = |sum: &Linear| sum_of(sum, |v| sizes[place(&places, v)].value);
            let apart_mm = value(&along).as_mm().hypot(value(&across).as_mm());
            Length::nearest(apart_mm) - value(&reach) + least
        }))
    }
}

/// Where a variable stands among those that a gauge reads.
pub fn place(on: &[VariableId], variable: VariableId) -> usize {
    on.iter().position(|&v| v == variable).expect("a gauge lists what it reads")
}

/// What a sum comes to.
pub fn sum_of(sum: &Linear, size: impl Fn(VariableId) -> Length) -> Length {
    sum.constant + sum.terms.iter().map(|&(v, times)| size(v).scaled(times)).sum()
}

/// What a demand comes to for a choice; `None` where no length says it.
pub fn reading(model: &Model, constraint: &Constraint, choice: &[usize]) -> Option<Reading> {
    let candidate = |v: VariableId| &model.variables[v.0].candidates[choice[v.0]];
    if let Some(gauge) = &constraint.gauge {
        let sizes: Vec<&Candidate> = gauge.on.iter().map(|&v| candidate(v)).collect();
        return (gauge.read)(&sizes);
    }
    match &constraint.demand {
        Demand::Between { sum, least, most } => {
            Some(Reading { what: "", is: sum_of(sum, |v| candidate(v).value), least: *least, most: *most })
        }
        _ => None,
    }
}

impl fmt::Display for Reading {
    /// `0.71 mm, must be 1 mm at least`; thousandths of a millimetre.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = |length: Length| format!("{} mm", length.shown(3));
        // What misses by less than a thousandth is not to look as if it held.
        let close =
            [self.least, self.most].into_iter().flatten().any(|b| b.gap(self.is) < Length::microns(1));
        let what = if self.what.is_empty() { String::new() } else { format!("{} ", self.what) };
        write!(f, "{what}{} mm, must be ", self.is.shown(if close { 6 } else { 3 }))?;
        match (self.least, self.most) {
            (Some(least), Some(most)) if least == most => write!(f, "{}", mm(least)),
            (Some(least), Some(most)) => write!(f, "{} to {}", mm(least), mm(most)),
            (Some(least), None) => write!(f, "{} at least", mm(least)),
            (None, Some(most)) => write!(f, "{} at most", mm(most)),
            (None, None) => write!(f, "something else"),
        }
    }
}
