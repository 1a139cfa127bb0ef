//! What a file holds once it is read: strokes on layers, and the unit it states.

use std::collections::BTreeMap;

use super::stroke::Stroke;
use super::unit::FileUnit;
use crate::problem::Problem;

/// The most bytes of a file that are read.
pub(super) const MOST_BYTES: usize = 20_000_000;
/// The most things drawn that are read: hundreds of times what a part has.
pub(super) const MOST_STROKES: usize = 10_000;
/// The most copies of blocks and symbols, empty ones among them.
const MOST_COPIES: usize = 20_000;
/// The most things that all those copies hold together.
const MOST_COPIED: usize = 1_000_000;
/// How deep blocks, groups and symbols may stand in each other.
pub(super) const MOST_NESTED: usize = 32;
/// The farthest from the origin that anything may lie, in the file's units.
const FARTHEST: f64 = 1e7;

/// A file as read, in its own units, Y up.
#[derive(Debug)]
pub(super) struct Drawn {
    /// Everything that may belong to an outline, with the place of its layer.
    pub strokes: Vec<(usize, Stroke)>,
    /// The layers, in the order they are met.
    pub layers: Vec<Layer>,
    /// What the file says of its unit.
    pub stated: Stated,
    /// What is of no use for an outline, and how many of each.
    pub not_read: BTreeMap<String, usize>,
    copies: usize,
    copied: usize,
}

/// A layer of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Layer {
    pub name: String,
    /// Whether the file shows it.
    pub shown: bool,
}

/// What a file says of its unit.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Stated {
    /// The unit, the millimetres that one unit of the coordinates makes, and
    /// where that stands.
    Unit { unit: FileUnit, each_mm: f64, how: String },
    /// Nothing of use, and why. Once somebody says the unit, one unit of the
    /// coordinates is so many of it: a view may scale them.
    Nothing { why: String, each: f64 },
}

impl Stated {
    /// Nothing of use, in a file whose coordinates are in its unit.
    pub fn nothing(why: impl Into<String>) -> Self {
        Self::Nothing { why: why.into(), each: 1.0 }
    }
}

impl Drawn {
    pub fn new() -> Self {
        Self {
            strokes: Vec::new(),
            layers: Vec::new(),
            stated: Stated::nothing("it says nothing of a unit"),
            not_read: BTreeMap::new(),
            copies: 0,
            copied: 0,
        }
    }

    /// The place of a layer, by its name in any case.
    pub fn layer(&mut self, name: &str) -> usize {
        let known = self.layers.iter().position(|layer| layer.name.eq_ignore_ascii_case(name));
        known.unwrap_or_else(|| {
            self.layers.push(Layer { name: name.to_owned(), shown: true });
            self.layers.len() - 1
        })
    }

    /// Keeps one stroke.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when it lies nowhere or absurdly far off, or when there are
    /// too many.
    pub fn put(&mut self, layer: usize, stroke: Stroke) -> Result<(), Problem> {
        let reach = stroke.reach();
        if reach.is_nan() || reach > FARTHEST {
            return Err(Problem::new("something is drawn too far off to be part of a part")
                .why(if reach.is_finite() {
                    format!(
                        "it reaches {reach:.0} units from the origin; {FARTHEST:.0} is the most that is read"
                    )
                } else {
                    "its place works out to no number".into()
                })
                .mend("move the drawing to its origin, and take out what is not the part"));
        }
        if self.strokes.len() == MOST_STROKES {
            return Err(Problem::new(format!("the file draws more than {MOST_STROKES} lines and arcs"))
                .why("that is no outline of a part, and was not read further")
                .mend("save the part alone, or its outline as fewer lines and arcs"));
        }
        self.strokes.push((layer, stroke));
        Ok(())
    }

    /// Counts something that is of no use for an outline.
    pub fn skip(&mut self, what: impl Into<String>) {
        *self.not_read.entry(what.into()).or_default() += 1;
    }

    /// Counts one more copy of a block or a symbol that holds `things`.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when there are too many, or they stand too deep in each other.
    pub fn copy(&mut self, what: &str, things: usize, depth: usize) -> Result<(), Problem> {
        if depth > MOST_NESTED {
            return Err(Problem::new(format!("{what} stands in itself, or too deep in others"))
                .why(format!("it is met again below {MOST_NESTED} others"))
                .mend("break the nesting up in the program that drew it, and save it again"));
        }
        self.copies += 1;
        self.copied += things;
        if self.copies > MOST_COPIES || self.copied > MOST_COPIED {
            return Err(Problem::new("the file repeats itself without end")
                .why(format!("{what} and others like it stand in each other more than {MOST_COPIES} times"))
                .mend("save the part alone, with its blocks broken up"));
        }
        Ok(())
    }
}
