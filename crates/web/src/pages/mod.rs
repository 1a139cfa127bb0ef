//! The pages: one file each, and the way from an address to it.

mod bench;
mod drawing;
mod entry;
mod keep;
mod make_list;
mod mechanism;
mod metric;
mod order;
mod paper;
mod project;
mod published;
mod shown;
mod why;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{FromRequestParts, Path};
use axum::http::request::Parts;
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use workshop::plan::Plan;
use workshop::problem::Problem;

use crate::Shop;

/// What every handler is given.
type Project = axum::extract::State<Arc<dyn Shop>>;

pub fn router(shop: Arc<dyn Shop>) -> Router {
    Router::new()
        .route("/", get(project::page))
        .route("/make-list", get(make_list::page))
        .route("/make-list/print", get(make_list::print))
        .route("/make-list/print.pdf", get(make_list::pdf))
        .route("/mechanism", get(mechanism::page).post(mechanism::drawn))
        .route("/mechanism.js", get(mechanism::script))
        .route("/mechanism.css", get(mechanism::style))
        .route("/parts", post(project::new_part))
        .route("/parts/{part}", get(to_drawing))
        .route("/parts/{part}/drawing", get(drawing::page).post(drawing::drawn))
        .route("/parts/{part}/published", get(published::page))
        .route("/parts/{part}/metric", get(metric::page).post(metric::drawn))
        .route("/parts/{part}/order", get(order::page).post(order::drawn))
        .route("/parts/{part}/sheets", get(shown::list))
        .route("/parts/{part}/sheets/{sheet}", get(shown::page))
        .route("/parts/{part}/print", get(shown::print))
        .route("/parts/{part}/print.pdf", get(shown::pdf))
        .route("/parts/{part}/why", get(why::page))
        .route("/bench", get(bench::page))
        .route("/bench/change", post(bench::change))
        .merge(keep::routes())
        .merge(paper::routes())
        .route("/style.css", get(style))
        .route("/desk.js", get(desk_script))
        .route("/bench.css", get(bench_style))
        .route("/sheet.css", get(sheet_style))
        .route("/parts/{part}/outline", post(drawing::outline))
        .route("/drawing.js", get(drawing::script))
        .route("/drawing.css", get(drawing::style))
        .route("/paper.js", get(drawing::paper_script))
        .route("/metric.js", get(metric::script))
        .route("/metric.css", get(metric::style))
        .route("/order.js", get(order::script))
        .route("/order.css", get(order::style))
        .route("/mark.svg", get(mark))
        .route("/lettering/{face}", get(lettering))
        .fallback(|| async { Fault::NotFound("there is no such page".into()) })
        .layer(axum::Extension(Arc::new(paper::Decoded::default())))
        .layer(axum::Extension(Arc::new(metric::Drawn::default())))
        .with_state(shop)
}

async fn to_drawing(Path(part): Path<String>) -> Redirect {
    Redirect::to(&format!("/parts/{}/drawing", path_segment(&part)))
}

async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], include_str!("../../assets/style.css"))
}

async fn bench_style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], include_str!("../../assets/bench.css"))
}

async fn desk_script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], include_str!("../../assets/desk.js"))
}

/// The style that sheets print with, the lettering fetched rather than carried inside.
async fn sheet_style() -> impl IntoResponse {
    let family = sheets::font::FAMILY;
    let lettering = [("regular", 400), ("bold", 700)].map(|(face, weight)| {
        format!(
            "@font-face {{ font-family: {family}; src: url(\"/lettering/{face}.ttf\"); font-weight: {weight}; }}\n"
        )
    });
    let style = format!("{}{}{}", lettering.concat(), sheets::svg::style(), sheets::html::style());
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], style)
}

async fn mark() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "image/svg+xml")], include_str!("../../assets/mark.svg"))
}

async fn lettering(Path(face): Path<String>) -> Result<impl IntoResponse, Fault> {
    let face = match face.as_str() {
        "regular.ttf" => sheets::font::Face::Regular,
        "bold.ttf" => sheets::font::Face::Bold,
        _ => return Err(Fault::NotFound("there is no such lettering".into())),
    };
    Ok(([(header::CONTENT_TYPE, "font/ttf"), (header::CACHE_CONTROL, "max-age=86400")], face.file()))
}

/// The part an address names, worked out.
struct Asked {
    /// Name of its file.
    part: String,
    /// Everything worked out.
    plan: Plan,
    /// Every part of the project, for going from one to another.
    parts: Vec<String>,
    /// What the project is called.
    project: String,
}

impl FromRequestParts<Arc<dyn Shop>> for Asked {
    type Rejection = Fault;

    async fn from_request_parts(parts: &mut Parts, shop: &Arc<dyn Shop>) -> Result<Self, Fault> {
        let path = Path::<std::collections::BTreeMap<String, String>>::from_request_parts(parts, shop).await;
        let part = path.ok().and_then(|Path(mut path)| path.remove("part")).unwrap_or_default();
        match shop.plan(&part) {
            None => Err(Fault::NotFound(format!("the project has no part in a file called `{part}.toml`"))),
            Some(Err(problems)) => {
                Err(Fault::Problems { part, problems, parts: shop.parts(), project: shop.name() })
            }
            Some(Ok(plan)) => Ok(Self { part, plan, parts: shop.parts(), project: shop.name() }),
        }
    }
}

/// Why a page cannot be shown.
enum Fault {
    NotFound(String),
    Problems { part: String, problems: Vec<Problem>, parts: Vec<String>, project: String },
}

#[derive(Template)]
#[template(path = "not_found.html")]
struct NotFoundPage {
    words: String,
}

#[derive(Template)]
#[template(path = "problems.html")]
struct ProblemsPage {
    head: Head,
    problems: Vec<Problem>,
}

impl IntoResponse for Fault {
    fn into_response(self) -> Response {
        match self {
            Self::NotFound(words) => (StatusCode::NOT_FOUND, html(&NotFoundPage { words })).into_response(),
            Self::Problems { part, problems, parts, project } => {
                let head = Head { title: part.clone(), tab: Tab::None, part, parts, project };
                (StatusCode::UNPROCESSABLE_ENTITY, html(&ProblemsPage { head, problems })).into_response()
            }
        }
    }
}

/// What stands at the top of every page of a part.
struct Head {
    project: String,
    part: String,
    parts: Vec<String>,
    title: String,
    tab: Tab,
}

/// Which page of a part is open.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Tab {
    None,
    Drawing,
    Metric,
    Order,
    Sheets,
}

impl Head {
    fn of(asked: &Asked, tab: Tab) -> Self {
        Self {
            project: asked.project.clone(),
            part: asked.part.clone(),
            parts: asked.parts.clone(),
            title: asked.plan.part.clone(),
            tab,
        }
    }

    /// The address of a page of this part.
    fn address(&self, page: &str) -> String {
        format!("/parts/{}/{page}", path_segment(&self.part))
    }

    /// The address of another part.
    fn other(&self, part: &str) -> String {
        format!("/parts/{}", path_segment(part))
    }

    /// The address that answers why a figure is what it is.
    fn why(&self, name: &str) -> String {
        format!("{}?of={}", self.address("why"), path_segment(name))
    }

    /// The tabs, in order of work.
    fn tabs(&self) -> [(&'static str, String, bool); 4] {
        [
            ("Drawing", self.address("drawing"), self.tab == Tab::Drawing),
            ("Metric", self.address("metric"), self.tab == Tab::Metric),
            ("Order", self.address("order"), self.tab == Tab::Order),
            ("Sheets", self.address("sheets"), self.tab == Tab::Sheets),
        ]
    }
}

/// Text as one segment of an address.
fn path_segment(text: &str) -> String {
    text.bytes()
        .map(|b| match b {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'_' | b'.' => char::from(b).to_string(),
            _ => format!("%{b:02X}"),
        })
        .collect()
}

/// A filled template.
fn rendered(piece: &impl Template) -> String {
    piece.render().expect("templates write into memory, which does not fail")
}

/// A filled template as a page.
fn html(page: &impl Template) -> Html<String> {
    Html(rendered(page))
}
