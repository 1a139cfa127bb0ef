//! Sheets as blocks, and blocks set out on pages.
//!
//! A sheet says what it holds, in order: words, a picture, a table, cautions.
//! [`paginate`] sets sheets out on A4 with their frame and title block;
//! [`crate::html`] writes the same blocks as a web page.

mod flow;

use workshop::problem::Outcome;

use crate::furniture::Title;
use crate::ink::Ink;
use crate::picture::Picture;
use crate::table::Table;

/// One piece of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading inside the sheet.
    Heading(String),
    /// A paragraph.
    Words(String),
    /// A picture of the work, no taller than this on paper.
    Picture {
        /// The picture.
        picture: Picture,
        /// The paper it may take.
        tallest_mm: f64,
    },
    /// A table.
    Table(Table),
    /// What may go wrong in this setup, one caution a line, under a warning sign.
    Cautions(Vec<String>),
    /// Things to have ready or to do, each with a box to tick.
    Ticks(Vec<String>),
}

/// One sheet: it begins on a page of its own and takes as many as it needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The heading of its pages: `Setup 2: ends, on the rotary table`.
    pub heading: String,
    /// What its title block says.
    pub title: Title,
    /// What it holds, top down.
    pub blocks: Vec<Block>,
}

/// Sets sheets out on A4 pages, each with its frame, heading and title block.
///
/// # Errors
/// A [`workshop::problem::Problem`] for every picture that does not fit at any
/// standard scale.
pub fn paginate(sheets: &[Sheet]) -> Outcome<Vec<Ink>> {
    flow::paginate(sheets)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::furniture::{BODY, FRAME};
    use crate::ink::{Line, Shape};
    use crate::picture::Place;
    use crate::table::{Cell, Column};

    fn words_of(page: &Ink) -> Vec<&str> {
        page.marks
            .iter()
            .filter_map(|m| match &m.shape {
                Shape::Text(text) => Some(text.words.as_str()),
                _ => None,
            })
            .collect()
    }

    fn sheet(blocks: Vec<Block>) -> Sheet {
        Sheet { heading: "Setup 1".into(), title: Title { part: "Lever".into(), ..Title::default() }, blocks }
    }

    fn long_table(rows: usize) -> Table {
        let mut table = Table::new(vec![Column::keys("No."), Column::words("Operation"), Column::dial("X")]);
        for n in 1..=rows {
            table.row(vec![
                Cell::key(n.to_string()),
                Cell::words(format!("row-{n} drill through")),
                Cell::words("12.50"),
            ]);
        }
        table
    }

    #[test]
    fn a_long_table_breaks_over_pages_with_its_heading_and_every_row_once() {
        let pages = paginate(&[sheet(vec![Block::Table(long_table(80))])]).unwrap();
        assert!(pages.len() > 2);
        for page in &pages {
            assert!(words_of(page).contains(&"Operation"), "a page without the heading of its table");
        }
        for n in 1..=80 {
            let row = format!("row-{n} drill through");
            let times = pages.iter().flat_map(words_of).filter(|w| *w == row).count();
            assert_eq!(times, 1, "{row}");
        }
        let last = words_of(&pages[pages.len() - 1]).join(" | ");
        assert!(last.contains(&format!("{0} of {0}", pages.len())), "{last}");
    }

    #[test]
    fn nothing_is_drawn_outside_the_frame_nor_over_the_title_block() {
        let mut picture = Picture::new();
        picture.circle(Place::mm(0.0, 0.0), 30.0, Some(Line::Visible), crate::ink::Fill::Tint);
        let blocks = vec![
            Block::Heading("To have ready".into()),
            Block::Ticks(vec!["a drill of 7.8 mm".into(); 30]),
            Block::Picture { picture, tallest_mm: 120.0 },
            Block::Cautions(vec!["Stop the spindle before the rule goes near the work. ".repeat(40)]),
            Block::Words("x".repeat(20_000)),
        ];
        let pages = paginate(&[sheet(blocks)]).unwrap();
        for page in &pages {
            for mark in &page.marks {
                assert!(FRAME.holds(mark.bounds()), "{mark:?}");
            }
        }
        let body_foot = pages[0]
            .marks
            .iter()
            .filter(|m| matches!(&m.shape, Shape::Text(t) if t.words.contains("drill of")))
            .map(|m| m.bounds().bottom_mm)
            .fold(0.0, f64::max);
        assert!(body_foot <= BODY.bottom_mm);
    }

    #[test]
    fn every_picture_that_does_not_fit_is_reported() {
        let mut picture = Picture::new();
        picture.words(Place::mm(0.0, 0.0), "w".repeat(500));
        let blocks = vec![
            Block::Picture { picture: picture.clone(), tallest_mm: 50.0 },
            Block::Picture { picture, tallest_mm: 50.0 },
        ];
        let problems = paginate(&[sheet(blocks)]).unwrap_err();
        assert_eq!(problems.len(), 2);
        assert_eq!(problems[0].place(), "sheet `Setup 1`");
    }
}
