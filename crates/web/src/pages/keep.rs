//! Reading and keeping the files of the project: text, stamp, save, earlier
//! states, parts made and taken away, pictures of sheets.
//!
//! `…` stands for `/bench`, `/mechanism` or `/parts/{part}`: `GET …/text`, `GET …/stamp`,
//! `POST …/save`, `GET …/earlier`, `POST …/earlier/{number}`.

use std::collections::BTreeMap;
use std::sync::Arc;

use askama::Template;
use axum::extract::{FromRequestParts, Path, Request, State};
use axum::http::request::Parts;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use serde::Deserialize;
use serde_json::json;
use workshop::problem::Problem;

use super::{Fault, Project, html, path_segment};
use crate::desk::{self, Refused, Sent, bounded};
use crate::{Earlier, MOST_IMAGE_BYTES, Paper, Saving, Shop, Text};

/// The ways to everything that is kept.
pub fn routes() -> Router<Arc<dyn Shop>> {
    let mut router = Router::new();
    for paper in ["/bench", "/mechanism", "/parts/{part}"] {
        router = router
            .route(&format!("{paper}/text"), get(text))
            .route(&format!("{paper}/stamp"), get(stamp))
            .route(&format!("{paper}/save"), post(save))
            .route(&format!("{paper}/earlier"), get(earlier))
            .route(&format!("{paper}/earlier/{{number}}"), get(earlier_text).post(restore));
    }
    router
        .route("/parts/{part}/remove", post(remove))
        .route("/parts/{part}/rename", post(rename))
        .route("/images/{image}", get(image).post(put_image))
}

/// The file that an address speaks of.
pub struct Of(pub Paper);

impl<S: Send + Sync> FromRequestParts<S> for Of {
    type Rejection = Refused;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Refused> {
        let path = Path::<BTreeMap<String, String>>::from_request_parts(parts, state).await;
        if parts.uri.path().starts_with("/mechanism/") {
            return Ok(Self(Paper::Mechanism));
        }
        let part = path.ok().and_then(|Path(mut path)| path.remove("part"));
        Ok(Self(part.map_or(Paper::Bench, Paper::Part)))
    }
}

/// The text of a file; an empty one with no stamp where there is no file yet.
async fn text(State(shop): Project, Of(paper): Of) -> Result<Response, Refused> {
    Ok(match shop.text(&paper)? {
        Some(Text { text, stamp }) => Json(json!({ "text": text, "stamp": stamp })),
        None => Json(json!({ "text": "", "stamp": null })),
    }
    .into_response())
}

async fn stamp(State(shop): Project, Of(paper): Of) -> Response {
    Json(json!({ "stamp": shop.stamp(&paper) })).into_response()
}

/// A text to be saved.
#[derive(Deserialize)]
struct Save {
    /// What the file said when the page read it.
    base: String,
    /// What it is to say.
    text: String,
}

async fn save(
    State(shop): Project,
    Of(paper): Of,
    Sent(Save { base, text }): Sent<Save>,
) -> Result<Response, Refused> {
    bounded(&text)?;
    bounded(&base)?;
    let answer = match shop.save(&paper, &base, &text)? {
        Saving::Saved(Text { text, stamp }) => json!({ "outcome": "saved", "text": text, "stamp": stamp }),
        Saving::Merged(Text { text, stamp }) => json!({ "outcome": "merged", "text": text, "stamp": stamp }),
        Saving::Conflict { theirs: Text { text, stamp }, marked } => {
            json!({ "outcome": "conflict", "theirs": text, "stamp": stamp, "marked": marked })
        }
    };
    Ok(Json(answer).into_response())
}

#[derive(Template)]
#[template(path = "earlier.html")]
struct EarlierPage {
    project: String,
    title: String,
    back: String,
    address: String,
    states: Vec<Earlier>,
}

async fn earlier(State(shop): Project, Of(paper): Of) -> Response {
    let address = address(&paper);
    let title = match &paper {
        Paper::Bench => "The bench".to_owned(),
        Paper::Mechanism => "The mechanisms".to_owned(),
        Paper::Part(part) => part.clone(),
    };
    html(&EarlierPage {
        project: shop.name(),
        title,
        back: address.clone(),
        address: format!("{address}/earlier"),
        states: shop.earlier(&paper),
    })
    .into_response()
}

async fn earlier_text(
    State(shop): Project,
    Of(paper): Of,
    Path(path): Path<BTreeMap<String, String>>,
) -> Result<Response, Fault> {
    let text = number(&path).and_then(|number| shop.earlier_text(&paper, number));
    let text = text.ok_or_else(|| Fault::NotFound("there is no such earlier state".into()))?;
    Ok(([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], text).into_response())
}

async fn restore(
    State(shop): Project,
    Of(paper): Of,
    Path(path): Path<BTreeMap<String, String>>,
) -> Result<Response, Refused> {
    let number = number(&path).ok_or_else(|| {
        Problem::new("there is no such earlier state").mend("look at the list of earlier states again")
    })?;
    shop.restore(&paper, number)?;
    Ok(Json(json!({ "go": address(&paper) })).into_response())
}

/// Where the page of a file stands.
fn address(paper: &Paper) -> String {
    match paper {
        Paper::Bench => "/bench".to_owned(),
        Paper::Mechanism => "/mechanism".to_owned(),
        Paper::Part(part) => format!("/parts/{}", path_segment(part)),
    }
}

fn number(path: &BTreeMap<String, String>) -> Option<u32> {
    path.get("number")?.parse().ok()
}

async fn remove(State(shop): Project, Path(part): Path<String>) -> Result<Response, Refused> {
    shop.remove(&part)?;
    Ok(Json(json!({ "go": "/" })).into_response())
}

/// What the file of a part is to be called.
#[derive(Deserialize)]
struct Rename {
    to: String,
}

async fn rename(
    State(shop): Project,
    Path(part): Path<String>,
    Sent(Rename { to }): Sent<Rename>,
) -> Result<Response, Refused> {
    shop.rename(&part, to.trim())?;
    Ok(Json(json!({ "go": format!("/parts/{}", path_segment(to.trim())) })).into_response())
}

async fn image(State(shop): Project, Path(name): Path<String>) -> Result<Response, Fault> {
    let image = shop.image(&name).ok_or_else(|| Fault::NotFound("there is no such picture".into()))?;
    Ok(([(header::CONTENT_TYPE, image.media_type)], image.bytes).into_response())
}

/// Keeps a picture; the address holds the name wished for, the answer the one it has.
async fn put_image(
    State(shop): Project,
    Path(name): Path<String>,
    request: Request,
) -> Result<Response, Refused> {
    let bytes = desk::body(request, MOST_IMAGE_BYTES).await?;
    let name = shop.put_image(&name, &bytes)?;
    Ok((StatusCode::CREATED, Json(json!({ "image": name }))).into_response())
}
