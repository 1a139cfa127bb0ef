//! What a protractor should read: an angle between its limits, less what the protractor may be out.

use crate::measure::{Angle, Toward};
use crate::settings::show::{practice, to_division};
use crate::why::Why;

/// A protractor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Protractor {
    /// The smallest angle that it shows.
    pub step: Angle,
    /// Whether a vernier shows that; else it is read by eye between marks.
    pub vernier: bool,
}

/// What it is to read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// No less.
    pub least: Angle,
    /// No more.
    pub greatest: Angle,
    /// Whether a reading between the two proves the angle; otherwise there is none.
    pub told: bool,
    /// Why.
    pub why: Why,
}

impl Protractor {
    /// How far a reading may be from the truth, either way: a vernier by the step that it shows, a
    /// plain one by half of a division. Common practice.
    pub fn doubt(&self) -> Angle {
        if self.vernier { self.step } else { half(self.step) }
    }

    /// What it must read where an angle may be so far out either way.
    pub fn reading(&self, angle: Angle, within: Angle) -> Reading {
        // What it is out by is also what it is read to: a step, or by eye half of a division.
        let doubt = self.doubt();
        let least = to_division(angle - within + doubt, doubt, Toward::More);
        let greatest = to_division(angle + within - doubt, doubt, Toward::Less);
        let why = Why::new(format!(
            "{} within {}, less {} at either end, which the protractor itself may be out",
            angle.degrees_minutes(),
            within.degrees_minutes(),
            doubt.degrees_minutes()
        ))
        .source("ISO 14253-1, from memory")
        .because(practice(if self.vernier {
            "a vernier protractor is good to the step that it shows"
        } else {
            "a plain protractor is read by eye to half of a division"
        }));
        Reading { least, greatest, told: least <= greatest, why }
    }
}

impl Reading {
    /// Between what it must read: `14° 55′ to 15° 05′`.
    pub fn words(&self) -> String {
        match (self.told, self.least == self.greatest) {
            (false, _) => "cannot be told with this".into(),
            (true, true) => self.least.degrees_minutes(),
            (true, false) => {
                format!("{} to {}", self.least.degrees_minutes(), self.greatest.degrees_minutes())
            }
        }
    }
}

fn half(angle: Angle) -> Angle {
    let exact = angle.exact() / 2;
    Angle::ratio(*exact.numer(), *exact.denom())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const VERNIER: fn() -> Protractor = || Protractor { step: Angle::ratio(5, 60), vernier: true };
    const PLAIN: fn() -> Protractor = || Protractor { step: Angle::degrees(1), vernier: false };

    /// By hand: 30° within half a degree is 29° 30′ to 30° 30′; a vernier of 5′ takes five minutes
    /// off either end, a plain one all there is but the angle itself.
    #[test]
    fn readings_agree_with_sums_done_by_hand() {
        let half_a_degree = Angle::ratio(1, 2);
        let read = |protractor: Protractor, within| protractor.reading(Angle::degrees(30), within).words();
        assert_eq!(read(VERNIER(), half_a_degree), "29° 35′ to 30° 25′");
        assert_eq!(read(PLAIN(), half_a_degree), "30° 00′");
        assert_eq!(read(PLAIN(), Angle::degrees(1)), "29° 30′ to 30° 30′");
        assert!(!PLAIN().reading(Angle::degrees(30), Angle::ratio(1, 3)).told);
    }

    proptest! {
        /// Whatever is read between the two, the angle itself is within its limits.
        #[test]
        fn a_reading_between_proves_the_angle(angle in 1i128..5400, within in 1i128..180, vernier: bool) {
            let protractor = if vernier { VERNIER() } else { PLAIN() };
            let (angle, within) = (Angle::ratio(angle, 60), Angle::ratio(within, 60));
            let found = protractor.reading(angle, within);
            if found.told {
                prop_assert!(found.least - protractor.doubt() >= angle - within);
                prop_assert!(found.greatest + protractor.doubt() <= angle + within);
            }
        }
    }
}
