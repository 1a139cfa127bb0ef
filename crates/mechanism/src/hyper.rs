//! Numbers that carry two first derivatives and the mixed second one, exactly.
//!
//! A [`Hyper`] is `a + b·e1 + c·e2 + d·e1·e2` with `e1² = e2² = 0`. Arithmetic on it is the
//! chain rule, so a value comes out with its derivatives and without any step to choose.
//! Source: Fike and Alonso, The Development of Hyper-Dual Numbers for Exact
//! Second-Derivative Calculations, AIAA 2011-886.

use std::ops::{Add, Mul, Neg, Sub};

use crate::num::{Field, Num};

/// A value, its derivatives in two directions, and the second derivative in both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hyper {
    /// The value.
    pub a: f64,
    /// The derivative in the first direction.
    pub b: f64,
    /// The derivative in the second direction.
    pub c: f64,
    /// The derivative in the first and then the second direction.
    pub d: f64,
}

impl Hyper {
    /// A value with its derivatives.
    pub const fn new(a: f64, b: f64, c: f64, d: f64) -> Self {
        Self { a, b, c, d }
    }

    /// A function of one number, given its value and two derivatives there.
    fn chain(self, f: f64, f1: f64, f2: f64) -> Self {
        Self { a: f, b: f1 * self.b, c: f1 * self.c, d: f1 * self.d + f2 * self.b * self.c }
    }
}

impl Add for Hyper {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::new(self.a + o.a, self.b + o.b, self.c + o.c, self.d + o.d)
    }
}

impl Sub for Hyper {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::new(self.a - o.a, self.b - o.b, self.c - o.c, self.d - o.d)
    }
}

impl Neg for Hyper {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.a, -self.b, -self.c, -self.d)
    }
}

impl Mul for Hyper {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Self::new(
            self.a * o.a,
            self.a * o.b + self.b * o.a,
            self.a * o.c + self.c * o.a,
            self.a * o.d + self.b * o.c + self.c * o.b + self.d * o.a,
        )
    }
}

impl Num for Hyper {
    fn of(value: f64) -> Self {
        Self::new(value, 0.0, 0.0, 0.0)
    }
    fn sin_cos(self) -> (Self, Self) {
        let (s, c) = self.a.sin_cos();
        (self.chain(s, c, -s), self.chain(c, -s, -c))
    }
}

impl Field for Hyper {
    fn value(self) -> f64 {
        self.a
    }
    fn sqrt(self) -> Self {
        let r = self.a.sqrt();
        self.chain(r, 0.5 / r, -0.25 / (r * self.a))
    }
    fn recip(self) -> Self {
        let r = 1.0 / self.a;
        self.chain(r, -r * r, 2.0 * r * r * r)
    }
    fn atan2(self, x: Self) -> Self {
        // The gradient of the angle is (x, -y)/(x² + y²), itself written in hyper numbers:
        // the angle of the quotient about the value, whose sine is small and exact.
        let angle = self.a.atan2(x.a);
        let (s, c) = angle.sin_cos();
        let along = x * Self::of(c) + self * Self::of(s);
        let across = self * Self::of(c) - x * Self::of(s);
        let t = across * along.recip();
        // tan's inverse at t ≈ 0: value 0, slope 1, second derivative -2t/(1+t²)².
        let slope = 1.0 / (1.0 + t.a * t.a);
        t.chain(angle + t.a.atan(), slope, -2.0 * t.a * slope * slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Second derivatives by hand: f(x, y) = sqrt(x)·sin(y) + atan2(y, x) + 1/x at (2, 0.7).
    #[test]
    fn the_mixed_derivative_is_the_one_by_hand() {
        let (x, y) = (2.0_f64, 0.7_f64);
        let hx = Hyper::new(x, 1.0, 0.0, 0.0);
        let hy = Hyper::new(y, 0.0, 1.0, 0.0);
        let f = hx.sqrt() * hy.sin_cos().0 + hy.atan2(hx) + hx.recip();
        let r2 = x * x + y * y;
        assert!((f.a - (x.sqrt() * y.sin() + y.atan2(x) + 1.0 / x)).abs() < 1e-15);
        assert!((f.b - (0.5 / x.sqrt() * y.sin() - y / r2 - 1.0 / (x * x))).abs() < 1e-15);
        assert!((f.c - (x.sqrt() * y.cos() + x / r2)).abs() < 1e-15);
        assert!((f.d - (0.5 / x.sqrt() * y.cos() + (y * y - x * x) / (r2 * r2))).abs() < 1e-15);
    }

    #[test]
    fn a_second_derivative_in_one_direction_is_both_directions_alike() {
        let x = Hyper::new(0.3, 1.0, 1.0, 0.0);
        assert!((x.sin_cos().0.d + 0.3_f64.sin()).abs() < 1e-15);
        assert!((x.recip().d - 2.0 / 0.3_f64.powi(3)).abs() < 1e-12);
    }
}
