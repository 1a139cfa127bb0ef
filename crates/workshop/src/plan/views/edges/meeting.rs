//! Where two pieces of a part meet: straight lines that belong to neither alone.

use super::super::region::shares_at;
use super::super::solid::{Form, HAIR_MM, Piece, plane, raised};
use super::{Course, Edge, Sort};
use crate::drawing::Axis;
use crate::geometry::{Point, SAME_POINT_MM, crossings};

/// Where the sides of two pieces along one axis cross.
pub(super) fn crossed(one: &Piece, other: &Piece, edges: &mut Vec<Edge>) {
    let (Form::Prism(a), Form::Prism(b)) = (&one.form, &other.form) else { return };
    let (from, to) = (one.from_mm.max(other.from_mm), one.to_mm.min(other.to_mm));
    if to - from < HAIR_MM {
        return;
    }
    let axis = one.axis;
    let of = other.of.or(one.of);
    let mut found: Vec<Point> = Vec::new();
    for first in &a.pieces {
        let bounds = first.bounds();
        for second in &b.pieces {
            let beside = second.bounds();
            let apart = |a: f64, b: f64| a > b + HAIR_MM;
            if apart(bounds.least.x_mm, beside.most.x_mm)
                || apart(beside.least.x_mm, bounds.most.x_mm)
                || apart(bounds.least.y_mm, beside.most.y_mm)
                || apart(beside.least.y_mm, bounds.most.y_mm)
            {
                continue;
            }
            found.extend(crossings(first, second));
        }
    }
    found.sort_by(|a, b| (a.x_mm, a.y_mm).partial_cmp(&(b.x_mm, b.y_mm)).expect("places are finite"));
    found.dedup_by(|a, b| a.distance_mm(*b) < SAME_POINT_MM);
    edges.extend(found.into_iter().map(|at| {
        let course = Course::Straight { from: raised(at, axis, from), to: raised(at, axis, to) };
        Edge::new(of, course, Sort::Crossing(axis))
    }));
}

/// Where the flat ends of a piece cut the sides of another that stands square to it.
pub(super) fn ended(piece: &Piece, other: &Piece, edges: &mut Vec<Edge>) {
    let Form::Prism(region) = &other.form else { return };
    let upwards = piece.axis == plane(other.axis)[1];
    for height in [piece.from_mm, piece.to_mm] {
        for side in &region.pieces {
            for share in shares_at(side, height, upwards).into_iter().filter(|s| *s >= 0.0 && *s <= 1.0) {
                let at = side.along(share);
                let (from, to) = (raised(at, other.axis, other.from_mm), raised(at, other.axis, other.to_mm));
                let of = other.of.or(piece.of);
                edges.push(Edge::new(of, Course::Straight { from, to }, Sort::Crossing(other.axis)));
            }
        }
    }
}

/// Where the flat ends of two pieces that stand square to each other meet.
pub(super) fn ends_crossed(one: &Piece, other: &Piece, edges: &mut Vec<Edge>) {
    let Some(along) =
        [Axis::X, Axis::Y, Axis::Z].into_iter().find(|axis| ![one.axis, other.axis].contains(axis))
    else {
        return;
    };
    let k = along as usize;
    let (from, to) = (one.least[k].max(other.least[k]), one.most[k].min(other.most[k]));
    if to - from < HAIR_MM {
        return;
    }
    for a in [one.from_mm, one.to_mm] {
        for b in [other.from_mm, other.to_mm] {
            let spot = |at: f64| {
                let mut spot = [at; 3];
                spot[one.axis as usize] = a;
                spot[other.axis as usize] = b;
                spot
            };
            let course = Course::Straight { from: spot(from), to: spot(to) };
            edges.push(Edge::new(other.of.or(one.of), course, Sort::Crossing(along)));
        }
    }
}
