//! The page Metric through the real app: a change comes back with what follows, bad
//! input is refused in plain words and loses nothing, no name becomes markup.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};
use tempfile::TempDir;

use crate::oddleg;
use crate::serving::Serving;

const DISC: &str = "part = \"Disc\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\n\
                    diameter = \"40\"\nthickness = \"4\"\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\n\
                    diameter = \"6.1\"\nplace = [\"datum\"]\n";
const BENCH: &str = "name = \"b\"\ndrills = [\"6 mm\", \"6.5 mm\"]\n";

fn project(part: &str) -> (TempDir, Serving) {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("parts")).unwrap();
    fs::write(folder.path().join("parts/disc.toml"), part).unwrap();
    fs::write(folder.path().join("bench.toml"), BENCH).unwrap();
    let serving = Serving::of(folder.path());
    (folder, serving)
}

/// The answer to a change, with a row open.
fn ask(serving: &Serving, text: &str, bench: &str, changes: Value, row: &str) -> (u16, Value) {
    let body = json!({ "text": text, "bench": bench, "changes": changes, "state": { "row": row } });
    let reply = serving.post("/parts/disc/metric", &body);
    (reply.status, reply.json())
}

fn fragment<'a>(answer: &'a Value, name: &str) -> &'a str {
    answer["fragments"][name].as_str().unwrap_or_else(|| panic!("no {name} in {answer}"))
}

#[test]
fn a_pin_comes_back_with_what_follows_and_nothing_is_written_until_it_is_saved() {
    let (folder, serving) = project(DISC);
    let at = "feature/0/diameter";
    let page = serving.read("/parts/disc/metric");
    assert_eq!(page.status, 200);
    assert!(page.text().contains("drill 6 mm"), "{}", page.text());
    let pin = json!([{ "set": { "at": format!("{at}/pin"), "to": "6.5 mm" } }]);
    let (status, answer) = ask(&serving, DISC, BENCH, pin, at);
    assert_eq!(status, 200, "{answer}");
    let text = answer["text"].as_str().unwrap();
    assert_eq!(text, DISC.replace("\"6.1\"", "{ is = \"6.1\", pin = \"6.5 mm\" }"));
    assert_eq!(answer["bench"], BENCH);
    assert!(fragment(&answer, "rows").contains("was 6 mm"), "{answer}");
    assert!(fragment(&answer, "rows").contains("pinned"));
    assert!(fragment(&answer, "answer").contains("What followed"));
    assert_eq!(fs::read_to_string(folder.path().join("parts/disc.toml")).unwrap(), DISC);
    // Made already takes the place of the pin: one of both stands in the file.
    let made = json!([{ "set": { "at": format!("{at}/made"), "to": "6.04 mm" } }]);
    let (_, answer) = ask(&serving, text, BENCH, made, at);
    assert_eq!(answer["text"], DISC.replace("\"6.1\"", "{ is = \"6.1\", made = \"6.04 mm\" }"));
    // What was before the last change goes with a question that changes nothing.
    let body = json!({ "text": DISC, "bench": BENCH, "was": { "text": text, "bench": BENCH } });
    let back = serving.post("/parts/disc/metric", &body).json();
    assert!(fragment(&back, "rows").contains("was 6.5 mm"), "{back}");
}

#[test]
fn what_cannot_be_read_is_refused_and_loses_nothing() {
    let (folder, serving) = project(DISC);
    let at = "feature/0/diameter";
    for (key, words) in
        [("pin", "6.5 mmm"), ("pin", "6"), ("within", "-1 mm"), ("role", "loose"), ("made", "")]
    {
        let change = json!([{ "set": { "at": format!("{at}/{key}"), "to": words } }]);
        let (status, answer) = ask(&serving, DISC, BENCH, change, at);
        assert_eq!(status, 422, "{key} = {words}: {answer}");
        assert!(answer["problem"]["what"].is_string() && answer["problem"]["mend"].is_string(), "{answer}");
    }
    for changes in [
        json!([{ "set": { "at": "feature/7/diameter/pin", "to": "6 mm" } }]),
        json!([{ "bench": { "set": { "at": "no such/place/at/all", "to": "6 mm" } } }]),
        json!([{ "bench": { "include": { "at": "drills", "item": "a lot" } } }]),
    ] {
        let (status, answer) = ask(&serving, DISC, BENCH, changes.clone(), at);
        assert_eq!(status, 422, "{changes}: {answer}");
    }
    for body in [json!(7), json!({ "text": 3 }), json!({ "text": DISC, "changes": [{ "shrink": 1 }] })] {
        assert_eq!(serving.post("/parts/disc/metric", &body).status, 400, "{body}");
    }
    let long = "#".repeat(1_000_001);
    for body in [
        json!({ "text": long }),
        json!({ "text": DISC, "bench": long }),
        json!({ "text": DISC, "was": { "text": long } }),
    ] {
        assert_eq!(serving.post("/parts/disc/metric", &body).status, 413);
    }
    assert_eq!(serving.read("/parts/none/metric").status, 404);
    assert_eq!(fs::read_to_string(folder.path().join("parts/disc.toml")).unwrap(), DISC);
    assert_eq!(fs::read_to_string(folder.path().join("bench.toml")).unwrap(), BENCH);
}

#[test]
fn a_tick_writes_the_bench_and_is_taken_back_as_it_was_written() {
    let (_folder, serving) = project(DISC);
    let tick = json!([{ "bench": { "include": { "at": "would_buy", "item": "drill 6.1 mm" } } }]);
    let (status, answer) = ask(&serving, DISC, BENCH, tick, "");
    assert_eq!(status, 200, "{answer}");
    let bench = answer["bench"].as_str().unwrap();
    assert_eq!(bench, format!("{BENCH}would_buy = [\"drill 6.1 mm\"]\n"));
    assert_eq!(answer["text"], DISC);
    let buy = fragment(&answer, "buy");
    assert!(buy.contains(" checked") && buy.contains("drill 6.1 mm"), "{buy}");
    let untick = json!([{ "bench": { "exclude": { "at": "would_buy", "item": "drill 6.1 mm" } } }]);
    let (_, answer) = ask(&serving, DISC, bench, untick, "");
    assert_eq!(answer["bench"], BENCH);
}

#[test]
fn a_part_that_holds_pressure_says_why_nothing_changes_and_offers_nothing() {
    let kept = DISC.replace("[body]", "holds_pressure = true\n[body]");
    let (_folder, serving) = project(&kept);
    let (status, answer) = ask(&serving, &kept, BENCH, json!([]), "feature/0/diameter");
    assert_eq!(status, 200, "{answer}");
    assert!(fragment(&answer, "answer").contains("holds pressure"), "{answer}");
    let rows = fragment(&answer, "rows");
    assert!(!rows.contains("data-set") && !rows.contains("data-change"), "{rows}");
}

#[test]
fn no_name_becomes_markup() {
    const NASTY: &str = "<script>alert('x')</script>";
    let part =
        DISC.replace("\"Disc\"", &format!("\"{NASTY}\"")).replace("\"bore\"", &format!("\"bore {NASTY}\""));
    let (_folder, serving) = project(&part);
    let bench = format!("{BENCH}would_buy = [\"{NASTY}\"]\n");
    let pin = json!([{ "set": { "at": "feature/0/diameter/pin", "to": "6.5 mm" } }]);
    for row in ["feature/0/diameter", "body/thickness", NASTY] {
        for changes in [json!([]), pin.clone()] {
            let (status, answer) = ask(&serving, &part, &bench, changes, row);
            assert_eq!(status, 200, "{answer}");
            for piece in answer["fragments"].as_object().unwrap().values() {
                assert!(!piece.as_str().unwrap().contains("<script"), "{piece}");
            }
        }
    }
    let clash = json!([{ "set": { "at": "feature/0/diameter/pin", "to": "60 mm" } }]);
    let (_, answer) = ask(&serving, &part, &bench, clash, "");
    assert!(!answer["fragments"]["answer"].as_str().unwrap_or_default().contains("<script"), "{answer}");
    let page = serving.read("/parts/disc/metric").text();
    assert!(!page.contains(NASTY), "{page}");
}

/// The sizes on a page, by name.
fn sizes(page: &str) -> Vec<(String, String)> {
    let between = |text: &str, from: &str, to: &str| {
        let rest = &text[text.find(from).expect("every row has it") + from.len()..];
        rest[..rest.find(to).expect("it ends")].to_owned()
    };
    let rows = page.split("<tr class=\"row").skip(1);
    rows.map(|row| (between(row, "data-name=\"", "\""), between(row, "class=\"set number\">", "<"))).collect()
}

#[test]
fn the_page_shows_the_sizes_that_the_command_says() {
    let examples = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples"));
    let serving = Serving::of(&examples.join("kittiwake"));
    let answer: Value =
        serde_json::from_slice(&oddleg(examples, &["metric", "kittiwake", "--json"]).stdout).unwrap();
    let mut compared = 0;
    for section in answer["sections"].as_array().unwrap() {
        let heading = section["heading"].as_str().unwrap();
        let Some((_, file)) = heading.split_once("(kittiwake/parts/") else { continue };
        let page = serving.read(&format!("/parts/{}/metric", file.trim_end_matches(".toml)"))).text();
        let said: Vec<(String, String)> = section["rows"]
            .as_array()
            .unwrap()
            .iter()
            .map(|row| {
                (row["dimension"].as_str().unwrap().to_owned(), row["make"].as_str().unwrap().to_owned())
            })
            .collect();
        assert_eq!(sizes(&page), said, "{heading}");
        compared += 1;
    }
    assert_eq!(compared, 16, "every part of the project: {answer}");
}
