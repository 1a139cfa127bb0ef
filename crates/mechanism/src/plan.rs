//! In what order the links are solved, and which of them together.
//!
//! Each equation is given to one of its links, three to a link, so that every link is
//! settled by three (a matching); links that hang on one another in a ring make one block.
//! Blocks that the trade calls a crank, a swinging link or a pair of links (dyad) have
//! closed forms; the rest is left to Newton's method.

use crate::rows::{Pt, Row, Rows};

/// Links that are solved together.
#[derive(Clone, Debug)]
pub(crate) struct Block {
    pub links: Vec<usize>,
    pub rows: Vec<usize>,
    pub way: Way,
}

/// How a block is solved.
#[derive(Clone, Debug)]
pub(crate) enum Way {
    /// A link pinned to a known point, its angle known by a row of angles.
    Spin { pin: usize, to: Pt, turn: usize },
    /// A link pinned to a known point, with one more thing held.
    Swing { pin: usize, to: Pt, hold: Hold },
    /// Two links pinned together, each pinned to a known point.
    Dyad { a: Arm, b: Arm },
    /// A link pinned to a known point and to a slider whose angle is known.
    Slide { a: Arm, b: usize, common: usize, turn: usize, slot: usize },
    /// Newton's method on all at once.
    Newton,
    /// Likewise with more equations than are needed.
    Least,
}

/// A link from a known point to the point it has in common with another.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Arm {
    pub link: usize,
    /// Its own point at the known one.
    pub own: usize,
    pub known: Pt,
    /// Its own point at the common one.
    pub common: usize,
}

/// What else holds a link that is pinned to a known point.
#[derive(Clone, Debug)]
pub(crate) enum Hold {
    /// A point of it on a known line.
    OnLine { point: usize, o: Pt, d: usize },
    /// A point of it at a distance from a known one.
    Apart { point: usize, from: Pt, r: usize },
    /// A line of it through a known point.
    Through { o: usize, d: usize, point: Pt },
}

/// How the equations fall upon the links.
pub(crate) struct Shares {
    /// Each link's rows.
    of_link: Vec<Vec<usize>>,
    /// Rows that no link has room for.
    pub spare: Vec<usize>,
}

impl Shares {
    pub fn of(rows: &Rows, links: usize) -> Self {
        let adjacent: Vec<Vec<usize>> = rows.rows.iter().map(Row::links).collect();
        let mut shares = Self { of_link: vec![Vec::new(); links], spare: Vec::new() };
        for row in 0..adjacent.len() {
            let mut seen = vec![false; links];
            if !shares.give(row, &adjacent, &mut seen) {
                shares.spare.push(row);
            }
        }
        shares
    }

    fn give(&mut self, row: usize, adjacent: &[Vec<usize>], seen: &mut [bool]) -> bool {
        for &link in &adjacent[row] {
            if std::mem::replace(&mut seen[link], true) {
                continue;
            }
            if self.of_link[link].len() < 3 {
                self.of_link[link].push(row);
                return true;
            }
            for k in 0..3 {
                let other = self.of_link[link][k];
                if self.give(other, adjacent, seen) {
                    self.of_link[link][k] = row;
                    return true;
                }
            }
        }
        false
    }

    /// How many equations are wanting.
    pub fn wanting(&self) -> usize {
        self.of_link.iter().skip(1).map(|rows| 3 - rows.len()).sum()
    }

    /// Links that equations are wanting for: those that might be the free ones.
    pub fn loose(&self, rows: &Rows) -> Vec<usize> {
        let short = |l: &usize| self.of_link[*l].len() < 3;
        let mut found: Vec<usize> = (1..self.of_link.len()).filter(short).collect();
        let mut next = 0;
        while let Some(&link) = found.get(next) {
            next += 1;
            // A row of this link that settles another might settle this one instead.
            for (other, held) in self.of_link.iter().enumerate().skip(1) {
                let could = held.iter().any(|&row| rows.rows[row].links().contains(&link));
                if could && !found.contains(&other) {
                    found.push(other);
                }
            }
        }
        found.sort_unstable();
        found
    }

    /// Links that have too many equations between them.
    pub fn crowded(&self, rows: &Rows) -> Vec<usize> {
        let mut found: Vec<usize> = Vec::new();
        let mut open = self.spare.clone();
        while let Some(row) = open.pop() {
            for link in rows.rows[row].links() {
                if !found.contains(&link) {
                    found.push(link);
                    open.extend(&self.of_link[link]);
                }
            }
        }
        found.sort_unstable();
        found
    }
}

/// The blocks in the order they are solved. Links that have equations to spare come first, in
/// one: by Dulmage and Mendelsohn's decomposition they hang on no others.
pub(crate) fn blocks(rows: &Rows, shares: &Shares) -> Vec<Block> {
    let links = shares.of_link.len();
    let crowd = shares.crowded(rows);
    let mut all = if crowd.is_empty() { Vec::new() } else { crowded_blocks(rows, links, &crowd) };
    let mut known = vec![false; links];
    known[0] = true;
    crowd.iter().for_each(|&link| known[link] = true);
    let needs: Vec<Vec<usize>> = shares
        .of_link
        .iter()
        .map(|held| held.iter().flat_map(|&row| rows.rows[row].links()).collect())
        .collect();
    for mut ring in rings(&needs) {
        ring.sort_unstable();
        if ring.iter().all(|link| crowd.contains(link)) {
            continue;
        }
        let mut held: Vec<usize> = ring.iter().flat_map(|&l| shares.of_link[l].clone()).collect();
        held.sort_unstable();
        let way = way(rows, &ring, &held, &known);
        ring.iter().for_each(|&l| known[l] = true);
        all.push(Block { links: ring, rows: held, way });
    }
    all
}

/// The blocks of links with more equations than needed: cranks first, then all the rest.
fn crowded_blocks(rows: &Rows, links: usize, crowd: &[usize]) -> Vec<Block> {
    let mut known = vec![false; links];
    known[0] = true;
    let inside = |row: &usize| rows.rows[*row].links().iter().all(|link| crowd.contains(link));
    let mut left: Vec<usize> = (0..rows.rows.len()).filter(inside).collect();
    let mut blocks = Vec::new();
    'cranks: loop {
        for &link in crowd {
            if known[link] {
                continue;
            }
            let only = |row: &usize| rows.rows[*row].links().iter().all(|&l| l == link || known[l]);
            let mine: Vec<usize> = left.iter().copied().filter(only).collect();
            if mine.len() == 3 && matches!(way(rows, &[link], &mine, &known), Way::Spin { .. }) {
                let way = way(rows, &[link], &mine, &known);
                left.retain(|row| !mine.contains(row));
                known[link] = true;
                blocks.push(Block { links: vec![link], rows: mine, way });
                continue 'cranks;
            }
        }
        break;
    }
    let rest: Vec<usize> = crowd.iter().copied().filter(|&l| !known[l]).collect();
    if !rest.is_empty() || !left.is_empty() {
        blocks.push(Block { links: rest, rows: left, way: Way::Least });
    }
    blocks
}

/// Strongly connected links, those that others hang on first (Tarjan 1972).
fn rings(needs: &[Vec<usize>]) -> Vec<Vec<usize>> {
    struct Walk<'a> {
        needs: &'a [Vec<usize>],
        number: Vec<usize>,
        low: Vec<usize>,
        stack: Vec<usize>,
        on: Vec<bool>,
        count: usize,
        found: Vec<Vec<usize>>,
    }
    impl Walk<'_> {
        fn visit(&mut self, v: usize) {
            self.count += 1;
            (self.number[v], self.low[v]) = (self.count, self.count);
            self.stack.push(v);
            self.on[v] = true;
            for i in 0..self.needs[v].len() {
                let w = self.needs[v][i];
                if self.number[w] == 0 {
                    self.visit(w);
                    self.low[v] = self.low[v].min(self.low[w]);
                } else if self.on[w] {
                    self.low[v] = self.low[v].min(self.number[w]);
                }
            }
            if self.low[v] == self.number[v] {
                let at = self.stack.iter().position(|&w| w == v).expect("it was put there above");
                let ring = self.stack.split_off(at);
                ring.iter().for_each(|&w| self.on[w] = false);
                self.found.push(ring);
            }
        }
    }
    let n = needs.len();
    let (number, low, on) = (vec![0; n], vec![0; n], vec![false; n]);
    let mut walk = Walk { needs, number, low, stack: Vec::new(), on, count: 0, found: Vec::new() };
    for v in 1..n {
        if walk.number[v] == 0 {
            walk.visit(v);
        }
    }
    walk.found
}

/// The closed form that fits these links, or Newton's method.
fn way(rows: &Rows, links: &[usize], held: &[usize], known: &[bool]) -> Way {
    let found = match *links {
        [link] => one(rows, link, held, known),
        [a, b] => two(rows, a, b, held, known).or_else(|| two(rows, b, a, held, known)),
        _ => None,
    };
    found.unwrap_or(Way::Newton)
}

/// Pins among rows: both axes of each, as the points that meet.
fn pins(rows: &Rows, held: &[usize]) -> Vec<(Pt, Pt)> {
    let rows = held.iter().map(|&row| &rows.rows[row]);
    rows.filter_map(|row| match *row {
        Row::Pin { a, b, axis: 0 } => Some((a, b)),
        _ => None,
    })
    .collect()
}

/// Whether both axes of every pin are there.
fn whole(rows: &Rows, held: &[usize]) -> bool {
    let count = |axis| {
        held.iter().filter(|&&row| matches!(rows.rows[row], Row::Pin { axis: a, .. } if a == axis)).count()
    };
    let both = |row: usize| match rows.rows[row] {
        Row::Pin { a, b, axis: 0 } => {
            held.iter().any(|&other| rows.rows[other] == Row::Pin { a, b, axis: 1 })
        }
        _ => true,
    };
    count(0) == count(1) && held.iter().all(|&row| both(row))
}

/// The pin between a link and what is known: the link's point first.
fn to_known(pins: &[(Pt, Pt)], link: usize, known: &[bool]) -> Option<(usize, Pt)> {
    pins.iter().find_map(|&(a, b)| {
        if a.link == link && known[b.link] {
            Some((a.at, b))
        } else if b.link == link && known[a.link] {
            Some((b.at, a))
        } else {
            None
        }
    })
}

/// Whether the angle of `link` follows from this row and what is known.
fn turns(row: &Row, link: usize, known: &[bool]) -> bool {
    match *row {
        Row::Turn { a, b, c, .. } => {
            (a == link && known[b] && known[c]) || (b == link && known[a] && known[c])
        }
        _ => false,
    }
}

fn one(rows: &Rows, link: usize, held: &[usize], known: &[bool]) -> Option<Way> {
    if !whole(rows, held) {
        return None;
    }
    let (pin, to) = to_known(&pins(rows, held), link, known)?;
    let rest = held.iter().copied().find(|&row| !matches!(rows.rows[row], Row::Pin { .. }))?;
    if turns(&rows.rows[rest], link, known) {
        return Some(Way::Spin { pin, to, turn: rest });
    }
    let hold = match rows.rows[rest] {
        Row::Slot { p, o, d } if p.link == link && known[o.link] => Hold::OnLine { point: p.at, o, d },
        Row::Slot { p, o, d } if o.link == link && known[p.link] => Hold::Through { o: o.at, d, point: p },
        Row::Arc { p, c, r, .. } if p.link == link && known[c.link] => {
            Hold::Apart { point: p.at, from: c, r }
        }
        Row::Arc { p, c, r, .. } if c.link == link && known[p.link] => {
            Hold::Apart { point: c.at, from: p, r }
        }
        _ => return None,
    };
    Some(Way::Swing { pin, to, hold })
}

fn two(rows: &Rows, a: usize, b: usize, held: &[usize], known: &[bool]) -> Option<Way> {
    if !whole(rows, held) {
        return None;
    }
    let pins = pins(rows, held);
    let (pa, ka) = to_known(&pins, a, known)?;
    let (qa, qb) = pins.iter().find_map(|&(p, q)| match (p.link, q.link) {
        (x, y) if (x, y) == (a, b) => Some((p.at, q.at)),
        (x, y) if (x, y) == (b, a) => Some((q.at, p.at)),
        _ => None,
    })?;
    if let Some((pb, kb)) = to_known(&pins, b, known) {
        let first = Arm { link: a, own: pa, known: ka, common: qa };
        let second = Arm { link: b, own: pb, known: kb, common: qb };
        return (pins.len() == 3).then_some(Way::Dyad { a: first, b: second });
    }
    let turn = held.iter().copied().find(|&row| turns(&rows.rows[row], b, known))?;
    let slot = held.iter().copied().find(|&row| match rows.rows[row] {
        Row::Slot { p, o, .. } => (p.link == b && known[o.link]) || (o.link == b && known[p.link]),
        _ => false,
    })?;
    Some(Way::Slide { a: Arm { link: a, own: pa, known: ka, common: qa }, b, common: qb, turn, slot })
}
