//! `GET /parts/{part}/order`: the setups in order, and the traps.

use askama::Template;
use axum::response::IntoResponse;
use workshop::plan::sheet::{OrderLine, Trap};

use super::{Asked, Head, Tab, html};

#[derive(Template)]
#[template(path = "order.html")]
struct OrderPage {
    head: Head,
    setups: Vec<Card>,
    traps: Vec<Trap>,
    proofs: Vec<String>,
    left: Vec<String>,
}

/// One setup with its picture.
struct Card {
    line: OrderLine,
    svg: String,
}

pub async fn page(asked: Asked) -> impl IntoResponse {
    let plan = &asked.plan;
    let pictures = plan.setups.iter().map(sheets::setup_svg);
    html(&OrderPage {
        setups: plan
            .cover
            .order
            .iter()
            .cloned()
            .zip(pictures)
            .map(|(line, svg)| Card { line, svg })
            .collect(),
        traps: plan.cover.traps.clone(),
        proofs: plan.cover.proofs.clone(),
        left: plan.cover.left.clone(),
        head: Head::of(&asked, Tab::Order),
    })
}
