//! Where a measure turns back and where it passes a level.

use crate::measure::{Measure, Reckoned};
use crate::model::State;
use crate::turn::Turn;

/// A measure's turning point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// The drive's angle.
    pub angle: f64,
    /// The measure there.
    pub value: f64,
    /// Whether it is greatest there, and not least.
    pub most: bool,
}

/// A measure passing a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// The drive's angle.
    pub angle: f64,
    /// Whether it grows there.
    pub rising: bool,
}

/// A measure that changes by less than this, as a share of its size and a micrometre, stands.
const STANDS: f64 = 1e-9;

/// Two places nearer than this on either side of where the turn begins are one, radians.
const SEAM: f64 = 1e-6;

/// Mends what was found of a function's roots where a closed turn begins and ends: the two
/// ends are one position but for rounding, so a root there may be found at both, or at
/// neither. `kind` tells from the function before a root which of two kinds it is.
fn seam(
    curve: &[Reckoned],
    found: &mut Vec<(Reckoned, bool)>,
    of: impl Fn(&Reckoned) -> f64,
    kind: impl Fn(f64) -> bool,
) {
    let [first, .., before, last] = curve else { return };
    let at_first = found.first().filter(|one| one.0.angle - first.angle < SEAM).map(|one| one.1);
    let at_last = found.last().filter(|one| last.angle - one.0.angle < SEAM).map(|one| one.1);
    let many = found.len();
    match (at_first, at_last) {
        (Some(a), Some(b)) if a == b && many > 1 => {
            found.pop();
        }
        (None, None) => {
            // The last may be nought itself: then the one before says whence it comes.
            let comes = if of(last) == 0.0 { of(before) } else { of(last) };
            if comes * of(first) < 0.0 {
                found.insert(0, (*first, kind(comes)));
            }
        }
        _ => {}
    }
}

impl Turn {
    /// Where a measure turns back, in the drive's order, to rounding. None where it stands.
    pub fn extremes(&self, what: &Measure) -> Vec<Extreme> {
        let curve = self.curve(what);
        self.extremes_of(what, &curve)
    }

    /// Whether a measure stands at every position.
    pub(crate) fn stands(&self, curve: &[Reckoned]) -> bool {
        let most = curve.iter().fold(f64::NEG_INFINITY, |m, r| m.max(r.value));
        let least = curve.iter().fold(f64::INFINITY, |m, r| m.min(r.value));
        most - least <= STANDS * (1.0 + most.abs())
    }

    fn extremes_of(&self, what: &Measure, curve: &[Reckoned]) -> Vec<Extreme> {
        if self.stands(curve) {
            return Vec::new();
        }
        let mut found = Vec::new();
        for pair in curve.windows(2) {
            self.turning(what, pair[0], pair[1], 6, &mut found);
        }
        if let (false, Some(last)) = (self.closed, curve.last())
            && last.first == 0.0
        {
            found.push((*last, last.second < 0.0));
        }
        found.dedup_by(|a, b| (a.0.angle - b.0.angle).abs() < 1e-9);
        if self.closed {
            seam(curve, &mut found, |r| r.first, |before| before > 0.0);
        }
        found.iter().map(|&(r, most)| Extreme { angle: r.angle, value: r.value, most }).collect()
    }

    /// Roots of the first derivative between two neighbours, both of a pair that hides there.
    fn turning(&self, what: &Measure, a: Reckoned, b: Reckoned, deep: u8, found: &mut Vec<(Reckoned, bool)>) {
        if a.first == 0.0 {
            found.push((a, a.second < 0.0));
        } else if a.first * b.first < 0.0 {
            // Greatest where it grew before: at a kink the second derivative says nothing.
            found.extend(self.root(what, a, b, |r| (r.first, r.second)).map(|r| (r, a.first > 0.0)));
        } else if deep > 0 && b.first != 0.0 {
            // The cubic through both slopes of the derivative: does it pass nought between?
            let h = b.angle - a.angle;
            let hermite = |t: f64| {
                let u = 1.0 - t;
                u * u * ((1.0 + 2.0 * t) * a.first + t * h * a.second)
                    + t * t * ((3.0 - 2.0 * t) * b.first - u * h * b.second)
            };
            let hidden = (1..8).map(|i| f64::from(i) / 8.0).find(|&t| hermite(t) * a.first < 0.0);
            if let Some(t) = hidden
                && let Some(mid) = self.reckon(a.angle + t * h, what)
            {
                self.turning(what, a, mid, deep - 1, found);
                self.turning(what, mid, b, deep - 1, found);
            }
        }
    }

    /// A root between two brackets of a function and its derivative: Newton's steps, halved
    /// where they leave the bracket.
    fn root(
        &self,
        what: &Measure,
        a: Reckoned,
        b: Reckoned,
        of: impl Fn(&Reckoned) -> (f64, f64),
    ) -> Option<Reckoned> {
        let (mut lo, mut hi) = (a.angle, b.angle);
        let falls = of(&a).0 > 0.0;
        let mut best = if of(&a).0.abs() < of(&b).0.abs() { a } else { b };
        for _ in 0..80 {
            let (f, slope) = of(&best);
            let mut next = best.angle - f / slope;
            if !(next > lo && next < hi) {
                next = 0.5 * (lo + hi);
            }
            let one = self.reckon(next, what)?;
            let f = of(&one).0;
            if (f > 0.0) == falls {
                lo = one.angle
            } else {
                hi = one.angle
            }
            let moved = (one.angle - best.angle).abs();
            best = one;
            if f == 0.0 || moved < 1e-14 * (1.0 + best.angle.abs()) || hi - lo < 1e-14 * (1.0 + hi.abs()) {
                break;
            }
        }
        Some(best)
    }

    /// Where a measure passes a level, in the drive's order, to rounding.
    pub fn crossings(&self, what: &Measure, level: f64) -> Vec<Crossing> {
        let mut curve = self.curve(what);
        let turns: Vec<Reckoned> =
            self.extremes_of(what, &curve).iter().filter_map(|e| self.reckon(e.angle, what)).collect();
        curve.extend(turns);
        curve.sort_by(|a, b| a.angle.total_cmp(&b.angle));
        let mut found = Vec::new();
        for pair in curve.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let (f, g) = (a.value - level, b.value - level);
            if f * g < 0.0 || (f == 0.0 && g != 0.0) {
                let rising = if f == 0.0 { g > 0.0 } else { f < 0.0 };
                // Touching from one side and turning back is no crossing.
                if f == 0.0 && a.first == 0.0 {
                    continue;
                }
                let at =
                    if f == 0.0 { Some(a) } else { self.root(what, a, b, |r| (r.value - level, r.first)) };
                found.extend(at.map(|r| (r, rising)));
            }
        }
        if self.closed {
            seam(&curve, &mut found, |r| r.value - level, |before| before < 0.0);
        }
        found.iter().map(|&(r, rising)| Crossing { angle: r.angle, rising }).collect()
    }

    /// The greatest and the least of a measure over the turn, with where they are; the ends of
    /// a way that does not close count too.
    pub fn range(&self, what: &Measure) -> Option<[Extreme; 2]> {
        let curve = self.curve(what);
        let mut all = self.extremes_of(what, &curve);
        if !self.closed || all.is_empty() {
            // At a lock there is a position, though no rate.
            let end = |state: &State| {
                let value = self.model.measure(state, what);
                [true, false].map(|most| Extreme { angle: state.angle, value, most })
            };
            all.extend([self.states.first()?, self.states.last()?].into_iter().flat_map(end));
        }
        let most = all.iter().copied().filter(|e| e.most).max_by(|a, b| a.value.total_cmp(&b.value))?;
        let least = all.iter().copied().filter(|e| !e.most).min_by(|a, b| a.value.total_cmp(&b.value))?;
        Some([most, least])
    }
}
