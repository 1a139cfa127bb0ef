//! The list of a whole project: what to make and put together, in which order.

use super::{AidSheet, Ready, Trap};
use crate::problem::Problem;
use crate::why::Why;

/// What to make in which order, and how it goes together.
#[derive(Clone, Debug, PartialEq)]
pub struct MakeList {
    /// Everything that is done, in order.
    pub rows: Vec<MakeRow>,
    /// What must be there: bought parts, pieces without a drawing, aids on the shelf.
    pub ready: Vec<Ready>,
    /// Sheets of the aids that the project says what they are made to.
    pub aids: Vec<AidSheet>,
    /// What must not be done early, and what would be lost.
    pub traps: Vec<Trap>,
    /// What is left for assembly, part by part.
    pub left: Vec<String>,
    /// Minutes of all rows, an estimate.
    pub minutes: u64,
    /// What was supposed.
    pub assumed: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// How sure the order is, in a sentence each.
    pub proofs: Vec<String>,
    /// Parts that are on the list and have no order of work of their own yet.
    pub unplanned: Vec<Problem>,
}

/// One row of a make list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MakeRow {
    /// Counted from one.
    pub number: usize,
    /// What kind of row it is.
    pub kind: MakeKind,
    /// `Crank web, 2 off`, `Press together: pin in the web`.
    pub what: String,
    /// With what: the parts, and what sets them.
    pub with: String,
    /// `lathe`, `bench`.
    pub place: String,
    /// An estimate.
    pub minutes: u64,
    /// Why it stands here.
    pub why: Why,
    /// The part whose sheets it goes by, by the name of its file.
    pub part: Option<String>,
}

impl MakeRow {
    /// The most telling reason, in a sentence.
    pub fn reason(&self) -> String {
        self.why.because.first().map_or(self.why.statement.clone(), |why| why.statement.clone())
    }
}

/// What a row of a make list is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MakeKind {
    /// A part is made.
    Part,
    /// An aid is made.
    Aid,
    /// Parts are put together.
    Join,
    /// Parts are worked on together.
    Work,
    /// Heat treatment.
    Heat,
    /// Parts are taken apart again.
    Apart,
}

impl MakeKind {
    /// As a list heads it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Part => "make",
            Self::Aid => "make first",
            Self::Join => "fit",
            Self::Work => "work together",
            Self::Heat => "heat",
            Self::Apart => "take apart",
        }
    }
}
