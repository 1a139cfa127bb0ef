//! The working manner of every page on which something is changed.
//!
//! The page holds the text of the file as its draft. Each change is posted with
//! that text as a [`Draft`]; the answer is the changed text and the parts of the
//! page drawn anew ([`reply`]). The file is written when the person saves. What
//! the page does with this stands in `assets/desk.js`.

use std::future::poll_fn;
use std::pin::Pin;

use axum::body::HttpBody;
use axum::extract::{FromRequest, Request};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use workshop::edit::{Change, change};
use workshop::problem::Problem;

use crate::MOST_TEXT_BYTES;

/// What a page sends when something is changed on it.
#[derive(Debug, Deserialize)]
pub struct Draft {
    /// The text of the file as the page has it.
    pub text: String,
    /// What is to be changed in it, one after the other.
    #[serde(default)]
    pub changes: Vec<Change>,
}

impl Draft {
    /// The text with every change made.
    ///
    /// # Errors
    ///
    /// The first change that cannot be made; then none is.
    pub fn changed(&self) -> Result<String, Refused> {
        bounded(&self.text)?;
        let mut text = self.text.clone();
        for asked in &self.changes {
            text = change(&text, asked)?;
        }
        Ok(text)
    }
}

/// Refuses a text that is too long for any file.
pub fn bounded(text: &str) -> Result<(), Refused> {
    if text.len() <= MOST_TEXT_BYTES {
        return Ok(());
    }
    Err(Refused::with(
        StatusCode::PAYLOAD_TOO_LARGE,
        Problem::new("the text is longer than 1 MB")
            .why("a part or a bench is a few pages of text")
            .mend("take something out, or make two parts of it"),
    ))
}

/// The changed text, and the parts of the page to be drawn anew by their `id`.
pub fn reply(text: &str, fragments: Vec<(&str, String)>) -> Response {
    axum::Json(json!({ "text": text, "fragments": by_id(fragments) })).into_response()
}

/// The same of a page that holds the bench as well.
pub fn reply_both(text: &str, bench: &str, fragments: Vec<(&str, String)>) -> Response {
    axum::Json(json!({ "text": text, "bench": bench, "fragments": by_id(fragments) })).into_response()
}

fn by_id(fragments: Vec<(&str, String)>) -> serde_json::Map<String, Value> {
    fragments.into_iter().map(|(id, html)| (id.to_owned(), html.into())).collect()
}

/// A body of JSON of a few megabytes at most.
pub struct Sent<T>(pub T);

/// The longest body of JSON: two texts, each letter of them escaped at worst.
const MOST_JSON_BYTES: usize = 5 * MOST_TEXT_BYTES;

impl<T: DeserializeOwned, S: Send + Sync> FromRequest<S> for Sent<T> {
    type Rejection = Refused;

    async fn from_request(request: Request, _: &S) -> Result<Self, Refused> {
        let bytes = body(request, MOST_JSON_BYTES).await?;
        serde_json::from_slice(&bytes).map(Self).map_err(|fault| {
            let problem = Problem::new("what the page sent cannot be read")
                .why(fault.to_string())
                .mend("open the page again");
            Refused::with(StatusCode::BAD_REQUEST, problem)
        })
    }
}

/// The body of a request, or that it is too long in plain words.
///
/// # Errors
///
/// Status 413 when it is longer than `most`.
pub async fn body(request: Request, most: usize) -> Result<Vec<u8>, Refused> {
    let mut body = request.into_body();
    let (mut bytes, mut length) = (Vec::new(), 0);
    while let Some(frame) = poll_fn(|context| Pin::new(&mut body).poll_frame(context)).await {
        let frame = frame.map_err(|fault| {
            let problem = Problem::new("what was sent did not arrive whole")
                .why(fault.to_string())
                .mend("send it again");
            Refused::with(StatusCode::BAD_REQUEST, problem)
        })?;
        let Ok(part) = frame.into_data() else { continue };
        length += part.len();
        if length <= most {
            bytes.extend_from_slice(&part);
        } else if length > STILL_HEARD_OUT * most {
            break;
        }
    }
    if length <= most {
        return Ok(bytes);
    }
    let problem = Problem::new("what was sent is too large")
        .why(format!("at most {} MB are taken here", most / 1_000_000))
        .mend("send less: a smaller picture, or a shorter file");
    Err(Refused::with(StatusCode::PAYLOAD_TOO_LARGE, problem))
}

/// How many times too long a body may be and still be read to its end, though not
/// kept: a sender that is cut off never sees why.
const STILL_HEARD_OUT: usize = 20;

/// A request that is not done, with what the person can mend.
#[derive(Debug)]
pub struct Refused {
    status: StatusCode,
    problem: Box<Problem>,
}

impl Refused {
    fn with(status: StatusCode, problem: Problem) -> Self {
        Self { status, problem: Box::new(problem) }
    }
}

impl From<Problem> for Refused {
    fn from(problem: Problem) -> Self {
        Self::with(StatusCode::UNPROCESSABLE_ENTITY, problem)
    }
}

impl IntoResponse for Refused {
    fn into_response(self) -> Response {
        let problem = json!({
            "what": self.problem.what(),
            "where": self.problem.place(),
            "why": self.problem.reason(),
            "mend": self.problem.remedy(),
        });
        (self.status, axum::Json(json!({ "problem": problem }))).into_response()
    }
}
