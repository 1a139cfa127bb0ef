//! `GET /mechanism`: every mechanism of the project, drawn, moved and plotted.

use askama::Template;
use axum::extract::State;
use axum::http::header;
use axum::response::IntoResponse;
use serde_json::json;
use workshop::linkage::{Kind, Machine, Run, Told, look};
use workshop::problem::Problem;

use super::{Project, html};
use crate::Motion;

#[derive(Template)]
#[template(path = "mechanism.html")]
struct MechanismPage {
    project: String,
    written: bool,
    shown: Vec<Shown>,
    problems: Vec<Problem>,
}

/// One mechanism in one setting.
struct Shown {
    title: String,
    svg: String,
    /// Positions for the page to put in place, as JSON.
    data: String,
    last: usize,
    plots: Vec<(String, String)>,
    both: bool,
    results: Vec<Line>,
    sizes: Vec<[String; 3]>,
    notes: Vec<String>,
    holds: String,
    rooms: Vec<[String; 4]>,
}

/// A result: as drawn, as it will be made, and why.
struct Line {
    name: String,
    drawn: String,
    made: String,
    why: Vec<String>,
}

pub async fn page(State(shop): Project) -> impl IntoResponse {
    let (written, motion) = match shop.motion() {
        Ok(None) => (false, Motion::default()),
        Ok(Some(motion)) => (true, motion),
        Err(problems) => (true, Motion { problems, ..Motion::default() }),
    };
    let mut shown = Vec::new();
    for moved in &motion.machines {
        for (n, told) in moved.told.iter().enumerate() {
            shown.push(one(&moved.machine, told, moved.closest.as_ref().filter(|_| n == 0)));
        }
    }
    html(&MechanismPage { project: shop.name(), written, shown, problems: motion.problems })
}

fn one(machine: &Machine, told: &Told, close: Option<&workshop::linkage::Closest>) -> Shown {
    let title = match &told.setting {
        Some(setting) => format!("{}, {setting}", machine.name),
        None => machine.name.clone(),
    };
    let seen = look(machine, &told.drawn);
    let made = told.made.as_ref().map(|run| look(machine, run));
    let moving = sheets::motion::moving(made.as_ref().unwrap_or(&seen), &format!("{title} as it moves"));
    let plots = seen.curves.iter().enumerate().map(|(at, curve)| {
        let made = made.as_ref().and_then(|made| made.curves.get(at));
        (format!("{}: {}", curve.name, curve.kind), sheets::motion::plot(curve, made))
    });
    let data = json!({ "angles": moving.angles, "frames": moving.frames, "cursors": moving.cursors });
    let run = told.made.as_ref().unwrap_or(&told.drawn);
    let mut notes = run.notes.clone();
    notes.extend(told.open.iter().cloned());
    let say = |kind: Kind, value: f64| kind.shown().text(value);
    Shown {
        svg: moving.svg,
        // A script ends at its closing tag, whatever stands around it.
        data: data.to_string().replace('<', "\\u003c"),
        last: moving.angles.len().saturating_sub(1),
        plots: plots.collect(),
        both: told.made.is_some(),
        results: lines(machine, told, run),
        sizes: machine
            .known
            .iter()
            .enumerate()
            .map(|(at, known)| {
                let made = told.made.as_ref().map_or_else(String::new, |run| say(known.kind, run.values[at]));
                [known.name.clone(), say(known.kind, told.drawn.values[at]), made]
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
                    [known.name.clone(), say(room.worst), say(room.likely), room.bound_by.clone()]
                })
                .collect()
        }),
        title,
    }
}

fn lines(machine: &Machine, told: &Told, run: &Run) -> Vec<Line> {
    let value = |run: Option<&Run>, name: &str| {
        let found = run.and_then(|run| run.results.iter().find(|result| result.asked.name == name));
        found.map_or_else(|| "none".to_owned(), |result| result.asked.shown.text(result.value))
    };
    let line = |result: &workshop::linkage::ValueOf| {
        let name = &result.asked.name;
        let why = machine.weighty(result).into_iter().take(6);
        Line {
            name: name.clone(),
            drawn: value(Some(&told.drawn), name),
            made: value(told.made.as_ref(), name),
            why: why.map(|(at, words)| format!("{}: {words}", machine.known[at].name)).collect(),
        }
    };
    run.results.iter().map(line).collect()
}

pub async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], include_str!("../../assets/mechanism.js"))
}

pub async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], include_str!("../../assets/mechanism.css"))
}
