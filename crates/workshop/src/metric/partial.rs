//! Long sums broken into short ones, for the lower bound.
//!
//! A sum over many sizes is too wide to tabulate. Its running totals become
//! variables of their own: total, next size, next total, three at a time. Where
//! more totals are possible than a table may hold, neighbours are taken
//! together, which only ever allows more: the bound stays below the truth.

use super::factor::{Ask, Factor, Parts, full};

/// A sum and the limits it must keep.
pub struct LongSum<'a> {
    pub scope: &'a [usize],
    pub parts: Parts,
    pub low: i128,
    pub high: i128,
}

/// A running total, or several taken together: from the one to the other.
type Total = (i128, i128);

/// Met by no sum, and leading to none: stands where no total is left.
const NO_TOTAL: Total = (1 << 125, -(1 << 125));

impl<'a> LongSum<'a> {
    /// The sum itself, or the sum that two points far enough apart must also
    /// keep: squares lie under their chord, and over their tangent.
    pub fn of(factor: &'a Factor, sizes: &[usize]) -> Option<Self> {
        let scope = &factor.scope;
        match &factor.ask {
            Ask::Sum { parts, low, high } => {
                Some(Self { scope, parts: parts.clone(), low: *low, high: *high })
            }
            Ask::Apart { along, across, reach } => {
                let open: Vec<_> = sizes.iter().map(|&size| full(size)).collect();
                let [x, y, r] = [along, across, reach].map(|parts| parts.span(scope, &open));
                let middle = (r.0.max(0) + r.1.max(0)) / 2;
                let sum = |a: i128, b: i128, c: i128| (x.0 + x.1) * a + (y.0 + y.1) * b - 2 * middle * c;
                let rows = (0..scope.len()).map(|place| {
                    let three = along.rows[place].iter().zip(&across.rows[place]).zip(&reach.rows[place]);
                    three.map(|((&a, &b), &c)| sum(a, b, c)).collect()
                });
                let offset =
                    sum(along.offset, across.offset, reach.offset) - x.0 * x.1 - y.0 * y.1 + middle * middle;
                let parts = Parts { offset, rows: rows.collect() };
                Some(Self { scope, parts, low: 0, high: i128::MAX / 2 })
            }
            Ask::Total { .. } | Ask::Table { .. } | Ask::Test { .. } => None,
        }
    }

    /// Breaks the sum up, adding its running totals to `sizes`; no total has more
    /// than `most` values. Gives the short sums for the tables, and what ties
    /// each total to the sizes in it for the walk.
    pub fn broken_up(&self, sizes: &mut Vec<usize>, most: usize) -> (Vec<Factor>, Vec<Factor>) {
        let spans: Vec<(i128, i128)> = self.parts.rows.iter().map(|row| span(row)).collect();
        let mut rest = spans.iter().fold((0, 0), |sum, part| (sum.0 + part.0, sum.1 + part.1));
        let (mut factors, mut ties) = (Vec::new(), Vec::new());
        let mut totals: Vec<Total> = vec![(self.parts.offset, self.parts.offset)];
        let mut before: Option<usize> = None;
        for (place, row) in self.parts.rows.iter().enumerate() {
            rest = (rest.0 - spans[place].0, rest.1 - spans[place].1);
            let reached =
                totals.iter().flat_map(|&(low, high)| row.iter().map(move |&part| (low + part, high + part)));
            let next = self.gathered(reached.collect(), rest, most);
            let last = place + 1 == self.parts.rows.len();
            let mut scope: Vec<usize> = before.into_iter().chain([self.scope[place]]).collect();
            let ends: Vec<Total> = if last { vec![(self.low, self.high)] } else { next };
            let meets = |&(low, high): &Total, part: i128, &(from, to): &Total| {
                low + part <= to && high + part >= from
            };
            let ends_ref = &ends;
            let allowed = totals
                .iter()
                .flat_map(|total| {
                    row.iter().flat_map(move |&part| ends_ref.iter().map(move |end| meets(total, part, end)))
                })
                .collect();
            if !last {
                scope.push(sizes.len());
                before = Some(sizes.len());
                sizes.push(ends.len());
                let rows = self.parts.rows[..=place].to_vec();
                let parts = Parts { offset: self.parts.offset, rows };
                let summed = self.scope[..=place].iter().copied().chain(before).collect();
                ties.push(Factor { scope: summed, ask: Ask::Total { parts, ranges: ends.clone() } });
            }
            let table_sizes = scope.iter().map(|&v| sizes[v]).collect();
            factors.push(Factor { scope, ask: Ask::Table { sizes: table_sizes, allowed } });
            totals = ends;
        }
        (factors, ties)
    }

    /// The totals still worth telling apart, in order. Those from which nothing
    /// can hold go; those from which everything holds become one.
    fn gathered(&self, reached: Vec<Total>, rest: (i128, i128), most: usize) -> Vec<Total> {
        let sure = |t: &Total| t.0 + rest.0 >= self.low && t.1 + rest.1 <= self.high;
        let mut totals: Vec<Total> =
            reached.into_iter().filter(|t| t.1 + rest.1 >= self.low && t.0 + rest.0 <= self.high).collect();
        totals.sort_unstable();
        let mut apart: Vec<Total> = Vec::new();
        for total in totals {
            match apart.last_mut() {
                Some(last) if total == *last || (sure(last) && sure(&total)) => last.1 = last.1.max(total.1),
                _ => apart.push(total),
            }
        }
        let together = apart.len().div_ceil(most).max(1);
        let hull = |run: &[Total]| run.iter().fold(run[0], |a, b| (a.0.min(b.0), a.1.max(b.1)));
        let gathered: Vec<Total> = apart.chunks(together).map(hull).collect();
        if gathered.is_empty() { vec![NO_TOTAL] } else { gathered }
    }
}

fn span(row: &[i128]) -> (i128, i128) {
    row.iter().fold((i128::MAX, i128::MIN), |(low, high), &part| (low.min(part), high.max(part)))
}
