//! Lines of one view of a part as drawn and as made that are the same line.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use crate::geometry::{Arc, Point, Segment};
use crate::plan::sheet::{Projection, Stroke, ViewLine};

/// What is left, at the least, of a radius that shrinks, as a share.
const LEFT: f64 = 0.3;

/// A round thing whose radius is a smaller share of the part's size than this does not
/// hold back the magnification of the rest.
const SMALL: f64 = 0.08;

/// An arc is drawn as chords no longer than this turn.
const STEP_RAD: f64 = 0.06;

/// A line as drawn and as made.
pub(super) struct Pair<'a> {
    /// As made.
    pub line: &'a ViewLine,
    drawn: Segment,
    made: Segment,
}

impl Pair<'_> {
    /// Places along the line, on both.
    fn points(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let steps = match self.drawn {
            Segment::Line(_) => 1,
            Segment::Arc(arc) => (arc.sweep_rad.abs() / STEP_RAD).ceil().max(1.0) as usize,
        };
        (0..=steps).map(move |n| {
            let at = n as f64 / steps as f64;
            (self.drawn.along(at), self.made.along(at))
        })
    }

    pub(super) fn greatest_mm(&self) -> f64 {
        self.points().map(|(a, b)| a.distance_mm(b)).fold(0.0, f64::max)
    }

    /// As made, each point so many times as far from where it is drawn.
    pub(super) fn magnified(&self, times: u32) -> Vec<ViewLine> {
        if let Some(segment) = self.magnified_arc(times) {
            return vec![ViewLine { of: self.line.of.clone(), stroke: self.line.stroke, segment }];
        }
        let moved = |(drawn, made)| match (self.drawn, self.made) {
            (Segment::Arc(was), Segment::Arc(is)) if self.most_times() < f64::from(times) => {
                made - is.centre + away(was.centre, is.centre, times)
            }
            _ => away(drawn, made, times),
        };
        let points: Vec<Point> = self.points().map(moved).collect();
        let line = |ends: &[Point]| ViewLine {
            of: self.line.of.clone(),
            stroke: self.line.stroke,
            segment: Segment::line(ends[0], ends[1]),
        };
        points.windows(2).filter(|ends| ends[0].distance_mm(ends[1]) > 0.0).map(line).collect()
    }

    /// The same where it is an arc again: where both turn as far from the same direction.
    fn magnified_arc(&self, times: u32) -> Option<Segment> {
        /// Far below what paper shows of any arc.
        const SAME_RAD: f64 = 1e-9;
        let (Segment::Arc(was), Segment::Arc(is)) = (self.drawn, self.made) else { return None };
        let alike = |a: f64, b: f64| (a - b).abs() < SAME_RAD;
        if !alike(was.start_rad, is.start_rad) || !alike(was.sweep_rad, is.sweep_rad) {
            return None;
        }
        let grown_mm = (is.radius_mm - was.radius_mm) * f64::from(times);
        let kept = self.most_times() < f64::from(times);
        let radius_mm = if kept { is.radius_mm } else { was.radius_mm + grown_mm };
        let centre = away(was.centre, is.centre, times);
        (radius_mm > 0.0).then_some(Segment::Arc(Arc { centre, radius_mm, ..is }))
    }

    /// How many times its difference may be magnified before it is lost: a whole round
    /// may not vanish.
    pub(super) fn most_times(&self) -> f64 {
        let (Segment::Arc(was), Segment::Arc(is)) = (self.drawn, self.made) else { return f64::INFINITY };
        let shrinks_mm = was.radius_mm - is.radius_mm;
        let whole = was.sweep_rad.abs() > TAU - 1e-6;
        if whole && shrinks_mm > 1e-9 { (1.0 - LEFT) * was.radius_mm / shrinks_mm } else { f64::INFINITY }
    }

    /// Whether it is so large that it must show as it is.
    pub(super) fn is_large(&self, size_mm: f64) -> bool {
        matches!(self.drawn, Segment::Arc(arc) if arc.radius_mm >= SMALL * size_mm)
    }
}

pub(super) fn away(drawn: Point, made: Point, times: u32) -> Point {
    drawn + (made - drawn).times(f64::from(times))
}

/// The lines of both views that correspond, and those of the part as made that
/// correspond to none. Ends that lie farther apart than `reach_mm` are not the same.
pub(super) fn pairs<'a>(
    before: &'a Projection,
    after: &'a Projection,
    reach_mm: f64,
) -> (Vec<Pair<'a>>, Vec<&'a ViewLine>) {
    let mut groups: BTreeMap<(Option<&str>, Stroke), [Vec<&ViewLine>; 2]> = BTreeMap::new();
    for (side, view) in [before, after].into_iter().enumerate() {
        for line in &view.lines {
            groups.entry((line.of.as_deref(), line.stroke)).or_default()[side].push(line);
        }
    }
    let (mut pairs, mut apart) = (Vec::new(), Vec::new());
    for [drawn, made] in groups.into_values() {
        let mut near: Vec<(f64, usize, usize, Segment)> = Vec::new();
        for (at, line) in drawn.iter().enumerate() {
            for (other, candidate) in made.iter().enumerate() {
                for segment in [candidate.segment, candidate.segment.reversed()] {
                    if let Some(off_mm) = ends_apart_mm(&line.segment, &segment).filter(|&mm| mm <= reach_mm)
                    {
                        near.push((off_mm, at, other, segment));
                    }
                }
            }
        }
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        let (mut taken, mut used) = (vec![false; drawn.len()], vec![false; made.len()]);
        for (_, at, other, segment) in near {
            if !taken[at] && !used[other] {
                (taken[at], used[other]) = (true, true);
                pairs.push(Pair { line: made[other], drawn: drawn[at].segment, made: segment });
            }
        }
        apart.extend(made.into_iter().zip(used).filter(|(_, used)| !used).map(|(line, _)| line));
    }
    (pairs, apart)
}

/// The farther of the two ends of two lines of one kind, or of the middles of two arcs.
fn ends_apart_mm(a: &Segment, b: &Segment) -> Option<f64> {
    let turned = |a: f64, b: f64| a.signum() == b.signum();
    let middles_mm = match (a, b) {
        (Segment::Line(_), Segment::Line(_)) => 0.0,
        (Segment::Arc(one), Segment::Arc(other)) if turned(one.sweep_rad, other.sweep_rad) => {
            a.along(0.5).distance_mm(b.along(0.5))
        }
        _ => return None,
    };
    let ends_mm = a.start().distance_mm(b.start()).max(a.end().distance_mm(b.end()));
    Some(ends_mm.max(middles_mm))
}
