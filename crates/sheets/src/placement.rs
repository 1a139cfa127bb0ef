//! Finding free paper for the balloons round a picture.
//!
//! Every balloon has the same list of places to try, near ones first. Each in
//! turn takes the place that costs least, then all are asked again whether a
//! better one has come free, until none moves. The same picture always gives
//! the same places.

mod lines;

pub use lines::Lines;

use std::f64::consts::TAU;
use std::rc::Rc;

use crate::callout::{BALLOON_RADIUS_MM, Spread, Target};
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
/// After so many rounds that brought them no nearer to the paper, no other will.
const STUCK: usize = 2;
/// What is farther off the paper than this after a round, by two rings, does not come back.
const FAR_OVER_MM: f64 = 4.0 * BALLOON_RADIUS_MM;

/// Air round a ring.
const AIR_MM: f64 = 0.4;

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

/// A balloon that is to be placed: what it points at, and how far its rings reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// What its leader ends at.
    pub target: Target,
    /// The paper that its rings need.
    pub spread: Spread,
}

/// The middle of each balloon, in the same order; nothing if they need more paper than
/// `room`, which is so wide and so high.
///
/// `drawing` is the box of everything drawn so far; the last places tried lie
/// round it, where there is always room.
pub fn place_balloons(
    asked: &[Asked],
    taken: &Taken,
    drawing: Bounds,
    room: (f64, f64),
) -> Option<Vec<Point>> {
    let mut board = Board::new(asked, taken, drawing, room);
    let mut least = f64::INFINITY;
    let mut on_paper = None;
    let mut stuck = 0;
    for _ in 0..ROUNDS {
        let mut moved = false;
        for n in 0..asked.len() {
            moved |= board.ask(n);
        }
        let over_mm = board.over(board.extent(usize::MAX));
        if over_mm == 0.0 {
            on_paper = Some(board.centres());
        }
        stuck = if over_mm < least { 0 } else { stuck + 1 };
        least = least.min(over_mm);
        let hopeless = over_mm > 0.0 && (stuck >= STUCK || least > FAR_OVER_MM);
        if !moved || hopeless {
            break;
        }
    }
    on_paper
}

/// A balloon and its leader, where they stand or might.
#[derive(Clone, Copy, Debug)]
struct Stand {
    centre: Point,
    /// Round the middles of its rings.
    core: Bounds,
    /// The ring at which the leader begins.
    from: Point,
    /// The end of the leader.
    end: Point,
    /// Round rings and leader.
    all: Bounds,
}

impl Stand {
    fn of(Asked { target, spread }: &Asked, centre: Point) -> Self {
        let from = spread.nearest_end(centre, target.at);
        let end = target.touched_from(from);
        let core = spread.core(centre);
        Self {
            centre,
            core,
            from,
            end,
            all: core.grown(BALLOON_RADIUS_MM + AIR_MM).union(Bounds::around([end])),
        }
    }

    /// The box of the rings, with a little air.
    fn rings(&self) -> Bounds {
        self.core.grown(BALLOON_RADIUS_MM + AIR_MM)
    }

    /// The box of the rings alone.
    fn inked(&self) -> Bounds {
        self.core.grown(BALLOON_RADIUS_MM)
    }
}

/// The balloons of a picture while they are placed.
struct Board<'a> {
    asked: &'a [Asked],
    taken: &'a Taken,
    drawing: Bounds,
    room: (f64, f64),
    /// The ways out from a target, each a step of one millimetre.
    ways: Vec<Point>,
    /// Places round the drawing for each balloon, tried last.
    margins: Vec<Rc<[Point]>>,
    stands: Vec<Option<Stand>>,
    /// What each place of each balloon costs against what does not move, once it has been asked.
    known: Vec<Vec<Option<f64>>>,
}

impl<'a> Board<'a> {
    fn new(asked: &'a [Asked], taken: &'a Taken, drawing: Bounds, room: (f64, f64)) -> Self {
        let way =
            |d: usize| Point::default().polar(1.0, FIRST_DIRECTION_RAD + TAU * d as f64 / DIRECTIONS as f64);
        let margins = margins(drawing, asked);
        Self {
            asked,
            taken,
            drawing,
            room,
            ways: (0..DIRECTIONS).map(way).collect(),
            stands: vec![None; asked.len()],
            known: margins.iter().map(|margin| vec![None; NEAR + margin.len()]).collect(),
            margins,
        }
    }

    /// The place that a balloon may try at its turn, near ones first.
    fn place(&self, n: usize, turn: usize) -> Point {
        if turn >= NEAR {
            return self.margins[n][turn - NEAR];
        }
        let (Asked { target, spread }, way) = (&self.asked[n], self.ways[turn % DIRECTIONS]);
        let out_mm = target.rim_mm + LENGTHS_MM[turn / DIRECTIONS];
        spread.on_from(target.at.moved(way.x_mm * out_mm, way.y_mm * out_mm), way)
    }

    /// Moves a balloon to the place that costs least, and tells whether that is another
    /// than it had.
    fn ask(&mut self, n: usize) -> bool {
        let extent = self.extent(n);
        let now = self.stands[n];
        let mut best =
            (now.map_or(f64::INFINITY, |stand| self.cost(n, None, &stand, extent, f64::INFINITY)), now);
        for turn in 0..self.known[n].len() {
            // No leader to the near places of a turn is longer than those after it, and what a
            // place costs on the paper it costs at least.
            let leader = if turn < NEAR { LEADER_PER_MM * LENGTHS_MM[turn / DIRECTIONS] } else { 0.0 };
            if leader >= best.0 || leader + self.known[n][turn].unwrap_or_default() >= best.0 + ROUNDING {
                continue;
            }
            let stand = Stand::of(&self.asked[n], self.place(n, turn));
            let cost = self.cost(n, Some(turn), &stand, extent, best.0);
            if cost < best.0 {
                best = (cost, Some(stand));
            }
        }
        let moved = best.1.map(|stand| stand.centre) != now.map(|stand| stand.centre);
        self.stands[n] = best.1;
        moved
    }

    /// Where they stand, once all have been asked.
    fn centres(&self) -> Vec<Point> {
        self.stands.iter().flatten().map(|stand| stand.centre).collect()
    }

    /// The box of the drawing and of all balloons but one.
    fn extent(&self, but: usize) -> Bounds {
        let others = self.stands.iter().enumerate().filter(|(n, _)| *n != but);
        others
            .filter_map(|(_, stand)| stand.as_ref())
            .fold(self.drawing, |all, stand| all.union(stand.inked()))
    }

    /// By how much a box is larger than the paper, in millimetres.
    fn over(&self, all: Bounds) -> f64 {
        (all.width_mm() - self.room.0).max(0.0) + (all.height_mm() - self.room.1).max(0.0)
    }

    /// What it costs to put balloon `n` here, its place so and so in turn; stops
    /// counting past `limit`.
    fn cost(&mut self, n: usize, turn: Option<usize>, stand: &Stand, extent: Bounds, limit: f64) -> f64 {
        let mut cost = LEADER_PER_MM * stand.from.distance_mm(stand.end);
        if cost >= limit {
            return cost;
        }
        let known = turn.and_then(|turn| self.known[n][turn]);
        cost += known.unwrap_or_default();
        if cost >= limit {
            return cost;
        }
        let over_mm = self.over(extent.union(stand.inked()));
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
            let Some(other) = other.as_ref().filter(|other| m != n && touching(&stand.all, &other.all))
            else {
                continue;
            };
            let apart_mm = 2.0 * (BALLOON_RADIUS_MM + AIR_MM);
            if nearer(&stand.core, &other.core, apart_mm) {
                cost += COVERED_WORD;
            }
            if other.rings().length_within_mm(stand.end, stand.from) > 0.0 {
                cost += CROSSED_WORD;
            }
            if stand.rings().length_within_mm(other.end, other.from) > 0.0 {
                cost += CROSSED_WORD;
            }
            if cross(stand.end, stand.from, other.end, other.from) {
                cost += CROSSED_LEADER;
            }
        }
        cost
    }

    /// What a place costs for all that does not move.
    fn on_paper(&self, stand: &Stand) -> f64 {
        let hidden = |Asked { target: t, .. }: &&Asked| {
            nearer(&stand.core, &Bounds::around([t.at]), BALLOON_RADIUS_MM + t.rim_mm.max(1.0))
        };
        // A ring must not hide what another balloon points at.
        let mut cost = self.asked.iter().filter(hidden).count() as f64 * CROSSED_WORD;
        for word in self.taken.boxes.iter().filter(|word| touching(word, &stand.all)) {
            if word.overlap_mm2(stand.rings()) > 0.0 {
                cost += COVERED_WORD;
            } else if word.length_within_mm(stand.end, stand.from) > 0.0 {
                cost += CROSSED_WORD;
            }
        }
        for (from, to) in self.taken.lines.near(stand.all) {
            cost += COVERED_LINE_PER_MM * stand.rings().length_within_mm(from, to);
            if cross(stand.end, stand.from, from, to) {
                cost += CROSSED_LINE;
            }
        }
        cost
    }
}

/// True when two boxes touch or share paper.
fn touching(a: &Bounds, b: &Bounds) -> bool {
    a.left_mm <= b.right_mm && b.left_mm <= a.right_mm && a.top_mm <= b.bottom_mm && b.top_mm <= a.bottom_mm
}

/// True when two boxes are less than so far apart; most are told to be farther by one axis.
fn nearer(a: &Bounds, b: &Bounds, mm: f64) -> bool {
    let across = (a.left_mm - b.right_mm).max(b.left_mm - a.right_mm);
    let down = (a.top_mm - b.bottom_mm).max(b.top_mm - a.bottom_mm);
    across < mm && down < mm && across.max(0.0).hypot(down.max(0.0)) < mm
}

/// The places round the drawing for each balloon: one list for all of a size.
fn margins(drawing: Bounds, asked: &[Asked]) -> Vec<Rc<[Point]>> {
    let mut known: Vec<(Spread, Rc<[Point]>)> = Vec::new();
    let of = |spread: Spread| {
        if let Some((_, places)) = known.iter().find(|(own, _)| *own == spread) {
            return Rc::clone(places);
        }
        let places: Rc<[Point]> = margin_places(drawing, spread, asked).into();
        known.push((spread, Rc::clone(&places)));
        places
    };
    asked.iter().map(|one| one.spread).map(of).collect()
}

/// Places round the drawing, in rows further and further out: enough that the balloon
/// could stand there clear of every other.
fn margin_places(drawing: Bounds, own: Spread, asked: &[Asked]) -> Vec<Point> {
    const BETWEEN_MM: f64 = 2.0;
    let size = |spread: Spread| {
        let rings = spread.core(Point::default()).grown(BALLOON_RADIUS_MM);
        (rings.width_mm(), rings.height_mm())
    };
    let (wide_mm, high_mm) = size(own);
    let (across_mm, down_mm) = (wide_mm + BETWEEN_MM, high_mm + BETWEEN_MM);
    // One that stands between two places takes both.
    let barred = |one: &Asked| {
        let (wide, high) = size(one.spread);
        ((wide / across_mm).ceil() * (high / down_mm).ceil()) as usize + 1
    };
    let enough: usize = asked.iter().map(barred).sum();
    let mut places = Vec::new();
    let (mut out_x_mm, mut out_y_mm) = (across_mm / 2.0 + 1.0, down_mm / 2.0 + 1.0);
    while places.len() < enough {
        let ring = Bounds {
            left_mm: drawing.left_mm - out_x_mm,
            top_mm: drawing.top_mm - out_y_mm,
            right_mm: drawing.right_mm + out_x_mm,
            bottom_mm: drawing.bottom_mm + out_y_mm,
        };
        let across = (ring.width_mm() / across_mm).floor().max(1.0) as u32;
        let down = (ring.height_mm() / down_mm).floor().max(1.0) as u32;
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
        out_x_mm += across_mm;
        out_y_mm += down_mm;
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
    use crate::callout::{Balloon, Item};
    use proptest::prelude::*;

    const ENDLESS: (f64, f64) = (f64::INFINITY, f64::INFINITY);

    fn lone(at: Point, rim_mm: f64) -> Asked {
        Asked { target: Target { at, rim_mm }, spread: Spread::default() }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// However the holes and figures lie, and however many numbers stand at each, no
        /// balloon covers another or a figure.
        #[test]
        fn no_two_balloons_and_no_figure_overlap(
            holes in prop::collection::vec((0.0..120.0f64, 0.0..80.0f64, 0.0..8.0f64, 1..10u32), 1..20),
            words in prop::collection::vec((0.0..110.0f64, 0.0..75.0f64), 0..12),
        ) {
            let keys: Vec<String> = (0..10).map(|n| (3 * n).to_string()).collect();
            let spread = |many: u32| {
                let items = keys[..many as usize].iter().map(|key| Item { key, tag: None });
                Balloon::of(items.collect()).spread()
            };
            let asked: Vec<Asked> = holes
                .into_iter()
                .map(|(x, y, r, many)| Asked { spread: spread(many), ..lone(Point::mm(x, y), r) })
                .collect();
            let boxes: Vec<Bounds> = words.into_iter().map(|(x, y)| Bounds::new(x, y, 12.0, 4.0)).collect();
            let drawing = Bounds::new(0.0, 0.0, 122.0, 80.0);
            let taken = Taken { boxes, ..Taken::default() };
            let centres = place_balloons(&asked, &taken, drawing, ENDLESS).expect("paper without end");
            let cores: Vec<Bounds> =
                asked.iter().zip(&centres).map(|(one, centre)| one.spread.core(*centre)).collect();
            for (n, a) in cores.iter().enumerate() {
                for b in &cores[n + 1..] {
                    prop_assert!(!nearer(a, b, 2.0 * BALLOON_RADIUS_MM), "{:?} and {:?}", a, b);
                }
                for word in &taken.boxes {
                    prop_assert_eq!(word.overlap_mm2(a.grown(BALLOON_RADIUS_MM)), 0.0);
                }
            }
        }
    }

    #[test]
    fn a_lone_balloon_stands_close_by() {
        let at = place_balloons(
            &[lone(Point::mm(50.0, 50.0), 0.0)],
            &Taken::default(),
            Bounds::new(0.0, 0.0, 100.0, 100.0),
            ENDLESS,
        );
        let at = at.expect("paper without end");
        assert!(at[0].distance_mm(Point::mm(50.0, 50.0)) <= LENGTHS_MM[0] + 1e-9);
    }
}
