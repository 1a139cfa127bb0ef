//! What the parts of a group need to buy, where only a list of things to buy ties them.
//!
//! A part that cannot be had with some things bought needs something more. Of which
//! things it needs one at least is read off why it cannot be had: sizes that are ruled
//! out by others need one of the things that any candidate of those sizes would need,
//! and each thing without which that stays so is left off the list.

use super::buying::can_hold;
use super::factor::{Ask, Domain, Factor, full};
use super::hitting::Things;
use super::memory::Notes;
use super::model::Cost;
use super::narrow::{Readers, narrow_noting, settle};
use super::network::{Group, Weight, unweigh, weigh};

/// The most needs that are told of one part at once.
const AT_ONCE: usize = 8;

/// The most things that are tried one by one, where each trial is a search.
const TRIED: usize = 48;

/// A part of a group that hangs together by demands.
pub struct Part {
    /// Its variables, numbered as in the group, and all their candidates; what they cost
    /// but for the things to buy.
    pub group: Group,
    /// The same with costs left out.
    unpriced: Group,
    /// Which candidates of which of its variables need which thing.
    pub users: Vec<(usize, usize, Domain)>,
    /// The things it can use.
    pub things: Things,
}

/// Things of which a part needs one at least.
pub struct Need {
    /// The things; with none of them the part cannot be had, whatever else is bought.
    pub things: Things,
    /// False when the search was cut short before it was certain.
    pub proven: bool,
}

/// The parts that are left when nothing is said of purchases, and the points of each
/// thing: first those of the group by their variable, then what single sizes pay for
/// themselves.
pub fn parts(group: &Group) -> (Vec<Part>, Vec<u64>) {
    let real = group.variables.len();
    let mut prices: Vec<u64> = vec![0; real];
    prices.extend(group.costs[real..].iter().map(|costs| unweigh(costs[1]).buy));
    let (mut root, mut place) = (Vec::with_capacity(real), vec![0; real]);
    root.extend(0..real);
    fn find(root: &mut [usize], mut v: usize) -> usize {
        while root[v] != v {
            root[v] = root[root[v]];
            v = root[v];
        }
        v
    }
    let ties = |scope: &[usize]| scope.iter().any(|&v| v >= real);
    for factor in group.factors.iter().filter(|factor| !ties(&factor.scope)) {
        for pair in factor.scope.windows(2) {
            let (a, b) = (find(&mut root, pair[0]), find(&mut root, pair[1]));
            root[a.max(b)] = a.min(b);
        }
    }
    let nothing = || Group { variables: vec![], costs: vec![], factors: vec![] };
    let mut parts: Vec<Part> = Vec::new();
    let mut part_at = vec![usize::MAX; real];
    for (v, costs) in group.costs[..real].iter().enumerate() {
        let first = find(&mut root, v);
        if part_at[first] == usize::MAX {
            part_at[first] = parts.len();
            parts.push(Part { group: nothing(), unpriced: nothing(), users: vec![], things: Things::new() });
        }
        part_at[v] = part_at[first];
        let part = &mut parts[part_at[v]];
        place[v] = part.group.costs.len();
        part.group.variables.push((v, (0..costs.len()).collect()));
        let costs = part.pay(place[v], costs, &mut prices);
        part.group.costs.push(costs);
    }
    for factor in &group.factors {
        let part = &mut parts[part_at[factor.scope[0]]];
        match &factor.ask {
            Ask::Table { allowed, .. } if ties(&factor.scope) => {
                // Not allowed with the purchase left: the candidate needs it.
                let needs = allowed.chunks(2).enumerate().filter(|(_, allowed)| !allowed[0]);
                let needs = needs.fold(0, |needs, (at, _)| needs | 1 << at);
                part.users.push((place[factor.scope[0]], factor.scope[1], needs));
                part.things.insert(factor.scope[1]);
            }
            _ => {
                let mut factor = factor.clone();
                factor.scope.iter_mut().for_each(|v| *v = place[*v]);
                part.group.factors.push(factor);
            }
        }
    }
    for part in &mut parts {
        part.unpriced = part.group.clone();
        part.unpriced.costs.iter_mut().for_each(|costs| costs.fill(0));
    }
    (parts, prices)
}

/// The candidates of a group that can be had with these things bought, where `users` says
/// which candidates of which size need which thing.
pub fn open(group: &Group, users: &[(usize, usize, Domain)], bought: &Things) -> Vec<Domain> {
    let mut open: Vec<Domain> = group.costs.iter().map(|costs| full(costs.len())).collect();
    let most = users.iter().map(|user| user.1 + 1).max().unwrap_or(0);
    let mut at_hand = vec![false; most];
    bought.range(..most).for_each(|&thing| at_hand[thing] = true);
    for &(v, thing, needs) in users {
        if !at_hand[thing] {
            open[v] &= !needs;
        }
    }
    open
}

impl Part {
    /// The points that single candidates pay for themselves become things to buy, one for
    /// each sum; what every candidate pays stays with it.
    fn pay(&mut self, v: usize, costs: &[Weight], prices: &mut Vec<u64>) -> Vec<Weight> {
        let points = |cost: &Weight| unweigh(*cost).buy;
        let least = costs.iter().map(points).min().unwrap_or(0);
        let mut sums: Vec<u64> =
            costs.iter().map(|cost| points(cost) - least).filter(|&sum| sum > 0).collect();
        sums.sort_unstable();
        sums.dedup();
        for sum in sums {
            let paying = costs.iter().enumerate().filter(|(_, cost)| points(cost) - least == sum);
            self.users.push((v, prices.len(), paying.fold(0, |paying, (at, _)| paying | 1 << at)));
            self.things.insert(prices.len());
            prices.push(sum);
        }
        costs.iter().map(|cost| cost - weigh(Cost { buy: points(cost) - least, ..Cost::default() })).collect()
    }

    /// The candidates that can be had with these things bought.
    pub fn open(&self, bought: &Things) -> Vec<Domain> {
        open(&self.group, &self.users, bought)
    }

    /// What the part still needs when these things are bought: none when it can be had
    /// with them. The needs told at once have nothing in common.
    pub fn needs(&self, bought: &Things, effort: u64, notes: &mut Notes) -> Vec<Need> {
        let mut with: Things = bought.clone();
        let mut needs = Vec::new();
        while needs.len() < AT_ONCE {
            let holds = can_hold(&self.unpriced, self.open(&with), effort, notes);
            if holds == Some(true) {
                break;
            }
            let mut need = self.need(&with, effort, notes);
            need.proven &= holds.is_some();
            with.extend(&need.things);
            let last = need.things.is_empty();
            needs.push(need);
            if last {
                break;
            }
        }
        needs
    }

    /// One need of a part that cannot be had with these things bought.
    fn need(&self, bought: &Things, effort: u64, notes: &mut Notes) -> Need {
        let Some((factors, sizes)) = self.clash(bought) else {
            return self.need_by_search(bought, effort, notes);
        };
        let users = self.users.iter().filter(|(v, thing, _)| sizes.contains(v) && !bought.contains(thing));
        let mut things: Things = users.map(|(_, thing, _)| *thing).collect();
        let readers = Readers::of(self.group.costs.len(), factors.iter().copied());
        let clashes = |things: &Things| {
            let mut open = self.open(&(&self.things - things));
            let nothing_left = sizes.iter().any(|&v| open[v] == 0);
            nothing_left || !settle(&factors, &readers, (0..factors.len()).collect(), &mut open, |_, _, _| ())
        };
        for thing in things.clone() {
            things.remove(&thing);
            if !clashes(&things) {
                things.insert(thing);
            }
        }
        Need { things, proven: true }
    }

    /// Demands that plainly cannot all hold with these things bought, and the sizes that
    /// they read.
    fn clash(&self, bought: &Things) -> Option<(Vec<&Factor>, Things)> {
        let mut open = self.open(bought);
        if let Some(v) = open.iter().position(|open| *open == 0) {
            return Some((Vec::new(), [v].into()));
        }
        let every: Vec<&Factor> = self.group.factors.iter().collect();
        let behind = narrow_noting(&every, &mut open).err()?;
        let factors: Vec<&Factor> = behind.into_iter().map(|at| every[at]).collect();
        let sizes = factors.iter().flat_map(|factor| factor.scope.iter().copied()).collect();
        Some((factors, sizes))
    }

    /// A need that only a search shows: by and by fewer things are left unbought.
    fn need_by_search(&self, bought: &Things, effort: u64, notes: &mut Notes) -> Need {
        let mut left: Vec<usize> = (&self.things - bought).into_iter().collect();
        let (mut run, mut tried) = (left.len() / 2, 0);
        while run > 0 && tried < TRIED {
            let mut at = 0;
            while at < left.len() && tried < TRIED {
                let mut fewer = left.clone();
                fewer.drain(at..(at + run).min(left.len()));
                let unbought: Things = fewer.iter().copied().collect();
                tried += 1;
                let open = self.open(&(&self.things - &unbought));
                if can_hold(&self.unpriced, open, effort, notes) == Some(false) {
                    left = fewer;
                } else {
                    at += run;
                }
            }
            run /= 2;
        }
        Need { things: left.into_iter().collect(), proven: true }
    }
}
