//! One holding of the work.

use workshop::plan::sheet::{Row, SetupSheet};

use super::Book;
use crate::grid::Setting;
use crate::rows::{Operation, Rows};
use crate::sheet::{Block, Fact, Says, Sheet};

/// The picture takes about the upper two fifths of the page.
const TALLEST_MM: f64 = 100.0;

pub(super) fn sheet(book: &Book<'_>, setup: &SetupSheet) -> Sheet {
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
    let mut blocks = vec![Block::Facts(facts), book.picture(&setup.scene, TALLEST_MM)];
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
