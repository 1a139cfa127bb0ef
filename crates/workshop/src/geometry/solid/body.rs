//! Metal and what is cut from it, as a line through both finds them.

use super::{Convex, Frame, Span, Spot};
use crate::geometry::{Arc, Outline, Point, Segment};

/// A part: what there is, less what is cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Body {
    /// The metal before anything is cut; pieces may overlap.
    pub metal: Vec<Piece>,
    /// What is cut from it; cuts may overlap and reach outside.
    pub cuts: Vec<Piece>,
}

/// A piece of metal, or of what is cut.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// A convex solid.
    Convex(Convex),
    /// An outline in the plane of the drawing, carried from one height to another.
    Extruded {
        /// Its outline.
        outline: Outline,
        /// From how high.
        low_mm: f64,
        /// To how high.
        high_mm: f64,
    },
    /// What lies between two cylinders about one axis: a groove, a recess round a hub.
    Ring(Ring),
}

/// Everything between two cylinders, and between two places along their axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Its third direction is the axis.
    pub frame: Frame,
    /// Radius left inside it.
    pub inner_mm: f64,
    /// Radius of its outside; without end for a groove.
    pub outer_mm: f64,
    /// From how far along the axis.
    pub from_mm: f64,
    /// To how far.
    pub to_mm: f64,
}

impl Piece {
    /// The least and the greatest x, y and z; those of a ring have no end sideways.
    pub fn bounds(&self) -> [Spot; 2] {
        match self {
            Self::Convex(convex) => convex.bounds(),
            Self::Extruded { outline, low_mm, high_mm } => {
                let bounds = outline.bounds();
                [
                    Spot::new(bounds.least.x_mm, bounds.least.y_mm, *low_mm),
                    Spot::new(bounds.most.x_mm, bounds.most.y_mm, *high_mm),
                ]
            }
            Self::Ring(ring) => {
                let side = |mm: f64, sign: f64| {
                    let at = ring.frame.place(0.0, 0.0, mm);
                    let wide = |along: f64, place: f64| {
                        if along.abs() > 1.0 - 1e-9 { place } else { f64::INFINITY * sign }
                    };
                    let w = ring.frame.w;
                    Spot::new(wide(w.x_mm, at.x_mm), wide(w.y_mm, at.y_mm), wide(w.z_mm, at.z_mm))
                };
                [side(ring.from_mm.min(ring.to_mm), -1.0), side(ring.from_mm.max(ring.to_mm), 1.0)]
            }
        }
    }

    /// Where a line lies inside, in no order.
    pub fn spans(&self, start: Spot, way: Spot, found: &mut Vec<Span>) {
        match self {
            Self::Convex(convex) => found.extend(convex.span(start, way)),
            Self::Extruded { outline, low_mm, high_mm } => {
                let Some(high) = Span::where_between(start.z_mm, way.z_mm, *low_mm, *high_mm) else { return };
                let (start, way) = (Point::new(start.x_mm, start.y_mm), Point::new(way.x_mm, way.y_mm));
                found.extend(inside(outline, start, way).into_iter().filter_map(|span| span.shared(high)));
            }
            Self::Ring(ring) => {
                let [u, v, w] = ring.frame.shares(start - ring.frame.origin);
                let [du, dv, dw] = ring.frame.shares(way);
                let Some(slab) = Span::where_between(w, dw, ring.from_mm, ring.to_mm) else { return };
                let (a, b) = (du * du + dv * dv, 2.0 * (u * du + v * dv));
                let within = |radius_mm: f64| {
                    if radius_mm.is_finite() {
                        Span::where_not_above(a, b, u * u + v * v - radius_mm * radius_mm)
                    } else {
                        Some(Span::ALL)
                    }
                };
                let Some(whole) = within(ring.outer_mm).and_then(|span| span.shared(slab)) else { return };
                match within(ring.inner_mm) {
                    None => found.push(whole),
                    Some(core) => {
                        found.extend(Span::new(whole.from, core.from.min(whole.to)));
                        found.extend(Span::new(core.to.max(whole.from), whole.to));
                    }
                }
            }
        }
    }
}

impl Body {
    /// Where a line is metal, in order.
    pub fn metal(&self, start: Spot, way: Spot) -> Vec<Span> {
        let found = |pieces: &[Piece]| {
            let mut spans = Vec::new();
            pieces.iter().for_each(|piece| piece.spans(start, way, &mut spans));
            join(&mut spans);
            spans
        };
        found(&self.cuts)
            .iter()
            .fold(found(&self.metal), |metal, cut| metal.iter().flat_map(|span| span.without(*cut)).collect())
    }

    /// How much of the stretches of metal no cut takes away.
    pub(super) fn left_mm(metal: &mut Vec<Span>, cuts: &mut Vec<Span>) -> f64 {
        join(metal);
        join(cuts);
        let whole: f64 = metal.iter().map(|span| span.to - span.from).sum();
        let shared = cuts.iter().flat_map(|cut| metal.iter().filter_map(|span| span.shared(*cut)));
        whole - shared.map(|span| span.to - span.from).sum::<f64>()
    }
}

/// Overlapping stretches made one, in order.
fn join(spans: &mut Vec<Span>) {
    spans.sort_by(|a, b| a.from.total_cmp(&b.from));
    spans.dedup_by(|next, last| {
        let overlap = next.from <= last.to;
        if overlap {
            last.to = last.to.max(next.to);
        }
        overlap
    });
}

/// Where a line in the plane lies inside an outline.
fn inside(outline: &Outline, start: Point, way: Point) -> Vec<Span> {
    if way == Point::ORIGIN {
        return if outline.contains(start) { vec![Span::ALL] } else { Vec::new() };
    }
    let square = way.dot(way);
    let side = |at: Point| way.cross(at - start);
    let along = |at: Point| (at - start).dot(way) / square;
    let mut crossings: Vec<f64> = Vec::new();
    // On which side each joint lies is asked once, for the segments before and after
    // it: they may differ in the last place, and the line may run through the joint.
    let below: Vec<bool> = outline.segments().iter().map(|segment| side(segment.start()) < 0.0).collect();
    for (index, segment) in outline.segments().iter().enumerate() {
        let (from_below, to_below) = (below[index], below[(index + 1) % below.len()]);
        match segment {
            Segment::Line(line) => {
                if from_below != to_below {
                    let (a, b) = (side(line.start), side(line.end));
                    let (from, to) = (along(line.start), along(line.end));
                    let share = if a == b { 0.5 } else { (a / (a - b)).clamp(0.0, 1.0) };
                    crossings.push(from + (to - from) * share);
                }
            }
            Segment::Arc(arc) => {
                let marks = monotone(arc, way);
                let last = marks.len() - 1;
                for pair in 0..last {
                    let (a, b) = (marks[pair], marks[pair + 1]);
                    let p = if pair == 0 { from_below } else { side(point_on(arc, a)) < 0.0 };
                    let q = if pair + 1 == last { to_below } else { side(point_on(arc, b)) < 0.0 };
                    if p != q {
                        // Of the two crossings of the circle, the one between these ends.
                        let off = side(arc.centre) / square.sqrt();
                        let half = (arc.radius_mm * arc.radius_mm - off * off).max(0.0).sqrt();
                        let middle = point_on(arc, (a + b) / 2.0) - arc.centre;
                        let sign = if middle.dot(way) >= 0.0 { 1.0 } else { -1.0 };
                        crossings.push(along(arc.centre) + sign * half / square.sqrt());
                    }
                }
            }
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).filter_map(|pair| Span::new(pair[0], pair[1])).collect()
}

fn point_on(arc: &Arc, rad: f64) -> Point {
    arc.centre.polar(arc.radius_mm, rad)
}

/// The angles of an arc, in the order it is run, between which it goes only one way
/// across a direction.
fn monotone(arc: &Arc, way: Point) -> Vec<f64> {
    use std::f64::consts::PI;
    let (low, high) = (arc.start_rad.min(arc.end_rad()), arc.start_rad.max(arc.end_rad()));
    // It turns back where its radius stands square to the direction.
    let turn = Point::ORIGIN.direction_rad(way) + PI / 2.0;
    let mut marks = vec![low];
    let mut mark = turn + PI * ((low - turn) / PI).ceil();
    while mark < high {
        if mark > low {
            marks.push(mark);
        }
        mark += PI;
    }
    marks.push(high);
    if arc.sweep_rad < 0.0 {
        marks.reverse();
    }
    marks
}
