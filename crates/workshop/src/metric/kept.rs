//! A part of which nothing changes: it holds pressure, or it is bought in.

use std::collections::BTreeMap;

use super::buy::Buy;
use super::choice::{DimensionChoice, MadeWith, MetricPart, Owned, ThreadChoice, ToBuy};
use super::pressure::INSPECTOR;
use super::rules::{HELD, THREAD_STAYS};
use super::search::Proof;
use super::way::{Costs, Cut, Job, ThreadWay, ThreadWays, Way, Ways};
use super::{engagement, pinned, pressure, screws};
use crate::drawing::{Dimension, DimensionId, Drawing, Pressure, Sizes, Solved, ThreadCall, ThreadId};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::drills::Drill;
use crate::tables::threads::Thread;
use crate::why::Why;

/// Why nothing changes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kept {
    /// It holds pressure.
    Pressure,
    /// It is bought in.
    Bought,
}

impl Kept {
    fn of(drawing: &Drawing) -> Self {
        if drawing.pressure == Pressure::Holds { Self::Pressure } else { Self::Bought }
    }

    const fn stays(self) -> (&'static str, &'static str) {
        match self {
            Self::Pressure => ("it may not depart: the part holds pressure", "common practice"),
            Self::Bought => ("it cannot depart: the part is bought in", "the part file"),
        }
    }

    fn why(self, as_written: String) -> Why {
        match self {
            Self::Pressure => {
                Why::new("kept exactly as drawn: this part holds pressure, and its sizes were proved with it")
                    .source("common practice")
                    .because(Why::new(as_written))
                    .because(Why::new(INSPECTOR))
            }
            Self::Bought => Why::new("kept exactly as drawn: this part is bought in, and comes as it is")
                .source("the part file")
                .because(Why::new(as_written)),
        }
    }

    const fn proven(self) -> &'static str {
        match self {
            Self::Pressure => {
                "nothing was chosen: a part that holds pressure stays as drawn; build it to a proved design, under the code in force, with an inspector"
            }
            Self::Bought => "nothing was chosen: a part that is bought in comes as it is",
        }
    }
}

/// The one way of every size and thread: as drawn, or as measured where it is made.
pub(super) fn only_ways(job: &Job) -> (Vec<Ways>, Vec<ThreadWays>) {
    let (stays, source) = Kept::of(job.drawing).stays();
    let size = |dimension: &Dimension| Ways {
        ways: vec![Way::new(length(dimension), MadeWith::Exact, &HELD)],
        limit: Length::ZERO,
        limit_why: Why::new(stays).source(source),
        ruled_out: Vec::new(),
        costs: Costs::Here,
    };
    let thread = |(at, call): (usize, &ThreadCall)| {
        let (_, buys) = drill_and_tools(job, ThreadId(at));
        let way = ThreadWay { thread: own(call), drill: None, buys, rule: &THREAD_STAYS, outside_aim: 0 };
        ThreadWays { ways: vec![way], ruled_out: Vec::new() }
    };
    let drawing = job.drawing;
    (drawing.dimensions.iter().map(size).collect(), drawing.threads.iter().enumerate().map(thread).collect())
}

fn length(dimension: &Dimension) -> Length {
    dimension.made.unwrap_or(dimension.written.length)
}

fn own(call: &ThreadCall) -> &'static Thread {
    call.made.unwrap_or(call.thread)
}

/// The drill before the tap of a thread that stays, and what has to be bought for both:
/// nothing for one that is there already.
fn drill_and_tools(job: &Job, id: ThreadId) -> (Option<Drill>, Vec<Buy>) {
    let call = &job.drawing.threads[id.0];
    if Kept::of(job.drawing) == Kept::Bought {
        return (None, Vec::new());
    }
    let (thread, cut) = (own(call), job.cut(id));
    // The hole before the tap is no size of the drawing: the nearest owned drill
    // to the aim may make it.
    let drill = match cut {
        Cut::Inside(feature) => {
            let long = engagement::available(job, &job.part.sizes, feature);
            screws::tapping_drills(job, thread, long).into_iter().next()
        }
        Cut::Outside(_) | Cut::Elsewhere => None,
    };
    let mut buys = Vec::new();
    if !screws::owned(job, thread, cut) {
        buys.push(Buy::thread_tool(thread, cut));
    }
    if let Some((drill, false, _)) = &drill {
        buys.push(Buy::drill(drill));
    }
    if call.made.is_some() {
        buys.clear();
    }
    (drill.map(|(drill, ..)| drill), buys)
}

/// The part with every size and thread as it is.
pub(super) fn whole(job: &Job) -> MetricPart {
    let (drawing, kept) = (job.drawing, Kept::of(job.drawing));
    let dimension = |(at, dimension): (usize, &Dimension)| DimensionChoice {
        id: DimensionId(at),
        written: dimension.written.clone(),
        exact: dimension.written.length,
        chosen: length(dimension),
        made: MadeWith::Exact,
        owned: Owned::Owned,
        role: dimension.role.0,
        limit: Length::ZERO,
        why: dimension_why(dimension, kept),
        refused: Vec::new(),
    };
    let thread = |(at, call): (usize, &ThreadCall)| {
        let (drill, buys) = drill_and_tools(job, ThreadId(at));
        let percent = drill
            .as_ref()
            .and_then(|drill| own(call).percent(drill.diameter, own(call).form().workshop_basis()).ok());
        ThreadChoice {
            id: ThreadId(at),
            written: call.text.clone(),
            chosen: own(call),
            tapping_drill: drill,
            percent,
            engagement: None,
            owned: if buys.is_empty() { Owned::Owned } else { Owned::Buy },
            why: kept.why(format!("`{}` on the drawing (line {})", call.text, call.line)),
            refused: Vec::new(),
        }
    };
    let dimensions: Vec<DimensionChoice> = drawing.dimensions.iter().enumerate().map(dimension).collect();
    let threads: Vec<ThreadChoice> = drawing.threads.iter().enumerate().map(thread).collect();
    let purchases = to_buy(job);
    let sizes = Sizes {
        lengths: dimensions.iter().map(|choice| choice.chosen).collect(),
        threads: threads.iter().map(|choice| choice.chosen).collect(),
    };
    let mut assumed = drawing.assumed.clone();
    if kept == Kept::Pressure {
        assumed.extend(pressure::remarks(drawing, job.bench));
    }
    assumed.extend(pinned::remarks(job));
    MetricPart {
        sizes,
        dimensions,
        threads,
        stock: None,
        purchases,
        proof: Proof::Optimal,
        proven: kept.proven().into(),
        assumed,
    }
}

fn dimension_why(dimension: &Dimension, kept: Kept) -> Why {
    let (text, line, drawn) = (&dimension.written.text, dimension.line, dimension.written.length);
    let why = kept.why(format!("`{text}` on the drawing (line {line}) is {drawn}"));
    match dimension.made {
        Some(made) => Why::new(format!("{made}, as it is measured")).source("the part file").because(why),
        None => why,
    }
}

/// What stands against the pins and measured sizes of a part that stays as it is.
pub(super) fn faults(drawing: &Drawing, solved: &Solved) -> Vec<Problem> {
    if Kept::of(drawing) == Kept::Pressure {
        return pressure::faults(drawing, solved);
    }
    let fault = |name: &str, line: usize, pin: String, drawn: String| {
        Problem::new(format!("`{name}` cannot be pinned to {pin}: this part is bought in"))
            .at(format!("line {line}, `{name}`"))
            .at(drawing.file.clone())
            .concerns(name)
            .why(format!("it comes as it is, which the drawing gives as {drawn}"))
            .mend("take the pin out; write `made` for what it really measures")
    };
    let lengths = drawing.dimensions.iter().filter_map(|dimension| {
        let pin = dimension.pin.filter(|&pin| pin != dimension.written.length)?;
        let drawn = dimension.written.length.to_string();
        Some(fault(&dimension.name, dimension.line, pin.to_string(), drawn))
    });
    let threads = drawing.threads.iter().filter_map(|call| {
        let pin = call.pin.filter(|&pin| pin != call.thread)?;
        Some(fault(&call.name, call.line, pin.designation.clone(), call.thread.designation.clone()))
    });
    lengths.chain(threads).collect()
}

/// Taps and drills for the threads kept; everything else is as it is.
fn to_buy(job: &Job) -> Vec<ToBuy> {
    let mut needed: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (at, call) in job.drawing.threads.iter().enumerate() {
        for what in drill_and_tools(job, ThreadId(at)).1 {
            needed.entry(what.name).or_default().push(call.name.clone());
        }
    }
    needed.into_iter().map(|(what, names)| ToBuy::new(job.bench, what, names.join(", "))).collect()
}
