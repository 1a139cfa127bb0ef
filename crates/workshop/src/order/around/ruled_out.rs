//! Ways of cutting an arc of an outline that are not offered: what comes not near enough, what nobody files,
//! and what nobody steps.

use super::{FILED, How, Out, STEPPED};
use crate::drawing::{FeatureId, Kind};
use crate::geometry::Segment;
use crate::measure::Length;
use crate::order::deed::{Job, Lot};
use crate::order::figures;
use crate::settings::plain_buttons;
use crate::tables::processes::{limit, process};

/// Of a corner whose radius has a tolerance: takes out the ways that come no nearer, as long as
/// one does; plain discs are offered where nothing else would.
pub(super) fn too_rough(job: &Job, corner: Option<FeatureId>, piece: Segment, ways: &mut Vec<How>) -> Out {
    let radius = corner.and_then(|id| match job.part.feature(id).kind {
        Kind::Corner { radius } => radius,
        _ => None,
    });
    let Some((radius, room)) = radius.and_then(|radius| Some((radius, job.room_of(radius)?))) else {
        return Vec::new();
    };
    let outward = matches!(piece, Segment::Arc(arc) if arc.sweep_rad > 0.0);
    let rough = |way: &How| way.size_within().is_some_and(|within| within > room);
    let discs = outward && plain_buttons::serves(job.part.size(radius) * 2) && !rough(&How::Discs);
    if ways.iter().all(rough) && discs {
        ways.push(How::Discs);
    }
    if ways.iter().all(rough) {
        return Vec::new();
    }
    let name = &job.part.drawing.dimensions[radius.0].name;
    let said = |way: &How| {
        let because = format!(
            "`{name}` is to be within {}, and that comes within {}",
            figures::room(room),
            way.size_within().unwrap_or_default()
        );
        Some((way.words()?, because))
    };
    let out = ways.iter().filter(|way| rough(way)).filter_map(said).collect();
    ways.retain(|way| !rough(way));
    out
}

/// Of an arc: takes out filing where it is too much for a file and the rotary table has it; and
/// stepping where a file takes less than half the time, by which minutes may be out.
pub(super) fn by_hand_or_not(job: &Job, arc: Segment, ways: &mut Vec<How>) -> Out {
    let long = Length::nearest(arc.length_mm());
    let lot = if job.scheme.sticks() { Lot::Stack } else { Lot::Piece(0) };
    let thick = job.metal(lot);
    let most_mm = limit("filed arc").as_mm();
    let too_much = long.as_mm() * thick.as_mm() > most_mm * TOLD_FOR_MM;
    if too_much && ways.iter().any(|way| matches!(way, How::Turn(..))) {
        ways.retain(|way| *way != How::File);
        let because = format!(
            "a file rounds over and wanders on {:.0} mm of arc in metal {thick} thick: more than {most_mm:.0} mm in {TOLD_FOR_MM} mm is not filed where a rotary table does it",
            long.as_mm()
        );
        return vec![(FILED, because)];
    }
    let filed = process("file a side").minutes_by_hand(long, thick);
    let stepped =
        process("step an arc").minutes_for(long) + process("file the ridges").minutes_by_hand(long, thick);
    let is_step = |way: &How| matches!(way, How::Step(_));
    let outward = matches!(arc, Segment::Arc(arc) if arc.sweep_rad > 0.0);
    // A casting has no square edges to scribe from.
    let scribed = job.casting().is_none() && ways.contains(&How::File);
    if !outward || !scribed || filed * 2 >= stepped || !ways.iter().any(is_step) {
        return Vec::new();
    }
    ways.retain(|way| !is_step(way));
    vec![(STEPPED, format!("it is filed in {filed} min, and stepping with its ridges takes {stepped}"))]
}

/// The thickness of metal that the longest filed arc is told for, in its table.
const TOLD_FOR_MM: f64 = 10.0;
