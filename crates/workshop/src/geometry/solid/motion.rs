//! Frames and rigid motions, mirrors among them.

use super::Spot;

/// Three directions square to each other about a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Where it stands.
    pub origin: Spot,
    /// The first direction of its plane.
    pub u: Spot,
    /// The second direction of its plane.
    pub v: Spot,
    /// Square to its plane.
    pub w: Spot,
}

impl Frame {
    /// The axes of the drawing.
    pub const DRAWING: Self = Self { origin: Spot::ORIGIN, u: Spot::X, v: Spot::Y, w: Spot::Z };

    /// A frame with its plane square to `w`, which has length one.
    pub fn about(origin: Spot, w: Spot) -> Self {
        // Whichever axis lies least along w is never parallel to it.
        let least = [Spot::X, Spot::Y, Spot::Z]
            .into_iter()
            .min_by(|a, b| a.dot(w).abs().total_cmp(&b.dot(w).abs()))
            .expect("there are three axes");
        let u = w.cross(least).unit().expect("the axis is not parallel to w");
        Self { origin, u, v: w.cross(u), w }
    }

    /// The place that stands at these distances along its directions.
    pub fn place(&self, u_mm: f64, v_mm: f64, w_mm: f64) -> Spot {
        self.origin + self.u.times(u_mm) + self.v.times(v_mm) + self.w.times(w_mm)
    }

    /// A way as its shares along the three directions.
    pub fn shares(&self, way: Spot) -> [f64; 3] {
        [way.dot(self.u), way.dot(self.v), way.dot(self.w)]
    }
}

/// A rigid motion: a turn or a mirror, then a shift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// Where the three axes of the drawing go; its origin is where the origin goes.
    frame: Frame,
}

impl Motion {
    /// Nothing moves.
    pub const NONE: Self = Self { frame: Frame::DRAWING };

    /// The axes of the drawing go to those of a frame.
    pub const fn to(frame: Frame) -> Self {
        Self { frame }
    }

    /// A turn or mirror that sends the axes to three directions and leaves `centre`.
    pub fn about(centre: Spot, u: Spot, v: Spot, w: Spot) -> Self {
        let turned = Self { frame: Frame { origin: Spot::ORIGIN, u, v, w } };
        Self { frame: Frame { origin: centre - turned.way(centre), ..turned.frame } }
    }

    /// Left for right: x becomes less x.
    pub fn mirror() -> Self {
        Self::about(Spot::ORIGIN, -Spot::X, Spot::Y, Spot::Z)
    }

    /// The same motion, and then a shift.
    #[must_use]
    pub fn shifted(&self, by: Spot) -> Self {
        Self { frame: Frame { origin: self.frame.origin + by, ..self.frame } }
    }

    /// Where a place goes.
    pub fn place(&self, at: Spot) -> Spot {
        self.frame.place(at.x_mm, at.y_mm, at.z_mm)
    }

    /// Where a direction goes.
    pub fn way(&self, way: Spot) -> Spot {
        self.place(way) - self.frame.origin
    }

    /// Where a direction came from.
    pub fn way_back(&self, way: Spot) -> Spot {
        let [x, y, z] = self.frame.shares(way);
        Spot::new(x, y, z)
    }

    /// A frame moved.
    #[must_use]
    pub fn frame(&self, frame: &Frame) -> Frame {
        Frame {
            origin: self.place(frame.origin),
            u: self.way(frame.u),
            v: self.way(frame.v),
            w: self.way(frame.w),
        }
    }

    /// This after another.
    #[must_use]
    pub fn after(&self, first: &Self) -> Self {
        Self { frame: self.frame(&first.frame) }
    }

    /// The whole share of the three directions in a box turned inside out: one for
    /// a turn, less one for a mirror.
    pub fn sense(&self) -> f64 {
        self.frame.u.cross(self.frame.v).dot(self.frame.w)
    }

    /// Where the three axes of the drawing go.
    pub const fn axes(&self) -> [Spot; 3] {
        [self.frame.u, self.frame.v, self.frame.w]
    }
}
