//! Every coordinate as a sum of those that elimination left free.

use std::collections::{BTreeMap, BTreeSet};

use num_rational::Ratio;

use super::curved::{Coordinates, Curve, Direction, Shape, Slope, Spot};
use super::rows::{Row, Unknown};
use super::system::System;
use super::{DimensionId, Linear};
use crate::measure::Length;

/// One coordinate: a sum of dimensions and of free coordinates.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Form {
    pub(super) constant: Linear,
    pub(super) terms: Vec<(Unknown, Ratio<i128>)>,
}

/// Every coordinate of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Forms {
    forms: Vec<Form>,
}

impl Forms {
    /// What elimination has come to; `count` coordinates in all.
    pub(super) fn of(system: &System, count: usize) -> Self {
        Self::of_rows(&system.rows, count)
    }

    /// What the rows of an elimination come to.
    pub(super) fn of_rows(rows: &[Row], count: usize) -> Self {
        let free =
            |unknown| Form { constant: Linear::default(), terms: vec![(unknown, Ratio::from_integer(1))] };
        let mut forms: Vec<Form> = (0..count).map(free).collect();
        for row in rows {
            let others = row.coefficients.iter().filter(|(unknown, _)| **unknown != row.pivot);
            forms[row.pivot] = Form {
                constant: row.value.clone(),
                terms: others.map(|(&unknown, &count)| (unknown, -count)).collect(),
            };
        }
        Self { forms }
    }

    /// One coordinate.
    pub(super) fn form(&self, unknown: Unknown) -> &Form {
        &self.forms[unknown]
    }

    /// How many coordinates there are.
    pub(super) fn count(&self) -> usize {
        self.forms.len()
    }

    /// The free coordinates that a curve reads. What moves every point of it alike
    /// does not change it, and is left out.
    pub(super) fn support(&self, curve: &Curve) -> Vec<Unknown> {
        let ways: Vec<Vec<(Spot, f64)>> = match &curve.shape {
            Shape::Apart(a, b) => vec![vec![(*a, 1.0), (*b, -1.0)]],
            Shape::Alike([a, b, c, d]) => vec![vec![(*a, 1.0), (*b, -1.0)], vec![(*c, 1.0), (*d, -1.0)]],
            Shape::Along { sum, direction: Direction::Fixed(_) } => vec![sum.clone()],
            Shape::Along { sum, direction: Direction::Line { from, to, .. } } => {
                vec![sum.clone(), vec![(*to, 1.0), (*from, -1.0)]]
            }
        };
        let mut all = BTreeSet::new();
        for way in ways {
            for axis in 0..2 {
                let mut counts: BTreeMap<Unknown, f64> = BTreeMap::new();
                for (spot, times) in &way {
                    for (free, count) in spot[axis].iter().flat_map(|&unknown| &self.forms[unknown].terms) {
                        *counts.entry(*free).or_default() += times * float(count);
                    }
                }
                all.extend(counts.into_iter().filter(|(_, count)| count.abs() > 1e-9).map(|(free, _)| free));
            }
        }
        all.into_iter().collect()
    }

    /// The forms with sizes put in.
    pub(super) fn frame(&self, sizes: &[Length]) -> Frame {
        let constant = |form: &Form| form.constant.value(sizes).as_mm();
        Frame {
            constants_mm: self.forms.iter().map(constant).collect(),
            terms: self
                .forms
                .iter()
                .map(|form| form.terms.iter().map(|(unknown, count)| (*unknown, float(count))).collect())
                .collect(),
            dimensions: self
                .forms
                .iter()
                .map(|form| form.constant.terms.iter().map(|(id, count)| (*id, float(count))).collect())
                .collect(),
        }
    }
}

fn float(ratio: &Ratio<i128>) -> f64 {
    *ratio.numer() as f64 / *ratio.denom() as f64
}

/// Coordinates of no drawing, for what holds at almost any.
pub(super) fn somewhere(count: usize) -> Vec<f64> {
    // Scrambled, so that no three points of it stand in a row as those of a drawing may.
    let scrambled = |n: usize| {
        let mut bits = (n as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((bits ^ (bits >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    (0..count).map(|n| 80.0 * scrambled(n) - 40.0).collect()
}

/// The forms at given sizes, in millimetres.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    constants_mm: Vec<f64>,
    terms: Vec<Vec<(Unknown, f64)>>,
    dimensions: Vec<Vec<(DimensionId, f64)>>,
}

impl Frame {
    /// How fast a shape changes with one free coordinate.
    pub(super) fn by_free(&self, slope: &Slope, free: Unknown) -> f64 {
        slope
            .by
            .iter()
            .flat_map(|(unknown, by)| self.terms[*unknown].iter().map(move |(f, c)| (*f, by * c)))
            .filter(|(f, _)| *f == free)
            .map(|(_, by)| by)
            .sum()
    }

    /// The free coordinates of a coordinate, each with its count.
    pub(super) fn terms(&self, unknown: Unknown) -> &[(Unknown, f64)] {
        &self.terms[unknown]
    }

    /// The dimensions that a coordinate counts of itself.
    pub(super) fn dimensions(&self, unknown: Unknown) -> &[(DimensionId, f64)] {
        &self.dimensions[unknown]
    }

    /// How many coordinates there are.
    pub(super) fn count(&self) -> usize {
        self.terms.len()
    }

    /// The part of a coordinate that no free one moves.
    pub(super) fn constant_mm(&self, unknown: Unknown) -> f64 {
        self.constants_mm[unknown]
    }
}

/// A frame with the free coordinates put in. One that is not known is put at nought:
/// it is only read where it cancels.
pub(super) struct Placed<'a> {
    pub(super) frame: &'a Frame,
    pub(super) free: &'a [f64],
}

impl Coordinates for Placed<'_> {
    fn at_mm(&self, unknown: Unknown) -> f64 {
        self.frame.terms[unknown].iter().fold(self.frame.constants_mm[unknown], |sum, &(free, count)| {
            let at = self.free[free];
            if at.is_finite() { sum + count * at } else { sum }
        })
    }
}
