//! One demand over whole numbers: what is left of it once every candidate has
//! been multiplied out.
//!
//! Lengths become whole multiples of the finest part any of them needs, so all
//! comparisons stay exact. A domain is a word with one bit a candidate.

use num_integer::Integer;
use num_rational::Ratio;
use num_traits::CheckedMul;

use super::model::{Demand, Judgement, Linear, Model, Span, Test, VariableId};
use crate::measure::Length;
use crate::problem::Problem;

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

/// Sums past this would overflow when squared and added.
const LARGEST: i128 = 1 << 60;

/// A sum with one row of contributions for each variable in the scope.
#[derive(Clone, Debug)]
pub struct Parts {
    pub offset: i128,
    pub rows: Vec<Vec<i128>>,
}

impl Parts {
    fn span_of(row: &[i128], domain: Domain) -> (i128, i128) {
        each(domain).fold((i128::MAX, i128::MIN), |(low, high), at| (low.min(row[at]), high.max(row[at])))
    }

    /// The least and most each row can add.
    fn spans(&self, scope: &[usize], domains: &[Domain]) -> Vec<(i128, i128)> {
        self.rows.iter().zip(scope).map(|(row, &v)| Self::span_of(row, domains[v])).collect()
    }

    /// The least and most the sum can be.
    pub fn span(&self, scope: &[usize], domains: &[Domain]) -> (i128, i128) {
        self.spans(scope, domains)
            .into_iter()
            .fold((self.offset, self.offset), |(low, high), (a, b)| (low + a, high + b))
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
    /// Multiplies a demand out over the model's candidates.
    pub fn of(model: &Model, demand: &Demand) -> Result<Self, Problem> {
        let mut scope: Vec<usize> = demand.variables().iter().map(|v| v.0).collect();
        let ask = match demand {
            Demand::Between { sum, least, most } => {
                let bounds = [least, most].map(|bound| bound.map(Length::ratio));
                let mut scale = Scale::default();
                scale.see(model, sum)?;
                bounds.iter().flatten().try_for_each(|bound| scale.take(*bound))?;
                let parts = scale.parts(model, sum, &scope)?;
                let [low, high] = bounds.map(|bound| bound.map(|b| scale.whole(b)).transpose());
                Ask::Sum { parts, low: low?.unwrap_or(-LARGEST * 4), high: high?.unwrap_or(LARGEST * 4) }
            }
            Demand::Apart { along, across, reach } => {
                let mut scale = Scale::default();
                [along, across, reach].into_iter().try_for_each(|linear| scale.see(model, linear))?;
                let parts = |linear| scale.parts(model, linear, &scope);
                Ask::Apart { along: parts(along)?, across: parts(across)?, reach: parts(reach)? }
            }
            Demand::Pairs { a, b, allowed } => {
                scope = vec![a.0, b.0];
                let sizes = vec![allowed.len(), allowed.first().map_or(0, Vec::len)];
                Ask::Table { sizes, allowed: allowed.concat() }
            }
            Demand::Not { variable, candidate } | Demand::Is { variable, candidate } => {
                let wanted = matches!(demand, Demand::Is { .. });
                let size = model.variables[variable.0].candidates.len();
                let allowed = (0..size).map(|at| (at == *candidate) == wanted).collect();
                Ask::Table { sizes: vec![size], allowed }
            }
            Demand::Test(test) => {
                let sizes = |v: &usize| model.variables[*v].candidates.iter().map(|c| c.value).collect();
                let place = |v: &VariableId| {
                    scope.iter().position(|s| *s == v.0).expect("the scope is what it reads")
                };
                let places = test.on.iter().map(place).collect();
                Ask::Test { values: scope.iter().map(sizes).collect(), places, test: test.clone() }
            }
        };
        Ok(Self { scope, ask })
    }

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
                let open = |place: usize| each(domains[self.scope[place]]).map(move |at| values[place][at]);
                let span = |&place: &usize| Span {
                    least: open(place).min().unwrap_or_default(),
                    most: open(place).max().unwrap_or_default(),
                };
                let spans: Vec<Span> = places.iter().map(span).collect();
                let single = self.scope.iter().all(|&v| domains[v].is_power_of_two());
                match (test.judge)(&spans) {
                    Judgement::Unsure if single => Judgement::Breaks,
                    judgement => judgement,
                }
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

    /// Takes out every candidate that cannot hold whatever the others are.
    /// Says whether any went; stops at a variable with nothing left.
    pub fn narrow(&self, domains: &mut [Domain]) -> bool {
        match &self.ask {
            Ask::Sum { parts, low, high } => {
                let mut sum = Running::of(parts, &self.scope, domains);
                self.narrow_by(domains, |place, domains| {
                    let domain = domains[self.scope[place]];
                    let (least, most) = sum.without(place);
                    let row = &parts.rows[place];
                    let kept = keep(domain, |at| most + row[at] >= *low && least + row[at] <= *high);
                    sum.narrowed(parts, place, domain, kept);
                    kept
                })
            }
            Ask::Total { parts, ranges } => {
                let last = parts.rows.len();
                let mut sum = Running::of(parts, &self.scope, domains);
                let open = each(domains[self.scope[last]]);
                let (low, high) = open.fold((i128::MAX, i128::MIN), |(low, high), at| {
                    (low.min(ranges[at].0), high.max(ranges[at].1))
                });
                self.narrow_by(domains, |place, domains| {
                    let domain = domains[self.scope[place]];
                    if place == last {
                        let (least, most) = sum.whole;
                        return keep(domain, |at| ranges[at].0 <= most && ranges[at].1 >= least);
                    }
                    let (least, most) = sum.without(place);
                    let row = &parts.rows[place];
                    let kept = keep(domain, |at| most + row[at] >= low && least + row[at] <= high);
                    sum.narrowed(parts, place, domain, kept);
                    kept
                })
            }
            Ask::Apart { along, across, reach } => {
                let three = [along, across, reach];
                let mut sums = three.map(|parts| Running::of(parts, &self.scope, domains));
                self.narrow_by(domains, |place, domains| {
                    let domain = domains[self.scope[place]];
                    let [x, y, r] = [0, 1, 2].map(|at| sums[at].without(place));
                    let with = |(low, high): (i128, i128), part: i128| (low + part, high + part);
                    let kept = keep(domain, |at| {
                        let least = (r.0 + reach.rows[place][at]).max(0);
                        let far = largest_square(with(x, along.rows[place][at]))
                            + largest_square(with(y, across.rows[place][at]));
                        far >= least * least
                    });
                    for (sum, parts) in sums.iter_mut().zip(three) {
                        sum.narrowed(parts, place, domain, kept);
                    }
                    kept
                })
            }
            Ask::Table { sizes, allowed } if sizes.len() == 2 => {
                let (a, b) = (self.scope[0], self.scope[1]);
                let before = (domains[a], domains[b]);
                let ok = |at_a: usize, at_b: usize| allowed[at_a * sizes[1] + at_b];
                domains[a] = keep(before.0, |at_a| each(before.1).any(|at_b| ok(at_a, at_b)));
                domains[b] = keep(before.1, |at_b| each(domains[a]).any(|at_a| ok(at_a, at_b)));
                (domains[a], domains[b]) != before
            }
            Ask::Table { .. } | Ask::Test { .. } => self.narrow_by(domains, |place, domains| {
                let variable = self.scope[place];
                keep(domains[variable], |at| {
                    domains[variable] = 1 << at;
                    self.judge(domains) != Judgement::Breaks
                })
            }),
        }
    }

    fn narrow_by(
        &self,
        domains: &mut [Domain],
        mut kept: impl FnMut(usize, &mut [Domain]) -> Domain,
    ) -> bool {
        let mut changed = false;
        for (place, &variable) in self.scope.iter().enumerate() {
            let before = domains[variable];
            domains[variable] = kept(place, domains);
            if domains[variable] == 0 {
                return true;
            }
            changed |= domains[variable] != before;
        }
        changed
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

fn keep(domain: Domain, mut stays: impl FnMut(usize) -> bool) -> Domain {
    each(domain).filter(|&at| stays(at)).fold(0, |kept, at| kept | 1 << at)
}

/// The span of a sum, kept up while its variables are narrowed one by one.
struct Running {
    whole: (i128, i128),
    rows: Vec<(i128, i128)>,
}

impl Running {
    fn of(parts: &Parts, scope: &[usize], domains: &[Domain]) -> Self {
        let rows = parts.spans(scope, domains);
        let add = |sum: (i128, i128), row: &(i128, i128)| (sum.0 + row.0, sum.1 + row.1);
        Self { whole: rows.iter().fold((parts.offset, parts.offset), add), rows }
    }

    /// The span of all but one of the rows.
    fn without(&self, place: usize) -> (i128, i128) {
        let row = self.rows[place];
        (self.whole.0 - row.0, self.whole.1 - row.1)
    }

    fn narrowed(&mut self, parts: &Parts, place: usize, before: Domain, kept: Domain) {
        if kept != before && kept != 0 {
            let rest = self.without(place);
            self.rows[place] = Parts::span_of(&parts.rows[place], kept);
            self.whole = (rest.0 + self.rows[place].0, rest.1 + self.rows[place].1);
        }
    }
}

fn largest_square((low, high): (i128, i128)) -> i128 {
    (low * low).max(high * high)
}

fn smallest_square((low, high): (i128, i128)) -> i128 {
    if low <= 0 && high >= 0 { 0 } else { (low * low).min(high * high) }
}

/// The finest part of a millimetre that a demand needs.
struct Scale {
    parts: i128,
}

impl Default for Scale {
    fn default() -> Self {
        Self { parts: 1 }
    }
}

impl Scale {
    fn see(&mut self, model: &Model, linear: &Linear) -> Result<(), Problem> {
        self.take(linear.constant.ratio())?;
        for &(variable, times) in &linear.terms {
            for candidate in &model.variables[variable.0].candidates {
                self.take(candidate.value.ratio().checked_mul(&times).ok_or_else(too_fine)?)?;
            }
        }
        Ok(())
    }

    fn take(&mut self, value: Ratio<i128>) -> Result<(), Problem> {
        let step = value.denom() / self.parts.gcd(value.denom());
        self.parts = self.parts.checked_mul(step).filter(|parts| *parts < LARGEST).ok_or_else(too_fine)?;
        Ok(())
    }

    /// A ratio that [`Scale::take`] has seen, in whole parts.
    fn whole(&self, value: Ratio<i128>) -> Result<i128, Problem> {
        let step = self.parts / value.denom();
        let whole = i128::checked_mul(*value.numer(), step).ok_or_else(too_fine)?;
        if whole.abs() < LARGEST { Ok(whole) } else { Err(too_fine()) }
    }

    fn parts(&self, model: &Model, linear: &Linear, scope: &[usize]) -> Result<Parts, Problem> {
        let mut rows: Vec<Vec<i128>> =
            scope.iter().map(|&v| vec![0; model.variables[v].candidates.len()]).collect();
        for &(variable, times) in &linear.terms {
            let place = scope.iter().position(|&v| v == variable.0).expect("a term is in its own scope");
            for (sum, candidate) in rows[place].iter_mut().zip(&model.variables[variable.0].candidates) {
                let part = self.whole(candidate.value.ratio() * times)?;
                *sum = sum.checked_add(part).ok_or_else(too_fine)?;
            }
        }
        let offset = self.whole(linear.constant.ratio())?;
        let far = |row: &Vec<i128>| row.iter().map(|part| part.abs()).max().unwrap_or(0);
        let most: i128 = rows.iter().map(far).sum::<i128>() + offset.abs();
        if most < LARGEST { Ok(Parts { offset, rows }) } else { Err(too_fine()) }
    }
}

fn too_fine() -> Problem {
    Problem::new("the sizes in this demand are too fine to compare exactly")
        .why("their common part of a millimetre is past counting")
        .mend("give calculated sizes to a nanometre at most")
}
