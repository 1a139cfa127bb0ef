//! One holding of the work.

use workshop::plan::sheet::{Row, SetupSheet};

use super::Book;
use crate::grid::{Setting, axis};
use crate::rows::{Operation, Rows};
use crate::scene::Datum;
use crate::sheet::{Block, Fact, Says, Sheet, paginate};

/// The picture takes about the upper two fifths of the page.
const TALLEST_MM: f64 = 108.0;
/// It takes less where that saves turning over in the middle of the work.
const LESS_MM: [f64; 2] = [84.0, 62.0];

pub(super) fn sheet(book: &Book<'_>, setup: &SetupSheet) -> Sheet {
    let datum = datum(setup);
    let usual = sheet_with(book, setup, book.picture(&setup.scene, datum, TALLEST_MM));
    let pages = |sheet: &Sheet| paginate(std::slice::from_ref(sheet)).len();
    let needed = pages(&usual);
    if needed == 1 {
        return usual;
    }
    let smaller = |height_mm: f64| book.smaller_picture(&setup.scene, datum, height_mm);
    let mut less = LESS_MM.into_iter().filter_map(smaller).map(|picture| sheet_with(book, setup, picture));
    less.find(|sheet| pages(sheet) < needed).unwrap_or(usual)
}

fn sheet_with(book: &Book<'_>, setup: &SetupSheet, picture: Block) -> Sheet {
    let mut facts = Vec::new();
    for (name, words) in [("Work", &setup.hands), ("Held", &setup.held), ("Located", &setup.located)] {
        if !words.is_empty() {
            facts.push(Fact::words(name, words));
        }
    }
    if !setup.presets.is_empty() {
        let settings = setup.presets.iter().map(Setting::of).collect();
        facts.push(Fact { name: "Set once".into(), says: Says::Settings(settings) });
    }
    let mut blocks = vec![Block::Facts(facts), picture];
    blocks.push(Block::Rows(Rows(setup.rows.iter().map(operation).collect())));
    if !setup.notes.is_empty() {
        blocks.push(Block::Points(setup.notes.clone()));
    }
    if !setup.cautions.is_empty() {
        blocks.push(Block::Cautions(setup.cautions.clone()));
    }
    Sheet {
        ring: Some(setup.number.to_string()),
        heading: setup.title.clone(),
        title: book.title(&setup.hands),
        blocks,
    }
}

/// Axes stand on the picture where something is set along them; on a lathe or
/// at the bench there is only a place to count from, if that.
pub(crate) fn datum(setup: &SetupSheet) -> Datum {
    let mut set = setup.presets.iter().chain(setup.rows.iter().flat_map(|row| &row.sets));
    if set.any(|figure| axis(figure.label()).is_some()) {
        Datum::Axes
    } else if setup.scene.dimensions.is_empty() {
        Datum::Hidden
    } else {
        Datum::Place
    }
}

fn operation(row: &Row) -> Operation {
    Operation {
        key: row.number.to_string(),
        what: row.what.clone(),
        tool: row.tool.clone(),
        speed: row.speed.as_ref().map(Setting::of),
        sets: row.sets.iter().map(Setting::of).collect(),
        depth: row.depth.iter().map(Setting::of).collect(),
        check: row.check.as_ref().map(Setting::of),
    }
}
