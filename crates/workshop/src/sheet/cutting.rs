//! What to saw off, from which bars and plates, and what it weighs.

use crate::bench::Stock;
use crate::measure::Length;
use crate::why::Figure;

/// What one part is sawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct SawnBlank {
    /// The bar or plate.
    pub stock: Stock,
    /// How many.
    pub count: u32,
    /// How long, allowances included.
    pub length: Length,
    /// How wide, of a piece of plate or flat.
    pub width: Option<Length>,
    /// Why so long and so wide.
    pub why: crate::why::Why,
}

/// The cutting list of a part or a whole project.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CuttingList {
    /// One for each section of a material.
    pub groups: Vec<CuttingGroup>,
    /// Parts that nothing is sawn for, and why.
    pub besides: Vec<String>,
    /// What was supposed.
    pub supposed: Vec<String>,
    /// What all blanks weigh together.
    pub weight: Option<Figure>,
}

impl CuttingList {
    /// Every row of it, section by section.
    pub fn rows(&self) -> impl Iterator<Item = &CuttingRow> {
        self.groups.iter().flat_map(|group| &group.rows)
    }
}

/// Everything that is sawn from one section.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingGroup {
    /// `mild steel, round ⌀ 12 mm`.
    pub metal: String,
    /// The blanks.
    pub rows: Vec<CuttingRow>,
    /// Which from which, in a sentence each.
    pub from: Vec<String>,
    /// How sure it is.
    pub proof: String,
}

/// One part's blanks.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingRow {
    /// The part.
    pub part: String,
    /// How many.
    pub count: u32,
    /// What to saw off: `84 mm`, `62 × 40 mm`.
    pub size: Figure,
    /// What one weighs.
    pub weight: Figure,
}
