//! An outline round corners, rounded ends and arcs, as a drawing gives it.
//!
//! A list of [`Stop`]s and the sides between them goes in, anticlockwise; lines and
//! arcs that blend come out. Corners are rounded to the inside of their turn,
//! whichever way that is; round ends are met by lines tangent to them. What cannot
//! be drawn is a [`Problem`] in the names of the stops.

use std::f64::consts::{PI, TAU};

use super::{Circle, Line, Outline, Point, SAME_POINT_MM, Segment, within_turn};
use crate::problem::Problem;

/// Something that an outline goes round.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// What a problem calls it.
    pub name: String,
    /// What it is.
    pub turn: Turn,
}

/// How an outline turns at a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Turn {
    /// At a corner, rounded when the radius is more than nought.
    Corner {
        /// Where its two sides would meet.
        at: Point,
        /// Of its rounding.
        radius_mm: f64,
    },
    /// Round a boss, on the arc between the tangents.
    Round(Circle),
}

/// What joins a stop to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Side {
    /// A straight line, tangent to the round ends it meets.
    Line,
    /// An arc, from or to a corner itself, and tangent to a round end.
    Arc {
        /// Of its circle.
        radius_mm: f64,
        /// True when it curves out of the metal.
        out: bool,
        /// True for the greater of the two arcs.
        greater: bool,
    },
}

/// An outline whose lines and arcs have names.
#[derive(Clone, Debug, PartialEq)]
pub struct Named {
    /// The outline, anticlockwise.
    pub outline: Outline,
    /// What each of its lines and arcs belongs to: the name of a stop, or `one to another`.
    pub names: Vec<String>,
}

/// An outline round stops, each with the side that leaves it.
///
/// # Errors
///
/// A [`Problem`] when there are fewer than three sides' worth of stops, an arc does
/// not span its corners, a rounding does not fit, a round end is swallowed, or the
/// outline crosses itself or runs clockwise.
pub fn around(stops: &[(Stop, Side)]) -> Result<Named, Problem> {
    let (segments, names) = pieces(stops)?;
    if let Some((one, other, at)) = Outline::known_good(segments.clone()).crossing() {
        let beside = |name: &String| {
            let of = |stop: &&Stop| {
                *name == stop.name
                    || name.starts_with(&format!("{} to ", stop.name))
                    || name.ends_with(&format!(" to {}", stop.name))
            };
            stops.iter().map(|(stop, _)| stop).filter(of).map(|stop| stop.name.clone()).collect::<Vec<_>>()
        };
        let mut fault =
            Problem::new(format!("the outline crosses itself: {} meets {}", names[one], names[other]));
        for name in [one, other].into_iter().flat_map(|piece| beside(&names[piece])) {
            fault = fault.concerns(name);
        }
        return Err(fault
            .why(format!("they meet at X {:.3}, Y {:.3} mm from the datum", at.x_mm, at.y_mm))
            .mend("check the places and radii, and that they are named anticlockwise"));
    }
    let outline = Outline::new(segments)?;
    if outline.area_mm2() < 0.0 {
        return Err(Problem::new("the outline runs clockwise")
            .mend("name what it goes round in the other order, anticlockwise"));
    }
    Ok(Named { outline, names })
}

/// The smallest upright rectangle round the same outline, without asking whether it
/// crosses itself.
///
/// # Errors
///
/// As [`around`], save for crossing.
pub fn bounds(stops: &[(Stop, Side)]) -> Result<super::Bounds, Problem> {
    let (segments, _) = pieces(stops)?;
    let all = segments.iter().map(Segment::bounds);
    all.reduce(|all, b| all.including(b.least).including(b.most))
        .ok_or_else(|| Problem::new("the outline has no lines or arcs"))
}

/// The lines and arcs in order, each with what it belongs to.
fn pieces(stops: &[(Stop, Side)]) -> Result<(Vec<Segment>, Vec<String>), Problem> {
    let count = stops.len();
    if count < 2 {
        return Err(Problem::new("an outline needs two stops or more")
            .mend("name the corners and round ends that it goes round"));
    }
    let mut sides = Vec::with_capacity(count);
    for i in 0..count {
        let (from, side) = &stops[i];
        let to = &stops[(i + 1) % count].0;
        sides.push(match *side {
            Side::Line => straight(from, to)?,
            Side::Arc { radius_mm, out, greater } => arc(from, to, radius_mm, out, greater)?,
        });
    }
    // Each corner is rounded between its two whole sides; only then are they cut short.
    let mut turns: Vec<Option<Segment>> = Vec::with_capacity(count);
    for i in 0..count {
        let (before, after) = (&sides[(i + count - 1) % count], &sides[i]);
        turns.push(match stops[i].0.turn {
            Turn::Round(circle) => {
                let from = circle.centre.direction_rad(before.end());
                let sweep = within_turn(circle.centre.direction_rad(after.start()) - from);
                let touches = TAU - sweep < 1e-9 || sweep * circle.radius_mm <= SAME_POINT_MM;
                (!touches).then(|| Segment::arc(circle.centre, circle.radius_mm, from, sweep))
            }
            Turn::Corner { radius_mm, .. } if radius_mm <= 0.0 => None,
            Turn::Corner { radius_mm, .. } => Some(rounding(&stops[i].0, before, after, radius_mm)?),
        });
    }
    let (mut segments, mut names) = (Vec::new(), Vec::new());
    for i in 0..count {
        let next = (i + 1) % count;
        if let Some(turn) = turns[i] {
            segments.push(turn);
            names.push(stops[i].0.name.clone());
        }
        let name = format!("{} to {}", stops[i].0.name, stops[next].0.name);
        let start = turns[i].map_or(sides[i].start(), |turn| turn.end());
        let end = turns[next].map_or(sides[i].end(), |turn| turn.start());
        let side = cut_short(&sides[i], start, end, &name)
            .map_err(|fault| fault.concerns(stops[i].0.name.clone()).concerns(stops[next].0.name.clone()))?;
        if let Some(side) = side {
            segments.push(side);
            names.push(name);
        }
    }
    Ok((segments, names))
}

/// The line from one stop to the next, with every round end on its left.
fn straight(from: &Stop, to: &Stop) -> Result<Segment, Problem> {
    let (a, b) = (circle_of(from), circle_of(to));
    let apart_mm = a.centre.distance_mm(b.centre);
    let difference_mm = a.radius_mm - b.radius_mm;
    if apart_mm <= difference_mm.abs() + SAME_POINT_MM {
        return Err(Problem::new(format!("no line of the outline goes from {} to {}", from.name, to.name))
            .why(if a.radius_mm == 0.0 && b.radius_mm == 0.0 {
                "both are at the same place"
            } else {
                "one lies within the other"
            })
            .mend("check their places and radii")
            .concerns(from.name.clone())
            .concerns(to.name.clone()));
    }
    let touch_rad = a.centre.direction_rad(b.centre) - (difference_mm / apart_mm).acos();
    Ok(Segment::line(a.centre.polar(a.radius_mm, touch_rad), b.centre.polar(b.radius_mm, touch_rad)))
}

/// The circle of a stop: a corner is one of no size.
fn circle_of(stop: &Stop) -> Circle {
    match stop.turn {
        Turn::Corner { at, .. } => Circle::new(at, 0.0),
        Turn::Round(circle) => circle,
    }
}

/// The arc from one stop to the next, through corners and tangent to round ends: a hollow one lies against
/// them from outside, one that curves out goes over them.
fn arc(from: &Stop, to: &Stop, radius_mm: f64, out: bool, greater: bool) -> Result<Segment, Problem> {
    let (a, b) = (circle_of(from), circle_of(to));
    let both = |fault: Problem| fault.concerns(from.name.clone()).concerns(to.name.clone());
    let chord_mm = a.centre.distance_mm(b.centre);
    if chord_mm <= SAME_POINT_MM {
        return Err(both(
            Problem::new(format!("{} and {} are at the same place", from.name, to.name))
                .mend("check their places"),
        ));
    }
    // From the middle of the arc to that of either stop.
    let away_mm =
        |circle: Circle| if out { radius_mm - circle.radius_mm } else { radius_mm + circle.radius_mm };
    let (first_mm, last_mm) = (away_mm(a), away_mm(b));
    let swallowed = first_mm < 0.0 || last_mm < 0.0 || (first_mm - last_mm).abs() > chord_mm + SAME_POINT_MM;
    if swallowed || chord_mm > first_mm + last_mm + SAME_POINT_MM {
        let fault = Problem::new(format!(
            "an arc of radius {radius_mm:.3} mm does not reach from {} to {}",
            from.name, to.name
        ));
        let least_mm = (chord_mm + (a.radius_mm + b.radius_mm) * if out { 1.0 } else { -1.0 }) / 2.0;
        return Err(both(match (swallowed, a.radius_mm + b.radius_mm > 0.0) {
            (true, _) => fault.why("a round end is wider than the arc, or lies within the other"),
            (false, true) => fault.why(format!("to touch both it takes {least_mm:.3} mm at the least")),
            (false, false) => {
                fault.why(format!("they are {chord_mm:.3} mm apart, more than twice the radius"))
            }
        })
        .mend("check the radius and both places"));
    }
    // An arc that curves out runs anticlockwise; its centre is then left of the line between the two
    // for the lesser arc and right of it for the greater.
    let left = if out != greater { 1.0 } else { -1.0 };
    let along_mm = (first_mm.powi(2) - last_mm.powi(2) + chord_mm.powi(2)) / (2.0 * chord_mm);
    let height_mm = (first_mm.powi(2) - along_mm.powi(2)).max(0.0).sqrt();
    let along = a.centre.direction_rad(b.centre);
    let centre = a.centre.polar(along_mm, along).polar(height_mm * left, along + PI / 2.0);
    let [start, end] = [a, b].map(|circle| centre.direction_rad(circle.centre));
    let sweep = if out { within_turn(end - start) } else { -within_turn(start - end) };
    Ok(Segment::arc(centre, radius_mm, start, sweep))
}

/// The arc that rounds the corner between two sides, from touch to touch.
fn rounding(corner: &Stop, before: &Segment, after: &Segment, radius_mm: f64) -> Result<Segment, Problem> {
    let (into, out) = (heading(before, 1.0), heading(after, 0.0));
    let turn = into.cross(out);
    if turn.abs() < 1e-9 {
        let fault = Problem::new(format!("{} cannot be rounded", corner.name)).concerns(corner.name.clone());
        return Err(match into.dot(out) > 0.0 {
            true => fault
                .why("its two sides already run straight on into each other")
                .mend("leave its radius out, or check the places beside it"),
            false => fault.why("its two sides fold back on each other").mend("check the places beside it"),
        });
    }
    let left = turn.signum();
    let centres = centres(&beside(before, radius_mm * left), &beside(after, radius_mm * left));
    let made = centres.into_iter().filter_map(|centre| {
        let (start, end) = (touch(before, centre)?, touch(after, centre)?);
        let from = centre.direction_rad(start);
        let to = centre.direction_rad(end);
        let sweep = if left > 0.0 { within_turn(to - from) } else { -within_turn(from - to) };
        let whole = sweep.abs() < PI + 1e-9 && sweep.abs() * radius_mm > SAME_POINT_MM;
        whole.then(|| (start.distance_mm(before.end()), Segment::arc(centre, radius_mm, from, sweep)))
    });
    let nearest = made.min_by(|(a, _), (b, _)| a.total_cmp(b));
    nearest.map(|(_, made)| made).ok_or_else(|| {
        Problem::new(format!("a radius of {radius_mm:.3} mm does not fit at {}", corner.name))
            .why("it would touch beyond the end of a side that meets there")
            .mend("check the radius, and the places at either side of it")
            .concerns(corner.name.clone())
    })
}

/// The direction of travel at the start (nought) or end (one) of a side.
fn heading(side: &Segment, at: f64) -> Point {
    let rad = match side {
        Segment::Line(line) => line.direction_rad(),
        Segment::Arc(arc) => arc.start_rad + arc.sweep_rad * at + PI / 2.0 * arc.sweep_rad.signum(),
    };
    Point::ORIGIN.polar(1.0, rad)
}

/// Where the centres of circles lie that touch a side from the left at a distance
/// (from the right where it is less than nought).
enum Locus {
    Line(Line),
    Circle(Circle),
}

fn beside(side: &Segment, left_mm: f64) -> Locus {
    match side {
        Segment::Line(line) => {
            let across = line.direction_rad() + PI / 2.0;
            Locus::Line(Line::new(line.start.polar(left_mm, across), line.end.polar(left_mm, across)))
        }
        // Left of an arc run anticlockwise is towards its centre.
        Segment::Arc(arc) => {
            let radius_mm = arc.radius_mm - left_mm * arc.sweep_rad.signum();
            Locus::Circle(Circle::new(arc.centre, radius_mm.abs()))
        }
    }
}

/// The places that lie on both, along whole lines and circles.
fn centres(one: &Locus, other: &Locus) -> Vec<Point> {
    match (one, other) {
        (Locus::Line(a), Locus::Line(b)) => {
            let (u, v) = (a.end - a.start, b.end - b.start);
            let share = (b.start - a.start).cross(v) / u.cross(v);
            if share.is_finite() { vec![a.start + u.times(share)] } else { Vec::new() }
        }
        (Locus::Line(line), Locus::Circle(circle)) | (Locus::Circle(circle), Locus::Line(line)) => {
            let along = line.direction_rad();
            let foot = {
                let unit = Point::ORIGIN.polar(1.0, along);
                line.start + unit.times((circle.centre - line.start).dot(unit))
            };
            let square = circle.radius_mm.powi(2) - foot.distance_mm(circle.centre).powi(2);
            if square < -SAME_POINT_MM {
                return Vec::new();
            }
            let half = square.max(0.0).sqrt();
            vec![foot.polar(half, along), foot.polar(-half, along)]
        }
        (Locus::Circle(a), Locus::Circle(b)) => {
            let apart = a.centre.distance_mm(b.centre);
            if apart <= SAME_POINT_MM {
                return Vec::new();
            }
            let along = a.centre.direction_rad(b.centre);
            let reach = (apart.powi(2) + a.radius_mm.powi(2) - b.radius_mm.powi(2)) / (2.0 * apart);
            let square = a.radius_mm.powi(2) - reach.powi(2);
            if square < -SAME_POINT_MM {
                return Vec::new();
            }
            let (foot, half) = (a.centre.polar(reach, along), square.max(0.0).sqrt());
            vec![foot.polar(half, along + PI / 2.0), foot.polar(-half, along + PI / 2.0)]
        }
    }
}

/// Where a circle round a centre touches a side; none when that is beyond its ends.
fn touch(side: &Segment, centre: Point) -> Option<Point> {
    let at = match side {
        Segment::Line(line) => {
            let along = line.end - line.start;
            let share = (centre - line.start).dot(along) / along.dot(along);
            line.start + along.times(share)
        }
        Segment::Arc(arc) if arc.centre.distance_mm(centre) <= SAME_POINT_MM => return None,
        Segment::Arc(arc) => arc.centre.polar(arc.radius_mm, arc.centre.direction_rad(centre)),
    };
    (side.nearest(at).distance_mm(at) <= SAME_POINT_MM).then_some(at)
}

/// A side between the touches of the roundings at its ends; none when they meet.
fn cut_short(side: &Segment, start: Point, end: Point, name: &str) -> Result<Option<Segment>, Problem> {
    let along = |point: Point| match side {
        Segment::Line(line) => {
            line.start.distance_mm(point) * (point - line.start).dot(line.end - line.start).signum()
        }
        Segment::Arc(arc) => {
            let turned = arc.centre.direction_rad(point) - arc.start_rad;
            let turned = if arc.sweep_rad > 0.0 { within_turn(turned) } else { within_turn(-turned) };
            // A hair before the start is the start.
            if TAU - turned < 1e-9 { 0.0 } else { turned * arc.radius_mm }
        }
    };
    let (from, to) = (along(start), along(end));
    if to < from - SAME_POINT_MM {
        return Err(Problem::new(format!("the roundings at either end of {name} run into each other"))
            .why(format!("they take {:.3} mm more than there is", from - to))
            .mend("check both radii and the distance between"));
    }
    if to - from <= SAME_POINT_MM {
        return Ok(None);
    }
    Ok(Some(match side {
        Segment::Line(_) => Segment::line(start, end),
        Segment::Arc(arc) => {
            let sense = arc.sweep_rad.signum();
            let first = arc.start_rad + from / arc.radius_mm * sense;
            Segment::arc(arc.centre, arc.radius_mm, first, (to - from) / arc.radius_mm * sense)
        }
    }))
}

#[cfg(test)]
mod tests;
