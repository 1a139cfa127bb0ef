//! What a taper pin may become: the metric pin nearest at its large end, or itself.

use super::buy::Buy;
use super::choice::MadeWith;
use super::rules::{PIN_KEPT, PIN_METRIC, Rule, STRENGTH_KEPT};
use super::way::{Job, Owner, Way};
use super::weigh::INCH_PIN;
use crate::drawing::{DimensionId, Role};
use crate::measure::Length;
use crate::tables::taper_pins::{self, Taper, TaperPin};
use crate::why::Why;

/// The ways of the pin that a diameter names.
pub fn ways(job: &Job, id: DimensionId) -> Vec<Way> {
    let dimension = job.dimension(id);
    let exact = dimension.written.length;
    let Some(drawn) = taper_pins::of_nominal(exact) else { return Vec::new() };
    let mut kept = way(job, drawn, &PIN_KEPT);
    if drawn.taper == Taper::OneIn50 || dimension.role.0 == Role::Hold {
        return vec![kept];
    }
    let Owner::Feature(feature) = job.owner(id) else { return vec![kept] };
    let Some((large, small)) = job.part.pin_ends(feature) else { return vec![kept] };
    let long = (large - small) * drawn.taper.run();
    // Both are compared where they go in, not by the end that names them.
    let mouth = |pin: &TaperPin| pin.nominal + long / pin.taper.run();
    // In shear a pin is as strong as its area where the hub ends.
    let strong = |pin: &TaperPin| (mouth(pin).as_mm() / large.as_mm()).powi(2) >= STRENGTH_KEPT;
    let metric = taper_pins::all().iter().filter(|pin| pin.taper == Taper::OneIn50 && strong(pin));
    let mut ways = Vec::new();
    if let Some(pin) = metric.min_by_key(|pin| mouth(pin).gap(large)) {
        let compared = format!(
            "where the pin goes in it is {} thick, and the {} pin of the drawing {}",
            mouth(pin).shown(3),
            drawn.name,
            large.shown(3)
        );
        ways.push(way(job, pin, &PIN_METRIC).note(Why::new(compared)));
    }
    // An inch pin wants an inch reamer, and inch pins for ever after.
    kept.extra = INCH_PIN;
    ways.push(kept);
    ways
}

fn way(job: &Job, pin: &'static TaperPin, rule: &'static Rule) -> Way {
    let owned = job.bench.taper_reamers.contains(&pin);
    Way::new(pin.nominal, MadeWith::TaperReamer(pin), rule).buying(owned, || Buy::taper_reamer(pin))
}

/// How far the ways of a pin go from the drawing: what stands in its place is another
/// pin, and no tolerance binds it.
pub fn furthest(ways: &[Way], exact: Length) -> Length {
    ways.iter().map(|way| way.value.gap(exact)).max().unwrap_or_default()
}
