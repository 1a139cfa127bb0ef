//! A taper from two discs and straight-edges laid against both: the gauge of an angle from two
//! rounds that anyone can turn.

use super::over_pins::read;
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::settings::show::{both_angles, geometry, mm, positive, practice};
use crate::why::Figure;

/// Two discs that hold an angle between two straight-edges.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Discs {
    /// The larger and the smaller.
    pub discs: [Length; 2],
    /// The whole angle between the straight-edges.
    pub angle: Angle,
    /// From middle to middle.
    pub centres: Length,
    /// Between them: a block or leaves of this go in.
    pub gap: Length,
    /// Over both, from outside to outside.
    pub over: Length,
}

/// How far apart two discs stand for an angle.
///
/// A straight-edge that touches both leans from the line of the centres by the angle whose sine
/// is the difference of the radii over the distance of the centres.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the first disc is not the larger, the angle
/// is not between nothing and 120°, or the discs would have to lie in each other.
pub fn discs_for([large, small]: [Length; 2], angle: Angle) -> Result<Discs, Problem> {
    check([large, small])?;
    let degrees = angle.as_degrees();
    if degrees <= 0.0 || degrees > 120.0 {
        return Err(Problem::new(format!("two discs for {}", angle.decimals(3)))
            .why("the whole angle between the straight-edges lies between nothing and 120°")
            .mend("give the whole angle of the taper, from side to side"));
    }
    let half_rad = angle.as_rad() / 2.0;
    let centres = Length::nearest((large - small).half().as_mm() / half_rad.sin());
    let gap = centres - (large + small).half();
    if gap < Length::ZERO {
        return Err(Problem::new(format!(
            "discs of {} and {} would lie in each other",
            mm(large),
            mm(small)
        ))
        .why(format!("for {} their centres have to be {} apart", both_angles(angle), mm(centres)))
        .mend("take discs that differ more"));
    }
    Ok(Discs { discs: [large, small], angle, centres, gap, over: centres + (large + small).half() })
}

/// The angle that two discs hold with this much between them; nothing where they touch.
///
/// # Errors
///
/// A [`Problem`] when a disc is not more than nought, the first is not the larger, or the gap is
/// less than nought.
pub fn held_by([large, small]: [Length; 2], gap: Length) -> Result<Discs, Problem> {
    check([large, small])?;
    if gap < Length::ZERO {
        return Err(Problem::new("less than nothing between the discs").mend("give the gap as it is"));
    }
    let centres = (large + small).half() + gap;
    let half_rad = ((large - small).half().as_mm() / centres.as_mm()).asin();
    let angle = Angle::nearest_rad(2.0 * half_rad);
    Ok(Discs { discs: [large, small], angle, centres, gap, over: centres + (large + small).half() })
}

fn check([large, small]: [Length; 2]) -> Result<(), Problem> {
    positive(large, "larger disc")?;
    positive(small, "smaller disc")?;
    if large <= small {
        return Err(Problem::new(format!("discs of {} and {} hold no angle", mm(large), mm(small)))
            .why("a straight-edge against two alike is parallel to the line of their centres")
            .mend("give the larger disc first"));
    }
    Ok(())
}

impl Discs {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let [large, small] = self.discs;
        let sine = geometry(format!(
            "the sine of half of {} is half of {} less {} over the distance of the centres",
            both_angles(self.angle),
            mm(large),
            mm(small)
        ));
        let half = Angle::nearest_rad(self.angle.as_rad() / 2.0);
        let set = practice(
            "both discs flat on a plate with a block or leaves between them, then clamped; a straight-edge against each side holds the angle, and work laid between them shows no light",
        );
        vec![
            Figure::new("whole angle", both_angles(self.angle), sine.clone()),
            Figure::new("half angle, side to line of centres", both_angles(half), sine.clone()),
            Figure::new(
                "between the discs",
                read(self.gap),
                geometry("the centres less both radii").because(sine.clone()).because(set),
            ),
            Figure::new(
                "over the discs",
                read(self.over),
                geometry("the centres and both radii").because(sine.clone()),
            ),
            Figure::new("centres apart", read(self.centres), sine),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A machinist's handbook, from memory: discs of 1.25 and 1.5 in for a taper of 3/4 in to the
    /// foot stand 4.002 in from centre to centre.
    #[test]
    fn centres_agree_with_the_handbook() {
        let angle = Angle::nearest_rad(2.0 * (0.75_f64 / 24.0).atan());
        let found = discs_for([Length::inches(3, 2), Length::inches(5, 4)], angle).unwrap();
        assert!((found.centres.as_inches() - 4.002).abs() < 5e-4, "{}", found.centres.as_inches());
    }

    /// By hand: discs of 30 and 10 that touch have centres 20 apart, and the sine is a half.
    #[test]
    fn discs_that_touch_hold_sixty_degrees() {
        let found = held_by([Length::mm(30), Length::mm(10)], Length::ZERO).unwrap();
        assert!((found.angle.as_degrees() - 60.0).abs() < 1e-6);
        assert_eq!(found.over, Length::mm(40));
    }

    #[test]
    fn discs_that_cannot_be_are_refused() {
        let [a, b] = [Length::mm(20), Length::mm(10)];
        for fault in [
            discs_for([b, a], Angle::degrees(5)),
            discs_for([a, b], Angle::degrees(0)),
            discs_for([a, b], Angle::degrees(90)),
            discs_for([a, Length::ZERO], Angle::degrees(5)),
            held_by([a, b], Length::mm(-1)),
        ] {
            assert!(fault.unwrap_err().remedy().is_some());
        }
    }

    proptest! {
        /// The gap gives the angle back.
        #[test]
        fn the_gap_holds_the_angle(small in 20i64..200, more in 5i64..100, minutes in 10i64..1_000) {
            let discs = [Length::microns(100 * (small + more)), Length::microns(100 * small)];
            let angle = Angle::ratio(i128::from(minutes), 60);
            if let Ok(found) = discs_for(discs, angle) {
                let back = held_by(discs, found.gap).unwrap();
                prop_assert!((back.angle.as_degrees() - angle.as_degrees()).abs() < 1e-4);
            }
        }
    }
}
