//! Solids in space: what a hobby shop's cutters take away, and the metal they
//! take it from.
//!
//! A cut is a [`Convex`] solid: a round hole, a cone, a slot, a pocket, a box. What
//! is left between two of them is [`between`]; what is left to a turned or rounded
//! outside is measured to a [`Swept`] surface. A [`Body`] less its cuts has a
//! [`volume()`]. Millimetres and radians as in the rest of [`crate::geometry`],
//! with z out of the sheet towards the reader.
//!
//! Begin with [`Convex`] and [`between`].

mod apart;
mod body;
mod convex;
mod depth;
mod motion;
mod plan;
mod quadrature;
mod simplex;
mod spot;
mod swept;
mod volume;

pub use apart::{Gap, apart, between};
pub use body::{Body, Piece, Ring};
pub use convex::{Convex, Prism, Round};
pub use motion::{Frame, Motion};
pub use plan::Plan;
pub use spot::{Span, Spot};
pub use swept::{Swept, Toward};
pub use volume::{Outer, Volume, volume};
