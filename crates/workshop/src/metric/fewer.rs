//! The best of one part with fewer things bought, from what it costs with more of them.
//!
//! With every thing that might be bought, what any choice with each candidate costs at least
//! is known to the last bit. With fewer things no choice is cheaper, so those costs still
//! bind: only the candidates that are near the best need be looked at, and when the best
//! among them costs no more than any candidate left aside would, it is the best of all.

use super::branch::ANY;
use super::factor::{Domain, each};
use super::hitting::Things;
use super::lots::Known;
use super::memory::Notes;
use super::needs::{Part, open};
use super::network::{Group, NEVER, Weight};
use super::prices::{Market, Patience};
use super::search::{best_of, outright_tables, search};

/// How often the demands of a part bid for the prices that tell how much dearer it is.
const BIDS: u64 = 10;

/// How many candidates a size are looked at first, on the average.
const FIRST: usize = 3;

/// One part with all that may be bought for it.
pub struct Ample {
    group: Group,
    /// Which of the candidates left need which thing.
    users: Vec<(usize, usize, Domain)>,
    /// What any choice with each candidate costs at least, where that is known.
    least: Option<Vec<Vec<Weight>>>,
    /// What each combination of things leaves open, where it matters.
    open: Vec<Vec<Domain>>,
}

impl Ample {
    /// With these things, and the best with them; nothing where nothing can be had. What
    /// each candidate costs is only found out where one of these combinations makes do
    /// with fewer things than the best uses.
    pub fn of(
        part: &Part,
        every: &Things,
        combinations: &[Things],
        effort: u64,
        notes: &mut Notes,
    ) -> Option<(Self, Known)> {
        let group = part.group.narrowed(part.open(every))?;
        let mut tables = None;
        let answer = notes.answer_by(&group, effort, || match outright_tables(&group) {
            Some(found) => {
                let answer = best_of(&group, &found);
                tables = Some(found);
                answer
            }
            None => search(&group, effort),
        });
        let known = Known::of(part, &group, answer);
        let least = if combinations.iter().all(|bought| known.used.is_subset(bought)) {
            None
        } else {
            tables.or_else(|| outright_tables(&group)).map(|tables| tables.least_with())
        };
        let left = |&(v, thing, needs): &(usize, usize, Domain)| {
            let kept = group.variables[v].1.iter().enumerate().filter(|(_, at)| needs >> **at & 1 == 1);
            (v, thing, kept.fold(0, |needs, (at, _)| needs | 1 << at))
        };
        let users = part.users.iter().map(left).filter(|(.., needs)| *needs != 0).collect();
        let mut ample = Self { group, users, least, open: Vec::new() };
        if ample.least.is_some() {
            ample.open = combinations.iter().map(|bought| ample.open(bought)).collect();
        }
        Some((ample, known))
    }

    /// The best with only these bought, which are among them.
    pub fn with(&self, part: &Part, bought: &Things, effort: u64, notes: &mut Notes) -> Known {
        let open = self.open(bought);
        let Some(least) = &self.least else { return self.among(part, open, effort, notes) };
        let each_open = || {
            let of = |(v, open): (usize, &Domain)| each(*open).map(move |at| (v, at, least[v][at]));
            open.iter().enumerate().flat_map(of).filter(|&(.., least)| least < NEVER)
        };
        let mut costs: Vec<Weight> = each_open().map(|(.., least)| least).collect();
        costs.sort_unstable();
        let (mut count, mut nodes) = (FIRST * open.len(), 0);
        loop {
            let beyond = costs.get(count).copied().unwrap_or(NEVER);
            let mut near: Vec<Domain> = vec![0; open.len()];
            each_open().filter(|&(.., least)| least < beyond).for_each(|(v, at, _)| near[v] |= 1 << at);
            let mut known = self.among(part, near, effort, notes);
            nodes += known.nodes;
            known.nodes = nodes;
            known.bound = known.bound.min(beyond);
            if beyond >= NEVER || known.ceiling() <= known.bound {
                return known;
            }
            // Once something is found, what could be cheaper is known.
            count = match known.ceiling() {
                NEVER => count * 3,
                found => costs.partition_point(|&cost| cost < found).max(count + 1),
            };
        }
    }

    /// What any choice costs at least that one combination of those given leaves open and
    /// another does not.
    ///
    /// What is known of the other then holds of the one as far as it comes to no more.
    pub fn beyond(&self, one: usize, other: usize) -> Weight {
        let Some(least) = &self.least else { return 0 };
        let sizes = self.open[one].iter().zip(&self.open[other]).zip(least);
        let more = sizes.flat_map(|((one, other), least)| each(one & !other).map(|at| least[at]));
        more.min().unwrap_or(NEVER)
    }

    fn among(&self, part: &Part, open: Vec<Domain>, effort: u64, notes: &mut Notes) -> Known {
        match self.group.narrowed(open) {
            Some(narrowed) => Known::of(part, &narrowed, notes.answer(&narrowed, effort)),
            None => Known::never(),
        }
    }

    /// What the part costs at least with each of these combinations of things; and how many
    /// bids of prices that took.
    ///
    /// Told by the prices that the sizes have with every thing, and by the dearest of the
    /// sizes, whichever comes to more.
    pub fn floors(&self, combinations: &[Things]) -> (Vec<Weight>, u64) {
        let market = Market::of(&self.group);
        let (mut prices, mut bids) = (market.first(), 0);
        let patience = Patience { gain: 0, bids: BIDS * self.group.factors.len() as u64 };
        market.bid(&mut prices, ANY, market.everyone(), patience, &mut bids);
        let floor = |bought: &Things| {
            let open = self.open(bought);
            let priced = market.floor_with(&prices, &open);
            let priced = priced.map_or(NEVER, |floor| market.packing.unpacked(floor));
            let cheapest = |(open, least): (&Domain, &Vec<Weight>)| each(*open).map(|at| least[at]).min();
            let sizes = open.iter().zip(self.least.iter().flatten());
            sizes.map(|size| cheapest(size).unwrap_or(NEVER)).fold(priced, Weight::max)
        };
        (combinations.iter().map(floor).collect(), bids)
    }

    /// Which candidates can be had with these things.
    fn open(&self, bought: &Things) -> Vec<Domain> {
        open(&self.group, &self.users, bought)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::metric::lots::with;
    use crate::metric::memory::Memory;
    use crate::metric::model::ConstraintId;
    use crate::metric::needs::parts;
    use crate::metric::network::{Boiled, Minding, Network};
    use crate::metric::search::tests::crowded;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]

        /// Whatever is bought, looking near the best first finds what looking at everything
        /// finds, and no combination costs less than it is said to at least.
        #[test]
        fn fewer_things_cost_what_a_search_by_itself_finds(
            steps in prop::collection::vec(-9i64..=9, 20),
            bounds in prop::collection::vec(-9i64..=9, 3),
            few in 0usize..4,
        ) {
            let model = crowded(&steps, &bounds);
            let all: Vec<ConstraintId> = (0..model.constraints.len()).map(ConstraintId).collect();
            let network = Network::of(&model).unwrap();
            let Boiled::Groups { groups, .. } = network.boiled(&all, Minding::Cost) else { return Ok(()) };
            for part in groups.iter().flat_map(|group| parts(group).0) {
                let bought: Things = part.things.iter().copied().filter(|thing| few >> (thing % 2) & 1 == 1).collect();
                let found = Memory::new().abreast(&[()], |(), notes| {
                    let whole = with(&part, &bought, u64::MAX, notes);
                    let ample = Ample::of(&part, &part.things, std::slice::from_ref(&bought), u64::MAX, notes);
                    let Some((ample, all)) = ample else { return (whole, Known::never(), NEVER) };
                    let floor = ample.floors(std::slice::from_ref(&bought)).0[0];
                    let near = ample.with(&part, &bought, u64::MAX, notes);
                    assert!(all.ceiling() <= near.ceiling());
                    (whole, near, floor)
                });
                let (whole, near, floor) = &found[0];
                prop_assert_eq!(near.ceiling(), whole.ceiling());
                prop_assert_eq!(near.bound, whole.bound);
                prop_assert!(*floor <= whole.ceiling());
            }
        }
    }
}
