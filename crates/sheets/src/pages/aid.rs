//! A thing to make first, because the part cannot be held or found without it.

use workshop::plan::sheet::{AidSheet, OrderLine};
use workshop::why::Figure;

use super::{Book, Medium, captioned, fewest_pages, plain_quotes};
use crate::furniture::{BODY, Title};
use crate::scene::{self, Datum, Room};
use crate::sheet::{Block, Fact, Paper, Says, Sheet};
use crate::table::{Cell, Column, Set, Table};

const TALLEST_MM: f64 = 110.0;
/// On a page without end it has room for all that is said of it.
const ROOMY_MM: f64 = 160.0;

pub(super) fn sheet(book: &Book<'_>, aid: &AidSheet) -> Sheet {
    if book.medium == Medium::Screen {
        return sheet_with(book, aid, book.picture(&aid.scene, Datum::Place, ROOMY_MM));
    }
    let usual = book.picture(&aid.scene, Datum::Place, TALLEST_MM);
    let less = book.smaller_pictures(&aid.scene, Datum::Place, &usual);
    fewest_pages(sheet_with(book, aid, usual.clone()), less.map(|picture| sheet_with(book, aid, picture)))
}

/// The sheet of an aid that belongs to no part but to a whole project.
pub(crate) fn of_project(aid: &AidSheet, project: &str) -> Sheet {
    let room = Room { width_mm: BODY.width_mm(), height_mm: TALLEST_MM };
    let find = |name: &str| aid.sizes.iter().find(|figure| figure.name == name);
    let placed = scene::picture(&aid.scene, Datum::Place, room, BODY.height_mm() - 12.0, &find);
    let picture = captioned(&aid.scene, Datum::Place, placed);
    let title = Title {
        project: project.into(),
        part: aid.name.clone(),
        hand: String::new(),
        material: aid.material.clone(),
    };
    laid_out(aid, picture, title)
}

fn sheet_with(book: &Book<'_>, aid: &AidSheet, picture: Block) -> Sheet {
    let mut title = book.title("");
    title.material.clone_from(&aid.material);
    laid_out(aid, picture, title)
}

fn laid_out(aid: &AidSheet, picture: Block, title: Title) -> Sheet {
    // The bar or plate to begin with stands above the picture, not among the sizes.
    let (stock, to_make): (Vec<&Figure>, Vec<&Figure>) =
        aid.sizes.iter().partition(|size| size.shown == aid.material);
    let from = stock.first().map_or_else(|| Cell::words(&aid.material), |stock| Cell::figure(stock));
    let from = Fact { name: "Made from".into(), says: Says::Words(from) };
    let mut facts = vec![Fact::words("What for", &aid.purpose), from];
    if aid.own.count > 1 {
        facts.push(Fact::words("How many", &format!("{} off", aid.own.count)));
    }
    if !aid.own.besides.is_empty() {
        facts.push(Fact::words("In this project", &aid.own.besides.join(" ")));
    }
    if !aid.own.kept_as.is_empty() {
        facts.push(Fact::words("Kept as", &aid.own.kept_as));
    }
    let mut blocks = vec![Block::Facts(facts), picture];
    if !to_make.is_empty() {
        let make = Column { set: Set::Left, ..Column::dial("Make it") };
        let mut sizes = Table::new(vec![Column::words("Size"), make, Column::words("Why")]);
        for size in to_make {
            let cells = vec![
                Cell::words(size.label()).strong(),
                Cell::figure(size),
                Cell::words(size.why.statement.clone()),
            ];
            sizes.row(cells);
        }
        blocks.push(Block::Table(sizes));
    }
    if !aid.own.order.is_empty() {
        blocks.push(Block::Heading("Order of work, planned as for any part".into()));
        blocks.push(Block::Table(order(&aid.own.order)));
    }
    if !aid.steps.is_empty() {
        blocks.push(Block::Heading("How to make it".into()));
        if let Some(why) = &aid.own.unplanned {
            blocks.push(Block::Points(vec![format!("These steps are its order of work: {why}.")]));
        }
        let steps = aid.steps.iter().enumerate().map(|(n, step)| format!("{}. {step}", n + 1));
        blocks.push(Block::Ticks(steps.collect()));
    }
    if !aid.cautions.is_empty() {
        blocks.push(Block::Cautions(aid.cautions.clone()));
    }
    let heading = format!("Make first: {}", aid.name);
    plain_quotes(Sheet { ring: None, heading, title, blocks, paper: Paper::Own })
}

/// Its order of work, one row a setup.
fn order(lines: &[OrderLine]) -> Table {
    let mut table = Table::new(vec![
        Column::keys("No."),
        Column::words("Held"),
        Column::words("Operations"),
        Column::figures("Min."),
    ]);
    for line in lines {
        table.row(vec![
            Cell::key(line.setup.to_string()),
            Cell::words(line.title.clone()),
            Cell::words(line.steps.join("; ")),
            Cell::words(line.minutes.to_string()),
        ]);
    }
    table
}
