//! What changed from the drawing, on one page: the metric part laid over the drawing,
//! and every dimension that is not as drawn.

use workshop::metric::rules;
use workshop::plan::sheet::{Change, ReadyState};

use super::{Book, Medium};
use crate::furniture::BODY;
use crate::ink::Tag;
use crate::scene::{self, Frame};
use crate::sheet::Paper;
use crate::sheet::{Block, Sheet, pages};
use crate::table::{Cell, Column, Ground, Table};

/// What it is called.
pub(super) const TITLE: &str = "Changes from the drawing";

/// The picture may be so high, the larger the better while all else fits on the page.
const HEIGHTS_MM: [f64; 5] = [96.0, 80.0, 66.0, 52.0, 40.0];
/// On a page without end.
const ROOMY_MM: f64 = 120.0;
/// The list of what has no room on the picture may take this much more.
const LIST_MM: f64 = 30.0;

/// The sheet: as large a picture as leaves it one page, and none where that is too much.
pub(super) fn sheet(book: &Book<'_>) -> Sheet {
    if book.medium == Medium::Screen {
        return with_picture(book, Some(ROOMY_MM));
    }
    let sized = HEIGHTS_MM.map(|height_mm| with_picture(book, Some(height_mm)));
    if let Some(found) = sized.iter().find(|sheet| pages(sheet) == 1) {
        return found.clone();
    }
    let bare = with_picture(book, None);
    let least = pages(&bare);
    let mut sheet = sized.into_iter().find(|sheet| pages(sheet) == least).unwrap_or(bare);
    if least > 1 {
        sheet.heading += &format!(", on {least} pages");
    }
    sheet
}

fn with_picture(book: &Book<'_>, height_mm: Option<f64>) -> Sheet {
    let (plan, cover) = (book.plan, &book.plan.cover);
    let mut blocks = Vec::new();
    let shows = !plan.overlay.moved.is_empty() && !plan.overlay.picture.views.is_empty();
    if let Some(height_mm) = height_mm.filter(|_| shows) {
        let frame = Frame { width_mm: BODY.width_mm(), height_mm, most_mm: height_mm + LIST_MM };
        let placed = scene::overlay(&plan.overlay, frame);
        let caption = format!("{}; scale {}", plan.overlay.caption(), placed.scale);
        blocks.push(Block::Picture { placed, caption });
    }
    let (changed, same): (Vec<&Change>, Vec<&Change>) =
        cover.changes.iter().partition(|change| !is_as_drawn(change));
    if !changed.is_empty() {
        blocks.push(Block::Table(table(&changed)));
    }
    if !same.is_empty() {
        blocks.push(Block::Words(as_drawn(&same)));
    }
    let ready = cover.ready.iter().flat_map(|(_, things)| things);
    let buy: Vec<&str> =
        ready.filter(|thing| thing.state == ReadyState::Buy).map(|thing| thing.what.as_str()).collect();
    blocks.push(Block::Words(match &buy[..] {
        [] => "To buy: nothing.".to_owned(),
        things => format!("To buy: {}.", things.join("; ")),
    }));
    let heading = format!("{}: changes from the drawing", plan.part);
    Sheet { ring: None, heading, title: book.title(&cover.wanted), blocks, paper: Paper::Shared }
}

/// A thread may change though nothing moves.
fn is_as_drawn(change: &Change) -> bool {
    change.difference.is_empty() && (change.chosen.ends_with(" mm") || change.chosen == change.written)
}

fn as_drawn(same: &[&Change]) -> String {
    let each = same.iter().map(|change| format!("{} {}", change.name, whole(&change.chosen)));
    let kept = same.iter().find(|change| change.role.starts_with("kept"));
    let because = kept.map(|change| format!(" ({})", change.role)).unwrap_or_default();
    format!("As drawn, {} in all{because}: {}.", same.len(), each.collect::<Vec<_>>().join("; "))
}

fn table(changes: &[&Change]) -> Table {
    let imperial = changes.iter().any(|change| !change.difference_drawn.is_empty());
    let mut columns = vec![
        Column::words("Dimension"),
        Column::figures("As drawn"),
        Column::figures("Exactly"),
        Column::figures("Make"),
        Column::figures("Differs"),
    ];
    if imperial {
        columns.push(Column::figures("Inches"));
    }
    columns.extend([Column::words("Made with, and why"), Column::words("Role")]);
    let mut table = Table::new(columns);
    let mut above = "";
    for change in changes {
        let (feature, rest) = change.name.split_once(": ").unwrap_or((&change.name, ""));
        let name =
            if feature == above && !rest.is_empty() { format!("· {rest}") } else { change.name.clone() };
        above = feature;
        let tag = Tag::new(&change.name, &change.why.statement);
        let ground = if change.why.rests_on_assumption() { Ground::Supposed } else { Ground::Given };
        let mut row = vec![
            Cell::words(name),
            Cell::words(whole(&change.written)),
            Cell::words(whole(&change.exact)),
            Cell::resting(whole(&change.chosen), ground).strong().tagged(tag),
            Cell::words(change.difference.clone()),
        ];
        if imperial {
            row.push(Cell::words(whole(change.difference_drawn.trim_end_matches(" in"))));
        }
        row.extend([Cell::words(made_and_why(change)), role(change)]);
        table.row(row);
    }
    table
}

/// What makes it, and the rule in a few words where that says more.
fn made_and_why(change: &Change) -> String {
    let made = &change.made_with;
    match rules::decided(&change.why) {
        Some(rule) if !made.contains(rule.name) && !SAID_BY_ITS_TOOL.contains(&rule.name) => {
            format!("{made}: {}", rule.name)
        }
        _ => made.clone(),
    }
}

/// Rules that the tool says already.
const SAID_BY_ITS_TOOL: [&str; 8] = [
    "drilled hole",
    "reamed hole",
    "bored hole",
    "saw cut",
    "slot",
    "set on the machine",
    "turned",
    "metric thread",
];

/// The role in a word; what nobody said is marked as supposed.
fn role(change: &Change) -> Cell {
    match change.role.split_once(" (assumed)") {
        Some((role, rest)) => Cell::resting(format!("{role}{rest}"), Ground::Supposed),
        None => Cell::words(change.role.clone()),
    }
}

/// A short size, which must not be parted from its unit at the end of a line.
fn whole(size: &str) -> String {
    const SHORT: usize = 14;
    if size.chars().count() <= SHORT { size.replace(' ', "\u{a0}") } else { size.to_owned() }
}
