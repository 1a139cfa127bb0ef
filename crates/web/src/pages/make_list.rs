//! `GET /make-list`: what to make and fit in which order; below it the same to print.

use askama::Template;
use axum::extract::State;
use axum::http::header;
use axum::response::{Html, IntoResponse, Response};
use workshop::problem::{Outcome, Problem};
use workshop::sheet::MakeList;

use super::{Fault, Project, html};

#[derive(Template)]
#[template(path = "make_list.html")]
struct MakeListPage {
    project: String,
    list: Option<MakeList>,
    problems: Vec<Problem>,
}

pub async fn page(State(shop): Project) -> impl IntoResponse {
    let (list, problems) = match shop.make_list() {
        Ok(list) => (list, Vec::new()),
        Err(problems) => (None, problems),
    };
    html(&MakeListPage { project: shop.name(), list, problems })
}

/// The list as one document for the printer.
pub async fn print(State(shop): Project) -> Result<Response, Fault> {
    let list = listed(&shop)?;
    Ok(Html(sheets::make_list_html(&list, &shop.name())).into_response())
}

/// The list as a PDF.
pub async fn pdf(State(shop): Project) -> Result<Response, Fault> {
    let list = listed(&shop)?;
    let bytes = sheets::make_list_pdf(&list, &shop.name()).map_err(not_listed)?;
    Ok(([(header::CONTENT_TYPE, "application/pdf")], bytes).into_response())
}

fn listed(shop: &std::sync::Arc<dyn crate::Shop>) -> Result<MakeList, Fault> {
    let list: Outcome<Option<MakeList>> = shop.make_list();
    list.map_err(not_listed)?.ok_or_else(|| Fault::NotFound("a project of one part has no make list".into()))
}

/// What is wrong stands on the page of the list itself.
fn not_listed(problems: Vec<Problem>) -> Fault {
    Fault::NotFound(problems.first().map_or(String::new(), |problem| problem.what().to_owned()))
}
