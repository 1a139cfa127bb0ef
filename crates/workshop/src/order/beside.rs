//! Several pieces side by side in one holding: how many a vice or the table takes, and with
//! what between them.
//!
//! Each lies against the fixed jaw or the same straight edge, and its own datum edge is set by
//! the finder to a stated reading, so that one nought serves them all and no piece is placed
//! worse than by itself. A cutter that runs out beyond a piece has to have room between two of
//! them; where there is none, only what stays inside the piece is cut side by side. Saw cuts
//! never are: the arbor would meet the next piece.

use super::chains::step_deep;
use super::deed::{Beside, Job, Lot, Makings};
use super::places::{from_edges, opposite};
use super::work::{Held, Holding, Located, Lots, Pieces};
use crate::drawing::{Body, Face, FeatureId, Kind};
use crate::measure::Length;
use crate::tables::processes::limit;

/// The holding that takes several of a lot side by side from square edges with a face up, for a
/// feature that is cut there; none where it takes but one, or what cuts the feature would meet
/// the next piece.
pub(super) fn for_cut(job: &Job, lot: Lot, face: Face, feature: FeatureId) -> Option<(Lot, Holding)> {
    let (lot, holding) = from_edges_beside(job, lot, face)?;
    let gap = holding.pieces.lots()?.gap;
    (room_for(job, feature)? <= gap).then_some((lot, holding))
}

/// Whether anything may be cut side by side.
pub(super) fn any(job: &Job) -> bool {
    let lots = job.singles().into_iter().chain(job.scheme.sticks().then_some(Lot::Stack));
    let cut = |lot: Lot| {
        let holes =
            |kind: &Kind| !matches!(kind, Kind::Boss { .. } | Kind::Corner { .. } | Kind::Slit { .. });
        let all = job.part.features().filter(|(_, feature)| holes(&feature.kind));
        all.into_iter().any(|(id, feature)| for_cut(job, lot, feature.face, id).is_some())
    };
    lots.into_iter().any(cut)
}

/// What several of a lot lie in, side by side.
fn from_edges_beside(job: &Job, lot: Lot, face: Face) -> Option<(Lot, Holding)> {
    if job.scheme.beside == Beside::InTurn {
        return None;
    }
    let lot = match lot {
        Lot::Piece(_) if job.scheme.both_hands() => Lot::Both,
        lot => lot,
    };
    let mut holding = from_edges(job, lot, face);
    let lots = holding.pieces.lots()?;
    let (Located::Edges(..), Held::ViceOnParallels | Held::ViceOnEdge | Held::ClampsMoved) =
        (holding.located, &holding.held)
    else {
        return None;
    };
    let clamped = holding.held == Held::ClampsMoved;
    let inside = least_gap(job, clamped);
    let rooms = worked_from(job, face).into_iter().filter_map(|id| room_for(job, id));
    let widest = rooms.fold(inside, Length::max);
    let with = |gap: Length| {
        let beside = most_beside(job, face, lots, gap, clamped);
        let beside = if lot == Lot::Both { beside - beside % 2 } else { beside };
        (beside > 1).then(|| even(lots, beside, lot)).map(|beside| Lots { beside, gap, ..lots })
    };
    let lots = with(widest).or_else(|| with(inside))?;
    holding.pieces = match holding.pieces {
        Pieces::Stack(_) => Pieces::Stack(lots),
        Pieces::Both(_) => Pieces::Both(lots),
        _ => Pieces::Each(lots),
    };
    Some((lot, holding))
}

/// As many at a time as fill the holding no more often, and alike each time.
fn even(lots: Lots, beside: u32, lot: Lot) -> u32 {
    let step = if lot == Lot::Both { 2 } else { 1 };
    let fills = Lots { beside, ..lots }.fills();
    let fewer = |n: &u32| Lots { beside: *n, ..lots }.fills() == fills;
    (1..=beside / step).map(|n| n * step).find(fewer).unwrap_or(beside)
}

/// How many go side by side between the ends of the jaws, or within the table's travel.
fn most_beside(job: &Job, face: Face, lots: Lots, gap: Length, clamped: bool) -> u32 {
    let wide = job.stands_wide(face);
    let finder = job.bench.edge_finder * 2;
    let travel = job.bench.mill.travel[0] - finder;
    let room = if clamped { travel } else { job.bench.mill.vice_width().min(travel) };
    let mut beside = 0;
    while beside < lots.stacks() && wide * i64::from(beside + 1) + gap * i64::from(beside) <= room {
        beside += 1;
    }
    beside
}

/// What has to be between two pieces in any case: the finder goes in, or a clamp from either.
fn least_gap(job: &Job, clamped: bool) -> Length {
    let finder = job.bench.edge_finder + limit("clear of the next") * 2;
    if clamped { finder.max(limit("clamp room") * 2) } else { finder }
}

/// What has to be between two pieces for a feature to be cut in one of them; none where it is
/// never cut beside another.
fn room_for(job: &Job, id: FeatureId) -> Option<Length> {
    let feature = job.part.feature(id);
    let mut nothing = Makings::default();
    let cutter = match &feature.kind {
        Kind::Slit { .. } => return None,
        Kind::Step { .. } => job.mill_down(id, step_deep(job, id, feature.face)?, &mut nothing).diameter,
        Kind::Slot { width, .. } if job.part.open_axis(id).is_some() => {
            job.mill_for(*width, &mut nothing).diameter
        }
        _ => return Some(Length::ZERO),
    };
    Some(cutter + limit("clear of the next") * 2)
}

/// What may be cut with a face up.
fn worked_from(job: &Job, face: Face) -> Vec<FeatureId> {
    let through = |kind: &Kind| !matches!(kind, Kind::Step { .. });
    let all = job.part.features();
    let all = all.filter(|(_, f)| f.face == face || f.face == opposite(face) && through(&f.kind));
    all.map(|(id, _)| id).collect()
}

impl Job<'_> {
    /// How wide the blank stands along X with a face up.
    fn stands_wide(&self, face: Face) -> Length {
        let [left, right, bottom, top] = self.part.edges();
        let own = if matches!(face, Face::Left | Face::Right) { top - bottom } else { right - left };
        match self.part.drawing.body {
            Body::Rectangle { .. } => own,
            _ => own + limit("blank margin") * 2,
        }
    }
}
