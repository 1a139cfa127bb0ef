//! One demand over whole numbers: what is left of it once every candidate has
//! been multiplied out (see `multiplied`). A domain is a word with one bit a
//! candidate.

use super::model::{Judgement, Span, Test};
use crate::measure::Length;

/// The candidates still open, one bit each.
pub type Domain = u128;

/// A domain of the first `size` candidates.
pub fn full(size: usize) -> Domain {
    if size >= 128 { Domain::MAX } else { (1 << size) - 1 }
}

/// The candidates in a domain, lowest first.
pub fn each(mut domain: Domain) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let at = (domain != 0).then(|| domain.trailing_zeros() as usize)?;
        domain &= domain - 1;
        Some(at)
    })
}

/// A sum with one row of contributions for each variable in the scope.
#[derive(Clone, Debug)]
pub struct Parts {
    pub offset: i128,
    pub rows: Vec<Vec<i128>>,
}

impl Parts {
    pub fn span_of(row: &[i128], domain: Domain) -> (i128, i128) {
        each(domain).fold((i128::MAX, i128::MIN), |(low, high), at| (low.min(row[at]), high.max(row[at])))
    }

    /// The least and most each row can add.
    pub fn spans(&self, scope: &[usize], domains: &[Domain]) -> Vec<(i128, i128)> {
        self.rows.iter().zip(scope).map(|(row, &v)| Self::span_of(row, domains[v])).collect()
    }

    /// The least and most the sum can be.
    pub fn span(&self, scope: &[usize], domains: &[Domain]) -> (i128, i128) {
        self.rows.iter().zip(scope).fold((self.offset, self.offset), |(low, high), (row, &v)| {
            let (least, most) = Self::span_of(row, domains[v]);
            (low + least, high + most)
        })
    }

    /// The sum of single candidates, one a place.
    fn at(&self, choice: &[usize]) -> i128 {
        self.rows.iter().zip(choice).fold(self.offset, |sum, (row, &at)| sum + row[at])
    }
}

/// What a factor asks.
#[derive(Clone, Debug)]
pub enum Ask {
    /// The sum lies within these.
    Sum { parts: Parts, low: i128, high: i128 },
    /// The squares of the first two reach the square of the third.
    Apart { along: Parts, across: Parts, reach: Parts },
    /// The sum of all but the last variable of the scope lies in the range that
    /// the last one stands for.
    Total { parts: Parts, ranges: Vec<(i128, i128)> },
    /// A table over the scope, last variable fastest.
    Table { sizes: Vec<usize>, allowed: Vec<bool> },
    /// The caller's own judge, and where in the scope each variable it reads stands.
    Test { values: Vec<Vec<Length>>, places: Vec<usize>, test: Test },
}

/// One demand and the variables it reads.
#[derive(Clone, Debug)]
pub struct Factor {
    pub scope: Vec<usize>,
    pub ask: Ask,
}

impl Factor {
    /// True, false or not yet known over the domains given.
    pub fn judge(&self, domains: &[Domain]) -> Judgement {
        let tell = |never: bool, always: bool| match (never, always) {
            (true, _) => Judgement::Breaks,
            (_, true) => Judgement::Holds,
            _ => Judgement::Unsure,
        };
        match &self.ask {
            Ask::Sum { parts, low, high } => {
                let (least, most) = parts.span(&self.scope, domains);
                tell(most < *low || least > *high, least >= *low && most <= *high)
            }
            Ask::Apart { along, across, reach } => {
                let [x, y, r] = [along, across, reach].map(|parts| parts.span(&self.scope, domains));
                let far = largest_square(x) + largest_square(y);
                let near = smallest_square(x) + smallest_square(y);
                let (least, most) = (r.0.max(0), r.1.max(0));
                tell(far < least * least, near >= most * most)
            }
            Ask::Total { parts, ranges } => {
                let (least, most) = parts.span(&self.scope, domains);
                let meets = |at: usize| ranges[at].0 <= most && ranges[at].1 >= least;
                let within = |at: usize| ranges[at].0 <= least && ranges[at].1 >= most;
                let open = || each(domains[self.scope[parts.rows.len()]]);
                tell(!open().any(meets), open().all(within))
            }
            Ask::Table { sizes, allowed } => {
                let (mut never, mut always) = (true, true);
                self.walk(domains, sizes, 0, 0, &mut |at| {
                    never &= !allowed[at];
                    always &= allowed[at];
                });
                tell(never, always)
            }
            Ask::Test { values, places, test } => {
                let spans = self.open_spans(values, places, domains);
                let single = self.scope.iter().all(|&v| domains[v].is_power_of_two());
                match (test.judge)(&spans) {
                    Judgement::Unsure if single => Judgement::Breaks,
                    judgement => judgement,
                }
            }
        }
    }

    /// What a test reads of what is open.
    pub fn open_spans(&self, values: &[Vec<Length>], places: &[usize], domains: &[Domain]) -> Vec<Span> {
        places.iter().map(|&place| span_of(&values[place], domains[self.scope[place]])).collect()
    }

    /// Whether it holds for single candidates, one a place of the scope.
    pub fn holds_at(&self, choice: &[usize]) -> bool {
        match &self.ask {
            Ask::Sum { parts, low, high } => (*low..=*high).contains(&parts.at(choice)),
            Ask::Apart { along, across, reach } => {
                let (x, y, least) = (along.at(choice), across.at(choice), reach.at(choice).max(0));
                x * x + y * y >= least * least
            }
            Ask::Total { parts, ranges } => {
                let (low, high) = ranges[choice[parts.rows.len()]];
                (low..=high).contains(&parts.at(choice))
            }
            Ask::Table { sizes, allowed } => {
                allowed[sizes.iter().zip(choice).fold(0, |at, (size, digit)| at * size + digit)]
            }
            Ask::Test { values, places, test } => {
                let single = |&place: &usize| {
                    let value = values[place][choice[place]];
                    Span { least: value, most: value }
                };
                (test.judge)(&places.iter().map(single).collect::<Vec<_>>()) == Judgement::Holds
            }
        }
    }

    fn walk(
        &self,
        domains: &[Domain],
        sizes: &[usize],
        depth: usize,
        at: usize,
        see: &mut impl FnMut(usize),
    ) {
        if depth == sizes.len() {
            return see(at);
        }
        for candidate in each(domains[self.scope[depth]]) {
            self.walk(domains, sizes, depth + 1, at * sizes[depth] + candidate, see);
        }
    }

    /// The same demand over the candidates kept, renumbered from nought.
    pub fn over(&self, kept: &[Vec<usize>]) -> Self {
        let rows = |rows: &[Vec<i128>]| {
            let pick = |(row, &v): (&Vec<i128>, &usize)| kept[v].iter().map(|&at| row[at]).collect();
            rows.iter().zip(&self.scope).map(pick).collect()
        };
        let parts = |p: &Parts| Parts { offset: p.offset, rows: rows(&p.rows) };
        let ask = match &self.ask {
            Ask::Sum { parts: p, low, high } => Ask::Sum { parts: parts(p), low: *low, high: *high },
            Ask::Total { parts: p, ranges } => {
                let last = self.scope[p.rows.len()];
                let ranges = kept[last].iter().map(|&at| ranges[at]).collect();
                Ask::Total { parts: parts(p), ranges }
            }
            Ask::Apart { along, across, reach } => {
                Ask::Apart { along: parts(along), across: parts(across), reach: parts(reach) }
            }
            Ask::Table { sizes, allowed } => {
                let mut domains = vec![0; self.scope.iter().max().map_or(0, |v| v + 1)];
                for &v in &self.scope {
                    domains[v] = kept[v].iter().fold(0, |domain, &at| domain | 1 << at);
                }
                let mut chosen = Vec::new();
                self.walk(&domains, sizes, 0, 0, &mut |at| chosen.push(allowed[at]));
                Ask::Table { sizes: self.scope.iter().map(|&v| kept[v].len()).collect(), allowed: chosen }
            }
            Ask::Test { values, places, test } => {
                let pick = |(row, &v): (&Vec<Length>, &usize)| kept[v].iter().map(|&at| row[at]).collect();
                let values = values.iter().zip(&self.scope).map(pick).collect();
                Ask::Test { values, places: places.clone(), test: test.clone() }
            }
        };
        Self { scope: self.scope.clone(), ask }
    }
}

/// The least and the greatest of the values open.
pub fn span_of(values: &[Length], domain: Domain) -> Span {
    let mut open = each(domain).map(|at| values[at]);
    let first = open.next().unwrap_or_default();
    open.fold(Span { least: first, most: first }, |span, value| Span {
        least: span.least.min(value),
        most: span.most.max(value),
    })
}

pub fn largest_square((low, high): (i128, i128)) -> i128 {
    (low * low).max(high * high)
}

pub fn smallest_square((low, high): (i128, i128)) -> i128 {
    if low <= 0 && high >= 0 { 0 } else { (low * low).min(high * high) }
}
