//! Which of several lists to buy serves all parts best, where all come to the same points.
//!
//! What is bought is a choice of one set of things out of each of a few lots. A part minds
//! only those lots whose sets leave it different things to use; for each combination of
//! those its best is sought, but only where that can still matter: first every part is
//! searched with all that any set would buy, and how much dearer a combination is at least
//! is read off what its sizes cost there ([`fewer`](super::fewer)). The combination that comes to least by
//! what is known so far is then searched part by part, which makes more known, until one
//! that is known throughout comes to least.
//!
//! Why nothing is missed: with fewer things to use no part becomes cheaper, and what makes
//! no use of a thing is the same without it. So what is known of a combination before it
//! is searched is never more than it costs.

use std::cmp::Reverse;

use super::factor::{Ask, Domain, Factor};
use super::fewer::Ample;
use super::hitting::Things;
use super::memory::{Memory, Notes};
use super::needs::Part;
use super::network::{Group, NEVER, Weight, split};
use super::search::Answer;

/// The most sets of things that are looked into for one lot, and the most combinations
/// that may matter to one part.
pub const MOST_SETS: usize = 128;

/// Combinations are searched throughout until that takes so many times the effort of a
/// group: it is an effort for all parts together.
const TRIES: u64 = 20;

/// Once all is known of one combination, so manieth a part of what is open of another is
/// searched before they are compared again, and never fewer parts than these.
const AT_ONCE: usize = 4;
const FEW: usize = 8;

/// Sets of things, one of which is bought.
pub type Lot = Vec<Things>;

/// The best of one part with some things bought.
#[derive(Clone)]
pub struct Known {
    /// Its cost and choice, by variable of the part.
    best: Option<(Weight, Vec<usize>)>,
    /// It costs no less.
    pub bound: Weight,
    /// Those of the things that the choice uses.
    pub used: Things,
    /// How many partial choices were opened.
    pub nodes: u64,
}

impl Known {
    /// Nothing can be had.
    pub fn never() -> Self {
        Self { best: None, bound: NEVER, used: Things::new(), nodes: 0 }
    }

    /// The answer for what was kept of a part.
    pub fn of(part: &Part, narrowed: &Group, answer: Answer) -> Self {
        let best = answer.best.map(|(cost, picked)| {
            let kept = narrowed.variables.iter().zip(picked).map(|((_, kept), at)| kept[at]);
            (cost, kept.collect::<Vec<usize>>())
        });
        let used = |picked: &Vec<usize>| {
            let users = part
                .users
                .iter()
                .filter(|(v, _, needs): &&(usize, usize, Domain)| needs >> picked[*v] & 1 == 1);
            users.map(|(_, thing, _)| *thing).collect()
        };
        let used = best.as_ref().map(|(_, picked)| used(picked)).unwrap_or_default();
        Self { best, bound: answer.bound, used, nodes: answer.nodes }
    }

    pub fn ceiling(&self) -> Weight {
        self.best.as_ref().map_or(NEVER, |best| best.0)
    }
}

/// What a part costs with the lots that matter to it.
struct Weighed<'p> {
    part: &'p Part,
    /// How many such parts there are.
    count: usize,
    /// Those lots.
    lots: Vec<usize>,
    /// Which of its choices each set of each of them leaves.
    sets: Vec<Vec<usize>>,
    /// The things there are with every combination, the last lot's choice fastest.
    bought: Vec<Things>,
    /// It costs no less.
    least: Vec<Weight>,
    known: Vec<Option<Known>>,
    /// With all of them; none where nothing can be had.
    ample: Option<Ample>,
    nodes: u64,
}

/// The best for all parts.
pub struct Served {
    /// The choice of each part; none when no combination was found to do.
    pub picked: Option<Vec<Vec<usize>>>,
    /// Nothing is cheaper, where everything was looked into.
    pub floor: Weight,
    /// False when something was not.
    pub whole: bool,
    /// How many partial choices were opened.
    pub nodes: u64,
}

/// Seeks the sets, one of each lot, that serve all parts best: each part stands with how
/// many there are like it.
pub fn serve(parts: &[(&Part, usize)], mut lots: Vec<Lot>, effort: u64, memory: &mut Memory) -> Served {
    let fixed: Things = lots.iter().filter(|lot| lot.len() == 1).flat_map(|lot| lot[0].clone()).collect();
    lots.retain(|lot| lot.len() > 1);
    let mut whole = fit(parts, &mut lots);
    let mut weighed: Vec<Weighed> =
        memory.abreast(parts, |&(part, count), notes| Weighed::of(part, count, &fixed, &lots, effort, notes));
    let mut nodes: u64 = weighed.iter().map(|one| one.nodes).sum();
    let most = nodes + effort.saturating_mul(TRIES);
    let mut best: Option<(Weight, Vec<Vec<usize>>)> = None;
    loop {
        let (chosen, floor) = least(&lots, &weighed, effort, memory, &mut whole);
        let ceiling = best.as_ref().map_or(NEVER, |best| best.0);
        let Some(chosen) = chosen.filter(|_| floor < ceiling) else {
            return Served { picked: best.map(|(_, picked)| picked), floor, whole, nodes };
        };
        let places: Vec<usize> = weighed.iter().map(|one| one.place(&chosen)).collect();
        let mut open: Vec<usize> =
            (0..weighed.len()).filter(|&at| weighed[at].known[places[at]].is_none()).collect();
        let done = open.is_empty();
        if best.is_some() {
            // Those first that are likeliest to make another combination the better.
            open.sort_by_key(|&at| Reverse(weighed[at].promise(places[at])));
            open.truncate((open.len() / AT_ONCE).max(FEW));
        }
        let found = memory.abreast(&open, |&at, notes| weighed[at].with(places[at], effort, notes));
        nodes += found.iter().map(|known| known.nodes).sum::<u64>();
        for (&at, known) in open.iter().zip(found) {
            weighed[at].learn(places[at], known);
        }
        let of = |(one, &place): (&Weighed, &usize)| {
            one.known[place].as_ref().and_then(|known| known.best.clone())
        };
        let all: Option<Vec<(Weight, Vec<usize>)>> = weighed.iter().zip(&places).map(of).collect();
        if let Some(all) = all {
            let cost = all.iter().zip(&weighed).map(|((cost, _), one)| times(*cost, one.count)).sum();
            if cost < ceiling {
                best = Some((cost, all.into_iter().map(|(_, picked)| picked).collect()));
            }
        }
        if done || (nodes > most && best.is_some()) {
            return Served { picked: best.map(|(_, picked)| picked), floor, whole, nodes };
        }
    }
}

/// Leaves so few lots open that no part is asked about too many sets; false when one was
/// not left open.
fn fit(parts: &[(&Part, usize)], lots: &mut [Lot]) -> bool {
    let mut whole = true;
    for (part, _) in parts {
        loop {
            let left: Vec<usize> = lots.iter().map(|lot| left_of(lot, part).0.len()).collect();
            let all = left.iter().try_fold(1_usize, |all, &left| all.checked_mul(left));
            if all.is_some_and(|all| all <= MOST_SETS) {
                break;
            }
            let (widest, _) =
                left.iter().enumerate().max_by_key(|&(_, left)| *left).expect("some lot is wide");
            lots[widest].truncate(1);
            whole = false;
        }
    }
    whole
}

/// The combination that comes to least by what is known, and what that is.
fn least(
    lots: &[Lot],
    weighed: &[Weighed],
    effort: u64,
    memory: &mut Memory,
    whole: &mut bool,
) -> (Option<Vec<usize>>, Weight) {
    let mut costs: Vec<Vec<Weight>> = lots.iter().map(|lot| vec![0; lot.len()]).collect();
    let mut open: Vec<Vec<bool>> = lots.iter().map(|lot| vec![true; lot.len()]).collect();
    let (mut floor, mut off, mut factors) = (0, 0, Vec::new());
    for one in weighed {
        let cost = |place: usize| {
            let known = one.known[place].as_ref();
            times(known.map_or(one.least[place], Known::ceiling), one.count)
        };
        // What the search of a part left unproven is off the sum.
        let known = one.known.iter().flatten().filter(|known| known.best.is_some());
        off += known.map(|known| times(known.ceiling() - known.bound, one.count)).max().unwrap_or(0);
        *whole &= one.known.iter().flatten().all(|known| known.best.is_some() || known.bound >= NEVER);
        match one.lots[..] {
            [] => floor = sum(floor, cost(0)),
            [lot] => {
                for (set, &place) in one.sets[0].iter().enumerate() {
                    match cost(place) {
                        NEVER.. => open[lot][set] = false,
                        more => costs[lot][set] += more,
                    }
                }
            }
            _ => {
                let places: Vec<usize> = (0..one.bought.len()).filter(|&at| cost(at) < NEVER).collect();
                let own = costs.len();
                costs.push(places.iter().map(|&at| cost(at)).collect());
                let mut step = one.bought.len();
                for (&lot, sets) in one.lots.iter().zip(&one.sets) {
                    let count = count(sets);
                    step /= count;
                    let goes = |&place: &usize| sets.iter().map(move |&set| place / step % count == set);
                    let allowed = places.iter().flat_map(goes).collect();
                    let sizes = vec![places.len(), sets.len()];
                    factors.push(Factor { scope: vec![own, lot], ask: Ask::Table { sizes, allowed } });
                }
            }
        }
    }
    if floor >= NEVER || costs.iter().any(Vec::is_empty) || open.iter().any(|open| !open.contains(&true)) {
        return (None, NEVER);
    }
    let kept: Vec<Vec<usize>> =
        open.iter().map(|open| (0..open.len()).filter(|&set| open[set]).collect()).collect();
    let beyond = costs[lots.len()..].iter().map(|costs| (0..costs.len()).collect());
    let over: Vec<Vec<usize>> = kept.iter().cloned().chain(beyond).collect();
    let costs = costs.iter().zip(&over).map(|(costs, kept)| kept.iter().map(|&at| costs[at]).collect());
    let factors = factors.iter().map(|factor| factor.over(&over)).collect();
    let mut chosen = Some(vec![0; lots.len()]);
    for group in split(kept, costs.collect(), factors) {
        let answer = memory.answer(&group, effort);
        floor = sum(floor, answer.bound);
        match (&mut chosen, answer.best) {
            (Some(chosen), Some((_, picked))) => {
                for ((lot, kept), at) in group.variables.iter().zip(picked) {
                    chosen[*lot] = kept[at];
                }
            }
            _ => chosen = None,
        }
    }
    *whole &= chosen.is_some() || floor >= NEVER;
    (chosen, if floor >= NEVER { NEVER } else { floor - off })
}

/// What the sets of a lot leave a part to use, each once, and which of them each set is.
fn left_of(lot: &Lot, part: &Part) -> (Vec<Things>, Vec<usize>) {
    let mut left: Vec<Things> = Vec::new();
    let mut place = |set: &Things| {
        let its = set & &part.things;
        left.iter().position(|other| *other == its).unwrap_or_else(|| {
            left.push(its);
            left.len() - 1
        })
    };
    let places = lot.iter().map(&mut place).collect();
    (left, places)
}

/// The best of one part when all of these can be had for nothing.
pub fn with(part: &Part, bought: &Things, effort: u64, notes: &mut Notes) -> Known {
    match part.group.narrowed(part.open(bought)) {
        Some(narrowed) => Known::of(part, &narrowed, notes.answer(&narrowed, effort)),
        None => Known::never(),
    }
}

impl<'p> Weighed<'p> {
    /// With all that any set would buy; how much dearer combinations are is only bounded.
    fn of(
        part: &'p Part,
        count: usize,
        fixed: &Things,
        lots: &[Lot],
        effort: u64,
        notes: &mut Notes,
    ) -> Self {
        let (mut minded, mut sets) = (Vec::new(), Vec::new());
        let mut bought: Vec<Things> = vec![fixed & &part.things];
        for (at, lot) in lots.iter().enumerate() {
            let (left, places) = left_of(lot, part);
            bought = bought.iter().flat_map(|bought| left.iter().map(move |more| bought | more)).collect();
            if left.len() > 1 {
                minded.push(at);
                sets.push(places);
            }
        }
        let every: Things = bought.iter().flatten().copied().collect();
        let (ample, known) = match Ample::of(part, &every, &bought, effort, notes) {
            Some((ample, known)) => (Some(ample), known),
            None => (None, Known::never()),
        };
        let (mut least, mut nodes) = (vec![known.bound; bought.len()], known.nodes);
        if let Some(ample) = &ample
            && bought.iter().any(|bought| !known.used.is_subset(bought))
        {
            let (floors, bids) = ample.floors(&bought);
            least.iter_mut().zip(floors).for_each(|(least, floor)| *least = floor.max(*least));
            nodes += bids;
        }
        let none = vec![None; bought.len()];
        let mut weighed = Self { part, count, lots: minded, sets, bought, least, known: none, ample, nodes };
        weighed.learn_with(&every, &known);
        weighed
    }

    /// Which combination it is with one set of each lot.
    fn place(&self, chosen: &[usize]) -> usize {
        self.lots
            .iter()
            .zip(&self.sets)
            .fold(0, |place, (&lot, sets)| place * count(sets) + sets[chosen[lot]])
    }

    /// How much more one of its combinations may turn out to come to than is known.
    fn promise(&self, place: usize) -> Weight {
        let known = self.known.iter().flatten().map(Known::ceiling).filter(|&cost| cost < NEVER);
        times(known.min().map_or(0, |cost| cost - self.least[place]), self.count)
    }

    /// The best with one of its combinations.
    fn with(&self, place: usize, effort: u64, notes: &mut Notes) -> Known {
        let bought = &self.bought[place];
        let with = |ample: &Ample| ample.with(self.part, bought, effort, notes);
        self.ample.as_ref().map_or_else(Known::never, with)
    }

    /// Takes in what a combination was found to come to.
    fn learn(&mut self, place: usize, known: Known) {
        let bought = self.bought[place].clone();
        self.learn_with(&bought, &known);
        if let Some(ample) = &self.ample {
            for at in 0..self.bought.len() {
                // What it leaves besides costs so much; all else is known.
                let floor = known.bound.min(ample.beyond(at, place));
                self.least[at] = self.least[at].max(floor);
                let does = known.ceiling() <= floor && known.used.is_subset(&self.bought[at]);
                if self.known[at].is_none() && does {
                    self.known[at] = Some(known.clone());
                }
            }
        }
        self.known[place] = Some(known);
    }

    fn learn_with(&mut self, bought: &Things, known: &Known) {
        for (at, fewer) in self.bought.iter().enumerate().filter(|(_, fewer)| fewer.is_subset(bought)) {
            self.least[at] = self.least[at].max(known.bound);
            if self.known[at].is_none() && known.used.is_subset(fewer) {
                self.known[at] = Some(known.clone());
            }
        }
    }
}

/// How many different choices the sets of a lot leave.
fn count(sets: &[usize]) -> usize {
    sets.iter().max().map_or(1, |most| most + 1)
}

/// Two costs added up.
pub fn sum(a: Weight, b: Weight) -> Weight {
    if a >= NEVER || b >= NEVER { NEVER } else { a + b }
}

/// So many times a cost.
pub fn times(weight: Weight, count: usize) -> Weight {
    if weight >= NEVER { NEVER } else { weight * count as Weight }
}
