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
use super::needs::Part;
use super::network::{Group, NEVER, Weight};
use super::prices::{Market, Patience};
use super::search::reaches;

/// How often the demands of a part bid for the prices that tell how much dearer it is.
const BIDS: u64 = 10;

/// How many candidates a size are looked at first, on the average.
const FIRST: usize = 3;

/// One part with all that may be bought for it.
pub struct Ample {
    group: Group,
    /// What any choice with each candidate costs at least.
    least: Vec<Vec<Weight>>,
}

impl Ample {
    /// With these things; nothing where the part hangs together too closely.
    pub fn of(part: &Part, every: &Things) -> Option<Self> {
        let group = part.group.narrowed(part.open(every))?;
        let least = reaches(&group)?;
        Some(Self { group, least })
    }

    /// The best with only these bought, which are among them.
    pub fn with(&self, part: &Part, bought: &Things, effort: u64, notes: &mut Notes) -> Known {
        let open = open_of(part, &self.group, bought);
        let mut costs: Vec<Weight> = self.each_open(&open).map(|(_, _, least)| least).collect();
        costs.sort_unstable();
        let (mut count, mut nodes) = (FIRST * open.len(), 0);
        loop {
            let limit = costs.get(count).map_or(NEVER, |cost| cost - 1);
            let beyond = costs.get(count).copied().unwrap_or(NEVER);
            let mut near: Vec<Domain> = vec![0; open.len()];
            self.each_open(&open)
                .filter(|&(.., least)| least <= limit)
                .for_each(|(v, at, _)| near[v] |= 1 << at);
            let mut known = match self.group.narrowed(near) {
                Some(narrowed) => Known::of(part, &narrowed, effort, notes),
                None => Known::never(),
            };
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

    fn each_open<'a>(&'a self, open: &'a [Domain]) -> impl Iterator<Item = (usize, usize, Weight)> + 'a {
        let of = |(v, (open, least)): (usize, (&'a Domain, &'a Vec<Weight>))| {
            each(*open).map(move |at| (v, at, least[at])).filter(|&(.., least)| least < NEVER)
        };
        open.iter().zip(&self.least).enumerate().flat_map(of)
    }

    /// What the part costs at least with each of these combinations of things.
    pub fn floors(&self, part: &Part, bought: &[Things]) -> Vec<Weight> {
        let floor = |bought: &Things| {
            let open = open_of(part, &self.group, bought);
            let least = |(open, least): (&Domain, &Vec<Weight>)| each(*open).map(|at| least[at]).min();
            open.iter().zip(&self.least).map(|one| least(one).unwrap_or(NEVER)).max().unwrap_or(0)
        };
        bought.iter().map(floor).collect()
    }
}

/// What a part costs at least with each of these combinations of things, by the prices that
/// its sizes have with every thing; and how many nodes that took.
pub fn floors(part: &Part, every: &Things, bought: &[Things]) -> Option<(Vec<Weight>, u64)> {
    let with_all = part.group.narrowed(part.open(every))?;
    let market = Market::of(&with_all);
    let (mut prices, mut bids) = (market.first(), 0);
    let patience = Patience { gain: 0, bids: BIDS * with_all.factors.len() as u64 };
    market.bid(&mut prices, ANY, market.everyone(), patience, &mut bids);
    let floor = |bought: &Things| {
        let open = open_of(part, &with_all, bought);
        market.floor_with(&prices, &open).map_or(NEVER, |floor| market.packing.unpacked(floor))
    };
    Some((bought.iter().map(floor).collect(), bids))
}

/// Which candidates that a narrowed part keeps can be had with these things.
fn open_of(part: &Part, narrowed: &Group, bought: &Things) -> Vec<Domain> {
    let of = |((_, kept), open): (&(usize, Vec<usize>), Domain)| {
        let kept = kept.iter().enumerate().filter(|(_, at)| open >> **at & 1 == 1);
        kept.fold(0, |open, (at, _)| open | 1 << at)
    };
    narrowed.variables.iter().zip(part.open(bought)).map(of).collect()
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
                let Some(ample) = Ample::of(&part, &part.things) else { continue };
                let bought: Things = part.things.iter().copied().filter(|thing| few >> (thing % 2) & 1 == 1).collect();
                let floor = ample.floors(&part, std::slice::from_ref(&bought))[0];
                let near = Memory::new().abreast(&[()], |(), notes| ample.with(&part, &bought, u64::MAX, notes));
                let whole = Memory::new().abreast(&[()], |(), notes| with(&part, &bought, u64::MAX, notes));
                prop_assert_eq!(near[0].ceiling(), whole[0].ceiling());
                prop_assert_eq!(near[0].bound, whole[0].bound);
                prop_assert!(floor <= whole[0].ceiling());
            }
        }
    }
}
