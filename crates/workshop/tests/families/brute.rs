//! Every combination tried in turn, judged straight from what the demands say.

use num_rational::Ratio;
use workshop::measure::Length;
use workshop::metric::{ConstraintId, Cost, Demand, Judgement, Linear, Model, Span, VariableId};

fn value(model: &Model, choice: &[usize], linear: &Linear) -> Ratio<i128> {
    linear.terms.iter().fold(linear.constant.ratio(), |sum, &(v, times)| {
        sum + model.variables[v.0].candidates[choice[v.0]].value.ratio() * times
    })
}

/// Whether one demand holds, straight from what it says.
pub fn holds(model: &Model, choice: &[usize], demand: &Demand) -> bool {
    match demand {
        Demand::Between { sum, least, most } => {
            let sum = Length::from_ratio(value(model, choice, sum));
            least.is_none_or(|least| sum >= least) && most.is_none_or(|most| sum <= most)
        }
        Demand::Apart { along, across, reach } => {
            let [x, y, r] = [along, across, reach].map(|linear| value(model, choice, linear));
            r <= Ratio::from_integer(0) || x * x + y * y >= r * r
        }
        Demand::Reaches { sum, by, least } => value(model, choice, sum) >= least[choice[by.0]].ratio(),
        Demand::Pairs { a, b, allowed } => allowed[choice[a.0]][choice[b.0]],
        Demand::Not { variable, candidate } => choice[variable.0] != *candidate,
        Demand::Is { variable, candidate } => choice[variable.0] == *candidate,
        Demand::Test(test) => {
            let single = |v: &VariableId| {
                let value = model.variables[v.0].candidates[choice[v.0]].value;
                Span { least: value, most: value }
            };
            (test.judge)(&test.on.iter().map(single).collect::<Vec<_>>()) == Judgement::Holds
        }
    }
}

/// The least cost over every combination that keeps the demands given.
pub fn brute(model: &Model, demands: &[ConstraintId]) -> Option<Cost> {
    let mut choice = vec![0; model.variables.len()];
    let mut best = None;
    loop {
        if demands.iter().all(|&ConstraintId(at)| holds(model, &choice, &model.constraints[at].demand)) {
            let cost = model.cost(&choice);
            best = Some(best.map_or(cost, |best: Cost| best.min(cost)));
        }
        let Some(at) = (0..choice.len()).find(|&at| choice[at] + 1 < model.variables[at].candidates.len())
        else {
            return best;
        };
        choice[at] += 1;
        choice[..at].fill(0);
    }
}

/// Every demand of a model.
pub fn all(model: &Model) -> Vec<ConstraintId> {
    (0..model.constraints.len()).map(ConstraintId).collect()
}
