//! What a choice costs: the few weights of the objective, and the limits that
//! departures are counted against.
//!
//! Everything to buy counts [`THING`] points and its price band, so that fewest things
//! come before cheapest, and both before any departure from the drawing. [`weights`]
//! says all of them.
//!
//! Departures are counted in halves of what is allowed, of a held dimension in
//! tenths. Less than that nobody notices, so there the roundest number wins;
//! among equally round ones the nearest.

use super::model::THING;
use crate::drawing::{Dimension, Role};
use crate::measure::Length;
use crate::tables::general_tolerance::{Class, general_tolerance};
use crate::why::Why;

/// What can be bought, as far as prices go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goods {
    /// A twist drill.
    Drill,
    /// A bar, flat or plate, by its thinner measure.
    Stock,
    /// A tap or a die of a first-choice metric thread.
    TapOrDie,
    /// A tap or a die of any other thread.
    UncommonTapOrDie,
    /// An end mill or slot drill.
    EndMill,
    /// A slitting saw, by its width.
    Saw,
    /// A reamer.
    Reamer,
    /// A reamer for a taper pin.
    TaperReamer,
}

/// Price bands, 1 to 9 (common practice: what a tool merchant's list asks of one against
/// the other, not money): the first three hold up to the sizes named, the last beyond.
const PRICES: [(Goods, &str, [i64; 3], [u32; 4]); 8] = [
    (Goods::Drill, "drill", [3, 6, 10], [1, 2, 3, 4]),
    (Goods::Stock, "stock", [6, 12, 25], [1, 2, 3, 5]),
    (Goods::TapOrDie, "tap or die of first choice", [6, 10, 16], [3, 4, 5, 7]),
    (Goods::UncommonTapOrDie, "other tap or die", [6, 10, 16], [4, 5, 6, 8]),
    (Goods::EndMill, "end mill", [6, 12, 20], [4, 5, 6, 8]),
    (Goods::Saw, "slitting saw, by width", [1, 2, 3], [6, 6, 7, 8]),
    (Goods::Reamer, "reamer", [6, 12, 20], [6, 7, 8, 9]),
    (Goods::TaperReamer, "taper pin reamer", [3, 6, 10], [7, 8, 9, 9]),
];

/// The points of one thing to buy.
pub fn points(goods: Goods, size: Length) -> u32 {
    let row = PRICES.iter().find(|row| row.0 == goods).expect("the list has a row for all goods");
    let band = row.2.iter().position(|&most| size <= Length::mm(most)).unwrap_or(row.2.len());
    THING as u32 + row.3[band]
}

/// One weight of the objective, for a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Weight {
    /// Of what.
    pub what: String,
    /// How much it counts.
    pub counts: String,
    /// Why so.
    pub why: &'static str,
}

/// Every weight of the objective, in the order in which they decide.
pub fn weights() -> Vec<Weight> {
    let weight = |what: &str, counts: String, why| Weight { what: what.to_owned(), counts, why };
    let mut list = vec![weight(
        "each thing to buy",
        THING.to_string(),
        "fewest things first: every one has to be found, ordered and waited for",
    )];
    for (_, what, [first, second, third], [a, b, c, d]) in PRICES {
        let counts = format!("{a} up to {first} mm, {b} to {second}, {c} to {third}, {d} above");
        list.push(weight(what, counts, "of lists alike in length the cheaper (common practice)"));
    }
    list.push(weight("a thing that would be bought anyway", "0".into(), "the bench file says so"));
    list.extend([
        weight(
            "departure of a held size",
            format!("{HOLD} for each tenth of its allowance"),
            "the mechanism depends on it",
        ),
        weight(
            "departure of a size that suits a tool, the rack or a mate",
            format!("{SUIT} for each half of its allowance"),
            "less than half is not noticed",
        ),
        weight(
            "departure of a size that may move",
            format!("{FREE} for each half of its allowance"),
            "less than half is not noticed",
        ),
        weight("facing a plate down", FACED_DOWN.to_string(), "a whole face milled: stock of the size wins"),
        weight(
            "stepping round a hollow corner",
            STEPPED_ROUND.to_string(),
            "the cutter of its own radius wins",
        ),
        weight("keeping an inch taper pin", INCH_PIN.to_string(), "an inch reamer, and inch pins ever after"),
        weight(
            "an unround number",
            format!("{ROUGH} for each step from whole millimetres down to hundredths"),
            "it decides only what everything above leaves open",
        ),
    ]);
    list
}

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

/// Added to an inch taper pin that is kept.
pub const INCH_PIN: u64 = FACED_DOWN * 4;

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
        let why = match &dimension.held_by {
            None => Why::new(format!("may depart by {within}")).source("the drawing"),
            Some(by) => Why::new(format!("may depart by {within}: {by}")).source("the mechanism file"),
        };
        return (within, why);
    }
    if dimension.role.0 == Role::Hold {
        let why = Why::assumed(format!("held within {}: the drawing gives no tolerance", held()));
        return (held(), why.source("common practice"));
    }
    match general_tolerance(general.unwrap_or(Class::SUPPOSED), size) {
        Ok(row) => {
            let why = match general {
                Some(class) => Why::new(format!(
                    "may depart by {}: the part file takes the {} class where no tolerance stands",
                    row.plus_minus,
                    class.name()
                )),
                None => Why::assumed(format!(
                    "may depart by {}: the drawing gives no tolerance, so the {} class is taken",
                    row.plus_minus,
                    row.class.name()
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

/// The finest convenient step.
const FINEST_MICRONS: i64 = 10;

/// The convenient steps, roundest first; each a whole number of the finest.
const STEPS_MICRONS: [i64; 6] = [1000, 500, 250, 100, 50, FINEST_MICRONS];

fn steps() -> [Length; 6] {
    STEPS_MICRONS.map(Length::microns)
}

/// Unroundness of a number that is no multiple of any convenient step.
pub const UNROUND: u32 = 6;

/// The roundness of a number: nought for whole millimetres.
pub fn unround(value: Length) -> u32 {
    let at = steps().iter().position(|&step| value.is_whole_in(step));
    at.map_or(UNROUND, |at| at as u32)
}

/// Steps over the whole of what is allowed, at most: a size that others push to its
/// limit finds a number there too.
const SPREAD: i64 = 16;

/// Round numbers within `limit` of a size, more than nought: two on either side
/// in every step, and all over what is allowed in every step that is not too fine. What
/// is found with a wider limit is found with every narrower one that it lies within.
pub fn convenient(exact: Length, limit: Length) -> Vec<Length> {
    // Every step is so many of the finest, in which all is counted.
    let fine = Length::microns(FINEST_MICRONS);
    let within = |length: Length| length.ratio_to(fine).floor().to_integer();
    let (at, last) = (within(exact), within(exact + limit));
    let first = -within(limit - exact);
    let mut counts: Vec<i128> = Vec::new();
    for microns in STEPS_MICRONS {
        let many = i128::from(microns / FINEST_MICRONS);
        let below = at.div_euclid(many);
        counts.extend((below - 1..=below + 2).map(|n| n * many));
        if limit * 2 <= Length::microns(microns * SPREAD) {
            counts.extend((-(-first).div_euclid(many)..=last.div_euclid(many)).map(|n| n * many));
        }
    }
    let least = if exact.is_positive() { first.max(1) } else { first };
    counts.retain(|count| (least..=last).contains(count));
    counts.sort_unstable();
    counts.dedup();
    counts.into_iter().map(|count| fine.scaled(count.into())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Nine is the dearest band, so ninety-nine things at most can cost as much as one
    /// thing more; and a larger tool of a kind is never the cheaper.
    #[test]
    fn a_thing_more_weighs_more_than_any_price() {
        for (goods, ..) in PRICES {
            let priced = |tenths: i64| points(goods, Length::microns(tenths * 100));
            for tenths in 1..400 {
                assert!((1001..=1009).contains(&priced(tenths)), "{goods:?}");
                assert!(priced(tenths) <= priced(tenths + 1), "{goods:?} {tenths}");
            }
        }
    }

    /// A size that is found when much is allowed is there too when just so much is: a
    /// tolerance told as a way out then brings it.
    #[test]
    fn what_a_wider_limit_finds_a_narrower_one_finds_too() {
        for exact in [8000, 7960, 7938, 12_000, 25_400, 317] {
            let exact = Length::microns(exact);
            for wide in [50, 200, 800, 1000, 2000, 5000] {
                for found in convenient(exact, Length::microns(wide)) {
                    let just = found.gap(exact);
                    assert!(convenient(exact, just).contains(&found), "{exact}: {found} within {wide}");
                }
            }
        }
    }

    /// A drill is cheaper than a reamer of its size, whatever the size.
    #[test]
    fn a_drill_is_cheapest_and_a_reamer_dearest_of_what_makes_a_hole() {
        for mm in 1..40 {
            let [drill, mill, reamer] =
                [Goods::Drill, Goods::EndMill, Goods::Reamer].map(|goods| points(goods, Length::mm(mm)));
            assert!(drill < mill && mill < reamer, "{mm}");
        }
    }

    /// The page that says how a metric part is chosen has every weight as it is.
    #[test]
    fn the_page_of_weights_is_true() {
        let page = include_str!("../../../../docs/metric.md");
        let rows = weights().into_iter().map(|w| format!("| {} | {} | {} |", w.what, w.counts, w.why));
        let lacking: Vec<String> = rows.filter(|row| !page.contains(row)).collect();
        assert!(lacking.is_empty(), "docs/metric.md lacks\n{}", lacking.join("\n"));
    }
}
