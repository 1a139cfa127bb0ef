//! How fast curved places change with the dimensions: the slopes of what Newton's
//! method solved, by the rule for implicit functions.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::blocks::Block;
use super::branches::{Branch, Field};
use super::forms::Placed;
use super::newton::solve_dense;
use super::rows::Unknown;
use super::{DimensionId, Linear};
use crate::measure::Length;

/// How fast something changes with each dimension.
pub(super) type ByDimension = BTreeMap<DimensionId, f64>;

/// How fast each free coordinate of the blocks changes with each dimension.
pub(super) fn tangents(field: &Field, blocks: &[Block], branch: &Branch) -> BTreeMap<Unknown, ByDimension> {
    let mut found: BTreeMap<Unknown, ByDimension> = BTreeMap::new();
    for block in blocks {
        let at: Vec<f64> = block.unknowns.iter().map(|&u| branch.free[u]).collect();
        let slopes = field.errors(block, &branch.choices, &branch.free, &at).slopes;
        // What moves each curve apart from the block's own coordinates.
        let moved: Vec<ByDimension> = block
            .curves
            .iter()
            .map(|&curve| residual(field, curve, branch.choices[curve], &branch.free, &found))
            .collect();
        let mut all: Vec<DimensionId> = moved.iter().flat_map(|by| by.keys().copied()).collect();
        all.sort_unstable();
        all.dedup();
        let mut own: Vec<ByDimension> = vec![ByDimension::new(); block.unknowns.len()];
        for id in all {
            let right: Vec<f64> = moved.iter().map(|by| -by.get(&id).copied().unwrap_or(0.0)).collect();
            for (by, x) in own.iter_mut().zip(against(&slopes, &right)) {
                by.insert(id, x);
            }
        }
        found.extend(block.unknowns.iter().copied().zip(own));
    }
    found
}

/// How fast a curve's residual changes with each dimension, through its reach and
/// through every coordinate whose slopes are known.
pub(super) fn residual(
    field: &Field,
    curve: usize,
    choice: usize,
    free: &[f64],
    known: &BTreeMap<Unknown, ByDimension>,
) -> ByDimension {
    let mut by = ByDimension::new();
    let mut count = |id: DimensionId, times: f64| *by.entry(id).or_default() += times;
    let curve = &field.curves[curve];
    for (&id, times) in &curve.reaches[choice].is.terms {
        count(id, -float(*times));
    }
    let slope = curve.shape.slope(&Placed { frame: field.frame, free });
    for (unknown, slope) in slope.by {
        for &(id, times) in field.frame.dimensions(unknown) {
            count(id, slope * times);
        }
        for &(free, times) in field.frame.terms(unknown) {
            for (&id, moves) in known.get(&free).into_iter().flatten() {
                count(id, slope * times * moves);
            }
        }
    }
    by
}

/// Solves for the slopes; where curves only touch, the least that comes nearest.
fn against(slopes: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    if let Some(exact) = solve_dense(slopes.to_vec(), right.to_vec()) {
        return exact;
    }
    let count = right.len();
    let mut normal = vec![vec![0.0; count]; count];
    let mut down = vec![0.0; count];
    for (row, r) in slopes.iter().zip(right) {
        for i in 0..count {
            down[i] += row[i] * r;
            for j in 0..count {
                normal[i][j] += row[i] * row[j];
            }
        }
    }
    for (i, row) in normal.iter_mut().enumerate() {
        row[i] += 1e-9;
    }
    solve_dense(normal, down).unwrap_or_else(|| vec![0.0; count])
}

fn float(ratio: Ratio<i128>) -> f64 {
    *ratio.numer() as f64 / *ratio.denom() as f64
}

/// A value with its slopes as a sum of dimensions that is exact at the sizes given
/// and touches the curve there.
pub(super) fn touching(value_mm: f64, by: &ByDimension, sizes: &[Length]) -> Linear {
    const PLACES: f64 = 1e9;
    let terms =
        by.iter().map(|(&id, times)| (id, Ratio::new((times * PLACES).round() as i128, PLACES as i128)));
    let terms = terms.filter(|(_, times)| *times != Ratio::from_integer(0)).collect();
    let slopes = Linear { constant: Length::ZERO, terms };
    let constant = exact(value_mm) - slopes.value(sizes);
    Linear { constant, ..slopes }
}

/// A calculated coordinate to twelve places of a millimetre.
pub(super) fn exact(value_mm: f64) -> Length {
    const PLACES: i128 = 1_000_000_000_000;
    Length::mm_ratio((value_mm * PLACES as f64).round() as i128, PLACES)
}
