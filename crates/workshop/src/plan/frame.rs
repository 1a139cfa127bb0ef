//! The axes of a setup: how the work lies under the spindle, and the blank it
//! is cut from.
//!
//! On the mill X is to the right, Y away from the person, Z up. A piece lies
//! with the face that is worked upwards; standing on an edge, its front face is
//! towards the person.

use crate::drawing::{Axis, Body, Face, FeatureId, Image, Part};
use crate::geometry::{Point, Segment};
use crate::measure::{Length, Toward};

/// The least metal left round a blank for sawing and squaring: common practice.
const LEAST_MARGIN: Length = Length::mm(2);

/// The sawn and squared blank in the axes of the part as drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Blank {
    /// x of its left edge.
    pub left: Length,
    /// x of its right edge.
    pub right: Length,
    /// y of its bottom edge.
    pub bottom: Length,
    /// y of its top edge.
    pub top: Length,
}

impl Blank {
    /// The blank of a plate as it lies, drawn or mirrored.
    ///
    /// A rectangle's own sides are its edges. Round work gets a margin of at
    /// least two millimetres, and its edges a whole number of millimetres from
    /// the datum, so that the datum reads whole numbers on the machine.
    pub fn of(part: &Part) -> Self {
        let [left, right, bottom, top] = part.edges();
        match part.drawing.body {
            Body::Rectangle { .. } => Self { left, right, bottom, top },
            _ => {
                let out = |edge: Length, toward| edge.rounded(Length::mm(1), toward).value;
                Self {
                    left: out(left - LEAST_MARGIN, Toward::Less),
                    right: out(right + LEAST_MARGIN, Toward::More),
                    bottom: out(bottom - LEAST_MARGIN, Toward::Less),
                    top: out(top + LEAST_MARGIN, Toward::More),
                }
            }
        }
    }

    /// Left to right.
    pub fn width(&self) -> Length {
        self.right - self.left
    }

    /// Bottom to top.
    pub fn height(&self) -> Length {
        self.top - self.bottom
    }
}

/// One axis of the part, forwards or backwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Direction {
    axis: Axis,
    sign: i64,
}

/// How a piece lies: which of its directions is X and which is Y on the mill.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frame {
    x: Direction,
    y: Direction,
    up: Face,
}

impl Frame {
    /// The frame of a piece with a face up.
    pub fn of(up: Face) -> Self {
        let (plus, minus) = (1, -1);
        let direction = |axis, sign| Direction { axis, sign };
        let (x, y) = match up {
            Face::Front => (direction(Axis::X, plus), direction(Axis::Y, plus)),
            Face::Back => (direction(Axis::X, minus), direction(Axis::Y, plus)),
            Face::Top => (direction(Axis::X, plus), direction(Axis::Z, minus)),
            Face::Bottom => (direction(Axis::X, minus), direction(Axis::Z, minus)),
            Face::Left => (direction(Axis::Y, plus), direction(Axis::Z, minus)),
            Face::Right => (direction(Axis::Y, minus), direction(Axis::Z, minus)),
        };
        Self { x, y, up }
    }

    /// The face towards the spindle.
    pub fn up(&self) -> Face {
        self.up
    }

    /// True when the piece is seen in plan, from front or back.
    pub fn in_plan(&self) -> bool {
        matches!(self.up, Face::Front | Face::Back)
    }

    /// Where a place of the part lies on the machine, before any datum is set.
    pub fn place(&self, at: [Length; 3]) -> (Length, Length) {
        let along = |d: Direction| at[d.axis as usize] * d.sign;
        (along(self.x), along(self.y))
    }

    /// A direction of the part as it lies on the machine.
    pub fn way(&self, at: [f64; 3]) -> Point {
        let along = |d: Direction| at[d.axis as usize] * d.sign as f64;
        Point::new(along(self.x), along(self.y))
    }

    /// Where a feature lies, of a step its wall; an axis it has no place on counts as nought.
    pub fn feature(&self, part: &Part, id: FeatureId) -> (Length, Length) {
        let mut at = [Axis::X, Axis::Y, Axis::Z].map(|axis| part.at(id, axis).unwrap_or_default());
        if let Some(cut) = part.step_from(id, self.up) {
            at[cut.open.axis() as usize] = cut.wall;
        }
        self.place(at)
    }

    /// The side of the work as it lies on which a face of the part is, as
    /// (along X, along Y); noughts for the faces up and down.
    pub fn side(&self, face: Face) -> (i64, i64) {
        let sign = match face {
            Face::Right | Face::Top | Face::Front => 1,
            Face::Left | Face::Bottom | Face::Back => -1,
        };
        let along = |d: Direction| if d.axis == face.axis() { sign * d.sign } else { 0 };
        (along(self.x), along(self.y))
    }

    /// A line or arc of the part in plan, as it lies.
    pub fn segment(&self, segment: &Segment) -> Segment {
        if self.up == Face::Back { segment.mirrored() } else { *segment }
    }

    /// A point of the part in plan, as it lies.
    pub fn point(&self, point: Point) -> Point {
        if self.up == Face::Back { Point::new(-point.x_mm, point.y_mm) } else { point }
    }

    /// Least and greatest X and Y of the work: the blank where it still has its
    /// edges, and the thickness where it stands on edge.
    pub fn extent(&self, blank: &Blank, thickness: (Length, Length)) -> [Length; 4] {
        let span = |d: Direction| {
            let (low, high) = match d.axis {
                Axis::X => (blank.left, blank.right),
                Axis::Y => (blank.bottom, blank.top),
                Axis::Z => thickness,
            };
            let (a, b) = (low * d.sign, high * d.sign);
            (a.min(b), a.max(b))
        };
        let ((x0, x1), (y0, y1)) = (span(self.x), span(self.y));
        [x0, x1, y0, y1]
    }
}

/// The part as it lies in a holding: drawn or mirrored.
pub fn as_it_lies<'a>(part: &Part<'a>, image: Image) -> Part<'a> {
    if part.image == image { part.clone() } else { part.mirrored() }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Right-handed axes whichever face is up: X times Y is up.
    #[test]
    fn every_way_up_is_a_turn_and_never_a_reflection() {
        for up in [Face::Front, Face::Back, Face::Left, Face::Right, Face::Top, Face::Bottom] {
            let frame = Frame::of(up);
            let unit = |d: Direction| {
                let mut v = [0; 3];
                v[d.axis as usize] = d.sign;
                v
            };
            let (x, y) = (unit(frame.x), unit(frame.y));
            let cross = [x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]];
            let mut outward = [0; 3];
            outward[up.axis() as usize] =
                if matches!(up, Face::Front | Face::Right | Face::Top) { 1 } else { -1 };
            assert_eq!(cross, outward, "{up:?}");
            assert_eq!(frame.side(up), (0, 0));
        }
    }
}
