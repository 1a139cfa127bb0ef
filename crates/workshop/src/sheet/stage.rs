//! The metal at one setup: what is gone, what goes here, what is still to come.

use super::When;
use crate::geometry::{Point, Segment};

/// The work as it is held at one setup, in millimetres as it lies, seen from the spindle.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    /// How it is seen: `front face up, from above`.
    pub view: String,
    /// The edge of the metal before anything is cut, closed.
    pub metal: Vec<Segment>,
    /// What is cut from it, in the order of the part; what reaches beyond the metal is air.
    pub cuts: Vec<Cut>,
    /// Where X and Y read nought.
    pub datum: Point,
}

/// One piece of metal that is cut away.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// What it is for: a feature's name, or what of the outside.
    pub name: String,
    /// Before this setup, in it, or later.
    pub when: When,
    /// Its edge, closed.
    pub edge: Vec<Segment>,
    /// How many of the edge, from its first, are seen as a line: of what lies beyond a
    /// piece of the outside, the piece alone.
    pub rim: usize,
    /// Whether metal is left beneath it.
    pub blind: bool,
}

impl Stage {
    /// Least and greatest of the metal.
    pub fn bounds(&self) -> [Point; 2] {
        let mut least = Point::new(f64::INFINITY, f64::INFINITY);
        let mut most = Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
        for bounds in self.metal.iter().map(Segment::bounds) {
            least = Point::new(least.x_mm.min(bounds.least.x_mm), least.y_mm.min(bounds.least.y_mm));
            most = Point::new(most.x_mm.max(bounds.most.x_mm), most.y_mm.max(bounds.most.y_mm));
        }
        [least, most]
    }
}
