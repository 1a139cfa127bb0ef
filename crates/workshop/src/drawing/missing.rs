//! What a drawing leaves out: features that nothing places, and what would.

use std::collections::BTreeSet;

use super::bodies::needed_axes;
use super::rows::{Node, Unknown, unknown};
use super::settled::Settled;
use super::stating::plane;
use super::system::System;
use super::{Axis, Feature, FeatureId, Linear, Says};
use crate::problem::Problem;

/// A fault for every feature that is not placed and that no other fault tells of.
pub(super) fn unplaced(system: &System, settled: &Settled, places: &[[Option<Linear>; 3]]) -> Vec<Problem> {
    let drawing = system.drawing;
    let mut faults = Vec::new();
    for (index, feature) in drawing.features.iter().enumerate() {
        let id = FeatureId(index);
        let lost: Vec<Axis> = needed_axes(drawing, id)
            .into_iter()
            .filter(|&axis| places[index][axis as usize].is_none())
            .filter(|&axis| !told(system, settled, unknown(Node::Feature(id), axis)))
            .collect();
        if lost.is_empty() {
            continue;
        }
        let curves = loose_curves(system, settled, id);
        if !curves.is_empty() {
            faults.push(still_moves(system, feature, &curves));
            continue;
        }
        for &axis in &lost {
            let hangs_on = hangs_on(system, places, id, axis);
            faults.push(if hangs_on.is_empty() {
                missing(system, feature, axis)
            } else {
                chained(system, feature, axis, &hangs_on)
            });
        }
    }
    faults
}

/// True when another fault says why a coordinate is not settled.
fn told(system: &System, settled: &Settled, unknown: Unknown) -> bool {
    match system.rows.iter().find(|row| row.pivot == unknown) {
        None => settled.told.contains(&unknown),
        Some(row) => row.coefficients.keys().any(|other| settled.told.contains(other)),
    }
}

/// The statements of a feature that are curves and leave it loose.
fn loose_curves(system: &System, settled: &Settled, id: FeatureId) -> Vec<usize> {
    let own: BTreeSet<Unknown> = plane(system.drawing.features[id.0].face)
        .into_iter()
        .flat_map(|axis| {
            let own = unknown(Node::Feature(id), axis);
            let row = system.rows.iter().find(|row| row.pivot == own);
            row.map_or_else(|| vec![own], |row| row.coefficients.keys().copied().collect())
        })
        .collect();
    if !own.iter().any(|unknown| settled.loose.contains(unknown)) {
        return Vec::new();
    }
    let mut sources: Vec<usize> = system
        .curves
        .iter()
        .map(|curve| curve.source)
        .filter(|&at| system.sources[at].statement.is_some_and(|(feature, _)| feature == id))
        .collect();
    sources.dedup();
    sources
}

/// Other features that a coordinate is measured from and that have none there themselves.
fn hangs_on(system: &System, places: &[[Option<Linear>; 3]], id: FeatureId, axis: Axis) -> Vec<FeatureId> {
    let own = unknown(Node::Feature(id), axis);
    let mut others: Vec<FeatureId> = Vec::new();
    for stated in &system.stated {
        let says = system.sources[stated.source].statement.is_some_and(|(feature, _)| feature == id);
        if !says || !stated.terms.iter().any(|(unknown, _)| *unknown == own) {
            continue;
        }
        for other in (0..places.len()).map(FeatureId).filter(|&other| other != id) {
            let there = unknown(Node::Feature(other), axis);
            let unplaced = places[other.0][axis as usize].is_none();
            if unplaced
                && stated.terms.iter().any(|(unknown, _)| *unknown == there)
                && !others.contains(&other)
            {
                others.push(other);
            }
        }
    }
    others
}

/// Where along an axis, in words, and what would say it.
const fn how_far(axis: Axis) -> (&'static str, &'static str) {
    match axis {
        Axis::X => ("to the right or left", "`… right of NAME` or `plumb with NAME`"),
        Axis::Y => ("up or down the sheet", "`… above NAME` or `level with NAME`"),
        Axis::Z => ("from the back or front face", "`… in front of back face` or `mid thickness`"),
    }
}

fn missing(system: &System, feature: &Feature, axis: Axis) -> Problem {
    let (how_far, such_as) = how_far(axis);
    let why = if feature.placing.is_empty() {
        "it has no `place`"
    } else {
        "the drawing leaves it out, or it has not been entered"
    };
    problem(system, feature, format!("nothing says how far {how_far} `{}` is", feature.name))
        .why(why)
        .mend(format!("find it on the drawing and add to `place`: {such_as}"))
}

fn chained(system: &System, feature: &Feature, axis: Axis, hangs_on: &[FeatureId]) -> Problem {
    let (how_far, _) = how_far(axis);
    let names: Vec<String> =
        hangs_on.iter().map(|id| format!("`{}`", system.drawing.features[id.0].name)).collect();
    let names = names.join(" and ");
    let problem = problem(system, feature, format!("nothing says how far {how_far} `{}` is", feature.name))
        .why(format!("it is measured from {names}, and nothing says how far {how_far} that is"))
        .mend(format!("place {names} first, or measure `{}` from the datum or an edge", feature.name));
    hangs_on.iter().fold(problem, |problem, id| problem.concerns(system.drawing.features[id.0].name.clone()))
}

/// A feature that its curves leave free to move.
fn still_moves(system: &System, feature: &Feature, curves: &[usize]) -> Problem {
    let texts: Vec<String> = curves.iter().map(|&at| format!("`{}`", system.sources[at].text)).collect();
    let swings = feature
        .placing
        .iter()
        .filter(|statement| !matches!(statement.says, Says::Beside { .. } | Says::Farthest(_)))
        .map(|statement| &statement.says)
        .collect::<Vec<_>>();
    let how = match swings.as_slice() {
        [
            Says::Distance { .. }
            | Says::Tangent { .. }
            | Says::Clear { .. }
            | Says::OnPitchCircle { .. }
            | Says::AsFar { .. },
        ] => "it may still swing round",
        [
            Says::OnLine(_)
            | Says::FromLine { .. }
            | Says::Bearing { .. }
            | Says::SquareTo { .. }
            | Says::ParallelTo { .. }
            | Says::Equidistant(..),
        ] => "it may still slide along the line",
        _ => "with what it hangs on, it may still move",
    };
    problem(system, feature, format!("one dimension is missing to place `{}`", feature.name))
        .why(format!("the drawing gives {}, and {how}", texts.join(" and ")))
        .mend("find another on the drawing and add it to `place`: `level with NAME`, `at 30° from NAME`, `… right of NAME` or a second distance")
}

fn problem(system: &System, feature: &Feature, what: String) -> Problem {
    Problem::new(what)
        .at(format!("line {}, `{}`", feature.line, feature.name))
        .at(system.drawing.file.clone())
        .concerns(feature.name.clone())
}
