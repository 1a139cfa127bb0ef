//! What is set for countersinks, taper pins and pockets.

use super::cutting::{Cutting, Floor, cut_depths};
use super::in_floor::{sunk, tell_passes};
use super::job::Setup;
use super::rows_hole::{above, at_holes, deep_figure};
use super::sheet::Row;
use crate::bench::EndMill;
use crate::drawing::{DimensionId, FeatureId, Kind};
use crate::measure::{Angle, Length, Toward};
use crate::order::Work;
use crate::order::work::{Deep, Step, Tool};
use crate::problem::Problem;
use crate::settings::chain_drilling::{self, Chain};
use crate::settings::countersink::{Countersink, GOES_ON, why_goes_on};
use crate::settings::passes::{Cut, check_reach};
use crate::settings::show::{geometry, mm, practice};
use crate::tables::materials::Operation;
use crate::why::{Figure, Why};

/// What is left on the sides of a pocket for a light last cut; common practice.
fn finishing() -> Length {
    Length::microns(200)
}

/// Fills a row of one of these.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    match (&step.work, &step.tool) {
        (Work::Countersink { diameter, deep }, _) => countersink(setup, step, (*diameter, *deep), row),
        (Work::TaperReam { large, deep }, Tool::TaperReamer(pin)) => {
            row.sets = at_holes(setup, row.number, step);
            row.speed = setup.speed(row.number, Operation::Reaming, *large, setup.spindle());
            let order = setup.job.order;
            let drilled = order.steps.iter().filter(|other| {
                other.feature == step.feature && order.setups[other.setup].pieces == setup.holding.pieces
            });
            let widest = drilled.filter_map(|other| match other.work {
                Work::Drill { diameter, .. } => Some(diameter),
                _ => None,
            });
            let widest = widest.max().unwrap_or(*large);
            let run = pin.taper.run();
            let on = geometry(format!(
                "the hole narrows 1 in {run}: {run} times the difference between {} and the {} of the widest drill",
                mm(*large),
                mm(widest)
            ))
            .because(practice(
                "try the pin often: where it stands out too far by some amount, ream that much deeper",
            ));
            row.depth = vec![
                deep_figure(setup, row.number, step, *deep),
                setup.lower(
                    row.number,
                    "goes on after it first touches",
                    (*large - widest) * run + above(setup, step),
                    on,
                ),
            ];
            row.check = Some(large_end(setup, row.number, step, *large));
        }
        (Work::MillPocket { deep }, Tool::EndMill(mill)) => {
            row.speed =
                setup.speed(row.number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
            pocket(setup, step, (*deep, mill), row)?;
        }
        _ => {}
    }
    Ok(())
}

fn countersink(setup: &Setup, step: &Step, (diameter, deep): (Length, Length), row: &mut Row) {
    let Some(id) = step.feature else { return };
    let Kind::Countersink { diameter: dimension, angle, over } = setup.part.feature(id).kind else { return };
    let number = row.number;
    row.sets = at_holes(setup, number, step);
    let slow = practice("as slow as a reamer, or it chatters");
    row.speed = setup
        .speed(number, Operation::Reaming, diameter, setup.spindle())
        .map(|figure| Figure { why: figure.why.clone().because(slow), ..figure });
    let hole = setup.part.cut_diameter(setup.part.hole_of(over)).unwrap_or_default();
    let why = why_goes_on(Countersink { diameter, hole, angle }).because(setup.job.why_dimension(dimension));
    row.depth = vec![setup.lower(number, GOES_ON, deep, why)];
    let why = practice("the cone's width at the face says when it is deep enough")
        .because(setup.job.why_dimension(dimension));
    row.check = Some(Figure::new(setup.named(number, "across at the face"), mm(diameter), why));
}

fn large_end(setup: &Setup, number: usize, step: &Step, large: Length) -> Figure {
    let why = practice("where the pin goes in; the pin itself is the gauge");
    let why = match step.feature.map(|id| &setup.part.feature(id).kind) {
        Some(&Kind::TaperPin { pin, .. }) => why.because(setup.job.why_dimension(pin)),
        _ => why,
    };
    Figure::new(setup.named(number, "large end"), mm(large), why)
}

/// A pocket: the box that the middle of the cutter stays in, and how deep each round goes.
fn pocket(setup: &Setup, step: &Step, (deep, mill): (Deep, &EndMill), row: &mut Row) -> Result<(), Problem> {
    let Some(id) = step.feature else { return Ok(()) };
    let Kind::Pocket { width, height, corner, along, .. } = setup.part.feature(id).kind else {
        return Ok(());
    };
    let (number, cutter, flute) = (row.number, mill.diameter, mill.flute);
    let lies = setup.direction(id, along);
    let (across, up) = if lies.x_mm.abs() > lies.y_mm.abs() { (width, height) } else { (height, width) };
    let (x, y) = setup.read(id);
    let sides = [("X", x, across), ("Y", y, up)];
    for (axis, middle, size) in sides {
        let half = setup.part.size(size).half() - cutter.half();
        let why = |words: &str| {
            geometry(format!(
                "{words}: half of {} less the cutter's radius {}, from the middle at {}",
                mm(setup.part.size(size)),
                mm(cutter.half()),
                mm(middle)
            ))
            .because(setup.job.why_dimension(size))
        };
        if half.is_positive() {
            let (least, greatest) = (middle - half, middle + half);
            let label = |word: &str| format!("{axis} {word}");
            let (one, other) = (why("one side"), why("the other"));
            row.sets.push(setup.slide_toward(number, &label("least"), least, Toward::More, one));
            row.sets.push(setup.slide_toward(number, &label("greatest"), greatest, Toward::Less, other));
        } else {
            row.sets.push(setup.slide(number, axis, middle, why("as wide as the cutter")));
        }
    }
    let rough =
        practice("the last cut goes round at the full depth, climbing nowhere, and leaves the sides clean");
    row.sets.push(Figure::new(
        setup.named(number, "rough to"),
        format!("{} inside these", setup.moved(finishing(), Toward::More)),
        rough,
    ));
    if matches!(deep, Deep::Through(_)) {
        row.sets.extend(chain(setup, number, [width, height]));
    }
    let floor = if matches!(deep, Deep::Through(_)) { Floor::None } else { Floor::Stays };
    let sunk = sunk(setup, step);
    let more = sunk.as_ref().map_or(Length::ZERO, |sunk| sunk.more(setup, deep));
    let deep = deep.length() + setup.above_round(id) + more;
    check_reach(deep, flute, flute)?;
    let cut = Cutting { mill, cut: Cut::Slot, depth: deep, floor, size: Some(width) };
    row.depth = cut_depths(setup, number, cut)?;
    tell_passes(setup, sunk, row);
    let shown = [width, height].map(|side| setup.checked(setup.part.size(side))).join(" × ");
    let why = Why::new(format!("its corners come out at the cutter's radius, {}", mm(cutter.half())))
        .because(setup.job.why_dimension(width))
        .because(setup.job.why_dimension(height))
        .because(setup.job.why_dimension(corner));
    row.check = Some(Figure::new(setup.named(number, "size"), shown, why));
    Ok(())
}

/// Holes with which the middle of a window drops out, so that only its sides are milled:
/// with the widest drill owned, up to 10 mm, that goes along every side without running
/// into the hole before.
fn chain(setup: &Setup, number: usize, sides: [DimensionId; 2]) -> Vec<Figure> {
    let (web, least_web) = (Length::microns(500), Length::microns(200));
    let row = |drill: Length, side: DimensionId| {
        let chain = Chain { drill, web, allowance: web };
        let between = setup.part.size(side) - chain.allowance * 2 - drill;
        let row = chain_drilling::row(chain, between).ok()?;
        (row.pitch >= drill + least_web).then_some(row)
    };
    let drills = setup.job.bench.drills.iter().rev();
    let usual = drills.filter(|drill| drill.diameter <= Length::mm(10) && drill.diameter >= Length::mm(3));
    let found = usual
        .filter_map(|drill| Some((drill, row(drill.diameter, sides[0])?, row(drill.diameter, sides[1])?)));
    let Some((drill, along, up)) = found.into_iter().next() else { return Vec::new() };
    let of = |side: &str, row: chain_drilling::Row| {
        let label = |name: &str| format!("first chain drill {} along the {side}, {name}", drill.name);
        row.figures()
            .into_iter()
            .map(|f| Figure { name: setup.named(number, &label(&f.name)), ..f })
            .collect::<Vec<_>>()
    };
    [of("width", along), of("height", up)].concat()
}

/// X and Y of a drill that does not stand in the middle of its feature: of a flatted
/// hole it touches the flat and the far side.
pub fn off_middle(setup: &Setup, number: usize, id: FeatureId) -> Option<Vec<Figure>> {
    let Kind::Flatted { diameter, across, toward, .. } = setup.part.feature(id).kind else { return None };
    let off = (setup.part.size(diameter) - setup.part.size(across)).half();
    let away = setup.direction(id, toward + Angle::degrees(180)).times(off.as_mm());
    let (x, y) = setup.read(id);
    let name = &setup.part.feature(id).name;
    let why = geometry(format!(
        "half-way between the flat of {name} and its far side, {} from the middle of the round",
        mm(off)
    ))
    .because(setup.job.why_dimension(diameter))
    .because(setup.job.why_dimension(across));
    let at = [("X", x, away.x_mm), ("Y", y, away.y_mm)];
    Some(at.map(|(axis, at, off)| setup.slide(number, axis, at + Length::nearest(off), why.clone())).to_vec())
}
