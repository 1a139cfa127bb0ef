//! What to measure when the part is made, with what, and what it should read.

use crate::why::Figure;

/// The inspection sheet of a part.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Inspection {
    /// What is measured, in the order of the drawing.
    pub rows: Vec<InspectionRow>,
    /// What is supposed where nobody said: what there is to measure with, how near sizes are made.
    pub supposed: Vec<String>,
}

/// One size to check.
#[derive(Clone, Debug, PartialEq)]
pub struct InspectionRow {
    /// Counted from one.
    pub number: usize,
    /// `rod bore: diameter`.
    pub what: String,
    /// The size as it is to be made.
    pub size: Figure,
    /// How it is measured: `over a plug, from the left edge`.
    pub how: String,
    /// With what: `micrometer to 25 mm`.
    pub with: String,
    /// Between what a reading proves it, or why none does.
    pub reading: Figure,
    /// Whether what is owned can tell.
    pub told: bool,
}

impl Inspection {
    /// What is owned cannot tell these, by name.
    pub fn not_told(&self) -> impl Iterator<Item = &InspectionRow> {
        self.rows.iter().filter(|row| !row.told)
    }
}
