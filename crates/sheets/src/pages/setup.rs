//! One holding of the work.

use workshop::plan::sheet::{Row, SetupSheet};
use workshop::why::Figure;

use super::{Book, Medium, fewest_pages, without_aside};
use crate::grid::{Setting, axis};
use crate::rows::{Operation, Rows};
use crate::scene::Datum;
use crate::sheet::{Block, Fact, Paper, Says, Sheet};

/// The picture takes about the upper two fifths of the page.
const TALLEST_MM: f64 = 108.0;
/// At the bench it only shows which piece is meant.
const LEAST_MM: f64 = 42.0;

pub(super) fn sheet(book: &Book<'_>, setup: &SetupSheet) -> Sheet {
    let datum = datum(setup);
    if at_the_bench(setup) {
        let picture = book.smaller_picture(&setup.scene, datum, LEAST_MM);
        return sheet_with(book, setup, picture);
    }
    // It takes less where that saves turning over in the middle of the work.
    let usual = book.picture(&setup.scene, datum, TALLEST_MM);
    if book.medium == Medium::Screen {
        return sheet_with(book, setup, Some(usual));
    }
    let less = book.smaller_pictures(&setup.scene, datum, &usual);
    let less = less.map(|picture| sheet_with(book, setup, Some(picture)));
    fewest_pages(sheet_with(book, setup, Some(usual.clone())), less)
}

/// The picture of a setup on as much paper as it may have; none of what it shows at the bench.
pub(super) fn usual_picture(book: &Book<'_>, setup: &SetupSheet) -> Option<Block> {
    (!at_the_bench(setup)).then(|| book.picture(&setup.scene, datum(setup), TALLEST_MM))
}

/// True when nothing is set, on no machine: sticking a pair together, or parting it.
fn at_the_bench(setup: &SetupSheet) -> bool {
    let by_hand = |row: &Row| row.sets.is_empty() && row.depth.is_empty() && row.speed.is_none();
    setup.presets.is_empty() && setup.scene.marks.is_empty() && setup.rows.iter().all(by_hand)
}

fn sheet_with(book: &Book<'_>, setup: &SetupSheet, picture: Option<Block>) -> Sheet {
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
    let mut blocks = vec![Block::Facts(facts)];
    blocks.extend(picture);
    let cautions = (!setup.cautions.is_empty()).then(|| Block::Cautions(setup.cautions.clone()));
    // Without pages there is only before and after: what is warned of comes after. On paper
    // they may stand at the foot of the same page.
    let (before, after) = match book.medium {
        Medium::Screen => (cautions, None),
        Medium::Paper => (None, cautions),
    };
    blocks.extend(before);
    blocks.push(Block::Rows(Rows(setup.rows.iter().map(|row| operation(row, &setup.hands)).collect())));
    if !setup.notes.is_empty() {
        blocks.push(Block::Points(setup.notes.clone()));
    }
    blocks.extend(after);
    Sheet {
        ring: Some(setup.number.to_string()),
        heading: setup.title.clone(),
        title: book.title(&setup.hands),
        blocks,
        paper: Paper::Shared,
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

/// What stands in the column of depths need not be called a depth once more.
fn depth(figure: &Figure) -> Setting {
    let setting = Setting::of(figure);
    match setting.label.as_str() {
        "depth" => Setting { label: String::new(), ..setting },
        _ => setting,
    }
}

fn operation(row: &Row, hands: &str) -> Operation {
    Operation {
        key: row.number.to_string(),
        what: without_aside(&row.what, hands).to_owned(),
        tool: row.tool.clone(),
        speed: row.speed.as_ref().map(Setting::of),
        sets: row.sets.iter().map(Setting::of).collect(),
        depth: row.depth.iter().map(depth).collect(),
        check: row.check.as_ref().map(Setting::of),
    }
}
