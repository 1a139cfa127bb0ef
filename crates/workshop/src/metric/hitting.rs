//! The fewest points that meet every need.
//!
//! A need is a list of things of which one at least has to be bought. Needs that share
//! nothing have nothing to do with one another and are met apart. What is left is
//! searched: a need with the fewest things is met by each of them in turn, and under the
//! bound that its things' prices, shared out over the needs, come to.
//!
//! Source: the dual ascent bound of set covering, Erlenkotter (1978) for the like
//! problem of where to stand depots. From memory.

use std::collections::{BTreeMap, BTreeSet};

/// Things, by number.
pub type Things = BTreeSet<usize>;

/// The most steps of one search.
const MOST_STEPS: usize = 50_000;

/// The sets of things that meet some needs for the fewest points.
pub struct Met {
    /// No set comes to fewer points.
    pub least: u64,
    /// Sets that come to the fewest known, in order of finding.
    pub sets: Vec<Things>,
    /// True when these are all of the sets that come to the fewest points.
    pub all: bool,
}

/// Parts needs into those that have nothing to do with one another.
pub fn apart(needs: &BTreeSet<Things>) -> Vec<Vec<&Things>> {
    let mut apart: Vec<(Things, Vec<&Things>)> = Vec::new();
    for need in needs {
        let (with, others): (Vec<_>, Vec<_>) =
            apart.into_iter().partition(|(things, _)| !things.is_disjoint(need));
        apart = others;
        let mut joined = (need.clone(), Vec::new());
        for (things, needs) in with {
            joined.0.extend(things);
            joined.1.extend(needs);
        }
        joined.1.push(need);
        apart.push(joined);
    }
    let mut apart: Vec<Vec<&Things>> = apart.into_iter().map(|(_, needs)| needs).collect();
    apart.sort();
    apart
}

/// Seeks up to `most` of the sets that meet these needs for the fewest points.
pub fn met(needs: &[&Things], prices: &[u64], most: usize) -> Met {
    let mut least: Vec<&Things> = needs.to_vec();
    least.sort_by_key(|need| need.len());
    let mut kept: Vec<&Things> = Vec::new();
    for need in least {
        // What meets a smaller need meets those that hold all of it.
        if !kept.iter().any(|smaller| smaller.is_subset(need)) {
            kept.push(need);
        }
    }
    let needs: Vec<Vec<usize>> = kept.iter().map(|need| need.iter().copied().collect()).collect();
    let floor = shared_out(&needs, prices);
    let mut search = Search { prices, most, fewest: u64::MAX, sets: Vec::new(), steps: 0, all: true };
    search.down(&needs, &mut Vec::new(), 0);
    let finished = search.steps < MOST_STEPS;
    Met {
        least: if finished { search.fewest } else { floor },
        sets: search.sets,
        all: search.all && finished,
    }
}

/// No set that meets these needs comes to fewer points: each need in turn takes as much of
/// the price of its things as all of them have left.
fn shared_out(needs: &[Vec<usize>], prices: &[u64]) -> u64 {
    let mut taken: BTreeMap<usize, u64> = BTreeMap::new();
    let mut sum = 0;
    for need in needs {
        let left = |thing: &usize| prices[*thing] - taken.get(thing).copied().unwrap_or(0);
        let share = need.iter().map(left).min().unwrap_or(0);
        need.iter().for_each(|&thing| *taken.entry(thing).or_default() += share);
        sum += share;
    }
    sum
}

struct Search<'a> {
    prices: &'a [u64],
    most: usize,
    fewest: u64,
    sets: Vec<Things>,
    steps: usize,
    all: bool,
}

impl Search<'_> {
    /// Meets the needs that are left, those with the fewest things first.
    fn down(&mut self, needs: &[Vec<usize>], bought: &mut Vec<usize>, paid: u64) {
        // One set is found whatever it takes: the first way down needs no more steps than needs.
        if self.steps >= MOST_STEPS && self.fewest < u64::MAX {
            return;
        }
        self.steps += 1;
        let floor = paid + shared_out(needs, self.prices);
        let full = self.sets.len() >= self.most;
        if floor > self.fewest || (floor == self.fewest && full) {
            self.all &= floor > self.fewest;
            return;
        }
        let Some(need) = needs.iter().min_by_key(|need| need.len()) else {
            if paid < self.fewest {
                self.fewest = paid;
                self.sets.clear();
                self.all = true;
            }
            self.sets.push(bought.iter().copied().collect());
            return;
        };
        let meets = |thing: usize| needs.iter().filter(|need| need.contains(&thing)).count();
        let mut order: Vec<(u64, usize)> =
            need.iter().map(|&thing| (self.prices[thing] / meets(thing) as u64, thing)).collect();
        order.sort_unstable();
        let mut left: Vec<Vec<usize>> = needs.to_vec();
        for (_, thing) in order {
            let rest: Vec<Vec<usize>> = left.iter().filter(|need| !need.contains(&thing)).cloned().collect();
            bought.push(thing);
            self.down(&rest, bought, paid + self.prices[thing]);
            bought.pop();
            // Every set with it has been looked at.
            left.iter_mut().for_each(|need| need.retain(|&other| other != thing));
            if left.iter().any(Vec::is_empty) {
                return;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        /// Every set of things tried in turn.
        #[test]
        fn the_sets_found_are_all_of_the_cheapest(
            needs in prop::collection::btree_set(prop::collection::btree_set(0usize..9, 1..4), 1..7),
            prices in prop::collection::vec(1u64..4, 9),
        ) {
            let every = (0u32..1 << 9).map(|bits| (0..9).filter(|at| bits >> at & 1 == 1).collect::<Things>());
            let meeting: Vec<Things> =
                every.filter(|set| needs.iter().all(|need| !need.is_disjoint(set))).collect();
            let points = |set: &Things| set.iter().map(|&thing| prices[thing]).sum::<u64>();
            let fewest = meeting.iter().map(points).min().unwrap();
            let cheapest: BTreeSet<Things> =
                meeting.into_iter().filter(|set| points(set) == fewest).collect();

            let together: Vec<&Things> = needs.iter().collect();
            let found = met(&together, &prices, usize::MAX);
            prop_assert!(found.all);
            prop_assert_eq!(found.least, fewest);
            prop_assert_eq!(&found.sets.into_iter().collect::<BTreeSet<_>>(), &cheapest);

            let mut sum = 0;
            for needs in apart(&needs) {
                let one = met(&needs, &prices, 1);
                prop_assert!(!one.sets.is_empty());
                sum += one.least;
            }
            prop_assert_eq!(sum, fewest);
            prop_assert!(cheapest.len() == 1 || !met(&together, &prices, 1).all);
        }
    }
}
