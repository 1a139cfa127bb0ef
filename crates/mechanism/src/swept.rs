//! A number between bounds with the bounds of its rate: what a measure is, and how fast it
//! changes, anywhere on a stretch of the turn.

use std::f64::consts::PI;
use std::ops::{Add, Mul, Neg, Sub};

use crate::interval::Interval;
use crate::num::{Field, Num};

/// Bounds of a value over a stretch, and bounds of its rate there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swept {
    /// The value.
    pub v: Interval,
    /// Its rate, for one unit of the drive.
    pub d: Interval,
}

const NOWHERE: Interval = Interval { lo: f64::NEG_INFINITY, hi: f64::INFINITY };

impl Swept {
    /// A value with its rate.
    pub const fn new(v: Interval, d: Interval) -> Self {
        Self { v, d }
    }
}

impl Interval {
    /// The bounds of both.
    fn hull(self, o: Self) -> Self {
        Self { lo: self.lo.min(o.lo), hi: self.hi.max(o.hi) }
    }

    fn over(self) -> Self {
        if self.lo <= 0.0 && self.hi >= 0.0 || self.lo.is_nan() || self.hi.is_nan() {
            return NOWHERE;
        }
        Self { lo: (1.0 / self.hi).next_down(), hi: (1.0 / self.lo).next_up() }
    }

    /// The square, which is never below nought.
    fn square(self) -> Self {
        let twice = self * self;
        if self.lo < 0.0 && self.hi > 0.0 { Self { lo: 0.0, hi: twice.hi } } else { twice }
    }
}

impl Add for Swept {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.v + o.v, self.d + o.d)
    }
}

impl Sub for Swept {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::new(self.v - o.v, self.d - o.d)
    }
}

impl Neg for Swept {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.v, -self.d)
    }
}

impl Mul for Swept {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Self::new(self.v * o.v, self.d * o.v + self.v * o.d)
    }
}

impl Num for Swept {
    fn of(value: f64) -> Self {
        Self::new(Interval::of(value), Interval::of(0.0))
    }
    fn sin_cos(self) -> (Self, Self) {
        let (s, c) = self.v.sin_cos();
        (Self::new(s, c * self.d), Self::new(c, -s * self.d))
    }
}

impl Field for Swept {
    fn value(self) -> f64 {
        0.5 * (self.v.lo + self.v.hi)
    }
    fn sqrt(self) -> Self {
        let (lo, hi) = (self.v.lo.max(0.0).sqrt().next_down().max(0.0), self.v.hi.max(0.0).sqrt().next_up());
        let root = Interval::new(lo, hi);
        Self::new(root, self.d * Interval::of(0.5) * root.over())
    }
    fn recip(self) -> Self {
        let one = self.v.over();
        Self::new(one, -self.d * one * one)
    }
    fn atan2(self, x: Self) -> Self {
        // About the middle's own angle, turned so that the quotient is small.
        let middle = self.value().atan2(x.value());
        let (s, c) = middle.sin_cos();
        let along = x * Self::of(c) + self * Self::of(s);
        let across = self * Self::of(c) - x * Self::of(s);
        if along.v.lo.is_nan() || along.v.lo <= 0.0 {
            // It might point anywhere.
            return Self::new(Interval::new(-PI.next_up(), PI.next_up()), NOWHERE);
        }
        let t = across * along.recip();
        let angle = |t: f64, up: f64| middle + t.atan() + up * 4.0 * f64::EPSILON * (1.0 + middle.abs());
        let slope = (Interval::of(1.0) + t.v.square()).over();
        Self::new(Interval::new(angle(t.v.lo, -1.0), angle(t.v.hi, 1.0)), slope * t.d)
    }
    fn abs(self) -> Self {
        if self.v.lo >= 0.0 {
            self
        } else if self.v.hi <= 0.0 {
            -self
        } else {
            let v = Interval::new(0.0, self.v.most());
            Self::new(v, self.d.hull(-self.d))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hyper::Hyper;
    use proptest::prelude::*;

    /// The same sum of everything in any kind of number.
    fn made<S: Field>(x: S, y: S) -> S {
        let (s, c) = x.sin_cos();
        let far = (x * x + y * y + S::of(1.0)).sqrt();
        (s * y).atan2(c + S::of(1.5)) * far.recip() + (y - x).abs() * S::of(0.3)
    }

    proptest! {
        /// Whatever the angle on a stretch, value and rate by hyper-dual numbers lie within.
        #[test]
        fn values_and_rates_of_members_lie_within(
            a in -4.0..4.0_f64, b in -4.0..4.0_f64, da in -2.0..2.0_f64, db in -2.0..2.0_f64,
            half in 1e-6..0.2_f64, at in -1.0..1.0_f64,
        ) {
            let on = |v: f64, d: f64| Swept::new(
                Interval::about(v, half * d.abs()), Interval::about(d, 1e-12),
            );
            let all = made(on(a, da), on(b, db));
            let t = at * half;
            let one = made(Hyper::new(a + t * da, da, 0.0, 0.0), Hyper::new(b + t * db, db, 0.0, 0.0));
            let slack = 1e-12;
            prop_assert!(all.v.lo - slack <= one.a && one.a <= all.v.hi + slack, "{all:?} {one:?}");
            prop_assert!(all.d.lo - slack <= one.b && one.b <= all.d.hi + slack, "{all:?} {one:?}");
        }
    }
}
