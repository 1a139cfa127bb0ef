//! When no metric part can be had: what was tried, and the cheapest way out.

use super::holes::filed_if_plain;
use super::memory::Memory;
use super::model::{ConstraintId, Model};
use super::standoff::{Standoff, standoffs};
use super::together::Piece;
use super::way::{Job, ThreadWays, Ways};
use crate::bench::Bench;
use crate::drawing::{DimensionId, Drawing, Finish, Measures};
use crate::measure::{Length, Toward};
use crate::problem::Problem;

/// A tool farther off than this part of a size is no advice for it.
const FAR: i64 = 5;

/// A fault for every dimension and thread that has no candidate at all.
pub fn nothing_near(job: &Job, ways: &[Ways], threads: &[ThreadWays]) -> Vec<Problem> {
    let mut faults = Vec::new();
    for (at, ways) in ways.iter().enumerate().filter(|(_, ways)| ways.ways.is_empty()) {
        let dimension = job.dimension(DimensionId(at));
        let exact = dimension.written.length;
        let ruled: Vec<String> = ways.ruled_out.iter().map(|r| format!("{}: {}", r.with, r.reason)).collect();
        let tried = if ruled.is_empty() { String::new() } else { format!("; {}", ruled.join("; ")) };
        // What is near enough already was ruled out for another reason.
        let farther = |near: &(Length, String)| {
            let off = near.0.gap(exact);
            off > ways.limit && off * FAR <= exact
        };
        let mend = match nearest_owned(job, dimension.measures, exact, farther) {
            Some((size, what)) => format!(
                "allow more with `within = \"{} mm\"`, for {what} that is on the bench",
                size.gap(exact).rounded(Length::microns(1), Toward::More).value.decimals(3)
            ),
            None if !ruled.is_empty() => format!(
                "add {} to the bench that is not ruled out so, or change what rules it out",
                would_make(dimension.measures, exact)
            ),
            None => "allow more with `within`, or add a tool near that size to the bench".into(),
        };
        let finished = matches!(dimension.measures, Measures::Hole(Finish::Reamed | Finish::Bored));
        let mend = match finished && filed_if_plain(job, DimensionId(at), ways.limit) {
            true => {
                format!("{mend}; or leave its `finish` out: it is then chain drilled and filed to a circle")
            }
            false => mend,
        };
        faults.push(
            Problem::new(format!(
                "{NOTHING_MAKES}{}{WITHIN}{} of `{}`",
                dimension.name, ways.limit, dimension.written.text
            ))
            .at(format!("line {}, `{}`", dimension.line, dimension.name))
            .at(job.drawing.file.clone())
            .concerns(&dimension.name)
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
        if call.thread.starts > 1 {
            faults.push(
                Problem::new(format!("`{}` cannot be cut on this bench", call.text))
                    .at(format!("line {}, `{}`", call.line, call.name))
                    .at(job.drawing.file.clone())
                    .why(ruled.join("; "))
                    .mend("put its tap or die, or the lathe's `leadscrew` with `change_wheels`, into the bench file; or have the part made, `bought = true`"),
            );
            continue;
        }
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
fn nearest_owned(
    job: &Job,
    measures: Measures,
    exact: Length,
    serves: impl Fn(&(Length, String)) -> bool,
) -> Option<(Length, String)> {
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
    sizes.into_iter().filter(serves).min_by_key(|(size, _)| size.gap(exact))
}

/// The demands that cannot all hold.
pub fn clash(job: &Job, model: &Model, core: &[ConstraintId]) -> Problem {
    let because: Vec<&str> = core.iter().map(|id| model.constraints[id.0].because.as_str()).collect();
    Problem::new(NO_SIZES)
        .at(job.drawing.file.clone())
        .why(format!("these cannot all hold: {}", because.join("; ")))
        .mend("allow the dimensions more with `within`, or add tools nearer the drawing to the bench")
}

/// Said of a part until its ways out are looked for.
const NO_SIZES: &str = "no metric sizes satisfy every demand";

/// The faults of a part with the ways out, where there is nothing near or its demands
/// cannot all hold; every set of demands that clashes is told.
pub fn with_ways_out(
    piece: &Piece,
    bench: &Bench,
    memory: &mut Memory,
    faults: Vec<Problem>,
) -> Vec<Problem> {
    let is_clash = |fault: &Problem| fault.what() == NO_SIZES;
    let is_near = |fault: &Problem| fault.what().starts_with(NOTHING_MAKES) && fault.what().contains(WITHIN);
    if !faults.iter().any(|fault| is_clash(fault) || is_near(fault)) {
        return faults;
    }
    let mut standoffs = standoffs(piece, bench, memory);
    let mut told = Vec::new();
    for fault in faults {
        if is_near(&fault) {
            let alone = standoffs.iter().position(|standoff| standoff.about == fault.concerned());
            let ways_out = alone.map(|at| standoffs.remove(at)).and_then(|standoff| standoff.mend());
            told.push(match ways_out {
                Some(ways_out) => fault.mend(ways_out),
                None => fault,
            });
        } else if !is_clash(&fault) || standoffs.is_empty() {
            told.push(fault);
        }
    }
    told.extend(standoffs.iter().map(|standoff| standoff.problem(&piece.drawing.file)));
    told
}

/// The faults of a part that cannot go together with others, with the ways out; none where
/// no set of demands that clashes was found.
pub fn between(drawing: &Drawing, standoffs: &[Standoff]) -> Vec<Problem> {
    let seen = standoffs.iter().filter_map(|standoff| standoff.seen_from(drawing));
    seen.map(|standoff| standoff.problem(&drawing.file)).collect()
}

/// How a fault begins that is of a size for which there is nothing near.
const NOTHING_MAKES: &str = "nothing makes `";
const WITHIN: &str = "` within ";

/// The search stopped before it found anything.
pub fn gave_up(job: &Job, nodes: u64) -> Problem {
    Problem::new("no metric sizes were found before the search reached its limit")
        .at(job.drawing.file.clone())
        .why(format!("{nodes} partial choices were tried"))
        .mend("give some dimensions a `within`, or hold fewer of them")
}
