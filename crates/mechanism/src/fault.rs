//! What is wrong with a mechanism, in the words of the person who described it.

use std::fmt;

/// Something the person can put right: what, where, why, and how to mend it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong.
    pub what: String,
    /// The links, points or joints it is about, by the names they were given.
    pub place: Vec<String>,
    /// Why it is wrong.
    pub why: String,
    /// How to put it right.
    pub mend: String,
}

impl Fault {
    pub(crate) fn new(
        what: impl Into<String>,
        place: Vec<String>,
        why: impl Into<String>,
        mend: impl Into<String>,
    ) -> Self {
        Self { what: what.into(), place, why: why.into(), mend: mend.into() }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.what)?;
        if !self.place.is_empty() {
            write!(f, "\n  where: {}", self.place.join(", "))?;
        }
        write!(f, "\n  why:   {}\n  mend:  {}", self.why, self.mend)
    }
}

impl std::error::Error for Fault {}
