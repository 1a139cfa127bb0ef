//! Moving, turning, scaling and mirroring, in one.

use crate::geometry::Point;

/// Where the plane goes: the images of the two axes, and of the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Affine {
    x: Point,
    y: Point,
    origin: Point,
}

impl Affine {
    /// Everything stays.
    pub const SAME: Self = Self::new(Point::new(1.0, 0.0), Point::new(0.0, 1.0), Point::ORIGIN);
    /// Left for right: what is seen from behind.
    pub const FROM_BEHIND: Self = Self::scaled(-1.0, 1.0);

    /// From the images of a step along X, of a step along Y, and of the origin.
    pub const fn new(x: Point, y: Point, origin: Point) -> Self {
        Self { x, y, origin }
    }

    /// Moved by a way.
    pub const fn moved(by: Point) -> Self {
        Self { origin: by, ..Self::SAME }
    }

    /// Larger or smaller, each axis by its own factor.
    pub const fn scaled(x: f64, y: f64) -> Self {
        Self::new(Point::new(x, 0.0), Point::new(0.0, y), Point::ORIGIN)
    }

    /// Turned anticlockwise about the origin.
    pub fn turned(rad: f64) -> Self {
        Self::new(Point::new(1.0, 0.0).rotated(rad), Point::new(0.0, 1.0).rotated(rad), Point::ORIGIN)
    }

    /// This one, done after another.
    #[must_use]
    pub fn after(self, first: Self) -> Self {
        Self { x: self.way(first.x), y: self.way(first.y), origin: self.point(first.origin) }
    }

    /// Where a point goes.
    pub fn point(self, at: Point) -> Point {
        self.way(at) + self.origin
    }

    /// What becomes of a way from one point to another.
    pub fn way(self, way: Point) -> Point {
        self.x.times(way.x_mm) + self.y.times(way.y_mm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_is_done_first() {
        let up = Affine::moved(Point::new(0.0, 5.0));
        let quarter = Affine::turned(std::f64::consts::FRAC_PI_2);
        let at = quarter.after(up).point(Point::new(1.0, 0.0));
        assert!(at.distance_mm(Point::new(-5.0, 1.0)) < 1e-12, "{at:?}");
        let at = up.after(quarter).after(Affine::scaled(3.0, 2.0)).point(Point::new(1.0, 0.0));
        assert!(at.distance_mm(Point::new(0.0, 8.0)) < 1e-12, "{at:?}");
        assert_eq!(Affine::FROM_BEHIND.point(Point::new(2.0, 3.0)), Point::new(-2.0, 3.0));
    }
}
