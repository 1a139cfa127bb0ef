//! Numbers known to lie between two bounds, every rounding outwards.
//!
//! Sums and products are rounded one step outwards; sines and cosines are widened by four
//! steps, which is more than any library in use errs by. (Moore, Kearfott, Cloud,
//! Introduction to Interval Analysis, SIAM 2009.)

use std::f64::consts::{FRAC_PI_2, TAU};
use std::ops::{Add, Mul, Neg, Sub};

use crate::num::Num;

/// A number between two bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// It is not below this.
    pub lo: f64,
    /// It is not above this.
    pub hi: f64,
}

impl Interval {
    /// Between two bounds.
    pub fn new(lo: f64, hi: f64) -> Self {
        Self { lo, hi }
    }

    /// Within `r` of `mid`.
    pub fn about(mid: f64, r: f64) -> Self {
        Self { lo: (mid - r).next_down(), hi: (mid + r).next_up() }
    }

    /// The most its size can be.
    pub fn most(self) -> f64 {
        self.lo.abs().max(self.hi.abs())
    }
}

impl Add for Interval {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self { lo: (self.lo + o.lo).next_down(), hi: (self.hi + o.hi).next_up() }
    }
}

impl Sub for Interval {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self { lo: (self.lo - o.hi).next_down(), hi: (self.hi - o.lo).next_up() }
    }
}

impl Neg for Interval {
    type Output = Self;
    fn neg(self) -> Self {
        Self { lo: -self.hi, hi: -self.lo }
    }
}

impl Mul for Interval {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        // Nought times anything is nought exactly, and most of what is multiplied is.
        if (self.lo == 0.0 && self.hi == 0.0) || (o.lo == 0.0 && o.hi == 0.0) {
            return Self { lo: 0.0, hi: 0.0 };
        }
        let p = [self.lo * o.lo, self.lo * o.hi, self.hi * o.lo, self.hi * o.hi];
        let lo = p[0].min(p[1]).min(p[2].min(p[3]));
        let hi = p[0].max(p[1]).max(p[2].max(p[3]));
        Self { lo: lo.next_down(), hi: hi.next_up() }
    }
}

/// Bounds of a sine between two angles; a cosine is the sine a quarter on.
fn sine(lo: f64, hi: f64, quarter: f64) -> Interval {
    // Whether a place k turns on from `at` lies between, erring towards yes.
    let meets = |at: f64| {
        let slack = 1e-12 * (1.0 + lo.abs().max(hi.abs()));
        ((lo - at - slack) / TAU).ceil() <= ((hi - at + slack) / TAU).floor()
    };
    let of = |t: f64| if quarter == 0.0 { t.sin() } else { t.cos() };
    let (a, b) = (of(lo), of(hi));
    let out = |v: f64, up: bool| {
        let step = 4.0 * f64::EPSILON;
        if up { (v + step).min(1.0) } else { (v - step).max(-1.0) }
    };
    Interval {
        lo: if meets(-FRAC_PI_2 - quarter) { -1.0 } else { out(a.min(b), false) },
        hi: if meets(FRAC_PI_2 - quarter) { 1.0 } else { out(a.max(b), true) },
    }
}

impl Num for Interval {
    fn of(value: f64) -> Self {
        Self { lo: value, hi: value }
    }
    fn sin_cos(self) -> (Self, Self) {
        if (self.hi - self.lo).is_nan() || self.hi - self.lo >= TAU {
            let all = Self { lo: -1.0, hi: 1.0 };
            return (all, all);
        }
        (sine(self.lo, self.hi, 0.0), sine(self.lo, self.hi, FRAC_PI_2))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Whatever two numbers are taken from two intervals, what is made of them lies within.
        #[test]
        fn results_of_members_lie_within(
            a in -9.0..9.0_f64, wa in 0.0..3.0_f64, b in -9.0..9.0_f64, wb in 0.0..3.0_f64,
            u in 0.0..1.0_f64, v in 0.0..1.0_f64,
        ) {
            let (x, y) = (Interval::new(a, a + wa), Interval::new(b, b + wb));
            let (p, q) = (a + u * wa, b + v * wb);
            let holds = |i: Interval, w: f64| i.lo <= w && w <= i.hi;
            prop_assert!(holds(x + y, p + q) && holds(x - y, p - q) && holds(x * y, p * q));
            let (s, c) = x.sin_cos();
            prop_assert!(holds(s, p.sin()) && holds(c, p.cos()), "{x:?} {s:?} {c:?} {p}");
            // And no wider than twice the way the slope allows.
            prop_assert!(s.hi - s.lo <= wa + 1e-11 || s.hi - s.lo <= 2.0);
        }
    }
}
