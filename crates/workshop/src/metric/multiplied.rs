//! Demands multiplied out over every candidate.
//!
//! Lengths become whole multiples of the finest part any of them needs, so all
//! comparisons stay exact. Each variable's candidates are brought to whole numbers
//! once, however many demands read it.

use num_integer::Integer;
use num_rational::Ratio;

use super::factor::{Ask, Factor, Parts};
use super::model::{Constraint, Demand, Linear, Model, VariableId};
use crate::measure::Length;
use crate::problem::Problem;

/// Sums past this would overflow when squared and added.
const LARGEST: i128 = 1 << 60;

/// The candidates of every variable in whole parts of a millimetre.
pub struct Multiplied<'a> {
    model: &'a Model,
    sizes: Vec<Sizes>,
}

/// The candidates of one variable, and how many of their parts make a millimetre.
struct Sizes {
    parts: i128,
    /// `None` when they are past counting: a fault only if a sum reads them.
    values: Option<Vec<i128>>,
}

impl<'a> Multiplied<'a> {
    /// Of all candidates of a model.
    pub fn of(model: &'a Model) -> Self {
        let sizes = |variable: &super::model::Variable| {
            let mut scale = Scale { parts: 1 };
            let all = variable.candidates.iter().map(|candidate| candidate.value.ratio());
            let seen = all.clone().try_for_each(|value| scale.take(*value.denom()));
            let values = seen.and_then(|()| all.map(|value| scale.whole(value)).collect());
            Sizes { parts: scale.parts, values: values.ok() }
        };
        Self { model, sizes: model.variables.iter().map(sizes).collect() }
    }

    /// One demand.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when its numbers are past counting.
    pub fn factor(&self, constraint: &Constraint) -> Result<Factor, Problem> {
        self.of_demand(&constraint.demand).map_err(|p| p.at(format!("`{}`", constraint.name)))
    }

    fn of_demand(&self, demand: &Demand) -> Result<Factor, Problem> {
        let mut scope: Vec<usize> = demand.variables().iter().map(|v| v.0).collect();
        let ask = match demand {
            Demand::Between { sum, least, most } => {
                let bounds = [least, most].map(|bound| bound.map(Length::ratio));
                let mut scale = Scale { parts: 1 };
                self.see(&mut scale, sum)?;
                bounds.iter().flatten().try_for_each(|bound| scale.take(*bound.denom()))?;
                let parts = self.parts(&scale, sum, &scope)?;
                let [low, high] = bounds.map(|bound| bound.map(|b| scale.whole(b)).transpose());
                Ask::Sum { parts, low: low?.unwrap_or(-LARGEST * 4), high: high?.unwrap_or(LARGEST * 4) }
            }
            Demand::Apart { along, across, reach } => {
                let mut scale = Scale { parts: 1 };
                [along, across, reach].into_iter().try_for_each(|linear| self.see(&mut scale, linear))?;
                let parts = |linear| self.parts(&scale, linear, &scope);
                Ask::Apart { along: parts(along)?, across: parts(across)?, reach: parts(reach)? }
            }
            Demand::Reaches { sum, by, least } => {
                // The one that asks comes last.
                scope.retain(|&v| v != by.0);
                let mut scale = Scale { parts: 1 };
                self.see(&mut scale, sum)?;
                least.iter().try_for_each(|least| scale.take(*least.ratio().denom()))?;
                let parts = self.parts(&scale, sum, &scope)?;
                let range = |least: &Length| Ok((scale.whole(least.ratio())?, LARGEST * 4));
                scope.push(by.0);
                Ask::Total { parts, ranges: least.iter().map(range).collect::<Result<_, Problem>>()? }
            }
            Demand::Pairs { a, b, allowed } => {
                scope = vec![a.0, b.0];
                let sizes = vec![allowed.len(), allowed.first().map_or(0, Vec::len)];
                Ask::Table { sizes, allowed: allowed.concat() }
            }
            Demand::Not { variable, candidate } | Demand::Is { variable, candidate } => {
                let wanted = matches!(demand, Demand::Is { .. });
                let size = self.model.variables[variable.0].candidates.len();
                let allowed = (0..size).map(|at| (at == *candidate) == wanted).collect();
                Ask::Table { sizes: vec![size], allowed }
            }
            Demand::Test(test) => {
                let sizes = |v: &usize| self.model.variables[*v].candidates.iter().map(|c| c.value).collect();
                let place = |v: &VariableId| {
                    scope.iter().position(|s| *s == v.0).expect("the scope is what it reads")
                };
                let places = test.on.iter().map(place).collect();
                Ask::Test { values: scope.iter().map(sizes).collect(), places, test: test.clone() }
            }
        };
        Ok(Factor { scope, ask })
    }

    fn see(&self, scale: &mut Scale, linear: &Linear) -> Result<(), Problem> {
        scale.take(*linear.constant.ratio().denom())?;
        linear.terms.iter().try_for_each(|&(variable, times)| {
            let sizes = &self.sizes[variable.0];
            scale.take(sizes.parts.checked_mul(*times.denom()).ok_or_else(too_fine)?)
        })
    }

    fn parts(&self, scale: &Scale, linear: &Linear, scope: &[usize]) -> Result<Parts, Problem> {
        let mut rows: Vec<Vec<i128>> =
            scope.iter().map(|&v| vec![0; self.model.variables[v].candidates.len()]).collect();
        for &(variable, times) in &linear.terms {
            let place = scope.iter().position(|&v| v == variable.0).expect("a term is in its own scope");
            let sizes = &self.sizes[variable.0];
            let step = scale.parts / (sizes.parts * times.denom());
            let step = step.checked_mul(*times.numer()).ok_or_else(too_fine)?;
            for (sum, &value) in rows[place].iter_mut().zip(sizes.values.as_ref().ok_or_else(too_fine)?) {
                let part =
                    value.checked_mul(step).filter(|part| part.abs() < LARGEST).ok_or_else(too_fine)?;
                *sum += part;
            }
        }
        let offset = scale.whole(linear.constant.ratio())?;
        let far = |row: &Vec<i128>| row.iter().map(|part| part.abs()).max().unwrap_or(0);
        let most: i128 = rows.iter().map(far).sum::<i128>() + offset.abs();
        if most < LARGEST { Ok(Parts { offset, rows }) } else { Err(too_fine()) }
    }
}

/// How many parts of a millimetre are counted with.
struct Scale {
    parts: i128,
}

impl Scale {
    /// Makes the parts so fine that this many to a millimetre are whole ones.
    fn take(&mut self, denominator: i128) -> Result<(), Problem> {
        if self.parts % denominator != 0 {
            let step = denominator / self.parts.gcd(&denominator);
            self.parts =
                self.parts.checked_mul(step).filter(|parts| *parts < LARGEST).ok_or_else(too_fine)?;
        }
        Ok(())
    }

    /// A ratio whose denominator was taken, in whole parts.
    fn whole(&self, value: Ratio<i128>) -> Result<i128, Problem> {
        let step = self.parts / value.denom();
        let whole = i128::checked_mul(*value.numer(), step).ok_or_else(too_fine)?;
        if whole.abs() < LARGEST { Ok(whole) } else { Err(too_fine()) }
    }
}

fn too_fine() -> Problem {
    Problem::new("the sizes in this demand are too fine to compare exactly")
        .why("their common part of a millimetre is past counting")
        .mend("give calculated sizes to a nanometre at most")
}
