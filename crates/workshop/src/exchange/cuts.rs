//! What loops within an outside are: holes, slots, pockets, square, flatted and keyed holes.

use std::f64::consts::{FRAC_PI_2, PI};

use super::join::Edge;
use super::loops::Loop;
use super::recognise::{SAME_RAD, TOUCH_MM, allowed_mm, circle, foot, touches};
use crate::geometry::{Arc, Circle, Line, Point, Segment, within_turn};

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
    /// Round an arc, so far between the directions of the middles of its ends.
    CurvedSlot {
        arc: Arc,
        width_mm: f64,
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
    /// Round with a straight keyway along its wall, square-cornered.
    Keyed {
        circle: Circle,
        width_mm: f64,
        /// From the wall of the bore to the floor, at its middle.
        depth_mm: f64,
        toward_rad: f64,
    },
    /// Nothing that a part file has a name for, and why not.
    Other {
        middle: Point,
        why: &'static str,
    },
}

/// What a loop within the outside is.
pub(super) fn inner(found: &Loop, curves_mm: f64) -> Inner {
    circle(found)
        .map(Inner::Hole)
        .or_else(|| slot(&found.edges, curves_mm))
        .or_else(|| curved_slot(&found.edges, curves_mm))
        .or_else(|| pocket(&found.edges, curves_mm))
        .or_else(|| square(found))
        .or_else(|| flatted(&found.edges))
        .or_else(|| keyed(&found.edges))
        .unwrap_or_else(|| {
            let bounds = found.outline.bounds();
            let sharp = found.edges.iter().all(|edge| matches!(edge.drawn, Segment::Line(_)));
            Inner::Other {
                middle: (bounds.least + bounds.most).times(0.5),
                why: if sharp {
                    "its corners are sharp, and it is no square"
                } else {
                    "it is no circle, with or without a flat or a keyway, no slot with round ends, straight or round an arc, and no rectangle with rounded corners"
                },
            }
        })
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

/// Two arcs about one centre, the outer run through anticlockwise and the inner back, with a half round of half
/// the difference about either end of the arc between them.
fn curved_slot(edges: &[Edge], curves_mm: f64) -> Option<Inner> {
    let arcs: Vec<Arc> = edges
        .iter()
        .map(|edge| match edge.drawn {
            Segment::Arc(arc) => Some(arc),
            Segment::Line(_) => None,
        })
        .collect::<Option<_>>()?;
    let inwards = arcs.iter().position(|arc| arc.sweep_rad < 0.0)?;
    let [outer, last, inner, first] = [2, 3, 0, 1].map(|n| arcs.get((inwards + n) % 4).copied());
    let ([outer, last, inner, first], 4) = ([outer?, last?, inner?, first?], arcs.len()) else { return None };
    let allowed = edges.iter().map(|edge| allowed_mm(edge, curves_mm)).fold(0.0, f64::max);
    let (half_mm, radius_mm) =
        ((outer.radius_mm - inner.radius_mm) / 2.0, f64::midpoint(outer.radius_mm, inner.radius_mm));
    let between = Arc { radius_mm, ..outer };
    let round = |end: &Arc, at: Point| {
        end.sweep_rad > 0.0
            && (end.radius_mm - half_mm).abs() <= allowed
            && end.centre.distance_mm(at) <= allowed
    };
    let fits = outer.sweep_rad > 0.0
        && half_mm > TOUCH_MM
        && outer.centre.distance_mm(inner.centre) <= allowed
        && round(&first, between.start())
        && round(&last, between.end());
    fits.then_some(Inner::CurvedSlot { arc: between, width_mm: 2.0 * half_mm })
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

/// A round hole with a keyway: one arc about its middle, and three sides of a rectangle that
/// lies evenly about the direction from there to its floor.
fn keyed(edges: &[Edge]) -> Option<Inner> {
    let first = edges.iter().position(|edge| matches!(edge.drawn, Segment::Arc(_)))?;
    let at = |n: usize| edges.get((first + n) % edges.len()).map(|edge| edge.drawn);
    let (Segment::Arc(arc), Segment::Line(out), Segment::Line(floor), Segment::Line(back), 4) =
        (at(0)?, at(1)?, at(2)?, at(3)?, edges.len())
    else {
        return None;
    };
    let foot = foot(floor, arc.centre);
    let (width_mm, depth_mm) = (floor.length_mm(), foot.distance_mm(arc.centre) - arc.radius_mm);
    let toward = (foot - arc.centre).times(1.0 / foot.distance_mm(arc.centre));
    let along = |line: Line, way: Point| {
        let own = line.end - line.start;
        (own.dot(way) - own.norm_mm()).abs() <= TOUCH_MM
    };
    let even = foot.distance_mm((floor.start + floor.end).times(0.5)) <= TOUCH_MM;
    let fits = arc.sweep_rad > PI
        && depth_mm > TOUCH_MM
        && even
        && along(out, toward)
        && along(back, toward.times(-1.0));
    fits.then(|| Inner::Keyed {
        circle: Circle::new(arc.centre, arc.radius_mm),
        width_mm,
        depth_mm,
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
