//! Finding free paper for the balloons round a picture.
//!
//! Every balloon has the same list of places to try, near ones first. Each in
//! turn takes the place that costs least, then all are asked again whether a
//! better one has come free, until none moves. The same picture always gives
//! the same places.

use std::f64::consts::TAU;

use crate::callout::{BALLOON_RADIUS_MM, Target, balloon_bounds};
use crate::ink::{Bounds, Point};

/// What is on the paper already.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    /// Figures and letters: nothing may cover or cross them.
    pub boxes: Vec<Bounds>,
    /// Lines of the drawing: better not covered.
    pub lines: Vec<(Point, Point)>,
}

/// Directions tried from each target, starting a little off level so that
/// leaders are not mistaken for edges (ISO 128-2: leaders run at an angle).
const DIRECTIONS: u32 = 24;
const FIRST_DIRECTION_RAD: f64 = TAU / 48.0;
/// Lengths of leader tried, target to the middle of the ring.
const LENGTHS_MM: [f64; 8] = [7.5, 9.5, 12.0, 15.0, 19.0, 24.0, 30.0, 37.0];
/// How often all balloons are asked again.
const ROUNDS: usize = 6;

/// What a place costs. A covered word is never worth any saving elsewhere.
const COVERED_WORD: f64 = 1e4;
const CROSSED_WORD: f64 = 2000.0;
const CROSSED_LEADER: f64 = 200.0;
const COVERED_LINE_PER_MM: f64 = 4.0;
const CROSSED_LINE: f64 = 1.5;
const LEADER_PER_MM: f64 = 1.0;

/// The middle of a balloon for each target, in the same order.
///
/// `drawing` is the box of everything drawn so far; the last places tried lie
/// round it, where there is always room.
pub fn place_balloons(targets: &[Target], taken: &Taken, drawing: Bounds) -> Vec<Point> {
    let margin = margin_places(drawing, targets.len());
    let mut placed: Vec<Option<Point>> = vec![None; targets.len()];
    for _ in 0..ROUNDS {
        let mut moved = false;
        for n in 0..targets.len() {
            let best = cheapest(n, targets, &placed, taken, &margin);
            moved |= placed[n] != Some(best);
            placed[n] = Some(best);
        }
        if !moved {
            break;
        }
    }
    placed.into_iter().map(|p| p.expect("the first round places every balloon")).collect()
}

fn cheapest(
    n: usize,
    targets: &[Target],
    placed: &[Option<Point>],
    taken: &Taken,
    margin: &[Point],
) -> Point {
    let target = targets[n];
    let near = LENGTHS_MM.iter().flat_map(|&length_mm| {
        (0..DIRECTIONS).map(move |d| {
            target.at.polar(
                target.rim_mm + length_mm,
                FIRST_DIRECTION_RAD + TAU * f64::from(d) / f64::from(DIRECTIONS),
            )
        })
    });
    let mut best = (f64::INFINITY, target.at);
    for centre in near.chain(margin.iter().copied()) {
        let cost = cost(n, centre, best.0, targets, placed, taken);
        if cost < best.0 {
            best = (cost, centre);
        }
    }
    best.1
}

/// What it costs to put balloon `n` here; stops counting past `limit`.
fn cost(
    n: usize,
    centre: Point,
    limit: f64,
    targets: &[Target],
    placed: &[Option<Point>],
    taken: &Taken,
) -> f64 {
    let target = targets[n].touched_from(centre);
    let ring = balloon_bounds(centre);
    let mut cost = LEADER_PER_MM * centre.distance_mm(target);
    if cost >= limit {
        return cost;
    }
    for (m, other) in placed.iter().enumerate() {
        let Some(other) = *other else { continue };
        if m == n {
            continue;
        }
        if nearer(centre, other, 2.0 * BALLOON_RADIUS_MM + 0.8) {
            cost += COVERED_WORD;
        }
        let (others_ring, others_end) = (balloon_bounds(other), targets[m].touched_from(other));
        if others_ring.length_within_mm(target, centre) > 0.0 {
            cost += CROSSED_WORD;
        }
        if ring.length_within_mm(others_end, other) > 0.0 {
            cost += CROSSED_WORD;
        }
        if cross(target, centre, others_end, other) {
            cost += CROSSED_LEADER;
        }
    }
    if cost >= limit {
        return cost;
    }
    // A ring must not hide what another balloon points at.
    cost += targets.iter().filter(|t| nearer(centre, t.at, BALLOON_RADIUS_MM + t.rim_mm.max(1.0))).count()
        as f64
        * CROSSED_WORD;
    for word in &taken.boxes {
        if word.overlap_mm2(ring) > 0.0 {
            cost += COVERED_WORD;
        } else if word.length_within_mm(target, centre) > 0.0 {
            cost += CROSSED_WORD;
        }
    }
    if cost >= limit {
        return cost;
    }
    for &(from, to) in &taken.lines {
        if cost >= limit {
            break;
        }
        cost += COVERED_LINE_PER_MM * ring.length_within_mm(from, to);
        if cross(target, centre, from, to) {
            cost += CROSSED_LINE;
        }
    }
    cost
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
            let taken = Taken { boxes, lines: Vec::new() };
            let centres = place_balloons(&targets, &taken, drawing);
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
        );
        assert!(at[0].distance_mm(Point::mm(50.0, 50.0)) <= LENGTHS_MM[0] + 1e-9);
    }
}
