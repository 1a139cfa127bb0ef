//! A taper measured over rollers and balls: outside on a flat with two rollers and blocks,
//! inside with two balls.

use super::over_pins::read;
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::settings::show::{both_angles, geometry, mm, positive, practice};
use crate::settings::taper::{Cone, taper};
use crate::why::Figure;

/// Which end of a cone stands on the flat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StandsOn {
    /// The small end.
    Small,
    /// The large end.
    Large,
}

/// What is read over two rollers on an outside taper that stands on a flat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OverRollers {
    /// The cone.
    pub cone: Cone,
    /// The blocks under the rollers for the second reading.
    pub blocks: Length,
    /// Over the rollers on the flat.
    pub low: Length,
    /// Over them on the blocks.
    pub high: Length,
    /// From the axis to the side.
    pub half_angle: Angle,
}

/// Works out both readings over a pair of rollers.
///
/// A roller between the flat and the side touches both: over two of them stands the diameter
/// at the flat and `p (1 + cot(w/2))`, with `w` the angle between the flat and the side. On
/// blocks the reading changes by twice their height times the tangent of the half angle.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the cone does not taper, or the
/// rollers on the blocks no longer touch it.
pub fn over_rollers(
    cone: Cone,
    stands_on: StandsOn,
    roller: Length,
    blocks: Length,
) -> Result<OverRollers, Problem> {
    positive(roller, "roller")?;
    positive(blocks, "height of the blocks")?;
    let half_angle = taper(cone)?.half_angle;
    let half_rad = half_angle.as_rad();
    let (foot, wedge_rad, way) = match stands_on {
        StandsOn::Small => (cone.small, std::f64::consts::FRAC_PI_2 - half_rad, 1.0),
        StandsOn::Large => (cone.large, std::f64::consts::FRAC_PI_2 + half_rad, -1.0),
    };
    // How high a roller touches the side above what it lies on.
    let touch_mm = roller.as_mm() / 2.0 * (1.0 - way * half_rad.sin());
    if blocks.as_mm() + touch_mm > cone.length.as_mm() {
        return Err(Problem::new(format!(
            "rollers of {} on blocks of {} pass the taper",
            mm(roller),
            mm(blocks)
        ))
        .why(format!("the taper is {} long", mm(cone.length)))
        .mend("use lower blocks or smaller rollers"));
    }
    let low = foot + Length::nearest(roller.as_mm() * (1.0 + 1.0 / (wedge_rad / 2.0).tan()));
    let rise = (cone.large - cone.small).scaled(blocks.ratio_to(cone.length));
    let high = if stands_on == StandsOn::Small { low + rise } else { low - rise };
    Ok(OverRollers { cone, blocks, low, high, half_angle })
}

impl OverRollers {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let touch = geometry(format!(
            "a roller touches the flat and the side, which leans {} from the axis",
            both_angles(self.half_angle)
        ))
        .because(practice("the taper stands on its own end, square to its axis; burrs stoned off"));
        let rise = geometry(format!(
            "the taper's own change of diameter over {}: the difference of the two readings tells the angle whatever the diameter",
            mm(self.blocks)
        ));
        vec![
            Figure::new("over the rollers, on the flat", read(self.low), touch.clone()),
            Figure::new(
                format!("over the rollers, on {} of blocks", mm(self.blocks)),
                read(self.high),
                touch,
            ),
            Figure::new("difference of the two", read(self.low.gap(self.high)), rise),
        ]
    }
}

/// What two balls in a taper bore tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Balls {
    /// From the axis to the side.
    pub half_angle: Angle,
    /// Across the bore at its face.
    pub mouth: Length,
}

/// The half angle and mouth of a taper bore from two balls and the heights of their tops above
/// its face; a ball that lies below it stands less than nought.
///
/// `sin a = (R - r) / (distance of their middles)`.
///
/// # Errors
///
/// A [`Problem`] when a ball is not more than nought, the larger is not the larger, or the
/// heights do not suit any taper.
pub fn balls_in_bore([large, small]: [Length; 2], tops: [Length; 2]) -> Result<Balls, Problem> {
    positive(large, "larger ball")?;
    positive(small, "smaller ball")?;
    let apart = (tops[0] - large.half()) - (tops[1] - small.half());
    let difference = (large - small).half();
    if !difference.is_positive() || apart <= difference {
        return Err(Problem::new("no taper bore holds these balls at these heights")
            .why(format!(
                "their radii differ by {} and their middles lie {} apart",
                mm(difference),
                mm(apart)
            ))
            .mend("give the larger ball first, and each top above the face: below it is less than nought"));
    }
    let half_rad = (difference.as_mm() / apart.as_mm()).asin();
    // The ball touches where its radius is square to the side; its middle lies below the face.
    let below_mm = (large.half() - tops[0]).as_mm();
    let mouth_mm = 2.0 * (large.as_mm() / 2.0 / half_rad.cos() + below_mm * half_rad.tan());
    Ok(Balls { half_angle: Angle::nearest_rad(half_rad), mouth: Length::nearest(mouth_mm) })
}

/// Where the top of a ball comes to in a taper bore, above its face.
///
/// # Errors
///
/// A [`Problem`] when the ball is too small or too large to touch the taper.
pub fn ball_top(bore: Cone, ball: Length) -> Result<Length, Problem> {
    positive(ball, "ball")?;
    let half_rad = taper(bore)?.half_angle.as_rad();
    let radius_mm = ball.as_mm() / 2.0;
    let below_mm = (bore.large.as_mm() / 2.0 - radius_mm / half_rad.cos()) / half_rad.tan();
    // Where it touches lies nearer the mouth than its middle, as the bore narrows inwards.
    let touch_mm = below_mm + radius_mm * half_rad.sin();
    if touch_mm < 0.0 || touch_mm > bore.length.as_mm() {
        return Err(Problem::new(format!("a ball of {} does not touch the taper", mm(ball)))
            .why(format!("the bore goes from {} to {}", mm(bore.large), mm(bore.small)))
            .mend("use a ball between the two"));
    }
    Ok(Length::nearest(radius_mm - below_mm))
}

impl Balls {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let sine = geometry("its sine is the difference of the radii over the distance of the middles");
        let whole = Angle::ratio(*self.half_angle.exact().numer() * 2, *self.half_angle.exact().denom());
        vec![
            Figure::new("half angle, axis to side", both_angles(self.half_angle), sine.clone()),
            Figure::new("whole angle", both_angles(whole), sine.clone()),
            Figure::new(
                "across at the face",
                read(self.mouth),
                geometry("where the side, touched by the larger ball, comes to the face").because(sine),
            ),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// An engineering examination question: balls of 40 and 32, the larger 8 above the face,
    /// the smaller's top 76 below it: sin of the half angle 4/80, 5.732° in all.
    #[test]
    fn two_balls_agree_with_the_examination() {
        let [large, small] = [40, 32].map(Length::mm);
        let found = balls_in_bore([large, small], [Length::mm(8), -Length::mm(76)]).unwrap();
        assert!((found.half_angle.as_degrees() * 2.0 - 5.732).abs() < 5e-4, "{:?}", found.half_angle);
    }

    proptest! {
        /// A circle of the roller's size at that place touches the flat and the side.
        #[test]
        fn rollers_touch_flat_and_side(
            small in 100i64..400, more in 10i64..150, long in 300i64..800, roller in 40i64..120, on_small in any::<bool>(),
        ) {
            let tenths = |n: i64| Length::microns(n * 100);
            let cone = Cone { large: tenths(small + more), small: tenths(small), length: tenths(long) };
            let stands = if on_small { StandsOn::Small } else { StandsOn::Large };
            let found = over_rollers(cone, stands, tenths(roller), Length::mm(10)).unwrap();
            let radius_mm = tenths(roller).as_mm() / 2.0;
            let rise = (cone.large - cone.small).as_mm() / 2.0 / cone.length.as_mm();
            let (foot_mm, slope) = if on_small { (cone.small.as_mm() / 2.0, rise) } else { (cone.large.as_mm() / 2.0, -rise) };
            for (over, under_mm) in [(found.low, 0.0), (found.high, 10.0)] {
                let (x_mm, y_mm) = (over.as_mm() / 2.0 - radius_mm, under_mm + radius_mm);
                let away_mm = (x_mm - foot_mm - slope * y_mm) / slope.hypot(1.0);
                prop_assert!((away_mm - radius_mm).abs() < 1e-5, "{away_mm} for {radius_mm}");
            }
        }

        /// Balls laid where they come to give the bore back.
        #[test]
        fn balls_give_the_bore_back(small in 100i64..300, more in 20i64..120, long in 300i64..600) {
            let tenths = |n: i64| Length::microns(n * 100);
            let bore = Cone { large: tenths(small + more), small: tenths(small), length: tenths(long) };
            let balls = [tenths(small + more * 3 / 4), tenths(small + more / 4)];
            let tops = [ball_top(bore, balls[0]), ball_top(bore, balls[1])];
            if let [Ok(first), Ok(second)] = tops {
                let found = balls_in_bore(balls, [first, second]).unwrap();
                prop_assert!((found.mouth.as_mm() - bore.large.as_mm()).abs() < 1e-3, "{}", found.mouth);
                let half = taper(bore).unwrap().half_angle;
                prop_assert!((found.half_angle.as_degrees() - half.as_degrees()).abs() < 1e-3);
            }
        }
    }

    #[test]
    fn rollers_that_pass_the_taper_are_refused() {
        let cone = Cone { large: Length::mm(20), small: Length::mm(18), length: Length::mm(12) };
        assert!(over_rollers(cone, StandsOn::Small, Length::mm(6), Length::mm(25)).is_err());
        assert!(balls_in_bore([Length::mm(10), Length::mm(12)], [Length::ZERO, Length::ZERO]).is_err());
        assert!(ball_top(cone, Length::mm(30)).is_err());
    }
}
