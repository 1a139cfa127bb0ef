//! Groups that only a list of things to buy ties together.
//!
//! Once it is settled what is bought, such a group falls apart: each of its parts by
//! itself takes the best it can have with that. So first the sets of things to buy
//! that come to the fewest points are sought, minding nothing else; there are few of
//! them. Then each part is searched for each of those sets that matters to it.
//!
//! Why nothing is missed: while some part has no choice, or still pays points of its
//! own, either one of the things it could use is bought, or none of them is. When no
//! part is so, what is bought does, and whatever more is bought adds points, which
//! come before all else.

use std::collections::{BTreeMap, BTreeSet};

use super::buying::can_hold;
use super::factor::{Ask, Domain, each, full};
use super::memory::Memory;
use super::model::Cost;
use super::narrow::narrow;
use super::network::{Group, NEVER, Weight, unweigh, weigh};
use super::search::Answer;

/// The most sets of things to buy that are looked into.
const MOST_SETS: usize = 1000;

/// Things bought, by their variable in the group.
type Bought = BTreeSet<usize>;

/// Answers a group; one that only purchases tie is taken apart first.
pub fn answer(group: &Group, effort: u64, memory: &mut Memory) -> Answer {
    let parts = parts(group);
    if parts.len() < 2 {
        return memory.answer(group, effort);
    }
    let mut sets = Sets {
        group,
        parts,
        effort,
        memory,
        points: BTreeMap::new(),
        wants: BTreeMap::new(),
        needy: Vec::new(),
        known: BTreeMap::new(),
        fewest: NEVER,
        sets: Vec::new(),
        whole: true,
        nodes: 0,
        left: MOST_SETS,
    };
    let nothing = Bought::new();
    sets.needy = (0..sets.parts.len()).filter(|&at| sets.points_of(at, &nothing) > 0).collect();
    sets.seek(&nothing, &nothing);
    sets.best()
}

/// A part of the group that hangs together by demands.
struct Part {
    /// Its variables, numbered as in the group, and all their candidates.
    group: Group,
    /// The same with costs left out.
    unpriced: Group,
    /// Which candidates of which of its variables need which purchase.
    users: Vec<(usize, usize, Domain)>,
    /// The purchases it can use.
    purchases: Bought,
}

/// The parts that are left when nothing is said of purchases.
fn parts(group: &Group) -> Vec<Part> {
    let real = group.variables.len();
    let mut root: Vec<usize> = (0..real).collect();
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
    let mut parts: BTreeMap<usize, Part> = BTreeMap::new();
    let mut place = vec![0; real];
    for (v, costs) in group.costs[..real].iter().enumerate() {
        let part = parts.entry(find(&mut root, v)).or_insert_with(|| Part {
            group: Group { variables: vec![], costs: vec![], factors: vec![] },
            unpriced: Group { variables: vec![], costs: vec![], factors: vec![] },
            users: vec![],
            purchases: Bought::new(),
        });
        place[v] = part.group.costs.len();
        part.group.variables.push((v, (0..costs.len()).collect()));
        part.group.costs.push(costs.clone());
    }
    for factor in &group.factors {
        let part = parts.get_mut(&find(&mut root, factor.scope[0])).expect("every variable is in a part");
        match &factor.ask {
            Ask::Table { allowed, .. } if ties(&factor.scope) => {
                // Not allowed with the purchase left: the candidate needs it.
                let needs = allowed.chunks(2).enumerate().filter(|(_, allowed)| !allowed[0]);
                let needs = needs.fold(0, |needs, (at, _)| needs | 1 << at);
                part.users.push((place[factor.scope[0]], factor.scope[1], needs));
                part.purchases.insert(factor.scope[1]);
            }
            _ => {
                let mut factor = factor.clone();
                factor.scope.iter_mut().for_each(|v| *v = place[*v]);
                part.group.factors.push(factor);
            }
        }
    }
    let mut parts: Vec<Part> = parts.into_values().collect();
    for part in &mut parts {
        part.unpriced = part.group.clone();
        part.unpriced.costs.iter_mut().for_each(|costs| costs.fill(0));
    }
    parts
}

impl Part {
    /// The candidates that can be had with these things bought.
    fn open(&self, bought: &Bought) -> Vec<Domain> {
        let mut open: Vec<Domain> = self.group.costs.iter().map(|costs| full(costs.len())).collect();
        for (v, purchase, needs) in &self.users {
            if !bought.contains(purchase) {
                open[*v] &= !needs;
            }
        }
        open
    }

    /// Things of which one at least must be bought, when the part has no choice with
    /// those that are: without all of them it plainly has none, whatever else is
    /// bought.
    fn wanting(&self, bought: &Bought) -> Bought {
        let mut wanting = &self.purchases - bought;
        for purchase in &self.purchases - bought {
            wanting.remove(&purchase);
            let mut open = self.open(&(&self.purchases - &wanting));
            if !open.contains(&0) && narrow(&self.group.factors, &mut open) {
                wanting.insert(purchase);
            }
        }
        wanting
    }
}

/// The best of a part with some things bought.
#[derive(Clone)]
struct Known {
    /// Its cost and choice, by variable of the part.
    best: Option<(Weight, Vec<usize>)>,
    bound: Weight,
}

struct Sets<'a> {
    group: &'a Group,
    parts: Vec<Part>,
    effort: u64,
    memory: &'a mut Memory,
    /// The fewest points a part pays of its own, by what is bought.
    points: BTreeMap<(usize, Bought), Weight>,
    /// What each part wants one of, by what is bought.
    wants: BTreeMap<(usize, Bought), Bought>,
    /// The parts that pay, or have no choice, when nothing is bought: no others ever do.
    needy: Vec<usize>,
    known: BTreeMap<(usize, Bought), Known>,
    /// The fewest points found to do, and every set that comes to them.
    fewest: Weight,
    sets: Vec<Bought>,
    /// False when some set was not looked into.
    whole: bool,
    nodes: u64,
    /// How many sets may still be looked into.
    left: usize,
}

impl Sets<'_> {
    /// The best of one part when all of these can be had for nothing.
    fn of(&mut self, at: usize, bought: &Bought) -> Known {
        let part = &self.parts[at];
        let key = (at, bought & &part.purchases);
        if let Some(known) = self.known.get(&key) {
            return known.clone();
        }
        let known = match part.group.narrowed(part.open(&key.1)) {
            None => Known { best: None, bound: NEVER },
            Some(narrowed) => {
                let answer = self.memory.answer(&narrowed, self.effort);
                self.nodes += answer.nodes;
                let kept = |picked: Vec<usize>| {
                    narrowed.variables.iter().zip(picked).map(|((_, kept), at)| kept[at]).collect()
                };
                Known { best: answer.best.map(|(cost, picked)| (cost, kept(picked))), bound: answer.bound }
            }
        };
        self.known.insert(key, known.clone());
        known
    }

    fn paid(&self, bought: &Bought) -> Weight {
        bought.iter().map(|&purchase| self.group.costs[purchase][1]).sum()
    }

    /// The fewest points that one part pays of its own when all of these can be had
    /// for nothing; [`NEVER`] when it has no choice with them.
    fn points_of(&mut self, at: usize, bought: &Bought) -> Weight {
        let part = &self.parts[at];
        let key = (at, bought & &part.purchases);
        if let Some(&points) = self.points.get(&key) {
            return points;
        }
        let open = part.open(&key.1);
        let unpaid = |(open, costs): (&Domain, &Vec<Weight>)| {
            each(*open).filter(|&at| points(costs[at]) == 0).fold(0, |unpaid, at| unpaid | 1 << at)
        };
        let owned = open.iter().zip(&part.group.costs).map(unpaid).collect();
        let least = if can_hold(&part.unpriced, owned, self.effort, self.memory) {
            0
        } else {
            let narrowed = points_alone(&part.group).narrowed(open);
            let answer = narrowed.map(|narrowed| self.memory.answer(&narrowed, self.effort));
            match answer {
                None => NEVER,
                Some(answer) => {
                    self.nodes += answer.nodes;
                    let ceiling = answer.best.map_or(NEVER, |best| best.0);
                    self.whole &= answer.bound == ceiling;
                    ceiling
                }
            }
        };
        self.points.insert(key, least);
        least
    }

    fn wanted_by(&mut self, at: usize, bought: &Bought) -> Bought {
        let part = &self.parts[at];
        let key = (at, bought & &part.purchases);
        self.wants.entry(key).or_insert_with_key(|(_, bought)| part.wanting(bought)).clone()
    }

    /// Seeks the sets that come to the fewest points, among those that hold all of
    /// `bought` and none of `refused`.
    fn seek(&mut self, bought: &Bought, refused: &Bought) {
        if self.left == 0 || self.nodes > self.effort {
            self.whole = false;
            return;
        }
        self.left -= 1;
        let mut asking: Option<Bought> = None;
        let mut taken = Bought::new();
        let mut least = self.paid(bought);
        for at in self.needy.clone() {
            let own = self.points_of(at, bought);
            if own == 0 {
                continue;
            }
            let could = &(&self.parts[at].purchases - refused) - bought;
            if could.is_empty() {
                least = sum(least, own);
                continue;
            }
            let wanting = if own >= NEVER { &self.wanted_by(at, bought) - refused } else { could };
            if own >= NEVER {
                let Some(cheapest) = wanting.iter().map(|&purchase| self.group.costs[purchase][1]).min()
                else {
                    return;
                };
                // One of these has to be bought; where it is for no part before, besides.
                if wanting.is_disjoint(&taken) {
                    least = sum(least, cheapest);
                    taken.extend(&wanting);
                }
            }
            if asking.as_ref().is_none_or(|few| wanting.len() < few.len()) {
                asking = Some(wanting);
            }
        }
        if least > self.fewest || least >= NEVER {
            return;
        }
        let Some(wanting) = asking else {
            if least < self.fewest {
                self.sets.clear();
                self.fewest = least;
            }
            if !self.sets.contains(bought) {
                self.sets.push(bought.clone());
            }
            return;
        };
        // First what leaves the fewest points to pay, so that few sets are looked into.
        let mut leaving: Vec<(Weight, usize, Weight, usize)> = Vec::with_capacity(wanting.len());
        for purchase in wanting {
            let mut bought = bought.clone();
            bought.insert(purchase);
            let (mut short, mut own) = (0, 0);
            for at in self.needy.clone() {
                match self.points_of(at, &bought) {
                    NEVER.. => short += 1,
                    points => own += points,
                }
            }
            leaving.push((own + self.paid(&bought), short, self.group.costs[purchase][1], purchase));
        }
        leaving.sort_by_key(|&(points, short, price, purchase)| (short, points, price, purchase));
        let mut refused = refused.clone();
        for (.., purchase) in leaving {
            let mut bought = bought.clone();
            bought.insert(purchase);
            self.seek(&bought, &refused);
            refused.insert(purchase);
        }
        self.seek(bought, &refused);
    }

    /// The best of the sets found, every part taking its best with each.
    fn best(mut self) -> Answer {
        let sets = std::mem::take(&mut self.sets);
        let some: Bought = sets.iter().flatten().copied().collect();
        let mut answer = Answer { best: None, bound: NEVER, nodes: 0 };
        for bought in &sets {
            let mut least = self.paid(bought);
            if answer.best.is_some() {
                // With what any of the sets buys for nothing, no part costs less.
                least = (0..self.parts.len()).fold(least, |least, at| sum(least, self.of(at, &some).bound));
            }
            if least < answer.ceiling() {
                self.settle(bought, &mut answer);
            }
        }
        if !self.whole {
            let all: Bought = (self.group.variables.len()..self.group.costs.len()).collect();
            let least = (0..self.parts.len()).fold(0, |least, at| sum(least, self.of(at, &all).bound));
            answer.bound = answer.bound.min(least);
        }
        answer.bound = answer.bound.min(answer.ceiling());
        answer.nodes = self.nodes;
        answer
    }

    /// What is bought is settled: every part takes its best.
    fn settle(&mut self, bought: &Bought, answer: &mut Answer) {
        let (mut cost, mut bound) = (self.paid(bought), self.paid(bought));
        let mut choice = vec![0; self.group.variables.len()];
        for at in 0..self.parts.len() {
            let known = self.of(at, bought);
            bound = sum(bound, known.bound);
            match known.best {
                Some((part, picked)) => {
                    cost = sum(cost, part);
                    for ((v, _), at) in self.parts[at].group.variables.iter().zip(picked) {
                        choice[*v] = at;
                    }
                }
                None => cost = NEVER,
            }
        }
        answer.bound = answer.bound.min(bound);
        if cost < answer.ceiling() {
            answer.best = Some((cost, choice));
        }
    }
}

/// A group with nothing of its costs but the points.
fn points_alone(group: &Group) -> Group {
    let alone = |cost: &Weight| weigh(Cost { buy: points(*cost), ..Cost::default() });
    let costs = group.costs.iter().map(|costs| costs.iter().map(alone).collect());
    Group { costs: costs.collect(), ..group.clone() }
}

fn points(weight: Weight) -> u64 {
    unweigh(weight).buy
}

fn sum(a: Weight, b: Weight) -> Weight {
    if a >= NEVER || b >= NEVER { NEVER } else { a + b }
}
