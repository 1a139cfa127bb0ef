//! What is told of an import: each thing that was read, mended, rounded or left out.

use super::names::numbered;
use crate::geometry::Point;
use crate::measure::Unit;

/// How places of a file are told, in the unit of its part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spots {
    pub unit: Unit,
}

impl Spots {
    /// A place in the axes of the file: `X 12.3, Y 4 mm`.
    pub fn spot(self, at: Point) -> String {
        let (each_mm, places) = match self.unit {
            Unit::Mm => (1.0, 3),
            Unit::Inch => (25.4, 4),
        };
        let number = |mm: f64| {
            let text = format!("{:.places$}", mm / each_mm);
            let short = text.trim_end_matches('0').trim_end_matches('.');
            if short == "-0" { "0".to_owned() } else { short.to_owned() }
        };
        format!("X {}, Y {} {}", number(at.x_mm), number(at.y_mm), self.unit.symbol())
    }
}

/// One thing that was put right.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// What was done.
    pub what: &'static str,
    /// Where, in millimetres in the axes of the file.
    pub at: Point,
    /// The size of the gap, or of what overlaps, in millimetres.
    pub by_mm: f64,
}

impl Mend {
    pub(super) const fn new(what: &'static str, at: Point, by_mm: f64) -> Self {
        Self { what, at, by_mm }
    }
}

/// A length that could not be written exactly.
#[derive(Clone, Debug, PartialEq)]
pub struct Rounded {
    /// What it is, such as `hole 3: right of datum`.
    pub name: String,
    /// As it stands in the part file.
    pub written: String,
    /// How far it moved, in millimetres: more than nought where it grew.
    pub moved_mm: f64,
}

/// What became of a layer of the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// What is on it was read.
    Yes,
    /// The file does not show it, and nobody asked for it.
    NotShown,
    /// Other layers were asked for.
    NotAsked,
    /// It was to be left out.
    LeftOut,
}

/// A layer of the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayerRead {
    /// Its name.
    pub name: String,
    /// The lines, arcs and curves on it.
    pub strokes: usize,
    /// Whether it was read.
    pub taken: Taken,
}

/// Everything that is told of an import.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Report {
    /// What a person should look at before anything is cut.
    pub questions: Vec<String>,
    /// What was read: the unit, the size, the datum.
    pub read: Vec<String>,
    /// The layers of the file.
    pub layers: Vec<LayerRead>,
    /// What was found: the outline, holes, slots, pockets.
    pub found: Vec<String>,
    /// Gaps, overlaps and doubled lines that were put right, one by one.
    pub mended: Vec<String>,
    /// The same as numbers.
    pub mends: Vec<Mend>,
    /// What could not be written exactly, those that moved most first.
    pub rounded: Vec<Rounded>,
    /// What was rounded, in words.
    pub rounding: Vec<String>,
    /// What the file holds that is not in the part.
    pub not_carried: Vec<String>,
    /// How far curves lie from the lines and arcs that stand for them, at most, in
    /// millimetres; none where there are no curves.
    pub curves_mm: Option<f64>,
    /// How far the part file, read back, lies from the file at most, in
    /// millimetres; none where it was not read back.
    pub read_back_mm: Option<f64>,
}

impl Report {
    /// The report as headings and lines, those that matter most first; headings
    /// with nothing below them are left out.
    pub fn sections(&self) -> Vec<(&'static str, Vec<String>)> {
        let layer = |layer: &LayerRead| {
            let became = match layer.taken {
                Taken::Yes => "read",
                Taken::NotShown => "left out: the file does not show it",
                Taken::NotAsked => "left out: not asked for",
                Taken::LeftOut => "left out, as asked",
            };
            format!(
                "{}: {}, {became}",
                layer.name,
                numbered(layer.strokes, "line, arc or curve", "lines, arcs and curves")
            )
        };
        [
            ("questions", self.questions.clone()),
            ("read", self.read.clone()),
            ("layers", self.layers.iter().map(layer).collect()),
            ("found", self.found.clone()),
            ("mended", self.mended.clone()),
            ("rounding", self.rounding.clone()),
            ("not carried over", self.not_carried.clone()),
        ]
        .into_iter()
        .filter(|(_, lines)| !lines.is_empty())
        .collect()
    }
}
