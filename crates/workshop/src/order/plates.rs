//! What is done to a plate or block: blanks, holes, steps, slots and slits.
//!
//! The outline is [`super::ends`]. Everything here offers every sensible place for
//! a deed and leaves it to the rules and the search which is used.

use super::deed::{Deed, Job, Lot, Makings};
use super::words;
use super::work::{Held, Holding, Located, Machine, Tool, Work};
use super::{chains, ends};
use crate::bench::Stock;
use crate::drawing::{Body, Face, FeatureId};
use crate::measure::Length;
use crate::metric::MadeWith;
use crate::problem::Outcome;

/// Everything that may be done to a plate, and where.
pub(super) fn makings(job: &Job) -> Outcome<Makings> {
    super::joints::reached(job)?;
    let mut makings = Makings::default();
    blanks(job, &mut makings);
    makings.held = super::kept::held(job);
    makings.oriented = super::oriented::demands(job);
    let in_patterns = job.in_patterns();
    for (id, _) in job.part.features().filter(|(id, _)| !in_patterns.contains(id)) {
        chains::chain(job, &mut makings, id);
    }
    ends::outline(job, &mut makings)?;
    super::parted::deeds(job, &mut makings)?;
    super::waste::before_outline(job, &mut makings);
    super::harden::all(job, &mut makings);
    let general = super::kept::general(job, &makings);
    makings.held.extend(general);
    Ok(makings)
}

/// From sawn blank to something that can be located.
fn blanks(job: &Job, makings: &mut Makings) {
    let thickness = match &job.part.drawing.body {
        Body::Bosses { thickness, .. }
        | Body::Outline { thickness, .. }
        | Body::Rectangle { thickness, .. }
        | Body::Disc { thickness, .. } => *thickness,
        Body::Turned { .. } => return,
    };
    let from_stock =
        matches!(job.metric.dimensions[thickness.0].made, MadeWith::Stock(Stock { .. }) | MadeWith::Exact);
    if !from_stock {
        if let Some(casting) = job.casting()
            && casting.allowance.is_none()
        {
            makings.assume(format!("{} is left on each face of the casting that is cut", casting.left_on()));
        }
        for lot in job.singles() {
            if !job.mills() {
                super::by_eye::faces(job, makings, lot);
                continue;
            }
            let place = makings.place(job, lot, facing(job, lot));
            let mill = job.mill_along(Length::ZERO, makings);
            add(job, makings, Work::FaceToThickness, None, lot, Tool::EndMill(mill), vec![place]);
        }
    }
    if job.scheme.sticks() {
        let bench = Holding {
            machine: Machine::BenchVice,
            pieces: job.pieces(Lot::Stack),
            up: Face::Front,
            held: Held::Bench,
            located: Located::Nothing,
            image: job.image(Lot::Stack),
            steadied: Default::default(),
        };
        let place = makings.place(job, Lot::Stack, bench);
        add(job, makings, Work::Stick, None, Lot::Stack, Tool::Adhesive, vec![place]);
        add(job, makings, Work::Part, None, Lot::Stack, Tool::Warmth, vec![place]);
    }
    let lots = if job.scheme.sticks() { vec![Lot::Stack] } else { job.singles() };
    let (first, then) = job.cast_edges();
    if job.casting().is_some() && first.is_empty() {
        return;
    }
    for lot in lots {
        let sized = matches!(job.part.drawing.body, Body::Rectangle { .. }) && !then.is_empty();
        if !job.mills() {
            super::by_eye::squares(job, makings, lot, sized);
            continue;
        }
        let place = makings.place(job, lot, squaring(job, lot));
        let mill = Tool::EndMill(job.mill_along(job.metal(lot), makings));
        add(job, makings, Work::SquareEdges, None, lot, mill.clone(), vec![place]);
        if sized {
            add(job, makings, Work::MillToSize, None, lot, mill, vec![place]);
        }
    }
}

fn facing(job: &Job, lot: Lot) -> Holding {
    Holding {
        machine: Machine::Mill,
        pieces: job.pieces(lot),
        up: Face::Front,
        held: Held::ViceOnParallels,
        located: Located::SawnBlank,
        image: job.image(lot),
        steadied: Default::default(),
    }
}

fn squaring(job: &Job, lot: Lot) -> Holding {
    Holding {
        machine: Machine::Mill,
        pieces: job.pieces(lot),
        up: Face::Bottom,
        held: Held::ViceOnEdge,
        located: Located::SawnBlank,
        image: job.image(lot),
        steadied: Default::default(),
    }
}

/// Adds a deed that is always done.
pub(super) fn add(
    job: &Job,
    makings: &mut Makings,
    work: Work,
    feature: Option<FeatureId>,
    lot: Lot,
    tool: Tool,
    places: Vec<usize>,
) {
    let deed = deed(job, work, feature, lot, tool, places);
    makings.deeds.push(deed);
}

pub(super) fn deed(
    job: &Job,
    work: Work,
    feature: Option<FeatureId>,
    lot: Lot,
    tool: Tool,
    places: Vec<usize>,
) -> Deed {
    let text = words::text(job, &work, feature, &tool);
    let spent = work.minutes(&tool) * job.turns(lot);
    Deed { work, feature, lot, tool, minutes: spent, text, places, aids: Vec::new(), choice: None }
}
