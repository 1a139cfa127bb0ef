//! How an outline is to be read.

use crate::measure::{Length, Unit};
use crate::problem::{Outcome, Problem};
use crate::tables::read_size;

use super::FileUnit;

/// How an outline is to be read.
#[derive(Clone, Debug)]
pub struct Asked {
    /// What the part is called.
    pub name: String,
    /// The unit of the file's numbers, where the person says it.
    pub unit: Option<FileUnit>,
    /// The unit the part file is to be written in; that of the file where none is said.
    pub write_in: Option<Unit>,
    /// Which layers count.
    pub layers: Layers,
    /// Which of several outlines is meant, counted from one, the largest first.
    pub outline: Option<usize>,
    /// How thick the part is, with its unit: `1/4 in`.
    pub thickness: Option<String>,
    /// Where places are measured from.
    pub datum: Datum,
    /// How far lines and arcs may lie from the curves they stand for.
    pub curves_within: Length,
    /// How far apart two ends may lie and still be joined.
    pub join_within: Length,
}

impl Asked {
    /// Reads as most files want: every layer that the file shows, curves within
    /// 0.01 mm, ends joined within 0.02 mm, places from the bottom left.
    pub fn usual(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            unit: None,
            write_in: None,
            layers: Layers::Shown,
            outline: None,
            thickness: None,
            datum: Datum::BottomLeft,
            curves_within: Length::mm_ratio(1, 100),
            join_within: Length::mm_ratio(2, 100),
        }
    }

    /// What was asked for must be possible.
    pub(super) fn check(&self) -> Outcome<()> {
        let mut faults = Vec::new();
        for (name, length) in [("curves", self.curves_within), ("joining", self.join_within)] {
            if length < Length::mm_ratio(1, 10_000) || length > Length::mm(5) {
                faults.push(
                    Problem::new(format!("{length} is no use as the distance allowed in {name}"))
                        .why("less than 0.0001 mm is lost in the last digits of a file, and more than 5 mm is no part")
                        .mend("leave it out for the usual one, or give such as `0.05 mm`"),
                );
            }
        }
        if let Some(text) = &self.thickness {
            match read_size(text, None) {
                Ok(size) if size.length.is_positive() => {}
                Ok(_) => faults.push(
                    Problem::new(format!("`{text}` is no thickness"))
                        .mend("write it as on the drawing: `1/4 in`"),
                ),
                Err(fault) => faults.push(fault.at("thickness")),
            }
        }
        if self.name.trim().is_empty() {
            faults.push(Problem::new("the part has no name").mend("say what it is called with `--name`"));
        }
        if faults.is_empty() { Ok(()) } else { Err(faults) }
    }
}

/// Which layers of a file count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Layers {
    /// Every one that the file shows.
    Shown,
    /// These alone, shown or not.
    Only(Vec<String>),
    /// Every one that the file shows but these.
    Without(Vec<String>),
}

/// Where the places of an imported part are measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Datum {
    /// The left and bottom of the outline.
    BottomLeft,
    /// The right and bottom.
    BottomRight,
    /// The left and top.
    TopLeft,
    /// The right and top.
    TopRight,
    /// The middle of the outline.
    Centre,
    /// The origin of the file.
    Origin,
    /// The centre of a hole, counted from one, left to right.
    Hole(usize),
}

impl Datum {
    /// The datum that some words name: `bottom left`, `centre`, `origin`, `hole 2`.
    ///
    /// # Errors
    ///
    /// A [`Problem`] that lists the words.
    pub fn read(text: &str) -> Result<Self, Problem> {
        let bare = text.trim().to_lowercase().replace('-', " ");
        Ok(match bare.as_str() {
            "bottom left" => Self::BottomLeft,
            "bottom right" => Self::BottomRight,
            "top left" => Self::TopLeft,
            "top right" => Self::TopRight,
            "centre" | "middle" => Self::Centre,
            "origin" => Self::Origin,
            hole => match hole.strip_prefix("hole").map(|number| number.trim().parse()) {
                Some(Ok(number)) => Self::Hole(number),
                _ => {
                    return Err(Problem::new(format!("`{text}` is not a datum")).mend(
                        "it may be `bottom left`, `bottom right`, `top left`, `top right`, `centre`, `origin` or `hole 1`",
                    ));
                }
            },
        })
    }
}
