//! `GET /`: the parts of the project and how each stands.

use askama::Template;
use axum::extract::State;
use axum::response::IntoResponse;

use super::{Project, html, path_segment};

#[derive(Template)]
#[template(path = "project.html")]
struct ProjectPage {
    project: String,
    parts: Vec<Line>,
}

/// One part in the list.
struct Line {
    address: String,
    name: String,
    wanted: String,
    state: String,
    sound: bool,
}

pub async fn page(State(shop): Project) -> impl IntoResponse {
    let parts = shop
        .parts()
        .into_iter()
        .map(|part| {
            let address = format!("/parts/{}/drawing", path_segment(&part));
            match shop.plan(&part) {
                Some(Ok(plan)) => Line {
                    address,
                    name: plan.part,
                    wanted: plan.cover.wanted,
                    state: count(plan.setups.len(), "setup", "setups"),
                    sound: true,
                },
                Some(Err(problems)) => Line {
                    address,
                    name: part,
                    wanted: String::new(),
                    state: count(problems.len(), "problem", "problems"),
                    sound: false,
                },
                None => {
                    Line { address, name: part, wanted: String::new(), state: "gone".into(), sound: false }
                }
            }
        })
        .collect();
    html(&ProjectPage { project: shop.name(), parts })
}

fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
