//! `GET /mechanism`: every mechanism of the project, drawn, moved and plotted.
//! `POST /mechanism`: the same of a draft of its file, with sizes tried and results wanted.

use std::collections::BTreeMap;
use std::sync::Arc;

use askama::Template;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::json;
use workshop::linkage::{Curve, Kind, Look, Machine, Run, Told, look, reasons, title};
use workshop::problem::Problem;
use workshop::why::Figure;

use super::why::{Link, chain};
use super::{Project, html, rendered};
use crate::desk::{Refused, Sent, bounded, reply};
use crate::{Motion, Moved, Paper, Shop};

#[derive(Template)]
#[template(path = "mechanism.html")]
struct MechanismPage {
    project: String,
    shown: String,
    file: String,
}

#[derive(Template)]
#[template(path = "mechanism_shown.html")]
struct ShownPiece {
    written: bool,
    shown: Vec<Shown>,
    problems: Vec<Problem>,
}

#[derive(Template)]
#[template(path = "mechanism_file.html")]
struct FilePiece {
    text: String,
}

/// One mechanism in one setting.
struct Shown {
    title: String,
    /// The mechanism, by which what is tried is kept.
    machine: String,
    svg: String,
    /// Positions for the page to put in place, as JSON.
    data: String,
    last: usize,
    plots: Vec<(String, String)>,
    /// What the curves stand for: their class and words.
    key: Vec<(&'static str, &'static str)>,
    /// What moves in the picture.
    moves: &'static str,
    columns: Vec<&'static str>,
    results: Vec<Line>,
    sizes: Vec<Size>,
    notes: Vec<String>,
    holds: String,
    rooms: Vec<Room>,
    /// Where sizes are tried: in the first setting of each mechanism.
    try_here: bool,
    trial: Trial,
}

/// What is tried of a mechanism.
#[derive(Clone, Default)]
struct Trial {
    /// What each size is to be.
    sizes: BTreeMap<String, String>,
    /// The result that is wanted, and what it is to be.
    want: [String; 2],
    /// By which size.
    by: String,
    /// What was found for it.
    found: Option<String>,
    /// Why it cannot be tried.
    problem: Option<Problem>,
}

/// A result: its values in the order of the columns, and why.
struct Line {
    name: String,
    values: Vec<(&'static str, String)>,
    most: String,
    chain: Vec<Link>,
}

struct Size {
    name: String,
    values: Vec<String>,
    tried: String,
}

struct Room {
    name: String,
    values: [String; 3],
    chain: Vec<Link>,
}

pub async fn page(State(shop): Project) -> Result<Response, Refused> {
    let text = shop.text(&Paper::Mechanism)?.map(|text| text.text);
    let motion = text.as_deref().map_or_else(Motion::default, |text| moving(&shop, text));
    let shown = pieces(text.is_some(), motion, &BTreeMap::new());
    Ok(html(&MechanismPage { project: shop.name(), shown, file: file(text.unwrap_or_default()) })
        .into_response())
}

/// What the page asks.
#[derive(Deserialize)]
pub struct Ask {
    /// The draft of the file as it is.
    text: String,
    /// What to do to it; nothing when it is only to be shown.
    #[serde(default)]
    changes: Vec<Edit>,
    /// What is tried, by mechanism.
    #[serde(default)]
    state: BTreeMap<String, String>,
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum Edit {
    /// The whole text.
    Whole {
        /// The text.
        text: String,
    },
}

pub async fn drawn(
    State(shop): Project,
    Sent(Ask { mut text, changes, state }): Sent<Ask>,
) -> Result<Response, Refused> {
    for Edit::Whole { text: whole } in changes {
        text = whole;
    }
    bounded(&text)?;
    let said = !text.trim().is_empty();
    let motion = if said { moving(&shop, &text) } else { Motion::default() };
    let shown = pieces(said, motion, &state);
    let own = file(text.clone());
    Ok(reply(&text, vec![("mechanism-shown", shown), ("mechanism-file", own)]))
}

fn moving(shop: &Arc<dyn Shop>, text: &str) -> Motion {
    shop.moving(text).unwrap_or_else(|problems| Motion { problems, ..Motion::default() })
}

fn file(text: String) -> String {
    rendered(&FilePiece { text })
}

fn pieces(written: bool, motion: Motion, state: &BTreeMap<String, String>) -> String {
    let mut shown = Vec::new();
    for moved in &motion.machines {
        let mut trial = Trial::of(&moved.machine, state);
        let tried = trial.run(&moved.machine);
        let why = reasons(&moved.machine, &moved.told, moved.closest.as_ref());
        for (n, told) in moved.told.iter().enumerate() {
            let tried = tried.as_ref().and_then(|all| all.get(n));
            shown.push(one(moved, told, n == 0, tried, &trial, &why));
        }
    }
    rendered(&ShownPiece { written, shown, problems: motion.problems })
}

impl Trial {
    /// What the page says is tried: `try NAME` a line for each size, `want NAME` and `by NAME`.
    fn of(machine: &Machine, state: &BTreeMap<String, String>) -> Self {
        let said = |what: &str| state.get(&format!("{what} {}", machine.name)).map_or("", String::as_str);
        let pair = |line: &str| {
            let (name, value) = line.split_once('=')?;
            let (name, value) = (name.trim().to_owned(), value.trim().to_owned());
            (!value.is_empty()).then_some((name, value))
        };
        let want = pair(said("want")).map_or_else(Default::default, |(name, value)| [name, value]);
        let sizes = said("try").lines().filter_map(pair).collect();
        Self { sizes, want, by: said("by").trim().to_owned(), found: None, problem: None }
    }

    fn wants(&self, result: &str) -> bool {
        self.want[0] == result
    }

    fn is_by(&self, size: &str) -> bool {
        self.by == size
    }

    /// What the mechanism does with what is tried; none where nothing is, or it does not go.
    fn run(&mut self, machine: &Machine) -> Option<Vec<Told>> {
        if self.sizes.is_empty() && self.want[1].is_empty() {
            return None;
        }
        match self.tried(machine) {
            Ok(tried) => Some(tried),
            Err(problem) => {
                self.problem = Some(problem);
                None
            }
        }
    }

    fn tried(&mut self, machine: &Machine) -> Result<Vec<Told>, Problem> {
        // From the sizes that will be made, where there are any: those are what is tried on.
        let mut tried = machine.as_made();
        for (name, value) in &self.sizes {
            tried = tried.with(&format!("{name} = {value}"))?;
        }
        if !self.want[1].is_empty() {
            let want = self.want.join(" = ");
            if self.by.is_empty() {
                return Err(Problem::new(format!("nothing is said by which size `{want}` is to come"))
                    .mend("choose the size that may change"));
            }
            let (found, value) = tried.wanted(&want, &self.by)?;
            self.found = Some(format!("{want}: {} = {value}", self.by));
            tried = found;
        }
        tried.told().map_err(|mut faults| faults.remove(0))
    }
}

/// The ways round of one setting that are shown together: class, words, and which.
fn runs<'a>(told: &'a Told, tried: Option<&'a Told>) -> Vec<(&'static str, &'static str, &'a Run)> {
    let mut all = vec![("drawn", "as drawn", &told.drawn)];
    all.extend(told.measured.as_ref().map(|run| ("measured", "as drawn, with what is measured", run)));
    all.extend(told.made.as_ref().map(|run| ("made", "as it will be made", run)));
    all.extend(tried.map(|told| ("tried", "as tried", &told.drawn)));
    if all.len() == 1 {
        all[0].0 = "made";
    }
    all
}

fn one(
    moved: &Moved,
    told: &Told,
    first: bool,
    tried: Option<&Told>,
    trial: &Trial,
    why: &[Figure],
) -> Shown {
    let machine = &moved.machine;
    let title = title(machine, told);
    let runs = runs(told, tried);
    let looks: Vec<Look> = runs.iter().map(|(_, _, run)| look(machine, run)).collect();
    let (last, moves) = (looks.len() - 1, runs[runs.len() - 1].1);
    let moving = sheets::motion::moving(&looks[last], &format!("{title} as it moves"));
    let plots = (0..looks[0].curves.len()).map(|at| {
        let curves: Vec<(&str, &Curve)> =
            runs.iter().zip(&looks).filter_map(|(run, look)| Some((run.0, look.curves.get(at)?))).collect();
        let curve = &looks[0].curves[at];
        (format!("{}: {}", curve.name, curve.kind), sheets::motion::plot(&curves))
    });
    let data = json!({ "angles": moving.angles, "frames": moving.frames, "cursors": moving.cursors });
    let run = runs[last].2;
    let mut notes = run.notes.clone();
    notes.extend(told.open.iter().cloned());
    let say = |kind: Kind, value: f64| kind.shown().text(value);
    let named = |name: &str| why.iter().find(|figure| figure.name == name);
    let reason = |name: &str| named(name).map_or_else(Vec::new, |figure| chain(&figure.why));
    let close = moved.closest.as_ref().filter(|_| first);
    Shown {
        plots: plots.collect(),
        svg: moving.svg,
        // A script ends at its closing tag, whatever stands around it.
        data: data.to_string().replace('<', "\\u003c"),
        last: moving.angles.len().saturating_sub(1),
        key: runs.iter().map(|(class, words, _)| (*class, *words)).collect(),
        moves,
        columns: runs.iter().map(|(_, words, _)| *words).collect(),
        results: lines(machine, &runs, |name| reason(&format!("{title}: {name}"))),
        sizes: machine
            .known
            .iter()
            .enumerate()
            .map(|(at, known)| Size {
                name: known.name.clone(),
                values: runs.iter().map(|(_, _, run)| say(known.kind, run.values[at])).collect(),
                tried: trial.sizes.get(&known.name).cloned().unwrap_or_default(),
            })
            .collect(),
        notes,
        holds: close.map_or_else(String::new, |close| close.asked.join("; ")),
        rooms: close.map_or_else(Vec::new, |close| {
            close
                .rooms
                .iter()
                .map(|room| {
                    let known = &machine.known[room.param];
                    let say = |room: f64| format!("± {}", say(known.kind, room));
                    Room {
                        name: known.name.clone(),
                        values: [say(room.worst), say(room.likely), room.bound_by.clone()],
                        chain: reason(&format!("{}: {} may depart by", machine.name, known.name)),
                    }
                })
                .collect()
        }),
        try_here: first,
        trial: trial.clone(),
        machine: machine.name.clone(),
        title,
    }
}

fn lines(
    machine: &Machine,
    runs: &[(&'static str, &'static str, &Run)],
    reason: impl Fn(&str) -> Vec<Link>,
) -> Vec<Line> {
    let value = |run: &Run, name: &str| {
        let found = run.results.iter().find(|result| result.asked.name == name);
        found.map_or_else(|| "none".to_owned(), |result| result.asked.shown.text(result.value))
    };
    let line = |result: &workshop::linkage::ValueOf| {
        let name = &result.asked.name;
        let most = machine.weighty(result).into_iter().next();
        Line {
            name: name.clone(),
            values: runs.iter().map(|(_, words, run)| (*words, value(run, name))).collect(),
            most: most.map_or_else(String::new, |(at, words)| format!("{}: {words}", machine.known[at].name)),
            chain: reason(name),
        }
    };
    runs[runs.len() - 1].2.results.iter().map(line).collect()
}

pub async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], include_str!("../../assets/mechanism.js"))
}

pub async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], include_str!("../../assets/mechanism.css"))
}
