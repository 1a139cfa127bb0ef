//! Limits after the instrument's own doubt: what a reading may be and still prove the size.

use crate::bench::Instrument;
use crate::measure::{Length, Toward};
use crate::settings::show::{as_set, mm, set_span};
use crate::tables::instruments::Across;
use crate::why::Why;

/// Between what a size has to lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// No less.
    pub least: Length,
    /// No more.
    pub greatest: Length,
}

impl Limits {
    /// Limits as far either way from a size.
    pub fn about(size: Length, either_way: Length) -> Self {
        Self { least: size - either_way, greatest: size + either_way }
    }

    /// The same moved along, as a reading over a pin is from the size it stands for.
    #[must_use]
    pub fn moved(self, by: Length) -> Self {
        Self { least: self.least + by, greatest: self.greatest + by }
    }

    /// From the least to the greatest.
    pub fn width(self) -> Length {
        self.greatest - self.least
    }
}

/// How an instrument reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reads {
    /// The smallest step it shows.
    pub step: Length,
    /// How far a reading may be from the truth, either way.
    pub doubt: Length,
}

/// How an instrument reads a length, and why it is out so far: its own limits of error, and what reading its step
/// adds. Nothing where it does not measure so.
pub fn with(instrument: &Instrument, across: Across, length: Length) -> Option<(Reads, Why)> {
    if !instrument.takes(across, length) {
        return None;
    }
    let error = instrument.kind.error(across, length, instrument.step)?;
    let adds = instrument.adds();
    let reads = Reads { step: instrument.step, doubt: error.either_way + adds.either_way };
    let why = Why::new(format!("{}: out by {} at most", instrument.words(), mm(error.either_way)))
        .source(error.source.to_string())
        .because(
            Why::new(format!("reading it in steps of {} adds {}", mm(instrument.step), adds.told))
                .source(adds.source.to_string()),
        );
    Some((reads, why))
}

/// What a reading has to lie between, rounded inwards to what the instrument shows, so that
/// the size is proved whatever the instrument's doubt; nothing where the doubt leaves no room.
///
/// ISO 14253-1: what is measured within the limits less the uncertainty at either end
/// conforms (the rule from memory).
pub fn proved(limits: Limits, reads: Reads) -> Option<Limits> {
    let least = (limits.least + reads.doubt).rounded(reads.step, Toward::More).value;
    let greatest = (limits.greatest - reads.doubt).rounded(reads.step, Toward::Less).value;
    (least <= greatest).then_some(Limits { least, greatest })
}

/// The reading to find, in words, and why: `11.98 to 12.02 mm`, or that the instrument
/// cannot tell.
pub fn shown(limits: Limits, reads: Reads) -> (String, Why) {
    let why = Why::new(format!(
        "the limits {} to {} less {} at either end, which the reading itself may be out",
        mm(limits.least),
        mm(limits.greatest),
        mm(reads.doubt)
    ))
    .source("ISO 14253-1, from memory");
    match proved(limits, reads) {
        Some(found) if found.least == found.greatest => (as_set(found.least, reads.step), why),
        Some(found) => (set_span([found.least, found.greatest], reads.step), why),
        None => ("cannot be told with this".into(), why),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_reading_keeps_away_from_the_limits_by_the_doubt() {
        let limits = Limits { least: Length::mm(12), greatest: Length::microns(12_018) };
        let micrometer = Reads { step: Length::microns(10), doubt: Length::microns(4) };
        assert_eq!(shown(limits, micrometer).0, "12.01 mm");
        let caliper = Reads { step: Length::microns(20), doubt: Length::microns(20) };
        assert_eq!(shown(limits, caliper).0, "cannot be told with this");
        let wide = Limits::about(Length::mm(30), Length::microns(200));
        assert_eq!(shown(wide, caliper).0, "29.82 to 30.18 mm");
    }

    proptest! {
        /// Whatever the truth, a reading that is accepted never lets a bad size pass.
        #[test]
        fn nothing_outside_passes(
            least in 1_000i64..9_000, width in 0i64..300, step in 1i64..60, doubt in 0i64..80,
            truth in 0i64..10_000, error in -100i64..100,
        ) {
            let limits = Limits { least: Length::microns(least), greatest: Length::microns(least + width) };
            let reads = Reads { step: Length::microns(step), doubt: Length::microns(doubt) };
            let error = error.clamp(-doubt, doubt);
            let reading = Length::microns(truth + error);
            if let Some(found) = proved(limits, reads) && (found.least..=found.greatest).contains(&reading) {
                prop_assert!((least..=least + width).contains(&truth), "{truth}");
            }
        }
    }
}
