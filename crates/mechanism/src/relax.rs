//! Coming to a position from far away: least squares, damped.

use crate::linear::{lu, lu_solve};
use crate::model::{Model, State};
use crate::rows::Pose;

impl Model {
    /// Levenberg and Marquardt's method on one block, from wherever it stands: lengths are
    /// weighed by the mechanism's reach. Gives the residual that is left.
    pub(crate) fn relax(&self, k: usize, state: &mut State, steps: usize) -> f64 {
        let block = &self.blocks[k];
        let (m, n) = (block.rows.len(), 3 * block.links.len());
        let mut column = vec![usize::MAX; self.of.links.len()];
        block.links.iter().enumerate().for_each(|(i, &link)| column[link] = 3 * i);
        let (mut a, mut b) = (vec![0.0; m * n], vec![0.0; m]);
        let (mut normal, mut right, mut swap) = (vec![0.0; n * n], vec![0.0; n], vec![0; n]);
        let weight: Vec<f64> = block
            .rows
            .iter()
            .map(|&row| if self.rows.rows[row].is_angle() { 1.0 } else { 1.0 / self.reach })
            .collect();
        let norm = |b: &[f64]| b.iter().zip(&weight).map(|(v, w)| (v * w).powi(2)).sum::<f64>().sqrt();
        let mut damp = 1e-3;
        self.fill(k, state, &column, &mut a, &mut b);
        let mut now = norm(&b);
        for _ in 0..steps {
            if now.is_nan() || now <= 1e-15 {
                break;
            }
            normal.fill(0.0);
            right.fill(0.0);
            for (i, line) in a.chunks_exact(n).enumerate() {
                let w = weight[i] * weight[i];
                let filled: Vec<usize> = (0..n).filter(|&j| line[j] != 0.0).collect();
                for &p in &filled {
                    right[p] += w * line[p] * b[i];
                    filled.iter().for_each(|&q| normal[p * n + q] += w * line[p] * line[q]);
                }
            }
            for j in 0..n {
                let scale = if j % 3 == 2 { 1.0 } else { 1.0 / (self.reach * self.reach) };
                normal[j * n + j] += damp * scale;
            }
            if lu(&mut normal, n, &mut swap).is_none() {
                damp *= 10.0;
                self.fill(k, state, &column, &mut a, &mut b);
                continue;
            }
            lu_solve(&normal, n, &swap, &mut right);
            let kept: Vec<Pose<f64>> = state.poses.clone();
            self.step(k, state, &right, 1.0);
            self.fill(k, state, &column, &mut a, &mut b);
            let then = norm(&b);
            if then < now {
                let little = now - then < 1e-3 * now && self.size(&right) < 1e-12;
                now = then;
                damp = (damp * 0.1).max(1e-14 * now.min(1.0));
                if little {
                    break;
                }
            } else {
                state.poses = kept;
                if self.size(&right) < 1e-14 {
                    break;
                }
                damp = (damp * 8.0).max(1e-12);
                self.fill(k, state, &column, &mut a, &mut b);
                if damp > 1e12 {
                    break;
                }
            }
        }
        now
    }
}
