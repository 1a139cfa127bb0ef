//! Finding free paper for the balloons round a picture.
//!
//! Every balloon has the same list of places to try, near ones first. Each in
//! turn takes the place that costs least, then all are asked again whether a
//! better one has come free, until none moves. The same picture always gives
//! the same places.

mod lines;

pub use lines::Lines;

use std::f64::consts::TAU;

use crate::callout::{BALLOON_RADIUS_MM, Target, balloon_bounds};
use crate::ink::{Bounds, Point};

/// What is on the paper already.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    /// Figures and letters: nothing may cover or cross them.
    pub boxes: Vec<Bounds>,
    /// Lines of the drawing: better not covered.
    pub lines: Lines,
}

/// Directions tried from each target, starting a little off level so that
/// leaders are not mistaken for edges (ISO 128-2: leaders run at an angle).
const DIRECTIONS: usize = 24;
const FIRST_DIRECTION_RAD: f64 = TAU / 48.0;
/// Lengths of leader tried, target to the middle of the ring.
const LENGTHS_MM: [f64; 8] = [7.5, 9.5, 12.0, 15.0, 19.0, 24.0, 30.0, 37.0];
const NEAR: usize = DIRECTIONS * LENGTHS_MM.len();
/// How often all balloons are asked again.
const ROUNDS: usize = 6;

/// What a place costs. A covered word is never worth any saving elsewhere.
const COVERED_WORD: f64 = 1e4;
const CROSSED_WORD: f64 = 2000.0;
/// Paper that is not there: rather two leaders crossed than a smaller picture.
const OFF_THE_PAPER: f64 = 500.0;
const CROSSED_LEADER: f64 = 200.0;
const COVERED_LINE_PER_MM: f64 = 4.0;
const CROSSED_LINE: f64 = 1.5;
const LEADER_PER_MM: f64 = 1.0;
/// More than a sum of costs is out by.
const ROUNDING: f64 = 1e-6;

/// The middle of a balloon for each target, in the same order; nothing if they need
/// more paper than `room`, which is so wide and so high.
///
/// `drawing` is the box of everything drawn so far; the last places tried lie
/// round it, where there is always room.
pub fn place_balloons(
    targets: &[Target],
    taken: &Taken,
    drawing: Bounds,
    room: (f64, f64),
) -> Option<Vec<Point>> {
    let mut board = Board::new(targets, taken, drawing, room);
    for _ in 0..ROUNDS {
        let mut moved = false;
        for n in 0..targets.len() {
            moved |= board.ask(n);
        }
        if !moved {
            break;
        }
    }
    let on_paper = board.over(board.extent(usize::MAX)) == 0.0;
    on_paper.then(|| board.stands.iter().flatten().map(|stand| stand.centre).collect())
}

/// A ring and its leader, where they stand or might.
#[derive(Clone, Copy, Debug)]
struct Stand {
    centre: Point,
    /// The end of the leader.
    end: Point,
    ring: Bounds,
    /// Round ring and leader.
    all: Bounds,
}

impl Stand {
    fn of(target: Target, centre: Point) -> Self {
        let end = target.touched_from(centre);
        let ring = balloon_bounds(centre);
        Self { centre, end, ring, all: ring.union(Bounds::around([end])) }
    }
}

/// The balloons of a picture while they are placed.
struct Board<'a> {
    targets: &'a [Target],
    taken: &'a Taken,
    drawing: Bounds,
    room: (f64, f64),
    /// The ways out from a target, each a step of one millimetre.
    ways: Vec<Point>,
    /// Places round the drawing, tried last.
    margin: Vec<Point>,
    stands: Vec<Option<Stand>>,
    /// What each place of each balloon costs against what does not move, once it has been asked.
    known: Vec<Vec<Option<f64>>>,
}

impl<'a> Board<'a> {
    fn new(targets: &'a [Target], taken: &'a Taken, drawing: Bounds, room: (f64, f64)) -> Self {
        let way =
            |d: usize| Point::default().polar(1.0, FIRST_DIRECTION_RAD + TAU * d as f64 / DIRECTIONS as f64);
        let margin = margin_places(drawing, targets.len());
        Self {
            targets,
            taken,
            drawing,
            room,
            ways: (0..DIRECTIONS).map(way).collect(),
            stands: vec![None; targets.len()],
            known: vec![vec![None; NEAR + margin.len()]; targets.len()],
            margin,
        }
    }

    /// The place that a balloon may try at its turn, near ones first.
    fn place(&self, n: usize, turn: usize) -> Point {
        if turn >= NEAR {
            return self.margin[turn - NEAR];
        }
        let (target, way) = (self.targets[n], self.ways[turn % DIRECTIONS]);
        let out_mm = target.rim_mm + LENGTHS_MM[turn / DIRECTIONS];
        target.at.moved(way.x_mm * out_mm, way.y_mm * out_mm)
    }

    /// Moves a balloon to the place that costs least, and tells whether that is another
    /// than it had.
    fn ask(&mut self, n: usize) -> bool {
        let extent = self.extent(n);
        let now = self.stands[n];
        let mut best =
            (now.map_or(f64::INFINITY, |stand| self.cost(n, None, &stand, extent, f64::INFINITY)), now);
        for turn in 0..NEAR + self.margin.len() {
            // No leader to the near places of a turn is longer than those after it, and what a
            // place costs on the paper it costs at least.
            let leader = if turn < NEAR { LEADER_PER_MM * LENGTHS_MM[turn / DIRECTIONS] } else { 0.0 };
            if leader >= best.0 || leader + self.known[n][turn].unwrap_or_default() >= best.0 + ROUNDING {
                continue;
            }
            let stand = Stand::of(self.targets[n], self.place(n, turn));
            let cost = self.cost(n, Some(turn), &stand, extent, best.0);
            if cost < best.0 {
                best = (cost, Some(stand));
            }
        }
        let moved = best.1.map(|stand| stand.centre) != now.map(|stand| stand.centre);
        self.stands[n] = best.1;
        moved
    }

    /// The box of the drawing and of all balloons but one.
    fn extent(&self, but: usize) -> Bounds {
        let others = self.stands.iter().enumerate().filter(|(n, _)| *n != but);
        others.filter_map(|(_, stand)| *stand).fold(self.drawing, |all, stand| all.union(inked(stand.centre)))
    }

    /// By how much a box is larger than the paper, in millimetres.
    fn over(&self, all: Bounds) -> f64 {
        (all.width_mm() - self.room.0).max(0.0) + (all.height_mm() - self.room.1).max(0.0)
    }

    /// What it costs to put balloon `n` here, its place so and so in turn; stops
    /// counting past `limit`.
    fn cost(&mut self, n: usize, turn: Option<usize>, stand: &Stand, extent: Bounds, limit: f64) -> f64 {
        let mut cost = LEADER_PER_MM * stand.centre.distance_mm(stand.end);
        if cost >= limit {
            return cost;
        }
        let known = turn.and_then(|turn| self.known[n][turn]);
        cost += known.unwrap_or_default();
        if cost >= limit {
            return cost;
        }
        let over_mm = self.over(extent.union(inked(stand.centre)));
        if over_mm > 0.0 {
            // The less the better: the others may still make room for it.
            cost += OFF_THE_PAPER + over_mm;
        }
        cost += self.among_others(n, stand);
        if known.is_some() || cost >= limit {
            return cost;
        }
        let fixed = self.on_paper(stand);
        if let Some(turn) = turn {
            self.known[n][turn] = Some(fixed);
        }
        cost + fixed
    }

    /// What a place costs for the other balloons as they stand.
    fn among_others(&self, n: usize, stand: &Stand) -> f64 {
        let mut cost = 0.0;
        for (m, other) in self.stands.iter().enumerate() {
            let Some(other) = other.filter(|other| m != n && touching(stand.all, other.all)) else {
                continue;
            };
            if nearer(stand.centre, other.centre, 2.0 * BALLOON_RADIUS_MM + 0.8) {
                cost += COVERED_WORD;
            }
            if other.ring.length_within_mm(stand.end, stand.centre) > 0.0 {
                cost += CROSSED_WORD;
            }
            if stand.ring.length_within_mm(other.end, other.centre) > 0.0 {
                cost += CROSSED_WORD;
            }
            if cross(stand.end, stand.centre, other.end, other.centre) {
                cost += CROSSED_LEADER;
            }
        }
        cost
    }

    /// What a place costs for all that does not move.
    fn on_paper(&self, stand: &Stand) -> f64 {
        let hidden = |t: &&Target| nearer(stand.centre, t.at, BALLOON_RADIUS_MM + t.rim_mm.max(1.0));
        // A ring must not hide what another balloon points at.
        let mut cost = self.targets.iter().filter(hidden).count() as f64 * CROSSED_WORD;
        for word in self.taken.boxes.iter().filter(|word| touching(**word, stand.all)) {
            if word.overlap_mm2(stand.ring) > 0.0 {
                cost += COVERED_WORD;
            } else if word.length_within_mm(stand.end, stand.centre) > 0.0 {
                cost += CROSSED_WORD;
            }
        }
        for (from, to) in self.taken.lines.near(stand.all) {
            cost += COVERED_LINE_PER_MM * stand.ring.length_within_mm(from, to);
            if cross(stand.end, stand.centre, from, to) {
                cost += CROSSED_LINE;
            }
        }
        cost
    }
}

/// The box of a ring, without air round it.
fn inked(centre: Point) -> Bounds {
    Bounds::around([centre]).grown(BALLOON_RADIUS_MM)
}

/// True when two boxes touch or share paper.
fn touching(a: Bounds, b: Bounds) -> bool {
    a.left_mm <= b.right_mm && b.left_mm <= a.right_mm && a.top_mm <= b.bottom_mm && b.top_mm <= a.bottom_mm
}

/// True when two places are less than so far apart; most are told to be farther by one axis.
fn nearer(a: Point, b: Point, mm: f64) -> bool {
    (a.x_mm - b.x_mm).abs() < mm && (a.y_mm - b.y_mm).abs() < mm && a.distance_mm(b) < mm
}

/// Places round the drawing, in rings further and further out: enough that every
/// balloon could stand there clear of every other.
fn margin_places(drawing: Bounds, balloons: usize) -> Vec<Point> {
    const PITCH_MM: f64 = 2.0 * BALLOON_RADIUS_MM + 2.0;
    let mut places = Vec::new();
    let mut out_mm = PITCH_MM / 2.0 + 1.0;
    while places.len() < 2 * balloons {
        let ring = drawing.grown(out_mm);
        let across = (ring.width_mm() / PITCH_MM).floor().max(1.0) as u32;
        let down = (ring.height_mm() / PITCH_MM).floor().max(1.0) as u32;
        for n in 0..=across {
            let x_mm = ring.left_mm + ring.width_mm() * f64::from(n) / f64::from(across);
            places.push(Point::mm(x_mm, ring.top_mm));
            places.push(Point::mm(x_mm, ring.bottom_mm));
        }
        for n in 1..down {
            let y_mm = ring.top_mm + ring.height_mm() * f64::from(n) / f64::from(down);
            places.push(Point::mm(ring.left_mm, y_mm));
            places.push(Point::mm(ring.right_mm, y_mm));
        }
        out_mm += PITCH_MM;
    }
    places
}

/// True when two straight lines cross between their ends.
fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| {
        (q.x_mm - p.x_mm) * (r.y_mm - p.y_mm) - (q.y_mm - p.y_mm) * (r.x_mm - p.x_mm)
    };
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const ENDLESS: (f64, f64) = (f64::INFINITY, f64::INFINITY);

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// However the holes and figures lie, no balloon covers another or a figure.
        #[test]
        fn no_two_balloons_and_no_figure_overlap(
            targets in prop::collection::vec((0.0..120.0f64, 0.0..80.0f64, 0.0..8.0f64), 1..20),
            words in prop::collection::vec((0.0..110.0f64, 0.0..75.0f64), 0..12),
        ) {
            let targets: Vec<Target> =
                targets.into_iter().map(|(x, y, r)| Target { at: Point::mm(x, y), rim_mm: r }).collect();
            let boxes: Vec<Bounds> = words.into_iter().map(|(x, y)| Bounds::new(x, y, 12.0, 4.0)).collect();
            let drawing = Bounds::new(0.0, 0.0, 122.0, 80.0);
            let taken = Taken { boxes, ..Taken::default() };
            let centres = place_balloons(&targets, &taken, drawing, ENDLESS).expect("paper without end");
            for (n, a) in centres.iter().enumerate() {
                for b in &centres[n + 1..] {
                    prop_assert!(a.distance_mm(*b) >= 2.0 * BALLOON_RADIUS_MM);
                }
                for word in &taken.boxes {
                    prop_assert_eq!(word.overlap_mm2(balloon_bounds(*a)), 0.0);
                }
            }
        }
    }

    #[test]
    fn a_lone_balloon_stands_close_by() {
        let at = place_balloons(
            &[Target { at: Point::mm(50.0, 50.0), rim_mm: 0.0 }],
            &Taken::default(),
            Bounds::new(0.0, 0.0, 100.0, 100.0),
            ENDLESS,
        );
        let at = at.expect("paper without end");
        assert!(at[0].distance_mm(Point::mm(50.0, 50.0)) <= LENGTHS_MM[0] + 1e-9);
    }
}
