//! How every link moves with the drive and with each parameter, exactly.
//!
//! The equations hold at every angle and for every size, so their derivatives vanish:
//! `J q' = -g'`. The same factors of `J` serve for the drive, for each parameter, and for
//! second derivatives, whose right-hand sides hyper-dual numbers give (implicit
//! differentiation; no steps, no differences).

use crate::fault::Fault;
use crate::hyper::Hyper;
use crate::linear::Factors;
use crate::model::{Model, State};
use crate::rows::Pose;
use crate::sized::{Sized, sized};

/// Rates of a link's x, y and angle.
pub type Rates = [f64; 3];

/// How every link moves with the drive: millimetres and radians for one radian of it.
#[derive(Clone, Debug)]
pub struct Motion {
    /// First derivatives, by link.
    pub first: Vec<Rates>,
    /// Second derivatives, by link.
    pub second: Vec<Rates>,
}

/// The equations about one position, in factors.
pub(crate) struct Factored<'a> {
    model: &'a Model,
    state: &'a State,
    parts: Vec<Vec<(usize, [f64; 3])>>,
    factors: Vec<Factors>,
}

/// How the links move with one parameter.
pub(crate) struct ByParam {
    /// With the parameter, the drive standing.
    pub first: Vec<Rates>,
    /// How that changes with the drive.
    pub mixed: Vec<Rates>,
}

impl Model {
    /// The equations about a position; `None` where it is singular: at a dead centre.
    pub(crate) fn factored<'a>(&'a self, state: &'a State) -> Option<Factored<'a>> {
        let rows = &self.rows.rows;
        let mut parts: Vec<Vec<(usize, [f64; 3])>> = Vec::with_capacity(rows.len());
        for row in rows {
            let mut part = Vec::with_capacity(3);
            row.partials(&self.by, &state.poses, |link, by| {
                if link > 0 {
                    part.push((link, by));
                }
            });
            parts.push(part);
        }
        let mut column = vec![usize::MAX; self.of.links.len()];
        let mut factors = Vec::with_capacity(self.blocks.len());
        for block in &self.blocks {
            let n = 3 * block.links.len();
            block.links.iter().enumerate().for_each(|(i, &link)| column[link] = 3 * i);
            let mut a = vec![0.0; block.rows.len() * n];
            for (i, &row) in block.rows.iter().enumerate() {
                for &(link, by) in &parts[row] {
                    if column[link] != usize::MAX {
                        let at = i * n + column[link];
                        (0..3).for_each(|j| a[at + j] += by[j]);
                    }
                }
            }
            block.links.iter().for_each(|&link| column[link] = usize::MAX);
            if n > 0 {
                factors.push(Factors::of(a, block.rows.len(), n)?);
            } else {
                factors.push(Factors::Square { n: 0, lu: Vec::new(), swap: Vec::new() });
            }
        }
        Some(Factored { model: self, state, parts, factors })
    }

    /// How the links move with the drive; `None` at a dead centre of a pair of links.
    pub fn motion(&self, state: &State) -> Option<Motion> {
        Some(self.factored(state)?.motion())
    }

    /// The sizes with the parameter `p` as the first direction.
    pub(crate) fn along(&self, p: usize) -> Result<(Vec<Hyper>, Sized<Hyper>), Fault> {
        let mut params: Vec<Hyper> = self.params.iter().map(|&v| Hyper::new(v, 0.0, 0.0, 0.0)).collect();
        params[p].b = 1.0;
        let by = sized(&self.of, &self.rows, &params)?;
        Ok((params, by))
    }
}

/// Poses with derivatives in two directions and both.
pub(crate) fn moving(state: &State, b: &[Rates], c: &[Rates], d: Option<&[Rates]>) -> Vec<Pose<Hyper>> {
    let none = [0.0; 3];
    let at = |l: usize, i: usize, v: f64| {
        let d = d.map_or(none, |d| d[l]);
        Hyper::new(v, b[l][i], c[l][i], d[i])
    };
    state
        .poses
        .iter()
        .enumerate()
        .map(|(l, p)| Pose::new(at(l, 0, p.x), at(l, 1, p.y), at(l, 2, p.t)))
        .collect()
}

impl Factored<'_> {
    /// Solves `J x = right`, the right-hand side by rows and the answer by links.
    fn solve(&self, right: &[f64]) -> Vec<Rates> {
        let mut x = vec![[0.0; 3]; self.model.of.links.len()];
        let mut b = Vec::new();
        for (block, factors) in self.model.blocks.iter().zip(&self.factors) {
            if block.links.is_empty() {
                continue;
            }
            b.clear();
            for &row in &block.rows {
                let known: f64 = self.parts[row]
                    .iter()
                    .filter(|(link, _)| !block.links.contains(link))
                    .map(|(link, by)| by[0] * x[*link][0] + by[1] * x[*link][1] + by[2] * x[*link][2])
                    .sum();
                b.push(right[row] - known);
            }
            factors.solve(&mut b);
            for (i, &link) in block.links.iter().enumerate() {
                x[link] = [b[3 * i], b[3 * i + 1], b[3 * i + 2]];
            }
        }
        x
    }

    /// The factors of each block, in their order.
    pub fn factors(&self) -> &[Factors] {
        &self.factors
    }

    pub fn motion(&self) -> Motion {
        let rows = &self.model.rows.rows;
        let right: Vec<f64> = rows.iter().map(|row| -row.by_drive()).collect();
        let first = self.solve(&right);
        let by: Sized<Hyper> = self.model.by.lift();
        let poses = moving(self.state, &first, &first, None);
        let drive = Hyper::new(self.state.angle, 1.0, 1.0, 0.0);
        let right: Vec<f64> = rows.iter().map(|row| -row.residual(&by, &poses, drive).d).collect();
        let second = self.solve(&right);
        Motion { first, second }
    }

    /// How the links move with the parameter whose sizes are `by`.
    pub fn by_param(&self, by: &Sized<Hyper>, motion: &Motion) -> ByParam {
        let rows = &self.model.rows.rows;
        let still = vec![[0.0; 3]; self.model.of.links.len()];
        let poses = moving(self.state, &still, &motion.first, None);
        let drive = Hyper::new(self.state.angle, 0.0, 1.0, 0.0);
        let right: Vec<f64> = rows.iter().map(|row| -row.residual(by, &poses, drive).b).collect();
        let first = self.solve(&right);
        let poses = moving(self.state, &first, &motion.first, None);
        let right: Vec<f64> = rows.iter().map(|row| -row.residual(by, &poses, drive).d).collect();
        let mixed = self.solve(&right);
        ByParam { first, mixed }
    }
}
