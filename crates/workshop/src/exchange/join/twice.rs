//! What is drawn twice, or over itself, is taken once.

use std::f64::consts::TAU;

use super::Edge;
use crate::exchange::report::Mend;
use crate::geometry::{Arc, Bounds, Line, Point, Segment, within_turn};

/// Takes each stretch once; every doubled one is told.
///
/// Two lines lie on each other when they run within `within_mm` side by side for
/// more than twice that; two arcs when their centres and radii agree as well.
pub(super) fn take_once(edges: &mut Vec<Edge>, within_mm: f64, mends: &mut Vec<Mend>) {
    while pass(edges, within_mm, mends) == Pass::Changed {}
}

/// Whether a pass found anything.
#[derive(PartialEq, Eq)]
enum Pass {
    Changed,
    Clean,
}

/// Looks at every pair once, from left to right.
fn pass(edges: &mut Vec<Edge>, within_mm: f64, mends: &mut Vec<Mend>) -> Pass {
    let bounds: Vec<Bounds> = edges.iter().map(|edge| edge.drawn.bounds()).collect();
    let mut order: Vec<usize> = (0..edges.len()).collect();
    order.sort_by(|&a, &b| bounds[a].least.x_mm.total_cmp(&bounds[b].least.x_mm).then(a.cmp(&b)));
    let mut gone = vec![false; edges.len()];
    for (place, &a) in order.iter().enumerate() {
        for &b in &order[place + 1..] {
            if gone[a] || bounds[b].least.x_mm > bounds[a].most.x_mm + within_mm {
                break;
            }
            let apart = bounds[b].least.y_mm > bounds[a].most.y_mm + within_mm
                || bounds[a].least.y_mm > bounds[b].most.y_mm + within_mm;
            if apart || gone[b] {
                continue;
            }
            let (kept, other) = (a.min(b), a.max(b));
            let Some((made, by_mm)) = merged(&edges[kept].drawn, &edges[other].drawn, within_mm) else {
                continue;
            };
            let whole = (made.length_mm() - edges[kept].drawn.length_mm()).abs() <= within_mm;
            let what = match (&made, whole) {
                (Segment::Line(_), true) => "a line drawn twice is taken once",
                (Segment::Line(_), false) => "two lines that overlap are made one",
                (Segment::Arc(_), true) => "an arc drawn twice is taken once",
                (Segment::Arc(_), false) => "two arcs that overlap are made one",
            };
            mends.push(Mend::new(what, edges[other].drawn.along(0.5), by_mm));
            edges[kept] = Edge { fitted: edges[kept].fitted, ..Edge::new(made, edges[kept].layer, false) };
            gone[other] = true;
        }
    }
    if !gone.contains(&true) {
        return Pass::Clean;
    }
    let mut gone = gone.into_iter();
    edges.retain(|_| gone.next() == Some(false));
    Pass::Changed
}

/// What two segments on each other come to, and the length they share.
fn merged(one: &Segment, other: &Segment, within_mm: f64) -> Option<(Segment, f64)> {
    match (one, other) {
        (Segment::Line(a), Segment::Line(b)) => lines(*a, *b, within_mm),
        (Segment::Arc(a), Segment::Arc(b)) => arcs(*a, *b, within_mm),
        _ => None,
    }
}

fn lines(a: Line, b: Line, within_mm: f64) -> Option<(Segment, f64)> {
    let length_mm = a.length_mm();
    let unit = (a.end - a.start).times(1.0 / length_mm);
    let aside = |p: Point| unit.cross(p - a.start).abs();
    if aside(b.start) > within_mm || aside(b.end) > within_mm {
        return None;
    }
    let along = |p: Point| unit.dot(p - a.start);
    let (near, far) = if along(b.start) <= along(b.end) { (b.start, b.end) } else { (b.end, b.start) };
    let shared_mm = along(far).min(length_mm) - along(near).max(0.0);
    if shared_mm <= shared_at_least(a.length_mm(), b.length_mm(), within_mm) {
        return None;
    }
    // The ends of the longer stretch stand as they were drawn.
    let start = if along(near) < -within_mm { near } else { a.start };
    let end = if along(far) > length_mm + within_mm { far } else { a.end };
    Some((Segment::line(start, end), shared_mm))
}

/// Lying on each other for twice the distance allowed, or for nearly the whole of
/// one that is shorter than that.
fn shared_at_least(a_mm: f64, b_mm: f64, within_mm: f64) -> f64 {
    (2.0 * within_mm).min(0.9 * a_mm.min(b_mm))
}

fn arcs(a: Arc, b: Arc, within_mm: f64) -> Option<(Segment, f64)> {
    if a.centre.distance_mm(b.centre) > within_mm || (a.radius_mm - b.radius_mm).abs() > within_mm {
        return None;
    }
    if b.sweep_rad * a.sweep_rad < 0.0 {
        let Segment::Arc(turned) = Segment::Arc(b).reversed() else { return None };
        return arcs(a, turned, within_mm);
    }
    let (sense, own, its) = (a.sweep_rad.signum(), a.sweep_rad.abs(), b.sweep_rad.abs());
    let slack_rad = within_mm / a.radius_mm;
    // Where the other begins, counted along this one from its own beginning.
    let from = within_turn((b.start_rad - a.start_rad) * sense);
    for begins in [from - TAU, from] {
        let (low, high) = (begins.max(0.0), (begins + its).min(own));
        let shared_mm = (high - low) * a.radius_mm;
        if shared_mm <= shared_at_least(a.length_mm(), b.length_mm(), within_mm) {
            continue;
        }
        let start = if begins < -slack_rad { begins } else { 0.0 };
        let end = if begins + its > own + slack_rad { begins + its } else { own };
        let sweep = (end - start).min(TAU);
        let made = Arc { start_rad: a.start_rad + sense * start, sweep_rad: sense * sweep, ..a };
        return Some((Segment::Arc(made), shared_mm));
    }
    None
}
