//! The lower bound of the hard groups: every demand bids for the cost of its sizes.
//!
//! Each candidate's cost is shared out among the demands that read its variable, and
//! each demand by itself asks what its share comes to at the least. Whatever the
//! shares, those least costs together are no more than any choice costs; so the
//! shares are moved, demand by demand, to where the bound is highest. A candidate with
//! which the bound would pass the best choice known goes, and the shares move again.
//!
//! Why it is sound: the shares of a candidate always add up to its cost. A demand's
//! new share for a candidate is an even part of the least that a choice with that
//! candidate costs under the demand; the parts of the sizes of any choice that holds
//! then come to no more than that choice costs under it. So what is left with the
//! demand is never less than nought, and the bound counts it as nought.
//!
//! Sources: dual decomposition with matched minima (message passing for linear
//! programming relaxations), Globerson and Jaakkola (2007); reduced-cost fixing.
//! From memory.

use std::collections::VecDeque;

use super::factor::{Domain, Factor, each};
use super::narrow::Readers;
use super::network::Group;
use super::offers::{FAR, Offer, Price, all_open};
use super::packed::Packing;

/// A group made ready.
pub struct Market<'a> {
    pub group: &'a Group,
    pub packing: Packing,
    offers: Vec<Offer>,
    readers: Readers,
    /// Where each variable's candidates begin.
    starts: Vec<usize>,
    /// Where each demand's shares begin.
    shares: Vec<usize>,
    first: Prices,
}

/// What is left open, and how the costs are shared out.
#[derive(Clone)]
pub struct Prices {
    pub open: Vec<Domain>,
    /// What each candidate still costs apart from the shares of the demands.
    left: Vec<Price>,
    /// What each demand has taken (or given, less than nought).
    taken: Vec<Price>,
    /// The least of each variable's candidates.
    lowest: Vec<Price>,
    /// No choice costs less.
    pub floor: Price,
}

/// How long the shares are moved.
#[derive(Clone, Copy)]
pub struct Patience {
    /// A demand whose bid raised the floor by less calls no others.
    pub gain: Price,
    /// The most bids.
    pub bids: u64,
}

impl<'a> Market<'a> {
    pub fn of(group: &'a Group) -> Self {
        let sizes: Vec<usize> = group.costs.iter().map(Vec::len).collect();
        let packing = Packing::of(&group.costs);
        let offers = group.factors.iter().map(|factor| Offer::of(factor, &sizes)).collect();
        let run = |lengths: &mut dyn Iterator<Item = usize>| -> Vec<usize> {
            let mut at = 0;
            std::iter::once(0)
                .chain(lengths.map(|length| {
                    at += length;
                    at
                }))
                .collect()
        };
        let starts = run(&mut sizes.iter().copied());
        let scope = |factor: &Factor| factor.scope.iter().map(|&v| sizes[v]).sum();
        let shares = run(&mut group.factors.iter().map(scope));
        let left: Vec<Price> = group.costs.iter().flatten().map(|&cost| packing.price(cost)).collect();
        let taken = vec![0; shares[shares.len() - 1]];
        let mut first =
            Prices { open: all_open(&sizes), left, taken, lowest: vec![0; sizes.len()], floor: 0 };
        let readers = Readers::of(sizes.len(), &group.factors);
        for v in 0..sizes.len() {
            let costs = &first.left[starts[v]..starts[v + 1]];
            first.lowest[v] = costs.iter().copied().min().unwrap_or(0);
            first.floor += first.lowest[v];
        }
        Self { group, packing, offers, readers, starts, shares, first }
    }

    /// Before any bid.
    pub fn first(&self) -> Prices {
        self.first.clone()
    }

    /// Every demand.
    pub fn everyone(&self) -> VecDeque<usize> {
        (0..self.offers.len()).collect()
    }

    /// Those that read one variable.
    pub fn reading(&self, variable: usize) -> VecDeque<usize> {
        self.readers.of_variable(variable).iter().copied().collect()
    }

    /// What a candidate costs as the shares stand.
    pub fn price(&self, prices: &Prices, variable: usize, at: usize) -> Price {
        prices.left[self.starts[variable] + at]
    }

    /// Brings the floor up to date after candidates of a variable went; false when
    /// none is left.
    pub fn refreshed(&self, prices: &mut Prices, variable: usize) -> bool {
        let lowest = each(prices.open[variable]).map(|at| self.price(prices, variable, at)).min();
        let Some(lowest) = lowest else { return false };
        prices.floor += lowest - prices.lowest[variable];
        prices.lowest[variable] = lowest;
        true
    }

    /// What the bound is, as the shares stand, when only these candidates are open; nothing
    /// when none is of some variable.
    pub fn floor_with(&self, prices: &Prices, open: &[Domain]) -> Option<Price> {
        let lowest = |v: usize| each(prices.open[v] & open[v]).map(|at| self.price(prices, v, at)).min();
        (0..open.len()).map(lowest).sum()
    }

    /// Takes out every candidate that is too dear by itself; false when the bound is
    /// above the limit. Those that read what changed join the queue.
    pub fn cut(&self, prices: &mut Prices, limit: Price, queue: &mut VecDeque<usize>) -> bool {
        if prices.floor > limit {
            return false;
        }
        for v in 0..prices.open.len() {
            let room = limit - (prices.floor - prices.lowest[v]);
            let dear = each(prices.open[v]).filter(|&at| self.price(prices, v, at) > room);
            let gone = dear.fold(0, |gone, at| gone | 1 << at);
            if gone != 0 {
                prices.open[v] &= !gone;
                queue.extend(self.readers.of_variable(v));
            }
        }
        true
    }

    /// Lets the demands waiting bid, and those whose sizes that changes; false when
    /// nothing within the limit is left.
    pub fn bid(
        &self,
        prices: &mut Prices,
        limit: Price,
        queue: VecDeque<usize>,
        patience: Patience,
        bids: &mut u64,
    ) -> bool {
        let mut most = patience.bids;
        let mut waiting = vec![false; self.offers.len()];
        let mut must = vec![false; self.offers.len()];
        let mut line = VecDeque::with_capacity(queue.len());
        for at in queue {
            if !std::mem::replace(&mut waiting[at], true) {
                line.push_back(at);
            }
            must[at] = true;
        }
        let mut desk = Desk::default();
        while let Some(at) = line.pop_front() {
            waiting[at] = false;
            if most == 0 && !must[at] {
                continue;
            }
            must[at] = false;
            let scope = &self.group.factors[at].scope;
            desk.before.clear();
            desk.before.extend(scope.iter().map(|&v| prices.open[v]));
            let floor = prices.floor;
            if self.group.factors[at].narrow(&mut prices.open)
                && !scope.iter().all(|&v| self.refreshed(prices, v))
            {
                return false;
            }
            if most > 0 {
                most -= 1;
                *bids += 1;
                if !self.bid_of(at, prices, limit, &mut desk) {
                    return false;
                }
            }
            if prices.floor > limit {
                return false;
            }
            let gained = prices.floor - floor > patience.gain;
            for (&v, &before) in scope.iter().zip(&desk.before) {
                let lost = prices.open[v] != before;
                if !lost && !gained {
                    continue;
                }
                for &reader in self.readers.of_variable(v) {
                    must[reader] |= lost;
                    if (reader != at || lost) && !std::mem::replace(&mut waiting[reader], true) {
                        line.push_back(reader);
                    }
                }
            }
        }
        true
    }

    /// One demand's bid; false when nothing is left of some variable.
    fn bid_of(&self, at: usize, prices: &mut Prices, limit: Price, desk: &mut Desk) -> bool {
        let scope = &self.group.factors[at].scope;
        if matches!(self.offers[at], Offer::Unpriced) {
            return true;
        }
        desk.lay_out(scope.len());
        let mut share = self.shares[at];
        let mut rest = prices.floor;
        for (place, &v) in scope.iter().enumerate() {
            let size = self.starts[v + 1] - self.starts[v];
            let left = &prices.left[self.starts[v]..][..size];
            let taken = &prices.taken[share..][..size];
            desk.costs[place].clear();
            desk.costs[place].extend(left.iter().zip(taken).map(|(left, taken)| left + taken));
            desk.least[place].resize(size, FAR);
            desk.open.push(prices.open[v]);
            rest -= prices.lowest[v];
            share += size;
        }
        let Desk { costs, least, open, .. } = desk;
        self.offers[at].least(&costs[..scope.len()], open, &mut least[..scope.len()]);
        let mut share = self.shares[at];
        for (place, &v) in scope.iter().enumerate() {
            let mut lowest = FAR;
            for candidate in each(open[place]) {
                let asked = least[place][candidate];
                if asked >= FAR || rest + asked > limit {
                    prices.open[v] &= !(1 << candidate);
                    continue;
                }
                let own = asked.div_euclid(scope.len() as Price);
                prices.left[self.starts[v] + candidate] = own;
                prices.taken[share + candidate] = costs[place][candidate] - own;
                lowest = lowest.min(own);
            }
            if prices.open[v] == 0 {
                return false;
            }
            prices.floor += lowest - prices.lowest[v];
            prices.lowest[v] = lowest;
            share += self.starts[v + 1] - self.starts[v];
        }
        true
    }
}

/// Room to work in, kept from bid to bid.
#[derive(Default)]
struct Desk {
    before: Vec<Domain>,
    costs: Vec<Vec<Price>>,
    least: Vec<Vec<Price>>,
    open: Vec<Domain>,
}

impl Desk {
    fn lay_out(&mut self, places: usize) {
        self.open.clear();
        if self.costs.len() < places {
            self.costs.resize(places, Vec::new());
            self.least.resize(places, Vec::new());
        }
    }
}
