//! General tolerances: what a size without its own tolerance may be out by.

use std::sync::LazyLock;

use super::rows::{Row, rows};
use super::source::Source;
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// A class of ISO 2768-1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Fine, `f`.
    Fine,
    /// Medium, `m`.
    Medium,
    /// Coarse, `c`.
    Coarse,
}

/// The tolerance of one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GeneralTolerance {
    /// Its class.
    pub class: Class,
    /// The size that it belongs to.
    pub size: Length,
    /// Either way.
    pub plus_minus: Length,
    /// Where it is published.
    pub source: Source,
}

impl Class {
    /// Every class, closest first.
    pub const ALL: [Self; 3] = [Self::Fine, Self::Medium, Self::Coarse];

    /// Supposed where neither the drawing nor the part file says one: for how far a size may move
    /// when it is made metric and for how near it has to be made. Common practice for work that
    /// is filed and fitted.
    pub const SUPPOSED: Self = Self::Coarse;

    /// `fine`, `medium` or `coarse`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fine => "fine",
            Self::Medium => "medium",
            Self::Coarse => "coarse",
        }
    }
}

/// A row of the table of sizes.
struct Band {
    class: String,
    over: Length,
    incl: Length,
    plus_minus: Length,
    source: Source,
}

impl Band {
    fn of(row: &Row) -> Self {
        Self {
            class: row.text("class").to_owned(),
            over: row.length("over_mm"),
            incl: row.length("incl_mm"),
            plus_minus: row.length("plus_minus_mm"),
            source: row.source(),
        }
    }
}

impl GeneralTolerance {
    /// The rows that a look-up shows.
    pub fn describe(&self) -> Vec<Figure> {
        let why = Why::new(format!("general tolerance {} at {}", self.class.name(), self.size))
            .source(self.source.to_string());
        vec![Figure::new("general tolerance", format!("±{}", self.plus_minus), why)]
    }
}

/// The general tolerance of a linear size.
///
/// # Errors
///
/// A [`Problem`] when the table does not reach the size: below 0.5 mm the drawing
/// must say, and above 4000 mm (2000 mm for fine) there is no row.
pub fn general_tolerance(class: Class, size: Length) -> Result<GeneralTolerance, Problem> {
    // Read once: every size of a part is asked about.
    static TABLE: LazyLock<Vec<Band>> =
        LazyLock::new(|| rows!("general_tolerance/iso2768.csv").iter().map(Band::of).collect());
    let half = Length::microns(500);
    // The first row alone takes in the size that it begins at.
    let above = |over: Length| size > over || (size == over && over == half);
    TABLE
        .iter()
        .find(|band| band.class == class.name() && above(band.over) && size <= band.incl)
        .map(|band| GeneralTolerance {
            class,
            size,
            plus_minus: band.plus_minus,
            source: band.source.clone(),
        })
        .ok_or_else(|| {
            Problem::new(format!("no general tolerance {} for {size}", class.name()))
                .why("ISO 2768-1 runs from 0.5 mm to 4000 mm (fine to 2000 mm)")
                .mend("give the size its own tolerance")
        })
}

/// How far two sides may be out of square over the shorter of them, and where that is published;
/// nothing above 3000 mm. The letters H, K and L go with fine, medium and coarse sizes.
pub fn squareness(class: Class, shorter: Length) -> Option<(&'static str, Length, Source)> {
    static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| rows!("general_tolerance/squareness.csv"));
    let letter = match class {
        Class::Fine => "H",
        Class::Medium => "K",
        Class::Coarse => "L",
    };
    let row = TABLE.iter().find(|row| {
        row.text("class") == letter && row.length("over_mm") < shorter && shorter <= row.length("incl_mm")
    })?;
    Some((letter, row.length("within_mm"), row.source()))
}

/// How far an angle may be out over the shorter of its sides, and where that is published; nothing
/// for a side of nought.
pub fn angular(class: Class, shorter: Length) -> Option<(Angle, Source)> {
    static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| rows!("general_tolerance/angles.csv"));
    let row = TABLE.iter().find(|row| {
        row.text("class") == class.name()
            && row.length("over_mm") < shorter
            && shorter <= row.length("incl_mm")
    })?;
    let minutes = row.number("plus_minus_minutes");
    Some((Angle::ratio(*minutes.numer(), *minutes.denom() * 60), row.source()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 2768-1:1989 Table 3, as two pages print it: minutes either way up to 10, 50, 120, 400 mm and over.
    #[test]
    fn angles_agree_with_the_printed_table() {
        const PRINTED: &[(i64, [i128; 3])] = &[
            (10, [60, 60, 90]),
            (50, [30, 30, 60]),
            (120, [20, 20, 30]),
            (400, [10, 10, 15]),
            (1000, [5, 5, 10]),
        ];
        for &(upto, minutes) in PRINTED {
            for (class, minutes) in Class::ALL.into_iter().zip(minutes) {
                let (found, _) = angular(class, Length::mm(upto)).unwrap();
                assert_eq!(found, Angle::ratio(minutes, 60), "{class:?} {upto}");
            }
        }
        assert!(angular(Class::Fine, Length::ZERO).is_none());
    }

    /// ISO 2768-1:1989 Table 1 as engineers' pocket tables print it, typed here:
    /// upper end of the row, then fine, medium, coarse in hundredths of a mm.
    #[test]
    fn rows_agree_with_the_printed_table() {
        const PRINTED: &[(i64, [i64; 3])] = &[
            (3, [5, 10, 20]),
            (6, [5, 10, 30]),
            (30, [10, 20, 50]),
            (120, [15, 30, 80]),
            (400, [20, 50, 120]),
            (1000, [30, 80, 200]),
            (2000, [50, 120, 300]),
        ];
        let mut over = Length::microns(500);
        for &(upto, hundredths) in PRINTED {
            for (class, hundredths) in Class::ALL.into_iter().zip(hundredths) {
                for size in [over + Length::microns(1), Length::mm(upto)] {
                    let found = general_tolerance(class, size).unwrap();
                    assert_eq!(found.plus_minus, Length::microns(hundredths * 10), "{class:?} {size}");
                }
            }
            over = Length::mm(upto);
        }
    }

    #[test]
    fn outside_the_table_there_is_no_answer() {
        let at = |microns| general_tolerance(Class::Fine, Length::microns(microns));
        assert!(at(500).is_ok());
        for microns in [-3000, 0, 499, 2_000_001] {
            assert!(at(microns).unwrap_err().remedy().is_some(), "{microns}");
        }
        assert!(general_tolerance(Class::Coarse, Length::mm(4000)).is_ok());
    }
}
