//! Rows of a slot round an arc: on the rotary table, by stepped coordinates, or filed to its lines.

use std::cmp::Ordering;

use super::job::Setup;
use super::rows_outline::{ridge, stepped as stepped_places};
use super::rows_slot::{by_sides, down, left_to_do};
use super::sheet::Row;
use crate::drawing::{Axis, FeatureId, Image, Kind};
use crate::geometry::{Arc, Point, Segment, slot_edge};
use crate::measure::{Angle, Length, Toward};
use crate::order::work::{Deep, SlotSides, Step, Tool};
use crate::problem::Problem;
use crate::settings::curved_slot::{CurvedSlot, OFFSET, set_curved_slot};
use crate::settings::rotary::{self, Metal, RotaryTable};
use crate::settings::show::{geometry, mm, practice};
use crate::settings::stepped_curve::{Curve, stepped_curve};
use crate::tables::materials::Operation;
use crate::why::{Figure, Why};

impl Setup<'_> {
    /// The middle line of a curved slot as it lies, from the datum, anticlockwise.
    pub fn curved_road(&self, id: FeatureId) -> Option<Arc> {
        let drawn = self.part.seen(Image::Drawn).curved_arc(id)?;
        match self.laid(Segment::Arc(drawn)) {
            Segment::Arc(arc) => Some(arc),
            Segment::Line(_) => None,
        }
    }
}

/// Fills a row that mills a curved slot on the rotary table.
///
/// # Errors
///
/// A [`Problem`] when the cutter does not go into it.
pub fn mill(setup: &Setup, step: &Step, deep: Deep, sides: SlotSides, row: &mut Row) -> Result<(), Problem> {
    let (Some(id), Tool::EndMill(mill)) = (step.feature, &step.tool) else { return Ok(()) };
    let Kind::CurvedSlot { width, radius, .. } = setup.part.feature(id).kind else { return Ok(()) };
    let (Some(arc), Some(table)) = (setup.curved_road(id), &setup.job.bench.rotary_table) else {
        return Ok(());
    };
    let number = row.number;
    let slot = CurvedSlot {
        radius: setup.part.size(radius),
        width: setup.part.size(width),
        start: Angle::nearest_rad(arc.start_rad),
        sweep: Angle::nearest_rad(arc.sweep_rad),
    };
    let setting = set_curved_slot(slot, mill.diameter, RotaryTable::from(table))?;
    for pass in &setting.passes {
        for figure in pass.figures_on_the_rim() {
            row.sets.push(if figure.name.starts_with(OFFSET) {
                let why = pass.why_offset().because(setup.job.why_dimension(radius));
                let why = why.because(practice("the table moves along X, the spindle to its right"));
                // A side is left standing by what the slide cannot show, never cut into.
                match pass.offset.cmp(&slot.radius) {
                    Ordering::Equal => setup.slide(number, &figure.name, pass.offset, why),
                    Ordering::Greater => {
                        setup.slide_toward(number, &figure.name, pass.offset, Toward::Less, why)
                    }
                    Ordering::Less => {
                        setup.slide_toward(number, &figure.name, pass.offset, Toward::More, why)
                    }
                }
            } else {
                let why = figure.why.because(why_ends(setup, id));
                Figure { name: setup.named(number, &figure.name), why, ..figure }
            });
        }
    }
    row.speed = setup.speed(number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
    down(setup, step, (mill, deep), width, row)?;
    let left = left_to_do(setting.spare, mill.diameter.half().as_mm(), [false, false], SlotSides::AsCut);
    let each_side = (sides == SlotSides::Finished && setting.spare.is_positive()).then(|| by_sides(BY_SIDES));
    row.depth.extend(setup.place_all(number, each_side.into_iter().chain(left).collect()));
    Ok(())
}

/// How each side is brought to size by itself.
const BY_SIDES: &str = "the middle first, to its depth; then the outer and the inner side, each in one cut; measure in between, and move the offset of the inner side by what the width still asks";

/// Why a curved slot begins and ends where it does.
fn why_ends(setup: &Setup, id: FeatureId) -> Why {
    let why = geometry("from the middle of one round end to that of the other, about the centre of the arc");
    match setup.part.feature(id).kind {
        Kind::CurvedSlot { reach: crate::drawing::Sweep::Across { centres, .. }, .. } => {
            why.because(setup.job.why_dimension(centres))
        }
        _ => why.because(Why::new("the two directions as the drawing has them")),
    }
}

/// Fills a row that mills a curved slot by stepped coordinates: along its outer and its inner side, or along its
/// middle with a cutter as wide as it is.
///
/// # Errors
///
/// A [`Problem`] when the cutter does not go into it.
pub fn stepped(setup: &Setup, step: &Step, deep: Deep, row: &mut Row) -> Result<(), Problem> {
    let (Some(id), Tool::EndMill(mill)) = (step.feature, &step.tool) else { return Ok(()) };
    let Kind::CurvedSlot { width, radius, .. } = setup.part.feature(id).kind else { return Ok(()) };
    let Some(arc) = setup.curved_road(id) else { return Ok(()) };
    let (number, cutter) = (row.number, mill.diameter);
    let slide_step = setup.job.bench.mill.readout.step();
    let (middle, half) = (setup.part.size(radius), setup.part.size(width).half());
    let spare = half - cutter.half();
    let edge = slot_edge(&Segment::Arc(arc), half.as_mm());
    // Where it fills the slot it keeps to the inner side: no place is clear of both.
    let sides: &[(&str, Metal, Length)] = if spare > slide_step * 2 {
        &[("outer side", Metal::Outside, middle + half), ("inner side", Metal::Inside, middle - half)]
    } else {
        &[("place", Metal::Inside, middle - cutter.half())]
    };
    let rest = if sides.len() > 1 { &edge[..] } else { &[] };
    for (n, &(called, metal, wall)) in sides.iter().enumerate() {
        let round = rotary::Arc {
            radius: wall,
            metal,
            start: Angle::nearest_rad(arc.start_rad),
            sweep: Angle::nearest_rad(arc.sweep_rad),
        };
        let (x, y) = (Length::nearest(arc.centre.x_mm), Length::nearest(arc.centre.y_mm));
        let curve = Curve { arc: round, x, y, cutter, cusp: ridge(), step: slide_step };
        let found = stepped_curve(curve, rest)?;
        let whys = [setup.job.why_dimension(radius), why_ends(setup, id)];
        // What is the same for both sides is said once.
        let own = found.figures().into_iter().filter(|figure| n == 0 || figure.name.starts_with("place "));
        let own =
            own.map(|figure| Figure { name: figure.name.replace("place ", &format!("{called} ")), ..figure });
        row.sets.extend(stepped_places(setup, (number, ""), &found.places, own.collect(), &whys));
    }
    row.speed = setup.speed(number, Operation::Milling, cutter, &setup.job.bench.mill.speeds);
    down(setup, step, (mill, deep), width, row)?;
    let why = practice(
        "lowered at each place in turn, and again all along for the next depth; a file or scraper takes the ridges off its sides",
    );
    row.depth.push(Figure::new(
        setup.named(number, "at each place"),
        "down to the depth, then on to the next",
        why,
    ));
    Ok(())
}

/// The lines that a curved slot is cut to by hand, as they are scribed.
pub fn lines(setup: &Setup, id: FeatureId) -> Option<(String, Why)> {
    let Kind::CurvedSlot { width, radius, .. } = setup.part.feature(id).kind else { return None };
    let arc = setup.curved_road(id)?;
    let at = |point: Point| setup.scribed((Length::nearest(point.x_mm), Length::nearest(point.y_mm)));
    let (round, half) = (setup.part.size(radius), setup.part.size(width).half());
    let why = practice(
        "two arcs struck with dividers or a trammel; where the centre lies off the work, from a piece of the same thickness clamped beside it",
    )
    .because(setup.job.why_dimension(radius))
    .because(setup.job.why_dimension(width))
    .because(setup.why_place(id, Axis::X));
    let shown = format!(
        "R {} and R {} about {}, from {} to {}",
        mm(round - half),
        mm(round + half),
        at(arc.centre),
        at(arc.start()),
        at(arc.end())
    );
    Some((shown, why))
}
