//! The least distance between two convex solids, and where it is.
//!
//! Source: E. G. Gilbert, D. W. Johnson and S. S. Keerthi, "A fast procedure for
//! computing the distance between complex objects in three-dimensional space",
//! IEEE Journal of Robotics and Automation 4 (1988), 193-203. Each round gives the
//! distance from above and from below, and the search ends when the two agree.

use super::depth::depth;
use super::simplex::{Corner, Origin, Simplex};
use super::{Convex, Spot};

/// The search ends when the distance is known this closely, in millimetres.
const KNOWN_MM: f64 = 1e-10;

/// Solids nearer than this touch; how deep they then lie in each other is another search.
const TOUCH_MM: f64 = 1e-9;

/// Rounds after which the best found is given: many times what any pair has needed.
const MOST_ROUNDS: usize = 200;

/// What is left between two solids.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The least distance in millimetres; negative where they overlap: how far one
    /// must move to come clear of the other.
    pub apart_mm: f64,
    /// Where on the first.
    pub on_first: Spot,
    /// Where on the second.
    pub on_second: Spot,
}

impl Gap {
    /// Seen from the other solid.
    #[must_use]
    pub const fn turned(self) -> Self {
        Self { apart_mm: self.apart_mm, on_first: self.on_second, on_second: self.on_first }
    }

    /// The lesser of two.
    #[must_use]
    pub fn lesser(self, other: Self) -> Self {
        if other.apart_mm < self.apart_mm { other } else { self }
    }
}

/// The least distance between two convex solids.
pub fn between(first: &Convex, second: &Convex) -> Gap {
    apart(first, second).unwrap_or_else(|| depth(first, second))
}

/// The distance between two that lie apart; none where they touch or overlap.
pub fn apart(first: &Convex, second: &Convex) -> Option<Gap> {
    let corner = |way: Spot| {
        let (on_first, on_second) = (first.furthest(-way), second.furthest(way));
        Corner { at: on_first - on_second, on_first, on_second }
    };
    let begin = first.middle()[0] - second.middle()[0];
    let begin = if begin.norm_mm() > 0.0 { begin } else { Spot::X };
    let mut simplex = Simplex::at(corner(begin));
    let mut nearest = simplex.nearest();
    let mut origin = Origin::Anywhere;
    for _ in 0..MOST_ROUNDS {
        let apart_mm = nearest.norm_mm();
        if apart_mm <= TOUCH_MM {
            return None;
        }
        let next = corner(nearest);
        // No place of the difference lies nearer than the plane through this corner.
        let least_mm = next.at.dot(nearest) / apart_mm;
        if apart_mm - least_mm <= KNOWN_MM {
            break;
        }
        if least_mm > 0.0 {
            origin = Origin::Outside;
        }
        let with = simplex.with(next, origin)?;
        let nearer = with.nearest();
        if nearer.norm_mm() >= apart_mm {
            // As near as the numbers can tell.
            break;
        }
        (simplex, nearest) = (with, nearer);
    }
    Some(Gap {
        apart_mm: nearest.norm_mm(),
        on_first: simplex.sum(|corner| corner.on_first),
        on_second: simplex.sum(|corner| corner.on_second),
    })
}
