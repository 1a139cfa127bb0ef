//! Short statements set close, in as many columns as make them least tall.

use crate::font::{Face, wrap};
use crate::grid::{Band, LABEL_PT};
use crate::ink::{Bounds, Fill, Line, Point, Text};

/// What stands before each statement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lead {
    Dot,
    /// A box to tick.
    Box,
}

/// Clear paper between two columns.
const BETWEEN_MM: f64 = 4.0;

/// Sets statements down columns, each whole in one of them.
pub(super) fn in_columns(things: &[String], lead: Lead, width_mm: f64) -> Band {
    const MOST_COLUMNS: usize = 3;
    let ways =
        (1..=MOST_COLUMNS.min(things.len().max(1))).map(|columns| set(things, lead, width_mm, columns));
    ways.reduce(|a, b| if b.height_mm < a.height_mm - 0.01 { b } else { a }).unwrap_or_default()
}

fn set(things: &[String], lead: Lead, width_mm: f64, columns: usize) -> Band {
    let column_mm = (width_mm + BETWEEN_MM) / columns as f64 - BETWEEN_MM;
    let items: Vec<Band> = things.iter().map(|words| item(words, lead, column_mm)).collect();
    let height_mm = least_height_mm(&items, columns);
    let mut all = Band { height_mm, ..Band::default() };
    let (mut left_mm, mut down_mm) = (0.0, 0.0);
    for item in items {
        if down_mm + item.height_mm > height_mm + ROUNDING_MM {
            left_mm += column_mm + BETWEEN_MM;
            down_mm = 0.0;
        }
        all.ink.lay(item.ink, left_mm, down_mm);
        down_mm += item.height_mm;
    }
    all
}

/// Sums of heights in another order may differ in the last place.
const ROUNDING_MM: f64 = 1e-6;

/// The least height at which items in order take no more than so many columns.
fn least_height_mm(items: &[Band], columns: usize) -> f64 {
    let taken = |height_mm: f64| {
        let mut taken = 1;
        let mut down_mm = 0.0;
        for item in items {
            if down_mm + item.height_mm > height_mm + ROUNDING_MM {
                taken += 1;
                down_mm = 0.0;
            }
            down_mm += item.height_mm;
        }
        taken
    };
    // A column is as tall as some run of items.
    let runs = (0..items.len()).flat_map(|from| {
        items[from..].iter().scan(0.0, |sum_mm, item| {
            *sum_mm += item.height_mm;
            Some(*sum_mm)
        })
    });
    let tallest_mm = items.iter().map(|item| item.height_mm).fold(0.0, f64::max);
    let enough = runs.filter(|run_mm| *run_mm >= tallest_mm && taken(*run_mm) <= columns);
    enough.fold(f64::INFINITY, f64::min).min(items.iter().map(|item| item.height_mm).sum())
}

fn item(words: &str, lead: Lead, width_mm: f64) -> Band {
    const BOX_MM: f64 = 3.0;
    // Closer than usual, but clear of the line above.
    const CLOSER: f64 = 0.92;
    let leading_mm = CLOSER * Text::leading_mm(LABEL_PT);
    let mut band = Band::default();
    let (indent_mm, after_mm) = match lead {
        Lead::Dot => {
            band.ink.circle(Point::mm(1.2, leading_mm * 0.55), 0.55, None, Fill::Ink);
            (3.5, 0.0)
        }
        Lead::Box => {
            let frame = Bounds::new(0.5, leading_mm - BOX_MM - 0.5, BOX_MM, BOX_MM);
            band.ink.rectangle(frame, Some(Line::Dimension), Fill::None);
            (5.5, 0.6)
        }
    };
    for line in wrap(words, Face::Regular, LABEL_PT, width_mm - indent_mm) {
        band.height_mm += leading_mm;
        let base_mm = band.height_mm - Face::Regular.descent_mm(LABEL_PT);
        band.ink.text(Text::new(&line, LABEL_PT, Point::mm(indent_mm, base_mm)));
    }
    band.height_mm += after_mm;
    band
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// Against every way of cutting the list into two: none is less tall.
        #[test]
        fn two_columns_are_as_level_as_they_can_be(heights in prop::collection::vec(1.0..20.0f64, 2..12)) {
            let items: Vec<Band> =
                heights.iter().map(|height_mm| Band { height_mm: *height_mm, ..Band::default() }).collect();
            let level = (0..heights.len())
                .map(|cut| f64::max(heights[..cut].iter().sum(), heights[cut..].iter().sum()))
                .fold(f64::INFINITY, f64::min);
            prop_assert!((least_height_mm(&items, 2) - level).abs() < 1e-9);
        }

        /// Columns stay inside the width and lose no statement.
        #[test]
        fn columns_stay_in_their_width(
            things in prop::collection::vec("[a-z]{1,9}( [a-z]{1,9}){0,30}", 1..14),
            width in 60.0..172.0f64,
        ) {
            let band = in_columns(&things, Lead::Box, width);
            let bounds = band.ink.bounds().unwrap();
            prop_assert!(bounds.left_mm >= 0.0 && bounds.right_mm <= width + 1e-6);
            prop_assert!(bounds.top_mm >= 0.0 && bounds.bottom_mm <= band.height_mm + 1e-6);
        }
    }
}
