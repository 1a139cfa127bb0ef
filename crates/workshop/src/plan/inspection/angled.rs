//! Slanting sides of an outline, by a protractor where one is owned.

use super::{Asked, Rows};
use crate::drawing::Body;
use crate::geometry::Segment;
use crate::measure::{Angle, Length};
use crate::settings::measuring::protractor::Protractor;
use crate::settings::measuring::reading::Limits;
use crate::settings::show::{geometry, mm};
use crate::tables::general_tolerance::{Class, angular};
use crate::tables::instruments::Across;
use crate::why::Why;

/// A side this near a right angle or an axis is no slant: far below what a protractor shows.
const SQUARE_DEG: f64 = 1e-3;

/// A side shorter than this gives a blade nothing to lie along: common practice.
const LEAST_SIDE: Length = Length::mm(6);

pub(super) fn add(rows: &mut Rows) {
    let job = rows.job;
    let (Body::Outline { .. }, Some(protractor)) = (&job.part.drawing.body, rows.protractor()) else {
        return;
    };
    let Ok(named) = job.part.pieces() else { return };
    let sides: Vec<Side> = named
        .outline
        .segments()
        .iter()
        .zip(&named.names)
        .filter_map(|(segment, name)| match segment {
            Segment::Line(line) => Some(Side {
                name: name.clone(),
                deg: line.direction_rad().to_degrees(),
                long: Length::nearest(segment.length_mm()),
            }),
            Segment::Arc(_) => None,
        })
        .filter(|side| side.long >= LEAST_SIDE)
        .collect();
    // The longest side that lies along the drawing's axes; where there is none, the longest of all.
    let longest = |straight: bool| {
        let fit = sides.iter().filter(|side| !straight || !slants(side.deg));
        fit.reduce(|a, b| if b.long > a.long { b } else { a })
    };
    let Some(from) = longest(true).or_else(|| longest(false)) else { return };
    for side in &sides {
        let between = folded(side.deg - from.deg);
        if slants(between) {
            row(rows, protractor, (from, side), Angle::nearest_rad(between.to_radians()));
        }
    }
}

/// A straight side.
struct Side {
    name: String,
    deg: f64,
    long: Length,
}

/// The angle between two lines, from nought to a right angle.
fn folded(deg: f64) -> f64 {
    let deg = deg.rem_euclid(180.0);
    deg.min(180.0 - deg)
}

fn slants(deg: f64) -> bool {
    let deg = folded(deg);
    deg > SQUARE_DEG && 90.0 - deg > SQUARE_DEG
}

fn row(rows: &mut Rows, protractor: Protractor, (from, side): (&Side, &Side), angle: Angle) {
    let said = rows.job.part.drawing.general_tolerance;
    let class = said.unwrap_or(Class::SUPPOSED);
    let shorter = from.long.min(side.long);
    let Some((within, source)) = angular(class, shorter) else { return };
    let words = format!("the {} class of angles over {}", class.name(), mm(shorter));
    let why = if said.is_some() { Why::new(words) } else { Why::assumed(words) }.source(source.to_string());
    let found = protractor.reading(angle, within);
    let asked = Asked {
        what: format!("{}: angle", side.name),
        size: Length::ZERO,
        limits: Limits::about(Length::ZERO, Length::ZERO),
        why: geometry(format!(
            "the lesser angle between {} and {} as the places make it",
            side.name, from.name
        ))
        .because(why),
        across: Across::Outside,
        how: format!("the stock along {}, the blade along {}, against the light", from.name, side.name),
    };
    rows.at_angle(&asked, angle, &found);
}
