//! What a taper pin may become: the metric pins near it, or itself.

use super::choice::MadeWith;
use super::rules::{PIN_KEPT, PIN_METRIC};
use super::way::{Job, Way};
use crate::measure::Length;
use crate::tables::taper_pins::{self, Taper};

/// The ways of the pin that a diameter names.
pub fn ways(_job: &Job, exact: Length) -> Vec<Way> {
    let kept = Way::new(exact, MadeWith::Setting, &PIN_KEPT);
    let Some(drawn) = taper_pins::of_nominal(exact) else { return vec![kept] };
    let mut ways = vec![kept];
    if drawn.taper == Taper::OneIn48 {
        let metric = taper_pins::all().iter().filter(|pin| pin.taper == Taper::OneIn50);
        let nearest = metric.min_by_key(|pin| pin.nominal.gap(exact));
        ways.extend(nearest.map(|pin| Way::new(pin.nominal, MadeWith::Setting, &PIN_METRIC)));
    }
    ways
}
