//! Groups that only a list of things to buy ties together.
//!
//! Once it is settled what is bought, such a group falls apart: each of its parts by
//! itself takes the best it can have with that. Points come before all else, so the
//! sets of things that come to the fewest are sought first, minding nothing else: a
//! set that meets every need known is tried on the parts, those that cannot be had with
//! it tell what they need, until a set does for all ([`needs`](super::needs),
//! [`hitting`](super::hitting)). Needs that share no thing are met apart, so the sets
//! that will do are a choice for each of a few lots of needs.
//!
//! Which choice serves all parts best is then found by itself ([`lots`](super::lots)).
//!
//! Why nothing is missed: every set of things with which all parts can be had meets every
//! need. So none comes to fewer points than the cheapest that meet them, and when one of
//! those does for all parts, whatever more is bought adds points.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::hitting::{Met, Things, apart, met};
use super::lots::{Lot, MOST_SETS, serve, sum, times, with};
use super::memory::{Content, Memory};
use super::model::Cost;
use super::needs::{Need, Part, parts};
use super::network::{Group, NEVER, Weight, weigh};
use super::search::Answer;

/// The most times that the parts are asked what they need.
const MOST_ROUNDS: usize = 200;

/// Answers a group; one that only purchases tie is taken apart first.
pub fn answer(group: &Group, effort: u64, memory: &mut Memory) -> Answer {
    let (parts, prices) = parts(group);
    if parts.len() < 2 {
        return memory.answer(group, effort);
    }
    let kinds = kinds(&parts);
    let mut shared = Shared { group, parts, prices, kinds, effort, memory, needs: Vec::new(), whole: true };
    match shared.lots() {
        Some(lots) => shared.best(lots),
        None => Answer { best: None, bound: NEVER, nodes: 0 },
    }
}

/// Parts that are the same throughout, by their number.
type Kind = Vec<usize>;

fn kinds(parts: &[Part]) -> Vec<Kind> {
    let mut known: HashMap<Content, usize> = HashMap::new();
    let mut kinds: Vec<Kind> = Vec::new();
    for (at, part) in parts.iter().enumerate() {
        let users =
            part.users.iter().flat_map(|&(v, thing, needs)| [v as i128, thing as i128, needs.cast_signed()]);
        let kind = *known.entry(Content::of(&part.group, 0).with(users)).or_insert(kinds.len());
        match kinds.get_mut(kind) {
            Some(kind) => kind.push(at),
            None => kinds.push(vec![at]),
        }
    }
    kinds
}

struct Shared<'a> {
    group: &'a Group,
    parts: Vec<Part>,
    /// The points of every thing.
    prices: Vec<u64>,
    kinds: Vec<Kind>,
    effort: u64,
    memory: &'a mut Memory,
    needs: Vec<Need>,
    /// False when something was not looked into.
    whole: bool,
}

impl Shared<'_> {
    /// The sets of things that come to the fewest points, in lots of which each is chosen
    /// from by itself; nothing when no set does.
    fn lots(&mut self) -> Option<Vec<Lot>> {
        let mut asking: Vec<usize> = (0..self.kinds.len()).collect();
        let mut served: BTreeSet<(usize, Things)> = BTreeSet::new();
        let mut bought = Things::new();
        for round in 0.. {
            let new: Vec<(usize, Things)> = asking
                .iter()
                .map(|&kind| (kind, &bought & &self.parts[self.kinds[kind][0]].things))
                .filter(|asked| !served.contains(asked))
                .collect();
            let (parts, kinds, effort) = (&self.parts, &self.kinds, self.effort);
            let told = self
                .memory
                .abreast(&new, |(kind, bought), notes| parts[kinds[*kind][0]].needs(bought, effort, notes));
            let mut needy = BTreeSet::new();
            for (asked, needs) in new.into_iter().zip(told) {
                if needs.is_empty() {
                    served.insert(asked);
                    continue;
                }
                needy.insert(asked.0);
                if needs.iter().any(|need| need.things.is_empty() && need.proven) {
                    return None;
                }
                self.whole &= needs.iter().all(|need| need.proven);
                self.needs.extend(needs.into_iter().filter(|need| !need.things.is_empty()));
            }
            // What can be had with nothing bought can be had with anything.
            if round == 0 {
                asking.retain(|kind| needy.contains(kind));
            }
            if needy.is_empty() {
                break;
            }
            if round >= MOST_ROUNDS || !self.needs.iter().any(|need| need.things.is_disjoint(&bought)) {
                self.whole = false;
                let all = needy.iter().flat_map(|&kind| &self.parts[self.kinds[kind][0]].things);
                let all: Things = all.chain(&bought).copied().collect();
                return Some(vec![vec![all]]);
            }
            let needs = self.needs.iter().map(|need| need.things.clone()).collect();
            bought =
                apart(&needs).iter().flat_map(|lot| met(lot, &self.prices, 1).sets.swap_remove(0)).collect();
        }
        let needs = self.needs.iter().map(|need| need.things.clone()).collect();
        let lots = apart(&needs);
        let mut sets = Vec::with_capacity(lots.len());
        for lot in lots {
            let Met { sets: mut found, all, .. } = met(&lot, &self.prices, MOST_SETS);
            self.whole &= all;
            if !all {
                // The one that is known to do.
                let of_lot: Things = lot.iter().flat_map(|need| need.iter().copied()).collect();
                let does = &bought & &of_lot;
                found.retain(|set| *set != does);
                found.truncate(MOST_SETS - 1);
                found.insert(0, does);
            }
            sets.push(found);
        }
        Some(sets)
    }

    /// The fewest points that any set of things comes to.
    fn fewest_points(&self) -> Weight {
        let proven = self.needs.iter().filter(|need| need.proven).map(|need| need.things.clone()).collect();
        let least = apart(&proven).iter().map(|lot| met(lot, &self.prices, 1).least).sum();
        weigh(Cost { buy: least, ..Cost::default() })
    }

    /// The best with one set bought of each lot.
    fn best(self, lots: Vec<Lot>) -> Answer {
        let fewest = self.fewest_points();
        let kinds: Vec<(&Part, usize)> =
            self.kinds.iter().map(|kind| (&self.parts[kind[0]], kind.len())).collect();
        let served = serve(&kinds, lots, self.effort, self.memory);
        let mut floor = sum(fewest, served.floor);
        let mut choice = vec![0; self.group.variables.len()];
        for (kind, picked) in self.kinds.iter().zip(served.picked.iter().flatten()) {
            for &part in kind {
                for ((v, _), &at) in self.parts[part].group.variables.iter().zip(picked) {
                    choice[*v] = at;
                }
            }
        }
        if !(self.whole && served.whole) {
            let effort = self.effort;
            let reached = self.memory.abreast(&kinds, |(part, count), notes| {
                times(with(part, &part.things, effort, notes).bound, *count)
            });
            floor = floor.min(reached.into_iter().fold(fewest, sum));
        }
        let best = served.picked.is_some().then(|| (self.cost(&choice), choice));
        let ceiling = best.as_ref().map_or(NEVER, |best| best.0);
        Answer { bound: floor.min(ceiling), best, nodes: served.nodes }
    }

    /// What a choice costs, things bought counted once.
    fn cost(&self, choice: &[usize]) -> Weight {
        let own: Weight = choice.iter().zip(&self.group.costs).map(|(&at, costs)| costs[at]).sum();
        let mut bought: BTreeMap<usize, Weight> = BTreeMap::new();
        for part in &self.parts {
            for (v, thing, needs) in part.users.iter().filter(|user| user.1 < self.group.costs.len()) {
                if needs >> choice[part.group.variables[*v].0] & 1 == 1 {
                    bought.insert(*thing, self.group.costs[*thing][1]);
                }
            }
        }
        own + bought.values().sum::<Weight>()
    }
}
