//! Things made only to make the part: their sizes, each with its reason.
//!
//! What the work needs goes in, with what is owned; the sizes of the aid come
//! out, and how to make it. Nothing here decides that an aid is wanted:
//! [`crate::order`] does.
//!
//! Filing buttons are in [`crate::settings::filing_buttons`], since they are an
//! alternative to a machine setting.

pub mod bolt_on_plate;
pub mod stub_mandrel;
