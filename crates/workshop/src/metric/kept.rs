//! A part that holds pressure: nothing about it changes.

use super::choice::{DimensionChoice, MadeWith, MetricPart, Owned, ThreadChoice};
use super::search::Proof;
use crate::drawing::{DimensionId, Drawing, Sizes, ThreadId};
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
pub(super) fn as_drawn(drawing: &Drawing) -> MetricPart {
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
    let thread = |(at, call): (usize, &crate::drawing::ThreadCall)| ThreadChoice {
        id: ThreadId(at),
        written: call.text.clone(),
        chosen: call.thread,
        tapping_drill: None,
        percent: None,
        engagement: None,
        owned: Owned::Owned,
        why: refusal(format!("`{}` on the drawing (line {})", call.text, call.line)),
        refused: Vec::new(),
    };
    MetricPart {
        sizes: Sizes::as_drawn(drawing),
        dimensions: drawing.dimensions.iter().enumerate().map(dimension).collect(),
        threads: drawing.threads.iter().enumerate().map(thread).collect(),
        stock: None,
        purchases: Vec::new(),
        proof: Proof::Optimal,
        proven: "nothing was chosen: a part that holds pressure stays as drawn".into(),
        assumed: drawing.assumed.clone(),
    }
}
