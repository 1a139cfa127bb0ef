//! The lower bound: variables eliminated one by one, each leaving a table of the
//! least its part of the problem can still cost.
//!
//! Where the tables fit (chains, trees, anything of small width) the bound is
//! exact and the search walks straight to the optimum. Where they do not, a
//! bucket is parted into smaller ones that each choose for themselves; the bound
//! is then too low, never too high. Parted buckets first share the cost of their
//! variable evenly, which makes the bound much tighter.
//!
//! Sources: bucket elimination, Dechter (1999); mini-buckets, Dechter and Rish
//! (2003); sharing by matched minima, Ihler, Flerova, Dechter and Otten (2012).
//! All from memory.

use std::collections::BTreeSet;

use super::factor::{Ask, Factor};
use super::model::Judgement;
use super::network::{Group, NEVER, Weight};
use super::partial::LongSum;

/// The least cost for every combination of a few variables.
#[derive(Debug)]
pub struct Table {
    /// Its variables, the last fastest.
    scope: Vec<usize>,
    strides: Vec<usize>,
    cells: Vec<Weight>,
}

impl Table {
    fn empty(scope: Vec<usize>, sizes: &[usize]) -> Self {
        let mut strides = vec![1; scope.len()];
        for at in (1..scope.len()).rev() {
            strides[at - 1] = strides[at] * sizes[scope[at]];
        }
        let cells = vec![NEVER; scope.iter().map(|&v| sizes[v]).product()];
        Self { scope, strides, cells }
    }

    fn of(factor: &Factor, sizes: &[usize]) -> Self {
        let mut table = Self::empty(factor.scope.clone(), sizes);
        if let Ask::Table { allowed, .. } = &factor.ask {
            for (cell, &allowed) in table.cells.iter_mut().zip(allowed) {
                *cell = if allowed { 0 } else { NEVER };
            }
            return table;
        }
        let mut domains = vec![0; sizes.len()];
        for at in 0..table.cells.len() {
            for (&v, &stride) in table.scope.iter().zip(&table.strides) {
                domains[v] = 1 << (at / stride % sizes[v]);
            }
            if factor.judge(&domains) == Judgement::Holds {
                table.cells[at] = 0;
            }
        }
        table
    }

    fn stride(&self, variable: usize) -> usize {
        self.scope.iter().position(|&v| v == variable).map_or(0, |at| self.strides[at])
    }

    /// Where the chosen candidates stand; variables not chosen count as nought.
    fn place(&self, choice: &[usize]) -> usize {
        self.scope.iter().zip(&self.strides).map(|(&v, &stride)| choice[v] * stride).sum()
    }
}

/// Everything one variable's choice adds to the bound.
#[derive(Debug)]
pub struct Bucket {
    /// The variable.
    pub variable: usize,
    held: Vec<usize>,
    sent: Vec<usize>,
}

/// The tables of a whole group, and the order in which to choose.
#[derive(Debug)]
pub struct Buckets {
    /// In the order of choosing.
    pub order: Vec<Bucket>,
    /// No choice costs less than this; [`NEVER`] when none holds.
    pub least: Weight,
    /// How many candidates each variable has, running totals after the others.
    pub sizes: Vec<usize>,
    /// The factors no table holds, by number; they are judged as the search goes.
    pub loose: Vec<usize>,
    costs: Vec<Vec<Weight>>,
    tables: Vec<Table>,
}

impl Buckets {
    /// Builds the tables, none larger than `limit` cells.
    pub fn of(group: &Group, limit: usize) -> Self {
        let mut sizes: Vec<usize> = group.costs.iter().map(Vec::len).collect();
        let (mut tables, mut loose) = (Vec::new(), Vec::new());
        let mut totals = Vec::new();
        let widest = sizes.iter().copied().max().unwrap_or(1);
        let most = ((limit / widest) as f64).sqrt() as usize;
        for (at, factor) in group.factors.iter().enumerate() {
            if joint(&factor.scope, &sizes) <= limit {
                tables.push(Table::of(factor, &sizes));
                continue;
            }
            loose.push(at);
            if let Some(sum) = LongSum::of(factor, &sizes[..group.costs.len()]) {
                totals.extend(sum.broken_up(&mut sizes, most.clamp(2, 128)));
            }
        }
        tables.extend(totals.iter().map(|factor| Table::of(factor, &sizes)));
        let mut costs = group.costs.clone();
        costs.extend(sizes[costs.len()..].iter().map(|&size| vec![0; size]));
        let order = cheapest_order(&tables, &sizes);
        let mut buckets = Self { order: Vec::new(), least: 0, sizes, loose, costs, tables };
        let mut waiting: Vec<usize> = (0..buckets.tables.len()).collect();
        for &variable in &order {
            buckets.eliminate(variable, &mut waiting, limit);
        }
        for at in waiting {
            buckets.least = sum(buckets.least, buckets.tables[at].cells[0]);
        }
        buckets.order.reverse();
        buckets
    }

    fn eliminate(&mut self, variable: usize, waiting: &mut Vec<usize>, limit: usize) {
        let mut held: Vec<usize> =
            waiting.extract_if(.., |at| self.tables[*at].scope.contains(&variable)).collect();
        held.sort_by_key(|&at| (std::cmp::Reverse(self.tables[at].cells.len()), at));
        let mut parts: Vec<(BTreeSet<usize>, Vec<usize>)> = Vec::new();
        for &at in &held {
            let scope = &self.tables[at].scope;
            let fits = |part: &&mut (BTreeSet<usize>, Vec<usize>)| {
                joint(part.0.iter().chain(scope.iter().filter(|v| !part.0.contains(v))), &self.sizes) <= limit
            };
            match parts.iter_mut().find(fits) {
                Some(part) => {
                    part.0.extend(scope);
                    part.1.push(at);
                }
                None => parts.push((scope.iter().copied().collect(), vec![at])),
            }
        }
        if parts.is_empty() {
            parts.push(([variable].into(), vec![]));
        }
        let mut extra = vec![vec![0; self.sizes[variable]]; parts.len()];
        extra[0].clone_from(&self.costs[variable]);
        if parts.len() > 1 {
            self.share(variable, &parts, &mut extra);
        }
        let mut sent = Vec::new();
        for ((scope, functions), extra) in parts.iter().zip(&extra) {
            let scope = scope.iter().copied().filter(|&v| v != variable).collect();
            let mut message = Table::empty(scope, &self.sizes);
            self.sweep(functions, &message.scope, variable, |at, candidate, cost| {
                message.cells[at] = message.cells[at].min(sum(cost, extra[candidate]));
            });
            sent.push(self.tables.len());
            waiting.push(self.tables.len());
            self.tables.push(message);
        }
        self.order.push(Bucket { variable, held, sent });
    }

    /// Moves cost between the parts of a bucket until each asks the same least
    /// for a candidate. What is moved adds up to nothing.
    fn share(&self, variable: usize, parts: &[(BTreeSet<usize>, Vec<usize>)], extra: &mut [Vec<Weight>]) {
        let mut least = vec![vec![NEVER; self.sizes[variable]]; parts.len()];
        for (least, (scope, functions)) in least.iter_mut().zip(parts) {
            let scope: Vec<usize> = scope.iter().copied().filter(|&v| v != variable).collect();
            self.sweep(functions, &scope, variable, |_, candidate, cost| {
                least[candidate] = least[candidate].min(cost);
            });
        }
        for candidate in 0..self.sizes[variable] {
            let own = extra[0][candidate];
            let total = least.iter().fold(own, |total, least| sum(total, least[candidate]));
            let (mut left, mut shares) = (total, parts.len() as Weight);
            for (extra, least) in extra.iter_mut().zip(&least) {
                let share = left / shares;
                extra[candidate] = if total >= NEVER { NEVER } else { share - least[candidate] };
                (left, shares) = (left - share, shares - 1);
            }
        }
    }

    /// Adds the functions up for every combination over `scope` and every
    /// candidate of `variable`; combinations that cannot hold are passed over.
    fn sweep(
        &self,
        functions: &[usize],
        scope: &[usize],
        variable: usize,
        mut see: impl FnMut(usize, usize, Weight),
    ) {
        let functions: Vec<&Table> = functions.iter().map(|&at| &self.tables[at]).collect();
        let own: Vec<usize> = functions.iter().map(|table| table.stride(variable)).collect();
        let strides: Vec<Vec<usize>> =
            scope.iter().map(|&v| functions.iter().map(|table| table.stride(v)).collect()).collect();
        let mut digits = vec![0; scope.len()];
        let mut places = vec![0; functions.len()];
        for at in 0..joint(scope, &self.sizes) {
            'candidates: for candidate in 0..self.sizes[variable] {
                let mut cost = 0;
                for ((table, place), own) in functions.iter().zip(&places).zip(&own) {
                    let cell = table.cells[place + own * candidate];
                    if cell >= NEVER {
                        continue 'candidates;
                    }
                    cost += cell;
                }
                see(at, candidate, cost);
            }
            for ((digit, &v), strides) in digits.iter_mut().zip(scope).zip(&strides).rev() {
                if *digit + 1 < self.sizes[v] {
                    *digit += 1;
                    places.iter_mut().zip(strides).for_each(|(place, stride)| *place += stride);
                    break;
                }
                places.iter_mut().zip(strides).for_each(|(place, stride)| *place -= *digit * stride);
                *digit = 0;
            }
        }
    }

    /// The bound once each candidate of the variable at `depth` is chosen after
    /// those before it; `bound` is the bound before.
    pub fn bounds(&self, depth: usize, choice: &mut [usize], bound: Weight) -> Vec<(Weight, usize)> {
        let bucket = &self.order[depth];
        let before = bucket.sent.iter().fold(bound, |bound, &at| {
            let table = &self.tables[at];
            bound - table.cells[table.place(choice)]
        });
        choice[bucket.variable] = 0;
        let held: Vec<(&Table, usize, usize)> = (bucket.held.iter())
            .map(|&at| {
                (&self.tables[at], self.tables[at].place(choice), self.tables[at].stride(bucket.variable))
            })
            .collect();
        let with = |candidate: usize| {
            let start = before + self.costs[bucket.variable][candidate];
            held.iter()
                .fold(start, |cost, (table, place, own)| sum(cost, table.cells[place + own * candidate]))
        };
        (0..self.sizes[bucket.variable]).map(|candidate| (with(candidate), candidate)).collect()
    }
}

/// Adds two costs; what can never be stays so.
fn sum(a: Weight, b: Weight) -> Weight {
    if a >= NEVER || b >= NEVER { NEVER } else { a + b }
}

/// How many combinations some variables have.
fn joint<'a>(scope: impl IntoIterator<Item = &'a usize>, sizes: &[usize]) -> usize {
    scope.into_iter().fold(1, |cells: usize, &v| cells.saturating_mul(sizes[v]))
}

/// Which variable to eliminate next: the one that joins the fewest combinations.
fn cheapest_order(tables: &[Table], sizes: &[usize]) -> Vec<usize> {
    let mut near: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); sizes.len()];
    for table in tables {
        for &v in &table.scope {
            near[v].extend(table.scope.iter().copied().filter(|&other| other != v));
        }
    }
    let mut left: BTreeSet<usize> = (0..sizes.len()).collect();
    let mut order = Vec::with_capacity(sizes.len());
    while let Some(&next) = left.iter().min_by_key(|&&v| (joint(near[v].iter().chain([&v]), sizes), v)) {
        left.remove(&next);
        let ring = std::mem::take(&mut near[next]);
        for &v in &ring {
            near[v].extend(ring.iter().copied().filter(|&other| other != v));
            near[v].remove(&next);
        }
        order.push(next);
    }
    order
}
