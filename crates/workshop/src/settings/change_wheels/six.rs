//! Trains of six wheels: three that drive three, on two studs between spindle and leadscrew.

use num_rational::Ratio;

use super::{Search, Tried, Way, clears, nearer};

/// Three wheels by their places in what is owned, and the product of their teeth.
struct Three {
    at: [usize; 3],
    product: i128,
}

/// Every order of three.
const ORDERS: [[usize; 3]; 6] = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];

impl Search {
    /// The nearest of six wheels that clear each other's shafts.
    ///
    /// For each three that drive, the products of three that follow are looked through from the
    /// wanted one outwards, to either side until one serves: whatever lies farther out is farther
    /// off, so none that is nearer is passed over.
    pub(super) fn six(&self, wheels: &[u32]) -> Option<Way> {
        let mut threes = threes(wheels);
        threes.sort_by_key(|three| (three.product, three.at));
        // Wheels alike drive alike: one of each set of teeth is enough to drive with.
        let mut seen = std::collections::BTreeSet::new();
        let mut best: Option<Tried> = None;
        for drive in &threes {
            let mut teeth = drive.at.map(|n| wheels[n]);
            teeth.sort_unstable();
            if !seen.insert(teeth) {
                continue;
            }
            let wanted = Ratio::new(drive.product * self.over, self.top);
            let from = threes.partition_point(|three| Ratio::from_integer(three.product) < wanted);
            best = nearer(best, self.outwards(wheels, drive, threes[..from].iter().rev()));
            best = nearer(best, self.outwards(wheels, drive, threes[from..].iter()));
        }
        best.map(|tried| self.way(tried))
    }

    /// The first three, on the way out, that follow; of those with one product the one that goes
    /// before the others.
    fn outwards<'a>(
        &self,
        wheels: &[u32],
        drive: &Three,
        others: impl Iterator<Item = &'a Three>,
    ) -> Option<Tried> {
        let mut best: Option<Tried> = None;
        let mut product = None;
        for follow in others {
            if product.is_some_and(|product| product != follow.product) {
                break;
            }
            if follow.at.iter().any(|n| drive.at.contains(n)) {
                continue;
            }
            let teeth = |three: &Three| three.at.map(|n| wheels[n]);
            if let Some(found) = self.cleared(teeth(drive), teeth(follow)) {
                product = Some(follow.product);
                best = nearer(best, Some(found));
            }
        }
        best
    }

    /// Three driving three, in the first order of them that clears.
    fn cleared(&self, drive: [u32; 3], follow: [u32; 3]) -> Option<Tried> {
        let orders = ORDERS.iter().flat_map(|one| ORDERS.iter().map(move |other| (one, other)));
        let mut placed = orders.map(|(one, other)| (one.map(|n| drive[n]), other.map(|n| follow[n])));
        let (drive, follow) =
            placed.find(|&([a, c, e], [b, d, f])| clears(a, b, c, d) && clears(c, d, e, f))?;
        Some(self.tried(&drive, &follow))
    }
}

fn threes(wheels: &[u32]) -> Vec<Three> {
    let count = wheels.len();
    let mut all = Vec::new();
    for a in 0..count {
        for b in a + 1..count {
            for c in b + 1..count {
                let product = [a, b, c].map(|n| i128::from(wheels[n])).iter().product();
                all.push(Three { at: [a, b, c], product });
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::super::{By, Gear, Wanted, change_wheels};
    use super::*;
    use crate::measure::Length;
    use crate::tables::threads::Form;
    use proptest::prelude::*;

    fn geared(wheels: &[u32], leadscrew: Length, pitch: Length) -> super::super::Gearing {
        let wanted = Wanted { pitch, starts: 1, engaged: Length::mm(10), form: Form::Metric60 };
        change_wheels(Gear { leadscrew, wheels, gearbox: &[] }, wanted).unwrap()
    }

    /// By hand: from 8 threads to the inch, 3.175 mm, a pitch of 1/6 mm wants 20 to 381, and
    /// 20 × 30 × 50 over 60 × 75 × 127 is that; no four of them have the factors.
    #[test]
    fn six_wheels_are_put_on_where_four_are_not_exact() {
        let wheels = [20, 30, 50, 60, 75, 127];
        let found = geared(&wheels, Length::inches(1, 8), Length::mm_ratio(1, 6));
        let By::Wheels(train) = &found.best.by else { panic!("wheels") };
        assert_eq!((train.drivers.len(), found.best.pitch), (3, Length::mm_ratio(1, 6)));
        // What four of them come to is a sixth too coarse: no nut goes on that.
        assert_eq!(found.simpler, None);
        // Where four do it no six are looked for.
        let four = geared(&[20, 30, 40, 50, 60, 127], Length::inches(1, 8), Length::mm(1));
        let By::Wheels(train) = &four.best.by else { panic!("wheels") };
        assert!(train.drivers.len() <= 2 && four.best.pitch == Length::mm(1));
    }

    proptest! {
        /// Nothing that trying every order of six finds is nearer.
        #[test]
        fn every_train_of_six_was_weighed(
            wheels in prop::collection::vec(20u32..70, 6..8), pitch in 200i64..4_000,
        ) {
            let pitch = Length::microns(pitch);
            let search = Search::new(Gear { leadscrew: Length::mm(3), wheels: &wheels, gearbox: &[] }, pitch);
            let found = search.six(&wheels).map(|way| way.pitch.gap(pitch));
            let mut least: Option<Length> = None;
            let n = wheels.len();
            let mut take = |order: &[usize]| {
                let [a, c, e, b, d, f] = [0, 1, 2, 3, 4, 5].map(|k| wheels[order[k]]);
                if clears(a, b, c, d) && clears(c, d, e, f) {
                    let gap = search.way(search.tried(&[a, c, e], &[b, d, f])).pitch.gap(pitch);
                    least = Some(least.map_or(gap, |known| known.min(gap)));
                }
            };
            each_order(n, &mut Vec::new(), &mut take);
            prop_assert_eq!(found, least);
        }
    }

    fn each_order(n: usize, taken: &mut Vec<usize>, take: &mut impl FnMut(&[usize])) {
        if taken.len() == 6 {
            return take(taken);
        }
        for next in 0..n {
            if !taken.contains(&next) {
                taken.push(next);
                each_order(n, taken, take);
                taken.pop();
            }
        }
    }
}
