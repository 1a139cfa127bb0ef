//! What loops are: discs, rectangles, corners and bosses; holes, slots, pockets.

use std::f64::consts::{FRAC_PI_2, PI};

use super::join::Edge;
use super::loops::Loop;
use crate::geometry::{Arc, Circle, Line, Point, Segment, within_turn};

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

/// Something cut within the outline.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Inner {
    Hole(Circle),
    Slot {
        centre: Point,
        width_mm: f64,
        centres_mm: f64,
        along_rad: f64,
    },
    Pocket {
        centre: Point,
        width_mm: f64,
        height_mm: f64,
        corner_mm: f64,
        along_rad: f64,
    },
    Square {
        centre: Point,
        across_mm: f64,
        along_rad: f64,
    },
    /// Round with one flat, so far from the flat to the far side.
    Flatted {
        circle: Circle,
        across_mm: f64,
        toward_rad: f64,
    },
    /// Nothing that a part file has a name for, and why not.
    Other {
        middle: Point,
        why: &'static str,
    },
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
const TOUCH_MM: f64 = 0.002;
/// Two directions nearer than this are one, in radians.
const SAME_RAD: f64 = 1e-3;
/// An arc that turns farther than this is a round end, not a rounded corner: 120°.
const BOSS_RAD: f64 = 2.0 * PI / 3.0;
/// An arc inwards that turns farther than this is not written as a rounded corner,
/// whose sides would meet far away: 150°.
const CORNER_RAD: f64 = 5.0 * PI / 6.0;
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

/// What a loop within the outside is.
pub(super) fn inner(found: &Loop, curves_mm: f64) -> Inner {
    circle(found)
        .map(Inner::Hole)
        .or_else(|| slot(&found.edges, curves_mm))
        .or_else(|| pocket(&found.edges, curves_mm))
        .or_else(|| square(found))
        .or_else(|| flatted(&found.edges))
        .unwrap_or_else(|| {
            let bounds = found.outline.bounds();
            let sharp = found.edges.iter().all(|edge| matches!(edge.drawn, Segment::Line(_)));
            Inner::Other {
                middle: (bounds.least + bounds.most).times(0.5),
                why: if sharp {
                    "its corners are sharp, and it is no square"
                } else {
                    "it is no circle, no slot with round ends and no rectangle with rounded corners"
                },
            }
        })
}

fn circle(found: &Loop) -> Option<Circle> {
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
fn allowed_mm(edge: &Edge, curves_mm: f64) -> f64 {
    let moved = edge.drawn.start().distance_mm(edge.start).max(edge.drawn.end().distance_mm(edge.end));
    TOUCH_MM + moved + if edge.fitted { curves_mm } else { 0.0 }
}

/// True when a line touches the circle of an arc, and runs on into it.
fn touches(line: &Edge, arc: &Edge, curves_mm: f64, joint: Point) -> bool {
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
fn foot(line: Line, point: Point) -> Point {
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
            stops.push(Stop { at: edge.start, turn: Turn::Sharp, then: Side::Line });
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
                stops.push(Stop { at, turn: Turn::Sharp, then: side(part) });
            }
        }
    }
    from_bottom_left(stops)
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
        return Some(Stop { at: arc.centre, turn: Turn::Boss(arc.radius_mm), then: Side::Line });
    }
    let corner = arc.sweep_rad.abs() <= CORNER_RAD;
    let at = apex(before, after).filter(|_| corner)?;
    Some(Stop { at, turn: Turn::Rounded(arc.radius_mm), then: Side::Line })
}

/// Lines and arcs by turns, beginning with a line: each arc with the lines
/// beside it touching it, all outwards.
fn rounded(edges: &[Edge], sides: usize, curves_mm: f64) -> Option<(Vec<Line>, Vec<Arc>)> {
    if edges.len() != 2 * sides {
        return None;
    }
    let first = edges.iter().position(|edge| matches!(edge.drawn, Segment::Line(_)))?;
    let at = |i: usize| &edges[(first + i) % edges.len()];
    let (mut lines, mut arcs) = (Vec::new(), Vec::new());
    for i in 0..edges.len() {
        let edge = at(i);
        match (i % 2, edge.drawn) {
            (0, Segment::Line(line)) => lines.push(line),
            (1, Segment::Arc(arc)) if arc.sweep_rad > 0.0 => {
                let touched = touches(at(i - 1), edge, curves_mm, edge.start)
                    && touches(at(i + 1), edge, curves_mm, edge.end);
                if !touched {
                    return None;
                }
                arcs.push(arc);
            }
            _ => return None,
        }
    }
    let most = arcs.iter().map(|arc| arc.radius_mm).fold(0.0, f64::max);
    let least = arcs.iter().map(|arc| arc.radius_mm).fold(f64::INFINITY, f64::min);
    let allowed = edges.iter().map(|edge| allowed_mm(edge, curves_mm)).fold(0.0, f64::max);
    (most - least <= allowed).then_some((lines, arcs))
}

fn slot(edges: &[Edge], curves_mm: f64) -> Option<Inner> {
    let (_, arcs) = rounded(edges, 2, curves_mm)?;
    let (one, other) = (arcs[0].centre, arcs[1].centre);
    let centres_mm = one.distance_mm(other);
    (centres_mm > TOUCH_MM).then(|| Inner::Slot {
        centre: (one + other).times(0.5),
        width_mm: arcs[0].radius_mm + arcs[1].radius_mm,
        centres_mm,
        along_rad: half_turn(one.direction_rad(other)),
    })
}

fn pocket(edges: &[Edge], curves_mm: f64) -> Option<Inner> {
    let (lines, arcs) = rounded(edges, 4, curves_mm)?;
    let ways: Vec<Point> = lines.iter().map(|line| line.end - line.start).collect();
    let square = ways
        .windows(2)
        .all(|pair| pair[0].dot(pair[1]).abs() <= SAME_RAD * pair[0].norm_mm() * pair[1].norm_mm());
    if !square {
        return None;
    }
    let corner_mm = arcs.iter().map(|arc| arc.radius_mm).sum::<f64>() / 4.0;
    // The arcs follow their lines: from the end of the first side to that of the last.
    let [a, b, c, d] = [arcs[3].centre, arcs[0].centre, arcs[1].centre, arcs[2].centre];
    let (along, up) = ((b - a + c - d).times(0.5), (d - a + c - b).times(0.5));
    let (width_mm, height_mm) = (along.norm_mm() + 2.0 * corner_mm, up.norm_mm() + 2.0 * corner_mm);
    let rad = Point::ORIGIN.direction_rad(along);
    let (along_rad, width_mm, height_mm) = upright_way(rad, width_mm, height_mm);
    Some(Inner::Pocket { centre: (a + b + c + d).times(0.25), width_mm, height_mm, corner_mm, along_rad })
}

fn square(found: &Loop) -> Option<Inner> {
    let corners: Vec<Point> = found.edges.iter().map(|edge| edge.start).collect();
    let straight = found.edges.iter().all(|edge| matches!(edge.drawn, Segment::Line(_)));
    let [a, b, c, d] = corners[..] else { return None };
    let sides = [b - a, c - b, d - c, a - d].map(Point::norm_mm);
    let (least, most) =
        (sides.iter().fold(f64::MAX, |m, s| m.min(*s)), sides.iter().fold(0.0_f64, |m, s| m.max(*s)));
    let even = most - least <= TOUCH_MM && (a.distance_mm(c) - b.distance_mm(d)).abs() <= TOUCH_MM;
    (straight && even).then(|| {
        let across_mm = (least + most) / 2.0;
        let (along_rad, ..) = upright_way(a.direction_rad(b), across_mm, across_mm);
        Inner::Square { centre: (a + b + c + d).times(0.25), across_mm, along_rad: along_rad % FRAC_PI_2 }
    })
}

/// A round hole with one flat: more than half a circle, and its chord.
fn flatted(edges: &[Edge]) -> Option<Inner> {
    let (arc, line) = match edges {
        [Edge { drawn: Segment::Arc(arc), .. }, Edge { drawn: Segment::Line(line), .. }]
        | [Edge { drawn: Segment::Line(line), .. }, Edge { drawn: Segment::Arc(arc), .. }] => (arc, line),
        _ => return None,
    };
    let foot = foot(*line, arc.centre);
    let off_mm = foot.distance_mm(arc.centre);
    (arc.sweep_rad > PI + SAME_RAD && off_mm > TOUCH_MM).then(|| Inner::Flatted {
        circle: Circle::new(arc.centre, arc.radius_mm),
        across_mm: arc.radius_mm + off_mm,
        toward_rad: within_turn(arc.centre.direction_rad(foot)),
    })
}

/// A direction of no sense, from nought to less than half a turn.
fn half_turn(rad: f64) -> f64 {
    let turned = rad.rem_euclid(PI);
    if PI - turned < 1e-7 || turned < 1e-7 { 0.0 } else { turned }
}

/// The way of a rectangle's width as a person says it: the width is what lies more
/// to the right than up.
fn upright_way(rad: f64, width_mm: f64, height_mm: f64) -> (f64, f64, f64) {
    let along = half_turn(rad);
    if along > FRAC_PI_2 - 1e-7 {
        (half_turn(along - FRAC_PI_2), height_mm, width_mm)
    } else {
        (along, width_mm, height_mm)
    }
}
