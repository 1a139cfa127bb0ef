//! Turned parts as metal: sections, and what is cut round them and into their ends.

use std::f64::consts::{PI, TAU};

use super::region::Region;
use super::shape::{BEYOND_MM, Round, Shaped, turned_box};
use super::solid::{Form, Piece};
use crate::drawing::{Axis, Body, FeatureId, Kind, SectionEnd, SectionSize};
use crate::geometry::{Point, Segment};
use crate::measure::Length;

/// Puts the sections of a turned part together, their ends chamfered.
pub(super) fn sections(shaped: &mut Shaped) {
    let part = shaped.part.clone();
    let Body::Turned { sections, .. } = &part.drawing.body else { return };
    for &id in sections {
        let (Some(from), Some(to)) = (part.along(id), part.section_end(id)) else { continue };
        let ends = [from.as_mm(), to.as_mm()];
        if ends[1] - ends[0] > 1e-6 {
            section(shaped, id, ends);
        }
    }
}

fn section(shaped: &mut Shaped, id: FeatureId, ends_mm: [f64; 2]) {
    let part = shaped.part.clone();
    let Kind::Section { size, throw, .. } = &part.feature(id).kind else { return };
    let centre =
        throw.map_or(Point::ORIGIN, |throw| Point::ORIGIN.polar(shaped.mm(throw.offset), throw.at.as_rad()));
    let mut thread = None;
    let radii = match size {
        SectionSize::Plain(id) => [shaped.mm(*id) / 2.0; 2],
        SectionSize::Threaded(id) => {
            let cut = part.thread(*id);
            thread = Some((cut.minor.as_mm() / 2.0, ends_mm[1] - ends_mm[0]));
            [cut.major.as_mm() / 2.0; 2]
        }
        SectionSize::Taper { left, right } => [left, right].map(|id| shaped.mm(*id) / 2.0),
        SectionSize::AsBar { across, sides } => {
            let region = Region::corners(&bar_corners(centre, shaped.mm(*across), *sides));
            shaped.solid.metal.push(Piece::new(Some(id), Axis::X, ends_mm, Form::Prism(region)));
            let radius_mm = shaped.mm(*across) / 2.0;
            shaped.rounds.push(Round { of: id, axis: Axis::X, centre, radius_mm, ends_mm, thread });
            return;
        }
    };
    if radii.iter().any(|r| *r <= 0.0) {
        return;
    }
    let radius = |x: f64| radii[0] + (radii[1] - radii[0]) * (x - ends_mm[0]) / (ends_mm[1] - ends_mm[0]);
    let mut left_over = ends_mm;
    for (chamfer, feature) in part.features() {
        let Kind::Chamfer { of, end, size } = feature.kind else { continue };
        let size = shaped.mm(size);
        if of != id || size <= 0.0 || size >= (left_over[1] - left_over[0]).min(radii[0].min(radii[1])) {
            continue;
        }
        let (ends, from_radius_mm, to_radius_mm) = match end {
            SectionEnd::Left => {
                left_over[0] = ends_mm[0] + size;
                ([ends_mm[0], left_over[0]], radii[0] - size, radius(left_over[0]))
            }
            SectionEnd::Right => {
                left_over[1] = ends_mm[1] - size;
                ([left_over[1], ends_mm[1]], radius(left_over[1]), radii[1] - size)
            }
        };
        let form = Form::Cone { centre, from_radius_mm, to_radius_mm };
        shaped.solid.metal.push(Piece::new(Some(chamfer), Axis::X, ends, form));
    }
    let form = if radii[0] == radii[1] {
        Form::Prism(Region::circle(centre, radii[0]))
    } else {
        let [from_radius_mm, to_radius_mm] = left_over.map(radius);
        Form::Cone { centre, from_radius_mm, to_radius_mm }
    };
    shaped.solid.metal.push(Piece::new(Some(id), Axis::X, left_over, form));
    let radius_mm = radii[0].max(radii[1]);
    shaped.rounds.push(Round { of: id, axis: Axis::X, centre, radius_mm, ends_mm, thread });
}

/// The corners of a bar: square with a flat at the top, hexagon with a corner there,
/// so that the front view shows three of its faces.
fn bar_corners(centre: Point, across_mm: f64, sides: u32) -> Vec<Point> {
    let each = TAU / f64::from(sides);
    let first = if sides == 4 { each / 2.0 } else { 0.0 };
    let corner_mm = across_mm / 2.0 / (each / 2.0).cos();
    (0..sides).map(|n| centre.polar(corner_mm, first + each * f64::from(n))).collect()
}

/// How far a turned part reaches from its axis at a place along it.
pub(super) fn radius_at(shaped: &Shaped, x_mm: f64) -> Option<f64> {
    let here = |piece: &&Piece| piece.from_mm - 1e-6 <= x_mm && x_mm <= piece.to_mm + 1e-6;
    let reach = |piece: &Piece| piece.radius_at(x_mm).unwrap_or(piece.most[Axis::Y as usize]);
    shaped.solid.metal.iter().filter(here).map(reach).reduce(f64::max)
}

/// What is cut round a turned part, or into its ends.
pub(super) fn cut(shaped: &mut Shaped, id: FeatureId) {
    let part = shaped.part.clone();
    let out_mm = shaped.most[1].max(shaped.most[2]) + BEYOND_MM;
    match &part.feature(id).kind {
        Kind::Groove { diameter, width } => {
            let Some(from) = part.along(id).map(Length::as_mm) else { return };
            let radius_mm = shaped.mm(*diameter) / 2.0;
            let ends_mm = [from, from + shaped.mm(*width)];
            // A groove runs round the axis of the section that it is turned in.
            let centre = part.section_of(id).map_or(Point::ORIGIN, |section| {
                let (y, z) = part.section_axis(section);
                Point::at(y, z)
            });
            ring(shaped, id, ends_mm, centre, radius_mm, 2.0 * out_mm);
            shaped.rounds.push(Round { of: id, axis: Axis::X, centre, radius_mm, ends_mm, thread: None });
        }
        Kind::Flats { across, count, length } => {
            let Some(from) = part.along(id).map(Length::as_mm) else { return };
            let across = shaped.mm(*across);
            let ends = [from, from + shaped.mm(*length)];
            let Some(radius) = radius_at(shaped, (ends[0] + ends[1]) / 2.0) else { return };
            let off = if *count == 1 { across - radius } else { across / 2.0 };
            for n in 0..*count {
                let toward = TAU * f64::from(n) / f64::from(*count);
                let middle = Point::ORIGIN.polar(off + out_mm / 2.0, toward);
                let region = Region::corners(&turned_box(middle, out_mm, 2.0 * out_mm, toward));
                shaped.take(id, Axis::X, ends, Form::Prism(region));
            }
        }
        Kind::Recess { diameter, hub, depth } => {
            let mouth = shaped.mouth(id);
            let (radius_mm, deep) = (shaped.mm(*diameter) / 2.0, shaped.mm(*depth));
            let hub_mm = hub.map_or(0.0, |hub| shaped.mm(hub) / 2.0);
            if mouth.axis != Axis::X || radius_mm <= hub_mm {
                return;
            }
            ring(shaped, id, mouth.span(-BEYOND_MM, deep), Point::ORIGIN, hub_mm, radius_mm);
            shaped.rounds.push(Round {
                of: id,
                axis: Axis::X,
                centre: Point::ORIGIN,
                radius_mm,
                ends_mm: [mouth.at_mm, mouth.deep(deep)],
                thread: None,
            });
        }
        _ => {}
    }
}

/// Takes a ring away between two radii.
fn ring(shaped: &mut Shaped, id: FeatureId, ends_mm: [f64; 2], centre: Point, inner_mm: f64, outer_mm: f64) {
    let whole = |radius: f64| Segment::arc(centre, radius, 0.0, TAU);
    let lines: Vec<Segment> = [outer_mm, inner_mm].into_iter().filter(|r| *r > 0.0).map(whole).collect();
    shaped.take(id, Axis::X, ends_mm, Form::Prism(Region::new(lines)));
}

/// How far a knurl leans.
pub(super) const KNURL_RAD: f64 = PI / 6.0;
