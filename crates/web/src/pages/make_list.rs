//! `GET /make-list`: what to make and fit in which order; below it the same to print.

use askama::Template;
use axum::extract::State;
use axum::http::header;
use axum::response::{Html, IntoResponse, Response};
use workshop::problem::{Outcome, Problem};
use workshop::sheet::{MakeKind, MakeList, MakeRow};

use super::{Fault, Project, html, path_segment};

#[derive(Template)]
#[template(path = "make_list.html")]
struct MakeListPage {
    project: String,
    list: Option<MakeList>,
    rows: Vec<Line>,
    problems: Vec<Problem>,
}

/// A row as the page sets it.
struct Line {
    row: MakeRow,
    /// Which look it has.
    kind: &'static str,
    /// Whether the work is carried to another place for it.
    carried: bool,
    /// The page of the part's own order.
    address: Option<String>,
}

fn lines(list: &MakeList) -> Vec<Line> {
    let line = |(n, row): (usize, &MakeRow)| Line {
        kind: match row.kind {
            MakeKind::Part => "part",
            MakeKind::Aid => "aid",
            MakeKind::Join => "join",
            MakeKind::Work => "work",
            MakeKind::Heat => "heat",
            MakeKind::Apart => "apart",
        },
        carried: n == 0 || list.rows[n - 1].place != row.place,
        address: row.part.as_ref().map(|file| {
            let stem = file.strip_suffix(".toml").unwrap_or(file);
            format!("/parts/{}/order", path_segment(stem))
        }),
        row: row.clone(),
    };
    list.rows.iter().enumerate().map(line).collect()
}

pub async fn page(State(shop): Project) -> impl IntoResponse {
    let (list, problems) = match shop.make_list() {
        Ok(list) => (list, Vec::new()),
        Err(problems) => (None, problems),
    };
    let rows = list.as_ref().map(lines).unwrap_or_default();
    html(&MakeListPage { project: shop.name(), list, rows, problems })
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
