//! Where the cutters of a setup go, as its clamps see them.

use std::f64::consts::FRAC_PI_2;

use super::super::job::Setup;
use super::super::rows::{self, holes_of};
use super::super::rows_rotary::{flank_between, outline_from_datum};
use super::super::sheet::box_lines;
use crate::drawing::{FeatureId, Kind};
use crate::geometry::{Arc, Point, Segment};
use crate::order::Work;
use crate::order::work::{Step, Tool};

/// A cut between which and the next clamps can be moved.
#[derive(Clone)]
pub(in crate::plan) struct Cut {
    /// The row it is made in, counted from one.
    pub row: usize,
    /// What the row calls it, where it has several: `flank 2`.
    pub part: Option<String>,
    /// Where the middle of the cutter or drill goes.
    pub roads: Vec<Segment>,
    /// Its radius.
    pub reach_mm: f64,
}

/// The cuts of a setup in order, of all the pieces that lie in it.
pub(in crate::plan) fn cuts(setup: &Setup, steps: &[&Step]) -> Vec<Cut> {
    let mut all = Vec::new();
    for (row, step) in (1..).zip(steps) {
        let pieces = setup.done_to(step);
        let mut own = pieces.iter().map(|piece| of_row(piece, row, step));
        let mut first = own.next().unwrap_or_default();
        for more in own {
            for (cut, more) in first.iter_mut().zip(more) {
                cut.roads.extend(more.roads);
            }
        }
        all.extend(first);
    }
    all
}

/// The cuts by the rows that their steps have become, where the work is moved along.
pub(in crate::plan) fn numbered(setup: &Setup, steps: &[&Step], numbers: Option<&[Vec<usize>]>) -> Vec<Cut> {
    let cuts = cuts(setup, steps);
    let Some(numbers) = numbers else { return cuts };
    let rows = |cut: Cut| {
        let rows = numbers.get(cut.row - 1).cloned().unwrap_or_default();
        rows.into_iter().map(move |row| Cut { row, ..cut.clone() })
    };
    let mut all: Vec<Cut> = cuts.into_iter().flat_map(rows).collect();
    all.sort_by_key(|cut| cut.row);
    all
}

/// The cuts of one row to one piece: each flank is one by itself.
fn of_row(setup: &Setup, row: usize, step: &Step) -> Vec<Cut> {
    let reach = match &step.tool {
        Tool::EndMill(mill) => mill.diameter.half(),
        tool => tool.diameter().unwrap_or_default().half(),
    };
    let mut reach_mm = reach.as_mm();
    if let Work::MillFlanks { joins } = &step.work {
        let (x, y) = setup.origin();
        let flank = |(n, &join)| {
            let line = flank_between(setup, Point::at(x, y), setup.turned_rad(), join).ok();
            let road = line.map(|line| beside(&Segment::Line(line), reach_mm));
            let part = (joins.len() > 1).then(|| format!("flank {n}"));
            Cut { row, part, roads: road.into_iter().collect(), reach_mm }
        };
        return (1..).zip(joins).map(flank).collect();
    }
    let roads = match (&step.work, step.feature) {
        (&(Work::MillSide { piece } | Work::StepArc { piece } | Work::TurnArc { piece }), _) => {
            setup.road(piece, reach * 2).into_iter().collect()
        }
        (Work::RoundEnd | Work::StepEnd, boss) => {
            let centre = boss.map(|id| {
                let (x, y) = setup.read(id);
                Point::at(x, y)
            });
            let arcs = outline_from_datum(setup).unwrap_or_default();
            let own = |segment: &&Segment| match (segment, centre) {
                (Segment::Arc(arc), Some(centre)) => arc.centre.distance_mm(centre) < 1e-3,
                (Segment::Arc(_), None) => true,
                (Segment::Line(_), _) => false,
            };
            arcs.iter().filter(own).map(|arc| beside(arc, reach_mm)).collect()
        }
        (Work::MillSlot { .. }, Some(id)) => {
            // A narrower cutter goes along both its sides.
            if let Kind::Slot { width, .. } | Kind::CurvedSlot { width, .. } = setup.part.feature(id).kind {
                reach_mm = reach_mm.max(setup.part.size(width).half().as_mm());
            }
            let straight = || setup.slot_ends(id, reach).map(|[from, to]| Segment::line(from, to));
            setup.curved_road(id).map(Segment::Arc).or_else(straight).into_iter().collect()
        }
        (Work::MillStep { .. } | Work::MillPocket { .. }, Some(_)) => over_all(setup, row, step),
        (_, Some(id)) => {
            let place = |id: FeatureId| {
                let (x, y) = setup.read(id);
                Segment::line(Point::at(x, y), Point::at(x, y))
            };
            holes_of(setup, id).into_iter().map(place).collect()
        }
        _ => Vec::new(),
    };
    vec![Cut { row, part: None, roads, reach_mm }]
}

/// The edges of all that the slides go over in a row of one piece, of which a strap that comes in from
/// outside crosses one before it is in the cutter's way anywhere within.
fn over_all(piece: &Setup, row: usize, step: &Step) -> Vec<Segment> {
    if rows::row(piece, row, step).is_err() {
        return Vec::new();
    }
    let slid = piece.slid.take();
    let span = |axis: usize| {
        let own = slid.iter().filter(|slid| slid.row == row && slid.axis() == Some(axis)).map(|slid| slid.to);
        Some((own.clone().min()?.as_mm(), own.max()?.as_mm()))
    };
    let (Some((left, right)), Some((near, far))) = (span(0), span(1)) else { return Vec::new() };
    box_lines(left, near, right, far)
}

/// A line or arc of the outline, its metal on the left, as far outside as a cutter's middle.
fn beside(segment: &Segment, reach_mm: f64) -> Segment {
    match segment {
        Segment::Line(line) => {
            let out = line.direction_rad() - FRAC_PI_2;
            Segment::line(line.start.polar(reach_mm, out), line.end.polar(reach_mm, out))
        }
        Segment::Arc(arc) => {
            let radius_mm = (arc.radius_mm + reach_mm * arc.sweep_rad.signum()).max(0.0);
            Segment::Arc(Arc { radius_mm, ..*arc })
        }
    }
}
