//! What is cut from a plate besides round holes, steps and slots, as metal taken away.

use std::f64::consts::TAU;

use super::region::Region;
use super::shape::{BEYOND_MM, Mouth, Round, Shaped, turned_box};
use super::solid::Form;
use crate::drawing::{FeatureId, Kind};
use crate::geometry::{Point, Segment, tangents};
use crate::measure::Length;

/// Pockets, square and flatted holes, taper pin holes, countersinks.
pub(super) fn cut(shaped: &mut Shaped, id: FeatureId) {
    let part = shaped.part.clone();
    let mouth = shaped.mouth(id);
    let region = match &part.feature(id).kind {
        Kind::TaperPin { depth, .. } => {
            let deep = shaped.depth_mm(*depth);
            return taper(shaped, id, mouth, deep);
        }
        Kind::Countersink { diameter, angle, over } => {
            let (radius, half) = (shaped.mm(*diameter) / 2.0, angle.as_rad() / 2.0);
            for hole in part.feature(*over).kind.pattern().unwrap_or(&[*over]) {
                sink(shaped, id, *hole, radius, half);
            }
            return;
        }
        Kind::Pocket { width, height, corner, along, .. } => shaped.centre(id).and_then(|centre| {
            let sizes = [part.size(*width), part.size(*height), part.size(*corner)];
            rounded(centre, sizes, along.as_rad())
        }),
        Kind::Square { across, along, .. } => shaped.centre(id).map(|centre| {
            let across = shaped.mm(*across);
            Region::corners(&turned_box(centre, across, across, along.as_rad()))
        }),
        Kind::Flatted { diameter, across, toward, .. } => shaped.centre(id).and_then(|centre| {
            flatted(centre, shaped.mm(*diameter) / 2.0, shaped.mm(*across), toward.as_rad())
        }),
        _ => return super::round::cut(shaped, id),
    };
    let depth = part.feature(id).kind.depth().and_then(|depth| shaped.depth_mm(depth));
    if let Some(region) = region {
        let span = shaped.span(mouth, depth);
        shaped.take(id, mouth.axis, span, Form::Prism(region));
    }
}

/// A rectangle about a place, its corners rounded, turned.
fn rounded(centre: Point, [width, height, corner]: [Length; 3], along_rad: f64) -> Option<Region> {
    let made = tangents::rectangle(width, height, corner).ok()?;
    let middle = Point::at(-width.half(), -height.half());
    let laid = made.translated(middle).rotated(along_rad).translated(centre);
    Some(Region::new(laid.segments().iter().copied()))
}

/// A circle with a flat.
fn flatted(centre: Point, radius_mm: f64, across_mm: f64, toward_rad: f64) -> Option<Region> {
    let off = across_mm - radius_mm;
    if off.abs() >= radius_mm {
        return None;
    }
    let half = (off / radius_mm).acos();
    let (first, last) = (toward_rad + half, toward_rad - half);
    let round = Segment::arc(centre, radius_mm, first, TAU - 2.0 * half);
    let flat = Segment::line(centre.polar(radius_mm, last), centre.polar(radius_mm, first));
    Some(Region::new([round, flat]))
}

/// A cone from the mouth, where it is widest.
fn taper(shaped: &mut Shaped, id: FeatureId, mouth: Mouth, deep_mm: Option<f64>) {
    let (Some(centre), Some((large, small))) = (shaped.centre(id), shaped.part.pin_ends(id)) else { return };
    let k = mouth.axis as usize;
    let through = (shaped.most[k] - shaped.least[k]).abs();
    let long = deep_mm.unwrap_or(through);
    if long <= 0.0 {
        return;
    }
    let (large, small) = (large.as_mm() / 2.0, small.as_mm() / 2.0);
    let fall = (large - small) / long;
    // Right through it runs on past both faces, as the reamer does.
    let past = if deep_mm.is_none() { BEYOND_MM } else { 0.0 };
    let radii = [large + fall * BEYOND_MM, small - fall * past];
    cone(shaped, id, mouth, [-BEYOND_MM, long + past], centre, radii);
    shaped.rounds.push(Round {
        of: id,
        axis: mouth.axis,
        centre,
        radius_mm: large,
        ends_mm: [mouth.at_mm, mouth.deep(long)],
        thread: None,
    });
}

fn sink(shaped: &mut Shaped, id: FeatureId, over: FeatureId, radius_mm: f64, half_rad: f64) {
    let Some(centre) = shaped.centre(over) else { return };
    let mouth = shaped.mouth(over);
    let slope = half_rad.tan();
    if slope <= 0.0 || radius_mm <= 0.0 {
        return;
    }
    let radii = [radius_mm + BEYOND_MM * slope, 0.0];
    cone(shaped, id, mouth, [-BEYOND_MM, radius_mm / slope], centre, radii);
    shaped.rounds.push(Round {
        of: id,
        axis: mouth.axis,
        centre,
        radius_mm,
        ends_mm: [mouth.at_mm, mouth.deep(radius_mm / slope)],
        thread: None,
    });
}

/// A cone from one depth to another, with its radius at each.
fn cone(
    shaped: &mut Shaped,
    id: FeatureId,
    mouth: Mouth,
    depths_mm: [f64; 2],
    centre: Point,
    radii_mm: [f64; 2],
) {
    let ends = mouth.span(depths_mm[0], depths_mm[1]);
    let [from_radius_mm, to_radius_mm] = if mouth.out > 0.0 { [radii_mm[1], radii_mm[0]] } else { radii_mm };
    shaped.take(id, mouth.axis, ends, Form::Cone { centre, from_radius_mm, to_radius_mm });
}
