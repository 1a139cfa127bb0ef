//! What every other candidate would have cost or broken.

use super::model::{ConstraintId, Cost, Judgement, Model, VariableId};
use super::multiplied::Multiplied;
use super::search::{Outcome, Proof, Solved, solve};
use crate::problem::Problem;

/// Why a candidate was not chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// With everything else as chosen, it breaks these.
    Breaks(Vec<ConstraintId>),
    /// It breaks nothing, and the cheapest choice with it costs this.
    Costs {
        /// The whole cost with this candidate, everything else chosen afresh.
        cost: Cost,
        /// How good that is known to be.
        proof: Proof,
    },
}

/// A candidate that was not chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alternative {
    /// Which candidate of the variable.
    pub candidate: usize,
    /// Why not.
    pub verdict: Verdict,
}

/// Every other candidate of one variable, in the model's order.
///
/// # Errors
///
/// As [`solve`], and when `solved` is not a choice of this model.
pub fn alternatives(
    model: &Model,
    solved: &Solved,
    variable: VariableId,
) -> Result<Vec<Alternative>, Problem> {
    let chosen = solved.choice.get(variable.0).copied();
    let Some(chosen) = chosen.filter(|_| solved.choice.len() == model.variables.len()) else {
        return Err(Problem::new("the choice does not belong to this model"));
    };
    let mut choice = solved.choice.clone();
    let others = (0..model.variables[variable.0].candidates.len()).filter(|&at| at != chosen);
    others
        .map(|candidate| {
            choice[variable.0] = candidate;
            let broken = broken(model, &choice)?;
            let verdict = if broken.is_empty() {
                // As it stands it holds, so the search cannot come back empty;
                // stopped early it may come back dearer.
                let as_it_stands = model.cost(&choice);
                match solve(&model.pinned(variable, candidate))? {
                    Outcome::Solved(best) if best.cost <= as_it_stands => {
                        Verdict::Costs { cost: best.cost, proof: best.proof }
                    }
                    Outcome::Solved(Solved { proof: Proof::Within { bound }, .. })
                    | Outcome::GaveUp { bound, .. } => {
                        Verdict::Costs { cost: as_it_stands, proof: Proof::Within { bound } }
                    }
                    _ => Verdict::Costs { cost: as_it_stands, proof: Proof::Optimal },
                }
            } else {
                Verdict::Breaks(broken)
            };
            Ok(Alternative { candidate, verdict })
        })
        .collect()
}

/// The demands that a whole choice breaks, in order.
///
/// # Errors
///
/// A [`Problem`] when a demand's numbers are past counting.
pub fn broken(model: &Model, choice: &[usize]) -> Result<Vec<ConstraintId>, Problem> {
    let domains: Vec<_> = choice.iter().map(|&at| 1 << at).collect();
    let multiplied = Multiplied::of(model);
    let mut broken = Vec::new();
    for (at, constraint) in model.constraints.iter().enumerate() {
        let factor = multiplied.factor(constraint)?;
        if factor.judge(&domains) != Judgement::Holds {
            broken.push(ConstraintId(at));
        }
    }
    Ok(broken)
}
