//! The person's own paper sheet, laid beneath the drawing.
//!
//! Pixels go in, millimetres come out: [`fit`] squares and scales the image
//! from a few typed dimensions, [`snap`] finds the circle or corner that was
//! meant by a click near it, and [`judge`] holds every typed dimension against
//! the paper. The paper decides nothing: no place is taken from it, but a
//! dimension that differs by more than paper can explain is doubted, and the
//! slips of the pen that would agree are named.
//!
//! Decoding a PNG or JPEG is the caller's; [`Gray`] is what it hands in.

mod claims;
mod fit;
mod judge;
mod raster;
mod snap;
mod squared;

pub use fit::{Form, Laid, fit};
pub use judge::{Doubt, Judged, judge};
pub use raster::Gray;
pub use snap::{Found, Snapped, snap};
pub use squared::{Squared, extent, squared};
