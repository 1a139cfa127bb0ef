//! The numbers the equations are written in.
//!
//! Every equation of a mechanism is written once, over [`Num`]. With `f64` it gives
//! positions, with [`crate::hyper::Hyper`] exact derivatives, with
//! [`crate::interval::Interval`] bounds that hold over a stretch of the turn, and with
//! [`crate::swept::Swept`] bounds of rates besides.

use std::fmt::Debug;
use std::ops::{Add, Mul, Neg, Sub};

/// A number that can be added, multiplied and turned into a sine and cosine.
pub trait Num:
    Copy + Debug + Add<Output = Self> + Sub<Output = Self> + Mul<Output = Self> + Neg<Output = Self>
{
    /// The plain number.
    fn of(value: f64) -> Self;
    /// The sine and cosine of an angle in radians.
    fn sin_cos(self) -> (Self, Self);
}

/// A number with roots, quotients and angles besides.
pub trait Field: Num {
    /// The plain number it stands for.
    fn value(self) -> f64;
    /// The square root; of a number above nought.
    fn sqrt(self) -> Self;
    /// One over the number.
    fn recip(self) -> Self;
    /// The angle of the direction `(x, self)` in radians, from -π to π.
    fn atan2(self, x: Self) -> Self;
    /// Its size without its sign.
    fn abs(self) -> Self {
        if self.value() < 0.0 { -self } else { self }
    }
}

impl Num for f64 {
    fn of(value: f64) -> Self {
        value
    }
    fn sin_cos(self) -> (Self, Self) {
        f64::sin_cos(self)
    }
}

impl Field for f64 {
    fn value(self) -> f64 {
        self
    }
    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }
    fn recip(self) -> Self {
        f64::recip(self)
    }
    fn atan2(self, x: Self) -> Self {
        f64::atan2(self, x)
    }
}
