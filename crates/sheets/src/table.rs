//! Tables on paper: cells that wrap, columns that share the width, rows that
//! break over pages under a repeated heading.

use workshop::why::Figure;

use crate::callout::{BALLOON_RADIUS_MM, ring};
use crate::font::{Face, wrap};
use crate::ink::{Anchor, Bounds, Ink, Line, Point, Tag, Text};

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

/// One cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// Its words.
    pub words: String,
    /// How they are shown.
    pub look: Look,
    /// What they stand for, where that can be asked about.
    pub tag: Option<Tag>,
}

/// The sign after a figure that rests on something supposed.
pub const ASSUMED: &str = "*";

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
        let mark = if figure.assumed() { ASSUMED } else { "" };
        Self::words(format!("{}{mark}", figure.shown)).tagged(tag(figure))
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

/// The name and sentence of a figure, for a mark that shows it.
pub fn tag(figure: &Figure) -> Tag {
    Tag { why: figure.name.clone(), hover: figure.why.statement.clone() }
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

    /// The columns.
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// The rows, top down.
    pub fn rows(&self) -> &[Vec<Cell>] {
        &self.rows
    }

    /// Sets the table to a width. A row taller than `tallest_mm` is broken into
    /// strips that are not.
    pub fn lay_out(&self, width_mm: f64, tallest_mm: f64) -> Laid<'_> {
        let widths_mm = self.share(width_mm);
        let mut strips = Vec::new();
        for (row, cells) in self.rows.iter().enumerate() {
            let lines: Vec<Vec<String>> =
                (0..self.columns.len()).map(|n| self.lines(&cells[n], n, widths_mm[n])).collect();
            strips.extend(self.strips(row, lines, tallest_mm));
        }
        let heading: Vec<Vec<String>> = (0..self.columns.len())
            .map(|n| wrap(&self.columns[n].heading, HEADING_FACE, HEADING_PT, widths_mm[n] - 2.0 * PAD_MM))
            .collect();
        let deepest = heading.iter().map(Vec::len).max().unwrap_or(0) as f64;
        let heading_mm = deepest * Text::leading_mm(HEADING_PT) + 2.0 * ROW_PAD_MM;
        Laid { table: self, widths_mm, heading, heading_mm, strips }
    }

    fn lines(&self, cell: &Cell, column: usize, width_mm: f64) -> Vec<String> {
        if cell.look == Look::Ring {
            return vec![cell.words.clone()];
        }
        let used = self.columns[column].used;
        wrap(&cell.words, face(cell, used), used.size_pt(), width_mm - 2.0 * PAD_MM)
    }

    fn strips(&self, row: usize, mut lines: Vec<Vec<String>>, tallest_mm: f64) -> Vec<Strip> {
        let mut strips = Vec::new();
        loop {
            let mut rest: Vec<Vec<String>> = Vec::new();
            let mut height_mm = 0.0_f64;
            for (n, cell) in lines.iter_mut().enumerate() {
                let leading_mm = Text::leading_mm(self.columns[n].used.size_pt());
                let room = ((tallest_mm - 2.0 * ROW_PAD_MM) / leading_mm).floor().max(1.0) as usize;
                rest.push(cell.split_off(cell.len().min(room)));
                height_mm = height_mm.max(cell.len() as f64 * leading_mm);
            }
            let ringed = strips.is_empty() && self.rows[row].iter().any(|c| c.look == Look::Ring);
            if ringed {
                height_mm = height_mm.max(2.0 * BALLOON_RADIUS_MM);
            }
            let done = rest.iter().all(Vec::is_empty);
            strips.push(Strip { row, lines, height_mm: height_mm + 2.0 * ROW_PAD_MM });
            if done {
                return strips;
            }
            lines = rest;
        }
    }

    /// Shares the width out: every column gets its longest word if it can, then
    /// what is left goes to those whose lines are longest.
    fn share(&self, width_mm: f64) -> Vec<f64> {
        let (mut least, mut natural) = (Vec::new(), Vec::new());
        for (n, column) in self.columns.iter().enumerate() {
            let heading = longest_word_mm(&column.heading, HEADING_FACE, HEADING_PT);
            let (mut narrow, mut wide) = (heading, HEADING_FACE.width_mm(&column.heading, HEADING_PT));
            for cell in self.rows.iter().map(|row| &row[n]) {
                let (face, size) = (face(cell, column.used), column.used.size_pt());
                let (word, line) = match (cell.look, column.used) {
                    (Look::Ring, _) => (2.0 * BALLOON_RADIUS_MM, 2.0 * BALLOON_RADIUS_MM),
                    _ => {
                        let line = cell.words.split('\n').map(|l| face.width_mm(l, size)).fold(0.0, f64::max);
                        (longest_word_mm(&cell.words, face, size), line)
                    }
                };
                narrow = narrow.max(word);
                wide = wide.max(line);
            }
            least.push(narrow + 2.0 * PAD_MM + ROUNDING_MM);
            natural.push(wide.max(narrow) + 2.0 * PAD_MM + ROUNDING_MM);
        }
        let (sum_least, sum_natural): (f64, f64) = (least.iter().sum(), natural.iter().sum());
        if sum_least >= width_mm {
            return shrink(&least, width_mm);
        }
        if sum_natural <= width_mm {
            // Air goes to the columns of words; figures stay close together.
            let words: Vec<bool> = self.columns.iter().map(|c| c.set == Set::Left).collect();
            let takers = words.iter().filter(|w| **w).count();
            let air = width_mm - sum_natural;
            return natural
                .iter()
                .zip(words)
                .map(|(w, takes)| match (takes, takers) {
                    (_, 0) => w + air / self.columns.len() as f64,
                    (true, _) => w + air / takers as f64,
                    (false, _) => *w,
                })
                .collect();
        }
        let share = (width_mm - sum_least) / (sum_natural - sum_least);
        least.iter().zip(&natural).map(|(l, n)| l + (n - l) * share).collect()
    }
}

/// When not even the longest words fit, the widest columns give way first, down
/// to one level, and words break.
fn shrink(least: &[f64], width_mm: f64) -> Vec<f64> {
    let mut sorted = least.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mut left_mm = width_mm;
    let mut level_mm = f64::INFINITY;
    for (n, w) in sorted.iter().enumerate() {
        let even = left_mm / (sorted.len() - n) as f64;
        if *w >= even {
            level_mm = even;
            break;
        }
        left_mm -= w;
    }
    least.iter().map(|w| w.min(level_mm)).collect()
}

const PAD_MM: f64 = 1.5;
const ROW_PAD_MM: f64 = 1.1;
const HEADING_PT: f64 = 9.0;
const HEADING_FACE: Face = Face::Bold;
/// Sums of glyph widths in another order may differ in the last place; without
/// this a word could miss its own column by nothing.
const ROUNDING_MM: f64 = 1e-6;

fn face(cell: &Cell, used: Use) -> Face {
    match cell.look {
        Look::Plain => used.face(),
        Look::Strong | Look::Ring => Face::Bold,
    }
}

fn longest_word_mm(words: &str, face: Face, size_pt: f64) -> f64 {
    words.split_whitespace().map(|w| face.width_mm(w, size_pt)).fold(0.0, f64::max)
}

/// A table set to a width.
#[derive(Clone, Debug)]
pub struct Laid<'a> {
    table: &'a Table,
    widths_mm: Vec<f64>,
    heading: Vec<Vec<String>>,
    /// The height of the heading.
    pub heading_mm: f64,
    /// The rows, or pieces of rows, top down.
    pub strips: Vec<Strip>,
}

/// A row, or so much of it as stays together on one page.
#[derive(Clone, Debug)]
pub struct Strip {
    row: usize,
    lines: Vec<Vec<String>>,
    /// How tall it is.
    pub height_mm: f64,
}

impl Laid<'_> {
    /// How wide the table is.
    pub fn width_mm(&self) -> f64 {
        self.widths_mm.iter().sum()
    }

    /// Draws the heading with its top left corner here.
    pub fn draw_heading(&self, ink: &mut Ink, corner: Point) {
        let right_mm = self.width_mm();
        let foot = corner.moved(0.0, self.heading_mm);
        ink.line(Line::Visible, foot, foot.moved(right_mm, 0.0));
        let leading_mm = Text::leading_mm(HEADING_PT);
        let mut left_mm = 0.0;
        for (n, lines) in self.heading.iter().enumerate() {
            let column = &self.table.columns[n];
            // Headings stand on the rule, however many lines their neighbours take.
            let first_mm = self.heading_mm
                - ROW_PAD_MM
                - HEADING_FACE.descent_mm(HEADING_PT)
                - leading_mm * (lines.len() - 1) as f64;
            for (k, line) in lines.iter().enumerate() {
                let (x_mm, anchor) = stand(column.set, left_mm, self.widths_mm[n]);
                let at = corner.moved(x_mm, first_mm + leading_mm * k as f64);
                ink.text(Text::new(line, HEADING_PT, at).face(HEADING_FACE).anchor(anchor));
            }
            left_mm += self.widths_mm[n];
        }
    }

    /// Draws one strip with its top left corner here, and the rule below it.
    pub fn draw_strip(&self, ink: &mut Ink, strip: &Strip, corner: Point) {
        let foot = corner.moved(0.0, strip.height_mm);
        ink.line(Line::Rule, foot, foot.moved(self.width_mm(), 0.0));
        // The first lines of a row share a base line, however large each is set.
        let tallest_mm = self
            .table
            .columns
            .iter()
            .zip(&strip.lines)
            .filter(|(_, lines)| !lines.is_empty())
            .map(|(column, _)| column.used)
            .map(|used| Text::leading_mm(used.size_pt()) - used.face().descent_mm(used.size_pt()))
            .fold(0.0, f64::max);
        let mut left_mm = 0.0;
        for (n, lines) in strip.lines.iter().enumerate() {
            let column = &self.table.columns[n];
            let cell = &self.table.rows[strip.row][n];
            let size_pt = column.used.size_pt();
            let (x_mm, anchor) = stand(column.set, left_mm, self.widths_mm[n]);
            ink.tagged(cell.tag.as_ref(), |ink| {
                for (k, line) in lines.iter().enumerate() {
                    if cell.look == Look::Ring {
                        let middle =
                            corner.moved(left_mm + self.widths_mm[n] / 2.0, BALLOON_RADIUS_MM + ROW_PAD_MM);
                        ring(ink, middle, line);
                        continue;
                    }
                    let y_mm = ROW_PAD_MM
                        + self.first_base_mm(strip, tallest_mm, size_pt, lines.len())
                        + Text::leading_mm(size_pt) * k as f64;
                    let text = Text::new(line, size_pt, corner.moved(x_mm, y_mm));
                    ink.text(text.face(face(cell, column.used)).anchor(anchor));
                }
            });
            left_mm += self.widths_mm[n];
        }
    }

    /// The first base line of a cell below the top of its strip: shared with the
    /// tallest neighbour if the cell's lines still fit below that.
    fn first_base_mm(&self, strip: &Strip, tallest_mm: f64, size_pt: f64, lines: usize) -> f64 {
        let own_mm = Text::leading_mm(size_pt) - Face::Regular.descent_mm(size_pt);
        let room_mm = strip.height_mm - 2.0 * ROW_PAD_MM - Text::leading_mm(size_pt) * lines as f64;
        own_mm + (tallest_mm - own_mm).min(room_mm).max(0.0)
    }

    /// The boxes of the cells of a strip drawn with its top left corner here.
    pub fn cells(&self, strip: &Strip, corner: Point) -> Vec<Bounds> {
        let mut left_mm = corner.x_mm;
        self.widths_mm
            .iter()
            .map(|w| {
                let cell = Bounds::new(left_mm, corner.y_mm, *w, strip.height_mm);
                left_mm += w;
                cell
            })
            .collect()
    }
}

fn stand(set: Set, left_mm: f64, width_mm: f64) -> (f64, Anchor) {
    match set {
        Set::Left => (left_mm + PAD_MM, Anchor::Start),
        Set::Right => (left_mm + width_mm - PAD_MM, Anchor::End),
        Set::Middle => (left_mm + width_mm / 2.0, Anchor::Middle),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{Mark, Shape};
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
        ) {
            let table = table(&words);
            let laid = table.lay_out(width, 60.0);
            prop_assert!(laid.width_mm() <= width + 1e-3);
            for strip in &laid.strips {
                prop_assert!(strip.height_mm <= 60.0 + 1e-9);
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
        let laid = table.lay_out(172.0, 100.0);
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
        let laid = table.lay_out(172.0, 200.0);
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
