//! `GET /parts/{part}/sheets` and what lies below it: the sheets, to read, to
//! print, and as a PDF.

use askama::Template;
use axum::extract::Path;
use axum::http::header;
use axum::response::{Html, IntoResponse, Response};

use super::{Asked, Fault, Head, Tab, html};

#[derive(Template)]
#[template(path = "sheets.html")]
struct SheetsPage {
    head: Head,
    sheets: Vec<(String, String)>,
}

/// The list of sheets.
pub async fn list(asked: Asked) -> impl IntoResponse {
    let sheets = sheets::titles(&asked.plan);
    html(&SheetsPage { sheets, head: Head::of(&asked, Tab::Sheets) })
}

#[derive(Template)]
#[template(path = "sheet.html")]
struct SheetPage {
    head: Head,
    body: String,
    before: Option<(String, String)>,
    after: Option<(String, String)>,
}

/// One sheet, with every figure a way to its reason.
pub async fn page(asked: Asked, Path((_, key)): Path<(String, String)>) -> Result<Response, Fault> {
    let titles = sheets::titles(&asked.plan);
    let place = titles.iter().position(|(known, _)| *known == key);
    let Some(place) = place else {
        return Err(Fault::NotFound(format!("the part has no sheet called `{key}`")));
    };
    let head = Head::of(&asked, Tab::Sheets);
    let body = match sheets::sheet_html(&asked.plan, &key, &|name| head.why(name)) {
        Ok(body) => body,
        Err(problems) => return Err(unprintable(asked, problems)),
    };
    let before = place.checked_sub(1).map(|at| titles[at].clone());
    let after = titles.get(place + 1).cloned();
    Ok(html(&SheetPage { head, body, before, after }).into_response())
}

/// Every sheet as one document for the printer.
pub async fn print(asked: Asked) -> Result<Response, Fault> {
    match sheets::print_html(&asked.plan) {
        Ok(document) => Ok(Html(document).into_response()),
        Err(problems) => Err(unprintable(asked, problems)),
    }
}

/// Every sheet as a PDF.
pub async fn pdf(asked: Asked) -> Result<Response, Fault> {
    match sheets::print_pdf(&asked.plan) {
        Ok(bytes) => Ok(([(header::CONTENT_TYPE, "application/pdf")], bytes).into_response()),
        Err(problems) => Err(unprintable(asked, problems)),
    }
}

fn unprintable(asked: Asked, problems: Vec<workshop::problem::Problem>) -> Fault {
    Fault::Problems { part: asked.part, problems, parts: asked.parts, project: asked.project }
}
