//! Spindle speed and feed.

use std::f64::consts::PI;

use super::show::{geometry, mm, number, positive, positive_number, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// How the chosen speed stands to the one worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// The highest that the machine has and that is not above it.
    NotAbove,
    /// The machine has none so low: its lowest, which is too fast.
    LowestIsTooFast,
}

/// A spindle speed chosen from those the machine has.
#[derive(Clone, Debug, PartialEq)]
pub struct Speed {
    /// The cutting speed aimed at, in metres a minute.
    pub aim_m_per_min: f64,
    /// The diameter that cuts: of the cutter, or of the work in a lathe.
    pub diameter: Length,
    /// The speed worked out, in turns a minute.
    pub exact_rev_per_min: f64,
    /// The speed to set, in turns a minute.
    pub rev_per_min: u32,
    /// Why that one.
    pub choice: Choice,
    /// The cutting speed that it gives, in metres a minute.
    pub real_m_per_min: f64,
}

/// A rate of feed.
#[derive(Clone, Debug, PartialEq)]
pub struct Feed {
    /// Chip a tooth takes.
    pub per_tooth: Length,
    /// Teeth of the cutter.
    pub teeth: u32,
    /// Turns a minute.
    pub rev_per_min: u32,
    /// Feed in millimetres a minute.
    pub mm_per_min: f64,
}

/// The speed at which a diameter cuts at a cutting speed, in turns a minute:
/// `1000 V / (π D)`.
///
/// # Errors
///
/// A [`Problem`] when either is not more than nought.
pub fn exact_rev_per_min(aim_m_per_min: f64, diameter: Length) -> Result<f64, Problem> {
    positive_number(aim_m_per_min, "cutting speed in metres a minute")?;
    positive(diameter, "diameter")?;
    Ok(1000.0 * aim_m_per_min / (PI * diameter.as_mm()))
}

/// Chooses the spindle speed for a cutting speed and a diameter.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or the machine has no
/// speed above nought.
pub fn choose(aim_m_per_min: f64, diameter: Length, spindle_rev_per_min: &[u32]) -> Result<Speed, Problem> {
    let exact = exact_rev_per_min(aim_m_per_min, diameter)?;
    let speeds = || spindle_rev_per_min.iter().copied().filter(|&speed| speed > 0);
    let below = speeds().filter(|&speed| f64::from(speed) <= exact).max();
    let (rev_per_min, choice) = match (below, speeds().min()) {
        (Some(speed), _) => (speed, Choice::NotAbove),
        (None, Some(lowest)) => (lowest, Choice::LowestIsTooFast),
        (None, None) => {
            return Err(Problem::new("the machine has no spindle speeds")
                .mend("list its speeds in the bench file, in turns a minute"));
        }
    };
    Ok(Speed {
        aim_m_per_min,
        diameter,
        exact_rev_per_min: exact,
        rev_per_min,
        choice,
        real_m_per_min: PI * diameter.as_mm() * f64::from(rev_per_min) / 1000.0,
    })
}

/// The rate of feed for a chip a tooth.
///
/// # Errors
///
/// A [`Problem`] when the chip, the teeth or the speed is nought.
pub fn feed(per_tooth: Length, teeth: u32, rev_per_min: u32) -> Result<Feed, Problem> {
    positive(per_tooth, "feed a tooth")?;
    if teeth == 0 || rev_per_min == 0 {
        return Err(Problem::new("a feed needs at least one tooth and a turning spindle")
            .mend("give the number of teeth and the spindle speed"));
    }
    let mm_per_min = per_tooth.as_mm() * f64::from(teeth) * f64::from(rev_per_min);
    Ok(Feed { per_tooth, teeth, rev_per_min, mm_per_min })
}

impl Speed {
    /// The row of the sheet; `aim` is why that cutting speed (its table row).
    pub fn figures(&self, aim: Why) -> Vec<Figure> {
        let rule = geometry(format!(
            "1000 × {} m/min / (π × {}) is {} rev/min",
            number(self.aim_m_per_min, 1),
            mm(self.diameter),
            number(self.exact_rev_per_min, 0)
        ));
        let chosen = match self.choice {
            Choice::NotAbove => practice("the highest speed of the machine that is not above it"),
            Choice::LowestIsTooFast => practice(format!(
                "the machine's lowest speed, which cuts at {} m/min: faster than it should; \
                 take light cuts, keep it cool and stop before the edge colours",
                number(self.real_m_per_min, 1)
            )),
        };
        let why = chosen.because(rule.because(aim));
        vec![Figure::new("spindle speed", format!("{} rev/min", self.rev_per_min), why)]
    }
}

impl Feed {
    /// The row of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let why = geometry(format!(
            "{} a tooth × {} teeth × {} rev/min",
            mm(self.per_tooth),
            self.teeth,
            self.rev_per_min
        ))
        .because(practice("under about 0.005 mm a tooth a cutter rubs and does not cut"));
        vec![Figure::new("feed", format!("{} mm/min", number(self.mm_per_min, 0)), why)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const MACHINE: &[u32] = &[2500, 100, 250, 500, 1100, 1700];

    /// The shop's short form is n = 318 V / D (common practice).
    #[test]
    fn the_highest_speed_not_above_is_chosen() {
        for (v, d, chosen) in [(25.0, 10, 500), (25.0, 63, 100), (90.0, 3, 2500)] {
            let speed = choose(v, Length::mm(d), MACHINE).unwrap();
            let exact = 318.0 * v / d as f64;
            assert!((speed.exact_rev_per_min / exact - 1.0).abs() < 2e-3, "{speed:?}");
            assert_eq!((speed.rev_per_min, speed.choice), (chosen, Choice::NotAbove));
        }
    }

    #[test]
    fn a_machine_that_cannot_go_slow_enough_says_so() {
        let speed = choose(15.0, Length::mm(80), MACHINE).unwrap();
        assert_eq!((speed.rev_per_min, speed.choice), (100, Choice::LowestIsTooFast));
        let figure = &speed.figures(Why::new("silver steel"))[0];
        assert!(figure.why.statement.contains("25.1 m/min"), "{}", figure.why.statement);
    }

    #[test]
    fn no_speeds_or_no_diameter_is_a_problem() {
        assert!(choose(25.0, Length::mm(10), &[]).unwrap_err().remedy().is_some());
        assert!(choose(25.0, Length::mm(10), &[0]).is_err());
        assert!(choose(25.0, Length::ZERO, MACHINE).is_err());
        assert!(choose(f64::NAN, Length::mm(10), MACHINE).is_err());
        assert!(feed(Length::microns(20), 0, 500).is_err());
    }

    #[test]
    fn feed_is_chip_times_teeth_times_turns() {
        let feed = feed(Length::microns(25), 4, 500).unwrap();
        assert_eq!(feed.figures()[0].shown, "50 mm/min");
    }

    proptest! {
        /// No other speed of the machine would have been nearer from below.
        #[test]
        fn nothing_on_the_machine_is_nearer_from_below(
            v in 5.0..120.0f64, d in 1i64..100, speeds in prop::collection::vec(1u32..5000, 1..12),
        ) {
            let speed = choose(v, Length::mm(d), &speeds).unwrap();
            prop_assert!(speeds.contains(&speed.rev_per_min));
            for other in speeds {
                let allowed = f64::from(other) <= speed.exact_rev_per_min;
                match speed.choice {
                    Choice::NotAbove => prop_assert!(!allowed || other <= speed.rev_per_min),
                    Choice::LowestIsTooFast => prop_assert!(!allowed && other >= speed.rev_per_min),
                }
            }
        }
    }
}
