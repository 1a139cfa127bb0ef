//! Small discs that are turned from round bar and parted off, as a turner makes them.
//!
//! What decides is what is there: a bar of the material, or no flat of it either, so that one has to
//! be had; and whether a parting tool goes to the middle. `[stock]` of the part's file settles it.

use super::choice::MetricPart;
use super::way::Job;
use super::{black, stock};
use crate::bench::{Bench, Section, Stock};
use crate::drawing::{AsTurned, Body, Form, Part, Pressure};
use crate::measure::Length;
use crate::tables::processes::limit;

/// Whether the part is a disc that is turned from round bar.
pub fn is_disc_from_bar(job: &Job) -> bool {
    let Some([across, thick]) = disc(&job.part) else { return false };
    let there = match job.drawing.stock.as_ref().map(|stock| stock.form) {
        Some(form) => form == Form::RoundBar,
        None => is_there(job, across, thick),
    };
    there && is_turned(job.bench, across, thick) && AsTurned::may_be(job.drawing, job.solved)
}

/// The disc as a turned part, where its metric part comes from round bar. One that holds pressure stays as
/// drawn, and nothing is chosen for it to come from: there the bench alone decides.
pub fn turned_from_bar(part: &Part, metric: &MetricPart, bench: &Bench) -> Option<AsTurned> {
    let [across, thick] = disc(part)?;
    let drawing = part.drawing;
    let from_round = match &metric.stock {
        Some(choice) => matches!(choice.stock.section, Section::Round { .. }),
        None => drawing.pressure == Pressure::Holds && drawing.stock.is_none(),
    };
    AsTurned::of(drawing, part.solved).filter(|_| from_round && is_turned(bench, across, thick))
}

/// How wide and how thick a disc is; none of anything else.
fn disc(part: &Part) -> Option<[Length; 2]> {
    let Body::Disc { diameter, thickness } = part.drawing.body else { return None };
    Some([part.size(diameter), part.size(thickness)])
}

/// Whether the lathe turns it, a parting tool goes to its middle, and jaws get hold of it afterwards.
fn is_turned(bench: &Bench, across: Length, thick: Length) -> bool {
    let turns = bench.lathe.as_ref().is_some_and(|lathe| across <= lathe.swing);
    turns && across.half() <= limit("parting reach") && thick >= limit("soft jaw seat")
}

/// Whether a round of the rack holds it, or no flat of the rack does.
fn is_there(job: &Job, across: Length, thick: Length) -> bool {
    let holds = |&(diameter, bar): &(Length, &Stock)| black::sound(job, bar, diameter) >= across;
    let covers = |&(flat, width, _): &(Length, Option<Length>, &Stock)| {
        flat >= thick && width.is_none_or(|width| width >= across)
    };
    stock::rounds(job, &job.material.name).iter().any(holds) || !stock::flats(job).iter().any(covers)
}
