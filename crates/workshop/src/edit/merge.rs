//! Bringing together two changes of one file.

use crate::document::read_document;

/// What became of two changes of the same text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Merged {
    /// One text that holds both.
    Both(String),
    /// They touch the same lines. The text holds both, the lines in question
    /// between marks, and cannot be read until somebody has chosen.
    Conflict {
        /// Both, with marks.
        marked: String,
    },
}

const MINE: &str = "<<<<<<< here";
const BEFORE: &str = "||||||| before both";
const THEIRS: &str = ">>>>>>> in the file";

/// Brings `mine` and `theirs` together, both made from `base`, line by line.
///
/// Two changes that do not touch each other's lines can still make a file that
/// cannot be read, such as a key given twice: that is a conflict as well.
pub fn merge(base: &str, mine: &str, theirs: &str) -> Merged {
    if mine == theirs || theirs == base {
        return Merged::Both(mine.to_owned());
    }
    if mine == base {
        return Merged::Both(theirs.to_owned());
    }
    match diffy::merge(base, mine, theirs) {
        Ok(both) if read_document(&both).is_ok() => Merged::Both(both),
        Ok(_) => {
            let ended = |text: &str| if text.ends_with('\n') { text.to_owned() } else { format!("{text}\n") };
            let (mine, theirs) = (ended(mine), ended(theirs));
            Merged::Conflict { marked: format!("{MINE}\n{mine}=======\n{theirs}{THEIRS}\n") }
        }
        Err(marked) => Merged::Conflict { marked: plainly_marked(&marked) },
    }
}

/// The marks in words that say whose each piece is.
fn plainly_marked(marked: &str) -> String {
    marked
        .split_inclusive('\n')
        .map(|line| match line.trim_end() {
            "<<<<<<< ours" => format!("{MINE}\n"),
            "||||||| original" => format!("{BEFORE}\n"),
            ">>>>>>> theirs" => format!("{THEIRS}\n"),
            _ => line.to_owned(),
        })
        .collect()
}
