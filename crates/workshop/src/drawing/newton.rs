//! Small dense systems: elimination, Newton's method with damping, and the rank of
//! rows taken in order.

/// Solves `matrix · x = right`, by elimination with the largest pivot of each
/// column; `None` where the rows do not settle every unknown.
pub(super) fn solve_dense(mut matrix: Vec<Vec<f64>>, mut right: Vec<f64>) -> Option<Vec<f64>> {
    let count = right.len();
    let size = matrix.iter().flatten().fold(0.0_f64, |most, v| most.max(v.abs()));
    for column in 0..count {
        let pivot =
            (column..count).max_by(|&a, &b| matrix[a][column].abs().total_cmp(&matrix[b][column].abs()))?;
        if matrix[pivot][column].abs() <= size * 1e-13 {
            return None;
        }
        matrix.swap(column, pivot);
        right.swap(column, pivot);
        for row in column + 1..count {
            let times = matrix[row][column] / matrix[column][column];
            if times == 0.0 {
                continue;
            }
            let (above, below) = matrix.split_at_mut(row);
            for (b, a) in below[0][column..].iter_mut().zip(&above[column][column..]) {
                *b -= times * a;
            }
            right[row] -= times * right[column];
        }
    }
    for column in (0..count).rev() {
        let known: f64 = (column + 1..count).map(|k| matrix[column][k] * right[k]).sum();
        right[column] = (right[column] - known) / matrix[column][column];
    }
    right.iter().all(|x| x.is_finite()).then_some(right)
}

/// Residuals and their slopes at a point: what [`settle`] drives to nought.
pub(super) struct Errors {
    pub(super) residuals: Vec<f64>,
    pub(super) slopes: Vec<Vec<f64>>,
}

impl Errors {
    /// The sum of squares.
    pub(super) fn square(&self) -> f64 {
        self.residuals.iter().map(|r| r * r).sum()
    }

    /// The greatest residual.
    pub(super) fn most(&self) -> f64 {
        self.residuals.iter().fold(0.0, |most, r| most.max(r.abs()))
    }
}

/// Most steps of one run: from a fair start a handful is enough.
const STEPS: usize = 60;

/// Goes downhill from a start: damped steps while far off, whole Newton steps
/// when near. Returns where it came to and the errors there, which are not nought
/// where nothing nearby solves the system.
pub(super) fn settle(start: &[f64], errors: &dyn Fn(&[f64]) -> Errors) -> (Vec<f64>, Errors) {
    let mut at = start.to_vec();
    let mut here = errors(&at);
    let mut damping = 1e-3;
    for _ in 0..STEPS {
        let square = here.square();
        if square == 0.0 {
            break;
        }
        let Some((next, there)) = lower(&at, &here, &mut damping, errors) else { break };
        let gained = square - there.square();
        (at, here) = (next, there);
        if gained <= square * 1e-12 && damping > 1e6 {
            break;
        }
    }
    // The last digits: whole steps, kept while they still help.
    for _ in 0..8 {
        let square_system = here.residuals.len() == at.len();
        let step =
            if square_system { solve_dense(here.slopes.clone(), here.residuals.clone()) } else { None };
        let Some(step) = step else { break };
        let next: Vec<f64> = at.iter().zip(&step).map(|(x, s)| x - s).collect();
        let there = errors(&next);
        if there.most() >= here.most() {
            break;
        }
        (at, here) = (next, there);
    }
    (at, here)
}

/// A step to somewhere lower, with as much damping as it needs.
fn lower(
    at: &[f64],
    here: &Errors,
    damping: &mut f64,
    errors: &dyn Fn(&[f64]) -> Errors,
) -> Option<(Vec<f64>, Errors)> {
    let count = at.len();
    let mut normal = vec![vec![0.0; count]; count];
    let mut down = vec![0.0; count];
    for (slopes, residual) in here.slopes.iter().zip(&here.residuals) {
        for (i, a) in slopes.iter().enumerate().filter(|(_, a)| **a != 0.0) {
            down[i] += a * residual;
            for (j, b) in slopes.iter().enumerate() {
                normal[i][j] += a * b;
            }
        }
    }
    while *damping < 1e12 {
        let mut damped = normal.clone();
        for (i, row) in damped.iter_mut().enumerate() {
            row[i] += *damping * (normal[i][i] + 1e-9);
        }
        if let Some(step) = solve_dense(damped, down.clone()) {
            let next: Vec<f64> = at.iter().zip(&step).map(|(x, s)| x - s).collect();
            let there = errors(&next);
            if there.square() < here.square() {
                *damping = (*damping * 0.1).max(1e-15);
                return Some((next, there));
            }
        }
        *damping *= 10.0;
    }
    None
}

/// Rows taken one after another, each kept only for what it adds.
#[derive(Default)]
pub(super) struct Span {
    basis: Vec<Vec<f64>>,
}

/// A row shorter than this share of itself, once the others are taken off, adds nothing.
const ADDS: f64 = 1e-8;

impl Span {
    /// What is left of a row beyond the rows taken.
    pub(super) fn beyond(&self, row: &[f64]) -> Vec<f64> {
        let mut left = row.to_vec();
        // Twice, because once leaves rounding behind.
        for _ in 0..2 {
            for known in &self.basis {
                let along: f64 = left.iter().zip(known).map(|(a, b)| a * b).sum();
                left.iter_mut().zip(known).for_each(|(a, b)| *a -= along * b);
            }
        }
        left
    }

    /// Takes a row; true when it adds something.
    pub(super) fn take(&mut self, row: &[f64]) -> bool {
        let long = norm(row);
        if long == 0.0 {
            return false;
        }
        let row: Vec<f64> = row.iter().map(|a| a / long).collect();
        let left = self.beyond(&row);
        let long = norm(&left);
        if long <= ADDS {
            return false;
        }
        self.basis.push(left.iter().map(|a| a / long).collect());
        true
    }

    /// True when the rows taken settle one unknown of `count` whatever the others.
    pub(super) fn settles(&self, unknown: usize, count: usize) -> bool {
        let mut row = vec![0.0; count];
        row[unknown] = 1.0;
        norm(&self.beyond(&row)) <= 1e-6
    }
}

fn norm(row: &[f64]) -> f64 {
    row.iter().map(|a| a * a).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dense_system_is_solved_and_a_dependent_one_refused() {
        let x = solve_dense(vec![vec![0.0, 2.0], vec![3.0, 1.0]], vec![4.0, 5.0]).unwrap();
        assert!((x[0] - 1.0).abs() < 1e-15 && (x[1] - 2.0).abs() < 1e-15);
        assert_eq!(solve_dense(vec![vec![1.0, 2.0], vec![2.0, 4.0]], vec![1.0, 2.0]), None);
    }

    /// Two circles: by hand they cross at (3, ±4) for radius 5 about (0, 0) and (6, 0).
    #[test]
    fn settling_finds_the_crossing_on_the_side_of_the_start() {
        let errors = |at: &[f64]| {
            let (a, b) = (at[0].hypot(at[1]), (at[0] - 6.0).hypot(at[1]));
            Errors {
                residuals: vec![a - 5.0, b - 5.0],
                slopes: vec![vec![at[0] / a, at[1] / a], vec![(at[0] - 6.0) / b, at[1] / b]],
            }
        };
        let (at, left) = settle(&[1.0, 9.0], &errors);
        assert!(left.most() < 1e-14 && (at[0] - 3.0).abs() < 1e-13 && (at[1] - 4.0).abs() < 1e-13);
        let (at, _) = settle(&[4.0, -9.0], &errors);
        assert!((at[1] + 4.0).abs() < 1e-13);
    }

    #[test]
    fn a_row_that_others_make_up_adds_nothing() {
        let mut span = Span::default();
        assert!(span.take(&[1.0, 1.0, 0.0]) && span.take(&[0.0, 1.0, 0.0]));
        assert!(!span.take(&[3.0, -2.0, 0.0]));
        assert!(span.settles(0, 3) && span.settles(1, 3) && !span.settles(2, 3));
    }
}
