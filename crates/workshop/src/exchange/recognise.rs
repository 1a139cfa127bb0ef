//! What an outside is: a disc, a rectangle, or what an outline goes round.

use std::f64::consts::{FRAC_PI_2, PI};

use super::join::Edge;
use super::loops::Loop;
use crate::geometry::{Arc, Circle, Line, Point, Segment};

/// The outside of a part.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Outer {
    Disc(Circle),
    /// Upright, with sharp corners.
    Rectangle {
        least: Point,
        most: Point,
    },
    /// What it goes round, anticlockwise.
    Around(Vec<Stop>),
}

/// One thing that an outline goes round, and how it goes on from there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stop {
    pub at: Point,
    pub turn: Turn,
    pub then: Side,
    pub place: Place,
}

/// What may become of the place of a stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// It may move on its own.
    Free,
    /// It lies on a curve, or on a polygon that stands for one: moved on its own it
    /// would leave a kink.
    OnCurve,
}

/// What stands at a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Turn {
    Sharp,
    /// A corner rounded to a radius in millimetres; it is placed by where its sides meet.
    Rounded(f64),
    /// A round end of a radius in millimetres, placed by its centre.
    Boss(f64),
}

/// How an outline goes on to its next stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Side {
    Line,
    Arc { radius_mm: f64, bulge: Bulge, share: Share },
}

/// Which way an arc bulges, seen from the metal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bulge {
    Out,
    In,
}

/// Which of the two arcs between two points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Share {
    Lesser,
    Greater,
}

/// How arcs that are nearly half a turn are written: the chord of one is all but
/// its diameter, and a rounded length may not reach round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum HalfTurns {
    /// As one arc.
    Whole,
    /// As two, with a corner in the middle.
    Parted,
}

/// A line touches an arc when it comes within this of its circle, in millimetres.
pub(super) const TOUCH_MM: f64 = 0.002;
/// Two directions nearer than this are one, in radians.
pub(super) const SAME_RAD: f64 = 1e-3;
/// An arc that turns farther than this is a round end, not a rounded corner: 120°.
const BOSS_RAD: f64 = 2.0 * PI / 3.0;
/// An arc inwards that turns farther than this is not written as a rounded corner,
/// whose sides would meet far away: 150°.
const CORNER_RAD: f64 = 5.0 * PI / 6.0;
/// A corner that turns less than this is a point of a curve: 25°, more than a circle
/// drawn as sixteen straights turns at each.
const SMOOTH_RAD: f64 = PI * 25.0 / 180.0;
/// How near half a turn an arc is parted, in radians: 30°.
const NEAR_HALF_RAD: f64 = PI / 6.0;

/// What the outside is.
pub(super) fn outer(found: &Loop, curves_mm: f64, half_turns: HalfTurns) -> Outer {
    match circle(found) {
        Some(circle) => Outer::Disc(circle),
        None => match upright(found) {
            Some((least, most)) => Outer::Rectangle { least, most },
            None => Outer::Around(stops(&found.edges, curves_mm, half_turns)),
        },
    }
}

pub(super) fn circle(found: &Loop) -> Option<Circle> {
    match found.edges[..] {
        [edge] if edge.is_circle() => match edge.drawn {
            Segment::Arc(arc) => Some(Circle::new(arc.centre, arc.radius_mm)),
            Segment::Line(_) => None,
        },
        _ => None,
    }
}

/// The corners of four upright lines.
fn upright(found: &Loop) -> Option<(Point, Point)> {
    let four = found.edges.len() == 4;
    let straight = |edge: &Edge| match edge.drawn {
        Segment::Line(_) => {
            let way = edge.end - edge.start;
            way.x_mm.abs().min(way.y_mm.abs()) <= 1e-5
        }
        Segment::Arc(_) => false,
    };
    let bounds = found.outline.bounds();
    (four && found.edges.iter().all(straight)).then_some((bounds.least, bounds.most))
}

/// How far an edge may be off the thing it is taken for.
pub(super) fn allowed_mm(edge: &Edge, curves_mm: f64) -> f64 {
    let moved = edge.drawn.start().distance_mm(edge.start).max(edge.drawn.end().distance_mm(edge.end));
    TOUCH_MM + moved + if edge.fitted { curves_mm } else { 0.0 }
}

/// True when a line touches the circle of an arc, and runs on into it.
pub(super) fn touches(line: &Edge, arc: &Edge, curves_mm: f64, joint: Point) -> bool {
    let (Segment::Line(straight), Segment::Arc(round)) = (line.drawn, arc.drawn) else { return false };
    let allowed = allowed_mm(line, curves_mm).max(allowed_mm(arc, curves_mm));
    let foot = foot(straight, round.centre);
    let off = (foot.distance_mm(round.centre) - round.radius_mm).abs();
    // A line that is off by a little touches at a place off by much more.
    let slid = (2.0 * round.radius_mm * allowed).sqrt() + 2.0 * allowed;
    let way = straight.end - straight.start;
    let turn = if round.sweep_rad > 0.0 { 1.0 } else { -1.0 };
    let out = joint - round.centre;
    let along = Point::new(-out.y_mm, out.x_mm).times(turn);
    off <= allowed && foot.distance_mm(joint) <= slid && way.dot(along) > 0.0
}

/// The foot of a point on the whole line through two points.
pub(super) fn foot(line: Line, point: Point) -> Point {
    let way = line.end - line.start;
    line.start + way.times((point - line.start).dot(way) / way.dot(way))
}

/// Where the whole lines of two edges meet.
fn apex(a: &Edge, b: &Edge) -> Option<Point> {
    let (Segment::Line(a), Segment::Line(b)) = (a.drawn, b.drawn) else { return None };
    let (u, v) = (a.end - a.start, b.end - b.start);
    let cross = u.cross(v);
    if cross.abs() <= SAME_RAD * u.norm_mm() * v.norm_mm() {
        return None;
    }
    Some(a.start + u.times((b.start - a.start).cross(v) / cross))
}

/// What an outline goes round.
fn stops(edges: &[Edge], curves_mm: f64, half_turns: HalfTurns) -> Vec<Stop> {
    let count = edges.len();
    let rounds: Vec<Option<Stop>> = (0..count)
        .map(|i| {
            round_between(&edges[(i + count - 1) % count], &edges[i], &edges[(i + 1) % count], curves_mm)
        })
        .collect();
    let mut stops = Vec::new();
    for (i, edge) in edges.iter().enumerate() {
        if let Some(stop) = rounds[i] {
            stops.push(stop);
            continue;
        }
        if rounds[(i + count - 1) % count].is_none() {
            let place = place(&edges[(i + count - 1) % count], edge);
            stops.push(Stop { at: edge.start, turn: Turn::Sharp, then: Side::Line, place });
        }
        if let Segment::Arc(arc) = edge.drawn {
            let parts = match half_turns {
                HalfTurns::Parted if (arc.sweep_rad.abs() - PI).abs() < NEAR_HALF_RAD => 2,
                _ => 1,
            };
            let part = Arc { sweep_rad: arc.sweep_rad / f64::from(parts), ..arc };
            if let Some(last) = stops.last_mut() {
                last.then = side(part);
            }
            if parts == 2 {
                let at = edge.closed().along(0.5);
                let place = Place::OnCurve;
                stops.push(Stop { at, turn: Turn::Sharp, then: side(part), place });
            }
        }
    }
    from_bottom_left(stops)
}

/// Where two edges run on into each other with hardly a turn, they meet on a curve.
fn place(before: &Edge, after: &Edge) -> Place {
    let way = |segment: &Segment, share: f64| match segment {
        Segment::Line(line) => line.direction_rad(),
        Segment::Arc(arc) => arc.start_rad + share * arc.sweep_rad + FRAC_PI_2 * arc.sweep_rad.signum(),
    };
    let turn = way(&after.drawn, 0.0) - way(&before.drawn, 1.0);
    if turn.cos() >= SMOOTH_RAD.cos() { Place::OnCurve } else { Place::Free }
}

/// The same stops, beginning with the one nearest to the bottom left.
fn from_bottom_left(mut stops: Vec<Stop>) -> Vec<Stop> {
    let nearness = |stop: &Stop| ((stop.at.x_mm + stop.at.y_mm) * 1e3).round();
    let first = (0..stops.len()).min_by(|&a, &b| {
        let (a, b) = (&stops[a], &stops[b]);
        nearness(a).total_cmp(&nearness(b)).then(a.at.x_mm.total_cmp(&b.at.x_mm))
    });
    stops.rotate_left(first.unwrap_or(0));
    stops
}

fn side(arc: Arc) -> Side {
    Side::Arc {
        radius_mm: arc.radius_mm,
        bulge: if arc.sweep_rad > 0.0 { Bulge::Out } else { Bulge::In },
        share: if arc.sweep_rad.abs() > PI + 1e-9 { Share::Greater } else { Share::Lesser },
    }
}

/// An arc between two lines that both touch it: a boss or a rounded corner.
fn round_between(before: &Edge, edge: &Edge, after: &Edge, curves_mm: f64) -> Option<Stop> {
    let Segment::Arc(arc) = edge.drawn else { return None };
    if !(touches(before, edge, curves_mm, edge.start) && touches(after, edge, curves_mm, edge.end)) {
        return None;
    }
    if arc.sweep_rad > BOSS_RAD {
        let turn = Turn::Boss(arc.radius_mm);
        return Some(Stop { at: arc.centre, turn, then: Side::Line, place: Place::Free });
    }
    let corner = arc.sweep_rad.abs() <= CORNER_RAD;
    let at = apex(before, after).filter(|_| corner)?;
    let turn = Turn::Rounded(arc.radius_mm);
    Some(Stop { at, turn, then: Side::Line, place: Place::Free })
}
