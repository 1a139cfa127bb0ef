//! Pockets, outlines and castings on every bench.

use workshop::drawing::{Body, Face, Form, Kind};
use workshop::geometry::Segment;
use workshop::order::{Located, Machine, Work};

use crate::roads;

/// The box that the middle of the cutter stays in, and the cutter's radius round it, are
/// the pocket.
#[test]
fn every_pocket_comes_out_as_large_as_it_is() {
    let mut pockets = 0;
    for road in roads() {
        for (index, setup) in road.order.setups.iter().enumerate() {
            for (step, row) in road.steps(index + 1).zip(&road.plan.setups[index].rows) {
                let (Work::MillPocket { .. }, Some(id)) = (&step.work, step.feature) else { continue };
                let Kind::Pocket { width, height, along, .. } = road.drawing().features[id.0].kind else {
                    panic!("a pocket")
                };
                let at = |label: &str| {
                    let figure = row.sets.iter().find(|figure| figure.label() == label);
                    road.slide_mm(&figure.unwrap_or_else(|| panic!("{road}: no {label}")).shown)
                };
                let cutter = road.cutter_radius_mm(step);
                let lies = [
                    (
                        at("X greatest") - at("X least") + 2.0 * cutter,
                        (at("X greatest") + at("X least")) / 2.0,
                    ),
                    (
                        at("Y greatest") - at("Y least") + 2.0 * cutter,
                        (at("Y greatest") + at("Y least")) / 2.0,
                    ),
                ];
                let middle = road.expected(setup, id);
                let mut sizes = [width, height].map(|id| road.size_mm(id));
                if along.as_degrees().rem_euclid(180.0) > 45.0 {
                    sizes.swap(0, 1);
                }
                let step_mm = 2.0 * road.half_step_mm() + 1e-6;
                for axis in [0, 1] {
                    // Each side is rounded to leave metal, by less than a step of the slide.
                    let left_mm = sizes[axis] - lies[axis].0;
                    assert!((-1e-6..2.0 * step_mm).contains(&left_mm), "{road}: {lies:?} {sizes:?}");
                    assert!((lies[axis].1 - middle[axis]).abs() <= step_mm, "{road}: {lies:?} {middle:?}");
                }
                pockets += 1;
            }
        }
    }
    assert!(pockets >= 5, "{pockets} pockets");
}

/// Every line and arc of an outline of corners is cut once on every piece, by name: or it
/// is a hollow that the cutter of its two sides leaves.
#[test]
fn every_piece_of_an_outline_is_cut_once() {
    let mut outlines = 0;
    for road in roads() {
        if !matches!(road.drawing().body, Body::Outline { .. }) {
            continue;
        }
        let pieces = road.pieces();
        let lots: std::collections::BTreeSet<String> = road
            .order
            .steps
            .iter()
            .filter(|step| matches!(step.work, Work::MillSide { .. } | Work::StepArc { .. }))
            .map(|step| format!("{:?}", road.order.setups[step.setup].pieces))
            .collect();
        for (piece, segment) in pieces.iter().enumerate() {
            let cut = road.order.steps.iter().filter(|step| match step.work {
                Work::MillSide { piece: own }
                | Work::StepArc { piece: own }
                | Work::FileSide { piece: own } => own == piece,
                _ => false,
            });
            let times = cut.count();
            let round_the_table = road.order.steps.iter().any(|step| {
                matches!(step.work, Work::RoundEnd | Work::FileEnd | Work::StepEnd | Work::MillFlanks { .. })
            });
            let hollow = matches!(segment, Segment::Arc(arc) if arc.sweep_rad < 0.0);
            assert!(
                times == lots.len().max(1) || (times == 0 && (hollow || round_the_table)),
                "{road}: piece {piece} is cut {times} times on {lots:?}"
            );
        }
        outlines += 1;
    }
    assert!(outlines > 15, "{outlines} outlines");
}

/// A face that stays as cast is rough and slanted: nothing is positioned from it.
#[test]
fn no_cast_face_is_worked_from() {
    let mut castings = 0;
    for road in roads() {
        let Some(stock) = road.drawing().stock.as_ref().filter(|stock| stock.form == Form::Casting) else {
            continue;
        };
        for setup in road.order.setups.iter().filter(|setup| setup.machine != Machine::BenchVice) {
            if let Located::Edges(a, b) = setup.located {
                let drawn = |face: Face| match (setup.image, face) {
                    (workshop::drawing::Image::Mirrored, Face::Left) => Face::Right,
                    (workshop::drawing::Image::Mirrored, Face::Right) => Face::Left,
                    _ => face,
                };
                assert!(stock.cuts(drawn(a)) && stock.cuts(drawn(b)), "{road}: {setup:?}");
            }
        }
        assert!(road.plan.cover.blank.shown.contains("casting"), "{road}: {}", road.plan.cover.blank.shown);
        castings += 1;
    }
    assert!(castings > 8, "{castings} castings");
}
