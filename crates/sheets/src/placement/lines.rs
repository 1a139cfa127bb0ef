//! The straight lines on a sheet of paper, found by where they run.

use crate::ink::{Bounds, Point};

/// How wide a cell of the paper is: about a balloon.
const CELL_MM: f64 = 10.0;
/// How many cells lie on each side of the nought, each way. Lines farther out lie in
/// the outermost.
const CELLS: usize = 32;

/// Lines of a drawing, each kept in every cell that its box touches.
#[derive(Clone, Debug)]
pub struct Lines {
    all: Vec<Kept>,
    /// In which entry the lines of each cell begin.
    cells: Vec<u32>,
    entries: Vec<Entry>,
}

/// One line in one cell, and the next entry of that cell.
#[derive(Clone, Copy, Debug)]
struct Entry {
    line: u32,
    next: u32,
}

/// Where the entries of a cell end.
const NONE: u32 = u32::MAX;

/// A line, the box round it, and the first cell that the box touches.
#[derive(Clone, Copy, Debug)]
struct Kept {
    line: (Point, Point),
    around: Bounds,
    first: (usize, usize),
}

impl Default for Lines {
    fn default() -> Self {
        Self { all: Vec::new(), cells: vec![NONE; 4 * CELLS * CELLS], entries: Vec::new() }
    }
}

impl Extend<(Point, Point)> for Lines {
    fn extend<T: IntoIterator<Item = (Point, Point)>>(&mut self, lines: T) {
        for line in lines {
            let own = number(self.all.len());
            let around = around(line);
            let [first, last] = corners(around);
            for row in first.1..=last.1 {
                for column in first.0..=last.0 {
                    let begins =
                        std::mem::replace(&mut self.cells[index(column, row)], number(self.entries.len()));
                    self.entries.push(Entry { line: own, next: begins });
                }
            }
            self.all.push(Kept { line, around, first });
        }
    }
}

impl Lines {
    /// The lines whose boxes touch a box, each once.
    pub fn near(&self, place: Bounds) -> impl Iterator<Item = (Point, Point)> {
        let [first, last] = corners(place);
        let cells =
            (first.1..=last.1).flat_map(move |row| (first.0..=last.0).map(move |column| (column, row)));
        cells.flat_map(move |(column, row)| {
            let entry = |at: u32| self.entries.get(at as usize);
            let lines =
                std::iter::successors(entry(self.cells[index(column, row)]), move |own| entry(own.next));
            lines.filter_map(move |own| {
                let Kept { line, around, first: begins } = &self.all[own.line as usize];
                let apart = around.right_mm < place.left_mm
                    || around.left_mm > place.right_mm
                    || around.bottom_mm < place.top_mm
                    || around.top_mm > place.bottom_mm;
                // It is met in each cell that both touch, and told in the first of them.
                let told = (begins.0.max(first.0), begins.1.max(first.1)) == (column, row);
                (told && !apart).then_some(*line)
            })
        })
    }
}

fn number(of: usize) -> u32 {
    u32::try_from(of).expect("a page has fewer lines than that")
}

fn around((from, to): (Point, Point)) -> Bounds {
    Bounds {
        left_mm: from.x_mm.min(to.x_mm),
        top_mm: from.y_mm.min(to.y_mm),
        right_mm: from.x_mm.max(to.x_mm),
        bottom_mm: from.y_mm.max(to.y_mm),
    }
}

/// Which cell a distance from the nought lies in, counted from the outermost.
fn cell_of(mm: f64) -> usize {
    // A number below nought becomes nought.
    ((mm / CELL_MM + CELLS as f64) as usize).min(2 * CELLS - 1)
}

fn corners(b: Bounds) -> [(usize, usize); 2] {
    [(cell_of(b.left_mm), cell_of(b.top_mm)), (cell_of(b.right_mm), cell_of(b.bottom_mm))]
}

fn index(column: usize, row: usize) -> usize {
    row * 2 * CELLS + column
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Whatever lies where, even off the paper: those found are those whose boxes touch.
        #[test]
        fn every_line_near_a_place_is_found_once(
            ends in prop::collection::vec((-400.0..400.0f64, -400.0..400.0f64, -90.0..90.0f64, -90.0..90.0f64), 0..60),
            (x, y, width, height) in (-420.0..420.0f64, -420.0..420.0f64, 0.0..120.0f64, 0.0..120.0f64),
        ) {
            let all: Vec<_> = ends
                .into_iter()
                .map(|(x, y, dx, dy)| (Point::mm(x, y), Point::mm(x + dx, y + dy)))
                .collect();
            let mut lines = Lines::default();
            lines.extend(all.iter().copied());
            let place = Bounds::new(x, y, width, height);
            let touches = |line: &(Point, Point)| {
                let own = Bounds::around([line.0, line.1]);
                own.left_mm <= place.right_mm && own.right_mm >= place.left_mm
                    && own.top_mm <= place.bottom_mm && own.bottom_mm >= place.top_mm
            };
            let key = |line: &(Point, Point)| {
                [line.0.x_mm, line.0.y_mm, line.1.x_mm, line.1.y_mm].map(f64::to_bits)
            };
            let mut expected: Vec<_> = all.iter().filter(|line| touches(line)).map(key).collect();
            let mut found: Vec<_> = lines.near(place).map(|line| key(&line)).collect();
            expected.sort_unstable();
            found.sort_unstable();
            prop_assert_eq!(found, expected);
        }
    }
}
