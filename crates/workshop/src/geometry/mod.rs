//! Lines and arcs in the plane: tangents, outlines, offsets and walls.
//!
//! Plain `f64` millimetres and radians live here and nowhere else. Exact
//! lengths come in with [`Length::as_mm`](crate::measure::Length::as_mm) and go
//! out again through [`Length::nearest`](crate::measure::Length::nearest) and
//! [`Angle::nearest_rad`](crate::measure::Angle::nearest_rad). X is to the right,
//! Y away from the person at the machine, angles anticlockwise from X.
//!
//! Begin with [`Outline`] and the ways to make one in [`tangents`]; then
//! [`offset`] for the road of a cutter, and [`wall`] for the metal left between
//! two features.

mod closest;
mod outline;
mod point;
mod segment;
mod slot;

pub mod around;
pub mod clear;
pub mod milled;
pub mod offset;
pub mod solid;
pub mod tangents;
pub mod wall;

pub use closest::{Approach, closest, crossings};
pub use outline::{Bounds, Outline};
pub use point::{Circle, Point};
pub use segment::{Arc, Line, Segment};
pub use slot::slot_edge;

/// Two points nearer than this, in millimetres, are one point: a hundredth of
/// what any workshop measures, and a thousand times what `f64` loses over a
/// metre of coordinates.
pub const SAME_POINT_MM: f64 = 1e-6;

/// The same direction between nought and a full turn, in radians.
pub fn within_turn(rad: f64) -> f64 {
    let turned = rad.rem_euclid(std::f64::consts::TAU);
    // A tiny negative angle rounds up to a whole turn, which is nought.
    if turned >= std::f64::consts::TAU { 0.0 } else { turned }
}
