//! `GET /bench` and `POST /bench/change`: what is owned, entered and changed.

use askama::Template;
use axum::extract::State;
use axum::response::{IntoResponse, Response};
use workshop::bench::asks::Takes;
use workshop::bench::form::{Field, Form, Machine, Shelf, look};
use workshop::bench::sets::Set;
use workshop::edit::{Change, Value};
use workshop::tables::materials;

use super::{Project, html, rendered};
use crate::Paper;
use crate::desk::{self, Draft, Refused, Sent};

#[derive(Template)]
#[template(path = "bench.html")]
struct BenchPage {
    project: String,
    form: String,
    materials: Vec<String>,
}

/// The whole page.
pub async fn page(State(shop): Project) -> Result<Response, Refused> {
    let text = shop.text(&Paper::Bench)?.map(|text| text.text).unwrap_or_default();
    let materials = materials::all().iter().map(|material| material.name.clone()).collect();
    Ok(html(&BenchPage { project: shop.name(), form: drawn(&text), materials }).into_response())
}

/// The draft changed, and the form drawn anew.
pub async fn change(Sent(draft): Sent<Draft>) -> Result<Response, Refused> {
    let text = draft.changed()?;
    Ok(desk::reply(&text, vec![("bench-form", drawn(&text))]))
}

#[derive(Template)]
#[template(path = "bench_form.html")]
struct FormPiece {
    form: Form,
}

fn drawn(text: &str) -> String {
    rendered(&FormPiece { form: look("bench.toml", text) })
}

impl FormPiece {
    fn id(&self, field: &Field) -> String {
        format!("at-{}", field.at.replace('/', "-"))
    }

    /// How the page sends what is typed.
    fn kind(&self, field: &Field) -> &'static str {
        match field.ask.takes {
            Takes::Count => "number",
            Takes::Speeds | Takes::Wheels => "numbers",
            Takes::Sizes | Takes::Pitches | Takes::Pieces => "list",
            _ => "text",
        }
    }

    /// The words it may hold, where they are few.
    fn words(&self, field: &Field) -> &'static [&'static str] {
        match field.ask.takes {
            Takes::One(words) => words,
            _ => &[],
        }
    }

    fn takes_material(&self, field: &Field) -> bool {
        field.ask.takes == Takes::Material
    }

    fn had(&self, machine: &Machine) -> String {
        json(&[Change::Set { at: machine.key.to_owned(), to: Value::Table(Vec::new()) }])
    }

    fn not_had(&self, machine: &Machine) -> String {
        clear(machine.key)
    }

    fn ticked(&self, set: &Set) -> String {
        json(&set.on())
    }

    fn unticked(&self, set: &Set) -> String {
        json(&set.off())
    }

    fn clear(&self, field: &Field) -> String {
        clear(&field.at)
    }

    fn remove(&self, shelf: &Shelf, index: &usize) -> String {
        json(&[Change::Remove { table: shelf.rack.key().to_owned(), index: *index }])
    }

    /// One more row, to be filled in.
    fn add(&self, shelf: &Shelf) -> String {
        let first = shelf.rack.asks().first().map_or("diameter", |ask| ask.key);
        let entries = vec![(first.to_owned(), Value::text(""))];
        json(&[Change::Add { table: shelf.rack.key().to_owned(), entries, before: None }])
    }

    /// The first field of the next row.
    fn next(&self, shelf: &Shelf) -> String {
        let first = shelf.rack.asks().first().map_or("diameter", |ask| ask.key);
        format!("#at-{}-{}-{first}", shelf.rack.key(), shelf.rows.len())
    }

    fn is_list(&self, shelf: &Shelf) -> bool {
        shelf.rack.asks().is_empty()
    }
}

fn clear(at: &str) -> String {
    json(&[Change::Clear { at: at.to_owned() }])
}

fn json(changes: &[Change]) -> String {
    serde_json::to_string(changes).expect("changes are words and numbers")
}
