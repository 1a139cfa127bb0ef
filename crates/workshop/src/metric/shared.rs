//! Groups that only a list of things to buy ties together.
//!
//! Once it is settled what is bought, such a group falls apart: each of its parts by
//! itself takes the best it can have with that. So the sets of things to buy are gone
//! through, and each part is searched once for each set of those that matter to it.
//! Only sets that some part asks for are tried: another thing bought only adds
//! points, and points come before all else.
//!
//! Why nothing is missed: while some part has no choice, or still pays points of its
//! own, either one of the things it could use is bought, or none of them is. When no
//! part is so, what is bought does, and whatever more is bought costs more.

use std::collections::{BTreeMap, BTreeSet};

use super::factor::{Ask, Domain, full};
use super::memory::Memory;
use super::network::{Group, NEVER, Weight, unweigh};
use super::search::Answer;

/// The most sets of things to buy that are looked into.
const MOST_SETS: usize = 400;

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
        known: BTreeMap::new(),
        best: None,
        bound: NEVER,
        nodes: 0,
        left: MOST_SETS,
    };
    sets.try_all(&Bought::new(), &Bought::new());
    let Sets { best, bound, nodes, .. } = sets;
    let ceiling = best.as_ref().map_or(NEVER, |best| best.0);
    Answer { best, bound: bound.min(ceiling), nodes }
}

/// A part of the group that hangs together by demands.
struct Part {
    /// Its variables, numbered as in the group, and all their candidates.
    group: Group,
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
    parts.into_values().collect()
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
    /// those that are: what the candidates of one size need that has none left.
    fn wanting(&self, bought: &Bought) -> Bought {
        let Some(bare) = self.open(bought).iter().position(|open| *open == 0) else {
            return &self.purchases - bought;
        };
        let needs = self.users.iter().filter(|(v, ..)| *v == bare).map(|(_, purchase, _)| *purchase);
        needs.filter(|purchase| !bought.contains(purchase)).collect()
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
    known: BTreeMap<(usize, Bought), Known>,
    best: Option<(Weight, Vec<usize>)>,
    /// No set gone through can cost less.
    bound: Weight,
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

    /// Goes through the sets that hold all of `bought` and none of `refused`.
    fn try_all(&mut self, bought: &Bought, refused: &Bought) {
        let mut asking: Option<(usize, Bought)> = None;
        let mut taken = Bought::new();
        let mut least = self.paid(bought);
        for at in 0..self.parts.len() {
            let with = self.of(at, bought);
            let pays = with.best.as_ref().is_none_or(|best| points(best.0) > 0);
            let could = &(&self.parts[at].purchases - refused) - bought;
            let wanting = &self.parts[at].wanting(bought) - refused;
            if with.bound >= NEVER {
                let Some(cheapest) = wanting.iter().map(|&purchase| self.group.costs[purchase][1]).min()
                else {
                    return;
                };
                // One of these has to be bought; where it is for no part before, besides.
                if wanting.is_disjoint(&taken) {
                    least += cheapest;
                    taken.extend(&wanting);
                }
            }
            if pays && !could.is_empty() && asking.as_ref().is_none_or(|(_, few)| wanting.len() < few.len()) {
                asking = Some((at, wanting));
            }
        }
        let Some((_, wanting)) = asking else { return self.settle(bought) };
        let spent = self.left == 0 || self.nodes > self.effort.saturating_mul(4);
        if self.best.is_some() || spent {
            // With everything for nothing, no part costs less than this.
            for at in 0..self.parts.len() {
                let all = self.parts[at].purchases.clone();
                least = sum(least, self.of(at, &all).bound);
            }
            if spent {
                self.bound = self.bound.min(least);
            }
            if spent || least >= self.best.as_ref().map_or(NEVER, |best| best.0) {
                return;
            }
        }
        self.left -= 1;
        let mut refused = refused.clone();
        let mut wanting: Vec<usize> = wanting.into_iter().collect();
        wanting.sort_by_key(|&purchase| (self.group.costs[purchase][1], purchase));
        for purchase in wanting {
            let mut bought = bought.clone();
            bought.insert(purchase);
            self.try_all(&bought, &refused);
            refused.insert(purchase);
        }
        self.try_all(bought, &refused);
    }

    /// What is bought is settled: every part takes its best.
    fn settle(&mut self, bought: &Bought) {
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
        self.bound = self.bound.min(bound);
        if cost < self.best.as_ref().map_or(NEVER, |best| best.0) {
            self.best = Some((cost, choice));
        }
    }
}

fn points(weight: Weight) -> u64 {
    unweigh(weight).buy
}

fn sum(a: Weight, b: Weight) -> Weight {
    if a >= NEVER || b >= NEVER { NEVER } else { a + b }
}
