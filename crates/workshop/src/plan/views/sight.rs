//! The edges of a part as a reader sees them from one side: which are there,
//! which are hidden, and each line once.

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

use smallvec::{SmallVec, smallvec};

use super::edges::{Course, Edge, height, is_edge};
use super::enclosed::{Enclosed, in_a_face};
use super::solid::{HAIR_MM, Piece, Solid, Spot, Stretches, joined, plane, without};
use crate::drawing::{Axis, FeatureId};
use crate::geometry::{Bounds, Point, Segment};
use crate::plan::sheet::{Looking, Stroke};

/// How a reader stands: which axis runs to the right, up, and towards them, and
/// which way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Eye {
    pub right: (Axis, f64),
    pub up: (Axis, f64),
    pub toward: (Axis, f64),
}

impl Eye {
    pub const fn of(looking: Looking) -> Self {
        let (right, up, toward) = match looking {
            Looking::Front => ((Axis::X, 1.0), (Axis::Y, 1.0), (Axis::Z, 1.0)),
            Looking::Above => ((Axis::X, 1.0), (Axis::Z, -1.0), (Axis::Y, 1.0)),
            Looking::Below => ((Axis::X, 1.0), (Axis::Z, 1.0), (Axis::Y, -1.0)),
            Looking::Right => ((Axis::Z, -1.0), (Axis::Y, 1.0), (Axis::X, 1.0)),
            Looking::Left => ((Axis::Z, 1.0), (Axis::Y, 1.0), (Axis::X, -1.0)),
        };
        Self { right, up, toward }
    }

    /// Where a spot is seen.
    pub fn sees(self, spot: Spot) -> Point {
        let (right, up) = (self.right, self.up);
        Point::new(spot[right.0 as usize] * right.1, spot[up.0 as usize] * up.1)
    }

    /// A segment of the plane square to the line of sight, as it is seen.
    pub fn sees_plan(self, plan: &Segment) -> Segment {
        let level = plane(self.toward.0)[0] == self.right.0;
        let seen = |p: Point| {
            let (across, up) = if level { (p.x_mm, p.y_mm) } else { (p.y_mm, p.x_mm) };
            Point::new(across * self.right.1, up * self.up.1)
        };
        match plan {
            Segment::Line(line) => Segment::line(seen(line.start), seen(line.end)),
            Segment::Arc(arc) => {
                let centre = seen(arc.centre);
                let turns = self.right.1 * self.up.1 * if level { 1.0 } else { -1.0 };
                let start_rad = centre.direction_rad(seen(arc.start()));
                Segment::arc(centre, arc.radius_mm, start_rad, arc.sweep_rad * turns)
            }
        }
    }

    /// The box in which the box between two spots is seen.
    fn sees_box(self, least: Spot, most: Spot) -> Bounds {
        Bounds::of(self.sees(least)).including(self.sees(most))
    }

    /// True when a spot can be seen past the metal: from beside the edge it is on,
    /// on whichever side the view is open.
    fn reaches(self, solid: &Solid<&Piece>, spot: Spot) -> bool {
        let (toward, sign) = self.toward;
        [(1.0, 1.0), (-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0)].into_iter().any(|(across, up)| {
            let mut beside = spot;
            beside[self.right.0 as usize] += across * HAIR_MM;
            beside[self.up.0 as usize] += up * HAIR_MM;
            beside[toward as usize] += sign * HAIR_MM;
            !solid.contains(beside) && solid.open(beside, toward, sign)
        })
    }
}

/// A line as it is seen.
#[derive(Clone, Debug)]
pub(super) struct Seen {
    pub of: Option<FeatureId>,
    pub stroke: Stroke,
    pub segment: Segment,
}

/// The edges of a solid from one side, each once.
pub(super) fn seen(solid: &Solid, edges: &[Edge], enclosed: &Enclosed, eye: Eye) -> Vec<Seen> {
    let boxes: Vec<InView> = solid.pieces().map(|piece| InView::of(piece, eye)).collect();
    let mut found = Vec::new();
    for edge in edges {
        look(solid, edge, enclosed, eye, &boxes, &mut found);
    }
    each_once(found)
}

/// The box round a piece, as it is seen and as it is.
struct InView {
    seen: Bounds,
    least: Spot,
    most: Spot,
}

impl InView {
    fn of(piece: &Piece, eye: Eye) -> Self {
        Self { seen: eye.sees_box(piece.least, piece.most), least: piece.least, most: piece.most }
    }

    /// True when the two overlap where they are seen, or miss each other by less than so much.
    fn within(&self, other: Bounds, beside_mm: f64) -> bool {
        let apart = |a: f64, b: f64| a > b + beside_mm;
        !(apart(self.seen.least.x_mm, other.most.x_mm)
            || apart(other.least.x_mm, self.seen.most.x_mm)
            || apart(self.seen.least.y_mm, other.most.y_mm)
            || apart(other.least.y_mm, self.seen.most.y_mm))
    }
}

/// More than a spot beside an edge is off it.
const BESIDE_MM: f64 = 4.0 * HAIR_MM;

/// Adds what is seen of one edge.
fn look(solid: &Solid, edge: &Edge, enclosed: &Enclosed, eye: Eye, boxes: &[InView], found: &mut Vec<Seen>) {
    use super::edges::Sort;
    let toward = eye.toward.0;
    if let Sort::Side(across) = edge.sort
        && across == toward
    {
        return;
    }
    if let (Sort::Side(_), Course::Straight { from, to }) = (edge.sort, &edge.course)
        && (from[toward as usize] - to[toward as usize]).abs() > HAIR_MM
    {
        return;
    }
    if let Course::Straight { from, to } = &edge.course
        && eye.sees(*from).distance_mm(eye.sees(*to)) < HAIR_MM
    {
        return;
    }
    let [least, most] = edge.bounds;
    let own = eye.sees_box(least, most);
    // The pieces that the edge runs beside, or that lie before or behind it.
    let place = edge.on.and_then(|piece| enclosed.place(piece)).filter(|(_, plate)| plate.axis != toward);
    let in_line: SmallVec<[usize; 8]> = (0..boxes.len())
        .filter(|&n| {
            place.is_none_or(|(place, _)| enclosed.is_at(n, place)) && boxes[n].within(own, BESIDE_MM)
        })
        .collect();
    let along = edge.course.axis();
    let breaks = breaks(edge, own, in_line.iter().map(|&n| &boxes[n]));
    let mut pieces: SmallVec<[([f64; 2], Option<Stroke>); 4]> = SmallVec::new();
    for pair in breaks.windows(2) {
        const SHARES: [f64; 4] = [0.03, 0.37, 0.63, 0.97];
        let (low, high) = (pair[0], pair[1]);
        // No box begins or ends between two breaks: the same pieces are in line all the way.
        let stretch = if [low, high] == [0.0, 1.0] {
            edge.course.is_boxed().then_some(own)
        } else {
            edge.course.stretch(low, high).map(|[a, b]| Bounds::of(eye.sees(a)).including(eye.sees(b)))
        };
        let within = |&&n: &&usize| {
            let parted = edge.on.is_some_and(|on| enclosed.parts(on, n));
            !parted && stretch.is_none_or(|s| boxes[n].within(s, BESIDE_MM))
        };
        let within: SmallVec<[usize; 8]> = in_line.iter().filter(within).copied().collect();
        let beside = solid.only(&within);
        let state = |share: f64| -> Option<Stroke> {
            let spot = edge.course.at(share);
            is_edge(&beside, edge, share, spot).then(|| {
                let is_seen = match place {
                    Some((_, plate)) => in_a_face(plate, spot),
                    None => eye.reaches(&beside, spot),
                };
                if is_seen { Stroke::Visible } else { Stroke::Hidden }
            })
        };
        let is_alike = |&n: &usize| {
            let piece = solid.piece(n);
            if edge.on == Some(n) { piece.is_convex() } else { piece.is_even(along) }
        };
        let all_alike = stretch.is_some() && within.iter().all(is_alike);
        if all_alike {
            pieces.push(([low, high], state(low + (high - low) * SHARES[1])));
            continue;
        }
        let samples = SHARES.map(|s| low + (high - low) * s).map(|s| (s, state(s)));
        let mut from = low;
        for two in samples.windows(2) {
            if two[0].1 != two[1].1 {
                let at = turn(two[0], two[1].0, &state);
                pieces.push(([from, at], two[0].1));
                from = at;
            }
        }
        pieces.push(([from, high], samples[3].1));
    }
    for ([from, to], stroke) in pieces {
        let Some(stroke) = stroke else { continue };
        for segment in drawn(&edge.course, from, to, eye) {
            if segment.length_mm() > HAIR_MM {
                found.push(Seen { of: edge.of, stroke, segment });
            }
        }
    }
}

/// The share of the way at which a state changes, between a place that has it and
/// one that has another.
fn turn(known: (f64, Option<Stroke>), other: f64, state: &impl Fn(f64) -> Option<Stroke>) -> f64 {
    let (mut here, mut there) = (known.0, other);
    for _ in 0..14 {
        let between = (here + there) / 2.0;
        if state(between) == known.1 { here = between } else { there = between }
    }
    (here + there) / 2.0
}

/// The shares of an edge's way at which something may change: where it passes the
/// boxes of the pieces in line with it.
fn breaks<'a>(edge: &Edge, own: Bounds, boxes: impl Iterator<Item = &'a InView>) -> SmallVec<[f64; 8]> {
    let ([from, to], [least, most]) = (edge.course.ends(), edge.bounds);
    let mut breaks: SmallVec<[f64; 8]> = SmallVec::from_slice(&[from, to]);
    for piece in boxes.filter(|piece| piece.within(own, HAIR_MM)) {
        for axis in [Axis::X, Axis::Y, Axis::Z] {
            let k = axis as usize;
            // What its own box does not reach, it never passes.
            for value in [piece.least[k], piece.most[k]].into_iter().filter(|v| least[k] < *v && *v < most[k])
            {
                breaks
                    .extend(edge.course.shares_at(axis, value).into_iter().filter(|s| *s > from && *s < to));
            }
        }
    }
    breaks.sort_by(f64::total_cmp);
    breaks.dedup_by(|a, b| (*a - *b).abs() < 1e-7);
    // A lone end that is dropped as a repeat of a break must still be reached.
    if let Some(last) = breaks.last_mut() {
        *last = to;
    }
    breaks
}

/// A stretch of a course as it is seen.
fn drawn(course: &Course, from: f64, to: f64, eye: Eye) -> SmallVec<[Segment; 1]> {
    match course {
        Course::Over { axis, plan, .. } if *axis == eye.toward.0 => {
            let part = match plan {
                Segment::Line(_) => Segment::line(plan.along(from), plan.along(to)),
                Segment::Arc(arc) => Segment::arc(
                    arc.centre,
                    arc.radius_mm,
                    arc.start_rad + arc.sweep_rad * from,
                    arc.sweep_rad * (to - from),
                ),
            };
            smallvec![eye.sees_plan(&part)]
        }
        Course::Over { axis, plan, heights } if heights.len() > 1 => {
            let within = heights.iter().map(|h| h.0).filter(|s| *s > from && *s < to);
            let shares: Vec<f64> = std::iter::once(from).chain(within).chain([to]).collect();
            let at = |s: f64| eye.sees(super::solid::raised(plan.along(s), *axis, height(heights, s)));
            shares.windows(2).map(|pair| Segment::line(at(pair[0]), at(pair[1]))).collect()
        }
        _ => smallvec![Segment::line(eye.sees(course.at(from)), eye.sees(course.at(to)))],
    }
}

/// A line without end or a whole circle, as whole numbers of a thousandth of a
/// millimetre, so that what lies on it is found together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Track {
    Line { direction: i64, off: i64 },
    Circle { x: i64, y: i64, radius: i64 },
}

/// A stretch of a track.
struct Stretch {
    ends: [f64; 2],
    of: Option<FeatureId>,
    stroke: Stroke,
}

/// Draws each stretch of each line once: a visible edge before a hidden one on the
/// same line (ISO 128-2), what is cut before the body it is cut from.
pub(super) fn each_once(lines: Vec<Seen>) -> Vec<Seen> {
    let mut tracks: BTreeMap<Track, (Segment, Vec<Stretch>)> = BTreeMap::new();
    for line in lines {
        for (track, ends) in tracks_of(&line.segment) {
            let stretch = Stretch { ends, of: line.of, stroke: line.stroke };
            tracks.entry(track).or_insert_with(|| (line.segment, Vec::new())).1.push(stretch);
        }
    }
    let mut drawn = Vec::new();
    for (base, stretches) in tracks.into_values() {
        let mut covered = Stretches::new();
        let mut takers: Vec<(Stroke, bool, Option<FeatureId>)> =
            stretches.iter().map(|s| (s.stroke, s.of.is_none(), s.of)).collect();
        takers.sort_unstable();
        takers.dedup();
        for (stroke, _, of) in takers {
            let own = stretches.iter().filter(|s| s.stroke == stroke && s.of == of).map(|s| s.ends);
            let mut left = without(joined(closed_up(own.collect())), &covered);
            left.retain(|ends| ends[1] - ends[0] > SPECK_MM);
            covered.extend_from_slice(&left);
            let left = round_the_right(&base, left);
            drawn.extend(left.into_iter().map(|ends| Seen { of, stroke, segment: along(&base, ends) }));
            covered = joined(covered);
        }
    }
    drawn.sort_by_key(|line| (line.of.is_none(), line.of, line.stroke));
    drawn
}

/// Two stretches of a circle that meet at its right are one.
fn round_the_right(base: &Segment, mut stretches: Stretches) -> Stretches {
    let Segment::Arc(arc) = base else { return stretches };
    let whole = TAU * arc.radius_mm;
    let first = stretches.iter().position(|[from, _]| *from < SPECK_MM);
    let last = stretches.iter().position(|[_, to]| *to > whole - SPECK_MM);
    if let (Some(first), Some(last)) = (first, last)
        && first != last
    {
        stretches[last][1] = whole + stretches[first][1];
        stretches.remove(first);
    }
    stretches
}

/// Stretches grown by what rounding may have taken from them where they meet.
fn closed_up(mut stretches: Stretches) -> Stretches {
    let mut joined = Stretches::new();
    stretches.sort_by(|a, b| a[0].total_cmp(&b[0]));
    for [from, to] in stretches {
        match joined.last_mut() {
            Some(last) if from <= last[1] + SPECK_MM => last[1] = last[1].max(to),
            _ => joined.push([from, to]),
        }
    }
    joined
}

/// Shorter than this is what rounding left of a line, not a line.
const SPECK_MM: f64 = 0.02;

/// Whole thousandths; the shift keeps common sizes off the border between two.
fn thousandths(mm: f64) -> i64 {
    (mm * 1000.0 + 0.27).floor() as i64
}

/// The track a segment lies on, and the stretch it takes of it: millimetres along a
/// line, millimetres of arc round a circle from its right.
fn tracks_of(segment: &Segment) -> Vec<(Track, [f64; 2])> {
    match segment {
        Segment::Line(_) => {
            let way = upwards(segment);
            let direction = (way.y_mm.atan2(way.x_mm) * 1e5 + 0.27).floor() as i64;
            let track = Track::Line { direction, off: thousandths(way.cross(segment.start())) };
            let (a, b) = (way.dot(segment.start()), way.dot(segment.end()));
            vec![(track, [a.min(b), a.max(b)])]
        }
        Segment::Arc(arc) => {
            let track = Track::Circle {
                x: thousandths(arc.centre.x_mm),
                y: thousandths(arc.centre.y_mm),
                radius: thousandths(arc.radius_mm),
            };
            let low = arc.start_rad.min(arc.end_rad()).rem_euclid(TAU);
            // What lies a hair before the right is the right.
            let low = if TAU - low < 1e-9 { 0.0 } else { low };
            let high = low + arc.sweep_rad.abs();
            let long = |rad: f64| rad * arc.radius_mm;
            if high > TAU + 1e-9 {
                vec![(track, [long(low), long(TAU)]), (track, [0.0, long(high - TAU)])]
            } else {
                vec![(track, [long(low), long(high)])]
            }
        }
    }
}

/// The direction of a line, the same whichever end it is given from.
fn upwards(segment: &Segment) -> Point {
    let way = segment.end() - segment.start();
    let way = way.times(1.0 / way.norm_mm());
    let rad = way.y_mm.atan2(way.x_mm);
    // From just under level leftwards to just under level rightwards.
    if rad > -1e-6 && rad <= PI - 1e-6 { way } else { way.times(-1.0) }
}

/// The stretch of the track that a segment lies on.
fn along(base: &Segment, ends: [f64; 2]) -> Segment {
    match base {
        Segment::Line(_) => {
            let way = upwards(base);
            let off = way.cross(base.start());
            let square = way.rotated(FRAC_PI_2).times(off);
            Segment::line(square + way.times(ends[0]), square + way.times(ends[1]))
        }
        Segment::Arc(arc) => {
            let [from, to] = ends.map(|mm| mm / arc.radius_mm);
            Segment::arc(arc.centre, arc.radius_mm, from, (to - from).min(TAU))
        }
    }
}
