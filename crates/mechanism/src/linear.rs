//! Small dense linear algebra: factors by rows, least squares, and rank.

/// A square matrix in factors, or a tall one for least squares.
#[derive(Clone, Debug)]
pub(crate) enum Factors {
    Square { n: usize, lu: Vec<f64>, swap: Vec<usize> },
    Tall(Qr),
}

impl Factors {
    /// Factors `rows × cols` (by rows). `None` where it is singular.
    pub fn of(mut a: Vec<f64>, rows: usize, cols: usize) -> Option<Self> {
        if rows == cols {
            let mut swap = vec![0; cols];
            let least = lu(&mut a, cols, &mut swap)?;
            (least > 1e-13).then_some(Self::Square { n: cols, lu: a, swap })
        } else {
            let qr = Qr::of(a, rows, cols);
            (qr.rank(1e-11) == cols).then_some(Self::Tall(qr))
        }
    }

    /// Solves in place; the answer stands in the first entries.
    pub fn solve(&self, b: &mut [f64]) {
        match self {
            Self::Square { n, lu, swap } => lu_solve(lu, *n, swap, b),
            Self::Tall(qr) => qr.solve(b),
        }
    }
}

/// Factors a square matrix in place with row exchanges. Gives the least pivot as a share of
/// the largest entry of its column before elimination; `None` where a pivot is nought.
pub(crate) fn lu(a: &mut [f64], n: usize, swap: &mut [usize]) -> Option<f64> {
    let mut least = f64::INFINITY;
    let largest = a.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
    for k in 0..n {
        let (mut row, mut best) = (k, a[k * n + k].abs());
        for i in k + 1..n {
            let v = a[i * n + k].abs();
            if v > best {
                (row, best) = (i, v);
            }
        }
        swap[k] = row;
        if best.is_nan() || best <= 0.0 {
            return None;
        }
        least = least.min(best / largest);
        if row != k {
            for j in 0..n {
                a.swap(k * n + j, row * n + j);
            }
        }
        let one = 1.0 / a[k * n + k];
        let (top, below) = a.split_at_mut((k + 1) * n);
        let pivot = &top[k * n + k + 1..];
        for line in below.chunks_exact_mut(n) {
            let f = line[k] * one;
            line[k] = f;
            if f != 0.0 {
                for (v, p) in line[k + 1..].iter_mut().zip(pivot) {
                    *v -= f * p;
                }
            }
        }
    }
    Some(least)
}

pub(crate) fn lu_solve(a: &[f64], n: usize, swap: &[usize], b: &mut [f64]) {
    // Row exchanges were made on whole rows, factors included, so all come first.
    swap.iter().take(n).enumerate().for_each(|(k, &row)| b.swap(k, row));
    for i in 1..n {
        let sum: f64 = a[i * n..i * n + i].iter().zip(&*b).map(|(m, v)| m * v).sum();
        b[i] -= sum;
    }
    for i in (0..n).rev() {
        let sum: f64 = a[i * n + i + 1..(i + 1) * n].iter().zip(&b[i + 1..n]).map(|(m, v)| m * v).sum();
        b[i] = (b[i] - sum) / a[i * n + i];
    }
}

/// The sign of the determinant of a matrix in factors.
pub(crate) fn lu_sign(a: &[f64], n: usize, swap: &[usize]) -> f64 {
    (0..n).fold(1.0, |sign, k| {
        let s = if a[k * n + k] < 0.0 { -sign } else { sign };
        if swap[k] == k { s } else { -s }
    })
}

/// Householder factors with column exchanges.
#[derive(Clone, Debug)]
pub(crate) struct Qr {
    rows: usize,
    cols: usize,
    a: Vec<f64>,
    beta: Vec<f64>,
    diag: Vec<f64>,
    pub order: Vec<usize>,
}

impl Qr {
    pub fn of(mut a: Vec<f64>, rows: usize, cols: usize) -> Self {
        let steps = rows.min(cols);
        let mut order: Vec<usize> = (0..cols).collect();
        let (mut beta, mut diag) = (vec![0.0; steps], vec![0.0; steps]);
        for k in 0..steps {
            let norm = |a: &[f64], j: usize| (k..rows).map(|i| a[i * cols + j].powi(2)).sum::<f64>();
            let best = (k..cols).max_by(|&i, &j| norm(&a, i).total_cmp(&norm(&a, j))).unwrap_or(k);
            if best != k {
                order.swap(k, best);
                (0..rows).for_each(|i| a.swap(i * cols + k, i * cols + best));
            }
            let long = norm(&a, k).sqrt();
            if long == 0.0 {
                continue;
            }
            let head = a[k * cols + k];
            let alpha = if head > 0.0 { -long } else { long };
            diag[k] = alpha;
            a[k * cols + k] = head - alpha;
            let square: f64 = norm(&a, k);
            beta[k] = 2.0 / square;
            for j in k + 1..cols {
                let dot: f64 = (k..rows).map(|i| a[i * cols + k] * a[i * cols + j]).sum();
                let f = beta[k] * dot;
                (k..rows).for_each(|i| a[i * cols + j] -= f * a[i * cols + k]);
            }
        }
        Self { rows, cols, a, beta, diag, order }
    }

    /// How many columns are independent, a share of the largest being taken as nought.
    pub fn rank(&self, share: f64) -> usize {
        let largest = self.diag.first().map_or(0.0, |d| d.abs());
        self.diag.iter().take_while(|d| d.abs() > share * largest && d.abs() > 0.0).count()
    }

    /// Least squares, for full rank; the answer stands in the first entries.
    pub fn solve(&self, b: &mut [f64]) {
        let (n, m) = (self.cols, self.rows);
        for k in 0..n {
            let dot: f64 = (k..m).map(|i| self.a[i * n + k] * b[i]).sum();
            let f = self.beta[k] * dot;
            (k..m).for_each(|i| b[i] -= f * self.a[i * n + k]);
        }
        for i in (0..n).rev() {
            let sum: f64 = (i + 1..n).map(|j| self.a[i * n + j] * b[j]).sum();
            b[i] = (b[i] - sum) / self.diag[i];
        }
        let mut x = vec![0.0; n];
        for (k, &j) in self.order.iter().enumerate() {
            x[j] = b[k];
        }
        b[..n].copy_from_slice(&x);
    }

    /// A direction that the matrix takes to nought, for each dependent column after `rank`.
    pub fn kernel(&self, rank: usize) -> Vec<Vec<f64>> {
        let n = self.cols;
        (rank..n)
            .map(|free| {
                let mut x = vec![0.0; n];
                x[self.order[free]] = 1.0;
                let mut y = vec![0.0; rank];
                for i in (0..rank).rev() {
                    let sum: f64 = (i + 1..rank).map(|j| self.a[i * n + j] * y[j]).sum();
                    y[i] = -(self.a[i * n + free] + sum) / self.diag[i];
                    x[self.order[i]] = y[i];
                }
                x
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tall_system_is_solved_by_least_squares_and_its_rank_told() {
        // The line 2 + 3t through four points, one of them off: normal equations by hand.
        let a = vec![1.0, 0.0, 1.0, 1.0, 1.0, 2.0, 1.0, 3.0];
        let mut b = vec![2.0, 5.0, 8.0, 15.0];
        let f = Factors::of(a.clone(), 4, 2).unwrap();
        f.solve(&mut b);
        assert!((b[0] - 1.2).abs() < 1e-12 && (b[1] - 4.2).abs() < 1e-12, "{b:?}");
        let double = vec![1.0, 2.0, 2.0, 4.0, 3.0, 6.0];
        let qr = Qr::of(double, 3, 2);
        assert_eq!(qr.rank(1e-11), 1);
        let k = &qr.kernel(1)[0];
        assert!((k[0] + 2.0 * k[1]).abs() < 1e-12);
    }

    #[test]
    fn a_square_system_needs_its_rows_exchanged() {
        let a = vec![0.0, 2.0, 1.0, 1.0, 1.0, 0.0, 2.0, 0.0, 3.0];
        let mut b = vec![7.0, 3.0, 11.0];
        Factors::of(a, 3, 3).unwrap().solve(&mut b);
        for (x, want) in b.iter().zip([1.0, 2.0, 3.0]) {
            assert!((x - want).abs() < 1e-12);
        }
    }
}
