//! Sheets as blocks, and blocks set out on pages.
//!
//! A sheet says what it holds, in order: words, a picture, a table, cautions.
//! [`paginate`] sets sheets out on A4 with their frame and title block;
//! [`crate::html`] writes the same blocks as a web page.

mod flow;

use crate::furniture::Title;
use crate::grid::Setting;
use crate::ink::Ink;
use crate::picture::Placed;
use crate::rows::Rows;
use crate::table::{Cell, Table};

/// One piece of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading inside the sheet.
    Heading(String),
    /// A paragraph.
    Words(String),
    /// Short statements, one a line, each with a point before it.
    Points(Vec<String>),
    /// Named facts: `Held by: in the vice, on parallels`.
    Facts(Vec<Fact>),
    /// A picture of the work and the words under it.
    Picture {
        /// The picture.
        placed: Placed,
        /// What it shows.
        caption: String,
    },
    /// A table.
    Table(Table),
    /// The operations of a setup, with everything to set.
    Rows(Rows),
    /// What may go wrong in this setup, one caution a line, under a warning sign.
    /// At the end of a sheet they stand at the foot of the page.
    Cautions(Vec<String>),
    /// Things to have ready or to do, each with a box to tick.
    Ticks(Vec<String>),
}

/// A fact and what it is called.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// What it is called.
    pub name: String,
    /// What it says.
    pub says: Says,
}

/// What a fact says.
#[derive(Clone, Debug, PartialEq)]
pub enum Says {
    /// Words, or one figure to read.
    Words(Cell),
    /// Figures to set.
    Settings(Vec<Setting>),
}

impl Fact {
    /// A fact in words.
    pub fn words(name: &str, words: &str) -> Self {
        Self { name: name.into(), says: Says::Words(Cell::words(words)) }
    }
}

/// Whether a sheet must have its page to itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// It must.
    #[default]
    Own,
    /// It is short, and may share one with the sheet before or after it.
    Shared,
}

/// One sheet: it begins on a page of its own, unless it may share one, and takes
/// as many as it needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The number of the setup, which stands in a ring before the heading.
    pub ring: Option<String>,
    /// The heading of its pages: `Mill: ends, on the rotary table`.
    pub heading: String,
    /// What its title block says.
    pub title: Title,
    /// What it holds, top down.
    pub blocks: Vec<Block>,
    /// Whether its page is its own.
    pub paper: Paper,
}

/// Sets sheets out on A4 pages, each with its frame, heading and title block.
pub fn paginate(sheets: &[Sheet]) -> Vec<Ink> {
    flow::paginate(sheets, &|_, _| None)
}

/// The same, with smaller pictures where that lets sheets share a page: `smaller` gives the picture of a
/// sheet, by its place, at each level of smallness from nought on, as long as it stays clear.
pub(crate) fn paginate_close(sheets: &[Sheet], smaller: &Smaller) -> Vec<Ink> {
    flow::paginate(sheets, smaller)
}

/// How many levels of smallness there are.
pub(crate) const LEVELS: usize = 6;

/// The picture of a sheet by its place, at a level of smallness.
pub(crate) type Smaller<'a> = dyn Fn(usize, usize) -> Option<Block> + 'a;

/// How many pages a sheet takes by itself.
pub(crate) fn pages(sheet: &Sheet) -> usize {
    flow::pages(sheet)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::furniture::{BODY, FRAME};
    use crate::ink::{Line, Shape};
    use crate::picture::{Picture, Place};
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
        let title = Title { part: "Lever".into(), ..Title::default() };
        Sheet { ring: Some("1".into()), heading: "Setup 1".into(), title, blocks, paper: Paper::Own }
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
        let pages = paginate(&[sheet(vec![Block::Table(long_table(80))])]);
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

    /// A heading goes over with the first row of its table, however high that is.
    #[test]
    fn no_heading_stands_alone_at_the_foot_of_a_page() {
        let mut table = Table::new(vec![Column::words("Why")]);
        table.row(vec![Cell::words("a row of many lines ".repeat(40))]);
        for lines in 30..60 {
            let blocks = vec![
                Block::Points(vec!["a point".into(); lines]),
                Block::Heading("Not told".into()),
                Block::Table(table.clone()),
            ];
            for page in paginate(&[sheet(blocks)]) {
                let words = words_of(&page);
                assert_eq!(words.contains(&"Not told"), words.contains(&"Why"), "{lines} lines before it");
            }
        }
    }

    /// A short sheet begins under another of the same work where that turns no page more.
    #[test]
    fn short_sheets_share_a_page_and_long_ones_do_not() {
        let of = |rows: usize, paper| Sheet { paper, ..sheet(vec![Block::Table(long_table(rows))]) };
        let pages = |sheets: &[Sheet]| paginate(sheets).len();
        let short = || of(6, Paper::Shared);
        assert_eq!(pages(&[short(), short(), short()]), 1);
        assert_eq!(pages(&[of(6, Paper::Own), of(6, Paper::Own)]), 2);
        assert_eq!(pages(&[of(25, Paper::Shared), of(25, Paper::Shared)]), 2);
        let other = Sheet { title: Title { part: "Link".into(), ..Title::default() }, ..short() };
        assert_eq!(pages(&[short(), other]), 2);
    }

    fn pictured(high_mm: f64) -> Block {
        let mut picture = Picture::new();
        picture.circle(Place::mm(0.0, 0.0), high_mm * 0.45, Some(Line::Visible), crate::ink::Fill::None);
        Block::Picture { placed: picture.fit(172.0, high_mm).unwrap(), caption: String::new() }
    }

    /// Two sheets with pictures of 110 mm have a page each; with pictures of 50 mm, where these may be
    /// so small, they share one; and none is smaller than it must be.
    #[test]
    fn sheets_share_a_page_with_smaller_pictures_where_these_stay_clear() {
        let of = |high_mm: f64| {
            let blocks = vec![pictured(high_mm), Block::Table(long_table(4))];
            Sheet { paper: Paper::Shared, ..sheet(blocks) }
        };
        let sheets = [of(110.0), of(110.0)];
        assert_eq!(paginate(&sheets).len(), 2);
        let highest = |pages: &[Ink]| {
            let circles = pages.iter().flat_map(|page| &page.marks);
            let high = circles.filter(|mark| matches!(mark.shape, Shape::Circle { .. }));
            high.map(|mark| mark.bounds().height_mm()).fold(0.0, f64::max)
        };
        let smaller = |levels: &'static [f64]| {
            paginate_close(&sheets, &move |_, level| levels.get(level).map(|high_mm| pictured(*high_mm)))
        };
        assert_eq!(smaller(&[90.0, 50.0, 20.0]).len(), 1);
        assert_eq!(smaller(&[105.0, 100.0]).len(), 2, "nor is any so small");
        assert!(highest(&smaller(&[90.0, 50.0, 20.0])) > 20.0, "no smaller than it must be");
    }

    /// A row that goes on over the page has its number and its words there again.
    #[test]
    fn the_rest_of_a_row_is_told_what_it_is_of() {
        let figure = |n: usize| {
            let name = format!("setup 1, 7: setting number-{n}");
            crate::grid::Setting::of(&workshop::why::Figure::new(name, "12 mm", workshop::why::Why::new("x")))
        };
        let row = crate::rows::Operation {
            key: "7".into(),
            what: "mill the long way".into(),
            sets: (0..150).map(figure).collect(),
            ..Default::default()
        };
        let pages = paginate(&[sheet(vec![Block::Rows(Rows(vec![row]))])]);
        assert!(pages.len() > 1);
        for (n, page) in pages.iter().enumerate() {
            let words = words_of(page);
            assert!(words.contains(&"7"), "page {n}");
            assert_eq!(words.contains(&"mill the long way (continued)"), n > 0, "page {n}");
        }
    }

    /// One long thing to have ready does not set all the others one below the other.
    #[test]
    fn short_things_stand_in_columns_beside_a_long_one() {
        let mut things: Vec<String> = (0..9).map(|n| format!("drill-{n}")).collect();
        things.insert(
            4,
            "flat of mild steel that is bought for the thickness of the body alone, to buy".into(),
        );
        let page = &paginate(&[sheet(vec![Block::Ticks(things)])])[0];
        let line = |word: &str| {
            let own = |mark: &&crate::ink::Mark| matches!(&mark.shape, Shape::Text(t) if t.words == word);
            (page.marks.iter().find(own).expect(word).bounds().bottom_mm * 10.0).round()
        };
        assert_eq!(line("drill-0"), line("drill-2"));
        assert_eq!(line("drill-3"), line("drill-5"), "the long one does not come between");
        assert!(words_of(page).iter().any(|words| words.starts_with("flat of mild steel")));
    }

    #[test]
    fn nothing_is_drawn_outside_the_frame_nor_over_the_title_block() {
        let mut picture = Picture::new();
        picture.circle(Place::mm(0.0, 0.0), 30.0, Some(Line::Visible), crate::ink::Fill::Tint);
        let blocks = vec![
            Block::Heading("To have ready".into()),
            Block::Ticks(vec!["a drill of 7.8 mm".into(); 30]),
            Block::Picture { placed: picture.fit(172.0, 120.0).unwrap(), caption: "from above ".repeat(60) },
            Block::Cautions(vec!["Stop the spindle before the rule goes near the work. ".repeat(40)]),
            Block::Words("x".repeat(20_000)),
        ];
        let pages = paginate(&[sheet(blocks)]);
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
}
