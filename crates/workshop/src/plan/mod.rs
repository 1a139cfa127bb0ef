//! The whole road: drawing and bench in, sheets out, every number with its why.
//!
//! Begin with the types of [`sheet`]: what is printed and shown.

pub mod views;

pub use crate::sheet;

use sheet::{AidSheet, Cover, Scene, SetupSheet};

use crate::why::Figure;

/// Everything worked out for one part, ready to print, show or ask about.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What the part is called.
    pub part: String,
    /// The first page.
    pub cover: Cover,
    /// The part as drawn, with its dimensions as written.
    pub as_drawn: Vec<Scene>,
    /// The metric part, with its dimensions.
    pub metric: Vec<Scene>,
    /// One page a setup, in order of work.
    pub setups: Vec<SetupSheet>,
    /// The aids to make first.
    pub aids: Vec<AidSheet>,
    /// Every number that stands on a sheet, under a name that is its own:
    /// `rod bore: diameter`, `setup 3: offset from the table centre`.
    pub figures: Vec<Figure>,
}

impl Plan {
    /// The figure a person asks about: by its own name, or by the only one whose
    /// name holds what was typed. Otherwise the names that come near.
    ///
    /// # Errors
    ///
    /// The names that might have been meant, possibly none.
    pub fn figure(&self, asked: &str) -> Result<&Figure, Vec<&str>> {
        let asked = asked.trim().to_lowercase();
        if let Some(exact) = self.figures.iter().find(|f| f.name.to_lowercase() == asked) {
            return Ok(exact);
        }
        let words: Vec<&str> = asked.split_whitespace().collect();
        let near: Vec<&Figure> = self
            .figures
            .iter()
            .filter(|f| {
                let name = f.name.to_lowercase();
                !words.is_empty() && words.iter().all(|word| name.contains(word))
            })
            .collect();
        match near.as_slice() {
            [only] => Ok(only),
            several => Err(several.iter().map(|f| f.name.as_str()).collect()),
        }
    }
}
