//! A slot round an arc: milled on the rotary table with the centre of its arc over the table's; where that
//! cannot be, by stepped coordinates; without a mill drilled out along its arc and filed, or chiselled down to a
//! floor.

use super::{Cut, Reach, by_hand, deed_of, reach, slot_as_cut};
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
    if !job.mills() {
        return by_file(job, makings, id);
    }
    let mill = job.mill_for(width, makings);
    let sides = job.slot_sides(width, &mill);
    let cut = |work| Cut {
        feature: id,
        work,
        size: job.part.size(width),
        reach: reach(job, depth),
        tool: Tool::EndMill(mill.clone()),
        times: 1,
        from: None,
    };
    match seat(job, Lot::Piece(0), about) {
        Ok(_) => turned(job, makings, &cut(slot_as_cut), (about, sides)),
        Err(because) => stepped(job, makings, &cut(in_places), &because),
    }
}

/// Without a mill.
fn by_file(job: &Job, makings: &mut Makings, id: FeatureId) {
    if by_hand::refused(job, id).is_none() {
        makings.assume(format!("{} is drilled out along its arc and finished by hand", job.name(id)));
    }
    for cut in by_hand::cuts(job, makings, id) {
        for lot in job.singles() {
            let deed = deed_of(job, makings, &cut, lot);
            makings.deeds.push(deed);
        }
    }
}

/// On the rotary table: a whole stack at once where the cutter reaches through it, or each piece by itself.
fn turned(job: &Job, makings: &mut Makings, cut: &Cut, (about, sides): ((Length, Length), SlotSides)) {
    let stacked = job.scheme.sticks() && cut.reach == Reach::Through && job.reaches(&cut.tool, Lot::Stack);
    let choice = stacked.then(|| makings.choice(job, job.through_all()));
    let alone = job.singles().into_iter().map(|lot| (lot, choice.map(|choice| (choice, 1))));
    for (lot, choice) in choice.map(|choice| (Lot::Stack, Some((choice, 0)))).into_iter().chain(alone) {
        let Ok((holding, aid)) = seat(job, lot, about) else { continue };
        let place = makings.place(job, lot, holding);
        let work = Work::MillSlot { deep: cut.deep(job, lot), sides };
        let milled = deed(job, work, Some(cut.feature), lot, cut.tool.clone(), vec![place]);
        makings.deeds.push(Deed { choice, aids: aid.into_iter().collect(), ..milled });
    }
}

/// By stepped coordinates, because it cannot lie on the rotary table.
fn stepped(job: &Job, makings: &mut Makings, cut: &Cut, because: &str) {
    makings.assume(format!(
        "{} is milled by stepped coordinates, and its ridges filed or scraped off: {because}",
        job.name(cut.feature)
    ));
    for lot in job.singles() {
        let deed = deed_of(job, makings, cut, lot);
        // Along both its sides.
        let both = by_hand::between_ends(job, cut.feature) * 2;
        let minutes = deed.process().minutes_for(both) * job.turns(lot);
        makings.deeds.push(Deed { minutes, ..deed });
    }
}

fn in_places(_: Length, deep: Deep) -> Work {
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
    let on_plate = || plate_turned(job, lot, about).map(|holding| (holding, None));
    let Some((bore, size)) = job.bore_on_axis(about) else { return on_plate() };
    // The bore's own reason counts where a plate does no better.
    if let Some(because) = no_turning(job, bore, size) {
        return on_plate().map_err(|_| because);
    }
    let held = on_table(job, lot, bore);
    // A disc lies as a second bore of it does; it has no edge that would show it.
    let other = job.bores_to_bolt_by().into_iter().find(|&other| other != bore);
    let located = match (&job.part.drawing.body, other) {
        (Body::Disc { .. }, Some(other)) => Located::TwoBores(bore, other),
        _ => held.located,
    };
    Ok((Holding { located, ..held }, Some(Aid::StubMandrel { bore, on: Machine::RotaryTable })))
}
