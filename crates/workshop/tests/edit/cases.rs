//! One change at a time, and the lines that it touches.

use workshop::edit::{Change, Merged, Value, change, merge};

use super::{LEVER, clear, rename, set};

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
[[geometry]]
of = "Boss"
to = "the boss"
[[equal]]
dimensions = ["boss: radius", "rod boss: right of boss"]
[[chain]]
name = "room"
adds = ["2 × boss: radius", "rod boss: right of boss"]
less = ["Frame: boss: radius"]
least = "1"
"#;
    let text = change(part, &rename("boss", "hub")).unwrap();
    for words in [
        "around = [\"hub\", \"rod boss\"]",
        "name = \"hub\"\nkind = \"boss\"",
        "[\"1 right of the hub\", { is = \"3/16 above hub\", role = \"hold\" }, \"midway between hub and rod boss\"]",
        "place = \"concentric with hub\"",
        "\"1/2 from the line from bolts 1 to hub\", \"opposite hub about rod boss\"",
        "in = \"hub\"",
        "of = \"hub\"\nto = \"the hub\"",
        "[\"hub: radius\", \"rod boss: right of hub\"]",
        "adds = [\"2 × hub: radius\", \"rod boss: right of hub\"]\nless = [\"Frame: boss: radius\"]",
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

/// A text editor of another system marks the file and breaks its lines otherwise.
#[test]
fn a_mark_at_the_top_and_other_line_breaks_stay() {
    let text = "\u{feff}name = \"a\" # mine\r\n\r\n[lathe]\r\nswing = \"180 mm\"\r\n";
    let after = change(text, &set("name", "b")).unwrap();
    assert_eq!(after, text.replace("\"a\"", "\"b\""));
    let after = change(text, &set("lathe/bore", "20 mm")).unwrap();
    assert_eq!(after, format!("{text}bore = \"20 mm\"\r\n"));
    let after = change(text, &set("edge_finder", "10 mm")).unwrap();
    assert_eq!(after, text.replace("# mine\r\n", "# mine\r\nedge_finder = \"10 mm\"\r\n"));
}

/// Where headings stand close, one more stood close too when it went again: it had left a blank line.
#[test]
fn a_table_among_close_ones_goes_without_a_blank_line() {
    let text = "part = \"p\"\n[body]\nkind = \"turned\"\n[[mate]]\nname = \"m\"\n";
    let entries = vec![("name".to_owned(), Value::text("f"))];
    let there = change(text, &Change::Add { table: "feature".into(), entries, before: None }).unwrap();
    assert!(there.contains("kind = \"turned\"\n[[feature]]\nname = \"f\"\n[[mate]]"), "{there}");
    let back = change(&there, &Change::Remove { table: "feature".into(), index: 0 }).unwrap();
    assert_eq!(back, text);
}
