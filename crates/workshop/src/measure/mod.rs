//! Exact lengths and angles as written; reading, rounding and showing them.
//!
//! Text goes in as the drawing has it, a [`Length`] comes out: an exact ratio
//! of millimetres. Nothing here knows of drills or threads by name; the tables
//! resolve those. Begin with [`Length`], then [`read_length`].

mod angle;
mod length;
mod read;
mod round;

pub use angle::{Angle, read_angle};
pub use length::Length;
pub use read::{Unit, Written, read_length};
pub use round::{Rounded, Toward};
