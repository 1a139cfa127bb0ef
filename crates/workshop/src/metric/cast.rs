//! What a casting gives: sizes between faces that stay as cast are what they are.

use std::collections::BTreeSet;

use super::choice::MadeWith;
use super::rules::{CAST, FACED_CASTING};
use super::way::{Job, Way};
use super::weigh::{convenient, unround};
use crate::drawing::{Around, Axis, Body, DimensionId, Face, FeatureId, Form, GivenStock, Kind, SectionSize};
use crate::measure::Length;

/// The ways of a size that the casting gives, or that is faced from it; none for a part
/// that is no casting, and for sizes it has no say in.
pub fn ways(job: &Job, id: DimensionId, limit: Length) -> Option<Vec<Way>> {
    let stock = job.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting)?;
    let exact = job.dimension(id).written.length;
    if stays(job, stock).contains(&id) {
        return Some(vec![Way::new(exact, MadeWith::Exact, &CAST)]);
    }
    if job.plate_thickness() != Some(id) {
        return None;
    }
    let faced = |value| Way::new(value, MadeWith::Setting, &FACED_CASTING).unround(unround(value));
    let mut ways: Vec<Way> = convenient(exact, limit).into_iter().map(faced).collect();
    if ways.is_empty() {
        ways.push(faced(exact));
    }
    Some(ways)
}

/// The sizes between faces that are not cut.
fn stays(job: &Job, stock: &GivenStock) -> BTreeSet<DimensionId> {
    let mut stays = BTreeSet::new();
    let uncut = |a: Face, b: Face| !stock.cuts(a) && !stock.cuts(b);
    if uncut(Face::Front, Face::Back) {
        stays.extend(job.plate_thickness());
    }
    let round = !stock.cuts_round();
    match &job.drawing.body {
        Body::Rectangle { width, height, .. } => {
            stays.extend(uncut(Face::Left, Face::Right).then_some(*width));
            stays.extend(uncut(Face::Top, Face::Bottom).then_some(*height));
        }
        Body::Disc { diameter, .. } => stays.extend(round.then_some(*diameter)),
        Body::Bosses { around, .. } if round => around.iter().for_each(|&id| stop(job, id, &mut stays)),
        Body::Outline { around, .. } if round => {
            for item in around {
                match *item {
                    Around::At(id) => stop(job, id, &mut stays),
                    Around::Arc { radius, .. } => {
                        stays.insert(radius);
                    }
                }
            }
        }
        Body::Turned { sections, .. } if !stock.turns() => {
            for &section in sections {
                if let Kind::Section { size: SectionSize::Plain(diameter), .. } = job.feature(section).kind {
                    stays.insert(diameter);
                }
            }
        }
        Body::Bosses { .. } | Body::Outline { .. } | Body::Turned { .. } => {}
    }
    stays
}

/// The size and place of a boss or corner of the outline.
fn stop(job: &Job, id: FeatureId, stays: &mut BTreeSet<DimensionId>) {
    if let Kind::Boss { .. } | Kind::Corner { .. } = job.feature(id).kind {
        stays.extend(job.feature(id).kind.sizes());
    }
    for axis in [Axis::X, Axis::Y] {
        let place = job.solved.place(id, axis);
        stays.extend(place.into_iter().flat_map(|sum| sum.terms.keys().copied()));
    }
}
