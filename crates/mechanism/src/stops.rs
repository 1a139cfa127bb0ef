//! Where a mechanism followed round stops, and where two ways part, to rounding.

use crate::closed::TOUCH;
use crate::linear::{lu, lu_sign};
use crate::model::{Model, State};
use crate::plan::Way;
use crate::turn::{Event, JUMP, NEAR_LINE};

impl Model {
    /// The determinant of a block's equations, lengths brought to the mechanism's reach.
    pub(crate) fn determinant(&self, k: usize, state: &State) -> f64 {
        let n = 3 * self.blocks[k].links.len();
        let mut column = vec![usize::MAX; self.of.links.len()];
        self.blocks[k].links.iter().enumerate().for_each(|(i, &link)| column[link] = 3 * i);
        let (mut a, mut b, mut swap) = (vec![0.0; n * n], vec![0.0; n], vec![0; n]);
        self.fill(k, state, &column, &mut a, &mut b);
        for line in a.chunks_exact_mut(n) {
            line.iter_mut().skip(2).step_by(3).for_each(|v| *v /= self.reach);
        }
        match lu(&mut a, n, &mut swap) {
            Some(_) => (0..n).map(|i| a[i * n + i].abs()).product::<f64>() * lu_sign(&a, n, &swap),
            None => 0.0,
        }
    }

    /// The block whose determinant changed its sign.
    pub(crate) fn turned_over(&self, a: &State, b: &State) -> Option<usize> {
        (0..self.blocks.len())
            .find(|&k| matches!(self.blocks[k].way, Way::Newton) && a.room[k] * b.room[k] < 0.0)
    }

    /// The angle beyond which the links do not reach, between a position and an angle that is
    /// none, by halving.
    pub(crate) fn lock(&self, good: &State, bad: f64, block: usize) -> (Event, State) {
        let (mut state, mut lo, mut hi) = (good.clone(), good.angle, bad);
        let mut share = 0.5;
        for _ in 0..300 {
            let next = lo + share * (hi - lo);
            if next == lo || next == hi {
                break;
            }
            let mut one = state.clone();
            Self::stand(&mut one);
            let reached = self.go(&mut one, next).is_ok();
            let near = one.poses.iter().zip(&state.poses).all(|(p, q)| {
                (p.x - q.x).hypot(p.y - q.y) < 5.0 * JUMP * self.reach && (p.t - q.t).abs() < 5.0 * JUMP
            });
            if reached
                && (near
                    || matches!(
                        self.blocks[block].way,
                        Way::Dyad { .. } | Way::Swing { .. } | Way::Slide { .. }
                    ))
            {
                (state, lo) = (one, next);
                share = (2.0_f64 * share).min(0.5);
            } else if reached && share > 1e-3 {
                // Too far at once to be sure that it is the same way on.
                share *= 0.25;
            } else {
                hi = next;
                share = 0.5;
            }
        }
        (Event::Lock { angle: 0.5 * (lo + hi), links: self.names(block) }, state)
    }

    /// A pair of links that came into line at or about the middle of three positions.
    pub(crate) fn in_line(&self, a: &State, b: &State, c: &State) -> Option<(usize, Event)> {
        for (k, block) in self.blocks.iter().enumerate() {
            if matches!(block.way, Way::Spin { .. } | Way::Newton | Way::Least) {
                continue;
            }
            let (ra, rb, rc) = (a.room[k], b.room[k], c.room[k]);
            if !(rb <= ra && rb < rc && rb < NEAR_LINE * NEAR_LINE) {
                continue;
            }
            let room = |angle: f64| {
                let mut one = b.clone();
                // Below nought too: how far the links fall short.
                let _ = self.go(&mut one, angle);
                one.room[k]
            };
            // The least room by golden section: it is smooth and turns once in between.
            let (mut lo, mut hi) = (a.angle, c.angle);
            const GOLD: f64 = 0.381_966_011_250_105;
            let (mut p, mut q) = (lo + GOLD * (hi - lo), hi - GOLD * (hi - lo));
            let (mut rp, mut rq) = (room(p), room(q));
            for _ in 0..60 {
                if rp < rq {
                    (hi, q, rq) = (q, p, rp);
                    p = lo + GOLD * (hi - lo);
                    rp = room(p);
                } else {
                    (lo, p, rp) = (p, q, rq);
                    q = hi - GOLD * (hi - lo);
                    rq = room(q);
                }
            }
            let (at, least) = if rp < rq { (p, rp) } else { (q, rq) };
            let links = self.names(k);
            if least < -TOUCH.max(1e-13) {
                let (mut good, mut bad) = (a.angle, at);
                for _ in 0..80 {
                    let mid = 0.5 * (good + bad);
                    if room(mid) >= 0.0 { good = mid } else { bad = mid }
                }
                return Some((k, Event::Lock { angle: good, links }));
            }
            if least < 1e-12 {
                // The sine itself passes nought evenly: from either side to where it would.
                let near = 1e-5 * (c.angle - a.angle).signum();
                let (s, t) = (room(at - near).max(0.0).sqrt(), room(at + near).max(0.0).sqrt());
                let angle = if s + t > 0.0 { at + near * (s - t) / (s + t) } else { at };
                return Some((k, Event::Change { angle, links }));
            }
        }
        None
    }
}
