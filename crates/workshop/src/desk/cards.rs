//! Every form of a file, with what stands in its fields.

use super::asks::{self, Ask, Need, Takes};
use super::field::{Context, Field};
use super::{Card, Which};
use crate::document::{Content, Sheet, read_document};
use crate::drawing::Drawing;
use crate::measure::Unit;

/// Every form of a text, for finding a field in; none where it cannot be read.
pub(super) fn cards_of(text: &str) -> Vec<Card> {
    read_document(text).map(|sheet| cards(&sheet, None)).unwrap_or_default()
}

/// Every form of a file, filled.
pub(super) fn cards(sheet: &Sheet, drawing: Option<&Drawing>) -> Vec<Card> {
    let mut ignored = Vec::new();
    let mut word = |sheet: &Sheet, key: &str| {
        sheet.text(key, &mut ignored).map(|(text, _)| text.trim().to_owned()).unwrap_or_default()
    };
    let features = tables(sheet, "feature");
    let mut known: Vec<(String, String)> = Vec::new();
    for (index, table) in features.iter().enumerate() {
        let (name, kind) = (word(table, "name"), word(table, "kind"));
        known.push((if name.is_empty() { unnamed(index) } else { name }, kind));
    }
    let unit = match word(sheet, "unit").as_str() {
        "inch" => Some(Unit::Inch),
        "mm" => Some(Unit::Mm),
        _ => None,
    };
    let dimensions: Vec<String> = drawing
        .map(|drawing| drawing.dimensions.iter().map(|d| d.name.clone()).collect())
        .unwrap_or_default();
    let names = with_children(&known, &features);
    let context = Context { unit, features: &names, dimensions: &dimensions };
    let card = |which: Which, title: String, kind: String, asks: Vec<Ask>, table: &Sheet| {
        let field = |&ask: &Ask| context.field(ask, table, which.key(ask.key));
        let fields: Vec<Field> = asks.iter().map(field).collect();
        let strays = strays(table, &asks, which);
        Card { which, title, kind, brief: brief(&fields), fields, strays, troubles: Vec::new() }
    };
    let mut cards = vec![card(Which::Part, "The part".into(), String::new(), asks::PART.to_vec(), sheet)];
    let empty = Sheet::empty();
    let body = table(sheet, "body").unwrap_or(&empty);
    let kind = word(body, "kind");
    let asked =
        std::iter::once(BODY_KIND).chain(asks::body(&kind).map_or(&[][..], |row| row.fields).iter().copied());
    cards.push(card(Which::Body, "The outside".into(), kind, asked.collect(), body));
    let stock = table(sheet, "stock").unwrap_or(&empty);
    cards.push(card(Which::Stock, "The stock".into(), word(stock, "form"), asks::STOCK.to_vec(), stock));
    for (index, table) in features.iter().enumerate() {
        let (name, kind) = known[index].clone();
        let asked = feature_asks(&kind);
        cards.push(card(Which::Feature(index), name, kind, asked, table));
    }
    for (index, table) in tables(sheet, "mate").into_iter().enumerate() {
        let name = word(table, "name");
        let title = if name.is_empty() { format!("mate {}", index + 1) } else { name };
        cards.push(card(Which::Mate(index), title, "mate".into(), asks::MATE.to_vec(), table));
    }
    for (index, table) in tables(sheet, "equal").into_iter().enumerate() {
        let title = format!("equal {}", index + 1);
        cards.push(card(Which::Equal(index), title, "equal sizes".into(), asks::EQUAL.to_vec(), table));
    }
    for (index, table) in tables(sheet, "screwed").into_iter().enumerate() {
        let name = word(table, "in");
        let title =
            if name.is_empty() { format!("screwed {}", index + 1) } else { format!("{name}, screwed") };
        cards.push(card(Which::Screwed(index), title, "screwed".into(), asks::SCREWED.to_vec(), table));
    }
    for (index, table) in tables(sheet, "chain").into_iter().enumerate() {
        let name = word(table, "name");
        let title = if name.is_empty() { format!("chain {}", index + 1) } else { name };
        cards.push(card(Which::Chain(index), title, "chain".into(), asks::CHAIN.to_vec(), table));
    }
    for (index, table) in tables(sheet, "wall").into_iter().enumerate() {
        let title = format!("wall {}", index + 1);
        cards.push(card(Which::Wall(index), title, "wall".into(), asks::WALL.to_vec(), table));
    }
    for (index, table) in tables(sheet, "geometry").into_iter().enumerate() {
        let (of, keeps) = (word(table, "of"), word(table, "keeps"));
        let title = match of.is_empty() || keeps.is_empty() {
            true => format!("geometry {}", index + 1),
            false => format!("{of}, {keeps}"),
        };
        let kind = "geometry".to_owned();
        cards.push(card(Which::Geometry(index), title, kind, asks::GEOMETRY.to_vec(), table));
    }
    for (index, table) in tables(sheet, "parted").into_iter().enumerate() {
        let through = word(table, "through");
        let title =
            if through.is_empty() { format!("parted {}", index + 1) } else { format!("{through}, parted") };
        cards.push(card(Which::Parted(index), title, "parted".into(), asks::PARTED.to_vec(), table));
    }
    if let Some(scan) = table(sheet, "scan") {
        cards.push(card(Which::Scan, "The paper sheet".into(), String::new(), asks::SCAN.to_vec(), scan));
    }
    cards
}

/// What the reader calls a feature that has no name yet.
fn unnamed(index: usize) -> String {
    format!("feature {}", index + 1)
}

/// Every feature that can be named, the holes of a pattern after it.
fn with_children(known: &[(String, String)], tables: &[&Sheet]) -> Vec<(String, String)> {
    let mut names = Vec::new();
    for ((name, kind), table) in known.iter().zip(tables) {
        names.push((name.clone(), kind.clone()));
        let mut ignored = Vec::new();
        if matches!(kind.as_str(), "pitch circle" | "row") {
            let each = if table.get("thread").is_some() { "tapped hole" } else { "hole" };
            let count = table.count("holes", &mut ignored).unwrap_or(0).min(200);
            names.extend((1..=count).map(|n| (format!("{name} {n}"), each.to_owned())));
        }
    }
    names
}

const BODY_KIND: Ask = Ask {
    key: "kind",
    label: "what it is",
    takes: Takes::One(&["rectangle", "disc", "bosses", "outline", "turned"]),
    need: Need::Must,
    such_as: "rectangle",
    help: "",
};

const NAME: Ask = Ask {
    key: "name",
    label: "name",
    takes: Takes::Words,
    need: Need::Must,
    such_as: "pivot bore",
    help: "",
};

const KIND: Ask = Ask {
    key: "kind",
    label: "kind",
    takes: Takes::One(&asks::KIND_WORDS),
    need: Need::Must,
    such_as: "hole",
    help: "",
};

/// The fields of a feature of some kind: its name and kind first, its place last.
fn feature_asks(kind: &str) -> Vec<Ask> {
    let mut asked = vec![NAME, KIND];
    if let Some(row) = asks::feature(kind) {
        asked.extend(row.fields);
        if !row.faces.is_empty() {
            let help = if row.faces[0] == "front" {
                "empty: front, towards you"
            } else {
                "the side it goes in from"
            };
            let need = if row.faces[0] == "front" { Need::May } else { Need::Must };
            let takes = Takes::One(row.faces);
            asked.push(Ask { key: "face", label: "cut from", takes, need, such_as: row.faces[0], help });
        }
        if let Some(such_as) = row.place {
            let need = Need::Must;
            asked.push(Ask { key: "place", label: "place", takes: Takes::Place, need, such_as, help: "" });
        }
    }
    asked
}

/// The tables of one name, whether written once or many times.
fn tables<'a>(sheet: &'a Sheet, key: &str) -> Vec<&'a Sheet> {
    sheet.tables(key, &mut Vec::new())
}

fn table<'a>(sheet: &'a Sheet, key: &str) -> Option<&'a Sheet> {
    match &sheet.get(key)?.value {
        Content::Table(table) => Some(table),
        _ => None,
    }
}

/// What stands in a table and is not asked for.
fn strays(table: &Sheet, asks: &[Ask], which: Which) -> Vec<(String, String)> {
    const HEADINGS: [&str; 12] = [
        "body", "stock", "feature", "mate", "equal", "screwed", "chain", "wall", "geometry", "parted",
        "order", "scan",
    ];
    let known = |key: &str| {
        asks.iter().any(|ask| ask.key == key) || (which == Which::Part && HEADINGS.contains(&key))
    };
    let stray = |key: &str, text: String| (which.key(key), text);
    table
        .all()
        .filter(|entry| !known(&entry.key))
        .map(|entry| stray(&entry.key, entry.as_text().unwrap_or("…").to_owned()))
        .collect()
}

/// The sizes of a form in a few words.
fn brief(fields: &[Field]) -> String {
    let shown = |field: &&Field| {
        matches!(field.ask.takes, Takes::Size | Takes::Thread | Takes::Pin | Takes::Count)
            && !field.text.is_empty()
    };
    fields.iter().filter(shown).take(3).map(|field| field.text.clone()).collect::<Vec<_>>().join(" · ")
}
