//! The whole road: drawing and bench in, sheets out, every number with its why.
//!
//! Begin with the types of [`sheet`]: what is printed and shown.

pub mod sheet;
