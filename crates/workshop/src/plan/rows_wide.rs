//! Rows of a hole wider than its drills: a ring of small holes inside its line, and the file.

use super::job::Setup;
use super::rows::holes_of;
use super::rows_hole::drill_depth;
use super::sheet::Row;
use crate::drawing::{FeatureId, Kind};
use crate::measure::{Length, Toward};
use crate::order::work::{Deep, Step, Tool};
use crate::order::{Machine, Work};
use crate::settings::chain_drilling::{Chain, Ring, inside};
use crate::settings::show::{geometry, mm, practice};
use crate::tables::materials::Operation;
use crate::tables::processes::limit;
use crate::why::{Figure, Why};

/// The dimension that a hole is wide, or the holes of a pattern.
fn why_wide(setup: &Setup, id: FeatureId, why: Why) -> Why {
    match setup.part.feature(setup.part.hole_of(id)).kind {
        Kind::Hole { diameter, .. } => why.because(setup.job.why_dimension(diameter)),
        _ => why,
    }
}

/// Where a hole is punched, with the circle that it is filed to where it is.
pub fn circle(setup: &Setup, id: FeatureId, at: String) -> (String, Why) {
    let why = super::rows_press::why_scribed(setup, id);
    let filed = setup.job.order.steps.iter().find_map(|step| match step.work {
        Work::FileHoleRound { diameter, .. } => {
            let own = step.feature.is_some_and(|of| of == id || holes_of(setup, of).contains(&id));
            own.then_some(diameter)
        }
        _ => None,
    });
    match filed {
        Some(diameter) => (format!("{at}; ⌀ {} scribed about it", mm(diameter)), why_wide(setup, id, why)),
        None => (at, why),
    }
}

/// Adds the ring of holes that parts the middle of a hole, its speed and its depth.
pub fn chain(setup: &Setup, step: &Step, diameter: Length, deep: Deep, row: &mut Row) {
    let (Some(id), Tool::Drill(drill)) = (step.feature, &step.tool) else { return };
    let number = row.number;
    let bench = setup.job.bench;
    let speeds = match setup.holding.machine {
        Machine::Mill => Some(&bench.mill.speeds),
        Machine::DrillPress => bench.drill_press.as_ref().map(|press| &press.speeds),
        _ => None,
    };
    row.speed = speeds.and_then(|s| setup.speed(number, Operation::Drilling, drill.diameter, s));
    let chain = Chain { drill: drill.diameter, web: limit("chain web"), allowance: limit("chain margin") };
    if let Ok(ring) = inside(chain, diameter.half()) {
        let mut figures = ring.figures();
        if setup.holding.machine == Machine::Mill && holes_of(setup, id).len() == 1 {
            figures.extend(by_slides(setup, id, &ring));
        }
        let chord = ring.radius.as_mm() * 2.0 * (ring.between.as_rad() / 2.0).sin();
        let step_round = practice(
            "scribe the circle of centres, step round it with dividers set to this, and punch each: what is broken out need not be nearer",
        );
        figures.push(Figure::new(
            "dividers",
            mm(Length::nearest(chord).rounded(Length::microns(10), Toward::Nearest).value),
            step_round,
        ));
        row.sets.extend(setup.place_all(number, figures));
        if let Some(first) = row.sets.last_mut() {
            first.why = why_wide(setup, id, first.why.clone());
        }
    }
    row.depth = drill_depth(setup, number, step, drill.diameter, deep);
    let out =
        practice("a cold chisel or a saw through the webs, from both faces; the work on something solid");
    row.depth.push(Figure::new(setup.named(number, "then"), "break the middle out", out));
}

/// Where each hole of a ring is, as the slides read: to a tenth, for it is waste.
fn by_slides(setup: &Setup, id: FeatureId, ring: &Ring) -> Vec<Figure> {
    let (x, y) = setup.read(id);
    let tenth = |mm: f64| Length::nearest(mm).rounded(Length::microns(100), Toward::Nearest).value;
    let why = || {
        geometry("on the circle of centres, evenly spaced").because(practice("waste: a tenth is near enough"))
    };
    let at = |n: i64| {
        let turned = ring.between.as_rad() * n as f64;
        let (along, up) = (ring.radius.as_mm() * turned.cos(), ring.radius.as_mm() * turned.sin());
        [("X", tenth(x.as_mm() + along)), ("Y", tenth(y.as_mm() + up))].map(|(axis, value)| {
            Figure::new(format!("{axis}, hole {}", n + 1), format!("{} mm", value.decimals(2)), why())
        })
    };
    (0..ring.holes).flat_map(at).collect()
}

/// A hole that is filed round to its scribed circle.
pub fn file(setup: &Setup, id: FeatureId, diameter: Length, row: &mut Row) {
    let number = row.number;
    let holes = holes_of(setup, id);
    let several = holes.len() > 1;
    for (index, hole) in holes.into_iter().enumerate() {
        let label = if several { format!("circle, hole {}", index + 1) } else { "circle".to_owned() };
        let shown = format!("⌀ {} about {}", setup.laid_out(diameter), setup.scribed(setup.read(hole)));
        let why =
            why_wide(setup, id, practice("scribed with dividers from the punched centre, on both faces"));
        row.sets.push(Figure::new(setup.named(number, &label), shown, why));
    }
    let why = practice(
        "a half-round file rounder than the hole, all round and never in one place; half the line left, measured three ways across",
    );
    row.check = Some(Figure::new(setup.named(number, "across"), mm(diameter), why_wide(setup, id, why)));
}
