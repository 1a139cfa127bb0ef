//! When no metric part can be had: what was tried, and the cheapest way out.

use super::model::{ConstraintId, Cost, Model};
use super::search::{Outcome, solve};
use super::way::{Job, ThreadWays, Ways};
use crate::drawing::{DimensionId, Finish, Measures, Role, ThreadId};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::threads::Form;

/// A fault for every dimension and thread that has no candidate at all.
pub fn nothing_near(job: &Job, ways: &[Ways], threads: &[ThreadWays]) -> Vec<Problem> {
    let mut faults = Vec::new();
    for (at, ways) in ways.iter().enumerate().filter(|(_, ways)| ways.ways.is_empty()) {
        let dimension = job.dimension(DimensionId(at));
        let exact = dimension.written.length;
        let ruled: Vec<String> = ways.ruled_out.iter().map(|r| format!("{}: {}", r.with, r.reason)).collect();
        let tried = if ruled.is_empty() { String::new() } else { format!("; {}", ruled.join("; ")) };
        let mend = match nearest_owned(job, dimension.measures, exact) {
            Some((size, what)) => format!(
                "allow more with `within = \"{} mm\"`, for {what} that is on the bench",
                size.gap(exact).rounded(Length::microns(1), Toward::More).value.decimals(3)
            ),
            None => "allow more with `within`, or add a tool near that size to the bench".into(),
        };
        faults.push(
            Problem::new(format!(
                "nothing makes `{}` within {} of `{}`",
                dimension.name, ways.limit, dimension.written.text
            ))
            .at(format!("line {}, `{}`", dimension.line, dimension.name))
            .at(job.drawing.file.clone())
            .why(format!(
                "it is {exact}; the bench was tried, then the standard metric sizes from {} to {}{tried}",
                (exact - ways.limit).max(Length::ZERO),
                exact + ways.limit
            ))
            .mend(mend),
        );
    }
    for (call, ways) in job.drawing.threads.iter().zip(threads).filter(|(_, ways)| ways.ways.is_empty()) {
        let ruled: Vec<String> = ways.ruled_out.iter().map(|r| format!("{}: {}", r.with, r.reason)).collect();
        faults.push(
            Problem::new(format!("no metric thread can take the place of `{}`", call.text))
                .at(format!("line {}, `{}`", call.line, call.name))
                .at(job.drawing.file.clone())
                .why(if ruled.is_empty() { "none is near it in diameter".into() } else { ruled.join("; ") })
                .mend("keep it with `role = \"hold\"` and its own tap"),
        );
    }
    faults
}

/// What would make a size that nothing makes, in words.
pub fn would_make(measures: Measures, size: Length) -> String {
    match measures {
        Measures::Hole(Finish::Drilled) => format!("a drill of {size}"),
        Measures::Hole(Finish::Reamed) => format!("a reamer of {size}, or a boring tool that reaches it"),
        Measures::Hole(Finish::Bored) => format!("a boring tool that reaches {size}"),
        Measures::SawWidth => format!("a saw {size} wide"),
        Measures::SlotWidth | Measures::Counterbore => format!("an end mill of {size}"),
        Measures::InsideCorner => format!("an end mill of {}", size * 2),
        Measures::Thickness => format!("plate of {size}, or thicker stock to face down"),
        Measures::AcrossBar => format!("bar of {size} across its flats"),
        Measures::TaperPin => format!("a taper pin of {size} and its reamer"),
        Measures::KnurlPitch => format!("a knurling wheel of {size}"),
        Measures::Shaft => format!("bar of {size}, or a hole of that size to turn it to"),
        _ => format!("a tool of {size}"),
    }
}

/// The nearest owned tool that makes such a size.
fn nearest_owned(job: &Job, measures: Measures, exact: Length) -> Option<(Length, String)> {
    let sizes: Vec<(Length, String)> = match measures {
        Measures::Hole(Finish::Drilled) => {
            job.bench.drills.iter().map(|d| (d.diameter, super::way::drill_name(d))).collect()
        }
        Measures::Hole(Finish::Reamed | Finish::Bored) => {
            job.bench.reamers.iter().map(|r| (r.diameter, super::way::reamer_name(r))).collect()
        }
        Measures::SawWidth => {
            job.bench.saws.iter().map(|s| (s.width, format!("the saw {}", s.width))).collect()
        }
        Measures::SlotWidth | Measures::Counterbore => {
            job.bench.end_mills.iter().map(|m| (m.diameter, format!("the end mill {}", m.diameter))).collect()
        }
        _ => Vec::new(),
    };
    sizes.into_iter().min_by_key(|(size, _)| size.gap(exact))
}

/// The demands that cannot all hold, and which one to give up.
pub fn clash(job: &Job, model: &Model, core: &[ConstraintId]) -> Problem {
    let because: Vec<&str> = core.iter().map(|id| model.constraints[id.0].because.as_str()).collect();
    let mut read: Vec<usize> = core
        .iter()
        .flat_map(|id| model.constraints[id.0].demand.variables())
        .map(|variable| variable.0)
        .collect();
    read.sort_unstable();
    read.dedup();
    let names: Vec<String> = read.iter().map(|&at| format!("`{}`", model.variables[at].name)).collect();
    let problem = Problem::new(format!("no metric sizes for {} satisfy every demand", names.join(", ")))
        .at(job.drawing.file.clone())
        .why(format!("these cannot all hold: {}", because.join("; ")));
    match cheapest_way_out(model, core) {
        Some((given_up, sizes)) if given_up.starts_with("the fit of") => problem.mend(format!(
            "without {given_up} all the rest can hold, with {sizes}: give another fit or its class, let the mate \
             follow instead of `fixed = true`, or add a reamer that gives that fit"
        )),
        Some((given_up, sizes)) => problem.mend(format!(
            "without {given_up} all the rest can hold, with {sizes}: {}move or enlarge what stands there, allow its \
             sizes more with `within`, or add a tool nearer the drawing to the bench",
            smaller_screw(job, &read)
        )),
        None => problem.mend("allow the dimensions more with `within`, or add tools nearer the drawing to the bench"),
    }
}

/// The screws that could stay as they are, where a larger metric one takes the room.
fn smaller_screw(job: &Job, read: &[usize]) -> String {
    let sizes = read.iter().filter(|&&at| at < job.drawing.dimensions.len());
    let mut screws: Vec<ThreadId> =
        sizes.filter_map(|&at| super::heads::screw_of(job, DimensionId(at))).collect();
    screws.extend(read.iter().filter_map(|&at| at.checked_sub(job.drawing.dimensions.len())).map(ThreadId));
    screws.sort_unstable();
    screws.dedup();
    let old = screws.into_iter().map(|id| &job.drawing.threads[id.0]);
    let old: Vec<String> = old
        .filter(|call| call.thread.form() != Form::Metric60 && call.role.0 != Role::Hold)
        .map(|call| format!("keep the {} screw with `role = \"hold\"` on `{}`, ", call.text, call.name))
        .collect();
    old.concat()
}

/// The demand whose loss costs least, and the sizes then chosen for what it reads.
fn cheapest_way_out(model: &Model, core: &[ConstraintId]) -> Option<(String, String)> {
    let mut best: Option<(Cost, String, String)> = None;
    for id in core {
        let mut without = model.clone();
        let given_up = without.constraints.remove(id.0);
        let Ok(Outcome::Solved(solved)) = solve(&without) else { continue };
        if best.as_ref().is_none_or(|(cost, ..)| solved.cost < *cost) {
            let sizes: Vec<String> = given_up
                .demand
                .variables()
                .iter()
                .map(|v| {
                    let variable = &model.variables[v.0];
                    format!("`{}` {}", variable.name, variable.candidates[solved.choice[v.0]].value)
                })
                .collect();
            best = Some((solved.cost, format!("the {}", given_up.name), sizes.join(", ")));
        }
    }
    best.map(|(_, given_up, sizes)| (given_up, sizes))
}

/// The search stopped before it found anything.
pub fn gave_up(job: &Job, nodes: u64) -> Problem {
    Problem::new("no metric sizes were found before the search reached its limit")
        .at(job.drawing.file.clone())
        .why(format!("{nodes} partial choices were tried"))
        .mend("give some dimensions a `within`, or hold fewer of them")
}
