//! A radius told from a chord and its rise.

use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::measuring::over_pins::read;
use crate::settings::show::{geometry, mm, positive};
use crate::why::Figure;

/// An arc measured over a chord.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ArcCheck {
    /// The radius.
    pub radius: Length,
    /// From end to end of what lies across the arc.
    pub chord: Length,
    /// From the middle of the chord to the arc.
    pub rise: Length,
    /// What the radius changes by for each hundredth of a millimetre in the rise.
    pub for_a_hundredth: Length,
}

/// The rise that an arc of a radius has over a chord: `R - √(R² - c²/4)`.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or the chord is longer than the circle
/// is wide.
pub fn rise_of(radius: Length, chord: Length) -> Result<ArcCheck, Problem> {
    positive(radius, "radius")?;
    positive(chord, "chord")?;
    if chord > radius * 2 {
        return Err(Problem::new(format!("a chord of {} on a radius of {}", mm(chord), mm(radius)))
            .why("a chord is no longer than the circle is wide")
            .mend("use a shorter straddle"));
    }
    let (radius_mm, half_mm) = (radius.as_mm(), chord.half().as_mm());
    let rise = Length::nearest(radius_mm - (radius_mm.powi(2) - half_mm.powi(2)).max(0.0).sqrt());
    told(radius, chord, rise)
}

/// The radius told by a rise: `c²/8h + h/2`.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or the rise is more than half the chord,
/// where the arc is past its widest.
pub fn radius_of(chord: Length, rise: Length) -> Result<ArcCheck, Problem> {
    positive(chord, "chord")?;
    positive(rise, "rise")?;
    if rise > chord.half() {
        return Err(Problem::new(format!("a rise of {} on a chord of {}", mm(rise), mm(chord)))
            .why("past half the chord the arc is wider than what lies across it")
            .mend("measure across its widest instead"));
    }
    let radius = chord.scaled(chord.ratio_to(rise) / 8) + rise.half();
    told(radius, chord, rise)
}

fn told(radius: Length, chord: Length, rise: Length) -> Result<ArcCheck, Problem> {
    positive(rise, "rise")?;
    // dR/dh = 1/2 - c²/8h²
    let slope = (0.5 - chord.as_mm().powi(2) / (8.0 * rise.as_mm().powi(2))).abs();
    Ok(ArcCheck { radius, chord, rise, for_a_hundredth: Length::nearest(slope.min(1e6) * 0.01) })
}

impl ArcCheck {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let why = geometry(format!("radius {}, chord {}", mm(self.radius), mm(self.chord)));
        let slope = geometry("a flat arc tells its radius badly: the longer the chord, the better");
        vec![
            Figure::new("rise over the chord", read(self.rise), why.clone()),
            Figure::new("radius", read(self.radius), why),
            Figure::new("radius for 0.01 mm of rise", read(self.for_a_hundredth), slope),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The triangle of 3, 4 and 5: radius 5, chord 8, rise 2 (Euclid's own numbers).
    #[test]
    fn three_four_five() {
        assert_eq!(rise_of(Length::mm(5), Length::mm(8)).unwrap().rise, Length::mm(2));
        assert_eq!(radius_of(Length::mm(8), Length::mm(2)).unwrap().radius, Length::mm(5));
        assert!(rise_of(Length::mm(5), Length::mm(11)).is_err());
        assert!(radius_of(Length::mm(8), Length::mm(5)).is_err());
    }

    proptest! {
        /// One way and back, and the slope by moving the rise a hundredth.
        #[test]
        fn the_rise_gives_the_radius_back(tenths in 50i64..2000, share in 20i64..100) {
            let radius = Length::microns(tenths * 100);
            let chord = radius * 2 * share / 100;
            let there = rise_of(radius, chord).unwrap();
            let back = radius_of(chord, there.rise).unwrap();
            prop_assert!((back.radius.as_mm() - radius.as_mm()).abs() < 1e-3);
            let step = Length::nearest(1e-4);
            if there.rise + step <= chord.half() {
                let moved = radius_of(chord, there.rise + step).unwrap();
                let slope = (moved.radius - back.radius).as_mm().abs() / 1e-4 * 0.01;
                prop_assert!((slope - there.for_a_hundredth.as_mm()).abs() < 0.02 * slope.max(0.01));
            }
        }
    }
}
