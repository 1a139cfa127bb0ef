//! How near two moving outlines come over the whole turn, proven and not only sampled.
//!
//! The turn is cut into stretches. On each, where every link can be is bounded: along the
//! tangent of its motion, within a box that Krawczyk's test proves to hold the only position
//! at each angle (Moore, Kearfott, Cloud, Introduction to Interval Analysis, SIAM 2009,
//! chapter 8). So no point of either outline goes further from where it is in the middle of
//! the stretch than a known amount, and the distance there less both amounts is a lower
//! bound. Stretches whose bound lies below the best distance found are halved until the two
//! agree within what is asked.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::derive::{Motion, Rates};
use crate::fault::Fault;
use crate::interval::Interval;
use crate::linear::Factors;
use crate::model::{Model, State};
use crate::num::Num;
use crate::outline::{Outline, Piece, inside};
use crate::plan::Block;
use crate::rows::Pose;
use crate::sized::Sized;
use crate::turn::Turn;

/// How near two outlines come.
#[derive(Clone, Debug, PartialEq)]
pub struct Clearance {
    /// The least distance found, millimetres; nought where they touch or overlap.
    pub least: f64,
    /// The drive's angle there.
    pub at: f64,
    /// No distance on the proven part of the turn is less than this.
    pub proven: f64,
    /// Stretches too near a position in line for the proof, on which only the ends and the
    /// middle were looked at.
    pub unproven: Vec<[f64; 2]>,
    /// How many stretches were looked at.
    pub stretches: usize,
}

/// Stretches looked at before the bound is told as it stands.
const MOST: usize = 100_000;
/// A stretch narrower than this that cannot be proven is let be, radians.
const NARROW: f64 = 1e-6;

struct Stretch {
    bound: f64,
    from: f64,
    to: f64,
}

impl PartialEq for Stretch {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Stretch {}
impl PartialOrd for Stretch {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Stretch {
    /// The lowest bound comes first out of a heap.
    fn cmp(&self, other: &Self) -> Ordering {
        other.bound.total_cmp(&self.bound).then(other.from.total_cmp(&self.from))
    }
}

/// How far each link's x, y and angle may lie from its tangent.
type Boxes = Vec<Rates>;

impl Turn {
    /// How near two outlines come over the turn, to within `close` millimetres.
    ///
    /// # Errors
    ///
    /// Where an outline has no pieces, hangs on a link that is not there, or both hang on one.
    pub fn clearance(&self, a: &Outline, b: &Outline, close: f64) -> Result<Clearance, Fault> {
        for outline in [a, b] {
            let there = outline.link.0 < self.model.of.links.len();
            if !there || outline.pieces.is_empty() || outline.fat.is_nan() || outline.fat < 0.0 {
                return Err(Fault::new(
                    format!("{} is no outline", outline.name),
                    vec![outline.name.clone()],
                    "it has no pieces, no width, or hangs on no link of the mechanism",
                    "give lines or arcs of a link",
                ));
            }
        }
        if a.link == b.link || close.is_nan() || close <= 0.0 {
            return Err(Fault::new(
                format!("{} and {} cannot be held against each other", a.name, b.name),
                vec![a.name.clone(), b.name.clone()],
                "two links are needed, and a distance above nought to which it is to be known",
                "name outlines of two links",
            ));
        }
        let mut best = (f64::INFINITY, self.states[0].angle);
        let see = |best: &mut (f64, f64), state: &State| {
            let d = distance(a, b, state);
            if d < best.0 {
                *best = (d, state.angle);
            }
        };
        self.states.iter().for_each(|state| see(&mut best, state));
        // Metal wholly within metal never touches its edge: asked once, since to get out it
        // would have to touch.
        if swallowed(a, b, &self.states[0]) {
            best = (0.0, self.states[0].angle);
        }
        let lifted: Sized<Interval> = self.model.by.lift();
        let mut heap = BinaryHeap::new();
        for pair in self.states.windows(2) {
            heap.push(Stretch { bound: f64::NEG_INFINITY, from: pair[0].angle, to: pair[1].angle });
        }
        let mut unproven: Vec<[f64; 2]> = Vec::new();
        let mut stretches = 0;
        let mut proven = f64::INFINITY;
        while let Some(worst) = heap.pop() {
            if worst.bound >= best.0 - close || best.0 == 0.0 || stretches >= MOST {
                proven = worst.bound;
                break;
            }
            stretches += 1;
            let mid = 0.5 * (worst.from + worst.to);
            let half = 0.5 * (worst.to - worst.from);
            let mut bound = f64::NEG_INFINITY;
            if let Some(state) = self.at(mid) {
                see(&mut best, &state);
                if let Some(motion) = self.model.motion(&state)
                    && let Some(boxes) = self.boxed(&state, &motion, half, &lifted)
                {
                    bound = lower(a, b, &state, &motion, &boxes, half);
                }
            }
            if bound >= best.0 - close {
                heap.push(Stretch { bound, ..worst });
            } else if half < NARROW && bound == f64::NEG_INFINITY {
                unproven.push([worst.from, worst.to]);
            } else {
                // A half is no worse than the whole.
                heap.push(Stretch { bound, from: worst.from, to: mid });
                heap.push(Stretch { bound, from: mid, to: worst.to });
            }
        }
        unproven.sort_by(|p, q| p[0].total_cmp(&q[0]));
        let mut joined: Vec<[f64; 2]> = Vec::new();
        for next in unproven {
            match joined.last_mut() {
                Some(last) if next[0] <= last[1] => last[1] = next[1],
                _ => joined.push(next),
            }
        }
        let proven = proven.max(0.0).min(best.0);
        Ok(Clearance { least: best.0, at: best.1, proven, unproven: joined, stretches })
    }

    /// Boxes about the tangent in which every link is proven to stay for `half` a stretch on
    /// either side of a position; none where the test fails.
    fn boxed(&self, state: &State, motion: &Motion, half: f64, by: &Sized<Interval>) -> Option<Boxes> {
        let model = &self.model;
        let factored = model.factored(state)?;
        let exact = |v: f64| Interval::of(v);
        let thin = state.poses.iter().map(|p| Pose::new(exact(p.x), exact(p.y), exact(p.t))).collect();
        let mut test = Test {
            model,
            state,
            motion,
            by,
            thin,
            span: Interval::new(-half, half),
            boxes: Vec::new(),
            poses: Vec::new(),
        };
        test.poses.clone_from(&test.thin);
        // What second derivatives make of it, and something for what comes after.
        let guess = |second: &Rates| {
            [0, 1, 2].map(|i| second[i].abs() * half * half + 1e-13 * if i == 2 { 1.0 } else { model.reach })
        };
        test.boxes = motion.second.iter().map(guess).collect();
        test.boxes[0] = [0.0; 3];
        let blocks = model.blocks.iter().zip(factored.factors());
        blocks.into_iter().all(|(block, factors)| test.block(block, factors)).then_some(test.boxes)
    }
}

/// Krawczyk's test on a stretch, block by block, written for what is left beside the tangent.
struct Test<'a> {
    model: &'a Model,
    state: &'a State,
    motion: &'a Motion,
    by: &'a Sized<Interval>,
    /// The middle of the stretch, exactly.
    thin: Vec<Pose<Interval>>,
    span: Interval,
    boxes: Boxes,
    poses: Vec<Pose<Interval>>,
}

impl Test<'_> {
    /// Boxes that hold a block's links, widened a few times where they do not at first.
    fn block(&mut self, block: &Block, factors: &Factors) -> bool {
        let n = 3 * block.links.len();
        if n == 0 {
            return true;
        }
        let inverse = columns(factors, block.rows.len(), n);
        for _ in 0..5 {
            self.pose(block);
            let proof = self.krawczyk(block, &inverse);
            let wide = |boxes: &Boxes, i: usize| boxes[block.links[i / 3]][i % 3];
            if proof.iter().enumerate().all(|(i, p)| p.most() < wide(&self.boxes, i)) {
                for (i, p) in proof.iter().enumerate() {
                    self.boxes[block.links[i / 3]][i % 3] = p.most();
                }
                self.pose(block);
                return true;
            }
            for (i, p) in proof.iter().enumerate() {
                self.boxes[block.links[i / 3]][i % 3] = 1.5 * wide(&self.boxes, i).max(p.most());
            }
        }
        false
    }

    /// All places a block's links may have on the stretch.
    fn pose(&mut self, block: &Block) {
        for &link in &block.links {
            let (p, m, r) = (&self.thin[link], &self.motion.first[link], &self.boxes[link]);
            let one =
                |mid: Interval, i: usize| mid + Interval::of(m[i]) * self.span + Interval::new(-r[i], r[i]);
            self.poses[link] = Pose::new(one(p.x, 0), one(p.y, 1), one(p.t, 2));
        }
    }

    fn krawczyk(&self, block: &Block, inverse: &[Vec<f64>]) -> Vec<Interval> {
        let (zero, m, n) = (Interval::of(0.0), block.rows.len(), 3 * block.links.len());
        let about = |link: usize, j: usize| Interval::new(-self.boxes[link][j], self.boxes[link][j]);
        let (mut slopes, mut off) = (vec![zero; m * n], vec![zero; m]);
        for (i, &row) in block.rows.iter().enumerate() {
            let row = &self.model.rows.rows[row];
            let mut along = Interval::of(row.by_drive());
            let mut rest = row.residual(self.by, &self.thin, Interval::of(self.state.angle));
            row.partials(self.by, &self.poses, |link, part| {
                if link == 0 {
                    return;
                }
                for (j, &part) in part.iter().enumerate() {
                    along = along + part * Interval::of(self.motion.first[link][j]);
                    match block.links.iter().position(|&l| l == link) {
                        Some(at) => slopes[i * n + 3 * at + j] = slopes[i * n + 3 * at + j] + part,
                        None => rest = rest + part * about(link, j),
                    }
                }
            });
            off[i] = rest + along * self.span;
        }
        let entry = |i: usize| {
            let mut sum = zero;
            for (column, &off) in inverse.iter().zip(&off) {
                sum = sum - Interval::of(column[i]) * off;
            }
            for j in 0..n {
                let mut left = Interval::of(if i == j { 1.0 } else { 0.0 });
                for (r, column) in inverse.iter().enumerate() {
                    left = left - Interval::of(column[i]) * slopes[r * n + j];
                }
                sum = sum + left * about(block.links[j / 3], j % 3);
            }
            sum
        };
        (0..n).map(entry).collect()
    }
}

/// The columns of the (least-squares) inverse, one for each row of the block.
fn columns(factors: &Factors, rows: usize, n: usize) -> Vec<Vec<f64>> {
    (0..rows)
        .map(|r| {
            let mut b = vec![0.0; rows];
            b[r] = 1.0;
            factors.solve(&mut b);
            b.truncate(n);
            b
        })
        .collect()
}

fn distance(a: &Outline, b: &Outline, state: &State) -> f64 {
    let other: Vec<_> = b.pieces.iter().map(|p| p.placed(&state.poses[b.link.0])).collect();
    let mut least = f64::INFINITY;
    for piece in &a.pieces {
        let piece = piece.placed(&state.poses[a.link.0]);
        let (c, r) = piece.around();
        for q in &other {
            let (d, s) = q.around();
            if (c[0] - d[0]).hypot(c[1] - d[1]) - r - s < least {
                least = least.min(piece.apart(q));
            }
        }
    }
    (least - a.fat - b.fat).max(0.0)
}

/// Whether one outline lies within the other's metal.
fn swallowed(a: &Outline, b: &Outline, state: &State) -> bool {
    let within = |inner: &Outline, outer: &Outline| {
        let pieces: Vec<_> = outer.pieces.iter().map(|p| p.placed(&state.poses[outer.link.0])).collect();
        let first = inner.pieces[0].placed(&state.poses[inner.link.0]);
        let place = match first {
            Piece::Line { from, .. } => from,
            Piece::Arc { centre, radius, from, .. } => {
                [centre[0] + radius * from.cos(), centre[1] + radius * from.sin()]
            }
        };
        outer.solid && inside(&pieces, place)
    };
    within(a, b) || within(b, a)
}

/// A bound below every distance over the stretch: for each two pieces, their distance in the
/// middle less how far each can go. Both may be moved alike without changing it, so only
/// what they do against each other counts, about the middle of the one that turns faster.
fn lower(a: &Outline, b: &Outline, state: &State, motion: &Motion, boxes: &Boxes, half: f64) -> f64 {
    let of = |o: &Outline| {
        let (l, m) = (o.link.0, &motion.first[o.link.0]);
        (state.poses[l], *m, if l == 0 { [0.0; 3] } else { boxes[l] })
    };
    let ((pa, ma, ra), (pb, mb, rb)) = (of(a), of(b));
    // How fast a link carries whatever of it stands at a place.
    let speed =
        |p: &Pose<f64>, m: &Rates, c: [f64; 2]| [m[0] - m[2] * (c[1] - p.y), m[1] + m[2] * (c[0] - p.x)];
    // What a link's points within `round` of a place do beyond the place's own even motion.
    let beyond = |p: &Pose<f64>, m: &Rates, r: &Rates, c: [f64; 2], round: f64| {
        let arm = (c[0] - p.x).hypot(c[1] - p.y) + round;
        let turn = m[2].abs() * half + r[2];
        round * m[2].abs() * half + r[0].hypot(r[1]) + arm * r[2] + 0.5 * arm * turn * turn
    };
    let mut least = f64::INFINITY;
    for piece in &a.pieces {
        let p = piece.placed(&pa);
        let (ca, sa) = p.around();
        for other in &b.pieces {
            let q = other.placed(&pb);
            let (cb, sb) = q.around();
            let c = if ma[2].abs() > mb[2].abs() { ca } else { cb };
            let (va, vb) = (speed(&pa, &ma, c), speed(&pb, &mb, c));
            let against = (va[0] - vb[0]).hypot(va[1] - vb[1]) * half;
            let far = |d: [f64; 2], s: f64| (d[0] - c[0]).hypot(d[1] - c[1]) + s;
            let goes =
                against + beyond(&pa, &ma, &ra, c, far(ca, sa)) + beyond(&pb, &mb, &rb, c, far(cb, sb));
            // A billionth more for the roundings of all this.
            let bound = (p.apart(&q) - a.fat - b.fat)
                - goes * (1.0 + 1e-9)
                - 1e-11 * (1.0 + far(ca, sa) + far(cb, sb));
            least = least.min(bound);
        }
    }
    least
}
