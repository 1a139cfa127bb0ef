//! What a person says of the order of work: what is done already, and what they want.
//!
//! Only the words are read here. Which operations they name is known once there are
//! some, and is found in [`crate::order`].

use super::reader::Reader;
use crate::document::{Content, Sheet};

/// The table `[order]` of a part file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// Operations that are done already.
    pub done: Vec<Stated>,
    /// What is wanted: `drill A before ream B`, or one way of going about it.
    pub wanted: Vec<Stated>,
}

/// One statement as it stands in the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stated {
    /// The words.
    pub text: String,
    /// The line they stand on; nought for a question that stands in no file.
    pub line: usize,
}

impl Asked {
    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        self.done.is_empty() && self.wanted.is_empty()
    }
}

impl Reader {
    /// The table `[order]`, where there is one.
    pub(super) fn asked(&mut self, sheet: &Sheet) -> Asked {
        let Some(entry) = sheet.get("order") else { return Asked::default() };
        let Content::Table(table) = &entry.value else {
            self.faults
                .push(entry.fault("is not a table", "write `[order]`, and under it `done` or `wanted`"));
            return Asked::default();
        };
        let mut read = |key: &str| -> Vec<Stated> {
            let texts = table.texts(key, &mut self.faults);
            texts.into_iter().map(|(text, line)| Stated { text: text.trim().to_owned(), line }).collect()
        };
        let asked = Asked { done: read("done"), wanted: read("wanted") };
        table.finish(&mut self.faults);
        asked
    }
}
