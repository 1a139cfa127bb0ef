//! Tables on paper: cells that wrap, columns that share the width, rows that
//! break over pages under a repeated heading.

mod layout;
mod widths;

pub use layout::{Laid, Strip};

use workshop::why::Figure;

use crate::font::Face;
use crate::ink::{ASSUMED, Tag, signed};

/// What a column is read for, which decides how large it is set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Use {
    /// Read with the sheet in the hand.
    #[default]
    Reading,
    /// Set on a dial or a readout, read at arm's length: never under 12 point.
    Dial,
}

impl Use {
    /// The size of the lettering.
    pub fn size_pt(self) -> f64 {
        match self {
            Use::Reading => 9.0,
            Use::Dial => 12.0,
        }
    }

    /// The weight of the lettering.
    pub fn face(self) -> Face {
        match self {
            Use::Reading => Face::Regular,
            Use::Dial => Face::Bold,
        }
    }
}

/// How close together a sheet is set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Spacing {
    /// With room round everything.
    #[default]
    Usual,
    /// With less, where that saves turning over in the middle of the work. What
    /// is set on a dial is no smaller for it.
    Close,
}

/// The side to which a column is set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Set {
    /// Words.
    #[default]
    Left,
    /// Figures, so that their points line up.
    Right,
    /// Row numbers in their rings.
    Middle,
}

/// A column and its heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// What stands at the head of it.
    pub heading: String,
    /// What it is read for.
    pub used: Use,
    /// The side to which it is set.
    pub set: Set,
}

impl Column {
    /// A column of words to read.
    pub fn words(heading: impl Into<String>) -> Self {
        Self { heading: heading.into(), used: Use::Reading, set: Set::Left }
    }

    /// A column of figures to read.
    pub fn figures(heading: impl Into<String>) -> Self {
        Self { set: Set::Right, ..Self::words(heading) }
    }

    /// A column of figures that are set on a dial.
    pub fn dial(heading: impl Into<String>) -> Self {
        Self { used: Use::Dial, ..Self::figures(heading) }
    }

    /// A column of numbers in rings that match the balloons of the picture.
    pub fn keys(heading: impl Into<String>) -> Self {
        Self { set: Set::Middle, ..Self::words(heading) }
    }
}

/// How a cell is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Look {
    /// As its column is.
    #[default]
    Plain,
    /// In bold.
    Strong,
    /// In a ring, to match a balloon.
    Ring,
}

/// Whether a figure rests only on what was said.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ground {
    /// It does.
    #[default]
    Given,
    /// It rests on something supposed: the table explains its sign at the foot.
    Supposed,
}

/// One cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// Its words.
    pub words: String,
    /// How they are shown.
    pub look: Look,
    /// What they rest on.
    pub ground: Ground,
    /// What they stand for, where that can be asked about.
    pub tag: Option<Tag>,
}

impl Cell {
    /// Plain words.
    pub fn words(words: impl Into<String>) -> Self {
        Self { words: words.into(), ..Self::default() }
    }

    /// Nothing.
    pub fn empty() -> Self {
        Self::default()
    }

    /// A row's number in its ring.
    pub fn key(key: impl Into<String>) -> Self {
        Self { look: Look::Ring, ..Self::words(key) }
    }

    /// A figure, which answers to its name and is marked if it rests on
    /// something supposed.
    pub fn figure(figure: &Figure) -> Self {
        let ground = if figure.assumed() { Ground::Supposed } else { Ground::Given };
        Self::resting(signed(&figure.shown), ground).tagged(Tag::of(figure))
    }

    /// Words marked for what they rest on.
    pub fn resting(words: impl Into<String>, ground: Ground) -> Self {
        let mut words = words.into();
        if ground == Ground::Supposed {
            words.push_str(ASSUMED);
        }
        Self { words, ground, ..Self::default() }
    }

    pub(crate) fn face(&self, used: Use) -> Face {
        match self.look {
            Look::Plain => used.face(),
            Look::Strong | Look::Ring => Face::Bold,
        }
    }

    /// The same in bold.
    #[must_use]
    pub fn strong(mut self) -> Self {
        self.look = Look::Strong;
        self
    }

    /// The same, standing for something.
    #[must_use]
    pub fn tagged(mut self, tag: Tag) -> Self {
        self.tag = Some(tag);
        self
    }
}

/// A table before it is set on a page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    columns: Vec<Column>,
    rows: Vec<Vec<Cell>>,
}

impl Table {
    /// A table with these columns and no rows yet.
    pub fn new(columns: Vec<Column>) -> Self {
        Self { columns, rows: Vec::new() }
    }

    /// Adds a row.
    ///
    /// # Panics
    /// When it has not one cell for each column: the caller has lost count.
    pub fn row(&mut self, cells: Vec<Cell>) -> &mut Self {
        assert_eq!(cells.len(), self.columns.len(), "a row has one cell for each column");
        self.rows.push(cells);
        self
    }

    /// The words of every cell, to be set in other letters.
    pub(crate) fn words_mut(&mut self) -> impl Iterator<Item = &mut String> {
        self.rows.iter_mut().flatten().map(|cell| &mut cell.words)
    }

    /// The columns.
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// The rows, top down.
    pub fn rows(&self) -> &[Vec<Cell>] {
        &self.rows
    }

    /// True when any figure in it rests on something supposed.
    pub fn supposes(&self) -> bool {
        self.rows.iter().flatten().any(|cell| cell.ground == Ground::Supposed)
    }

    /// Sets the table to a width. A row that would not fit on a page of this
    /// height under the heading is broken into strips that do.
    pub fn lay_out(&self, width_mm: f64, page_mm: f64, spacing: Spacing) -> Laid<'_> {
        Laid::new(self, width_mm, page_mm, spacing)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{Ink, Mark, Point, Shape};
    use proptest::prelude::*;

    fn table(words: &[String]) -> Table {
        let mut table = Table::new(vec![
            Column::keys("No."),
            Column::words("Do"),
            Column::dial("X"),
            Column::dial("Y"),
            Column::words("Check"),
        ]);
        for (n, row) in words.chunks(2).enumerate() {
            let second = row.get(1).cloned().unwrap_or_default();
            table.row(vec![
                Cell::key((n + 1).to_string()),
                Cell::words(&row[0]),
                Cell::words("123.456"),
                Cell::words("−0.005"),
                Cell::words(second),
            ]);
        }
        table
    }

    fn texts(ink: &Ink) -> Vec<&Mark> {
        ink.marks.iter().filter(|m| matches!(m.shape, Shape::Text(_))).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// Whatever is written in it, the lettering of a cell stays in the cell,
        /// and a row is never taller than it may be.
        #[test]
        fn lettering_stays_in_its_cell(
            words in prop::collection::vec("[ a-zA-Z0-9.,<>&ØgjpqyQ\u{4e00}-\u{4e20}]{0,120}", 1..9),
            width in 110.0..180.0f64,
            spacing in prop_oneof![Just(Spacing::Usual), Just(Spacing::Close)],
        ) {
            let table = table(&words);
            let laid = table.lay_out(width, 60.0, spacing);
            prop_assert!(laid.width_mm() <= width + 1e-3);
            for strip in &laid.strips {
                prop_assert!(laid.heading_mm + strip.height_mm <= 60.0 + 1e-9);
                let corner = Point::mm(20.0, 30.0);
                let mut ink = Ink::new();
                laid.draw_strip(&mut ink, strip, corner);
                let cells = laid.cells(strip, corner);
                for text in texts(&ink) {
                    prop_assert!(cells.iter().any(|cell| cell.holds(text.bounds())), "{:?}", text);
                }
            }
        }
    }

    #[test]
    fn what_is_set_on_a_dial_is_at_least_twelve_point_and_the_rest_nine() {
        let table = table(&["drill".into(), "plug gauge".into()]);
        let laid = table.lay_out(172.0, 100.0, Spacing::Close);
        let mut ink = Ink::new();
        laid.draw_heading(&mut ink, Point::default());
        laid.draw_strip(&mut ink, &laid.strips[0], Point::mm(0.0, 20.0));
        for mark in texts(&ink) {
            let Shape::Text(text) = &mark.shape else { continue };
            let least = if text.words.contains('.') && text.words != "No." { 12.0 } else { 9.0 };
            assert!(text.size_pt >= least, "{text:?}");
        }
    }

    #[test]
    fn a_row_taller_than_the_page_is_broken_and_loses_nothing() {
        let long = vec!["word ".repeat(2000), String::new()];
        let table = table(&long);
        let laid = table.lay_out(172.0, 200.0, Spacing::Usual);
        assert!(laid.strips.len() > 1);
        let mut ink = Ink::new();
        for strip in &laid.strips {
            laid.draw_strip(&mut ink, strip, Point::default());
        }
        let words: usize = texts(&ink)
            .iter()
            .map(|m| match &m.shape {
                Shape::Text(text) => text.words.matches("word").count(),
                _ => 0,
            })
            .sum();
        assert_eq!(words, 2000);
    }
}
