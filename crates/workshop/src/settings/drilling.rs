//! Drilling held to what the motor gives: torque, power, and the speed and feed that it stands.
//!
//! A twist drill of 118° cuts with two lips. Each takes a chip of half the feed times the sine of
//! half the point's angle, along its lip, and pushes at the middle of it; the force follows the
//! material's specific cutting force (Kienzle, `kc = kc1.1 · h^-mc`), as for milling. Good to about
//! 40 %. Of the speeds of the machine and the shares of the feed the quickest is taken whose power
//! there is.

use std::f64::consts::PI;

use super::show::{geometry, mm, number, positive, practice, within_reach};
use super::speed::{self, Speed};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::materials::{Material, Operation};
use crate::why::{Figure, Why};

/// A hole to be drilled.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// Across the drill.
    pub diameter: Length,
    /// Across the hole that it follows; nought in solid metal.
    pub follows: Length,
    /// What is drilled.
    pub material: &'a Material,
    /// The spindle's speeds, in turns a minute.
    pub speeds: &'a [u32],
    /// What the motor gives at the drill, in watts; none where nobody has said.
    pub power_w: Option<f64>,
}

/// How it is drilled.
#[derive(Clone, Debug, PartialEq)]
pub struct Drilled {
    /// The spindle speed.
    pub speed: Speed,
    /// The feed in a turn.
    pub feed: Length,
    /// The torque at that feed, in newton metres.
    pub torque_nm: f64,
    /// The power at the drill, in watts.
    pub power_w: f64,
    follows: Length,
    kc_n_per_mm2: f64,
    given_w: Option<f64>,
    /// The speed and feed if the motor gave whatever is asked, where that is another.
    unheld: Option<(u32, Length)>,
    kienzle: Why,
}

/// The feed of a turn is the diameter over this: the middle of what handbooks give high-speed
/// steel drills in steel, from memory.
const FEED_SHARE: i64 = 75;

/// No hand feeds less than this in a turn and still cuts: common practice.
const LEAST_FEED: Length = Length::from_ratio(num_rational::Ratio::new_raw(2, 100));

/// Half the angle of the point, in degrees.
const HALF_POINT_DEG: f64 = 59.0;

/// Shares of the full feed that are tried, in quarters.
const FEED_SHARES: [i64; 4] = [4, 3, 2, 1];

/// Torque in newton millimetres and specific force in N/mm² of a drill at a feed:
/// `kc · f · (D² − d²) / 8`.
fn torque(asked: Asked, feed: Length) -> (f64, f64) {
    let (wide, hole, feed_mm) = (asked.diameter.as_mm(), asked.follows.as_mm(), feed.as_mm());
    let force = &asked.material.cutting_force;
    let chip_mm = feed_mm / 2.0 * HALF_POINT_DEG.to_radians().sin();
    let kc = f64::from(force.kc11_n_per_mm2) * chip_mm.powf(-force.mc);
    (kc * feed_mm * (wide * wide - hole * hole) / 8.0, kc)
}

/// Works out how a hole is drilled.
///
/// # Errors
///
/// A [`Problem`] when the drill is none or not wider than the hole it follows, the machine has no
/// speeds, or even the lightest feed at its lowest speed asks for more power than there is.
pub fn drilling(asked: Asked) -> Result<Drilled, Problem> {
    positive(asked.diameter, "drill")?;
    within_reach(asked.follows, "hole that it follows")?;
    if asked.follows < Length::ZERO || asked.follows >= asked.diameter {
        return Err(Problem::new(format!(
            "a drill of {} does not follow a hole of {}",
            mm(asked.diameter),
            mm(asked.follows)
        ))
        .why("it cuts what is between the two")
        .mend("give a smaller hole, or nought for solid metal"));
    }
    let published = asked.material.speed(Operation::Drilling);
    let aim = f64::from(published.low_m_per_min + published.high_m_per_min) / 2.0;
    let full =
        (asked.diameter / FEED_SHARE).rounded(Length::microns(10), Toward::Nearest).value.max(LEAST_FEED);
    let quickest = |given_w: Option<f64>| -> Result<Option<Drilled>, Problem> {
        let proper = speed::choose(aim, asked.diameter, asked.speeds)?;
        let mut lower: Vec<u32> =
            asked.speeds.iter().copied().filter(|&speed| speed > 0 && speed <= proper.rev_per_min).collect();
        lower.sort_unstable_by(|a, b| b.cmp(a));
        let mut best: Option<Drilled> = None;
        for share in FEED_SHARES {
            let feed = (full * share / 4).rounded(Length::microns(10), Toward::Less).value.max(LEAST_FEED);
            let (torque_nmm, kc_n_per_mm2) = torque(asked, feed);
            for &rev_per_min in &lower {
                let power_w = torque_nmm * 2.0 * PI * f64::from(rev_per_min) / 60_000.0;
                let takes = |feed: Length, speed: u32| feed.as_mm() * f64::from(speed);
                let quicker = best.as_ref().is_none_or(|known| {
                    takes(feed, rev_per_min) > takes(known.feed, known.speed.rev_per_min)
                });
                if !quicker || given_w.is_some_and(|given_w| power_w > given_w) {
                    continue;
                }
                best = Some(Drilled {
                    speed: speed::choose(aim, asked.diameter, &[rev_per_min])?,
                    feed,
                    torque_nm: torque_nmm / 1000.0,
                    power_w,
                    follows: asked.follows,
                    kc_n_per_mm2,
                    given_w,
                    unheld: None,
                    kienzle: Why::new(format!("specific cutting force of {}", asked.material.name))
                        .source(asked.material.cutting_force.source.to_string()),
                });
            }
        }
        Ok(best)
    };
    let free = quickest(None)?;
    let unheld = free.map(|free| (free.speed.rev_per_min, free.feed));
    let found = quickest(asked.power_w)?.ok_or_else(|| {
        let power_w = asked.power_w.unwrap_or_default();
        Problem::new(format!("the motor does not turn a drill of {} in {}", mm(asked.diameter), asked.material.name))
            .why(format!(
                "even at the lowest speed and a quarter of the feed it asks for more than the {} W that reach the drill",
                number(power_w, 0)
            ))
            .mend("open the hole in steps with drills between, or bore it")
    })?;
    let unheld = unheld.filter(|&unheld| unheld != (found.speed.rev_per_min, found.feed));
    Ok(Drilled { unheld, ..found })
}

impl Drilled {
    /// Speed, feed, torque and power, in the order they are set.
    pub fn figures(&self, material: &Material) -> Vec<Figure> {
        let published = material.speed(Operation::Drilling);
        let aim = Why::new(format!(
            "drilling {}: {} to {} m/min with high-speed steel",
            material.name, published.low_m_per_min, published.high_m_per_min
        ))
        .source(published.source.to_string());
        let mut figures = self.speed.figures(aim.clone());
        if let (Some(held), Some(figure)) = (self.held(), figures.first_mut()) {
            figure.why = practice("the quickest of the machine's speeds and feeds that the motor stands")
                .because(held)
                .because(aim);
        }
        let feed = Why::new(format!(
            "a feed of the diameter over {FEED_SHARE} in a turn, {} at least; felt by hand it is a curl that comes without pushing hard",
            mm(LEAST_FEED)
        ))
        .source("the middle of handbook values, from memory");
        let feed = self.held().into_iter().fold(feed, Why::because);
        let rate = self.feed.as_mm() * f64::from(self.speed.rev_per_min);
        figures.push(Figure::new(
            "feed",
            format!("{} a turn, {} mm/min", mm(self.feed), number(rate, 0)),
            feed,
        ));
        figures.push(Figure::new("torque", format!("{} Nm", number(self.torque_nm, 2)), self.why_torque()));
        figures.push(self.power_figure());
        figures
    }

    /// What the drill asks of the motor.
    pub fn power_figure(&self) -> Figure {
        let mut why = geometry(format!(
            "{} Nm at {} turns a minute",
            number(self.torque_nm, 2),
            self.speed.rev_per_min
        ))
        .because(self.why_torque());
        let asked = number(self.power_w, 0);
        let shown = match self.given_w {
            Some(given_w) => {
                why = why.because(practice(
                    "three quarters of what the motor gives reach the drill; belts, gears and bearings take the rest",
                ));
                format!("{asked} of {} W", number(given_w, 0))
            }
            None => format!("{asked} W"),
        };
        let why = self.held().into_iter().fold(why, Why::because);
        Figure::new("power at the drill", shown, why)
    }

    /// Whether the motor makes it slower than the drill would stand.
    pub fn is_held(&self) -> bool {
        self.unheld.is_some()
    }

    fn held(&self) -> Option<Why> {
        let ((speed, feed), given_w) = (self.unheld?, self.given_w?);
        Some(practice(format!(
            "held to the {} W that reach the drill: otherwise {} a turn at {speed} turns a minute",
            number(given_w, 0),
            mm(feed)
        )))
    }

    fn why_torque(&self) -> Why {
        let ring = match self.follows.is_positive() {
            true => format!("{} wide after a hole of {}", mm(self.speed.diameter), mm(self.follows)),
            false => format!("{} wide in solid metal", mm(self.speed.diameter)),
        };
        geometry(format!(
            "two lips that each take half of {} a turn: specific force × feed × (D² − d²) / 8, {ring}",
            mm(self.feed)
        ))
        .because(
            practice(format!(
                "specific force {} N/mm² at the chip of a 118° point, the push of the chisel edge left out; take it as good to 40 %",
                number(self.kc_n_per_mm2, 0)
            ))
            .because(self.kienzle.clone()),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::materials;
    use proptest::prelude::*;

    fn asked(diameter: i64, follows: i64, power_w: Option<f64>) -> Asked<'static> {
        Asked {
            diameter: Length::mm(diameter),
            follows: Length::mm(follows),
            material: materials::find("mild steel").unwrap(),
            speeds: &[90, 180, 340, 600, 1000, 1500, 2200],
            power_w,
        }
    }

    /// The formula that makers of drills print for the power of drilling in solid metal,
    /// `P = f · vc · D · kc / 240 000` kW, in m/min, mm and N/mm² (from memory).
    #[test]
    fn the_power_is_what_the_makers_formula_gives() {
        for diameter in [4, 8, 13] {
            let found = drilling(asked(diameter, 0, None)).unwrap();
            let formula_kw =
                found.feed.as_mm() * found.speed.real_m_per_min * diameter as f64 * found.kc_n_per_mm2
                    / 240_000.0;
            assert!((found.power_w / 1000.0 / formula_kw - 1.0).abs() < 1e-9, "{diameter}: {found:?}");
        }
    }

    /// Lip by lip, in thin rings: what each ring of each lip pushes, at its own distance.
    #[test]
    fn the_torque_is_the_sum_over_the_lips() {
        for (diameter, follows) in [(10, 0), (13, 5), (20, 12)] {
            let found = drilling(asked(diameter, follows, None)).unwrap();
            let (from, to) = (follows as f64 / 2.0, diameter as f64 / 2.0);
            let (rings, half) = (10_000, 59_f64.to_radians());
            let wide = (to - from) / f64::from(rings);
            let lip: f64 = (0..rings)
                .map(|n| {
                    let at = from + wide * (f64::from(n) + 0.5);
                    let section_mm2 = (found.feed.as_mm() / 2.0 * half.sin()) * (wide / half.sin());
                    found.kc_n_per_mm2 * section_mm2 * at
                })
                .sum();
            assert!((2.0 * lip / 1000.0 / found.torque_nm - 1.0).abs() < 1e-6, "{found:?}");
        }
    }

    /// By hand in mild steel, 1350 N/mm² and 0.21: 10 mm at 0.13 a turn, chip 0.0557 mm,
    /// kc 2475, torque 4.02 Nm.
    #[test]
    fn a_drill_of_ten_agrees_with_sums_done_by_hand() {
        let found = drilling(asked(10, 0, None)).unwrap();
        assert_eq!(found.feed, Length::mm_ratio(13, 100));
        assert!((found.torque_nm - 4.02).abs() < 0.02, "{found:?}");
    }

    #[test]
    fn a_weak_motor_drills_slower_and_says_so_and_a_pilot_helps() {
        let free = drilling(asked(13, 0, None)).unwrap();
        let held = drilling(asked(13, 0, Some(free.power_w * 0.6))).unwrap();
        assert!(held.is_held() && held.power_w <= free.power_w * 0.6);
        assert!(
            held.figures(materials::find("mild steel").unwrap())
                .iter()
                .any(|figure| { figure.why.because.iter().any(|why| why.statement.starts_with("held to")) })
        );
        assert!(drilling(asked(13, 9, Some(free.power_w * 0.6))).unwrap().power_w < free.power_w * 0.6);
        let fault = drilling(asked(13, 0, Some(1.0))).unwrap_err();
        assert!(fault.remedy().unwrap().contains("steps"), "{fault}");
    }

    #[test]
    fn what_is_no_hole_is_refused() {
        assert!(drilling(asked(0, 0, None)).is_err() && drilling(asked(8, 8, None)).is_err());
        assert!(drilling(asked(8, -1, None)).is_err());
        assert!(drilling(Asked { speeds: &[], ..asked(8, 0, None) }).is_err());
    }

    proptest! {
        /// More power never drills slower, and no drill asks for more than there is.
        #[test]
        fn more_power_never_makes_it_slower(d in 1i64..25, share in 0i64..90, watts in 5.0..800.0f64) {
            let hole = |power_w| Asked { follows: Length::mm(d).scaled(num_rational::Ratio::new(i128::from(share), 100)), ..asked(d, 0, Some(power_w)) };
            if let Ok(found) = drilling(hole(watts)) {
                prop_assert!(found.power_w <= watts);
                let more = drilling(hole(watts * 1.5)).unwrap();
                let rate = |found: &Drilled| found.feed.as_mm() * f64::from(found.speed.rev_per_min);
                prop_assert!(rate(&more) >= rate(&found) - 1e-9);
            }
        }
    }
}
