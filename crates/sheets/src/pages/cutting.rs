//! What to saw off, from which bars and plates.

use workshop::sheet::{CuttingGroup, CuttingList};

use super::plain_quotes;
use crate::furniture::Title;
use crate::sheet::{Block, Fact, Paper, Says, Sheet};
use crate::table::{Cell, Column, Set, Table};

/// What the list is called wherever it stands.
pub(crate) const TITLE: &str = "Cutting list";

pub(crate) fn sheet(list: &CuttingList, project: &str) -> Sheet {
    let mut blocks = Vec::new();
    if let Some(weight) = &list.weight {
        blocks.push(Block::Facts(vec![Fact {
            name: "Weight".into(),
            says: Says::Words(Cell::figure(weight)),
        }]));
    }
    for group in &list.groups {
        blocks.push(Block::Heading(group.metal.clone()));
        blocks.push(Block::Table(rows(group)));
        if !group.from.is_empty() {
            blocks.push(Block::Ticks(group.from.clone()));
        }
        if !group.proof.is_empty() {
            blocks.push(Block::Points(vec![group.proof.clone()]));
        }
    }
    for (heading, points) in [("Not sawn", &list.besides), ("Supposed, because nobody said", &list.supposed)]
    {
        if !points.is_empty() {
            blocks.push(Block::Heading(heading.into()));
            blocks.push(Block::Points(points.clone()));
        }
    }
    let title =
        Title { project: project.into(), part: TITLE.into(), hand: String::new(), material: String::new() };
    plain_quotes(Sheet { ring: None, heading: TITLE.into(), title, blocks, paper: Paper::Own })
}

fn rows(group: &CuttingGroup) -> Table {
    let size = Column { set: Set::Left, ..Column::dial("Saw off") };
    let mut table = Table::new(vec![
        Column::words("For"),
        Column::figures("How many"),
        size,
        Column::figures("One weighs"),
    ]);
    for row in &group.rows {
        table.row(vec![
            Cell::words(row.part.clone()).strong(),
            Cell::words(row.count.to_string()),
            Cell::figure(&row.size),
            Cell::figure(&row.weight),
        ]);
    }
    table
}
