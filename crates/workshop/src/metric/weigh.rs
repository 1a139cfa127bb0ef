//! What a choice costs: the few weights of the objective, and the limits that
//! departures are counted against.
//!
//! Departures are counted in halves of what is allowed, of a held dimension in
//! tenths. Less than that nobody notices, so there the roundest number wins;
//! among equally round ones the nearest.

use crate::drawing::{Dimension, Role};
use crate::measure::Length;
use crate::tables::general_tolerance::{Class, general_tolerance};
use crate::why::Why;

/// A tenth of the allowance of a dimension that is held.
const HOLD: u64 = 1000;
/// Half the allowance of one that follows a tool, the rack or a mate.
const SUIT: u64 = 3;
/// The same of one that may move.
const FREE: u64 = 1;
/// Parts of the allowance that are counted.
const PARTS: i64 = 2;
/// The same of a dimension that is held.
const HELD_PARTS: i64 = 10;

/// Added to a thickness that is faced down: more than any departure of stock
/// within its limit, so that stock wins where it can.
pub const FACED_DOWN: u64 = SUIT * PARTS as u64 + 1;

/// Added to a hollow that is stepped round: more than any departure of its own cutter
/// within its limit, so that the cutter wins where it can.
pub const STEPPED_ROUND: u64 = FREE * PARTS as u64 + 1;

/// One step of unroundness; below it counts the distance from the drawing in µm.
const ROUGH: u32 = 10_000;

/// Allowed either way of a held dimension whose tolerance is not given.
fn held() -> Length {
    Length::microns(20)
}

/// How far a dimension may go from the drawing either way, and on what that
/// rests; `general` is the class that the file names for all of them.
pub fn limit(dimension: &Dimension, general: Option<Class>) -> (Length, Why) {
    let size = dimension.written.length.abs();
    if let Some(within) = dimension.within {
        return (within, Why::new(format!("may depart by {within}")).source("the drawing"));
    }
    if dimension.role.0 == Role::Hold {
        let why = Why::assumed(format!("held within {}: the drawing gives no tolerance", held()));
        return (held(), why.source("common practice"));
    }
    match general_tolerance(general.unwrap_or(Class::Coarse), size) {
        Ok(row) => {
            let why = match general {
                Some(class) => Why::new(format!(
                    "may depart by {}: the part file takes the {} class where no tolerance stands",
                    row.plus_minus,
                    class.name()
                )),
                None => Why::assumed(format!(
                    "may depart by {}: the drawing gives no tolerance, so the coarse class is taken",
                    row.plus_minus
                )),
            };
            (row.plus_minus, why.source(row.source.to_string()))
        }
        Err(_) => {
            let quarter = size / 4;
            let why = Why::assumed(format!("may depart by a quarter of its size, {quarter}"));
            (quarter, why.source("common practice"))
        }
    }
}

/// What a departure costs.
pub fn departure(role: Role, limit: Length, off: Length) -> u64 {
    if !limit.is_positive() {
        return 0;
    }
    let (weight, parts) = match role {
        Role::Hold => (HOLD, HELD_PARTS),
        Role::Suit => (SUIT, PARTS),
        Role::Free => (FREE, PARTS),
    };
    let parts = (off.abs() * parts).ratio_to(limit).floor().to_integer();
    weight * u64::try_from(parts).unwrap_or(0).min(1000)
}

/// How unwelcome a number is: by roundness, then by distance from the drawing.
pub fn roughness(unround: u32, off: Length) -> u32 {
    let microns = (off.abs() * 1000).ratio().ceil().to_integer();
    unround * ROUGH + u32::try_from(microns).unwrap_or(ROUGH).min(ROUGH - 1)
}

/// The convenient steps, roundest first.
fn steps() -> [Length; 6] {
    [1000, 500, 250, 100, 50, 10].map(Length::microns)
}

/// Unroundness of a number that is no multiple of any convenient step.
pub const UNROUND: u32 = 6;

/// The roundness of a number: nought for whole millimetres.
pub fn unround(value: Length) -> u32 {
    let at = steps().iter().position(|&step| value.ratio_to(step).is_integer());
    at.map_or(UNROUND, |at| at as u32)
}

/// Round numbers within `limit` of a size, more than nought: two on either side
/// in every step.
pub fn convenient(exact: Length, limit: Length) -> Vec<Length> {
    let mut values: Vec<Length> = steps()
        .iter()
        .flat_map(|&step| {
            let below = exact.ratio_to(step).floor();
            (-1..=2).map(move |n| step.scaled(below + n))
        })
        .filter(|&value| value.gap(exact) <= limit && (value.is_positive() || !exact.is_positive()))
        .collect();
    values.sort();
    values.dedup();
    values
}
