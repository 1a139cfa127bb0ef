//! A plan laid out on paper: SVG, HTML and PDF.
//!
//! [`ink`] is a page as a list of marks; [`svg`] and [`pdf`] write it. Nothing
//! here works a number out: every figure arrives shown and with its reason.
//!
//! Lengths are millimetres of paper unless a name says otherwise. On a page the
//! origin is the top left corner and y runs down.
//!
//! A module may use those listed above it, nothing below or beside it.

pub mod font;
pub mod hatch;
pub mod ink;

pub mod pdf;
pub mod svg;
