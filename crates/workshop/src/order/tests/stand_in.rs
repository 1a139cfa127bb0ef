//! A stand-in for the metric part: the nearest tool that is owned, and nothing more.
//!
//! It keeps these tests apart from the rules that choose sizes.

use crate::bench::{Bench, Section, Stock};
use crate::drawing::{Drawing, Finish, Measures, Part, Sizes, read_drawing, solve};
use crate::measure::Length;
use crate::metric::{DimensionChoice, MadeWith, MetricPart, Owned, ThreadChoice};
use crate::order::{OrderOfWork, order_of_work};
use crate::problem::Outcome;
use crate::tables::drills;
use crate::tables::threads::Thread;
use crate::why::Why;

/// The order of work of a part file on a bench.
pub(super) fn order(text: &str, bench: &Bench) -> Outcome<OrderOfWork> {
    with_part(text, bench, |part, metric| order_of_work(part, metric, bench))
}

/// Reads a part, stands metric sizes in, and hands both on.
pub(super) fn with_part<T>(text: &str, bench: &Bench, then: impl FnOnce(&Part, &MetricPart) -> T) -> T {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{faults:?}"));
    let metric = nearest(&drawing, bench);
    let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
    then(&part, &metric)
}

fn nearest(drawing: &Drawing, bench: &Bench) -> MetricPart {
    let dimensions: Vec<DimensionChoice> = (0..drawing.dimensions.len())
        .map(|n| {
            let dimension = &drawing.dimensions[n];
            let exact = dimension.written.length;
            let (chosen, made) = made(dimension.measures, exact, bench);
            DimensionChoice {
                id: crate::drawing::DimensionId(n),
                written: dimension.written.clone(),
                exact,
                chosen,
                made,
                owned: Owned::Owned,
                role: dimension.role.0,
                limit: Length::ZERO,
                why: Why::new("stands in for a test"),
                refused: Vec::new(),
            }
        })
        .collect();
    let threads: Vec<ThreadChoice> = drawing
        .threads
        .iter()
        .enumerate()
        .map(|(n, call)| {
            let chosen: &'static Thread = bench
                .taps
                .iter()
                .min_by_key(|t| t.major.gap(call.thread.major))
                .copied()
                .unwrap_or(call.thread);
            let drill = chosen.major - chosen.pitch;
            ThreadChoice {
                id: crate::drawing::ThreadId(n),
                written: call.text.clone(),
                chosen,
                tapping_drill: drills::nearest(drill, &bench.drills).cloned(),
                percent: None,
                engagement: None,
                owned: Owned::Owned,
                why: Why::new("stands in for a test"),
                refused: Vec::new(),
            }
        })
        .collect();
    let sizes = Sizes {
        lengths: dimensions.iter().map(|d| d.chosen).collect(),
        threads: threads.iter().map(|t| t.chosen).collect(),
    };
    MetricPart {
        sizes,
        dimensions,
        threads,
        stock: None,
        purchases: Vec::new(),
        proof: crate::metric::Proof::Optimal,
        proven: String::new(),
        assumed: Vec::new(),
    }
}

fn made(measures: Measures, exact: Length, bench: &Bench) -> (Length, MadeWith) {
    let tenth = Length::nearest((exact.as_mm() * 10.0).round() / 10.0);
    let drill = |size: Length| drills::nearest(size, &bench.drills).cloned();
    match measures {
        // No drill is so wide.
        Measures::Hole(Finish::Drilled) if exact > Length::mm(30) => (exact, MadeWith::File),
        Measures::Hole(Finish::Drilled) => match drill(exact) {
            Some(drill) => (drill.diameter, MadeWith::Drill(drill)),
            None => (exact, MadeWith::Exact),
        },
        Measures::Hole(Finish::Reamed) => {
            match bench.reamers.iter().min_by_key(|r| r.diameter.gap(exact)).cloned() {
                Some(reamer) => {
                    let below = bench.drills.iter().rev().find(|d| d.diameter < reamer.diameter).cloned();
                    let pilot = below.unwrap_or_else(|| drills::all()[0].clone());
                    (reamer.diameter, MadeWith::Reamer { reamer, pilot })
                }
                None => (exact, MadeWith::Exact),
            }
        }
        Measures::SlotWidth | Measures::Counterbore => {
            match bench.end_mills.iter().min_by_key(|m| m.diameter.gap(exact)).cloned() {
                Some(mill) => (mill.diameter, MadeWith::EndMill(mill)),
                None => (exact, MadeWith::Exact),
            }
        }
        Measures::SawWidth => match bench.saws.iter().min_by_key(|s| s.width.gap(exact)).cloned() {
            Some(saw) => (saw.width, MadeWith::Saw(saw)),
            None => (exact, MadeWith::Exact),
        },
        Measures::Thickness => {
            let thickness = |stock: &Stock| match stock.section {
                Section::Flat { thickness, .. } => Some(thickness),
                _ => None,
            };
            let stock = bench.stock.iter().filter(|s| thickness(s).is_some());
            match stock.min_by_key(|s| thickness(s).unwrap_or_default().gap(exact)).cloned() {
                Some(stock) => (thickness(&stock).unwrap_or(exact), MadeWith::Stock(stock)),
                None => (tenth, MadeWith::Setting),
            }
        }
        Measures::Turned => (tenth, MadeWith::Lathe),
        _ => (tenth, MadeWith::Setting),
    }
}
