//! What one demand rules out, whatever the other sizes are.

use super::factor::{Ask, Domain, Factor, Parts, each, largest_square, span_of};
use super::model::{Judgement, Span};

impl Factor {
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
            Ask::Test { values, places, test } => {
                let mut spans = self.open_spans(values, places, domains);
                // What holds for all that is open rules nothing out.
                if (test.judge)(&spans) == Judgement::Holds {
                    return false;
                }
                let mut settled = self.scope.iter().filter(|&&v| domains[v].is_power_of_two()).count();
                self.narrow_by(domains, |place, domains| {
                    let domain = domains[self.scope[place]];
                    let own = usize::from(domain.is_power_of_two());
                    let single = settled - own + 1 == self.scope.len();
                    let kept = keep(domain, |at| {
                        let value = values[place][at];
                        let reads = places.iter().zip(&mut spans).filter(|(read, _)| **read == place);
                        reads.for_each(|(_, span)| *span = Span { least: value, most: value });
                        match (test.judge)(&spans) {
                            Judgement::Holds => true,
                            Judgement::Breaks => false,
                            Judgement::Unsure => !single,
                        }
                    });
                    settled = settled - own + usize::from(kept.is_power_of_two());
                    let left = span_of(&values[place], kept);
                    let reads = places.iter().zip(&mut spans).filter(|(read, _)| **read == place);
                    reads.for_each(|(_, span)| *span = left);
                    kept
                })
            }
            Ask::Table { .. } => self.narrow_by(domains, |place, domains| {
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
