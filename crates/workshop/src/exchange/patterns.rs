//! Holes equally spaced on a circle.

use std::f64::consts::TAU;

use super::cuts::Inner;
use super::recognise::{Outer, Turn};
use super::words::is_neat;
use crate::geometry::{Circle, Point, within_turn};
use crate::measure::Unit;

/// Equal holes, equally spaced round a place that something else marks.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ring {
    pub centre: Point,
    /// Across the centres of the holes.
    pub across_mm: f64,
    /// Of each hole.
    pub hole_mm: f64,
    pub count: usize,
    /// The direction of the first, anticlockwise from the right.
    pub first_rad: f64,
}

/// How far a hole may lie from its place on the circle, in millimetres.
const OFF_MM: f64 = 1e-4;

/// Finds the rings among some holes, and what is left.
///
/// A ring goes round the middle of a disc, a hole or a boss, and its circle and its
/// first hole are at sizes that a drawing gives: four holes at the corners of a
/// square are not a ring, unless they are dimensioned as one.
pub(super) fn rings(outer: &Outer, inner: Vec<Inner>, unit: Unit) -> (Vec<Ring>, Vec<Inner>) {
    let mut centres: Vec<Point> = match outer {
        Outer::Disc(circle) => vec![circle.centre],
        Outer::Rectangle { .. } => Vec::new(),
        Outer::Around(stops) => {
            stops.iter().filter(|stop| matches!(stop.turn, Turn::Boss(_))).map(|stop| stop.at).collect()
        }
    };
    centres.extend(inner.iter().filter_map(hole).map(|hole| hole.centre));
    let mut rings = Vec::new();
    let mut rest = inner;
    for centre in centres {
        // One that has gone into a ring marks nothing any more.
        let marked = matches!(outer, Outer::Disc(disc) if disc.centre == centre)
            || matches!(outer, Outer::Around(stops) if stops.iter().any(|stop| stop.at == centre))
            || rest.iter().filter_map(hole).any(|hole| hole.centre == centre);
        while let Some((ring, taken)) = marked.then(|| around(centre, &rest, unit)).flatten() {
            rings.push(ring);
            let mut index = 0;
            rest.retain(|_| {
                index += 1;
                !taken.contains(&(index - 1))
            });
        }
    }
    (rings, rest)
}

fn hole(cut: &Inner) -> Option<&Circle> {
    match cut {
        Inner::Hole(circle) => Some(circle),
        _ => None,
    }
}

/// The first ring round a place, and which of the cuts it takes.
fn around(centre: Point, cuts: &[Inner], unit: Unit) -> Option<(Ring, Vec<usize>)> {
    let holes: Vec<(usize, &Circle)> =
        cuts.iter().enumerate().filter_map(|(index, cut)| Some((index, hole(cut)?))).collect();
    holes.iter().find_map(|(_, like)| {
        let radius_mm = like.centre.distance_mm(centre);
        if radius_mm <= OFF_MM || !is_neat(2.0 * radius_mm, unit) {
            return None;
        }
        let mut alike: Vec<(usize, f64)> = holes
            .iter()
            .filter(|(_, other)| {
                (other.radius_mm - like.radius_mm).abs() <= OFF_MM
                    && (other.centre.distance_mm(centre) - radius_mm).abs() <= OFF_MM
            })
            .map(|(index, other)| (*index, direction(centre, other.centre, radius_mm)))
            .collect();
        alike.sort_by(|a, b| a.1.total_cmp(&b.1));
        let (count, first_rad) = (alike.len(), alike[0].1);
        let even = (0..count).all(|i| {
            let place = first_rad + TAU * i as f64 / count as f64;
            (alike[i].1 - place).abs() * radius_mm <= OFF_MM
        });
        let minutes = first_rad.to_degrees() * 60.0;
        let told = (minutes - minutes.round()).abs() <= 1e-3;
        (count >= 3 && even && told).then(|| {
            let ring =
                Ring { centre, across_mm: 2.0 * radius_mm, hole_mm: 2.0 * like.radius_mm, count, first_rad };
            (ring, alike.iter().map(|(index, _)| *index).collect())
        })
    })
}

/// From nought to a turn; a hair below a whole turn is nought.
fn direction(centre: Point, at: Point, radius_mm: f64) -> f64 {
    let rad = within_turn(centre.direction_rad(at));
    if (TAU - rad) * radius_mm <= OFF_MM { 0.0 } else { rad }
}
