//! Slitting with a saw on an arbor.

use super::show::{bought_as, mm, positive, practice};
use super::speed::{self, Feed, Speed};
use crate::bench::Saw;
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// How a slit is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Slitting {
    /// The saw, its collar standing for all that is beside it.
    pub saw: Saw,
    /// The depth of the slit.
    pub depth: Length,
    /// The deepest that the saw goes.
    pub reach: Length,
    /// The spindle speed.
    pub speed: Speed,
    /// The feed.
    pub feed: Feed,
}

/// Clear of the collar, common practice.
fn collar_clearance() -> Length {
    Length::mm(1)
}

/// Slitting saws that are sold, across in millimetres (ISO 2296, from memory).
const STANDARD_SAWS_MM: [i64; 3] = [63, 80, 100];

/// The collar that a saw to buy is taken to be on (common practice).
const STANDARD_COLLAR_MM: i64 = 25;

/// How deep a saw goes before its collar meets the work.
pub fn reach(saw: &Saw) -> Length {
    (saw.diameter - saw.collar).half() - collar_clearance()
}

/// The smallest standard saw, on a 25 mm collar, that reaches a depth; `None` where no
/// standard one does.
pub fn saw_to_buy(width: Length, depth: Length) -> Option<Saw> {
    standard_saws(width).into_iter().find(|saw| reach(saw) >= depth)
}

/// The largest standard saw, on a 25 mm collar.
pub fn largest_saw(width: Length) -> Saw {
    let [.., largest] = standard_saws(width);
    largest
}

fn standard_saws(width: Length) -> [Saw; 3] {
    let collar = Length::mm(STANDARD_COLLAR_MM);
    STANDARD_SAWS_MM.map(|across| Saw { diameter: Length::mm(across), width, collar, teeth: 64 })
}

/// Works out speed, feed and reach for a slit. `aim_m_per_min` is the cutting
/// speed for the material: 15 to 20 in steel, 40 to 60 in brass.
///
/// # Errors
///
/// A [`Problem`] when a size is nought, the saw does not reach, or the machine
/// has no speeds.
pub fn slitting(
    saw: &Saw,
    depth: Length,
    aim_m_per_min: f64,
    per_tooth: Length,
    spindle_rev_per_min: &[u32],
) -> Result<Slitting, Problem> {
    positive(depth, "depth of the slit")?;
    positive(saw.width, "width of the saw")?;
    let reach = reach(saw);
    if depth > reach {
        return Err(Problem::new(format!("the saw does not reach {}", mm(depth)))
            .why(format!(
                "half of {} less its collar {} and {} clear is {}",
                mm(saw.diameter),
                mm(saw.collar),
                mm(collar_clearance()),
                mm(reach)
            ))
            .mend("use a larger saw, a smaller collar, or slit from both sides"));
    }
    let speed = speed::choose(aim_m_per_min, saw.diameter, spindle_rev_per_min)?;
    // A saw never runs true: about a third of its teeth do the cutting.
    let cutting_teeth = (saw.teeth / 3).max(1);
    let feed = speed::feed(per_tooth, cutting_teeth, speed.rev_per_min)?;
    Ok(Slitting { saw: saw.clone(), depth, reach, speed, feed })
}

impl Slitting {
    /// Everything that is worked out; `aim` is why that cutting speed.
    pub fn figures(&self, aim: Why) -> Vec<Figure> {
        let reach = practice(format!(
            "half the difference of saw {} and collar {}, less {}",
            mm(self.saw.diameter),
            mm(self.saw.collar),
            mm(collar_clearance())
        ));
        let mut figures = self.speed.figures(aim);
        figures.extend(self.feed_figures());
        figures.push(Figure::new("deepest slit for this saw", mm(self.reach), reach));
        figures.push(self.width_figure());
        figures
    }

    /// The feed.
    pub fn feed_figures(&self) -> Vec<Figure> {
        let slower = |f: Figure| Figure {
            why: practice("a saw runs out: a third of its teeth do the cutting").because(f.why),
            ..f
        };
        self.feed.figures().into_iter().map(slower).collect()
    }

    /// What to measure.
    pub fn width_figure(&self) -> Figure {
        let why = practice("the saw's thickness, a little more if it wobbles");
        Figure::new("width of the slit", bought_as(self.saw.width), why)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SAW: Saw =
        Saw { diameter: Length::mm(63), collar: Length::mm(22), width: Length::mm(1), teeth: 48 };

    /// Common practice: a 63 mm saw in steel runs at 75 to 100 rev/min.
    #[test]
    fn a_saw_in_steel_goes_slowly() {
        let found = slitting(&SAW, Length::mm(12), 18.0, Length::microns(10), &[60, 90, 150, 300]).unwrap();
        assert_eq!(found.speed.rev_per_min, 90);
        assert_eq!(found.reach, Length::mm_ratio(195, 10));
        assert_eq!(found.figures(Why::new("mild steel"))[1].shown, "14 mm/min");
    }

    /// Half of 63, 80 and 100 less 25, and 1 mm clear: 18, 26.5 and 36.5.
    #[test]
    fn a_saw_to_buy_is_the_smallest_that_reaches() {
        let bought = |tenths| saw_to_buy(Length::mm(1), Length::mm_ratio(tenths, 10)).map(|saw| saw.diameter);
        for (tenths, across) in [(180, 63), (181, 80), (265, 80), (266, 100), (365, 100)] {
            assert_eq!(bought(tenths), Some(Length::mm(across)), "{tenths}");
        }
        assert_eq!(bought(366), None);
    }

    #[test]
    fn a_slit_too_deep_is_refused() {
        let fault = slitting(&SAW, Length::mm(20), 18.0, Length::microns(10), &[90]).unwrap_err();
        assert!(fault.reason().unwrap().contains("19.5 mm"), "{fault}");
    }
}
