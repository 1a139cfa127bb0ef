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
        let mut choice = vec![0; table.scope.len()];
        for at in 0..table.cells.len() {
            for ((digit, &v), &stride) in choice.iter_mut().zip(&table.scope).zip(&table.strides) {
                *digit = at / stride % sizes[v];
            }
            if factor.holds_at(&choice) {
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

/// What one variable's choice adds to the bound.
#[derive(Debug)]
pub struct Bucket {
    /// The variable.
    pub variable: usize,
    parts: Vec<Part>,
}

/// Tables eliminated together, and what they leave.
#[derive(Debug)]
struct Part {
    /// Everything the tables read.
    scope: BTreeSet<usize>,
    held: Vec<usize>,
    /// Added for each candidate of the bucket's variable.
    extra: Vec<Weight>,
    /// The table left behind.
    sent: usize,
}

impl Part {
    fn scope_without(&self, variable: usize) -> Vec<usize> {
        self.scope.iter().copied().filter(|&v| v != variable).collect()
    }
}

/// What becomes of sums too long for a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LongSums {
    /// The bound knows nothing of them.
    LeftOut,
    /// The bound minds their running totals, which are chosen like sizes.
    BrokenUp,
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
    /// True when the bound is the truth: every factor is in a table, and no
    /// bucket had to be parted.
    pub exact: bool,
    /// What ties running totals to the sizes in them.
    pub ties: Vec<Factor>,
    costs: Vec<Vec<Weight>>,
    tables: Vec<Table>,
}

impl Buckets {
    /// Builds the tables, none larger than `limit` cells.
    pub fn of(group: &Group, limit: usize, long: LongSums) -> Self {
        let mut sizes: Vec<usize> = group.costs.iter().map(Vec::len).collect();
        let (mut tables, mut exact) = (Vec::new(), true);
        let (mut totals, mut ties) = (Vec::new(), Vec::new());
        let widest = sizes.iter().copied().max().unwrap_or(1);
        let most = ((limit / widest) as f64).sqrt() as usize;
        for factor in &group.factors {
            if joint(&factor.scope, &sizes) <= limit {
                tables.push(Table::of(factor, &sizes));
                continue;
            }
            exact = false;
            let sum = LongSum::of(factor, &sizes[..group.costs.len()]);
            if let Some(sum) = sum.filter(|_| long == LongSums::BrokenUp) {
                let (short, tie) = sum.broken_up(&mut sizes, most.clamp(2, 128));
                totals.extend(short);
                ties.extend(tie);
            }
        }
        tables.extend(totals.iter().map(|factor| Table::of(factor, &sizes)));
        let mut costs = group.costs.clone();
        costs.extend(sizes[costs.len()..].iter().map(|&size| vec![0; size]));
        let order = cheapest_order(&tables, &sizes);
        let mut buckets = Self { order: Vec::new(), least: 0, sizes, exact, ties, costs, tables };
        let mut waiting = Waiting::of(&buckets.tables, buckets.sizes.len());
        for &variable in &order {
            buckets.eliminate(variable, &mut waiting, limit);
        }
        let settled = waiting.gone.iter().zip(&buckets.tables).filter(|(gone, _)| !**gone);
        buckets.least = settled.fold(0, |least, (_, table)| sum(least, table.cells[0]));
        buckets.order.reverse();
        buckets
    }

    fn eliminate(&mut self, variable: usize, waiting: &mut Waiting, limit: usize) {
        let mut held = waiting.take(variable);
        held.sort_by_key(|&at| (std::cmp::Reverse(self.tables[at].cells.len()), at));
        let none = vec![0; self.sizes[variable]];
        let part = |scope: &[usize], held: Vec<usize>| Part {
            scope: scope.iter().copied().collect(),
            held,
            extra: none.clone(),
            sent: 0,
        };
        let mut parts: Vec<Part> = Vec::new();
        for at in held {
            let scope = &self.tables[at].scope;
            let fits = |part: &&mut Part| {
                joint(part.scope.iter().chain(scope.iter().filter(|v| !part.scope.contains(v))), &self.sizes)
                    <= limit
            };
            match parts.iter_mut().find(fits) {
                Some(part) => {
                    part.scope.extend(scope);
                    part.held.push(at);
                }
                None => parts.push(part(scope, vec![at])),
            }
        }
        if parts.is_empty() {
            parts.push(part(&[variable], vec![]));
        }
        parts[0].extra.clone_from(&self.costs[variable]);
        if parts.len() > 1 {
            self.exact = false;
            self.share(variable, &mut parts);
        }
        for part in &mut parts {
            let mut message = Table::empty(part.scope_without(variable), &self.sizes);
            self.sweep(part, variable, |cell| {
                message.cells[cell.at] = message.cells[cell.at].min(cell.cost);
            });
            part.sent = self.tables.len();
            waiting.add(part.sent, &message.scope);
            self.tables.push(message);
        }
        self.order.push(Bucket { variable, parts });
    }

    /// Moves cost between the parts of a bucket until each asks the same least
    /// for a candidate. What is moved adds up to nothing.
    fn share(&self, variable: usize, parts: &mut [Part]) {
        let mut least = vec![vec![NEVER; self.sizes[variable]]; parts.len()];
        for (least, part) in least.iter_mut().zip(&*parts) {
            self.sweep(part, variable, |cell| least[cell.candidate] = least[cell.candidate].min(cell.cost));
        }
        for candidate in 0..self.sizes[variable] {
            let total = least.iter().fold(0, |total, least| sum(total, least[candidate]));
            let (mut left, mut shares) = (total, parts.len() as Weight);
            for (part, least) in parts.iter_mut().zip(&least) {
                let share = left / shares;
                let extra = &mut part.extra[candidate];
                *extra = if total >= NEVER { NEVER } else { *extra + share - least[candidate] };
                (left, shares) = (left - share, shares - 1);
            }
        }
    }

    /// Adds the tables of a part up for every combination of its scope;
    /// combinations that cannot hold are passed over.
    fn sweep(&self, part: &Part, variable: usize, mut see: impl FnMut(Cell)) {
        let scope = part.scope_without(variable);
        let tables: Vec<&Table> = part.held.iter().map(|&at| &self.tables[at]).collect();
        let own: Vec<usize> = tables.iter().map(|table| table.stride(variable)).collect();
        let strides: Vec<Vec<usize>> =
            scope.iter().map(|&v| tables.iter().map(|table| table.stride(v)).collect()).collect();
        let mut digits = vec![0; scope.len()];
        let mut places = vec![0; tables.len()];
        for at in 0..joint(&scope, &self.sizes) {
            'candidates: for (candidate, &extra) in part.extra.iter().enumerate() {
                if extra >= NEVER {
                    continue;
                }
                let mut cost = extra;
                for ((table, place), own) in tables.iter().zip(&places).zip(&own) {
                    let cell = table.cells[place + own * candidate];
                    if cell >= NEVER {
                        continue 'candidates;
                    }
                    cost += cell;
                }
                see(Cell { at, candidate, cost, places: &places, own: &own });
            }
            for ((digit, &v), strides) in digits.iter_mut().zip(&scope).zip(&strides).rev() {
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

    /// For every variable and candidate, the least any choice with it can cost,
    /// as far as the tables tell.
    ///
    /// The tables left behind say what lies below a combination; going back over
    /// the buckets the other way says what lies beside and above it.
    pub fn least_with(&self) -> Vec<Vec<Weight>> {
        let mut least: Vec<Vec<Weight>> = self.sizes.iter().map(|&size| vec![self.least; size]).collect();
        let mut above: Vec<Vec<Weight>> = vec![Vec::new(); self.tables.len()];
        for bucket in &self.order {
            for part in &bucket.parts {
                if above[part.sent].is_empty() {
                    // The last of its chain: what lies above it is all the other chains.
                    above[part.sent] = vec![self.least - self.tables[part.sent].cells[0]];
                }
                let beyond = std::mem::take(&mut above[part.sent]);
                let mut whole = vec![NEVER; self.sizes[bucket.variable]];
                let mut below: Vec<Vec<Weight>> =
                    part.held.iter().map(|&at| vec![NEVER; self.tables[at].cells.len()]).collect();
                self.sweep(part, bucket.variable, |cell| {
                    let cost = sum(cell.cost, beyond[cell.at]);
                    whole[cell.candidate] = whole[cell.candidate].min(cost);
                    for ((below, place), own) in below.iter_mut().zip(cell.places).zip(cell.own) {
                        let at = place + own * cell.candidate;
                        below[at] = below[at].min(cost);
                    }
                });
                for (below, &at) in below.into_iter().zip(&part.held) {
                    let less =
                        |(cost, cell): (Weight, &Weight)| if cost >= NEVER { NEVER } else { cost - cell };
                    above[at] = below.into_iter().zip(&self.tables[at].cells).map(less).collect();
                }
                for (least, whole) in least[bucket.variable].iter_mut().zip(whole) {
                    *least = whole.max(*least);
                }
            }
        }
        least
    }

    /// The bound once each candidate of the variable at `depth` is chosen after
    /// those before it; `bound` is the bound before.
    pub fn bounds(&self, depth: usize, choice: &mut [usize], bound: Weight) -> Vec<(Weight, usize)> {
        let Bucket { variable, parts } = &self.order[depth];
        choice[*variable] = 0;
        let mut before = bound;
        let mut held: Vec<(&Table, usize, usize)> = Vec::new();
        for part in parts {
            let sent = &self.tables[part.sent];
            before -= sent.cells[sent.place(choice)];
            let tables = part.held.iter().map(|&at| &self.tables[at]);
            held.extend(tables.map(|table| (table, table.place(choice), table.stride(*variable))));
        }
        let with = |candidate: usize| {
            let start = before + self.costs[*variable][candidate];
            held.iter()
                .fold(start, |cost, (table, place, own)| sum(cost, table.cells[place + own * candidate]))
        };
        (0..self.sizes[*variable]).map(|candidate| (with(candidate), candidate)).collect()
    }
}

/// One combination as a sweep sees it.
struct Cell<'a> {
    /// Its place in the table left behind.
    at: usize,
    candidate: usize,
    cost: Weight,
    /// Where it stands in each table held, but for the candidate.
    places: &'a [usize],
    /// How far each candidate moves on in each table held.
    own: &'a [usize],
}

/// Adds two costs; what can never be stays so.
fn sum(a: Weight, b: Weight) -> Weight {
    if a >= NEVER || b >= NEVER { NEVER } else { a + b }
}

/// As many combinations as make no difference any more.
const PAST_COUNTING: usize = 1 << 40;

/// How many combinations some variables have.
fn joint<'a>(scope: impl IntoIterator<Item = &'a usize>, sizes: &[usize]) -> usize {
    let mut cells: usize = 1;
    for &v in scope {
        cells = cells.saturating_mul(sizes[v]);
        if cells >= PAST_COUNTING {
            return PAST_COUNTING;
        }
    }
    cells
}

/// The tables not yet eliminated, found by their variables.
struct Waiting {
    readers: Vec<Vec<usize>>,
    gone: Vec<bool>,
}

impl Waiting {
    fn of(tables: &[Table], variables: usize) -> Self {
        let mut waiting = Self { readers: vec![Vec::new(); variables], gone: Vec::new() };
        tables.iter().enumerate().for_each(|(at, table)| waiting.add(at, &table.scope));
        waiting
    }

    fn add(&mut self, at: usize, scope: &[usize]) {
        debug_assert_eq!(at, self.gone.len());
        self.gone.push(false);
        scope.iter().for_each(|&v| self.readers[v].push(at));
    }

    fn take(&mut self, variable: usize) -> Vec<usize> {
        let mut held = std::mem::take(&mut self.readers[variable]);
        held.retain(|&at| !std::mem::replace(&mut self.gone[at], true));
        held
    }
}

/// Which variable to eliminate next: the one that joins the fewest combinations.
fn cheapest_order(tables: &[Table], sizes: &[usize]) -> Vec<usize> {
    let mut near: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); sizes.len()];
    for table in tables {
        for &v in &table.scope {
            near[v].extend(table.scope.iter().copied().filter(|&other| other != v));
        }
    }
    let joins = |near: &[BTreeSet<usize>], v: usize| joint(near[v].iter().chain([&v]), sizes);
    let mut left: BTreeSet<(usize, usize)> = (0..sizes.len()).map(|v| (joins(&near, v), v)).collect();
    let mut order = Vec::with_capacity(sizes.len());
    while let Some((_, next)) = left.pop_first() {
        let ring = std::mem::take(&mut near[next]);
        for &v in &ring {
            left.remove(&(joins(&near, v), v));
            near[v].extend(ring.iter().copied().filter(|&other| other != v));
            near[v].remove(&next);
            left.insert((joins(&near, v), v));
        }
        order.push(next);
    }
    order
}
