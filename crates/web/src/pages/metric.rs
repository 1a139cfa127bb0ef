//! `GET /parts/{part}/metric`: every dimension and what became of it.

use askama::Template;
use axum::response::IntoResponse;
use workshop::plan::sheet::{Change, Ready, ReadyState};

use super::{Asked, Head, Tab, html};

#[derive(Template)]
#[template(path = "metric.html")]
struct MetricPage {
    head: Head,
    changes: Vec<Change>,
    to_buy: Vec<Ready>,
    proofs: Vec<String>,
}

pub async fn page(asked: Asked) -> impl IntoResponse {
    let cover = &asked.plan.cover;
    let to_buy =
        cover.ready.iter().flat_map(|(_, things)| things).filter(|t| t.state == ReadyState::Buy).cloned();
    html(&MetricPage {
        changes: cover.changes.clone(),
        to_buy: to_buy.collect(),
        proofs: cover.proofs.clone(),
        head: Head::of(&asked, Tab::Metric),
    })
}
