//! The walk down and back through the choices, in the order the tables give, by the
//! bound they give.

use super::bucket::Buckets;
use super::factor::{Domain, Factor, full};
use super::narrow::{Readers, settle};
use super::network::{Group, NEVER, Weight};
use super::polish::polish;
use super::search::Answer;

/// Walks one group with the tables given, bettering the answer; false when the
/// node limit cut it short.
pub fn walk(group: &Group, buckets: &Buckets, most: u64, answer: &mut Answer) -> bool {
    let factors: Vec<&Factor> =
        group.factors.iter().chain(&buckets.ties).filter(|_| !buckets.exact).collect();
    let readers = Readers::of(buckets.sizes.len(), factors.iter().copied());
    let mut walk = Walk {
        group,
        buckets,
        factors,
        readers,
        choice: vec![0; buckets.sizes.len()],
        best: answer.best.take(),
        nodes: 0,
        most,
    };
    let open: Vec<Domain> = buckets.sizes.iter().map(|&size| full(size)).collect();
    let finished = walk.down(0, buckets.least, &open);
    answer.nodes += walk.nodes;
    answer.best = walk.best;
    finished
}

/// One walk down and back through the choices.
struct Walk<'a> {
    group: &'a Group,
    buckets: &'a Buckets,
    /// What must be minded as the walk goes: nothing where the bound is exact.
    factors: Vec<&'a Factor>,
    readers: Readers,
    choice: Vec<usize>,
    best: Option<(Weight, Vec<usize>)>,
    nodes: u64,
    most: u64,
}

impl Walk<'_> {
    fn ceiling(&self) -> Weight {
        self.best.as_ref().map_or(NEVER, |best| best.0)
    }

    /// Tries everything below; false when the node limit cut it short.
    fn down(&mut self, depth: usize, bound: Weight, open: &[Domain]) -> bool {
        if bound >= self.ceiling() {
            return true;
        }
        let Some(bucket) = self.buckets.order.get(depth) else {
            let mut choice = self.choice[..self.group.costs.len()].to_vec();
            let cost = if self.buckets.exact { bound } else { polish(self.group, &mut choice) };
            let picked = self.group.variables.iter().zip(choice).map(|((_, kept), at)| kept[at]);
            self.best = Some((cost, picked.collect()));
            return true;
        };
        let variable = bucket.variable;
        let mut next = self.buckets.bounds(depth, &mut self.choice, bound);
        next.retain(|&(bound, at)| bound < self.ceiling() && open[variable] >> at & 1 == 1);
        next.sort_unstable();
        for (bound, candidate) in next {
            if bound >= self.ceiling() {
                break;
            }
            if self.nodes >= self.most {
                return false;
            }
            self.nodes += 1;
            self.choice[variable] = candidate;
            let mut left = open.to_vec();
            left[variable] = 1 << candidate;
            if self.narrowed(variable, &mut left) && !self.down(depth + 1, bound, &left) {
                return false;
            }
        }
        true
    }

    /// Takes out what the choice of one variable rules out; false when some
    /// variable has nothing left.
    fn narrowed(&self, variable: usize, open: &mut [Domain]) -> bool {
        let waiting = self.readers.of_variable(variable).iter().copied().collect();
        settle(&self.factors, &self.readers, waiting, open, |_, _, _| ())
    }
}
