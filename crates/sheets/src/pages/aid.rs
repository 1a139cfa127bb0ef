//! A thing to make first, because the part cannot be held or found without it.

use workshop::plan::sheet::AidSheet;

use super::Book;
use crate::scene::Datum;
use crate::sheet::{Block, Fact, Sheet};
use crate::table::{Cell, Column, Set, Table};

const TALLEST_MM: f64 = 110.0;

pub(super) fn sheet(book: &Book<'_>, aid: &AidSheet) -> Sheet {
    let facts = vec![Fact::words("What for", &aid.purpose), Fact::words("Made from", &aid.material)];
    let mut blocks = vec![Block::Facts(facts), book.picture(&aid.scene, Datum::Place, TALLEST_MM)];
    if !aid.sizes.is_empty() {
        let make = Column { set: Set::Left, ..Column::dial("Make it") };
        let mut sizes = Table::new(vec![Column::words("Size"), make, Column::words("Why")]);
        for size in &aid.sizes {
            let cells = vec![
                Cell::words(size.label()).strong(),
                Cell::figure(size),
                Cell::words(size.why.statement.clone()),
            ];
            sizes.row(cells);
        }
        blocks.push(Block::Table(sizes));
    }
    if !aid.steps.is_empty() {
        blocks.push(Block::Heading("How to make it".into()));
        let steps = aid.steps.iter().enumerate().map(|(n, step)| format!("{}. {step}", n + 1));
        blocks.push(Block::Ticks(steps.collect()));
    }
    if !aid.cautions.is_empty() {
        blocks.push(Block::Cautions(aid.cautions.clone()));
    }
    let mut title = book.title("");
    title.material.clone_from(&aid.material);
    Sheet { ring: None, heading: format!("Make first: {}", aid.name), title, blocks }
}
