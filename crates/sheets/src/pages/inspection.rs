//! What to measure when the part is made: one row a size, with room to write what was found.

use workshop::plan::sheet::{Inspection, InspectionRow};

use super::Book;
use crate::sheet::{Block, Paper, Sheet};
use crate::table::{Cell, Column, Table};

/// What it is called.
pub(super) const TITLE: &str = "Inspection";

pub(super) fn sheet(book: &Book<'_>) -> Sheet {
    let found = &book.plan.inspection;
    let mut blocks = Vec::new();
    let told: Vec<&InspectionRow> = found.rows.iter().filter(|row| row.told).collect();
    let not: Vec<&InspectionRow> = found.not_told().collect();
    if !told.is_empty() {
        blocks.push(Block::Table(readings(&told)));
    }
    if !not.is_empty() {
        blocks.push(Block::Heading("Not told by what is owned".into()));
        blocks.push(Block::Table(not_told(&not)));
    }
    blocks.push(Block::Points(notes(found)));
    Sheet {
        ring: None,
        heading: format!("{}: inspection", book.plan.part),
        title: book.title(&book.plan.cover.wanted),
        blocks,
        paper: Paper::Own,
    }
}

fn notes(found: &Inspection) -> Vec<String> {
    let mut notes = vec![
        "A reading between these proves the size: what the instrument itself may be out is taken off at either end.".to_owned(),
        "Measure at the temperature of the room, clean and without burrs, three times; write down what you find.".to_owned(),
    ];
    notes.extend(found.supposed.iter().map(|words| format!("Supposed: {words}.")));
    notes
}

fn readings(rows: &[&InspectionRow]) -> Table {
    let mut table = Table::new(vec![
        Column::keys("No."),
        Column::words("What"),
        Column::figures("Make"),
        Column::words("How, with what"),
        Column::words("Should read"),
        Column::words("Found                "),
    ]);
    for row in rows {
        table.row(vec![
            Cell::key(row.number.to_string()),
            Cell::words(row.what.clone()).strong(),
            Cell::words(row.size.shown.replace(' ', "\u{a0}")),
            Cell::words(format!("{}: {}", row.with, row.how)),
            whole(Cell::figure(&row.reading)).strong(),
            Cell::empty(),
        ]);
    }
    table
}

/// Two limits on one line; longer words break where they may.
fn whole(cell: Cell) -> Cell {
    const SHORT: usize = 24;
    if cell.words.chars().count() > SHORT {
        return cell;
    }
    Cell { words: cell.words.replace(' ', "\u{a0}"), ..cell }
}

fn not_told(rows: &[&InspectionRow]) -> Table {
    let mut table = Table::new(vec![
        Column::keys("No."),
        Column::words("What"),
        Column::figures("Make"),
        Column::words("Instead"),
        Column::words("Why"),
    ]);
    for row in rows {
        let instead = match row.with.as_str() {
            "–" => row.how.clone(),
            with => format!("{with}: {}", row.how),
        };
        let why = match row.reading.shown.as_str() {
            "not measured" => "not measured: no instrument is put to it".to_owned(),
            other => format!("{other}. Needed: {}", row.reading.why.statement),
        };
        table.row(vec![
            Cell::key(row.number.to_string()),
            Cell::words(row.what.clone()).strong(),
            Cell::words(row.size.shown.replace(' ', "\u{a0}")),
            Cell::words(instead),
            Cell { words: why, ..Cell::figure(&row.reading) },
        ]);
    }
    table
}
