//! The best choice, and the proof that nothing is better.
//!
//! What no best choice would buy goes first (`buying`); the rest falls
//! into groups that have nothing to do with one another, each searched by itself, or by
//! what several parts could buy (`shared`). In a group that hangs
//! together loosely small tables give the answer (`bucket`); for the
//! others every demand bids for the cost of its sizes, and sizes are fixed one by one
//! under the bound that gives (`prices`, `branch`).
//! Where that proves nothing within half the effort, larger tables follow. Nodes are
//! counted, never time, so the same model gives the same answer everywhere.

use super::branch::branch;
use super::bucket::{Buckets, LongSums, outright};
use super::buying::worth_buying;
use super::clash;
use super::memory::Memory;
use super::model::{ConstraintId, Cost, Model};
use super::network::{Boiled, Group, Minding, NEVER, Network, Weight, unweigh};
use super::shared;
use super::walk::walk;
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
    solve_with(model, &mut Memory::new())
}

/// Solves the model, searching only those groups whose answer is not remembered.
/// What is remembered never changes the outcome.
///
/// # Errors
///
/// As [`solve`].
pub fn solve_with(model: &Model, memory: &mut Memory) -> Result<Outcome, Problem> {
    model.check()?;
    let all: Vec<ConstraintId> = (0..model.constraints.len()).map(ConstraintId).collect();
    let network = Network::of(model)?;
    let infeasible = |memory: &mut Memory| {
        let core = clash::core(&network, model, memory);
        Outcome::Infeasible {
            minimal: core.as_ref().is_some_and(|core| core.minimal),
            core: core.map_or(all.clone(), |core| core.demands),
        }
    };
    let Boiled::Groups { groups, .. } = network.boiled(&all, Minding::Nothing) else {
        return Ok(infeasible(memory));
    };
    let open = worth_buying(model, &groups, model.effort, memory);
    let Boiled::Groups { groups, .. } = network.boiled_from(open, &all, Minding::Cost) else {
        return Ok(infeasible(memory));
    };
    let mut choice = vec![0; model.variables.len()];
    let (mut bound, mut nodes, mut found) = (0, 0, true);
    for group in &groups {
        let answer = shared::answer(group, model.effort, memory);
        nodes += answer.nodes;
        if answer.bound >= NEVER {
            return Ok(infeasible(memory));
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
#[derive(Clone, Debug)]
pub(super) struct Answer {
    /// The best found, with its cost: for each variable of the group, which of the
    /// candidates the group leaves it.
    pub best: Option<(Weight, Vec<usize>)>,
    /// Nothing is cheaper: equal to the best when that is proven, [`NEVER`] when
    /// nothing holds.
    pub bound: Weight,
    /// How many partial choices were opened.
    pub nodes: u64,
}

impl Answer {
    /// The cost of the best found, [`NEVER`] when nothing was.
    pub fn ceiling(&self) -> Weight {
        self.best.as_ref().map_or(NEVER, |best| best.0)
    }
}

/// One way of looking for the best of a group, and of proving it.
#[derive(Clone, Copy, Debug)]
enum Step {
    /// By tables no larger than so many cells; what becomes of longer sums; and how
    /// many nodes it is given.
    Tables(usize, LongSums, u64),
    /// By the prices of the demands.
    Prices,
}

/// What is tried in turn; the last again and again, each time with twice the nodes,
/// while there is effort left.
///
/// Small tables settle what hangs together loosely, and what is left is for the
/// prices. Large tables are kept for what the prices leave unproven.
const STEPS: [Step; 5] = [
    Step::Tables(1 << 12, LongSums::LeftOut, 200),
    Step::Prices,
    Step::Tables(1 << 12, LongSums::BrokenUp, 2_000),
    Step::Tables(1 << 16, LongSums::BrokenUp, 10_000),
    Step::Tables(1 << 19, LongSums::BrokenUp, 20_000),
];

/// A group whose tables together hold no more combinations is eliminated outright.
const OUTRIGHT: usize = 1 << 21;

/// Searches one group.
///
/// What can be eliminated outright needs no search. Of the rest, once a choice is known,
/// every candidate with which nothing cheaper is possible goes, and what is left is
/// looked at again.
pub(super) fn search(group: &Group, effort: u64) -> Answer {
    search_by(&STEPS, OUTRIGHT, group, effort)
}

/// The tables of a group that can be eliminated outright.
pub(super) fn outright_tables(group: &Group) -> Option<Buckets> {
    Some(Buckets::whole(group, &outright(group, OUTRIGHT)?))
}

/// The best of a group by tables that hold everything.
pub(super) fn best_of(group: &Group, tables: &Buckets) -> Answer {
    let mut answer = Answer { best: None, bound: NEVER, nodes: 0 };
    if tables.least < NEVER {
        walk(group, tables, u64::MAX, &mut answer);
        answer.bound = answer.ceiling();
    }
    // A walk names candidates as the group's variables do, an answer by their place.
    if let Some((_, picked)) = &mut answer.best {
        for (at, (_, kept)) in picked.iter_mut().zip(&group.variables) {
            *at = kept.binary_search(at).expect("it was picked of them");
        }
    }
    answer
}

fn search_by(steps: &[Step], outright_most: usize, group: &Group, effort: u64) -> Answer {
    let mut answer = Answer { best: None, bound: 0, nodes: 0 };
    let mut group = group.clone();
    for ((_, kept), costs) in group.variables.iter_mut().zip(&group.costs) {
        *kept = (0..costs.len()).collect();
    }
    let (mut step, mut times) = (0, 1);
    while answer.nodes < effort {
        if let Some(order) = outright(&group, outright_most) {
            let buckets = Buckets::whole(&group, &order);
            if buckets.least < answer.ceiling() {
                walk(&group, &buckets, u64::MAX, &mut answer);
            }
            answer.bound = answer.ceiling();
            break;
        }
        let open = match steps[step] {
            Step::Tables(limit, long, nodes) => {
                let buckets = Buckets::of(&group, limit, long);
                let most = (nodes * times).min(effort - answer.nodes);
                let finished = buckets.least >= answer.ceiling() || walk(&group, &buckets, most, &mut answer);
                let ceiling = answer.ceiling();
                answer.bound = if finished { ceiling } else { answer.bound.max(buckets.least).min(ceiling) };
                if finished {
                    break;
                }
                let hopeful = |least: &Vec<Weight>| {
                    let open = least.iter().enumerate().filter(|(_, least)| **least < ceiling);
                    open.fold(0, |open, (at, _)| open | 1 << at)
                };
                buckets.least_with().iter().take(group.costs.len()).map(hopeful).collect()
            }
            Step::Prices => branch(&group, effort.div_ceil(2).min(effort - answer.nodes), &mut answer),
        };
        if answer.bound >= answer.ceiling() {
            break;
        }
        let Some(narrowed) = group.narrowed(open) else {
            answer.bound = answer.ceiling();
            break;
        };
        let size = |group: &Group| group.costs.iter().map(Vec::len).sum::<usize>();
        // A tenth fewer candidates is worth another round of tables at the same size.
        if size(&narrowed) * 10 > size(&group) * 9 || matches!(steps[step], Step::Prices) || step == 0 {
            times *= if step + 1 == steps.len() { 2 } else { 1 };
            step = (step + 1).min(steps.len() - 1);
        }
        group = narrowed;
    }
    answer
}

#[cfg(test)]
pub(super) mod tests {
    use num_rational::Ratio;
    use proptest::prelude::*;

    use super::*;
    use crate::measure::Length;
    use crate::metric::{Candidate, Demand, Linear, Purchase, PurchaseId, Variable, VariableId};

    /// Five sizes of four candidates; a long sum, a short one, two points apart
    /// and two shared purchases.
    pub fn crowded(steps: &[i64], bounds: &[i64]) -> Model {
        let purchases = ["drill", "reamer"].map(|name| Purchase { name: name.into(), points: 1 }).into();
        let mut model = Model { purchases, ..Model::default() };
        for (v, steps) in steps.chunks(4).enumerate() {
            let candidate = |(at, &step): (usize, &i64)| Candidate {
                value: Length::microns(10_000 + 100 * step),
                buys: if step % 3 == 0 { vec![PurchaseId((v + at) % 2)] } else { vec![] },
                departure: step.unsigned_abs() * (1 + v as u64),
                roughness: at as u32,
                label: at,
            };
            let candidates = steps.iter().enumerate().map(candidate).collect();
            model.variable(Variable { name: format!("size {v}"), drawn: Length::mm(10), candidates });
        }
        let sum = |of: &[usize]| {
            of.iter().fold(Linear::default(), |sum, &v| sum.plus(VariableId(v), Ratio::from_integer(1)))
        };
        let near = |count: i64, by: i64| Length::microns(10_000 * count + 100 * by);
        let both = |sum: Linear, middle: Length| Demand::Between {
            sum,
            least: Some(middle - Length::microns(100)),
            most: Some(middle + Length::microns(100)),
        };
        model.demand("long", "", both(sum(&[0, 1, 2, 3, 4]), near(5, bounds[0])));
        model.demand("short", "", Demand::at_least(sum(&[1, 3]), near(2, bounds[1])));
        let (along, across) = (sum(&[0, 1]), sum(&[2]));
        let reach = sum(&[3, 4]).less(&Linear::fixed(Length::microns(-2360 - 100 * bounds[2])));
        model.demand("apart", "", Demand::Apart { along, across, reach });
        model
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(80))]

        /// Tables so small that every bucket is parted and every sum broken up, and the
        /// prices alone, give the same optimum as tables that hold everything.
        #[test]
        fn every_way_proves_the_same_optimum(
            steps in prop::collection::vec(-9i64..=9, 20),
            bounds in prop::collection::vec(-9i64..=9, 3),
        ) {
            let model = crowded(&steps, &bounds);
            let all: Vec<ConstraintId> = (0..3).map(ConstraintId).collect();
            let network = Network::of(&model).unwrap();
            let Boiled::Groups { groups, .. } = network.boiled(&all, Minding::Cost) else { return Ok(()) };
            for group in &groups {
                let large = search(group, u64::MAX);
                let small = [8, 20, 64].map(|limit| Step::Tables(limit, LongSums::BrokenUp, 5));
                for step in small.into_iter().chain([Step::Prices]) {
                    let other = search_by(&[step], 0, group, u64::MAX);
                    prop_assert_eq!(other.bound, large.bound, "by {:?}", step);
                    prop_assert_eq!(other.best.map(|best| best.0), large.best.as_ref().map(|best| best.0));
                }
            }
        }
    }
}
