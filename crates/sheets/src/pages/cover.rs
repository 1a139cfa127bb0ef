//! The first page: what the part is, what to have ready, and in what order.

use workshop::plan::Plan;
use workshop::plan::sheet::{Cover, OrderLine, Ready, ReadyState, Scene, Trap};

use super::{Book, Medium, fewest_pages, without_aside};
use crate::scene::Datum;
use crate::sheet::{Block, Fact, Paper, Says, Sheet};
use crate::table::{Cell, Column, Table};

/// The views of the part on the cover are there to know it by: the first is the
/// one that tells most.
const VIEWS_MM: [f64; 2] = [78.0, 45.0];
/// On a page without end they have room for all that is said of them.
const ROOMY_MM: [f64; 2] = [130.0, 90.0];
/// They take a smaller share of that where it saves a page.
const LESS: [f64; 2] = [0.8, 0.6];

pub(super) fn sheet(book: &Book<'_>) -> Sheet {
    let scenes = &book.plan.metric;
    let views_mm = if book.medium == Medium::Screen { ROOMY_MM } else { VIEWS_MM };
    let view = |(n, scene)| book.view(scene, views_mm[usize::min(n, 1)]);
    let usual: Vec<Block> = scenes.iter().enumerate().map(view).collect();
    if book.medium == Medium::Screen {
        return sheet_with(book, usual);
    }
    let smaller = |share: f64| {
        let view = |(scene, usual): (&Scene, &Block)| {
            book.share_of_picture(scene, Datum::Hidden, usual, share).unwrap_or_else(|| usual.clone())
        };
        sheet_with(book, scenes.iter().zip(&usual).map(view).collect())
    };
    fewest_pages(sheet_with(book, usual.clone()), LESS.into_iter().map(smaller))
}

fn sheet_with(book: &Book<'_>, views: Vec<Block>) -> Sheet {
    let plan = book.plan;
    let cover = &plan.cover;
    let mut blocks = top(plan, views);
    for (heading, points) in [
        ("Left for assembly", &cover.left),
        ("Supposed, because nobody said", &cover.assumed),
        ("Why this and no other", &cover.proofs),
    ] {
        if !points.is_empty() {
            blocks.push(Block::Heading(heading.into()));
            blocks.push(Block::Points(points.clone()));
        }
    }
    if !cover.cautions.is_empty() {
        blocks.push(Block::Cautions(cover.cautions.clone()));
    }
    let heading = format!("{}: before you start", plan.part);
    Sheet { ring: None, heading, title: book.title(&cover.wanted), blocks, paper: Paper::Own }
}

/// What the times rest on, wherever they stand.
pub(super) const TIMES: &str = "an estimate from memory: count on half or twice";

/// Minutes as hours and minutes.
pub(super) fn hours(minutes: u64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

fn top(plan: &Plan, views: Vec<Block>) -> Vec<Block> {
    let Cover { wanted, sheet, material, blank, ready, order, traps, .. } = &plan.cover;
    let mut facts = vec![Fact::words("Wanted", wanted)];
    if let Some(sheet) = sheet {
        facts.push(Fact::words("Drawing", sheet));
    }
    for (name, figure) in [("Material", material), ("Blank", blank)] {
        facts.push(Fact { name: name.into(), says: Says::Words(Cell::figure(figure)) });
    }
    let mut blocks = vec![Block::Facts(facts)];
    blocks.extend(views);
    for (heading, things) in ready {
        blocks.push(Block::Heading(heading.clone()));
        blocks.push(Block::Ticks(things.iter().map(have).collect()));
    }
    if !order.is_empty() {
        blocks.push(Block::Heading(format!("Order of work: about {}, {TIMES}", hours(plan.cover.minutes))));
        let mut lines = Table::new(vec![
            Column::keys("Setup"),
            Column::words("Holding"),
            Column::words("Steps"),
            Column::figures("Min."),
        ]);
        for line in order {
            lines.row(vec![
                Cell::key(line.setup.to_string()),
                Cell::words(line.title.clone()).strong(),
                Cell::words(steps(line)),
                Cell::words(line.minutes.to_string()),
            ]);
        }
        blocks.push(Block::Table(lines));
    }
    if !traps.is_empty() {
        blocks.push(Block::Heading("Not too early".into()));
        blocks.push(Block::Table(trap_table(traps)));
    }
    blocks
}

/// What must not be done early, and what would be lost.
pub(super) fn trap_table(traps: &[Trap]) -> Table {
    let mut table = Table::new(vec![Column::words("Do not"), Column::words("because then")]);
    for trap in traps {
        table.row(vec![Cell::words(trap.early.clone()).strong(), Cell::words(trap.lost.clone())]);
    }
    table
}

/// The steps of a setup, without saying again which hands lie in it.
fn steps(line: &OrderLine) -> String {
    let hands =
        line.title.rsplit_once(" (").and_then(|(_, hands)| hands.strip_suffix(')')).unwrap_or_default();
    line.steps.iter().map(|step| without_aside(step, hands)).collect::<Vec<_>>().join("; ")
}

pub(super) fn have(ready: &Ready) -> String {
    match ready.state {
        ReadyState::Owned => ready.what.clone(),
        ReadyState::Buy => format!("{} (to buy)", ready.what),
        // The heading says so.
        ReadyState::Make => ready.what.clone(),
    }
}
