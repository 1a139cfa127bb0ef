//! `GET /parts/{part}/metric`: what became of every dimension, and what can be
//! changed about it. `POST` to the same: what follows from a change, across mates too.
//!
//! The page holds two drafts, the part and the bench.

mod pieces;

use std::collections::BTreeMap;
use std::sync::Arc;

use askama::Template;
use axum::Extension;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use workshop::desk::choices;
use workshop::edit::{Change, change};

use super::{Fault, Head, Project, Tab, html};
use crate::desk::{Refused, Sent, bounded, reply_both};
use crate::{Drafts, Paper, Shop, Text};
pub use pieces::Drawn;
use pieces::{Pieces, Wanted};

#[derive(Template)]
#[template(path = "metric.html")]
struct MetricPage {
    head: Head,
    pieces: Pieces,
    picture: String,
}

pub async fn page(
    State(shop): Project,
    Extension(drawn): Extension<Arc<Drawn>>,
    Path(part): Path<String>,
) -> Result<impl IntoResponse, Fault> {
    let drafts = saved(shop.as_ref(), &part)?;
    let answer = shop.metric(&part, &drafts).map_err(|problems| Fault::Problems {
        part: part.clone(),
        problems,
        parts: shop.parts(),
        project: shop.name(),
    })?;
    let head = Head {
        title: answer.own.piece.drawing.name.clone(),
        project: shop.name(),
        part,
        parts: shop.parts(),
        tab: Tab::Metric,
    };
    let wanted = Wanted::default();
    let pieces = pieces::pieces(&drafts, &answer, None, &wanted);
    let picture = drawn.picture(&answer.own, &wanted);
    Ok(html(&MetricPage { head, pieces, picture }))
}

/// Both files as they stand in the folder.
fn saved(shop: &dyn Shop, part: &str) -> Result<Drafts, Fault> {
    let none = || Fault::NotFound(format!("the project has no part in a file called `{part}.toml`"));
    if !shop.parts().iter().any(|known| known == part) {
        return Err(none());
    }
    let read = |paper: &Paper| {
        shop.text(paper).map_err(|problem| Fault::Problems {
            part: part.to_owned(),
            problems: vec![problem],
            parts: shop.parts(),
            project: shop.name(),
        })
    };
    let Some(Text { text, .. }) = read(&Paper::Part(part.to_owned()))? else { return Err(none()) };
    let bench = read(&Paper::Bench)?.map(|text| text.text).unwrap_or_default();
    Ok(Drafts { part: text, bench })
}

/// What the page asks.
#[derive(Deserialize)]
pub struct Ask {
    #[serde(flatten)]
    drafts: Sheets,
    /// What to do to them; nothing when they are only to be shown.
    #[serde(default)]
    changes: Vec<Edit>,
    /// What is open, and how the picture is wanted.
    #[serde(default)]
    state: BTreeMap<String, String>,
    /// The drafts before the last change.
    was: Option<Sheets>,
}

/// Both drafts as the page has them.
#[derive(Clone, Deserialize)]
struct Sheets {
    text: String,
    #[serde(default)]
    bench: String,
}

/// A change to one of the two.
#[derive(Deserialize)]
#[serde(untagged)]
enum Edit {
    Bench { bench: Change },
    Part(Change),
}

impl Sheets {
    fn drafts(self) -> Result<Drafts, Refused> {
        bounded(&self.text)?;
        bounded(&self.bench)?;
        Ok(Drafts { part: self.text, bench: self.bench })
    }
}

pub async fn drawn(
    State(shop): Project,
    Extension(drawn): Extension<Arc<Drawn>>,
    Path(part): Path<String>,
    Sent(Ask { drafts, changes, state, was }): Sent<Ask>,
) -> Result<Response, Refused> {
    let mut drafts = drafts.drafts()?;
    let was = match was {
        _ if !changes.is_empty() => Some(drafts.clone()),
        Some(was) => Some(was.drafts()?),
        None => None,
    };
    for edit in &changes {
        match edit {
            Edit::Bench { bench } => drafts.bench = change(&drafts.bench, bench)?,
            Edit::Part(asked) => {
                for made in choices::settled(asked) {
                    drafts.part = change(&drafts.part, &made)?;
                }
            }
        }
    }
    // A change that cannot be read is not made: there would be no rows to mend it in.
    let answer = shop.metric(&part, &drafts).map_err(|mut faults| Refused::from(faults.swap_remove(0)))?;
    let wanted = Wanted::of(&state);
    // The picture takes longest and is asked for by itself, once the rows stand.
    if state.get("only").is_some_and(|only| only == "picture") {
        let picture = drawn.picture(&answer.own, &wanted);
        return Ok(reply_both(&drafts.part, &drafts.bench, vec![("picture", picture)]));
    }
    let before = was.and_then(|was| Some((shop.metric(&part, &was).ok()?, was)));
    let before = before.as_ref().map(|(answer, was)| (was, answer.as_ref()));
    let Pieces { rows, answer: said, buy } = pieces::pieces(&drafts, &answer, before, &wanted);
    let title = sheets::svg::escape(&answer.own.piece.drawing.name);
    let fragments = vec![("rows", rows), ("answer", said), ("buy", buy), ("title", title)];
    Ok(reply_both(&drafts.part, &drafts.bench, fragments))
}

pub async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], include_str!("../../assets/metric.js"))
}

pub async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], include_str!("../../assets/metric.css"))
}
