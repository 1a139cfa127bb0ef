//! Solving the placing statements into coordinates.
//!
//! Most statements are linear equations between coordinates whose right-hand side
//! is a sum of dimensions. Elimination over ratios gives each coordinate as a
//! [`Linear`], exactly; an equation that adds nothing new is a check, and says
//! either that the drawing agrees with itself or by how much it does not. What
//! elimination leaves is curves: [`super::blocks`] parts them, [`super::branches`]
//! finds every solution, and [`super::sides`] picks one or asks.

use std::collections::BTreeMap;

use super::culprit;
use super::missing::unplaced;
use super::rows::{EDGES, Node, Unknown, unknown};
use super::settled::{Again, Settled, settle_curves};
use super::system::System;
use super::{Axis, Body, Drawing, FeatureId, Linear, Reference};
use crate::measure::Length;
use crate::problem::Problem;

/// The places of every feature, as sums of dimensions.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// x, y and z of each feature, where the drawing settles them.
    pub(super) places: Vec<[Option<Linear>; 3]>,
    pub(super) edges: BTreeMap<Reference, Linear>,
    /// Dimensions that say again what others say, and agree.
    pub checks: Vec<Check>,
    /// What it takes to solve curved places again for other sizes.
    pub(super) again: Option<Box<Again>>,
}

/// A dimension given twice: the sum that must stay at nought.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// The statements that together say it, as written.
    pub statements: Vec<String>,
    /// What must come to nought, within `slack`.
    pub difference: Linear,
    /// What the rounding of the drawing's own decimals allows.
    pub slack: Length,
}

impl Solved {
    /// A coordinate of a feature, or `None` where the feature has none there.
    pub fn place(&self, feature: FeatureId, axis: Axis) -> Option<&Linear> {
        self.places[feature.0][axis as usize].as_ref()
    }

    /// The coordinate of an edge or face.
    pub fn edge(&self, edge: Reference) -> Option<&Linear> {
        self.edges.get(&edge)
    }
}

/// Solves a drawing.
///
/// # Errors
///
/// One [`Problem`] for every feature that the drawing does not place and for
/// every set of statements that disagree, with the amount.
pub fn solve(drawing: &Drawing) -> Result<Solved, Vec<Problem>> {
    let (solved, faults) = solve_as_far(drawing);
    if faults.is_empty() { Ok(solved) } else { Err(faults) }
}

/// Solves a drawing as far as it goes: every place that it settles, and every
/// fault that keeps it from settling the rest. For a drawing still being entered.
pub fn solve_as_far(drawing: &Drawing) -> (Solved, Vec<Problem>) {
    let mut system = stated(drawing);
    let mut settled = settle_curves(&system);
    let mut faults = std::mem::take(&mut system.faults);
    faults.append(&mut settled.faults);
    faults.extend(culprit::problems(&system, &settled.quarrels));
    let places = places(&system, &settled);
    faults.extend(unplaced(&system, &settled, &places));
    let solved = put_together(system, settled, places);
    if let Body::Turned { .. } = drawing.body
        && solved.edge(Reference::RightEdge).is_none()
        && faults.is_empty()
    {
        faults.push(
            Problem::new("nothing says how long the part is")
                .at(drawing.file.clone())
                .mend("give the length of each section, or the length over all in `[body]`"),
        );
    }
    (solved, faults)
}

/// Solves a drawing that has no fault, and nothing of one that has: for trying many.
pub(super) fn solve_faultless(drawing: &Drawing) -> Option<Solved> {
    let system = stated(drawing);
    let settled = settle_curves(&system);
    let faultless = system.faults.is_empty()
        && system.clashes.is_empty()
        && settled.faults.is_empty()
        && settled.quarrels.is_empty();
    if !faultless {
        return None;
    }
    let places = places(&system, &settled);
    unplaced(&system, &settled, &places).is_empty().then(|| put_together(system, settled, places))
}

fn places(system: &System, settled: &Settled) -> Vec<[Option<Linear>; 3]> {
    let place = |id, axis| coordinate(system, settled, unknown(Node::Feature(id), axis));
    (0..system.drawing.features.len())
        .map(|index| [Axis::X, Axis::Y, Axis::Z].map(|axis| place(FeatureId(index), axis)))
        .collect()
}

fn put_together(system: System, mut settled: Settled, places: Vec<[Option<Linear>; 3]>) -> Solved {
    let edges = EDGES
        .into_iter()
        .filter_map(|edge| {
            let (axis, _) = edge.edge().expect("the list holds edges only");
            Some((edge, coordinate(&system, &settled, unknown(Node::Edge(edge), axis))?))
        })
        .collect();
    let mut checks = system.checks;
    checks.append(&mut settled.checks);
    Solved { places, edges, checks, again: settled.again.map(Box::new) }
}

/// Every equation of a drawing.
pub(super) fn stated(drawing: &Drawing) -> System<'_> {
    let mut system = System::new(drawing);
    system.body();
    for index in 0..drawing.features.len() {
        system.feature(FeatureId(index));
    }
    system.equalities();
    system.chains();
    system
}

/// A coordinate as a sum of dimensions, where it is settled.
fn coordinate(system: &System, settled: &Settled, unknown: Unknown) -> Option<Linear> {
    let Some(row) = system.rows.iter().find(|row| row.pivot == unknown) else {
        return settled.free.get(&unknown).cloned();
    };
    let others = row.coefficients.iter().filter(|(other, _)| **other != unknown);
    others
        .into_iter()
        .try_fold(row.value.clone(), |sum, (other, &count)| Some(sum.plus(settled.free.get(other)?, -count)))
}
