//! How deep two overlapping convex solids lie in each other.
//!
//! Moved along a direction, one comes clear of the other after as far as the first
//! reaches that way and the second reaches back. The least of that over all
//! directions is the depth. It has several valleys: the search begins from the
//! directions of faces and axes and from a ring of others, and walks down from the
//! best of them.

use super::{Convex, Frame, Gap, Spot};

/// From how many beginnings the search walks down.
const WALKS: usize = 6;

/// The least step of a walk, in radians: a nanometre in a metre.
const LEAST_STEP_RAD: f64 = 1e-9;

/// The depth of an overlap as a gap less than nought.
pub(super) fn depth(first: &Convex, second: &Convex) -> Gap {
    let clear_mm = |way: Spot| first.reach_mm(way) + second.reach_mm(-way);
    let (a, b) = (first.ways(), second.ways());
    let mut begin: Vec<Spot> = a.iter().chain(&b).copied().collect();
    begin.extend(a.iter().flat_map(|p| b.iter().filter_map(|q| p.cross(*q).unit())));
    let middles = first.middle()[0].midway(first.middle()[1]) - second.middle()[0].midway(second.middle()[1]);
    begin.extend(middles.unit());
    for x in -1..=1 {
        for y in -1..=1 {
            for z in -1..=1 {
                begin.extend(Spot::new(f64::from(x), f64::from(y), f64::from(z)).unit());
            }
        }
    }
    let mut ways: Vec<(f64, Spot)> =
        begin.iter().flat_map(|&way| [way, -way]).map(|way| (clear_mm(way), way)).collect();
    ways.sort_by(|p, q| p.0.total_cmp(&q.0));
    let (least_mm, way) = ways
        .into_iter()
        .take(WALKS)
        .map(|(mm, way)| down(&clear_mm, mm, way))
        .min_by(|p, q| p.0.total_cmp(&q.0))
        .expect("there are always the three axes to begin from");
    Gap { apart_mm: -least_mm.max(0.0), on_first: first.furthest(way), on_second: second.furthest(-way) }
}

/// Walks to where no neighbouring direction is less.
fn down(clear_mm: &impl Fn(Spot) -> f64, mut mm: f64, mut way: Spot) -> (f64, Spot) {
    let mut step_rad = 0.2;
    while step_rad > LEAST_STEP_RAD {
        let frame = Frame::about(Spot::ORIGIN, way);
        let better = (0..8)
            .filter_map(|eighth| {
                let turn = f64::from(eighth) * std::f64::consts::FRAC_PI_4;
                let (sin, cos) = turn.sin_cos();
                let near = (way + frame.u.times(cos * step_rad) + frame.v.times(sin * step_rad)).unit()?;
                Some((clear_mm(near), near))
            })
            .min_by(|p, q| p.0.total_cmp(&q.0))
            .filter(|(found, _)| *found < mm);
        match better {
            Some(found) => (mm, way) = found,
            None => step_rad /= 2.0,
        }
    }
    (mm, way)
}
