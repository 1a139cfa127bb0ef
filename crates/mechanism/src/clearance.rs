//! How near two moving outlines come over the whole turn, proven and not only sampled.
//!
//! The turn is cut into stretches. On each, where every link can be is bounded: along the
//! tangent of its motion, within a box that Krawczyk's test proves to hold the only position
//! at each angle (Moore, Kearfott, Cloud, Introduction to Interval Analysis, SIAM 2009,
//! chapter 8). So no point of either outline goes further from where it is in the middle of
//! the stretch than a known amount, and the distance there less both amounts is a lower
//! bound. Stretches whose bound lies below the best distance found are halved until the two
//! agree within what is asked.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::derive::{Motion, Rates};
use crate::fault::Fault;
use crate::interval::Interval;
use crate::model::State;
use crate::outline::{Outline, Piece, inside};
use crate::proven::joined;
use crate::rows::Pose;
use crate::sized::Sized;
use crate::stretch::{Boxes, Stretch as Proof};
use crate::turn::Turn;

/// How near two outlines come.
#[derive(Clone, Debug, PartialEq)]
pub struct Clearance {
    /// The least distance found, millimetres; nought where they touch or overlap.
    pub least: f64,
    /// The drive's angle there.
    pub at: f64,
    /// No distance on the proven part of the turn is less than this.
    pub proven: f64,
    /// Stretches too near a position in line for the proof, on which only the ends and the
    /// middle were looked at.
    pub unproven: Vec<[f64; 2]>,
    /// How many stretches were looked at.
    pub stretches: usize,
}

/// Stretches looked at before the bound is told as it stands.
const MOST: usize = 100_000;
/// A stretch narrower than this that cannot be proven is let be, radians.
const NARROW: f64 = 1e-6;

struct Stretch {
    bound: f64,
    from: f64,
    to: f64,
}

impl PartialEq for Stretch {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Stretch {}
impl PartialOrd for Stretch {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Stretch {
    /// The lowest bound comes first out of a heap.
    fn cmp(&self, other: &Self) -> Ordering {
        other.bound.total_cmp(&self.bound).then(other.from.total_cmp(&self.from))
    }
}

impl Turn {
    /// How near two outlines come over the turn, to within `close` millimetres.
    ///
    /// # Errors
    ///
    /// Where an outline has no pieces, hangs on a link that is not there, or both hang on one.
    pub fn clearance(&self, a: &Outline, b: &Outline, close: f64) -> Result<Clearance, Fault> {
        for outline in [a, b] {
            let there = outline.link.0 < self.model.of.links.len();
            if !there || outline.pieces.is_empty() || outline.fat.is_nan() || outline.fat < 0.0 {
                return Err(Fault::new(
                    format!("{} is no outline", outline.name),
                    vec![outline.name.clone()],
                    "it has no pieces, no width, or hangs on no link of the mechanism",
                    "give lines or arcs of a link",
                ));
            }
        }
        if a.link == b.link || close.is_nan() || close <= 0.0 {
            return Err(Fault::new(
                format!("{} and {} cannot be held against each other", a.name, b.name),
                vec![a.name.clone(), b.name.clone()],
                "two links are needed, and a distance above nought to which it is to be known",
                "name outlines of two links",
            ));
        }
        let mut best = (f64::INFINITY, self.states[0].angle);
        let see = |best: &mut (f64, f64), state: &State| {
            let d = distance(a, b, state);
            if d < best.0 {
                *best = (d, state.angle);
            }
        };
        self.states.iter().for_each(|state| see(&mut best, state));
        // Metal wholly within metal never touches its edge: asked once, since to get out it
        // would have to touch.
        if swallowed(a, b, &self.states[0]) {
            best = (0.0, self.states[0].angle);
        }
        let lifted: Sized<Interval> = self.model.by.lift();
        let mut heap = BinaryHeap::new();
        for pair in self.states.windows(2) {
            heap.push(Stretch { bound: f64::NEG_INFINITY, from: pair[0].angle, to: pair[1].angle });
        }
        let mut unproven: Vec<[f64; 2]> = Vec::new();
        let mut stretches = 0;
        let mut proven = f64::INFINITY;
        while let Some(worst) = heap.pop() {
            if worst.bound >= best.0 - close || best.0 == 0.0 || stretches >= MOST {
                proven = worst.bound;
                break;
            }
            stretches += 1;
            let mid = 0.5 * (worst.from + worst.to);
            let half = 0.5 * (worst.to - worst.from);
            let mut bound = f64::NEG_INFINITY;
            if let Some(state) = self.at(mid) {
                see(&mut best, &state);
                if let Some(motion) = self.model.motion(&state)
                    && let Some(proof) = Proof::about(&self.model, &state, &motion, half, &lifted)
                {
                    bound = lower(a, b, &state, &motion, &proof.boxes, half);
                }
            }
            if bound >= best.0 - close {
                heap.push(Stretch { bound, ..worst });
            } else if half < NARROW && bound == f64::NEG_INFINITY {
                unproven.push([worst.from, worst.to]);
            } else {
                // A half is no worse than the whole.
                heap.push(Stretch { bound, from: worst.from, to: mid });
                heap.push(Stretch { bound, from: mid, to: worst.to });
            }
        }
        let proven = proven.max(0.0).min(best.0);
        Ok(Clearance { least: best.0, at: best.1, proven, unproven: joined(unproven), stretches })
    }
}

fn distance(a: &Outline, b: &Outline, state: &State) -> f64 {
    let other: Vec<_> = b.pieces.iter().map(|p| p.placed(&state.poses[b.link.0])).collect();
    let mut least = f64::INFINITY;
    for piece in &a.pieces {
        let piece = piece.placed(&state.poses[a.link.0]);
        let (c, r) = piece.around();
        for q in &other {
            let (d, s) = q.around();
            if (c[0] - d[0]).hypot(c[1] - d[1]) - r - s < least {
                least = least.min(piece.apart(q));
            }
        }
    }
    (least - a.fat - b.fat).max(0.0)
}

/// Whether one outline lies within the other's metal.
fn swallowed(a: &Outline, b: &Outline, state: &State) -> bool {
    let within = |inner: &Outline, outer: &Outline| {
        let pieces: Vec<_> = outer.pieces.iter().map(|p| p.placed(&state.poses[outer.link.0])).collect();
        let first = inner.pieces[0].placed(&state.poses[inner.link.0]);
        let place = match first {
            Piece::Line { from, .. } => from,
            Piece::Arc { centre, radius, from, .. } => {
                [centre[0] + radius * from.cos(), centre[1] + radius * from.sin()]
            }
        };
        outer.solid && inside(&pieces, place)
    };
    within(a, b) || within(b, a)
}

/// A bound below every distance over the stretch: for each two pieces, their distance in the
/// middle less how far each can go. Both may be moved alike without changing it, so only
/// what they do against each other counts, about the middle of the one that turns faster.
fn lower(a: &Outline, b: &Outline, state: &State, motion: &Motion, boxes: &Boxes, half: f64) -> f64 {
    let of = |o: &Outline| {
        let (l, m) = (o.link.0, &motion.first[o.link.0]);
        (state.poses[l], *m, if l == 0 { [0.0; 3] } else { boxes[l] })
    };
    let ((pa, ma, ra), (pb, mb, rb)) = (of(a), of(b));
    // How fast a link carries whatever of it stands at a place.
    let speed =
        |p: &Pose<f64>, m: &Rates, c: [f64; 2]| [m[0] - m[2] * (c[1] - p.y), m[1] + m[2] * (c[0] - p.x)];
    // What a link's points within `round` of a place do beyond the place's own even motion.
    let beyond = |p: &Pose<f64>, m: &Rates, r: &Rates, c: [f64; 2], round: f64| {
        let arm = (c[0] - p.x).hypot(c[1] - p.y) + round;
        let turn = m[2].abs() * half + r[2];
        round * m[2].abs() * half + r[0].hypot(r[1]) + arm * r[2] + 0.5 * arm * turn * turn
    };
    let mut least = f64::INFINITY;
    for piece in &a.pieces {
        let p = piece.placed(&pa);
        let (ca, sa) = p.around();
        for other in &b.pieces {
            let q = other.placed(&pb);
            let (cb, sb) = q.around();
            let c = if ma[2].abs() > mb[2].abs() { ca } else { cb };
            let (va, vb) = (speed(&pa, &ma, c), speed(&pb, &mb, c));
            let against = (va[0] - vb[0]).hypot(va[1] - vb[1]) * half;
            let far = |d: [f64; 2], s: f64| (d[0] - c[0]).hypot(d[1] - c[1]) + s;
            let goes =
                against + beyond(&pa, &ma, &ra, c, far(ca, sa)) + beyond(&pb, &mb, &rb, c, far(cb, sb));
            // A billionth more for the roundings of all this.
            let bound = (p.apart(&q) - a.fat - b.fat)
                - goes * (1.0 + 1e-9)
                - 1e-11 * (1.0 + far(ca, sa) + far(cb, sb));
            least = least.min(bound);
        }
    }
    least
}
