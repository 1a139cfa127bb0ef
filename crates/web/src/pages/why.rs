//! `GET /parts/{part}/why?of=NAME`: the chain behind a number.

use askama::Template;
use axum::extract::Query;
use axum::response::{IntoResponse, Response};
use workshop::why::{Figure, Why, quoted};

use super::{Asked, Fault, Head, Tab, html};

#[derive(Template)]
#[template(path = "why.html")]
struct WhyPage {
    head: Head,
    figure: Figure,
    chain: Vec<Link>,
}

#[derive(Template)]
#[template(path = "why_list.html")]
struct WhyListPage {
    head: Head,
    asked: String,
    names: Vec<String>,
}

/// One statement of the chain, set in by how deep it lies.
pub(super) struct Link {
    pub depth: usize,
    pub statement: String,
    pub source: Option<String>,
    pub assumed: bool,
}

pub async fn page(
    asked: Asked,
    Query(question): Query<std::collections::BTreeMap<String, String>>,
) -> Result<Response, Fault> {
    let of = question.get("of").cloned().unwrap_or_default();
    let head = Head::of(&asked, Tab::None);
    match asked.plan.figure(&of) {
        Ok(figure) => {
            let chain = chain(&figure.why);
            Ok(html(&WhyPage { head, figure: figure.clone(), chain }).into_response())
        }
        Err(near) => {
            let names = if near.is_empty() {
                asked.plan.figures.iter().map(|f| f.name.as_str()).collect()
            } else {
                near
            };
            let names = names.into_iter().map(str::to_owned).collect();
            Ok(html(&WhyListPage { head, asked: of, names }).into_response())
        }
    }
}

/// A chain of reasons, statement by statement.
pub(super) fn chain(why: &Why) -> Vec<Link> {
    let mut chain = Vec::new();
    links(why, 0, &mut chain);
    chain
}

fn links(why: &Why, depth: usize, into: &mut Vec<Link>) {
    into.push(Link {
        depth,
        statement: quoted(&why.statement),
        source: why.source.clone(),
        assumed: why.assumed,
    });
    for reason in &why.because {
        links(reason, depth + 1, into);
    }
}
