//! Points and whole circles.

use std::ops::{Add, Sub};

use crate::measure::Length;

/// A place in the plane, or the way from one place to another.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// To the right, in millimetres.
    pub x_mm: f64,
    /// Away from the person at the machine, in millimetres.
    pub y_mm: f64,
}

impl Point {
    /// The point X nought, Y nought.
    pub const ORIGIN: Self = Self { x_mm: 0.0, y_mm: 0.0 };

    /// A point from millimetres.
    pub const fn new(x_mm: f64, y_mm: f64) -> Self {
        Self { x_mm, y_mm }
    }

    /// A point from exact lengths.
    pub fn at(x: Length, y: Length) -> Self {
        Self { x_mm: x.as_mm(), y_mm: y.as_mm() }
    }

    /// The point `radius_mm` from here in the direction `rad`.
    #[must_use]
    pub fn polar(self, radius_mm: f64, rad: f64) -> Self {
        Self { x_mm: self.x_mm + radius_mm * rad.cos(), y_mm: self.y_mm + radius_mm * rad.sin() }
    }

    /// How far off another point is, in millimetres.
    pub fn distance_mm(self, other: Self) -> f64 {
        (other - self).norm_mm()
    }

    /// The direction towards another point, in radians anticlockwise from X.
    pub fn direction_rad(self, other: Self) -> f64 {
        (other.y_mm - self.y_mm).atan2(other.x_mm - self.x_mm)
    }

    /// The length of this as a way, in millimetres.
    pub fn norm_mm(self) -> f64 {
        self.x_mm.hypot(self.y_mm)
    }

    /// The dot product of two ways, in square millimetres.
    pub fn dot(self, other: Self) -> f64 {
        self.x_mm * other.x_mm + self.y_mm * other.y_mm
    }

    /// The cross product of two ways, positive when `other` is to the left.
    pub fn cross(self, other: Self) -> f64 {
        self.x_mm * other.y_mm - self.y_mm * other.x_mm
    }

    /// This way, `times` as long.
    #[must_use]
    pub fn times(self, times: f64) -> Self {
        Self { x_mm: self.x_mm * times, y_mm: self.y_mm * times }
    }

    /// Turned anticlockwise about the origin.
    #[must_use]
    pub fn rotated(self, rad: f64) -> Self {
        let (sin, cos) = rad.sin_cos();
        Self { x_mm: self.x_mm * cos - self.y_mm * sin, y_mm: self.x_mm * sin + self.y_mm * cos }
    }

    /// Mirrored in the Y axis: left becomes right.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self { x_mm: -self.x_mm, ..self }
    }
}

impl Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { x_mm: self.x_mm + other.x_mm, y_mm: self.y_mm + other.y_mm }
    }
}

impl Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { x_mm: self.x_mm - other.x_mm, y_mm: self.y_mm - other.y_mm }
    }
}

/// A whole circle: a hole, a boss, a disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circle {
    /// Its centre.
    pub centre: Point,
    /// Its radius in millimetres, more than nought.
    pub radius_mm: f64,
}

impl Circle {
    /// A circle from millimetres.
    pub const fn new(centre: Point, radius_mm: f64) -> Self {
        Self { centre, radius_mm }
    }

    /// A circle of an exact diameter.
    pub fn of_diameter(centre: Point, diameter: Length) -> Self {
        Self { centre, radius_mm: diameter.half().as_mm() }
    }
}
