//! How errors and the room for them are printed: an error rounded up, room rounded down, and
//! neither finer than anybody measures. What is compared is exact.

use crate::measure::{Length, Toward};

/// Finer than this nobody in a shed measures: a micrometre.
fn finest() -> Length {
    Length::microns(1)
}

/// An error as it is told: two significant figures, rounded up, to the micrometre at the finest.
pub(super) fn error(exact: Length) -> Length {
    let mut step = finest();
    while exact > step * 99 {
        step = step * 10;
    }
    exact.rounded(step, Toward::More).value
}

/// Room for an error as it is told: rounded down to the micrometre.
pub(super) fn room(exact: Length) -> Length {
    exact.rounded(finest(), Toward::Less).value
}

/// How much an error is over its room, by the figures that are told of both.
pub(super) fn over(exact: Length, left: Length) -> Length {
    error(exact) - room(left)
}

/// The root of the sum of squares, rounded up to the micrometre: how far out something will
/// hardly ever be.
pub(super) fn likely(errors: impl Iterator<Item = Length>) -> Length {
    let squares: f64 = errors.map(|error| error.as_mm().powi(2)).sum();
    Length::nearest(squares.sqrt()).rounded(finest(), Toward::More).value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn errors_are_told_with_two_figures_and_never_too_little() {
        let nm = |n: i128| Length::mm_ratio(n, 1_000_000);
        for (exact, told) in [
            (75_850, 76_000),
            (76_000, 76_000),
            (99_000, 99_000),
            (99_001, 100_000),
            (123_400, 130_000),
            (160_000, 160_000),
            (1_234_000, 1_300_000),
            (7_500, 8_000),
            (10, 1_000),
        ] {
            assert_eq!(error(nm(exact)), nm(told));
        }
        assert_eq!(error(Length::ZERO), Length::ZERO);
        assert_eq!((room(nm(12_500)), room(nm(119_000))), (nm(12_000), nm(119_000)));
        assert_eq!(over(nm(80_000), nm(12_500)), nm(68_000));
    }
}
