//! End mills of the long series, as they are sold.

use std::sync::LazyLock;

use super::rows::rows;
use crate::measure::Length;

/// An end mill with a parallel shank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LongMill {
    /// Across.
    pub diameter: Length,
    /// Length of its cutting edges.
    pub flute: Length,
    /// How many teeth are usual.
    pub teeth: u32,
}

/// The long series of ISO 1641-1, the smallest first.
pub fn long_series() -> &'static [LongMill] {
    static ALL: LazyLock<Vec<LongMill>> = LazyLock::new(|| {
        let rows = rows!("end_mills/iso1641.csv");
        let one = |row: &super::rows::Row| LongMill {
            diameter: row.length("diameter_mm"),
            flute: row.length("flute_mm"),
            teeth: row.whole("teeth"),
        };
        rows.iter().map(one).collect()
    });
    &ALL
}

#[cfg(test)]
mod tests {
    use super::*;

    /// DIN 844 has the same flutes for its long series, and catalogues print them (`10 x 45 x 95`,
    /// `16 x 63 x 123`): from memory.
    #[test]
    fn flutes_are_those_of_catalogues() {
        let flute =
            |d| long_series().iter().find(|mill| mill.diameter == Length::mm(d)).map(|mill| mill.flute);
        for (diameter, printed) in [(10, 45), (12, 53), (16, 63), (20, 75), (25, 90)] {
            assert_eq!(flute(diameter), Some(Length::mm(printed)), "{diameter} mm");
        }
        let grows = |pair: &[LongMill]| pair[0].diameter < pair[1].diameter && pair[0].flute < pair[1].flute;
        assert!(long_series().windows(2).all(grows));
    }
}
