//! Changes to files: what is asked for happens, and nothing else does.

use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use proptest::prelude::*;
use toml_edit::{Document, Item, Value as TomlValue};
use workshop::drawing::{Drawing, Feature, read_drawing};
use workshop::edit::{Change, Merged, Value, change, merge};

const LEVER: &str = r#"# Sheet 7.
part = "Lever"
unit = "inch" # as published
make = 1

[body]
kind = "bosses"
around = ["pivot boss", "rod boss"]
thickness = "3/8"

# The big end.
[[feature]]
name = "pivot boss"
kind = "boss"
radius = "7/16"
place = ["datum"]

[[feature]]
name = 'rod boss'
kind = "boss"
radius = { is = "9/32", role = "free" } # measured
place = [
  { is = "1 27/32 right of pivot boss", role = "hold" }, # valve travel
  "level with the pivot boss",
]

# --- mates ---

[[mate]]
name = "pin"
in = "rod boss"
size = 0.1875
fit = "sliding"
"#;

fn set(at: &str, to: &str) -> Change {
    Change::Set { at: at.into(), to: Value::text(to) }
}

fn clear(at: &str) -> Change {
    Change::Clear { at: at.into() }
}

fn rename(from: &str, to: &str) -> Change {
    Change::Rename { from: from.into(), to: to.into() }
}

/// The lines that differ, before and after.
fn moved(change_made: &Change) -> (Vec<String>, Vec<String>) {
    let after = change(LEVER, change_made).unwrap_or_else(|fault| panic!("{change_made:?}: {fault}"));
    let only = |one: &str, other: &str| {
        let other: Vec<&str> = other.lines().collect();
        one.lines().filter(|line| !other.contains(line)).map(str::to_owned).collect()
    };
    (only(LEVER, &after), only(&after, LEVER))
}

fn lines(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}

#[test]
fn a_change_touches_its_own_line_and_reads_as_a_person_would_write_it() {
    for (asked, gone, come) in [
        (set("unit", "mm"), &["unit = \"inch\" # as published"][..], &["unit = \"mm\" # as published"][..]),
        (set("feature/1/name", "end"), &["name = 'rod boss'"], &["name = 'end'"]),
        (set("mate/0/size", "0.2"), &["size = 0.1875"], &["size = 0.2"]),
        (set("mate/0/size", "3/16"), &["size = 0.1875"], &["size = \"3/16\""]),
        (
            set("feature/1/radius", "1/4"),
            &["radius = { is = \"9/32\", role = \"free\" } # measured"],
            &["radius = { is = \"1/4\", role = \"free\" } # measured"],
        ),
        (
            clear("feature/1/radius/role"),
            &["radius = { is = \"9/32\", role = \"free\" } # measured"],
            &["radius = \"9/32\" # measured"],
        ),
        (
            set("feature/0/radius/role", "hold"),
            &["radius = \"7/16\""],
            &["radius = { is = \"7/16\", role = \"hold\" }"],
        ),
        (
            set("feature/1/radius/within", "0.001"),
            &["radius = { is = \"9/32\", role = \"free\" } # measured"],
            &["radius = { is = \"9/32\", role = \"free\", within = \"0.001\" } # measured"],
        ),
        (
            set("feature/0/place/1", "mid thickness"),
            &["place = [\"datum\"]"],
            &["place = [\"datum\", \"mid thickness\"]"],
        ),
        (set("feature/1/place/2", "mid thickness"), &[], &["  \"mid thickness\","]),
        (clear("feature/1/place/1"), &["  \"level with the pivot boss\","], &[]),
        (set("feature/0/face", "back"), &[], &["face = \"back\""]),
        (set("material", "1/8\" brass"), &[], &["material = '1/8\" brass'"]),
        (set("feature/0/place/0/is", "datum"), &[], &[]),
        (clear("feature/0/finish"), &[], &[]),
        (clear("make"), &["make = 1"], &[]),
    ] {
        assert_eq!(moved(&asked), (lines(gone), lines(come)), "{asked:?}");
    }
}

#[test]
fn a_new_key_stands_where_it_is_usually_written() {
    let text = change(LEVER, &set("feature/0/face", "back")).unwrap();
    assert!(text.contains("kind = \"boss\"\nface = \"back\"\nradius"), "{text}");
    let text = change(LEVER, &set("sheet", "Seven")).unwrap();
    assert!(text.contains("part = \"Lever\"\nsheet = \"Seven\"\nunit"), "{text}");
    let text = change(LEVER, &Change::Set { at: "stock/form".into(), to: Value::text("flat bar") }).unwrap();
    assert!(text.contains("thickness = \"3/8\"\n\n[stock]\nform = \"flat bar\"\n\n# The big end."), "{text}");
    let text = change("", &set("name", "Mine")).unwrap();
    let text = change(&text, &set("lathe/swing", "180 mm")).unwrap();
    let text = change(&text, &set("mill/column", "170 mm")).unwrap();
    let text = change(&text, &set("mill/travel_x", "300 mm")).unwrap();
    let text = change(&text, &Change::Set { at: "drills".into(), to: Value::texts(["letters"]) }).unwrap();
    assert_eq!(
        text,
        "name = \"Mine\"\ndrills = [\"letters\"]\n\n[mill]\ntravel_x = \"300 mm\"\ncolumn = \"170 mm\"\n\n\
         [lathe]\nswing = \"180 mm\"\n"
    );
}

#[test]
fn a_new_feature_stands_after_the_last_and_a_moved_one_takes_its_comment_along() {
    let entries = vec![("name".to_owned(), Value::text("bore")), ("kind".to_owned(), Value::text("hole"))];
    let add = Change::Add { table: "feature".into(), entries, before: None };
    let text = change(LEVER, &add).unwrap();
    assert!(
        text.contains(
            "boss\",\n]\n\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\n\n# --- mates ---\n\n[[mate]]"
        ),
        "{text}"
    );
    let moved = change(&text, &Change::Move { table: "feature".into(), index: 0, to: 2 }).unwrap();
    let at = |words: &str| moved.find(words).unwrap();
    assert!(
        at("rod boss'") < at("\"bore\"")
            && at("\"bore\"") < at("# The big end.\n[[feature]]\nname = \"pivot boss\"")
    );
    assert!(at("# The big end.") < at("# --- mates ---"));
    let removed = change(LEVER, &Change::Remove { table: "feature".into(), index: 0 }).unwrap();
    assert!(removed.contains("thickness = \"3/8\"\n\n[[feature]]\nname = 'rod boss'"), "{removed}");
    let removed = change(LEVER, &Change::Remove { table: "mate".into(), index: 0 }).unwrap();
    assert!(removed.ends_with("# --- mates ---\n"), "{removed}");
}

#[test]
fn a_renamed_feature_is_renamed_wherever_the_file_speaks_of_it() {
    let part = r#"part = "x"
[body]
around = ["boss", "rod boss"]
[[feature]]
name = "boss"
kind = "boss"
[[feature]]
name = "rod boss"
kind = "boss"
place = ["1 right of the boss", { is = "3/16 above Boss", role = "hold" }, "midway between boss and rod boss"]
[[feature]]
name = "bolts"
kind = "pitch circle"
place = "concentric with boss"
[[feature]]
name = "bore"
kind = "counterbore"
over = "bolts 3"
place = ["level with bolts 2", "1/2 from the line from bolts 1 to boss", "opposite boss about rod boss"]
[[mate]]
in = "boss"
[[equal]]
dimensions = ["boss: radius", "rod boss: right of boss"]
"#;
    let text = change(part, &rename("boss", "hub")).unwrap();
    for words in [
        "around = [\"hub\", \"rod boss\"]",
        "name = \"hub\"\nkind = \"boss\"",
        "[\"1 right of the hub\", { is = \"3/16 above hub\", role = \"hold\" }, \"midway between hub and rod boss\"]",
        "place = \"concentric with hub\"",
        "\"1/2 from the line from bolts 1 to hub\", \"opposite hub about rod boss\"",
        "in = \"hub\"",
        "[\"hub: radius\", \"rod boss: right of hub\"]",
    ] {
        assert!(text.contains(words), "{words}\n{text}");
    }
    let text = change(part, &rename("bolts", "studs")).unwrap();
    for words in ["over = \"studs 3\"", "\"level with studs 2\"", "the line from studs 1 to boss"] {
        assert!(text.contains(words), "{words}\n{text}");
    }
    for (from, to) in [("boss", "bore"), ("boss", ""), ("nobody", "hub"), ("boss", "nut and bolt")] {
        assert!(change(part, &rename(from, to)).is_err(), "{from} to {to}");
    }
}

#[test]
fn a_slip_in_the_words_sent_is_answered_and_not_written() {
    for at in [
        "",
        "feature",
        "feature/9/name",
        "feature/x/name",
        "body",
        "a b",
        "a/\"/c",
        "body/kind/x/y",
        "/",
        "é",
    ] {
        let answer = change(LEVER, &set(at, "x"));
        assert!(answer.is_err(), "{at}: {answer:?}");
        assert!(answer.unwrap_err().remedy().is_some(), "{at}");
    }
    for slip in [
        Change::Remove { table: "feature".into(), index: 2 },
        Change::Move { table: "feature".into(), index: 0, to: 2 },
        Change::Move { table: "nothing".into(), index: 0, to: 0 },
        Change::Clear { at: "feature".into() },
    ] {
        assert!(change(LEVER, &slip).is_err(), "{slip:?}");
    }
}

#[test]
fn a_thing_is_put_among_others_once_and_taken_out_again() {
    let read = |json: &str| serde_json::from_str::<Change>(json).unwrap();
    let drills = "drills = [\n  \"6.5 mm\", # worn\n  \"letters\",\n]\n";
    let include = read(r#"{"include": {"at": "drills", "item": "No.  43"}}"#);
    let text = change(drills, &include).unwrap();
    assert_eq!(text, "drills = [\n  \"6.5 mm\", # worn\n  \"letters\",\n  \"No.  43\",\n]\n");
    assert_eq!(change(&text, &include).unwrap(), text);
    let exclude = read(r#"{"exclude": {"at": "drills", "item": "no. 43"}}"#);
    assert_eq!(change(&text, &exclude).unwrap(), drills);
    let saw = read(r#"{"include": {"at": "saw", "item": {"diameter": "63 mm", "width": "1 mm"}}}"#);
    let text = change(drills, &saw).unwrap();
    assert!(text.ends_with("]\n\n[[saw]]\ndiameter = \"63 mm\"\nwidth = \"1 mm\"\n"), "{text}");
    assert_eq!(change(&text, &saw).unwrap(), text);
    let out = read(r#"{"exclude": {"at": "saw", "item": {"width": "1 mm", "diameter": "63 mm"}}}"#);
    assert_eq!(change(&text, &out).unwrap(), drills);
    let one = read(r#"{"exclude": {"at": "taps", "item": "M3"}}"#);
    assert_eq!(change("name = \"b\"\ntaps = \"M3\"\n", &one).unwrap(), "name = \"b\"\n");
    let lathe = read(r#"{"set": {"at": "lathe", "to": {}}}"#);
    assert_eq!(change("name = \"b\"\n", &lathe).unwrap(), "name = \"b\"\n\n[lathe]\n");
}

#[test]
fn a_change_comes_from_a_page_as_json() {
    let read = |json: &str| serde_json::from_str::<Change>(json).unwrap();
    assert_eq!(
        read(r#"{"set": {"at": "mill/speeds", "to": [90, 180]}}"#),
        Change::Set {
            at: "mill/speeds".into(),
            to: Value::List(vec![Value::Number("90".into()), Value::Number("180".into())]),
        }
    );
    let add = read(r#"{"add": {"table": "saw", "entries": {"width": "0.8 mm", "teeth": 64}}}"#);
    let text = change("name = \"b\"\n", &add).unwrap();
    assert_eq!(text, "name = \"b\"\n\n[[saw]]\nwidth = \"0.8 mm\"\nteeth = 64\n");
    assert!(serde_json::from_str::<Change>(r#"{"set": {"at": "a"}}"#).is_err());
}

#[test]
fn two_changes_are_brought_together_or_both_kept() {
    let mine = change(LEVER, &set("unit", "mm")).unwrap();
    let theirs = change(LEVER, &set("mate/0/fit", "press")).unwrap();
    match merge(LEVER, &mine, &theirs) {
        Merged::Both(text) => {
            assert!(text.contains("unit = \"mm\"") && text.contains("fit = \"press\""), "{text}")
        }
        conflict => panic!("{conflict:?}"),
    }
    let theirs = change(LEVER, &set("unit", "ell")).unwrap();
    match merge(LEVER, &mine, &theirs) {
        Merged::Conflict { marked } => {
            assert!(marked.contains("\"mm\"") && marked.contains("\"ell\""), "{marked}")
        }
        both => panic!("{both:?}"),
    }
    // Apart, yet together they would give a key twice.
    let mine = change(LEVER, &set("sheet", "7")).unwrap();
    let theirs = LEVER.replace("make = 1\n", "make = 1\nsheet = \"8\"\n");
    match merge(LEVER, &mine, &theirs) {
        Merged::Conflict { marked } => {
            assert!(marked.contains("\"7\"") && marked.contains("\"8\""), "{marked}")
        }
        both => panic!("{both:?}"),
    }
}

/// Every part and bench file of the project, and the same with other line breaks.
fn files() -> Vec<String> {
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

fn any_value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        "\\PC{0,12}".prop_map(Value::Text),
        "[ -~\\t\\r\\n\u{0}\u{202e}]{0,8}".prop_map(Value::Text),
        "-?[0-9]{1,4}(\\.[0-9]{1,3})?".prop_map(Value::Number),
        any::<bool>().prop_map(Value::Flag),
    ];
    leaf.prop_recursive(2, 6, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..3).prop_map(Value::List),
            prop::collection::vec(("[a-z]{1,4}", inner), 0..3).prop_map(Value::Table),
        ]
    })
}

fn any_change() -> impl Strategy<Value = Change> {
    let step =
        prop_oneof!["(feature|body|mate|place|radius|is|role|name|stock|mill|drills)", "[0-3]", "[a-z]{1,3}"];
    let at = prop::collection::vec(step, 1..5).prop_map(|steps| steps.join("/"));
    let table = "(feature|mate|stock|body|end_mill|new)";
    let entries = prop::collection::vec(("[a-z]{1,4}", any_value()), 0..4);
    prop_oneof![
        4 => (at.clone(), any_value()).prop_map(|(at, to)| Change::Set { at, to }),
        2 => at.prop_map(|at| Change::Clear { at }),
        1 => (table, entries, prop::option::of(0usize..4))
            .prop_map(|(table, entries, before)| Change::Add { table, entries, before }),
        1 => (table, 0usize..4).prop_map(|(table, index)| Change::Remove { table, index }),
        1 => (table, 0usize..4, 0usize..4).prop_map(|(table, index, to)| Change::Move { table, index, to }),
        1 => ("(pivot boss|rod boss|bore)", "\\PC{0,10}").prop_map(|(from, to)| Change::Rename { from, to }),
    ]
}

/// The same things written in the less usual ways that TOML allows.
const ODD: &str = "part.x = 1\npart.'y z' = 'a'\nfeature = [{ name = 'pivot boss', place = 'datum' }, {name=\"rod boss\"}]\n\
                   body.kind = \"disc\" # c\nbody.a.b = [ # first\n  1, 2, # pair\n  # alone\n  3 # last\n]\n\
                   [mill.sub]\nx = '''\n# no comment\n'''\n[[end_mill]]\n[end_mill.shank]\nd = 1979-05-27\n[[end_mill]]\n\
                   [new]\n[mill]\ny = []\n  [[mate]]\n  a = { }\n  # tail";

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Whatever is asked of whatever file, in a row: no panic, every text that
    /// comes out can be read, and nothing but removal loses a comment.
    #[test]
    fn any_changes_to_any_file_leave_one_that_reads(
        which in any::<prop::sample::Index>(),
        changes in prop::collection::vec(any_change(), 1..6),
    ) {
        let mut texts = files();
        texts.extend([String::new(), "# only a comment".into(), ODD.into(), ODD.replace('\n', "\r\n")]);
        let mut text = which.get(&texts).clone();
        for asked in &changes {
            match change(&text, asked) {
                Ok(after) => {
                    prop_assert!(Document::parse(after.as_str()).is_ok(), "{asked:?}\n{after}");
                    text = after;
                }
                Err(fault) => prop_assert!(fault.remedy().is_some(), "{asked:?}: {fault}"),
            }
        }
    }

    /// A file broken anywhere is answered, not mended by chance.
    #[test]
    fn any_text_is_answered(cut in any::<prop::sample::Index>(), with in "\\PC{0,6}", asked in any_change()) {
        let at = cut.index(LEVER.len());
        let at = (0..=at).rev().find(|&at| LEVER.is_char_boundary(at)).unwrap();
        let text = format!("{}{with}{}", &LEVER[..at], &LEVER[at..]);
        if let Ok(after) = change(&text, &asked) {
            prop_assert!(Document::parse(after.as_str()).is_ok());
        }
    }

    /// Two people at one file: no line either of them wrote is lost, however it
    /// comes together.
    #[test]
    fn merging_keeps_what_both_wrote(mine in any_change(), theirs in any_change()) {
        let (Ok(mine), Ok(theirs)) = (change(LEVER, &mine), change(LEVER, &theirs)) else { return Ok(()) };
        let text = match merge(LEVER, &mine, &theirs) {
            Merged::Both(text) => {
                prop_assert!(Document::parse(text.as_str()).is_ok());
                text
            }
            Merged::Conflict { marked } => marked,
        };
        for new in [&mine, &theirs] {
            for line in new.lines().filter(|line| !LEVER.lines().any(|old| old == *line)) {
                prop_assert!(text.contains(line), "{line}\n{text}");
            }
        }
    }
}
