//! An outline of corners, round ends and arcs: which piece is cut how.
//!
//! Round ends and the flanks between two of them are cut as on any lever
//! ([`super::ends`]). Of the rest, sides along the drawing's axes are milled by
//! coordinates, arcs stepped by coordinates and smoothed with a file, sides that slant
//! milled with the plate swung where bores hold one, and small roundings filed to a
//! gauge. A piece no cutter gets into is filed to a line.

use super::deed::{Job, Lot, Makings};
use super::ends::{end, flanks, no_turning, on_table, pair_or_each};
use super::places::{at_bench, from_edges, from_plate, plate_swung};
use super::plates::deed;
use super::work::{Aid, Held, Holding, Machine, Tool, Work};
use crate::bench::EndMill;
use crate::drawing::{Around, Face, FeatureId, Kind};
use crate::geometry::around::Named;
use crate::geometry::milled::road;
use crate::geometry::{Arc, Segment};
use crate::measure::Length;
use crate::problem::Outcome;
use crate::tables::processes::limit;

/// The least radius of a rounding that is worth stepping on the mill; below it a file
/// and a radius gauge are quicker.
fn stepped_from_mm() -> f64 {
    limit("stepped radius").as_mm()
}

/// Straight sides this near an axis lie along it: far below what a square shows.
const ALONG_RAD: f64 = 1e-9;

/// How a piece is brought out.
#[derive(Clone, Debug, PartialEq)]
enum How {
    /// With a round end, or between two.
    Elsewhere,
    /// Along X or Y.
    Mill(EndMill),
    /// Along X once the plate is swung.
    Swing(EndMill),
    /// On the rotary table about a bore.
    Turn(FeatureId),
    /// By stepped coordinates.
    Step(EndMill),
    /// By hand.
    File,
    /// The cutter of the two sides beside it leaves it so.
    LeftByCutter,
}

/// Adds what cuts the outline.
pub(super) fn outline(job: &Job, makings: &mut Makings, around: &[Around]) -> Outcome<()> {
    let named = job.part.pieces().map_err(|fault| vec![fault.at(job.part.drawing.file.clone())])?;
    let bosses: Vec<Option<FeatureId>> = around.iter().map(|item| boss(job, item)).collect();
    for &id in bosses.iter().flatten() {
        end(job, makings, id);
    }
    let next = |n: usize| bosses[(n + 1) % bosses.len()];
    let pairs = (0..bosses.len()).filter_map(|n| Some((bosses[n]?, next(n)?))).filter(|(a, b)| a != b);
    flanks(job, makings, &pairs.collect::<Vec<_>>());
    let ways = ways(job, makings, &named, &bosses.into_iter().flatten().collect::<Vec<_>>());
    for (lot, choice) in pair_or_each(job, makings) {
        for (piece, how) in ways.iter().enumerate() {
            let (mut aid, mut feature) = (None, corner(job, &named.names[piece]));
            let (work, tool, place) = match how {
                How::Elsewhere | How::LeftByCutter => continue,
                How::Mill(mill) => {
                    (Work::MillSide { piece }, Tool::EndMill(mill.clone()), flat(job, makings, lot))
                }
                How::Swing(mill) => {
                    let Some(swung) = plate_swung(job, lot) else { continue };
                    let place = makings.place(job, lot, swung);
                    (Work::MillSide { piece }, Tool::EndMill(mill.clone()), place)
                }
                How::Turn(bore) => {
                    aid = Some(Aid::StubMandrel { bore: *bore, on: Machine::RotaryTable });
                    feature = feature.or(Some(*bore));
                    let mill = job.mill_along(job.metal(lot), makings);
                    let place = makings.place(job, lot, on_table(job, lot, *bore));
                    (Work::RoundEnd, Tool::EndMill(mill), place)
                }
                How::Step(mill) => {
                    (Work::StepArc { piece }, Tool::EndMill(mill.clone()), flat(job, makings, lot))
                }
                How::File => (Work::FileSide { piece }, Tool::File, at_bench(job, makings, lot)),
            };
            let mut deed = deed(job, work, feature, lot, tool, vec![place]);
            deed.aids.extend(aid);
            deed.choice = choice;
            makings.deeds.push(deed);
        }
    }
    Ok(())
}

fn boss(job: &Job, item: &Around) -> Option<FeatureId> {
    match item {
        Around::At(id) => matches!(job.part.feature(*id).kind, Kind::Boss { .. }).then_some(*id),
        Around::Arc { .. } => None,
    }
}

/// Bolted through its bores, or clamped down where there are none.
fn flat(job: &Job, makings: &mut Makings, lot: Lot) -> usize {
    let held = from_plate(job, lot, Face::Front)
        .unwrap_or_else(|| Holding { held: Held::ClampsMoved, ..from_edges(job, lot, Face::Front) });
    makings.place(job, lot, held)
}

/// The corner that a piece rounds.
fn corner(job: &Job, name: &str) -> Option<FeatureId> {
    let corner = |f: &crate::drawing::Feature| f.name == name && matches!(f.kind, Kind::Corner { .. });
    job.part.features().find(|(_, f)| corner(f)).map(|(id, _)| id)
}

/// How each piece is cut.
fn ways(job: &Job, makings: &mut Makings, named: &Named, bosses: &[FeatureId]) -> Vec<How> {
    let segments = named.outline.segments();
    let elsewhere: Vec<bool> = named.names.iter().map(|name| is_elsewhere(job, name, bosses)).collect();
    let swings = plate_swung(job, Lot::Piece(0)).is_some();
    let milled = |piece: usize| match segments[piece] {
        Segment::Line(line) => swings || along_axis(line.direction_rad()),
        Segment::Arc(arc) => arc.sweep_rad < 0.0 || arc.radius_mm >= stepped_from_mm(),
    };
    let wanted: Vec<usize> = (0..segments.len()).filter(|&n| !elsewhere[n] && milled(n)).collect();
    let mills = mills(job, makings);
    let fits =
        |mill: &EndMill, piece: usize| road(&named.outline, piece, mill.diameter.half().as_mm()).is_some();
    // One cutter for the whole outline where one gets in everywhere.
    let all_round = mills.iter().find(|mill| wanted.iter().all(|&piece| fits(mill, piece)));
    let way = |piece: usize| {
        if elsewhere[piece] {
            return How::Elsewhere;
        }
        let mill = all_round.or_else(|| mills.iter().find(|mill| fits(mill, piece)));
        match (segments[piece], mill.filter(|_| milled(piece)).cloned()) {
            (Segment::Line(line), Some(mill)) if along_axis(line.direction_rad()) => How::Mill(mill),
            (Segment::Line(_), Some(mill)) => How::Swing(mill),
            (Segment::Arc(arc), mill) => match (turned(job, arc), mill) {
                (Some(bore), _) => How::Turn(bore),
                (None, Some(mill)) => How::Step(mill),
                (None, None) => How::File,
            },
            (Segment::Line(_), None) => How::File,
        }
    };
    let mut ways: Vec<How> = (0..segments.len()).map(way).collect();
    left_by_cutter(segments, &mut ways);
    for (piece, how) in ways.iter().enumerate() {
        say(makings, named, piece, how);
    }
    ways
}

/// What a person would ask about a piece, on the cover.
fn say(makings: &mut Makings, named: &Named, piece: usize, how: &How) {
    let name = &named.names[piece];
    if let How::Mill(mill) | How::Step(mill) | How::Swing(mill) = how {
        let found = road(&named.outline, piece, mill.diameter.half().as_mm());
        if found.is_some_and(|found| found.short_mm.iter().any(|&short| short > 0.0)) {
            makings.assume(format!(
                "the inside corner at the end of {name} comes out round, as the {} cutter leaves it: file it sharp",
                mill.diameter
            ));
        }
    }
    match (how, named.outline.segments()[piece]) {
        (How::File, Segment::Line(_)) => makings.assume(format!(
            "{name} is filed to a line: it slants and no bores hold a plate to swing it on, or no cutter gets in"
        )),
        (How::File, Segment::Arc(arc)) if arc.radius_mm >= stepped_from_mm() || arc.sweep_rad < 0.0 => {
            makings.assume(format!("{name} is filed to a gauge: no cutter on the bench gets in"));
        }
        _ => {}
    }
}

/// End mills that cover the metal, the widest first; the longest where none does.
fn mills(job: &Job, makings: &mut Makings) -> Vec<EndMill> {
    let pair = job.scheme.sticks() && job.mill_covers(job.metal(Lot::Pair));
    let deep = job.metal(if pair { Lot::Pair } else { Lot::Piece(0) });
    let mut mills: Vec<EndMill> =
        job.bench.end_mills.iter().filter(|mill| mill.flute >= deep).cloned().collect();
    mills.sort_by_key(|mill| std::cmp::Reverse(mill.diameter));
    if mills.is_empty() {
        mills.push(job.mill_along(deep, makings));
    }
    mills
}

/// Whether a piece belongs to a round end, or to the flank between two.
fn is_elsewhere(job: &Job, name: &str, bosses: &[FeatureId]) -> bool {
    let own = |name: &str| bosses.iter().any(|&id| job.name(id) == name);
    let flank = |a: &FeatureId| name.strip_prefix(job.name(*a))?.strip_prefix(" to ");
    own(name) || bosses.iter().filter_map(flank).any(own)
}

fn along_axis(rad: f64) -> bool {
    rad.sin().abs() < ALONG_RAD || rad.cos().abs() < ALONG_RAD
}

/// The bore about which an arc can be cut on the rotary table.
fn turned(job: &Job, arc: Arc) -> Option<FeatureId> {
    if arc.sweep_rad < 0.0 || arc.radius_mm < stepped_from_mm() {
        return None;
    }
    let at = (Length::nearest(arc.centre.x_mm), Length::nearest(arc.centre.y_mm));
    let (bore, diameter) = job.bore_on_axis(at)?;
    no_turning(job, bore, diameter).is_none().then_some(bore)
}

/// A hollow of the cutter's own radius between two sides that the same cutter mills
/// needs no cut of its own.
fn left_by_cutter(segments: &[Segment], ways: &mut [How]) {
    let count = ways.len();
    for piece in 0..count {
        let (Segment::Arc(arc), How::Step(mill)) = (segments[piece], &ways[piece]) else { continue };
        let same = arc.sweep_rad < 0.0 && (arc.radius_mm - mill.diameter.half().as_mm()).abs() < 1e-6;
        let beside = |n: usize| matches!(&ways[n], How::Mill(other) if other == mill);
        if same && beside((piece + count - 1) % count) && beside((piece + 1) % count) {
            ways[piece] = How::LeftByCutter;
        }
    }
}
