//! Loose lines and arcs joined end to end into closed loops.
//!
//! Ends at one point are joined first. What is left over is joined to the
//! nearest end within the distance allowed, and each such mend is told. What is
//! then still open is a problem that says where. What is drawn twice is taken
//! once ([`twice`]).

mod twice;

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use super::report::{Mend, Spots};
use crate::geometry::{Arc, Line, Point, Segment, crossings};
use crate::problem::{Outcome, Problem};

/// A line or an arc of a loop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Edge {
    /// As drawn, before its ends were brought to those of its neighbours.
    pub drawn: Segment,
    /// Where it begins in the loop.
    pub start: Point,
    /// Where it ends in the loop.
    pub end: Point,
    /// The layer it stands on.
    pub layer: usize,
    /// True where it stands for a piece of another curve.
    pub fitted: bool,
}

/// Ends nearer than this, in millimetres, are at one point: files are written to
/// some last digit.
pub(super) const SAME_END_MM: f64 = 1e-4;
/// What is shorter than this, in millimetres, is not there.
const NO_LENGTH_MM: f64 = 2e-4;
/// How many of the ends near to another are looked at: more lie there only in a
/// file that is no drawing.
const MOST_NEAR: usize = 8;
/// The most problems of one kind that are told one by one.
const MOST_TOLD: usize = 20;

impl Edge {
    /// An edge as drawn.
    pub fn new(drawn: Segment, layer: usize, fitted: bool) -> Self {
        Self { drawn, start: drawn.start(), end: drawn.end(), layer, fitted }
    }

    /// Run through the other way.
    fn reversed(&self) -> Self {
        Self { drawn: self.drawn.reversed(), start: self.end, end: self.start, ..*self }
    }

    /// Between the ends it has in the loop. An arc keeps the angle it turns through.
    pub fn closed(&self) -> Segment {
        let moved = self.drawn.start().distance_mm(self.start) + self.drawn.end().distance_mm(self.end);
        match self.drawn {
            _ if moved <= 1e-9 => self.drawn,
            Segment::Line(_) => Segment::line(self.start, self.end),
            Segment::Arc(arc) if self.start == self.end => Segment::Arc(arc),
            Segment::Arc(arc) => {
                let chord = self.end - self.start;
                let left = Point::new(-chord.y_mm, chord.x_mm);
                let half_rad = arc.sweep_rad / 2.0;
                let centre = self.start + chord.times(0.5) + left.times(0.5 / half_rad.tan());
                let radius_mm = centre.distance_mm(self.start);
                Segment::arc(centre, radius_mm, centre.direction_rad(self.start), arc.sweep_rad)
            }
        }
    }

    /// A full circle.
    pub fn is_circle(&self) -> bool {
        matches!(self.drawn, Segment::Arc(arc) if arc.sweep_rad.abs() >= TAU - 1e-9)
    }
}

/// Closed loops, each in order, and what was mended to close them.
pub(super) struct Joined {
    pub loops: Vec<Vec<Edge>>,
    pub mends: Vec<Mend>,
}

/// Which end of which edge: twice the edge, and one more for its last point.
type End = usize;

/// Joins edges into loops, over gaps of at most `within_mm`.
pub(super) fn join(edges: Vec<Edge>, within_mm: f64, layers: &[String], spots: Spots) -> Outcome<Joined> {
    let mut mends = Vec::new();
    let (mut edges, specks): (Vec<Edge>, Vec<Edge>) =
        edges.into_iter().partition(|edge| edge.drawn.length_mm() > NO_LENGTH_MM);
    for speck in specks.iter().filter(|speck| !speck.fitted) {
        mends.push(Mend::new("a line or arc of no length is left out", speck.start, speck.drawn.length_mm()));
    }
    twice::take_once(&mut edges, within_mm, &mut mends);
    let (circles, edges): (Vec<Edge>, Vec<Edge>) = edges.into_iter().partition(Edge::is_circle);
    let ends: Vec<Point> = edges.iter().flat_map(|edge| [edge.start, edge.end]).collect();
    let mut partner: Vec<Option<End>> = vec![None; ends.len()];
    let mut faults = together(&ends, &mut partner, spots);
    let gaps = over_gaps(&edges, &ends, &mut partner, within_mm);
    faults.extend(still_open(&edges, &ends, &partner, within_mm, layers, spots));
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut joints = ends.clone();
    for (a, b) in gaps {
        let (at, crossed) = joint(&edges[a / 2], &edges[b / 2], ends[a], ends[b], within_mm);
        joints[a] = at;
        joints[b] = at;
        let what = if crossed { "an overlap is trimmed" } else { "a gap is closed" };
        mends.push(Mend::new(what, at, ends[a].distance_mm(ends[b])));
    }
    for (a, b) in partner.iter().enumerate().filter_map(|(a, b)| Some((a, (*b)?))) {
        if joints[a] == ends[a] && joints[b] == ends[b] && a < b {
            joints[b] = ends[a];
        }
    }
    let mut loops: Vec<Vec<Edge>> = circles.into_iter().map(|circle| vec![circle]).collect();
    loops.extend(walk(&edges, &joints, &partner));
    Ok(Joined { loops, mends })
}

/// Pairs the ends that lie at one point. Three or more there are a problem.
fn together(ends: &[Point], partner: &mut [Option<End>], spots: Spots) -> Vec<Problem> {
    let near = Grid::new(ends, SAME_END_MM);
    let mut faults: Vec<Problem> = Vec::new();
    let mut told: Vec<Point> = Vec::new();
    for (a, &at) in ends.iter().enumerate() {
        let others: Vec<End> = near.within(ends, at, SAME_END_MM).filter(|&b| b != a).collect();
        match others[..] {
            [] => {}
            [b] => partner[a] = Some(b),
            _ if told.iter().any(|spot| spot.distance_mm(at) <= 2.0 * SAME_END_MM) => {}
            _ => {
                told.push(at);
                if told.len() > MOST_TOLD {
                    continue;
                }
                faults.push(
                    Problem::new(format!("{} lines or arcs end at one point", others.len() + 1))
                        .at(spots.spot(at))
                        .why("an outline runs in at one and out at another; which two is not plain")
                        .mend("leave out the layer that does not belong with `--without LAYER`, or take the odd one out of the file"),
                );
            }
        }
    }
    // An end whose partner lies near to a third as well is told of already.
    for a in 0..ends.len() {
        if let Some(b) = partner[a]
            && partner[b] != Some(a)
        {
            partner[a] = None;
            if faults.is_empty() {
                faults.push(
                    Problem::new("several lines or arcs end almost at one point")
                        .at(spots.spot(ends[a]))
                        .mend("take the odd one out of the file"),
                );
            }
        }
    }
    faults
}

/// Pairs loose ends with the nearest, nearest pairs first; gives back the pairs.
fn over_gaps(edges: &[Edge], ends: &[Point], partner: &mut [Option<End>], within_mm: f64) -> Vec<(End, End)> {
    let near = Grid::new(ends, within_mm.max(SAME_END_MM));
    let mut pairs: Vec<(f64, End, End)> = Vec::new();
    for a in (0..ends.len()).filter(|&a| partner[a].is_none()) {
        let mut others: Vec<(f64, End)> = near
            .within(ends, ends[a], within_mm)
            .filter(|&b| b != a && partner[b].is_none())
            .map(|b| (ends[a].distance_mm(ends[b]), b))
            // An arc that almost closes on itself is a circle; a short line is not.
            .filter(|&(gap_mm, b)| a / 2 != b / 2 || edges[a / 2].drawn.length_mm() > 10.0 * gap_mm)
            .collect();
        others.sort_by(|x, y| x.0.total_cmp(&y.0).then(x.1.cmp(&y.1)));
        pairs.extend(others.into_iter().take(MOST_NEAR).map(|(gap_mm, b)| (gap_mm, a.min(b), a.max(b))));
    }
    pairs.sort_by(|x, y| x.0.total_cmp(&y.0).then((x.1, x.2).cmp(&(y.1, y.2))));
    let mut joined = Vec::new();
    for (_, a, b) in pairs {
        if partner[a].is_none() && partner[b].is_none() {
            partner[a] = Some(b);
            partner[b] = Some(a);
            joined.push((a, b));
        }
    }
    joined
}

/// A problem for each end that nothing meets.
fn still_open(
    edges: &[Edge],
    ends: &[Point],
    partner: &[Option<End>],
    within_mm: f64,
    layers: &[String],
    spots: Spots,
) -> Vec<Problem> {
    let open: Vec<End> = (0..ends.len()).filter(|&a| partner[a].is_none()).collect();
    let mut faults: Vec<Problem> = Vec::new();
    for &a in open.iter().take(MOST_TOLD) {
        let nearest = open
            .iter()
            .filter(|&&b| b != a)
            .map(|&b| (ends[a].distance_mm(ends[b]), ends[b]))
            .min_by(|x, y| x.0.total_cmp(&y.0));
        let why = match nearest {
            Some((gap_mm, at)) => format!(
                "the nearest other open end is {gap_mm:.3} mm away, at {}; {within_mm} mm is the most that is mended",
                spots.spot(at)
            ),
            None => "no other end is open".into(),
        };
        let layer = layers.get(edges[a / 2].layer).map_or("", String::as_str);
        faults.push(
            Problem::new("a line or arc ends where nothing meets it")
                .at(format!("{}, on layer `{layer}`", spots.spot(ends[a])))
                .why(why)
                .mend(format!(
                    "close it in the file, allow more with `--join`, or leave it out with `--without \"{layer}\"` if it is no outline"
                )),
        );
    }
    if open.len() > MOST_TOLD {
        faults.push(
            Problem::new(format!("{} more ends are open", open.len() - MOST_TOLD))
                .mend("choose the layers that hold the outline with `--layer`"),
        );
    }
    faults
}

/// Where two edges meet whose ends lie apart: where their lines or circles cross,
/// when that is near enough, else half-way. True where the edges cross there.
fn joint(a: &Edge, b: &Edge, end_a: Point, end_b: Point, within_mm: f64) -> (Point, bool) {
    let crossed = crossings(&a.drawn, &b.drawn).iter().any(|p| p.distance_mm(end_a) <= 2.0 * within_mm);
    let (longer_a, longer_b) = (longer(&a.drawn, 4.0 * within_mm), longer(&b.drawn, 4.0 * within_mm));
    let at = crossings(&longer_a, &longer_b)
        .into_iter()
        .filter(|p| p.distance_mm(end_a) <= within_mm && p.distance_mm(end_b) <= within_mm)
        .min_by(|p, q| p.distance_mm(end_a).total_cmp(&q.distance_mm(end_a)))
        .unwrap_or_else(|| (end_a + end_b).times(0.5));
    (at, crossed)
}

/// The same line or arc, longer at both ends.
fn longer(segment: &Segment, by_mm: f64) -> Segment {
    match *segment {
        Segment::Line(Line { start, end }) => {
            let along = (end - start).times(by_mm / start.distance_mm(end));
            Segment::line(start - along, end + along)
        }
        Segment::Arc(arc) => {
            let by_rad = by_mm / arc.radius_mm * arc.sweep_rad.signum();
            let sweep_rad = (arc.sweep_rad + 2.0 * by_rad).clamp(-TAU, TAU);
            Segment::Arc(Arc { start_rad: arc.start_rad - by_rad, sweep_rad, ..arc })
        }
    }
}

/// Follows the partners round, edge by edge.
fn walk(edges: &[Edge], joints: &[Point], partner: &[Option<End>]) -> Vec<Vec<Edge>> {
    let mut used = vec![false; edges.len()];
    let mut loops = Vec::new();
    for first in 0..edges.len() {
        let mut found = Vec::new();
        let mut enter: End = 2 * first;
        while !used[enter / 2] {
            used[enter / 2] = true;
            let edge = &edges[enter / 2];
            let leave = enter ^ 1;
            let run = if enter.is_multiple_of(2) { *edge } else { edge.reversed() };
            found.push(Edge { start: joints[enter], end: joints[leave], ..run });
            enter = partner[leave].expect("no end is open once the problems are out");
        }
        if !found.is_empty() {
            loops.push(found);
        }
    }
    loops
}

/// Points by the square of a grid they lie in.
struct Grid {
    side_mm: f64,
    squares: BTreeMap<(i64, i64), Vec<usize>>,
}

impl Grid {
    fn new(points: &[Point], side_mm: f64) -> Self {
        let mut grid = Self { side_mm, squares: BTreeMap::new() };
        for (index, &point) in points.iter().enumerate() {
            let square = grid.square(point);
            grid.squares.entry(square).or_default().push(index);
        }
        grid
    }

    fn square(&self, at: Point) -> (i64, i64) {
        ((at.x_mm / self.side_mm).floor() as i64, (at.y_mm / self.side_mm).floor() as i64)
    }

    /// The points within a distance of at most the side of a square.
    fn within<'a>(
        &'a self,
        points: &'a [Point],
        at: Point,
        most_mm: f64,
    ) -> impl Iterator<Item = usize> + use<'a> {
        let (x, y) = self.square(at);
        (x - 1..=x + 1)
            .flat_map(move |x| (y - 1..=y + 1).map(move |y| (x, y)))
            .filter_map(|square| self.squares.get(&square))
            .flatten()
            .copied()
            .filter(move |&index| points[index].distance_mm(at) <= most_mm)
    }
}
