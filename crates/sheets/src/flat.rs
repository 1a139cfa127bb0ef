//! A part in plan as a drawing-exchange file (DXF) or as SVG, in millimetres.
//!
//! For another program to read, not to print: true lines, arcs and circles on
//! named layers, at full size, with nothing lettered. The same part gives the
//! same bytes.

mod dxf;
pub(crate) mod svg;

pub use dxf::flat_dxf;
pub use svg::flat_svg;

use std::f64::consts::TAU;

use workshop::geometry::{Arc, Segment};

/// A full circle, where a segment is one.
fn circle(segment: &Segment) -> Option<Arc> {
    match segment {
        Segment::Arc(arc) if arc.sweep_rad.abs() >= TAU - 1e-9 => Some(*arc),
        _ => None,
    }
}

/// A number with every digit it has, and never `-0`.
fn number(value: f64) -> String {
    (value + 0.0).to_string()
}
