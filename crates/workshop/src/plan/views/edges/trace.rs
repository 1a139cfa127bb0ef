//! Following the side of a piece to where it comes out of the metal round it: the
//! mouth of a hole on a flat or round face, the edge of a plate at a step.

use std::f64::consts::FRAC_PI_2;

use super::super::region::{Region, heading, shares_at};
use super::super::solid::{HAIR_MM, Piece, Solid, plane, raised};
use crate::geometry::{SAME_POINT_MM, Segment};

/// Where the side of a piece comes out of the metal round it.
pub(super) struct Traced {
    /// At one height for a while.
    pub levels: Vec<f64>,
    /// Rising and falling: shares of the way, each with its height.
    pub rising: Vec<Vec<(f64, f64)>>,
}

/// Follows the side of a piece over one line of its plan.
pub(super) fn trace(
    solid: &Solid<&Piece>,
    piece: &Piece,
    region: &Region,
    plan: &Segment,
    near: &[&Piece],
    is_metal: bool,
) -> Traced {
    /// How finely a slanting or round mouth is followed: shares of a line or quarter.
    const FINE: f64 = 1.0 / 16.0;
    /// What still changes between neighbours so close jumps from face to face.
    const FINEST: f64 = 1e-4;
    let axis = piece.axis;
    let middle = plan.along(0.5);
    let left = |share: f64| heading(plan, share).rotated(FRAC_PI_2).times(HAIR_MM);
    let inwards = region.contains(middle + left(0.5));
    let side = if inwards == is_metal { 1.0 } else { -1.0 };
    let heights = |share: f64| -> Vec<f64> {
        let at = plan.along(share) + left(share).times(side);
        solid
            .stretches(raised(at, axis, 0.0), axis)
            .into_iter()
            .flatten()
            .filter(|h| *h > piece.from_mm - HAIR_MM && *h < piece.to_mm + HAIR_MM)
            .collect()
    };
    let mut shares = vec![1e-4, 0.25, 0.5, 0.75, 1.0 - 1e-4];
    for other in near {
        for (upwards, of) in [(false, plane(axis)[0]), (true, plane(axis)[1])] {
            let [low, high] = [other.least, other.most].map(|spot| spot[of as usize]);
            for value in [low + HAIR_MM * 2.0, (low + high) / 2.0, high - HAIR_MM * 2.0] {
                shares.extend(shares_at(plan, value, upwards).into_iter().filter(|s| *s > 0.0 && *s < 1.0));
            }
        }
    }
    shares.sort_by(f64::total_cmp);
    shares.dedup_by(|a, b| *a - *b < 1e-7);
    let mut samples: Vec<(f64, Vec<f64>)> = shares.into_iter().map(|s| (s, heights(s))).collect();
    let same = |a: f64, b: f64| (a - b).abs() < SAME_POINT_MM;
    let mut n = 0;
    while n + 1 < samples.len() {
        let (a, b) = (&samples[n], &samples[n + 1]);
        let alike = a.1.len() == b.1.len() && a.1.iter().zip(&b.1).all(|(x, y)| same(*x, *y));
        if alike || b.0 - a.0 <= FINEST {
            n += 1;
            continue;
        }
        let share = (a.0 + b.0) / 2.0;
        let between = heights(share);
        let steady = a.1.len() == b.1.len() && between.len() == b.1.len() && {
            let even = |k: usize| {
                let (x, y) = (a.1[k], b.1[k]);
                (between[k] - (x + y) / 2.0).abs() <= 0.3 * (x - y).abs() + SAME_POINT_MM
            };
            (0..between.len()).all(even)
        };
        let step = b.0 - a.0;
        samples.insert(n + 1, (share, between));
        if steady && step <= FINE {
            n += 2;
        }
    }
    let mut traced = Traced { levels: Vec::new(), rising: Vec::new() };
    let mut open: Vec<Option<Vec<(f64, f64)>>> = Vec::new();
    for pair in samples.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        if a.1.len() != b.1.len() {
            traced.rising.extend(open.drain(..).flatten());
            traced.levels.extend(a.1.iter().filter(|x| b.1.iter().any(|y| same(**x, *y))));
            continue;
        }
        open.resize(a.1.len(), None);
        for (k, (x, y)) in a.1.iter().zip(&b.1).enumerate() {
            if same(*x, *y) {
                traced.levels.push(*x);
                traced.rising.extend(open[k].take());
            } else if b.0 - a.0 <= FINEST {
                traced.rising.extend(open[k].take());
            } else {
                open[k].get_or_insert_with(|| vec![(a.0, *x)]).push((b.0, *y));
            }
        }
    }
    traced.rising.extend(open.into_iter().flatten());
    traced
}
