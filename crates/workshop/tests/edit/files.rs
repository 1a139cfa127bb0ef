//! Every change there and back on every file of the project.

use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use toml_edit::{Document, Item, Value as TomlValue};
use workshop::drawing::{Drawing, Feature, read_drawing};
use workshop::edit::{Change, Value, change};

use super::{LEVER, clear, rename, set};

/// Every part and bench file of the project, and the same with other line breaks.
pub fn files() -> Vec<String> {
    static FILES: LazyLock<Vec<String>> = LazyLock::new(read_files);
    FILES.clone()
}

fn read_files() -> Vec<String> {
    let mut texts = vec![LEVER.to_owned(), LEVER.trim_end().to_owned()];
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for folder in
        ["../../examples/kittiwake", "../../examples/kittiwake/parts", "tests/parts", "tests/benches"]
    {
        let mut paths: Vec<_> =
            fs::read_dir(root.join(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
        paths.retain(|path| path.extension().is_some_and(|end| end == "toml"));
        paths.sort();
        texts.extend(paths.iter().map(|path| fs::read_to_string(path).unwrap()));
    }
    texts.push(LEVER.replace('\n', "\r\n"));
    texts
}

fn paths_of(text: &str) -> Vec<(String, String)> {
    fn value_paths(at: &str, value: &TomlValue, found: &mut Vec<(String, String)>) {
        match value {
            TomlValue::String(words) => found.push((at.to_owned(), words.value().clone())),
            TomlValue::Array(items) => {
                items.iter().enumerate().for_each(|(n, item)| value_paths(&format!("{at}/{n}"), item, found))
            }
            TomlValue::InlineTable(table) => {
                table.iter().for_each(|(key, item)| value_paths(&format!("{at}/{key}"), item, found))
            }
            _ => {}
        }
    }
    fn item(at: &str, one: &Item, found: &mut Vec<(String, String)>) {
        match one {
            Item::Value(inner) => value_paths(at, inner, found),
            Item::Table(table) => {
                table.iter().for_each(|(key, one)| item(&format!("{at}/{key}"), one, found))
            }
            Item::ArrayOfTables(tables) => tables.iter().enumerate().for_each(|(n, table)| {
                table.iter().for_each(|(key, one)| item(&format!("{at}/{n}/{key}"), one, found));
            }),
            Item::None => {}
        }
    }
    let mut found = Vec::new();
    let document = Document::parse(text).unwrap();
    document.as_table().iter().for_each(|(key, one)| item(key, one, &mut found));
    found
}

/// The comments of a file, in any order.
fn comments(text: &str) -> Vec<String> {
    let mut comments: Vec<String> = text
        .lines()
        .filter_map(|line| {
            let (mut quote, mut previous) = (None, ' ');
            line.char_indices().find_map(|(at, c)| {
                match quote {
                    None if c == '#' => return Some(line[at..].trim_end().to_owned()),
                    None if c == '"' || c == '\'' => quote = Some(c),
                    Some(open) if c == open && previous != '\\' => quote = None,
                    _ => {}
                }
                previous = c;
                None
            })
        })
        .collect();
    comments.sort();
    comments
}

#[test]
fn every_text_of_every_file_changes_and_changes_back() {
    let mut tried = 0;
    for text in files() {
        for (at, old) in paths_of(&text) {
            // The names of a mechanism's sizes are keys in quotes: no page changes those.
            if at.contains(' ') {
                assert!(change(&text, &set(&at, &old)).is_err(), "{at}");
                continue;
            }
            let there =
                change(&text, &set(&at, "3/7 of \\ it")).unwrap_or_else(|fault| panic!("{at}: {fault}"));
            assert_eq!(comments(&there), comments(&text), "{at}");
            assert_eq!(there.lines().count(), text.lines().count(), "{at}");
            assert_eq!(change(&there, &set(&at, &old)).unwrap(), text, "{at}");
            tried += 1;
        }
    }
    assert!(tried > 500, "{tried}");
}

#[test]
fn every_new_key_role_item_and_heading_comes_and_goes_without_a_trace() {
    for text in files() {
        let mut places: Vec<String> = vec!["newkey".into(), "newhead/key".into()];
        for (at, _) in paths_of(&text) {
            if let Some((above, last)) = at.rsplit_once('/')
                && last.parse::<usize>().is_err()
            {
                places.push(format!("{above}/newkey"));
            }
            if at.starts_with("feature/")
                && !at.contains("/place")
                && !at.ends_with("/is")
                && !at.ends_with("role")
                && !at.ends_with("within")
            {
                places.push(format!("{at}/role"));
            }
        }
        let document = Document::parse(text.as_str()).unwrap();
        let features = document.as_table().get("feature").and_then(Item::as_array_of_tables);
        for (index, feature) in features.into_iter().flat_map(|features| features.iter()).enumerate() {
            if let Some(items) = feature.get("place").and_then(Item::as_array) {
                places.push(format!("feature/{index}/place/{}", items.len()));
            }
        }
        for at in places {
            let there =
                change(&text, &set(&at, "new")).unwrap_or_else(|fault| panic!("{at}: {fault}\n{text}"));
            assert_ne!(there, text, "{at}");
            assert_eq!(comments(&there), comments(&text), "{at}");
            let back = clear(at.strip_suffix("/key").unwrap_or(&at));
            assert_eq!(change(&there, &back).unwrap(), text, "{at}\n{there}");
        }
    }
}

#[test]
fn every_table_is_added_removed_moved_and_renamed_without_a_trace() {
    let name = |text: &str| vec![("name".to_owned(), Value::text(text))];
    for text in files() {
        let document = Document::parse(text.as_str()).unwrap();
        let many: Vec<(String, usize)> = document
            .as_table()
            .iter()
            .filter_map(|(key, item)| Some((key.to_owned(), item.as_array_of_tables()?.len())))
            .collect();
        for (table, count) in many.iter().cloned().chain([("newtable".into(), 0)]) {
            for before in (0..count).map(Some).chain([None]) {
                let add = Change::Add { table: table.clone(), entries: name("new"), before };
                let there = change(&text, &add).unwrap_or_else(|fault| panic!("{table} {before:?}: {fault}"));
                assert_eq!(comments(&there), comments(&text));
                let remove = Change::Remove { table: table.clone(), index: before.unwrap_or(count) };
                assert_eq!(change(&there, &remove).unwrap(), text, "{table} {before:?}\n{there}");
            }
            for (index, to) in (0..count).flat_map(|index| (0..count).map(move |to| (index, to))) {
                let there = change(&text, &Change::Move { table: table.clone(), index, to }).unwrap();
                assert_eq!(comments(&there), comments(&text));
                let back = Change::Move { table: table.clone(), index: to, to: index };
                assert_eq!(change(&there, &back).unwrap(), text, "{table} {index} {to}");
            }
        }
        for (at, name) in paths_of(&text) {
            if at.starts_with("feature/") && at.ends_with("/name") {
                let there = change(&text, &rename(&name, "quite another")).unwrap();
                assert_eq!(comments(&there), comments(&text));
                assert_eq!(change(&there, &rename("quite another", &name)).unwrap(), text, "{name}");
                let words = format!("\"{name}\"");
                let spoken = there.lines().any(|line| !line.starts_with("kind") && line.contains(&words));
                assert!(!spoken, "{name} is still spoken of\n{there}");
            }
        }
    }
}

/// A renamed feature changes no place, no outside, no mate: only what it is called.
#[test]
fn a_renamed_part_is_the_same_part() {
    let mut tried = 0;
    for text in files() {
        let Ok(before) = read_drawing("a", &text) else { continue };
        for (at, name) in paths_of(&text) {
            if !(at.starts_with("feature/") && at.ends_with("/name")) {
                continue;
            }
            let after = change(&text, &rename(&name, "quite another")).unwrap();
            let after =
                read_drawing("a", &after).unwrap_or_else(|faults| panic!("{name}: {faults:?}\n{after}"));
            assert_eq!(format!("{:?}", after.body), format!("{:?}", before.body), "{name}");
            assert_eq!(after.equal, before.equal, "{name}");
            let with = |drawing: &Drawing| drawing.mates.iter().map(|mate| mate.with).collect::<Vec<_>>();
            assert_eq!(with(&after), with(&before), "{name}");
            for (one, other) in after.features.iter().zip(&before.features) {
                assert_eq!(format!("{:?}", one.kind), format!("{:?}", other.kind), "{name}");
                let says =
                    |feature: &Feature| feature.placing.iter().map(|s| s.says.clone()).collect::<Vec<_>>();
                assert_eq!(says(one), says(other), "{name}");
            }
            tried += 1;
        }
    }
    assert!(tried > 150, "{tried}");
}
