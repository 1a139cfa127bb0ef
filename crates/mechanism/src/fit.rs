//! Least squares within bounds: sizes that bring several results as near to what is wished as can
//! be, where not all of it can be had.
//!
//! Damped Gauss-Newton steps (Levenberg and Marquardt's way) with sizes weighed by how far they may
//! go; a size at a bound that a step would take it over is held there. What is found is a place that
//! no small step betters, which [`Fit::still`] says; it is the best near its start, not proven the
//! best of all.

use crate::linear::{lu, lu_solve};

/// What a trial shows: how far each wish is off, and how that changes with each size.
#[derive(Clone, Debug, PartialEq)]
pub struct Seen {
    /// How far off each wish is, in shares of how near counts.
    pub off: Vec<f64>,
    /// For each wish, its change for one unit of each size.
    pub slopes: Vec<Vec<f64>>,
}

/// Where it ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The sizes.
    pub at: Vec<f64>,
    /// How far off each wish is there.
    pub off: Vec<f64>,
    /// For each size: whether a bound holds it.
    pub held: Vec<bool>,
    /// Whether no small step within the bounds betters it.
    pub still: bool,
}

/// Most steps from one start.
const STEPS: usize = 60;

/// Goes from a start to where the sum of the squares is least near it; none where nothing can be
/// seen at the start. `see` says nothing where sizes do not go together.
pub fn least_squares(
    start: &[f64],
    bounds: &[[f64; 2]],
    see: &mut dyn FnMut(&[f64]) -> Option<Seen>,
) -> Option<Fit> {
    let mut at: Vec<f64> = start.iter().zip(bounds).map(|(x, [from, to])| x.clamp(*from, *to)).collect();
    let mut seen = see(&at)?;
    let cost = |seen: &Seen| seen.off.iter().map(|off| off * off).sum::<f64>();
    let mut damp = 1e-9;
    for _ in 0..STEPS {
        if seen.off.iter().all(|off| off.abs() <= 1e-6)
            || pull(&seen, &at, bounds) <= 1e-9 * (1.0 + cost(&seen))
        {
            break;
        }
        let step = step(&seen, &at, bounds, damp);
        let next: Vec<f64> = match &step {
            Some(step) => at
                .iter()
                .zip(step)
                .zip(bounds)
                .map(|((x, s), [from, to])| (x + s).clamp(*from, *to))
                .collect(),
            None => at.clone(),
        };
        let better = (next != at).then(|| see(&next)).flatten().filter(|found| cost(found) < cost(&seen));
        match better {
            Some(found) => {
                // What a step hardly betters stands as still as it will.
                let little = cost(&seen) - cost(&found) < 1e-10 * cost(&seen);
                (at, seen) = (next, found);
                damp = (damp * 0.1).max(1e-12);
                if little {
                    break;
                }
            }
            None if damp > 1e4 => break,
            None => damp = (damp * 10.0).max(1e-6),
        }
    }
    let still = pull(&seen, &at, bounds) <= 1e-6 * (1.0 + cost(&seen));
    let held =
        at.iter().zip(bounds).map(|(x, [from, to])| near(*x, *from, to - from) || near(*x, *to, to - from));
    Some(Fit { held: held.collect(), off: seen.off, at, still })
}

fn near(x: f64, bound: f64, wide: f64) -> bool {
    (x - bound).abs() <= 1e-9 * wide
}

/// The steepest way down that the bounds leave open, over the whole width of each size.
fn pull(seen: &Seen, at: &[f64], bounds: &[[f64; 2]]) -> f64 {
    let mut most: f64 = 0.0;
    for (j, [from, to]) in bounds.iter().enumerate() {
        let wide = to - from;
        let down: f64 = -seen.off.iter().zip(&seen.slopes).map(|(off, by)| off * by[j]).sum::<f64>() * wide;
        let shut = (near(at[j], *from, wide) && down < 0.0) || (near(at[j], *to, wide) && down > 0.0);
        if !shut {
            most = most.max(down.abs());
        }
    }
    most
}

/// A damped step; sizes that stand at a bound and would leave it are held there.
fn step(seen: &Seen, at: &[f64], bounds: &[[f64; 2]], damp: f64) -> Option<Vec<f64>> {
    let n = at.len();
    let mut open = vec![true; n];
    loop {
        let all: Vec<usize> = (0..n).filter(|&j| open[j]).collect();
        let m = all.len();
        if m == 0 {
            return Some(vec![0.0; n]);
        }
        let wide: Vec<f64> = all.iter().map(|&j| (bounds[j][1] - bounds[j][0]).max(1e-12)).collect();
        let (mut a, mut b, mut swap) = (vec![0.0; m * m], vec![0.0; m], vec![0; m]);
        for (off, slopes) in seen.off.iter().zip(&seen.slopes) {
            for p in 0..m {
                let by = slopes[all[p]] * wide[p];
                b[p] -= by * off;
                (0..m).for_each(|q| a[p * m + q] += by * slopes[all[q]] * wide[q]);
            }
        }
        let scale = (0..m).fold(0.0_f64, |most, p| most.max(a[p * m + p])).max(1e-300);
        (0..m).for_each(|p| a[p * m + p] += damp * scale);
        lu(&mut a, m, &mut swap)?;
        lu_solve(&a, m, &swap, &mut b);
        let mut step = vec![0.0; n];
        (0..m).for_each(|p| step[all[p]] = b[p] * wide[p]);
        let leaves = |j: usize| {
            let [from, to] = bounds[j];
            (near(at[j], from, to - from) && step[j] < 0.0) || (near(at[j], to, to - from) && step[j] > 0.0)
        };
        match all.into_iter().find(|&j| leaves(j)) {
            Some(j) => open[j] = false,
            None => return Some(step),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wide() -> [f64; 2] {
        [-10.0, 10.0]
    }

    /// The valley of Rosenbrock (1960), as two squares: least nought at (1, 1).
    #[test]
    fn the_bent_valley_is_followed_to_its_foot() {
        let mut see = |x: &[f64]| {
            let off = vec![10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0]];
            Some(Seen { off, slopes: vec![vec![-20.0 * x[0], 10.0], vec![-1.0, 0.0]] })
        };
        let fit = least_squares(&[-1.2, 1.0], &[wide(), wide()], &mut see).unwrap();
        assert!((fit.at[0] - 1.0).abs() < 1e-5 && (fit.at[1] - 1.0).abs() < 1e-5, "{fit:?}");
    }

    /// Three wishes of a straight line by two sizes: the normal equations solved by hand.
    /// y = a + b t through (0, 1), (1, 2), (2, 2): a = 7/6, b = 1/2.
    #[test]
    fn more_wishes_than_sizes_end_at_the_least_squares() {
        let points = [(0.0, 1.0), (1.0, 2.0), (2.0, 2.0)];
        let mut see = |x: &[f64]| {
            let off = points.iter().map(|(t, y)| x[0] + x[1] * t - y).collect();
            Some(Seen { off, slopes: points.iter().map(|(t, _)| vec![1.0, *t]).collect() })
        };
        let fit = least_squares(&[0.0, 0.0], &[wide(), wide()], &mut see).unwrap();
        assert!((fit.at[0] - 7.0 / 6.0).abs() < 1e-8 && (fit.at[1] - 0.5).abs() < 1e-8 && fit.still);
        // With a held to 1 at most: b = Σ t (y - 1) / Σ t² = (1 + 2)/5.
        let fit = least_squares(&[0.0, 0.0], &[[-10.0, 1.0], wide()], &mut see).unwrap();
        assert!((fit.at[1] - 0.6).abs() < 1e-8 && fit.held == [true, false] && fit.still, "{fit:?}");
    }

    #[test]
    fn what_cannot_be_seen_is_no_start_and_a_wall_is_not_crossed() {
        assert_eq!(least_squares(&[0.0], &[wide()], &mut |_| None), None);
        // √x wished to be -1: there is nothing left of nought.
        let mut see = |x: &[f64]| {
            (x[0] > 0.0).then(|| Seen { off: vec![x[0].sqrt() + 1.0], slopes: vec![vec![0.5 / x[0].sqrt()]] })
        };
        let fit = least_squares(&[4.0], &[wide()], &mut see).unwrap();
        assert!(fit.at[0] > 0.0 && fit.off[0] < 3.0);
    }
}
