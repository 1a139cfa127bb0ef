//! The list of a whole project: what to make and fit, in which order.

use workshop::sheet::{MakeList, MakeRow, Trap};

use super::cover::{TIMES, have, hours, trap_table};
use super::plain_quotes;
use crate::furniture::Title;
use crate::sheet::{Block, Fact, Paper, Sheet};
use crate::table::{Cell, Column, Table};

/// What the list is called wherever it stands.
pub(crate) const TITLE: &str = "Make list";

pub(crate) fn sheet(list: &MakeList, project: &str) -> Sheet {
    let minutes = format!("about {}, {TIMES}", hours(list.minutes));
    let mut blocks = vec![Block::Facts(vec![Fact::words("Time", &minutes)])];
    if !list.ready.is_empty() {
        blocks.push(Block::Heading("Have ready".into()));
        blocks.push(Block::Ticks(list.ready.iter().map(have).collect()));
    }
    blocks.push(Block::Heading("Make and fit in this order".into()));
    blocks.push(Block::Table(rows(&list.rows)));
    blocks.extend(traps(&list.traps));
    for (heading, points) in [
        ("Left for assembly, and not done in the part's own order", &list.left),
        ("Could be made in one setup", &list.proposed),
        ("Supposed, because nobody said", &list.assumed),
        ("Why this and no other", &list.proofs),
    ] {
        if !points.is_empty() {
            blocks.push(Block::Heading(heading.into()));
            blocks.push(Block::Points(points.clone()));
        }
    }
    if !list.unplanned.is_empty() {
        blocks.push(Block::Heading("Not planned yet".into()));
        let points = list.unplanned.iter().map(|problem| match problem.reason() {
            Some(why) => format!("{}: {why}", problem.what()),
            None => problem.what().to_owned(),
        });
        blocks.push(Block::Points(points.collect()));
    }
    if !list.cautions.is_empty() {
        blocks.push(Block::Cautions(list.cautions.clone()));
    }
    let title =
        Title { project: project.into(), part: TITLE.into(), hand: String::new(), material: String::new() };
    plain_quotes(Sheet { ring: None, heading: TITLE.into(), title, blocks, paper: Paper::Own })
}

fn rows(rows: &[MakeRow]) -> Table {
    let mut table = Table::new(vec![
        Column::keys("No."),
        Column::words("What"),
        Column::words("Where"),
        Column::words("With"),
        Column::figures("Min."),
        Column::words("Why here"),
    ]);
    for row in rows {
        table.row(vec![
            Cell::key(row.number.to_string()),
            Cell::words(row.what.clone()).strong(),
            Cell::words(row.place.clone()),
            Cell::words(row.with.clone()),
            Cell::words(row.minutes.to_string()),
            Cell::words(row.reason()),
        ]);
    }
    table
}

fn traps(traps: &[Trap]) -> Vec<Block> {
    if traps.is_empty() {
        return Vec::new();
    }
    vec![Block::Heading("Not too early".into()), Block::Table(trap_table(traps))]
}
