//! Twist drills owned and for sale, in one list by size.
//!
//! Looking one up takes a floating size for the rough place and exact lengths for
//! the rest: comparing every drill exactly is most of the time otherwise.

use std::sync::LazyLock;

use crate::bench::Bench;
use crate::measure::Length;
use crate::tables::drills::{self, Drill, DrillSeries};

/// A drill that may be used.
#[derive(Clone, Copy, Debug)]
pub struct Shelved<'a> {
    /// The drill.
    pub drill: &'a Drill,
    /// Whether it is owned.
    pub owned: bool,
    diameter_mm: f64,
}

/// Every drill owned, and every standard metric one of another size.
pub struct Shelf<'a>(Vec<Shelved<'a>>);

/// Further apart than rounding, nearer than any two drills.
const SAME_MM: f64 = 1e-6;

impl<'a> Shelf<'a> {
    /// The drills of a bench and of the shops.
    pub fn of(bench: &'a Bench) -> Self {
        static SOLD: LazyLock<Vec<Shelved<'static>>> = LazyLock::new(|| {
            let metric = drills::all().iter().filter(|d| d.series == DrillSeries::Metric);
            metric.map(|drill| shelved(drill, false)).collect()
        });
        let owned: Vec<Shelved> = bench.drills.iter().map(|drill| shelved(drill, true)).collect();
        let have = |mm: f64| {
            let at = owned.partition_point(|own| own.diameter_mm < mm - SAME_MM);
            owned.get(at).is_some_and(|own| own.diameter_mm < mm + SAME_MM)
        };
        let mut all: Vec<Shelved> = SOLD.iter().filter(|sold| !have(sold.diameter_mm)).copied().collect();
        all.extend(&owned);
        all.sort_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm));
        Self(all)
    }

    /// The drills from one size to another, both included, by size.
    pub fn between(
        &self,
        least: Length,
        most: Length,
    ) -> impl DoubleEndedIterator<Item = Shelved<'a>> + Clone + use<'a, '_> {
        let (low, high) = (least.as_mm() - SAME_MM, most.as_mm() + SAME_MM);
        let first = self.0.partition_point(|drill| drill.diameter_mm < low);
        let last = self.0.partition_point(|drill| drill.diameter_mm <= high).max(first);
        let inside = move |drill: &&Shelved| drill.drill.diameter >= least && drill.drill.diameter <= most;
        self.0[first..last].iter().filter(inside).copied()
    }
}

fn shelved(drill: &Drill, owned: bool) -> Shelved<'_> {
    Shelved { drill, owned, diameter_mm: drill.diameter.as_mm() }
}
