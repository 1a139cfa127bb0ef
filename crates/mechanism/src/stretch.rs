//! Where every link can be on a stretch of the turn, and how fast it goes there: bounds that
//! are proven and not only sampled.
//!
//! Krawczyk's test proves that along the tangent of the motion, within a box, the equations
//! have one solution at each angle and no other (Moore, Kearfott, Cloud, Introduction to
//! Interval Analysis, SIAM 2009, chapter 8): on such a stretch nothing locks and no two ways
//! meet. The rates solve linear equations whose matrix is then known within bounds.

use crate::derive::{Motion, Rates};
use crate::interval::Interval;
use crate::linear::Factors;
use crate::model::{Model, State};
use crate::num::Num;
use crate::plan::Block;
use crate::rows::Pose;
use crate::sized::Sized;

/// How far each link's x, y and angle may lie from its tangent.
pub(crate) type Boxes = Vec<Rates>;

impl<'a> Stretch<'a> {
    /// Boxes about the tangent in which every link is proven to stay for `half` a stretch on
    /// either side of a position; none where the test fails.
    pub fn about(
        model: &'a Model,
        state: &'a State,
        motion: &'a Motion,
        half: f64,
        by: &'a Sized<Interval>,
    ) -> Option<Self> {
        let factored = model.factored(state)?;
        let exact = |v: f64| Interval::of(v);
        let thin: Vec<_> =
            state.poses.iter().map(|p| Pose::new(exact(p.x), exact(p.y), exact(p.t))).collect();
        // What second derivatives make of it, and something for what comes after.
        let guess = |second: &Rates| {
            [0, 1, 2].map(|i| second[i].abs() * half * half + 1e-13 * if i == 2 { 1.0 } else { model.reach })
        };
        let mut boxes: Boxes = motion.second.iter().map(guess).collect();
        boxes[0] = [0.0; 3];
        let (poses, inverses) = (thin.clone(), Vec::new());
        let span = Interval::new(-half, half);
        let mut stretch = Self { model, state, motion, by, thin, span, boxes, poses, inverses };
        let blocks = model.blocks.iter().zip(factored.factors());
        blocks.into_iter().all(|(block, factors)| stretch.block(block, factors)).then_some(stretch)
    }

    /// How fast every link goes anywhere on the stretch, for one unit of the drive; none where
    /// the equations are not known closely enough to say.
    pub fn rates(&self) -> Option<Vec<[Interval; 3]>> {
        let zero = Interval::of(0.0);
        let mut rates = vec![[zero; 3]; self.poses.len()];
        for (block, inverse) in self.model.blocks.iter().zip(&self.inverses) {
            self.block_rates(block, inverse, &mut rates)?;
        }
        Some(rates)
    }

    /// `J x = -g'` with `J` between bounds: about the rates in the middle, what is left is
    /// `C r + (I - C J) y`, whose size a norm bounds and which is then put in twice.
    fn block_rates(&self, block: &Block, inverse: &[Vec<f64>], rates: &mut [[Interval; 3]]) -> Option<()> {
        let (zero, m, n) = (Interval::of(0.0), block.rows.len(), 3 * block.links.len());
        if n == 0 {
            return Some(());
        }
        let (mut slopes, mut off) = (vec![zero; m * n], vec![zero; m]);
        for (i, &row) in block.rows.iter().enumerate() {
            let row = &self.model.rows.rows[row];
            let mut rest = Interval::of(-row.by_drive());
            row.partials(self.by, &self.poses, |link, part| {
                if link == 0 {
                    return;
                }
                for (j, &part) in part.iter().enumerate() {
                    match block.links.iter().position(|&l| l == link) {
                        Some(at) => {
                            slopes[i * n + 3 * at + j] = slopes[i * n + 3 * at + j] + part;
                            rest = rest - part * Interval::of(self.motion.first[link][j]);
                        }
                        None => rest = rest - part * rates[link][j],
                    }
                }
            });
            off[i] = rest;
        }
        let times = |i: usize, of: &dyn Fn(usize) -> Interval| {
            inverse.iter().enumerate().fold(zero, |sum, (r, column)| sum + Interval::of(column[i]) * of(r))
        };
        let first: Vec<Interval> = (0..n).map(|i| times(i, &|r| off[r])).collect();
        let mut left = vec![zero; n * n];
        for i in 0..n {
            for j in 0..n {
                let one = Interval::of(if i == j { 1.0 } else { 0.0 });
                left[i * n + j] = one - times(i, &|r| slopes[r * n + j]);
            }
        }
        // Millimetres against radians by the mechanism's reach.
        let weight = |i: usize| if i % 3 == 2 { 1.0 } else { self.model.reach };
        let norm = |i: usize| (0..n).map(|j| left[i * n + j].most() * weight(j)).sum::<f64>() / weight(i);
        let shrinks = (0..n).map(norm).fold(0.0_f64, f64::max) * (1.0 + 1e-12);
        let most = (0..n).map(|i| first[i].most() / weight(i)).fold(0.0_f64, f64::max);
        if shrinks.is_nan() || shrinks >= 0.9 || !most.is_finite() {
            return None;
        }
        let bound = most / (1.0 - shrinks) * (1.0 + 1e-12);
        let mut y: Vec<Interval> = (0..n).map(|i| Interval::about(0.0, bound * weight(i))).collect();
        for _ in 0..2 {
            y = (0..n).map(|i| (0..n).fold(first[i], |sum, j| sum + left[i * n + j] * y[j])).collect();
        }
        for (i, y) in y.into_iter().enumerate() {
            let link = block.links[i / 3];
            rates[link][i % 3] = Interval::of(self.motion.first[link][i % 3]) + y;
        }
        Some(())
    }
}

/// Krawczyk's test on a stretch, block by block, written for what is left beside the tangent.
pub(crate) struct Stretch<'a> {
    model: &'a Model,
    state: &'a State,
    motion: &'a Motion,
    by: &'a Sized<Interval>,
    /// The middle of the stretch, exactly.
    thin: Vec<Pose<Interval>>,
    span: Interval,
    pub boxes: Boxes,
    /// All places that the links may have.
    pub poses: Vec<Pose<Interval>>,
    inverses: Vec<Vec<Vec<f64>>>,
}

impl Stretch<'_> {
    /// Boxes that hold a block's links, widened a few times where they do not at first.
    fn block(&mut self, block: &Block, factors: &Factors) -> bool {
        let n = 3 * block.links.len();
        if n == 0 {
            self.inverses.push(Vec::new());
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
                self.inverses.push(inverse);
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
