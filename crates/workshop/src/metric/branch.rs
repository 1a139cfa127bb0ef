//! The search of the hard groups: one size fixed at a time, the bound of the
//! [`prices`](super::prices) brought up to date at each.
//!
//! Where things may have to be bought, that is searched first and by itself: how few
//! points there can be. Then the points become one demand more, and the rest is
//! searched under it. Kept apart, half a tool bought in the bound of the one is not
//! set off against departures in the other.

use super::factor::{Ask, Domain, Factor, Parts, each};
use super::model::{Cost, Judgement};
use super::network::{Group, NEVER, Weight, unweigh, weigh};
use super::offers::Price;
use super::polish::polish;
use super::prices::{Market, Patience, Prices};
use super::search::Answer;

/// So many bids of demands count as one node.
const BIDS: u64 = 4;

/// Searches one group for up to `most` nodes, bettering the answer. Gives what is
/// still open: candidates with which something cheaper may be possible.
pub fn branch(group: &Group, most: u64, answer: &mut Answer) -> Vec<Domain> {
    let buying = staged(group, points_of);
    let free = buying.costs.iter().all(|costs| costs.iter().all(|cost| *cost == costs[0]));
    let few = if free {
        let floor = buying.costs.iter().map(|costs| costs[0]).sum();
        Searched { floor, open: vec![0; group.costs.len()] }
    } else {
        Branch::search(group, &buying, points_of, most / 2, answer)
    };
    let ceiling = answer.ceiling();
    if !free && ceiling >= NEVER {
        answer.bound = answer.bound.max(few.floor);
        return few.open;
    }
    let mut rest = staged(group, rest_of);
    if !free {
        rest.factors.push(no_more_points(&buying, points_of(ceiling)));
    }
    let searched = Branch::search(group, &rest, rest_of, most - most / 2, answer);
    // Where fewer points may still do, nothing is known of the rest.
    let fewer = !free && few.floor < points_of(ceiling);
    let bound = match (fewer, searched.floor) {
        (true, _) => few.floor,
        (false, NEVER..) => NEVER,
        (false, floor) => few.floor + floor,
    };
    answer.bound = answer.bound.max(bound).min(answer.ceiling());
    let besides = |(open, few): (&Domain, &Domain)| if fewer { open | few } else { *open };
    searched.open.iter().zip(&few.open).map(besides).collect()
}

/// The points of a cost alone.
fn points_of(cost: Weight) -> Weight {
    weigh(Cost { buy: unweigh(cost).buy, ..Cost::default() })
}

/// A cost but for its points.
fn rest_of(cost: Weight) -> Weight {
    cost - points_of(cost)
}

/// The group with only a part of its costs.
fn staged(group: &Group, part: fn(Weight) -> Weight) -> Group {
    let costs = group.costs.iter().map(|costs| costs.iter().map(|&cost| part(cost)).collect());
    Group { costs: costs.collect(), ..group.clone() }
}

/// The demand that the points together are no more than these.
fn no_more_points(buying: &Group, most: Weight) -> Factor {
    let points = |cost: &Weight| i128::from(unweigh(*cost).buy);
    let costs = buying.costs.iter().enumerate();
    let paid = costs.filter(|(_, costs)| costs.iter().any(|cost| *cost != 0));
    let (scope, rows) = paid.map(|(v, costs)| (v, costs.iter().map(points).collect())).unzip();
    Factor { scope, ask: Ask::Sum { parts: Parts { offset: 0, rows }, low: 0, high: points(&most) } }
}

/// What is known after a search of one stage.
struct Searched {
    /// No choice has less of this part of the cost; [`NEVER`] when there is no choice.
    floor: Weight,
    /// The candidates with which something cheaper may be possible.
    open: Vec<Domain>,
}

/// Above every bound.
pub const ANY: Price = 1 << 58;

struct Branch<'a> {
    /// With all its costs.
    group: &'a Group,
    market: &'a Market<'a>,
    /// The part of the costs this stage minds.
    part: fn(Weight) -> Weight,
    answer: &'a mut Answer,
    /// How often fixing each variable came to nothing, one besides.
    fails: Vec<u64>,
    /// What is left at the first fork.
    root: Prices,
    limit: Price,
    /// Nodes and bids so far, and the most, in bids.
    spent: u64,
    most: u64,
}

impl<'a> Branch<'a> {
    fn search(
        group: &'a Group,
        stage: &Group,
        part: fn(Weight) -> Weight,
        most: u64,
        answer: &'a mut Answer,
    ) -> Searched {
        let market = Market::of(stage);
        let mut branch = Branch {
            group,
            market: &market,
            part,
            answer,
            fails: vec![1; group.costs.len()],
            root: market.first(),
            limit: ANY,
            spent: 0,
            most: most.saturating_mul(BIDS),
        };
        branch.limit = branch.limit();
        let mut prices = market.first();
        let mut queue = market.everyone();
        let patience = Patience { gain: 0, bids: branch.rounds(60) };
        let open = market.cut(&mut prices, branch.limit, &mut queue)
            && market.bid(&mut prices, branch.limit, queue, patience, &mut branch.spent);
        branch.root = prices.clone();
        let finished = !open || branch.down(prices, 0);
        let ceiling = branch.answer.ceiling();
        let ceiling = if ceiling >= NEVER { NEVER } else { part(ceiling) };
        let floor = market.packing.unpacked(branch.root.floor).min(ceiling);
        let searched =
            Searched { floor: if finished { ceiling } else { floor }, open: branch.root.open.clone() };
        branch.answer.nodes += branch.spent.div_ceil(BIDS).min(most);
        searched
    }

    /// A bound above it rules out everything cheaper than the best known.
    fn limit(&self) -> Price {
        let ceiling = self.answer.ceiling();
        if ceiling >= NEVER { ANY } else { self.market.packing.limit((self.part)(ceiling)) }
    }

    /// So many bids as let every demand bid so many times, within the effort.
    fn rounds(&self, times: u64) -> u64 {
        let demands = self.market.group.factors.len().max(8) as u64;
        (times * demands).min(self.most.saturating_sub(self.spent))
    }

    /// Tries everything still open; false when the effort ran out.
    fn down(&mut self, mut prices: Prices, depth: usize) -> bool {
        loop {
            if depth == 0 {
                self.root.clone_from(&prices);
            }
            let Some((variable, at)) = self.next(&prices) else {
                self.found(&prices);
                return true;
            };
            if self.spent >= self.most {
                return false;
            }
            let mut with = prices.clone();
            with.open[variable] = 1 << at;
            if self.settled(&mut with, variable) {
                if !self.down(with, depth + 1) {
                    return false;
                }
            } else {
                self.fails[variable] += 1;
            }
            prices.open[variable] &= !(1 << at);
            if !self.settled(&mut prices, variable) {
                return true;
            }
        }
    }

    /// Lets the demands bid after a variable has lost candidates.
    fn settled(&mut self, prices: &mut Prices, variable: usize) -> bool {
        let patience = Patience { gain: (self.limit - prices.floor).max(0) / 64, bids: self.rounds(2) };
        self.spent += BIDS;
        let mut queue = self.market.reading(variable);
        self.market.refreshed(prices, variable)
            && self.market.cut(prices, self.limit, &mut queue)
            && self.market.bid(prices, self.limit, queue, patience, &mut self.spent)
    }

    /// The size to fix next, and the candidate to try first: where the second best
    /// would cost most, few are left, and fixing has failed before.
    fn next(&self, prices: &Prices) -> Option<(usize, usize)> {
        let mut next: Option<(u128, usize, usize)> = None;
        for (v, &open) in prices.open.iter().enumerate().filter(|(_, open)| !open.is_power_of_two()) {
            let price = |at| self.market.price(prices, v, at);
            let best = each(open).min_by_key(|&at| price(at))?;
            let second = each(open).filter(|&at| at != best).map(price).min().unwrap_or(0);
            let regret = (second - price(best)) as u128 + 1;
            let merit = regret * u128::from(self.fails[v]) / u128::from(open.count_ones());
            if next.is_none_or(|(before, ..)| merit > before) {
                next = Some((merit, v, best));
            }
        }
        next.map(|(_, v, at)| (v, at))
    }

    /// Every size is fixed: a choice, unless some demand that narrows badly breaks.
    fn found(&mut self, prices: &Prices) {
        let factors = &self.market.group.factors;
        if factors.iter().any(|factor| factor.judge(&prices.open) != Judgement::Holds) {
            return;
        }
        let mut choice: Vec<usize> = prices.open.iter().map(|open| open.trailing_zeros() as usize).collect();
        let cost = polish(self.group, &mut choice);
        if cost < self.answer.ceiling() {
            let picked = self.group.variables.iter().zip(choice).map(|((_, kept), at)| kept[at]);
            self.answer.best = Some((cost, picked.collect()));
            self.limit = self.limit();
        }
    }
}
