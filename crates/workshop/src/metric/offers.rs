//! One demand priced: given what each candidate costs, the least that a choice with
//! each candidate costs under this demand alone.
//!
//! Sums are gone through total by total, forwards and backwards, so that a sum of
//! many sizes costs no more than its totals are many. Two points apart are three such
//! sums, and for each pair of totals along and across the largest reach that still
//! holds is known beforehand. Where there are too many totals, neighbours are taken
//! together and the most favourable of them counts: the answer is then too low, never
//! too high.

use num_integer::Integer;

use super::factor::{Ask, Domain, Factor, Parts, each, full};
use super::partial::LongSum;

/// A packed cost; see [`super::packed`].
pub type Price = i64;

/// More than any price, and still safe to add to another.
pub const FAR: Price = 1 << 60;

/// The most totals told apart in a sum, and along one axis of two points.
const SUM_TOTALS: usize = 1024;
const AXIS_TOTALS: usize = 64;

/// The most combinations of a demand that is gone through one by one.
const COMBINATIONS: usize = 4096;

/// A demand made ready to be priced.
pub enum Offer {
    /// Two variables: for each candidate of the first, which of the second go with it.
    Pair(Vec<Domain>),
    /// The totals of a sum, and which of them hold.
    Sum(Sum, std::ops::Range<usize>),
    /// Two points apart.
    Apart(Box<Apart>),
    /// Every combination that holds, one candidate number a place.
    Listed(Vec<Vec<u8>>),
    /// Too large to price: it only narrows.
    Unpriced,
}

impl Offer {
    /// Of one factor; `sizes` is how many candidates each variable has.
    pub fn of(factor: &Factor, sizes: &[usize]) -> Self {
        let joint = factor.scope.iter().fold(1_usize, |joint, &v| joint.saturating_mul(sizes[v]));
        if let [a, b] = factor.scope[..]
            && joint <= COMBINATIONS
        {
            let holds = |at_a: usize, at_b: &usize| factor.holds_at(&[at_a, *at_b]);
            let row = |at_a: usize| {
                (0..sizes[b]).filter(|at_b| holds(at_a, at_b)).fold(0, |row, at_b| row | 1 << at_b)
            };
            return Self::Pair((0..sizes[a]).map(row).collect());
        }
        match &factor.ask {
            Ask::Sum { parts, low, high } => Self::sum(parts, *low, *high),
            Ask::Apart { along, across, reach } => match Apart::of(along, across, reach) {
                Some(apart) => Self::Apart(Box::new(apart)),
                // A size that counts along more than one axis: the sum that must hold too.
                None => match LongSum::of(factor, sizes) {
                    Some(sum) => Self::sum(&sum.parts, sum.low, sum.high),
                    None => Self::Unpriced,
                },
            },
            _ if joint <= COMBINATIONS => Self::listed(factor, sizes, joint),
            _ => Self::Unpriced,
        }
    }

    fn sum(parts: &Parts, low: i128, high: i128) -> Self {
        let places: Vec<usize> = (0..parts.rows.len()).collect();
        let sum = Sum::of(parts, &places, high, SUM_TOTALS);
        let holds = sum.between(low, high);
        Self::Sum(sum, holds)
    }

    fn listed(factor: &Factor, sizes: &[usize], joint: usize) -> Self {
        let mut combination = vec![0; factor.scope.len()];
        let mut listed = Vec::new();
        for mut at in 0..joint {
            for (digit, &v) in combination.iter_mut().zip(&factor.scope).rev() {
                *digit = at % sizes[v];
                at /= sizes[v];
            }
            if factor.holds_at(&combination) {
                listed.push(combination.iter().map(|&at| at as u8).collect());
            }
        }
        Self::Listed(listed)
    }

    /// The least cost with each candidate of each place, [`FAR`] where none holds.
    /// `costs` are by place and candidate; `open` says which of them count.
    pub fn least(&self, costs: &[Vec<Price>], open: &[Domain], least: &mut [Vec<Price>]) {
        least.iter_mut().for_each(|least| least.fill(FAR));
        match self {
            Self::Pair(rows) => {
                for a in each(open[0]) {
                    for b in each(open[1] & rows[a]) {
                        let cost = costs[0][a] + costs[1][b];
                        least[0][a] = least[0][a].min(cost);
                        least[1][b] = least[1][b].min(cost);
                    }
                }
            }
            Self::Sum(sum, holds) => {
                let mut after = vec![FAR; sum.totals];
                after[holds.clone()].fill(0);
                sum.least_with(costs, open, &after, least);
            }
            Self::Apart(apart) => apart.least(costs, open, least),
            Self::Listed(listed) => {
                for combination in listed {
                    let places = || combination.iter().map(|&at| usize::from(at)).enumerate();
                    if places().all(|(place, at)| open[place] >> at & 1 == 1) {
                        let cost = places().map(|(place, at)| costs[place][at]).sum();
                        places().for_each(|(place, at)| least[place][at] = least[place][at].min(cost));
                    }
                }
            }
            Self::Unpriced => {
                for place in 0..costs.len() {
                    each(open[place]).for_each(|at| least[place][at] = costs[place][at]);
                }
            }
        }
    }
}

/// A sum by its totals, counted in even steps from the least of them.
pub struct Sum {
    /// For each part of the sum, its place and how many steps each candidate adds.
    parts: Vec<(usize, Vec<usize>)>,
    /// How many totals there are.
    pub totals: usize,
    least: i128,
    step: i128,
    /// By how much a total may be more than its steps say.
    slack: i128,
}

impl Sum {
    /// Of some places; totals above `high` are not asked for, and no more than `most`
    /// are told apart.
    fn of(parts: &Parts, places: &[usize], high: i128, most: usize) -> Self {
        let rows: Vec<&Vec<i128>> = places.iter().map(|&place| &parts.rows[place]).collect();
        let low = |row: &Vec<i128>| row.iter().copied().min().unwrap_or(0);
        let span = |row: &&Vec<i128>| row.iter().copied().max().unwrap_or(0) - low(row);
        let least = parts.offset + rows.iter().map(|row| low(row)).sum::<i128>();
        // Parts only add to the least total, so one past the highest never comes back.
        let span = rows.iter().map(span).sum::<i128>().min((high - least).max(0));
        let parted = rows.iter().flat_map(|row| row.iter().map(|part| part - low(row)));
        let common = parted.fold(0, |common: i128, part| common.gcd(&part)).max(1);
        let coarse = span / (most as i128 - 1) + 1;
        let step = if span / common < most as i128 { common } else { coarse };
        let slack = if step == common { 0 } else { (step - 1) * rows.len() as i128 };
        let steps = |row: &Vec<i128>| row.iter().map(|part| ((part - low(row)) / step) as usize).collect();
        let counted: Vec<Vec<usize>> = rows.iter().map(|row| steps(row)).collect();
        let totals = (span / step) as usize + 1;
        Self { parts: places.iter().copied().zip(counted).collect(), totals, least, step, slack }
    }

    /// The totals that may lie between two lengths.
    fn between(&self, low: i128, high: i128) -> std::ops::Range<usize> {
        let last = self.totals as i128 - 1;
        let from = Integer::div_ceil(&(low - self.slack - self.least), &self.step).clamp(0, last + 1);
        let to = (Integer::div_floor(&(high - self.least), &self.step) + 1).clamp(from, last + 1);
        from as usize..to as usize
    }

    /// The least and most that a total may stand for.
    fn stands_for(&self, total: usize) -> (i128, i128) {
        let least = self.least + self.step * total as i128;
        (least, least + self.slack)
    }

    /// The least cost of each total.
    fn least(&self, costs: &[Vec<Price>], open: &[Domain]) -> Vec<Vec<Price>> {
        let mut first = vec![FAR; self.totals];
        first[0] = 0;
        let mut all = vec![first];
        let mut reached = 1;
        for (place, steps) in &self.parts {
            let before = &all[all.len() - 1];
            let mut next = vec![FAR; self.totals];
            for at in each(open[*place]) {
                let (step, cost) = (steps[at].min(self.totals), costs[*place][at]);
                for (next, before) in next[step..].iter_mut().zip(&before[..reached]) {
                    *next = (*next).min(before + cost);
                }
            }
            next.iter_mut().for_each(|cost| *cost = if *cost > FAR / 2 { FAR } else { *cost });
            reached = (reached + each(open[*place]).map(|at| steps[at]).max().unwrap_or(0)).min(self.totals);
            all.push(next);
        }
        all
    }

    /// The least cost with each candidate, when a total costs `after` besides.
    fn least_with(&self, costs: &[Vec<Price>], open: &[Domain], after: &[Price], least: &mut [Vec<Price>]) {
        let before = self.least(costs, open);
        let mut after = after.to_vec();
        for ((place, steps), before) in self.parts.iter().zip(&before).rev() {
            let mut sooner = vec![FAR; self.totals];
            for at in each(open[*place]) {
                let (step, cost) = (steps[at].min(self.totals), costs[*place][at]);
                let mut best = FAR;
                for ((sooner, after), before) in sooner.iter_mut().zip(&after[step..]).zip(before) {
                    best = best.min(before + after);
                    *sooner = (*sooner).min(after + cost);
                }
                least[*place][at] = if best > FAR / 2 { FAR } else { best + cost };
            }
            sooner.iter_mut().for_each(|cost| *cost = if *cost > FAR / 2 { FAR } else { *cost });
            after = sooner;
        }
    }
}

/// Two points apart: the sums along, across and of the reach.
pub struct Apart {
    sums: [Sum; 3],
    /// For each total along and across, how many of the totals of the reach hold.
    holds: Vec<usize>,
}

impl Apart {
    /// `None` when a size counts in more than one of the sums.
    fn of(along: &Parts, across: &Parts, reach: &Parts) -> Option<Self> {
        let three = [along, across, reach];
        let counts = |parts: &Parts, place: usize| parts.rows[place].iter().any(|part| *part != 0);
        let mut places = [const { Vec::new() }; 3];
        for place in 0..along.rows.len() {
            let mut within = (0..3).filter(|&at| counts(three[at], place));
            places[within.next().unwrap_or(0)].push(place);
            if within.next().is_some() {
                return None;
            }
        }
        let sums = [0, 1, 2].map(|at| Sum::of(three[at], &places[at], i128::MAX / 2, AXIS_TOTALS));
        let far = |sum: &Sum, total| {
            let (least, most) = sum.stands_for(total);
            (least * least).max(most * most)
        };
        let mut holds = Vec::with_capacity(sums[0].totals * sums[1].totals);
        for x in 0..sums[0].totals {
            for y in 0..sums[1].totals {
                let square = far(&sums[0], x) + far(&sums[1], y);
                let enough = |r: &usize| {
                    let least = sums[2].stands_for(*r).0.max(0);
                    least * least <= square
                };
                holds.push((0..sums[2].totals).take_while(enough).count());
            }
        }
        Some(Self { sums, holds })
    }

    fn least(&self, costs: &[Vec<Price>], open: &[Domain], least: &mut [Vec<Price>]) {
        let [x, y, r] = [0, 1, 2].map(|at| self.sums[at].least(costs, open).pop().unwrap_or_default());
        // Of the reaches up to each, the cheapest.
        let mut cheapest = vec![FAR; r.len() + 1];
        for (at, cost) in r.iter().enumerate() {
            cheapest[at + 1] = cheapest[at].min(*cost);
        }
        let [mut with_x, mut with_y] = [vec![FAR; x.len()], vec![FAR; y.len()]];
        let mut with_r = vec![FAR; r.len() + 1];
        for (at_x, &cost_x) in x.iter().enumerate().filter(|(_, cost)| **cost < FAR) {
            let holds = &self.holds[at_x * y.len()..][..y.len()];
            for ((at_y, &cost_y), &holds) in y.iter().enumerate().zip(holds) {
                let rest = cheapest[holds];
                with_x[at_x] = with_x[at_x].min(cost_y + rest);
                with_y[at_y] = with_y[at_y].min(cost_x + rest);
                with_r[holds] = with_r[holds].min(cost_x + cost_y);
            }
        }
        for at in (1..r.len()).rev() {
            with_r[at] = with_r[at].min(with_r[at + 1]);
        }
        with_r.remove(0);
        for (sum, with) in self.sums.iter().zip([with_x, with_y, with_r]) {
            let with: Vec<Price> = with.into_iter().map(|cost| cost.min(FAR)).collect();
            sum.least_with(costs, open, &with, least);
        }
    }
}

/// All candidates of variables with so many of them.
pub fn all_open(sizes: &[usize]) -> Vec<Domain> {
    sizes.iter().map(|&size| full(size)).collect()
}
