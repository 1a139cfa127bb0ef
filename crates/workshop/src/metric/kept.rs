//! A part that holds pressure: nothing about it changes.

use std::collections::BTreeMap;

use super::choice::{DimensionChoice, MadeWith, MetricPart, Owned, ThreadChoice, ToBuy};
use super::screws;
use super::search::Proof;
use super::way::{Cut, Job, drill_name, thread_tool_name};
use crate::drawing::{DimensionId, Sizes, ThreadId};
use crate::measure::Length;
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
        // The hole before the tap is no size of the drawing: the nearest owned drill
        // to the aim may make it.
        let inside = matches!(job.cut(ThreadId(at)), Cut::Inside(_));
        let drill = inside.then(|| screws::tapping_drills(job, call.thread).into_iter().next()).flatten();
        let percent = drill.as_ref().and_then(|(drill, ..)| {
            call.thread.percent(drill.diameter, call.thread.form().workshop_basis()).ok()
        });
        let tap = job.bench.taps.contains(&call.thread);
        let have = tap && drill.as_ref().is_none_or(|(_, have, _)| *have);
        ThreadChoice {
            id: ThreadId(at),
            written: call.text.clone(),
            chosen: call.thread,
            tapping_drill: drill.map(|(drill, ..)| drill),
            percent,
            engagement: None,
            owned: if have { Owned::Owned } else { Owned::Buy },
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
        let name = &job.drawing.threads[choice.id.0].name;
        if !job.bench.taps.contains(&choice.chosen) {
            let tool = thread_tool_name(choice.chosen, job.cut(choice.id));
            needed.entry(tool).or_default().push(name.clone());
        }
        if let Some(drill) = &choice.tapping_drill
            && !job.bench.drills.contains(drill)
        {
            needed.entry(drill_name(drill)).or_default().push(name.clone());
        }
    }
    needed.into_iter().map(|(what, names)| ToBuy { what, because: names.join(", ") }).collect()
}
