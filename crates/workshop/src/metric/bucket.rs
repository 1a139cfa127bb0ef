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
        if let Ask::Sum { parts, low, high } = &factor.ask {
            // What is left of the range after all but the last: nothing is added up twice.
            let mut left = vec![(low - parts.offset, high - parts.offset)];
            let (last, others) = parts.rows.split_last().expect("a sum reads something");
            for row in others {
                left = left
                    .iter()
                    .flat_map(|&(low, high)| row.iter().map(move |part| (low - part, high - part)))
                    .collect();
            }
            for (cells, (low, high)) in table.cells.chunks_mut(last.len()).zip(left) {
                for (cell, part) in cells.iter_mut().zip(last) {
                    *cell = if (low..=high).contains(part) { 0 } else { NEVER };
                }
            }
            return table;
        }
        let mut choice = vec![0; table.scope.len()];
        for cell in &mut table.cells {
            if factor.holds_at(&choice) {
                *cell = 0;
            }
            for (digit, &v) in choice.iter_mut().zip(&table.scope).rev() {
                *digit += 1;
                if *digit < sizes[v] {
                    break;
                }
                *digit = 0;
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
    scope: Vec<usize>,
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
        let scopes: Vec<&[usize]> = tables.iter().map(|table| &table.scope[..]).collect();
        let (order, _) = cheapest_order(&scopes, &sizes);
        Self { order: Vec::new(), least: 0, sizes, exact, ties, costs, tables }.eliminated(&order, limit)
    }

    /// Builds tables that hold everything, in the order that [`outright`] gave.
    pub fn whole(group: &Group, order: &[usize]) -> Self {
        let sizes: Vec<usize> = group.costs.iter().map(Vec::len).collect();
        let tables = group.factors.iter().map(|factor| Table::of(factor, &sizes)).collect();
        let costs = group.costs.clone();
        Self { order: Vec::new(), least: 0, sizes, exact: true, ties: Vec::new(), costs, tables }
            .eliminated(order, usize::MAX)
    }

    fn eliminated(self, order: &[usize], limit: usize) -> Self {
        let mut buckets = self;
        let mut waiting = Waiting::of(&buckets.tables, buckets.sizes.len());
        for &variable in order {
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
            scope: sorted(scope),
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
                    scope.iter().for_each(|&v| insert(&mut part.scope, v));
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
        // What does not mind the last of the scope is added up once for all of it.
        let (inner, size) = scope.last().map_or((scope.len(), 1), |&v| (scope.len() - 1, self.sizes[v]));
        let (moving, still): (Vec<usize>, Vec<usize>) =
            (0..tables.len()).partition(|&at| strides.get(inner).is_some_and(|strides| strides[at] > 0));
        let mut digits = vec![0; inner];
        let mut places = vec![0; tables.len()];
        let mut open: Vec<(usize, Weight)> = Vec::new();
        let cost = |start: Weight, held: &[usize], places: &[usize], candidate: usize| {
            let mut cost = start;
            for &at in held {
                let cell = tables[at].cells[places[at] + own[at] * candidate];
                if cell >= NEVER {
                    return NEVER;
                }
                cost += cell;
            }
            cost
        };
        for before in 0..joint(&scope[..inner], &self.sizes) {
            let extras = part.extra.iter().enumerate().filter(|(_, extra)| **extra < NEVER);
            open.clear();
            open.extend(extras.map(|(at, &extra)| (at, cost(extra, &still, &places, at))));
            open.retain(|&(_, cost)| cost < NEVER);
            for digit in 0..if open.is_empty() { 0 } else { size } {
                for &(candidate, start) in &open {
                    let cost = cost(start, &moving, &places, candidate);
                    if cost < NEVER {
                        let at = before * size + digit;
                        see(Cell { at, candidate, cost, places: &places, own: &own });
                    }
                }
                moving.iter().for_each(|&at| places[at] += strides[inner][at]);
            }
            if !open.is_empty() {
                moving.iter().for_each(|&at| places[at] -= size * strides[inner][at]);
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

/// The order in which a group can be eliminated with no bucket parted and no more
/// combinations looked at than this, all tables together; nothing when it hangs together
/// too closely.
pub fn outright(group: &Group, most: usize) -> Option<Vec<usize>> {
    let sizes: Vec<usize> = group.costs.iter().map(Vec::len).collect();
    let wide = |factor: &Factor| {
        let most = if matches!(factor.ask, Ask::Test { .. }) { MOST_JUDGED } else { most };
        joint(&factor.scope, &sizes) > most
    };
    if group.factors.iter().any(wide) {
        return None;
    }
    let scopes: Vec<&[usize]> = group.factors.iter().map(|factor| &factor.scope[..]).collect();
    let (order, cells) = cheapest_order(&scopes, &sizes);
    (cells <= most).then_some(order)
}

/// The most combinations that a caller's own judge is asked about.
const MOST_JUDGED: usize = 1 << 12;

/// Which variable to eliminate next, the one that joins the fewest combinations; and how
/// many all of them join.
fn cheapest_order(scopes: &[&[usize]], sizes: &[usize]) -> (Vec<usize>, usize) {
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); sizes.len()];
    for scope in scopes {
        for &v in *scope {
            scope.iter().filter(|other| **other != v).for_each(|&other| insert(&mut near[v], other));
        }
    }
    let mut cells: usize = 0;
    let joins = |near: &[Vec<usize>], v: usize| joint(near[v].iter().chain([&v]), sizes);
    let mut left: BTreeSet<(usize, usize)> = (0..sizes.len()).map(|v| (joins(&near, v), v)).collect();
    let mut order = Vec::with_capacity(sizes.len());
    while let Some((joined, next)) = left.pop_first() {
        cells = cells.saturating_add(joined);
        let ring = std::mem::take(&mut near[next]);
        for &v in &ring {
            left.remove(&(joins(&near, v), v));
            near[v].retain(|&other| other != next);
            ring.iter().filter(|other| **other != v).for_each(|&other| insert(&mut near[v], other));
            left.insert((joins(&near, v), v));
        }
        order.push(next);
    }
    (order, cells)
}

fn sorted(scope: &[usize]) -> Vec<usize> {
    let mut scope = scope.to_vec();
    scope.sort_unstable();
    scope
}

/// Sets a variable among others, which stand in order, unless it is there.
fn insert(among: &mut Vec<usize>, variable: usize) {
    if let Err(at) = among.binary_search(&variable) {
        among.insert(at, variable);
    }
}
