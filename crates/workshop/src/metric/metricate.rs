//! From a drawing and a bench to the metric part.

use super::choice::MetricPart;
use super::kept;
use crate::bench::Bench;
use crate::drawing::{Drawing, Pressure, Solved};
use crate::problem::{Outcome, Problem};

/// Chooses the metric part: a size for every dimension and a thread for every
/// thread of the drawing, from what the bench can make.
///
/// A part that holds pressure is not changed: see [`Pressure::Holds`].
///
/// # Errors
///
/// Every demand that cannot be met, with what was tried and the cheapest remedy.
pub fn metricate(drawing: &Drawing, _solved: &Solved, _bench: &Bench) -> Outcome<MetricPart> {
    match drawing.pressure {
        Pressure::Holds => Ok(kept::as_drawn(drawing)),
        Pressure::None => Err(vec![
            Problem::new("the rules that choose metric sizes are not built yet").at(drawing.file.clone()),
        ]),
    }
}
