//! Places in space, and lengths along a line.

use std::ops::{Add, Neg, Sub};

use crate::measure::Length;

/// A place in space, or the way from one place to another.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spot {
    /// To the right, in millimetres.
    pub x_mm: f64,
    /// Up the sheet, in millimetres.
    pub y_mm: f64,
    /// Out of the sheet, in millimetres.
    pub z_mm: f64,
}

impl Spot {
    /// X, Y and Z nought.
    pub const ORIGIN: Self = Self::new(0.0, 0.0, 0.0);
    /// One to the right.
    pub const X: Self = Self::new(1.0, 0.0, 0.0);
    /// One up the sheet.
    pub const Y: Self = Self::new(0.0, 1.0, 0.0);
    /// One out of the sheet.
    pub const Z: Self = Self::new(0.0, 0.0, 1.0);

    /// A place from millimetres.
    pub const fn new(x_mm: f64, y_mm: f64, z_mm: f64) -> Self {
        Self { x_mm, y_mm, z_mm }
    }

    /// A place from exact lengths.
    pub fn at(x: Length, y: Length, z: Length) -> Self {
        Self::new(x.as_mm(), y.as_mm(), z.as_mm())
    }

    /// The dot product.
    pub fn dot(self, other: Self) -> f64 {
        self.x_mm * other.x_mm + self.y_mm * other.y_mm + self.z_mm * other.z_mm
    }

    /// The cross product.
    #[must_use]
    pub fn cross(self, other: Self) -> Self {
        Self::new(
            self.y_mm * other.z_mm - self.z_mm * other.y_mm,
            self.z_mm * other.x_mm - self.x_mm * other.z_mm,
            self.x_mm * other.y_mm - self.y_mm * other.x_mm,
        )
    }

    /// The length of this as a way, in millimetres.
    pub fn norm_mm(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// How far off another place is, in millimetres.
    pub fn distance_mm(self, other: Self) -> f64 {
        (other - self).norm_mm()
    }

    /// This way, `times` as long.
    #[must_use]
    pub fn times(self, times: f64) -> Self {
        Self::new(self.x_mm * times, self.y_mm * times, self.z_mm * times)
    }

    /// The way of length one in this direction; none where it has no length.
    pub fn unit(self) -> Option<Self> {
        let norm = self.norm_mm();
        (norm > 0.0).then(|| self.times(1.0 / norm))
    }

    /// The place half-way to another.
    #[must_use]
    pub fn midway(self, other: Self) -> Self {
        (self + other).times(0.5)
    }
}

impl Add for Spot {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x_mm + other.x_mm, self.y_mm + other.y_mm, self.z_mm + other.z_mm)
    }
}

impl Sub for Spot {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x_mm - other.x_mm, self.y_mm - other.y_mm, self.z_mm - other.z_mm)
    }
}

impl Neg for Spot {
    type Output = Self;
    fn neg(self) -> Self {
        self.times(-1.0)
    }
}

/// A stretch of a line, from the lesser to the greater.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Where it begins.
    pub from: f64,
    /// Where it ends, beyond where it begins.
    pub to: f64,
}

impl Span {
    /// The whole line.
    pub const ALL: Self = Self { from: f64::NEG_INFINITY, to: f64::INFINITY };

    /// A stretch, where there is any.
    pub fn new(from: f64, to: f64) -> Option<Self> {
        (from < to).then_some(Self { from, to })
    }

    /// What two stretches share.
    pub fn shared(self, other: Self) -> Option<Self> {
        Self::new(self.from.max(other.from), self.to.min(other.to))
    }

    /// What is left of it on both sides of another.
    pub fn without(self, other: Self) -> impl Iterator<Item = Self> {
        let before = Self::new(self.from, other.from.min(self.to));
        before.into_iter().chain(Self::new(other.to.max(self.from), self.to))
    }

    /// The least stretch that holds both.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        Self { from: self.from.min(other.from), to: self.to.max(other.to) }
    }

    /// Where `start + t way` lies between two bounds.
    pub fn where_between(start: f64, way: f64, low: f64, high: f64) -> Option<Self> {
        if way == 0.0 {
            return (low <= start && start <= high).then_some(Self::ALL);
        }
        let (a, b) = ((low - start) / way, (high - start) / way);
        Self::new(a.min(b), a.max(b))
    }

    /// Where a quadratic `a t² + b t + c`, a not negative, is not above nought.
    pub fn where_not_above(a: f64, b: f64, c: f64) -> Option<Self> {
        if a == 0.0 {
            return (c <= 0.0).then_some(Self::ALL);
        }
        let under = b * b - 4.0 * a * c;
        if under <= 0.0 {
            return None;
        }
        // The root that does not cancel first, the other from the product of both.
        let far = -0.5 * (b + under.sqrt().copysign(b));
        let (one, other) = (far / a, if far == 0.0 { 0.0 } else { c / far });
        Self::new(one.min(other), one.max(other))
    }
}
