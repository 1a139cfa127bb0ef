//! Rows of the elimination: what `solve` adds, takes away and scales.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::{Axis, FeatureId, Linear, Reference};
use crate::measure::{Angle, Length, Written};

pub(super) const EDGES: [Reference; 6] = [
    Reference::LeftEdge,
    Reference::RightEdge,
    Reference::BottomEdge,
    Reference::TopEdge,
    Reference::BackFace,
    Reference::FrontFace,
];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Node {
    Feature(FeatureId),
    Edge(Reference),
}

pub(super) type Unknown = usize;

pub(super) fn unknown(node: Node, axis: Axis) -> Unknown {
    let node = match node {
        Node::Edge(edge) => EDGES.iter().position(|&e| e == edge).expect("edges are in the list"),
        Node::Feature(FeatureId(index)) => EDGES.len() + index,
    };
    node * 3 + axis as usize
}

pub(super) struct Row {
    pub(super) pivot: Unknown,
    pub(super) coefficients: BTreeMap<Unknown, Ratio<i128>>,
    pub(super) value: Linear,
    /// How much of each statement went into this row.
    pub(super) from: BTreeMap<usize, Ratio<i128>>,
}

pub(super) fn add(map: &mut BTreeMap<Unknown, Ratio<i128>>, key: Unknown, count: Ratio<i128>) {
    let sum = map.remove(&key).unwrap_or_default() + count;
    if sum != Ratio::from_integer(0) {
        map.insert(key, sum);
    }
}

/// Takes `count` times `other` away from `row`.
pub(super) fn subtract(row: &mut Row, other: &Row, count: Ratio<i128>) {
    for (&unknown, &c) in &other.coefficients {
        add(&mut row.coefficients, unknown, -c * count);
    }
    row.value = std::mem::take(&mut row.value).plus(&other.value, -count);
    for (&source, &c) in &other.from {
        let sum = row.from.remove(&source).unwrap_or_default() - c * count;
        if sum != Ratio::from_integer(0) {
            row.from.insert(source, sum);
        }
    }
}

pub(super) fn scale(row: &mut Row, by: Ratio<i128>) {
    for count in row.coefficients.values_mut() {
        *count *= by;
    }
    row.value = row.value.times(by);
    for count in row.from.values_mut() {
        *count *= by;
    }
}

/// Half of the last decimal place written: what rounding the figure may hide.
/// Fractions hide nothing.
pub(super) fn last_place(written: &Written) -> Length {
    let digits =
        written.text.split_once('.').map(|(_, after)| after.chars().take_while(char::is_ascii_digit).count());
    match digits {
        Some(places) if !written.text.contains('/') => {
            written.unit.one().scaled(Ratio::new(1, 2 * 10_i128.pow(places.min(9) as u32)))
        }
        _ => Length::ZERO,
    }
}

/// Cosine to twelve places; exact at the quarter turns and at 60°.
pub(super) fn cosine(angle: Angle) -> Ratio<i128> {
    const PLACES: f64 = 1e12;
    Ratio::new((angle.as_rad().cos() * PLACES).round() as i128, PLACES as i128)
}

pub(super) fn sine(angle: Angle) -> Ratio<i128> {
    cosine(Angle::degrees(90) - angle)
}
