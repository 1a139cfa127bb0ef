//! `GET /parts/{part}/published`: the part as published, and the metric part.

use askama::Template;
use axum::response::IntoResponse;
use workshop::plan::sheet::Scene;
use workshop::why::quoted;

use super::{Asked, Head, Tab, html};

#[derive(Template)]
#[template(path = "published.html")]
struct PublishedPage {
    head: Head,
    as_drawn: Vec<View>,
    metric: Vec<View>,
    assumed: Vec<String>,
}

/// One picture with its title.
struct View {
    title: String,
    svg: String,
}

pub async fn page(asked: Asked) -> impl IntoResponse {
    let views = |scenes: &[Scene]| scenes.iter().map(view).collect();
    html(&PublishedPage {
        as_drawn: views(&asked.plan.as_drawn),
        metric: views(&asked.plan.metric),
        assumed: asked.plan.cover.assumed.iter().map(|words| quoted(words)).collect(),
        head: Head::of(&asked, Tab::Drawing),
    })
}

fn view(scene: &Scene) -> View {
    View { title: scene.view.clone(), svg: sheets::scene_svg(scene) }
}
