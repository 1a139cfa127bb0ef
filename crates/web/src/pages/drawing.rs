//! `GET /parts/{part}/drawing`: the page where a part is entered and changed.
//! `POST` to the same: what it shows of a draft after an edit.

use std::collections::BTreeMap;
use std::sync::Arc;

use askama::Template;
use axum::Extension;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::json;
use workshop::desk::{self, Look, choices};
use workshop::edit::{Change, change};
use workshop::exchange::FileUnit;
use workshop::plan::views::Lettering;

use super::entry::{self, Pieces, Sheets, Wanted};
use super::paper::Decoded;
use super::{Fault, Head, Project, Tab, html};
use crate::desk::{Refused, Sent, bounded, reply};
use crate::{Paper, Shop, Text};

#[derive(Template)]
#[template(path = "drawing.html")]
struct DrawingPage {
    head: Head,
    pieces: Pieces,
    kinds: Vec<entry::Kind>,
}

pub async fn page(
    State(shop): Project,
    Extension(decoded): Extension<Arc<Decoded>>,
    Path(part): Path<String>,
) -> Result<impl IntoResponse, Fault> {
    let none = || Fault::NotFound(format!("the project has no part in a file called `{part}.toml`"));
    if !shop.parts().contains(&part) {
        return Err(none());
    }
    let text = match shop.text(&Paper::Part(part.clone())) {
        Ok(Some(Text { text, .. })) => text,
        Ok(None) => return Err(none()),
        Err(problem) => {
            let (parts, project) = (shop.parts(), shop.name());
            return Err(Fault::Problems { part, problems: vec![problem], parts, project });
        }
    };
    let mut look = desk::look(&file(&part), &text);
    let head = head(part, &look, shop.name(), shop.parts());
    let wanted = Wanted::at_first(&look);
    let sheets = sheets_of(shop.as_ref(), &decoded, &look);
    let pieces = entry::pieces(&text, &mut look, sheets, &wanted, &head);
    Ok(html(&DrawingPage { pieces, kinds: entry::kinds(), head }))
}

/// What the page asks.
#[derive(Deserialize)]
pub struct Ask {
    /// The draft as it is.
    text: String,
    /// What to do to it; nothing when it is only to be shown.
    #[serde(default)]
    changes: Vec<Edit>,
    /// What is open, and how the picture is wanted.
    #[serde(default)]
    state: BTreeMap<String, String>,
}

/// One edit, as the page makes it.
#[derive(Deserialize)]
#[serde(untagged)]
enum Edit {
    /// One of this page's own.
    Own(Own),
    /// A change as it stands.
    Plain(Change),
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum Own {
    /// Words typed into a field.
    Fill {
        /// The field.
        at: String,
        /// The words.
        words: String,
    },
    /// A feature of a kind after another, a mate, or sizes that stay equal.
    New {
        /// Its kind.
        kind: String,
        /// After which feature.
        after: Option<usize>,
    },
    /// The whole text, where it cannot be read and forms cannot be drawn.
    Whole {
        /// The text.
        text: String,
    },
}

pub async fn drawn(
    State(shop): Project,
    Extension(decoded): Extension<Arc<Decoded>>,
    Path(part): Path<String>,
    Sent(Ask { mut text, changes, state }): Sent<Ask>,
) -> Result<Response, Refused> {
    bounded(&text)?;
    let mut wanted = Wanted::of(&state);
    for edit in changes {
        text = edited(text, edit, &mut wanted)?;
        bounded(&text)?;
    }
    let lettering = if wanted.both { Lettering::Both } else { Lettering::AsWritten };
    let mut look = desk::look_lettered(&file(&part), &text, lettering);
    wanted.keep_to(&look);
    let head = head(part, &look, shop.name(), Vec::new());
    let sheets = sheets_of(shop.as_ref(), &decoded, &look);
    let Pieces { list, form, picture, troubles, paper } =
        entry::pieces(&text, &mut look, sheets, &wanted, &head);
    let fragments = vec![
        ("list", list),
        ("form", form),
        ("picture", picture),
        ("troubles", troubles),
        ("paper", paper),
        ("title", sheets::svg::escape(&head.title)),
    ];
    Ok(reply(&text, fragments))
}

/// `POST /parts/{part}/outline`: a draft with the outline of a drawing-exchange file
/// read into it, and what is told of the reading.
pub async fn outline(Sent(asked): Sent<Outline>) -> Result<Response, Refused> {
    bounded(&asked.text)?;
    let unit = match asked.unit.as_str() {
        "" => None,
        word => Some(FileUnit::read(word)?),
    };
    let read = desk::outlined(&asked.text, &asked.file, asked.holds.as_bytes(), unit);
    // The page has one line to say it in: the first fault, as elsewhere.
    let (text, told) = read.map_err(|mut faults| Refused::from(faults.swap_remove(0)))?;
    Ok(axum::Json(json!({ "text": text, "told": told })).into_response())
}

/// A file to be read into a draft.
#[derive(Deserialize)]
pub struct Outline {
    /// The draft.
    text: String,
    /// The name of the file.
    file: String,
    /// What stands in it: both kinds that are read are files of text.
    holds: String,
    /// The unit of its numbers, where the person says it.
    unit: String,
}

/// The text after an edit; what was added is then what is open.
fn edited(text: String, edit: Edit, wanted: &mut Wanted) -> Result<String, Refused> {
    let made = match edit {
        Edit::Own(Own::Fill { at, words }) => {
            let made = desk::fill(&text, &at, &words)?;
            return Ok(choices::settled(&made).iter().try_fold(text, |text, made| change(&text, made))?);
        }
        Edit::Own(Own::New { kind, after }) => {
            let (made, at) = match kind.as_str() {
                "mate" => desk::new_table(&text, "mate"),
                "equal sizes" => desk::new_table(&text, "equal"),
                "chain" => desk::new_table(&text, "chain"),
                "wall" => desk::new_table(&text, "wall"),
                "geometry" => desk::new_table(&text, "geometry"),
                "parted" => desk::new_table(&text, "parted"),
                kind => desk::new_feature(&text, kind, after),
            };
            wanted.card = at;
            made
        }
        Edit::Own(Own::Whole { text }) => return Ok(text),
        Edit::Plain(made) => made,
    };
    Ok(change(&text, &made)?)
}

/// What the project keeps of paper sheets, for a draft.
fn sheets_of(shop: &dyn Shop, decoded: &Decoded, look: &Look) -> Sheets {
    // One that cannot be read is said on the page; the rest of it is drawn all the same.
    let gray = look.paper.as_ref().and_then(|paper| decoded.gray(shop, &paper.image).ok());
    Sheets { images: shop.images(), size: gray.map(|gray| (gray.width(), gray.height())) }
}

fn file(part: &str) -> String {
    format!("{part}.toml")
}

fn head(part: String, look: &Look, project: String, parts: Vec<String>) -> Head {
    let title = if look.name.is_empty() { part.clone() } else { look.name.clone() };
    Head { project, part, parts, title, tab: Tab::Drawing }
}

pub async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], include_str!("../../assets/drawing.js"))
}

pub async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], include_str!("../../assets/drawing.css"))
}

pub async fn paper_script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], include_str!("../../assets/paper.js"))
}
