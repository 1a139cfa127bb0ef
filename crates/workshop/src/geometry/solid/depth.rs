//! How deep two overlapping convex solids lie in each other.
//!
//! Moved along a direction, one comes clear of the other after as far as the first
//! reaches that way and the second reaches back. The least of that over all
//! directions is the depth. It has several valleys: the search begins from the
//! directions of faces and axes and from a ring of others, and walks down from the
//! best of them. A step of the walk moves the second clear and a little beyond, finds
//! where the two are then nearest, and takes the direction between those places: by
//! that way it comes clear no later.

use super::{Convex, Gap, Motion, Spot, apart};

/// From how many beginnings the search walks down.
const WALKS: usize = 8;

/// Steps of a walk at most.
const STEPS: usize = 60;

/// A step that gains less than this ends the walk, in millimetres.
const LEAST_GAIN_MM: f64 = 1e-9;

/// How far beyond clear a step moves: this share of the depth, and this much at least.
const BEYOND: (f64, f64) = (0.02, 0.01);

/// The depth of an overlap as a gap less than nought.
pub(super) fn depth(first: &Convex, second: &Convex) -> Gap {
    let clear_mm = |way: Spot| first.reach_mm(way) + second.reach_mm(-way);
    let (a, b) = (first.ways(), second.ways());
    let mut begin: Vec<Spot> = a.iter().chain(&b).copied().collect();
    begin.extend(a.iter().flat_map(|p| b.iter().filter_map(|q| p.cross(*q).unit())));
    let middles = first.middle()[0].midway(first.middle()[1]) - second.middle()[0].midway(second.middle()[1]);
    begin.extend(middles.unit());
    // A ring of directions that turns with the two, so that turning both changes nothing.
    let u = begin.first().copied().unwrap_or(Spot::X);
    let v = begin
        .iter()
        .chain(&[Spot::X, Spot::Y, Spot::Z])
        .find_map(|q| u.cross(*q).unit())
        .expect("of three axes square to each other two are not along it");
    let w = u.cross(v);
    for x in -2..=2 {
        for y in -2..=2 {
            for z in 0..=2 {
                let way = u.times(f64::from(x)) + v.times(f64::from(y)) + w.times(f64::from(z));
                begin.extend(way.unit());
            }
        }
    }
    let mut ways: Vec<(f64, Spot)> =
        begin.iter().flat_map(|&way| [way, -way]).map(|way| (clear_mm(way), way)).collect();
    ways.sort_by(|p, q| p.0.total_cmp(&q.0));
    let (least_mm, way) = ways
        .into_iter()
        .take(WALKS)
        .map(|(mm, way)| down(first, second, mm, way))
        .min_by(|p, q| p.0.total_cmp(&q.0))
        .expect("there is always the ring to begin from");
    Gap { apart_mm: -least_mm.max(0.0), on_first: first.furthest(way), on_second: second.furthest(-way) }
}

/// Walks to where no neighbouring direction is less.
fn down(first: &Convex, second: &Convex, mut mm: f64, mut way: Spot) -> (f64, Spot) {
    for _ in 0..STEPS {
        let moved = second.moved(&Motion::NONE.shifted(way.times(mm * (1.0 + BEYOND.0) + BEYOND.1)));
        let Some(better) = apart(first, &moved).and_then(|gap| (gap.on_second - gap.on_first).unit()) else {
            break;
        };
        let found = first.reach_mm(better) + second.reach_mm(-better);
        if mm - found < LEAST_GAIN_MM {
            break;
        }
        (mm, way) = (found, better);
    }
    (mm, way)
}
