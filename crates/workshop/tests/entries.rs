//! Every dimension and thread knows the entry of the file that it stands in, so that
//! it can be changed there.

use std::fs;
use std::path::{Path, PathBuf};

use workshop::drawing::{Drawing, read_drawing};
use workshop::edit::{Change, Value, change, meaning};
use workshop::measure::Length;

/// The part files of the demo project, of its beginning, and of the trials.
fn parts() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folders = ["tests/parts", "../../examples/kittiwake/parts", "../oddleg/templates/new/parts"];
    let mut files: Vec<PathBuf> = folders
        .iter()
        .flat_map(|folder| fs::read_dir(root.join(folder)).expect("the folder is there"))
        .map(|entry| entry.expect("the folder can be read").path())
        .filter(|file| file.extension().is_some_and(|end| end == "toml"))
        .collect();
    files.sort();
    files
}

fn set(at: &str, to: &str) -> Change {
    Change::Set { at: at.to_owned(), to: Value::text(to) }
}

/// Written otherwise than any of those files, and all in one.
const IN_OTHER_WORDS: &str = r#"
part = "Odd plate"
unit = "inch"
feature = [
  { name = "heel", kind = "corner", place = "datum" }, { name = "toe", kind = "corner", place = ["2 right of heel", { is = "level with heel" }] },
  { name = "brow", kind = "corner", radius = 0.125, place = { is = "1 above toe", role = "free" } },
  { name = "holes", kind = "row", holes = 3, spacing = 0.5, diameter = "No. 43", clears = "8 BA", place = ["1/2 right of heel", "1/4 above heel"] },
]
body = { kind = "outline", thickness = { is = "1/8", role = "suit" }, around = ["heel", { arc = "4", bulge = "out" }, "toe", "brow"] }
mate = [{ name = "pin", in = "holes 2", size = "No. 43", fit = "running" }]
"#;

/// Holds one change against what it does to the drawing read again.
fn only(
    file: &str,
    text: &str,
    before: &Drawing,
    at: &str,
    alters: impl Fn(&Drawing) -> Vec<bool>,
    of: usize,
) {
    let after = read_drawing(file, text).unwrap_or_else(|faults| panic!("{file}: {at}: {faults:#?}"));
    let altered = alters(&after);
    assert_eq!(altered.len(), alters(before).len(), "{file}: {at}");
    for (index, altered) in altered.into_iter().enumerate() {
        assert_eq!(altered, index == of, "{file}: {at} and number {index}");
    }
}

fn every_entry_of(file: &str, text: &str) {
    let drawing = read_drawing(file, text).unwrap_or_else(|faults| panic!("{file}: {faults:#?}"));
    for (index, dimension) in drawing.dimensions.iter().enumerate() {
        let at = format!("{}/within", dimension.at);
        let changed =
            change(text, &set(&at, "0.1237 mm")).unwrap_or_else(|fault| panic!("{file}: {at}: {fault}"));
        let within = |d: &Drawing| -> Vec<bool> {
            d.dimensions.iter().map(|d| d.within == Some(Length::mm_ratio(1237, 10_000))).collect()
        };
        only(file, &changed, &drawing, &at, within, index);
        if dimension.within.is_none() {
            let back = change(&changed, &Change::Clear { at }).expect("what was written can be taken out");
            assert_eq!(meaning(&back), meaning(text), "{file}: `{}` comes back as it was", dimension.name);
        }
    }
    for (index, thread) in drawing.threads.iter().enumerate() {
        let at = format!("{}/role", thread.at);
        let role = if thread.role.0.word() == "free" { "hold" } else { "free" };
        let changed = change(text, &set(&at, role)).unwrap_or_else(|fault| panic!("{file}: {at}: {fault}"));
        let roles = |d: &Drawing| -> Vec<bool> {
            d.threads.iter().zip(&drawing.threads).map(|(now, was)| now.role.0 != was.role.0).collect()
        };
        only(file, &changed, &drawing, &at, roles, index);
    }
}

#[test]
fn a_tolerance_written_where_a_dimension_stands_is_that_dimensions_alone() {
    let files = parts();
    assert!(files.len() > 50, "the parts are there: {}", files.len());
    for file in files {
        let text = fs::read_to_string(&file).expect("a part file is text");
        every_entry_of(&file.display().to_string(), &text);
    }
}

#[test]
fn however_the_file_is_written() {
    every_entry_of("odd.toml", IN_OTHER_WORDS);
}
