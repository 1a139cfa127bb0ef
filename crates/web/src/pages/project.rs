//! `GET /`: the parts of the project and how each stands; `POST /parts`: a new one.

use askama::Template;
use axum::extract::State;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::json;
use workshop::edit::{Change, Value, change};
use workshop::problem::Problem;

use super::{Project, html, path_segment};
use crate::Paper;
use crate::desk::{Refused, Sent};

#[derive(Template)]
#[template(path = "project.html")]
struct ProjectPage {
    project: String,
    parts: Vec<Line>,
    has_bench: bool,
    unfitted: Vec<Problem>,
    outsides: &'static [Outside],
    removed: Vec<Removed>,
}

/// One part in the list.
struct Line {
    address: String,
    name: String,
    file: String,
    wanted: String,
    state: String,
    sound: bool,
}

/// A part that was taken away.
struct Removed {
    name: String,
    back: String,
}

/// What a new part may be, in the words of the page and of the file.
struct Outside {
    kind: &'static str,
    words: &'static str,
}

const OUTSIDES: &[Outside] = &[
    Outside { kind: "rectangle", words: "a plate or block with square corners" },
    Outside { kind: "bosses", words: "round bosses joined by flanks, such as a lever" },
    Outside { kind: "outline", words: "any outline of lines and arcs" },
    Outside { kind: "disc", words: "a disc" },
    Outside { kind: "turned", words: "turned in the lathe" },
];

pub async fn page(State(shop): Project) -> impl IntoResponse {
    let parts = shop
        .parts()
        .into_iter()
        .map(|part| {
            let address = format!("/parts/{}", path_segment(&part));
            let line = |name: String, wanted: String, state: String, sound: bool| Line {
                address,
                name,
                file: part.clone(),
                wanted,
                state,
                sound,
            };
            match shop.plan(&part) {
                Some(Ok(plan)) => {
                    line(plan.part, plan.cover.wanted, count(plan.setups.len(), "setup", "setups"), true)
                }
                Some(Err(problems)) => {
                    line(part.clone(), String::new(), count(problems.len(), "problem", "problems"), false)
                }
                None => line(part.clone(), String::new(), "gone".into(), false),
            }
        })
        .collect();
    let removed = shop.removed().into_iter().filter_map(|name| {
        let newest = shop.earlier(&Paper::Part(name.clone())).first()?.number;
        Some(Removed { back: format!("/parts/{}/earlier/{newest}", path_segment(&name)), name })
    });
    html(&ProjectPage {
        project: shop.name(),
        parts,
        has_bench: shop.stamp(&Paper::Bench).is_some(),
        unfitted: shop.unfitted(),
        outsides: OUTSIDES,
        removed: removed.collect(),
    })
}

/// What is said of a new part.
#[derive(Deserialize)]
pub struct NewPart {
    name: String,
    outside: String,
    unit: String,
}

/// Makes a part of which only the name, the unit and the kind of outside are
/// known: its page asks for the rest.
pub async fn new_part(State(shop): Project, Sent(new): Sent<NewPart>) -> Result<Response, Refused> {
    let name = new.name.trim();
    let file = file_name(name);
    if file.is_empty() {
        return Err(Problem::new("the part needs a name").mend("write one such as `Valve lever`").into());
    }
    if !OUTSIDES.iter().any(|outside| outside.kind == new.outside)
        || !["inch", "mm"].contains(&new.unit.as_str())
    {
        return Err(Problem::new("the page sent what it does not offer").mend("open the page again").into());
    }
    let mut text = String::new();
    for (at, to) in [("part", name), ("unit", &new.unit), ("body/kind", &new.outside)] {
        text = change(&text, &Change::Set { at: at.to_owned(), to: Value::text(to) })?;
    }
    shop.create(&Paper::Part(file.clone()), &text)?;
    Ok(axum::Json(json!({ "go": format!("/parts/{}", path_segment(&file)) })).into_response())
}

/// A name as the name of a file: `Valve lever` becomes `valve-lever`.
fn file_name(name: &str) -> String {
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect::<Vec<_>>().join("-")
}

fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
