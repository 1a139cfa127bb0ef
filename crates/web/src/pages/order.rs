//! `GET /parts/{part}/order`: the setups in order, each with the metal as it is held.
//! `POST` to the same: the order around a draft, when a step was moved or is done.

mod pieces;

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use workshop::drawing::read_drawing;

use super::{Fault, Head, Project, Tab, html};
use crate::desk::{Draft, Refused, Sent, reply};
use crate::{Paper, Text};
use pieces::{Pieces, Wanted, pieces, targets};

#[derive(Template)]
#[template(path = "order.html")]
struct OrderPage {
    head: Head,
    pieces: Pieces,
}

pub async fn page(State(shop): Project, Path(part): Path<String>) -> Result<impl IntoResponse, Fault> {
    let none = || Fault::NotFound(format!("the project has no part in a file called `{part}.toml`"));
    if !shop.parts().contains(&part) {
        return Err(none());
    }
    let refuse = |problems| Fault::Problems {
        part: part.clone(),
        problems,
        parts: shop.parts(),
        project: shop.name(),
    };
    let text = shop.text(&Paper::Part(part.clone())).map_err(|problem| refuse(vec![problem]))?;
    let Some(Text { text, .. }) = text else { return Err(none()) };
    let drawing = read_drawing(&format!("{part}.toml"), &text).map_err(refuse)?;
    let planned = shop.planned(&part, &text);
    // What is asked of the order is taken back on this page; any other fault is not mended here.
    let planned = match planned {
        Err(problems) if drawing.asked.is_empty() => return Err(refuse(problems)),
        planned => planned,
    };
    let head = Head {
        title: drawing.name.clone(),
        project: shop.name(),
        part: part.clone(),
        parts: shop.parts(),
        tab: Tab::Order,
    };
    let pieces = pieces(&head, &drawing.asked, planned.as_ref(), &Wanted::default());
    Ok(html(&OrderPage { head, pieces }))
}

/// What the page asks.
#[derive(Deserialize)]
pub struct Ask {
    #[serde(flatten)]
    draft: Draft,
    /// The step that is open, or is lifted.
    #[serde(default)]
    state: BTreeMap<String, String>,
}

pub async fn drawn(
    State(shop): Project,
    Path(part): Path<String>,
    Sent(Ask { draft, state }): Sent<Ask>,
) -> Result<Response, Refused> {
    let text = draft.changed()?;
    let wanted = Wanted { step: state.get("step").cloned().unwrap_or_default() };
    let drawing = read_drawing(&format!("{part}.toml"), &text);
    let drawing = drawing.map_err(|mut faults| Refused::from(faults.swap_remove(0)))?;
    let planned = shop.planned(&part, &text);
    // A step that may not stand there is not moved, and the reason is said. A draft that
    // never had an order is shown with what stands against it.
    if let Err(faults) = &planned
        && (!draft.changes.is_empty() || drawing.asked.is_empty())
        && shop.planned(&part, &draft.text).is_ok()
        && let Some(fault) = faults.first()
    {
        return Err(Refused::from(fault.clone()));
    }
    if state.get("only").is_some_and(|only| only == "targets") {
        let lifted = planned.as_ref().map(|plan| targets(&plan.order, &wanted.step)).unwrap_or_default();
        return Ok(reply(&text, vec![("targets", lifted)]));
    }
    let head =
        Head { title: drawing.name.clone(), project: shop.name(), part, parts: Vec::new(), tab: Tab::Order };
    let Pieces { cards, asked } = pieces(&head, &drawing.asked, planned.as_ref(), &wanted);
    let title = sheets::svg::escape(&drawing.name);
    Ok(reply(&text, vec![("cards", cards), ("asked", asked), ("title", title)]))
}

pub async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], include_str!("../../assets/order.js"))
}

pub async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], include_str!("../../assets/order.css"))
}
