//! Costs of one group packed into a word, so that many of them are added up quickly.
//!
//! Points, departure and roughness are the digits of one number, each digit with room
//! for the most its sum can be in this group: packed costs add and compare as the
//! costs themselves. What room is left in the word counts fractions, for costs that
//! are shared out. Where there is too little room the last bits are dropped, which
//! only ever makes a cost less.

use super::model::Cost;
use super::network::{Weight, unweigh, weigh};
use super::offers::Price;

/// The most that all costs of a group together may come to.
const ROOM: u32 = 54;
/// The most bits kept for fractions.
const FRACTION: i32 = 10;

/// How the costs of one group are packed.
pub struct Packing {
    departures: u128,
    roughnesses: u128,
    /// By how many bits a packed cost is moved up; down when less than nought.
    up: i32,
}

impl Packing {
    /// For these costs, by variable and candidate.
    pub fn of(costs: &[Vec<Weight>]) -> Self {
        let most = |of: fn(Cost) -> u64| {
            let most = |costs: &Vec<Weight>| costs.iter().map(|cost| of(unweigh(*cost))).max();
            costs.iter().map(|costs| u128::from(most(costs).unwrap_or(0))).sum::<u128>()
        };
        let (departures, roughnesses) = (most(|cost| cost.departure) + 1, most(|cost| cost.roughness) + 1);
        let points = most(|cost| cost.buy) + 1;
        let bits = |most: u128| (128 - most.leading_zeros()) as i32;
        let needed = bits(points) + bits(departures) + bits(roughnesses);
        Self { departures, roughnesses, up: (ROOM as i32 - needed).min(FRACTION) }
    }

    fn digits(&self, weight: Weight) -> u128 {
        let cost = unweigh(weight);
        (u128::from(cost.buy) * self.departures + u128::from(cost.departure)) * self.roughnesses
            + u128::from(cost.roughness)
    }

    fn moved(&self, digits: u128) -> Price {
        (if self.up >= 0 { digits << self.up } else { digits >> -self.up }) as Price
    }

    /// A cost, packed.
    pub fn price(&self, weight: Weight) -> Price {
        self.moved(self.digits(weight))
    }

    /// A bound above this rules out everything cheaper than `weight`; less than
    /// nought when nothing can be cheaper.
    pub fn limit(&self, weight: Weight) -> Price {
        self.digits(weight).checked_sub(1).map_or(-1, |digits| self.moved(digits))
    }

    /// The cost that a bound stands for: no less than this.
    pub fn unpacked(&self, bound: Price) -> Weight {
        let bound = bound.max(0) as u128;
        let digits = if self.up >= 0 { bound.div_ceil(1 << self.up) } else { bound << -self.up };
        let (rest, roughness) = (digits / self.roughnesses, digits % self.roughnesses);
        weigh(Cost {
            buy: (rest / self.departures) as u64,
            departure: (rest % self.departures) as u64,
            roughness: roughness as u64,
        })
    }
}
