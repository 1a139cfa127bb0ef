//! A slot round an arc: milled on the rotary table with the centre of its arc over the table's; where that
//! cannot be, by stepped coordinates; without a mill drilled out along its arc and filed, or chiselled down to a
//! floor.

use super::{Cut, Reach, by_hand, deed_of, reach};
use crate::drawing::{Axis, Body, FeatureId, Kind};
use crate::measure::Length;
use crate::order::deed::{Deed, Job, Lot, Makings};
use crate::order::ends::{no_turning, on_table};
use crate::order::places::plate_turned;
use crate::order::plates::deed;
use crate::order::work::{Aid, Deep, Holding, Located, Machine, SlotSides, Tool, Work};

/// Adds what makes a curved slot.
pub(super) fn chain(job: &Job, makings: &mut Makings, id: FeatureId) {
    let (Kind::CurvedSlot { width, depth, .. }, Some(about)) =
        (job.part.feature(id).kind.clone(), centre(job, id))
    else {
        return;
    };
    let because = match seat(job, Lot::Piece(0), about) {
        Ok(_) => {
            let mill = job.mill_for(width, makings);
            let sides = job.slot_sides(width, &mill);
            let whole = reach(job, depth);
            let tool = Tool::EndMill(mill);
            let stacked = job.scheme.sticks() && whole == Reach::Through && job.reaches(&tool, Lot::Stack);
            let choice = stacked.then(|| makings.choice(job, job.through_all()));
            let alone = job.singles().into_iter().map(|lot| (lot, choice.map(|choice| (choice, 1))));
            let lots = choice.map(|choice| (Lot::Stack, Some((choice, 0)))).into_iter().chain(alone);
            for (lot, choice) in lots.collect::<Vec<_>>() {
                let deep = match whole {
                    Reach::Through => Deep::Through(job.metal(lot)),
                    Reach::To(deep) => Deep::To(deep),
                };
                let Ok((holding, aid)) = seat(job, lot, about) else { continue };
                let place = makings.place(job, lot, holding);
                let work = Work::MillSlot { deep, sides };
                let milled = deed(job, work, Some(id), lot, tool.clone(), vec![place]);
                makings.deeds.push(Deed { choice, aids: aid.into_iter().collect(), ..milled });
            }
            return;
        }
        Err(because) => because,
    };
    if !job.mills() {
        if by_hand::refused(job, id).is_none() {
            makings.assume(format!("{} is drilled out along its arc and finished by hand", job.name(id)));
        }
        for cut in by_hand::cuts(job, makings, id) {
            for lot in job.singles() {
                let deed = deed_of(job, makings, &cut, lot);
                makings.deeds.push(deed);
            }
        }
        return;
    }
    makings.assume(format!(
        "{} is milled by stepped coordinates, and its ridges filed or scraped off: {because}",
        job.name(id)
    ));
    let mill = Tool::EndMill(job.mill_for(width, makings));
    let reach = reach(job, depth);
    let cut = Cut {
        feature: id,
        work: stepped,
        size: job.part.size(width),
        reach,
        tool: mill,
        times: 1,
        from: None,
    };
    for lot in job.singles() {
        let deed = deed_of(job, makings, &cut, lot);
        // Along both its sides.
        let minutes = deed.process().minutes_for(by_hand::between_ends(job, id) * 2) * job.turns(lot);
        makings.deeds.push(Deed { minutes, ..deed });
    }
}

fn stepped(_: Length, deep: Deep) -> Work {
    Work::MillSlot { deep, sides: SlotSides::Stepped }
}

/// The centre of the arc, as drawn.
fn centre(job: &Job, id: FeatureId) -> Option<(Length, Length)> {
    Some((job.part.placed_at(id, Axis::X)?, job.part.placed_at(id, Axis::Y)?))
}

/// How the work lies on the rotary table: on a stub in a bore at the centre of the arc, or on a plate
/// that brings that centre over the table's.
///
/// # Errors
///
/// Why it cannot lie there.
fn seat(job: &Job, lot: Lot, about: (Length, Length)) -> Result<(Holding, Option<Aid>), String> {
    if job.bench.rotary_table.is_none() || !job.mills() {
        return Err("there is no rotary table".into());
    }
    let stub = job.bore_on_axis(about).map(|(bore, size)| match no_turning(job, bore, size) {
        None => Ok(bore),
        Some(because) => Err(because),
    });
    match stub {
        Some(Ok(bore)) => {
            let aid = Aid::StubMandrel { bore, on: Machine::RotaryTable };
            let held = on_table(job, lot, bore);
            // A disc lies as a second bore of it does; it has no edge that would show it.
            let other = job.bores_to_bolt_by().into_iter().find(|&other| other != bore);
            let located = match (&job.part.drawing.body, other) {
                (Body::Disc { .. }, Some(other)) => Located::TwoBores(bore, other),
                _ => held.located,
            };
            Ok((Holding { located, ..held }, Some(aid)))
        }
        Some(Err(because)) => {
            plate_turned(job, lot, about).map(|holding| (holding, None)).map_err(|_| because)
        }
        None => plate_turned(job, lot, about).map(|holding| (holding, None)),
    }
}
