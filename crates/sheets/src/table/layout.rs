//! A table set to a width: lines in cells, strips of rows, ink.

use super::{Column, Look, Set, Spacing, Table, widths};
use crate::callout::{BALLOON_RADIUS_MM, ring};
use crate::font::{Face, wrap};
use crate::ink::{Anchor, Bounds, Ink, Line, Point, Text};

/// Clear paper left and right of the lettering of a cell.
pub(super) const PAD_MM: f64 = 1.5;
/// Clear paper above and below it.
fn row_pad_mm(spacing: Spacing) -> f64 {
    match spacing {
        Spacing::Usual => 1.2,
        Spacing::Close => 0.6,
    }
}
pub(super) const HEADING_PT: f64 = 9.0;
pub(super) const HEADING_FACE: Face = Face::Bold;

/// A table set to a width.
#[derive(Clone, Debug)]
pub struct Laid<'a> {
    table: &'a Table,
    widths_mm: Vec<f64>,
    pad_mm: f64,
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
    /// The first base line below the top, shared by every cell however large it is set.
    first_base_mm: f64,
    /// How tall it is.
    pub height_mm: f64,
}

impl<'a> Laid<'a> {
    pub(super) fn new(table: &'a Table, width_mm: f64, page_mm: f64, spacing: Spacing) -> Self {
        let pad_mm = row_pad_mm(spacing);
        let widths_mm = widths::share(table, width_mm);
        let inner_mm: Vec<f64> = widths_mm.iter().map(|w| w - 2.0 * PAD_MM).collect();
        let heading: Vec<Vec<String>> = table
            .columns()
            .iter()
            .zip(&inner_mm)
            .map(|(column, inner)| wrap(&column.heading, HEADING_FACE, HEADING_PT, *inner))
            .collect();
        let deepest = heading.iter().map(Vec::len).max().unwrap_or(0) as f64;
        let heading_mm = deepest * Text::leading_mm(HEADING_PT) + 2.0 * pad_mm;
        let strips = (0..table.rows().len())
            .flat_map(|row| strips(table, row, &inner_mm, page_mm - heading_mm, pad_mm))
            .collect();
        Self { table, widths_mm, pad_mm, heading, heading_mm, strips }
    }

    /// How wide the table is.
    pub fn width_mm(&self) -> f64 {
        self.widths_mm.iter().sum()
    }

    /// Draws the heading with its top left corner here.
    pub fn draw_heading(&self, ink: &mut Ink, corner: Point) {
        let foot = corner.moved(0.0, self.heading_mm);
        ink.line(Line::Visible, foot, foot.moved(self.width_mm(), 0.0));
        let leading_mm = Text::leading_mm(HEADING_PT);
        let last_mm = self.heading_mm - self.pad_mm - HEADING_FACE.descent_mm(HEADING_PT);
        for ((column, lines), (left_mm, width_mm)) in
            self.table.columns().iter().zip(&self.heading).zip(self.spans())
        {
            let (x_mm, anchor) = stand(column.set, left_mm, width_mm);
            // Headings stand on the rule, however many lines their neighbours take.
            for (k, line) in lines.iter().rev().enumerate() {
                let at = corner.moved(x_mm, last_mm - leading_mm * k as f64);
                ink.text(Text::new(line, HEADING_PT, at).face(HEADING_FACE).anchor(anchor));
            }
        }
    }

    /// Draws one strip with its top left corner here, and the rule below it.
    pub fn draw_strip(&self, ink: &mut Ink, strip: &Strip, corner: Point) {
        let foot = corner.moved(0.0, strip.height_mm);
        ink.line(Line::Rule, foot, foot.moved(self.width_mm(), 0.0));
        let cells = &self.table.rows()[strip.row];
        for (((column, cell), lines), (left_mm, width_mm)) in
            self.table.columns().iter().zip(cells).zip(&strip.lines).zip(self.spans())
        {
            let size_pt = column.used.size_pt();
            let (x_mm, anchor) = stand(column.set, left_mm, width_mm);
            ink.tagged(cell.tag.as_ref(), |ink| {
                for (k, line) in lines.iter().enumerate() {
                    if cell.look == Look::Ring {
                        let down_mm = self.pad_mm + BALLOON_RADIUS_MM;
                        ring(ink, corner.moved(left_mm + width_mm / 2.0, down_mm), line);
                    } else {
                        let base_mm = strip.first_base_mm + Text::leading_mm(size_pt) * k as f64;
                        let text = Text::new(line, size_pt, corner.moved(x_mm, base_mm));
                        ink.text(text.face(cell.face(column.used)).anchor(anchor));
                    }
                }
            });
        }
    }

    /// The boxes of the cells of a strip drawn with its top left corner here.
    pub fn cells(&self, strip: &Strip, corner: Point) -> Vec<Bounds> {
        self.spans()
            .map(|(left, width)| Bounds::new(corner.x_mm + left, corner.y_mm, width, strip.height_mm))
            .collect()
    }

    /// Left side and width of each column.
    fn spans(&self) -> impl Iterator<Item = (f64, f64)> {
        self.widths_mm.iter().scan(0.0, |left_mm, width_mm| {
            let span = (*left_mm, *width_mm);
            *left_mm += width_mm;
            Some(span)
        })
    }
}

/// Breaks a row into strips no taller than they may be, nearly always one.
fn strips(table: &Table, row: usize, inner_mm: &[f64], tallest_mm: f64, pad_mm: f64) -> Vec<Strip> {
    let cells = &table.rows()[row];
    let ringed = cells.iter().any(|cell| cell.look == Look::Ring);
    let mut rest: Vec<Vec<String>> = table
        .columns()
        .iter()
        .zip(cells)
        .zip(inner_mm)
        .map(|((column, cell), inner)| match cell.look {
            Look::Ring => vec![cell.words.clone()],
            _ => wrap(&cell.words, cell.face(column.used), column.used.size_pt(), *inner),
        })
        .collect();
    let first_base_mm = pad_mm + first_base_mm(table.columns(), ringed);
    let mut strips = Vec::new();
    loop {
        let mut height_mm =
            if ringed && strips.is_empty() { 2.0 * (BALLOON_RADIUS_MM + pad_mm) } else { 0.0 };
        let mut lines = Vec::new();
        for (column, cell) in table.columns().iter().zip(&mut rest) {
            let size_pt = column.used.size_pt();
            let leading_mm = Text::leading_mm(size_pt);
            let around_mm = first_base_mm + column.used.face().descent_mm(size_pt) + pad_mm;
            let most = ((tallest_mm - around_mm) / leading_mm).floor().max(0.0) as usize + 1;
            let later = cell.split_off(cell.len().min(most));
            if !cell.is_empty() {
                height_mm = f64::max(height_mm, around_mm + leading_mm * (cell.len() - 1) as f64);
            }
            lines.push(std::mem::replace(cell, later));
        }
        strips.push(Strip { row, lines, first_base_mm, height_mm });
        if rest.iter().all(Vec::is_empty) {
            return strips;
        }
    }
}

/// The first base line of a row below its padding: low enough for the tallest
/// capitals, and level with the figure in a ring.
fn first_base_mm(columns: &[Column], ringed: bool) -> f64 {
    let capitals_mm = columns
        .iter()
        .map(|column| column.used.face().cap_height_mm(column.used.size_pt()))
        .fold(0.0, f64::max);
    if ringed { BALLOON_RADIUS_MM + capitals_mm / 2.0 } else { capitals_mm + 0.4 }
}

fn stand(set: Set, left_mm: f64, width_mm: f64) -> (f64, Anchor) {
    match set {
        Set::Left => (left_mm + PAD_MM, Anchor::Start),
        Set::Right => (left_mm + width_mm - PAD_MM, Anchor::End),
        Set::Middle => (left_mm + width_mm / 2.0, Anchor::Middle),
    }
}
