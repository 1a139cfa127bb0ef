//! What the sizes of a turned part follow besides bar and lathe: spanners, knurling
//! wheels, square and hexagon bar.

use super::buy::Buy;
use super::choice::MadeWith;
use super::rules::{BAR_LEFT, KNURLED, SPANNER};
use super::stock::{stated_bar, stock_of, to_buy_near};
use super::way::{Job, Owner, Way};
use super::weigh::{convenient, unround};
use crate::bench::{Section, Stock};
use crate::drawing::{DimensionId, Kind, SectionSize};
use crate::measure::Length;
use crate::settings::knurl::PITCHES;
use crate::tables::across_flats;
use crate::why::Why;

/// Spanner openings beside those of ISO 272, in millimetres (common practice).
const OTHER_SPANNERS: [i64; 12] = [6, 9, 11, 12, 14, 15, 17, 19, 20, 22, 27, 32];

/// The ways of a size across flats; `limit` is how far it may go.
pub fn across_flats(job: &Job, id: DimensionId, limit: Length) -> Vec<Way> {
    let exact = job.dimension(id).written.length;
    let single = matches!(job.owner(id), Owner::Feature(feature)
        if matches!(job.feature(feature).kind, Kind::Flats { count: 1, .. }));
    let set = |value| Way::new(value, MadeWith::Setting, &super::rules::SET).unround(unround(value) + 3);
    let mut ways: Vec<Way> = convenient(exact, limit).into_iter().map(set).collect();
    // No spanner goes on a single flat.
    if single {
        return ways;
    }
    let standard = across_flats::all().iter().map(|row| (row.across, row.source.to_string(), 0));
    let others = OTHER_SPANNERS.iter().map(|&mm| (Length::mm(mm), "common practice".to_owned(), 1));
    for (across, source, steps) in standard.chain(others).filter(|(across, ..)| across.gap(exact) <= limit) {
        ways.retain(|way| way.value != across);
        let spanner = Why::new(format!("a spanner of {across}")).source(source);
        ways.push(Way::new(across, MadeWith::Setting, &SPANNER).unround(steps).note(spanner));
    }
    ways
}

/// The ways of a knurl's pitch: the two wheels nearest to it.
pub fn knurl_pitch(exact: Length) -> Vec<Way> {
    let mut pitches: Vec<Length> = PITCHES.iter().map(|&tenths| Length::microns(tenths * 100)).collect();
    pitches.sort_by_key(|pitch| pitch.gap(exact));
    let rolled = |pitch| Way::new(pitch, MadeWith::Setting, &KNURLED).unround(unround(pitch));
    pitches.into_iter().take(2).map(rolled).collect()
}

/// The ways of bar that is left as it comes: owned bars within the limit, and the two
/// nearest that are sold.
pub fn bar_left(job: &Job, id: DimensionId, limit: Length) -> Vec<Way> {
    let exact = job.dimension(id).written.length;
    let Owner::Feature(feature) = job.owner(id) else { return Vec::new() };
    let Kind::Section { size: SectionSize::AsBar { sides, .. }, .. } = job.feature(feature).kind else {
        return Vec::new();
    };
    // Square bar is a flat as thick as it is wide.
    let section = |across| match sides {
        4 => Section::Flat { thickness: across, width: Some(across) },
        _ => Section::Hexagon { across },
    };
    if let Some((_, stated)) = stated_bar(job) {
        let stock = stock_of(&job.material.name, stated);
        let (owned, buy) = (
            job.bench
                .stock
                .iter()
                .any(|have| super::black::suits(job, have) && have.section == stock.section),
            Buy::stock(&stock),
        );
        return vec![Way::new(exact, MadeWith::Stock(stock), &BAR_LEFT).buying(owned, || buy)];
    }
    let mut ways: Vec<Way> = Vec::new();
    let mut offer = |across: Length, owned: Option<&Stock>| {
        if ways.iter().any(|way| way.value == across) {
            return;
        }
        let stock = owned.cloned().unwrap_or_else(|| stock_of(&job.material.name, section(across)));
        let buy = Buy::stock(&stock);
        let way = Way::new(across, MadeWith::Stock(stock), &BAR_LEFT).unround(unround(across));
        ways.push(way.buying(owned.is_some(), || buy));
    };
    let left = |stock: &&Stock| super::black::suits(job, stock) && !super::black::is_black(job, stock);
    for stock in job.bench.stock.iter().filter(left) {
        let across = match stock.section {
            Section::Flat { thickness, width } if sides == 4 && width == Some(thickness) => thickness,
            Section::Hexagon { across } if sides == 6 => across,
            _ => continue,
        };
        if across.gap(exact) <= limit {
            offer(across, Some(stock));
        }
    }
    for across in to_buy_near(sides, exact) {
        offer(across, None);
    }
    ways
}
