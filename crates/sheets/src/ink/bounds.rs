//! Points and boxes on a page.

use super::{End, Path};

/// A point on a page: millimetres right of and below its top left corner.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Millimetres to the right.
    pub x_mm: f64,
    /// Millimetres down.
    pub y_mm: f64,
}

impl Point {
    /// A point so far right and so far down.
    pub const fn mm(x_mm: f64, y_mm: f64) -> Self {
        Self { x_mm, y_mm }
    }

    /// This point moved right and down.
    #[must_use]
    pub fn moved(self, dx_mm: f64, dy_mm: f64) -> Self {
        Self::mm(self.x_mm + dx_mm, self.y_mm + dy_mm)
    }

    /// The point at a distance in a direction, anticlockwise on the page from the right.
    #[must_use]
    pub fn polar(self, distance_mm: f64, direction_rad: f64) -> Self {
        let (sin, cos) = direction_rad.sin_cos();
        self.moved(distance_mm * cos, -distance_mm * sin)
    }

    /// How far it is to another point.
    pub fn distance_mm(self, other: Self) -> f64 {
        long_mm(other.x_mm - self.x_mm, other.y_mm - self.y_mm)
    }

    /// The direction to another point, anticlockwise on the page from the right.
    pub fn direction_rad(self, other: Self) -> f64 {
        (self.y_mm - other.y_mm).atan2(other.x_mm - self.x_mm)
    }
}

/// An upright box on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Its left side.
    pub left_mm: f64,
    /// Its upper side.
    pub top_mm: f64,
    /// Its right side.
    pub right_mm: f64,
    /// Its lower side.
    pub bottom_mm: f64,
}

impl Bounds {
    /// A box by its corner and size.
    pub const fn new(left_mm: f64, top_mm: f64, width_mm: f64, height_mm: f64) -> Self {
        Self { left_mm, top_mm, right_mm: left_mm + width_mm, bottom_mm: top_mm + height_mm }
    }

    /// The least box around some points. Of no points it is a box inside out,
    /// which leaves alone whatever it is joined to.
    pub fn around(points: impl IntoIterator<Item = Point>) -> Self {
        let nothing = Self {
            left_mm: f64::INFINITY,
            top_mm: f64::INFINITY,
            right_mm: f64::NEG_INFINITY,
            bottom_mm: f64::NEG_INFINITY,
        };
        points.into_iter().fold(nothing, |b, p| Self {
            left_mm: b.left_mm.min(p.x_mm),
            top_mm: b.top_mm.min(p.y_mm),
            right_mm: b.right_mm.max(p.x_mm),
            bottom_mm: b.bottom_mm.max(p.y_mm),
        })
    }

    /// The least box that holds both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self {
            left_mm: self.left_mm.min(other.left_mm),
            top_mm: self.top_mm.min(other.top_mm),
            right_mm: self.right_mm.max(other.right_mm),
            bottom_mm: self.bottom_mm.max(other.bottom_mm),
        }
    }

    /// The box with so much added on every side.
    #[must_use]
    pub fn grown(self, by_mm: f64) -> Self {
        Self {
            left_mm: self.left_mm - by_mm,
            top_mm: self.top_mm - by_mm,
            right_mm: self.right_mm + by_mm,
            bottom_mm: self.bottom_mm + by_mm,
        }
    }

    /// The box moved right and down.
    #[must_use]
    pub fn moved(self, dx_mm: f64, dy_mm: f64) -> Self {
        Self {
            left_mm: self.left_mm + dx_mm,
            top_mm: self.top_mm + dy_mm,
            right_mm: self.right_mm + dx_mm,
            bottom_mm: self.bottom_mm + dy_mm,
        }
    }

    /// How wide it is.
    pub fn width_mm(self) -> f64 {
        self.right_mm - self.left_mm
    }

    /// How tall it is.
    pub fn height_mm(self) -> f64 {
        self.bottom_mm - self.top_mm
    }

    /// Its middle.
    pub fn centre(self) -> Point {
        Point::mm((self.left_mm + self.right_mm) / 2.0, (self.top_mm + self.bottom_mm) / 2.0)
    }

    /// The area the two share, in square millimetres; 0 when they only touch.
    pub fn overlap_mm2(self, other: Self) -> f64 {
        let across = self.right_mm.min(other.right_mm) - self.left_mm.max(other.left_mm);
        let down = self.bottom_mm.min(other.bottom_mm) - self.top_mm.max(other.top_mm);
        across.max(0.0) * down.max(0.0)
    }

    /// True when the other lies wholly inside, give or take a thousandth.
    pub fn holds(self, other: Self) -> bool {
        const TOUCHING_MM: f64 = 0.001;
        let room = self.grown(TOUCHING_MM);
        room.left_mm <= other.left_mm
            && room.top_mm <= other.top_mm
            && room.right_mm >= other.right_mm
            && room.bottom_mm >= other.bottom_mm
    }

    /// The four sides.
    pub fn path(self) -> Path<Point> {
        Path::from(Point::mm(self.left_mm, self.top_mm))
            .to(Point::mm(self.right_mm, self.top_mm))
            .to(Point::mm(self.right_mm, self.bottom_mm))
            .to(Point::mm(self.left_mm, self.bottom_mm))
            .ending(End::Closed)
    }

    /// How much of a straight line lies inside the box, in millimetres.
    pub fn length_within_mm(self, from: Point, to: Point) -> f64 {
        // Liang and Barsky's clipping: keep the stretch of the line that is on
        // the inner side of all four edges.
        // Nearly every line asked about is well clear of it.
        if from.x_mm.max(to.x_mm) < self.left_mm
            || from.x_mm.min(to.x_mm) > self.right_mm
            || from.y_mm.max(to.y_mm) < self.top_mm
            || from.y_mm.min(to.y_mm) > self.bottom_mm
        {
            return 0.0;
        }
        let (dx, dy) = (to.x_mm - from.x_mm, to.y_mm - from.y_mm);
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for (step, room) in [
            (-dx, from.x_mm - self.left_mm),
            (dx, self.right_mm - from.x_mm),
            (-dy, from.y_mm - self.top_mm),
            (dy, self.bottom_mm - from.y_mm),
        ] {
            if step == 0.0 {
                if room < 0.0 {
                    return 0.0;
                }
            } else if step < 0.0 {
                enters = enters.max(room / step);
            } else {
                leaves = leaves.min(room / step);
            }
        }
        if leaves <= enters { 0.0 } else { (leaves - enters) * long_mm(dx, dy) }
    }
}

/// How long a step is. Distances on paper are far from where a square overflows,
/// which `hypot` takes several times as long to guard against.
fn long_mm(dx_mm: f64, dy_mm: f64) -> f64 {
    (dx_mm * dx_mm + dy_mm * dy_mm).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_part_of_a_line_inside_a_box_is_measured() {
        let square = Bounds::new(0.0, 0.0, 10.0, 10.0);
        let within =
            |a: (f64, f64), b: (f64, f64)| square.length_within_mm(Point::mm(a.0, a.1), Point::mm(b.0, b.1));
        assert_eq!(within((-5.0, 5.0), (15.0, 5.0)), 10.0);
        assert_eq!(within((5.0, 5.0), (8.0, 9.0)), 5.0);
        assert_eq!(within((-5.0, 11.0), (15.0, 11.0)), 0.0);
        assert!((within((-1.0, -1.0), (11.0, 11.0)) - 200.0_f64.sqrt()).abs() < 1e-9);
    }

    #[test]
    fn boxes_that_only_touch_share_nothing() {
        let left = Bounds::new(0.0, 0.0, 10.0, 10.0);
        assert_eq!(left.overlap_mm2(Bounds::new(10.0, 0.0, 5.0, 5.0)), 0.0);
        assert_eq!(left.overlap_mm2(Bounds::new(8.0, 7.0, 5.0, 5.0)), 6.0);
    }
}
