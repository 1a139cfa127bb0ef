//! A part that holds pressure: nothing about it changes.

use std::collections::BTreeMap;

use super::buy::Buy;
use super::choice::{DimensionChoice, MadeWith, MetricPart, Owned, ThreadChoice, ToBuy};
use super::rules::{HELD, THREAD_STAYS};
use super::screws;
use super::search::Proof;
use super::way::{Cut, Job, ThreadWay, ThreadWays, Way, Ways};
use crate::drawing::{DimensionId, Sizes, ThreadId};
use crate::measure::Length;
use crate::tables::drills::Drill;
use crate::why::Why;

/// Why nothing changes.
fn refusal(as_written: String) -> Why {
    Why::new("kept exactly as drawn: this part holds pressure, and its sizes were proved with it")
        .source("common practice")
        .because(Why::new(as_written))
        .because(Why::new(
            "the code in force and a boiler inspector decide on any change to it, not this program; a wall, \
             stay or thread that looks alike may be weaker",
        ))
}

/// The one way of every size and thread: as drawn.
pub(super) fn only_ways(job: &Job) -> (Vec<Ways>, Vec<ThreadWays>) {
    let stays = || Why::new("it may not depart: the part holds pressure").source("common practice");
    let size = |dimension: &crate::drawing::Dimension| Ways {
        ways: vec![Way::new(dimension.written.length, MadeWith::Exact, &HELD)],
        limit: Length::ZERO,
        limit_why: stays(),
        ruled_out: Vec::new(),
    };
    let thread = |(at, call): (usize, &crate::drawing::ThreadCall)| {
        let (_, buys) = drill_and_tools(job, ThreadId(at));
        let way = ThreadWay { thread: call.thread, drill: None, buys, rule: &THREAD_STAYS, outside_aim: 0 };
        ThreadWays { ways: vec![way], ruled_out: Vec::new() }
    };
    let drawing = job.drawing;
    (drawing.dimensions.iter().map(size).collect(), drawing.threads.iter().enumerate().map(thread).collect())
}

/// The drill before the tap of a thread that stays, and what has to be bought for both.
fn drill_and_tools(job: &Job, id: ThreadId) -> (Option<Drill>, Vec<Buy>) {
    let (thread, cut) = (job.drawing.threads[id.0].thread, job.cut(id));
    // The hole before the tap is no size of the drawing: the nearest owned drill
    // to the aim may make it.
    let inside = matches!(cut, Cut::Inside(_));
    let drill = inside.then(|| screws::tapping_drills(job, thread).into_iter().next()).flatten();
    let mut buys = Vec::new();
    if !job.bench.taps.contains(&thread) {
        buys.push(Buy::thread_tool(thread, cut));
    }
    if let Some((drill, false, _)) = &drill {
        buys.push(Buy::drill(drill));
    }
    (drill.map(|(drill, ..)| drill), buys)
}

/// The part with every size and thread as drawn.
pub(super) fn as_drawn(job: &Job) -> MetricPart {
    let drawing = job.drawing;
    let dimension = |(at, dimension): (usize, &crate::drawing::Dimension)| DimensionChoice {
        id: DimensionId(at),
        written: dimension.written.clone(),
        exact: dimension.written.length,
        chosen: dimension.written.length,
        made: MadeWith::Exact,
        owned: Owned::Owned,
        role: dimension.role.0,
        limit: Length::ZERO,
        why: refusal(format!(
            "`{}` on the drawing (line {}) is {}",
            dimension.written.text, dimension.line, dimension.written.length
        )),
        refused: Vec::new(),
    };
    let thread = |(at, call): (usize, &crate::drawing::ThreadCall)| {
        let (drill, buys) = drill_and_tools(job, ThreadId(at));
        let percent = drill
            .as_ref()
            .and_then(|drill| call.thread.percent(drill.diameter, call.thread.form().workshop_basis()).ok());
        ThreadChoice {
            id: ThreadId(at),
            written: call.text.clone(),
            chosen: call.thread,
            tapping_drill: drill,
            percent,
            engagement: None,
            owned: if buys.is_empty() { Owned::Owned } else { Owned::Buy },
            why: refusal(format!("`{}` on the drawing (line {})", call.text, call.line)),
            refused: Vec::new(),
        }
    };
    let threads: Vec<ThreadChoice> = drawing.threads.iter().enumerate().map(thread).collect();
    let purchases = to_buy(job, &threads);
    MetricPart {
        sizes: Sizes::as_drawn(drawing),
        dimensions: drawing.dimensions.iter().enumerate().map(dimension).collect(),
        threads,
        stock: None,
        purchases,
        proof: Proof::Optimal,
        proven: "nothing was chosen: a part that holds pressure stays as drawn; build it to a proved design, under the code in force, with an inspector".into(),
        assumed: drawing.assumed.clone(),
    }
}

/// Taps and drills for the threads kept; everything else is as it is.
fn to_buy(job: &Job, threads: &[ThreadChoice]) -> Vec<ToBuy> {
    let mut needed: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for choice in threads {
        for what in drill_and_tools(job, choice.id).1 {
            needed.entry(what.name).or_default().push(job.drawing.threads[choice.id.0].name.clone());
        }
    }
    needed.into_iter().map(|(what, names)| ToBuy { what, because: names.join(", ") }).collect()
}
