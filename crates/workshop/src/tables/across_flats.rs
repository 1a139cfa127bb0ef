//! Widths across flats: what spanners are made to fit.

use std::sync::LazyLock;

use super::rows::rows;
use super::source::Source;
use crate::measure::Length;

/// A width across flats that a standard names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AcrossFlats {
    /// The screw or nut that has it.
    pub size: String,
    /// From flat to flat.
    pub across: Length,
    /// Where it is published.
    pub source: Source,
}

/// Every width across flats of a standard screw, narrowest first.
pub fn all() -> &'static [AcrossFlats] {
    static ALL: LazyLock<Vec<AcrossFlats>> = LazyLock::new(|| {
        let rows = rows!("across_flats/iso272.csv");
        let read = |row: &super::rows::Row| AcrossFlats {
            size: row.text("size").to_owned(),
            across: row.length("across_mm"),
            source: row.source(),
        };
        rows.iter().map(read).collect()
    });
    &ALL
}

/// The width across the flats of a standard screw's head or nut, by the screw: `M6`.
pub fn of(size: &str) -> Option<&'static AcrossFlats> {
    all().iter().find(|row| row.size == size)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The nuts of ISO 4032 as their makers print them: M3 5.5, M8 13, M10 16, M12 18.
    #[test]
    fn widths_agree_with_nuts_as_sold() {
        for (size, tenths) in [("M3", 55), ("M4", 70), ("M5", 80), ("M6", 100), ("M8", 130), ("M12", 180)] {
            let row = all().iter().find(|row| row.size == size).unwrap();
            assert_eq!(row.across, Length::microns(tenths * 100), "{size}");
        }
        assert!(all().windows(2).all(|pair| pair[0].across < pair[1].across));
    }
}
