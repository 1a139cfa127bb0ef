//! The rows of the page Metric: what is written of a size is what the file reads as,
//! and a pin that is offered gives that size.

use std::fs;
use std::path::Path;

use workshop::bench::{Bench, read_bench};
use workshop::desk::choices::{self, Of, Row, settled};
use workshop::drawing::{Drawing, Role, read_drawing, solve};
use workshop::edit::{Change, Value, change};
use workshop::metric::{Against, MetricPart, metricate};

fn kittiwake() -> (Bench, Vec<(String, String)>) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/kittiwake");
    let bench = fs::read_to_string(root.join("bench.toml")).expect("the bench is there");
    let mut parts: Vec<(String, String)> = fs::read_dir(root.join("parts"))
        .expect("the parts are there")
        .map(|entry| entry.expect("the folder can be read").path())
        .map(|file| (file.display().to_string(), fs::read_to_string(&file).expect("a part file is text")))
        .collect();
    parts.sort();
    (read_bench("bench.toml", &bench).expect("the bench reads"), parts)
}

fn chosen(file: &str, text: &str, bench: &Bench) -> Result<(Drawing, MetricPart), String> {
    let drawing = read_drawing(file, text).map_err(|faults| format!("{file}: {faults:#?}"))?;
    let solved = solve(&drawing).map_err(|faults| format!("{file}: {faults:#?}"))?;
    let metric = metricate(&drawing, &solved, bench).map_err(|faults| format!("{file}: {faults:#?}"))?;
    Ok((drawing, metric))
}

fn rows(file: &str, text: &str, bench: &Bench) -> Result<Vec<Row>, String> {
    let (drawing, metric) = chosen(file, text, bench)?;
    Ok(choices::rows(text, &drawing, Some(&metric)))
}

fn set(text: &str, at: &str, to: &str) -> String {
    let asked = Change::Set { at: at.to_owned(), to: Value::text(to) };
    settled(&asked).iter().fold(text.to_owned(), |text, made| change(&text, made).expect("it can be written"))
}

/// What is kept by its pin stays as it is, and nothing else moves for it: over the
/// whole demo project, each third size by itself.
#[test]
fn the_size_chosen_pinned_as_the_page_writes_it_moves_nothing() {
    let (bench, parts) = kittiwake();
    for (which, (file, text)) in parts.iter().enumerate() {
        let before = rows(file, text, &bench).expect("the demo is chosen");
        for (at, row) in before.iter().enumerate().filter(|(at, _)| (at + which) % 3 == 0) {
            let pin = &row.became.as_ref().expect("every size has one").pin;
            let pinned = set(text, &format!("{}/pin", row.at), pin);
            let after = rows(file, &pinned, &bench).unwrap_or_else(|fault| panic!("{}: {fault}", row.name));
            assert_eq!(after[at].said.pin, *pin, "{file}: {}", row.name);
            let moved = choices::moved(&before, &after);
            assert!(moved.is_empty(), "{file}: {} pinned at {pin}: {moved:#?}", row.name);
        }
    }
}

/// A size that breaks nothing with the rest as chosen can be pinned, and then is chosen.
#[test]
fn another_size_that_breaks_nothing_is_had_by_its_pin() {
    let (bench, parts) = kittiwake();
    let mut tried = 0;
    for (file, text) in &parts {
        for row in rows(file, text, &bench).expect("the demo is chosen") {
            let became = row.became.as_ref().expect("every size has one");
            let Some(other) = became.others.iter().find(|other| matches!(other.against, Against::Costs(_)))
            else {
                continue;
            };
            let pinned = set(text, &format!("{}/pin", row.at), &other.pin);
            let (_, metric) =
                chosen(file, &pinned, &bench).unwrap_or_else(|fault| panic!("{}: {fault}", row.name));
            let drawing = read_drawing(file, &pinned).expect("it was just read");
            let found = match row.of {
                Of::Length => {
                    let at = drawing.dimensions.iter().position(|d| d.at == row.at).expect("it is there");
                    metric.dimensions[at].chosen
                }
                Of::Thread => {
                    let at = drawing.threads.iter().position(|t| t.at == row.at).expect("it is there");
                    metric.threads[at].chosen.major
                }
            };
            assert_eq!(found, other.value, "{file}: {} at {}", row.name, other.pin);
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried} sizes have another");
}

#[test]
fn what_stands_beside_a_size_is_shown_as_typed_and_pin_and_made_take_each_others_place() {
    let (bench, parts) = kittiwake();
    let (file, text) =
        parts.iter().find(|(file, _)| file.ends_with("valve-lever.toml")).expect("it is there");
    let row = |text: &str| {
        let rows = rows(file, text, &bench).expect("it is chosen");
        rows.into_iter().find(|row| row.name == "stop hole: diameter").expect("it is there")
    };
    let at = row(text).at;
    let pinned = set(&set(text, &format!("{at}/pin"), "2.3 mm"), &format!("{at}/within"), "0.1 mm");
    assert_eq!((row(&pinned).said.pin.as_str(), row(&pinned).said.within.as_str()), ("2.3 mm", "0.1 mm"));
    let made = set(&pinned, &format!("{at}/made"), "2.32 mm");
    let said = row(&made).said;
    assert_eq!((said.pin.as_str(), said.made.as_str(), said.within.as_str()), ("", "2.32 mm", "0.1 mm"));
    assert_eq!(row(&set(&made, &format!("{at}/role"), "hold")).role.0, Role::Hold);
    assert_eq!(row(&made).feature.as_deref(), Some("stop hole"));
}

/// Whatever some other size would have to buy is on the list, with what it would make.
#[test]
fn the_list_to_buy_has_all_that_any_size_asks_for() {
    let (bench, parts) = kittiwake();
    let mut listed = 0;
    for (file, text) in &parts {
        let (drawing, metric) = chosen(file, text, &bench).expect("the demo is chosen");
        let rows = choices::rows(text, &drawing, Some(&metric));
        let wishes = choices::wishes(&rows, Some(&metric), &bench);
        for buy in &metric.purchases {
            let wish = wishes.iter().find(|wish| wish.what == buy.what).expect("what is needed is listed");
            assert_eq!(wish.used, std::slice::from_ref(&buy.because), "{file}");
        }
        for row in &rows {
            for other in &row.became.as_ref().expect("every size has one").others {
                let Against::Costs(price) = &other.against else { continue };
                for what in &price.buys {
                    let wish =
                        wishes.iter().find(|wish| wish.what == *what).expect("what is wished is listed");
                    assert!(
                        wish.could.iter().any(|gain| (&gain.name, &gain.size) == (&row.name, &other.pin))
                    );
                    listed += 1;
                }
            }
        }
        let mut ticked = bench.clone();
        ticked.would_buy = vec!["A thing of no use here".into()];
        let wishes = choices::wishes(&rows, Some(&metric), &ticked);
        assert!(wishes.iter().any(|wish| wish.ticked.as_deref() == Some("A thing of no use here")));
    }
    assert!(listed > 20, "{listed}");
}

/// A cross hole that points at a bore only because both happen to be half an inch up: at any
/// other height it would break into the bore beside its axis. No sum says so.
#[test]
fn a_cut_that_would_leave_the_axis_it_meets_is_spoken_against() {
    let (bench, _) = kittiwake();
    let hole = |name: &str, face: &str, rest: &str| {
        format!("[[feature]]\nname = \"{name}\"\nkind = \"hole\"\nface = \"{face}\"\n{rest}\n")
    };
    let text = format!(
        "part = \"Block\"\nunit = \"inch\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = \"2\"\n\
         height = \"1\"\nthickness = \"1/2\"\ndatum = \"bottom left\"\n{}{}",
        hole(
            "bore",
            "front",
            "diameter = \"1/4\"\nplace = [\"1 from left edge\", { is = \"1/2 from bottom edge\" }]"
        ),
        hole(
            "oil hole",
            "left",
            "diameter = \"1/8\"\ndepth = \"1\"\nplace = [{ is = \"1/2 from bottom edge\" }, \"1/4 from back face\"]"
        ),
    );
    let rows = rows("block.toml", &text, &bench).expect("it is chosen");
    let row = rows.iter().find(|row| row.name == "oil hole: from bottom edge").expect("it is there");
    let became = row.became.as_ref().expect("it has a size");
    // The bore keeps to the same height, by whatever number both are made.
    let bore = rows.iter().find(|row| row.name == "bore: from bottom edge").expect("it is there");
    assert_eq!(bore.became.as_ref().expect("it has a size").chosen, became.chosen);
    let others = became.others.iter().filter(|other| other.pin != became.pin);
    let spoken: Vec<_> = others.filter(|other| matches!(other.against, Against::Breaks(_))).collect();
    assert!(spoken.len() > 3, "{:#?}", became.others);
    assert!(spoken.iter().all(|other| other.reason().contains("axes of bore and oil hole")), "{spoken:#?}");
}
