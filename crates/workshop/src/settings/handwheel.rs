//! Handwheel turns and divisions, for an axis without a readout.
//!
//! Every position is wound from the datum: whole turns and divisions of the
//! dial, the last of it always in one sense so that the slack of the screw lies
//! on one side.

use super::position::rounding;
use super::show::{geometry, mm, positive, practice, within_reach};
use crate::bench::{DialReads, Readout};
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;
use crate::why::Figure;

/// The screw and dial of one axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Handwheel {
    /// How far one turn moves the slide: a metric lead, or an inch one such as
    /// `Length::inches(1, 10)`.
    pub lead: Length,
    /// Divisions on the dial.
    pub divisions: u32,
    /// How far the handle turns before the slide follows, as travel.
    pub backlash: Length,
    /// What the dial shows: on many lathes the change in diameter, twice the travel.
    pub reads: DialReads,
}

/// A position wound from the datum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Winding {
    /// The handwheel that was asked for.
    pub handwheel: Handwheel,
    /// The position asked for, exactly.
    pub to: Length,
    /// Whole turns from the datum.
    pub turns: u64,
    /// Divisions beyond the whole turns.
    pub divisions: u32,
    /// Which way to wind.
    pub sense: Sense,
    /// The position as wound, and the error that the dial leaves.
    pub set: Rounded,
    /// Divisions to overrun before coming back, when winding down: twice the slack.
    pub overrun: u32,
    /// The same, for coming down to a place that was wound up to before.
    pub from_above: u32,
}

/// Which way the reading moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Towards larger readings, in the sense of the last approach.
    Up,
    /// Towards smaller readings: past the place, then back up to it.
    Down,
}

/// Works out the turns and divisions from the datum to a position.
///
/// The datum itself must have been approached winding up.
///
/// # Errors
///
/// A [`Problem`] when the lead or the divisions are nought, or the backlash is
/// less than nought.
pub fn wind(handwheel: Handwheel, to: Length) -> Result<Winding, Problem> {
    positive(handwheel.lead, "lead of the screw")?;
    within_reach(to, "position")?;
    within_reach(handwheel.backlash, "backlash")?;
    if handwheel.divisions == 0 || handwheel.backlash < Length::ZERO {
        return Err(Problem::new("the dial has no divisions, or its backlash is less than nought")
            .mend("count the marks on the dial, and measure the slack with an indicator"));
    }
    let division = handwheel.division();
    let set = to.rounded(division, Toward::Nearest);
    let steps = set.value.ratio_to(division).to_integer();
    let per_turn = i128::from(handwheel.divisions);
    // Twice the slack is sure to take it up, wherever in it the nut lies.
    let slack = (handwheel.backlash * 2 * handwheel.shown_for_travel()).rounded(division, Toward::More).value;
    let slack = slack.ratio_to(division).to_integer() as u32;
    let sense = if steps < 0 { Sense::Down } else { Sense::Up };
    Ok(Winding {
        handwheel,
        to,
        turns: (steps.abs() / per_turn) as u64,
        divisions: (steps.abs() % per_turn) as u32,
        sense,
        set,
        overrun: match sense {
            Sense::Up => 0,
            Sense::Down => slack,
        },
        from_above: slack,
    })
}

impl Handwheel {
    /// The handwheel of an axis of the bench; none where a readout does the work.
    pub fn of(readout: &Readout) -> Option<Self> {
        match *readout {
            Readout::Digital { .. } => None,
            Readout::Handwheels { pitch, divisions, backlash } => {
                Some(Self { lead: pitch, divisions, backlash, reads: DialReads::Radius })
            }
        }
    }

    /// What one division of the dial stands for: travel, or change in diameter.
    pub fn division(&self) -> Length {
        self.lead * self.shown_for_travel() / i64::from(self.divisions)
    }

    /// How much the dial shows for so much travel.
    const fn shown_for_travel(&self) -> i64 {
        match self.reads {
            DialReads::Radius => 1,
            DialReads::Diameter => 2,
        }
    }
}

impl Winding {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let division = self.handwheel.division();
        let count = geometry(format!(
            "{} is {} divisions of {division}, {} to the turn",
            mm(self.to),
            self.set.value.abs().ratio_to(division).to_integer(),
            self.handwheel.divisions
        ))
        .because(rounding(self.set, division))
        .because(practice("each position is wound from the datum, so no rounding adds to another"));
        let count = match self.handwheel.reads {
            DialReads::Radius => count,
            DialReads::Diameter => count.because(geometry(format!(
                "the dial shows the change in diameter: a turn moves the slide {} and shows {}",
                mm(self.handwheel.lead),
                mm(self.handwheel.lead * 2)
            ))),
        };
        let way = if self.sense == Sense::Up { "up" } else { "down" };
        let mut figures = vec![
            Figure::new(
                "wind",
                format!("{way} {} turns and {} divisions", self.turns, self.divisions),
                count,
            ),
            Figure::new(
                "error left by the dial",
                format!("{} mm", self.set.loss.decimals(4)),
                rounding(self.set, division),
            ),
        ];
        if self.sense == Sense::Down {
            let why = practice(format!(
                "the screw has {} of slack: go past by twice that and come back up, so it is taken up one way",
                mm(self.handwheel.backlash)
            ));
            figures.push(Figure::new("go past by", format!("{} divisions", self.overrun), why));
        } else if self.from_above > 0 {
            let why = practice(format!(
                "the screw has {} of slack, taken up winding up: from a larger reading go past by twice that and come back up",
                mm(self.handwheel.backlash)
            ));
            let label = "coming from a larger reading, go past by";
            figures.push(Figure::new(label, format!("{} divisions", self.from_above), why));
        }
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn metric() -> Handwheel {
        Handwheel {
            lead: Length::mm(2),
            divisions: 100,
            backlash: Length::mm_ratio(3, 10),
            reads: DialReads::Radius,
        }
    }

    /// Ten threads to the inch is 2.54 mm a turn, 100 thou on the dial (exact inch).
    #[test]
    fn inch_and_metric_dials_count_their_own_divisions() {
        let up = wind(metric(), Length::microns(21_430)).unwrap();
        assert_eq!((up.turns, up.divisions, up.overrun), (10, 72, 0)); // 21.44 mm
        assert_eq!(up.set.loss, Length::microns(10));
        let inch = Handwheel { lead: Length::inches(1, 10), backlash: Length::thou(8), ..metric() };
        let exact = wind(inch, Length::inches(27, 32)).unwrap();
        assert_eq!((exact.turns, exact.divisions), (8, 44)); // 0.844 in
        assert_eq!(exact.set.loss, Length::inches(1, 4000));
    }

    /// A cross-slide of 2 mm a turn and 100 divisions marked for diameter: 3 mm off the
    /// diameter is 1.5 mm of travel, three quarters of a turn.
    #[test]
    fn a_dial_for_diameters_counts_twice_the_travel() {
        let cross = Handwheel { reads: DialReads::Diameter, ..metric() };
        let found = wind(cross, Length::mm(3)).unwrap();
        assert_eq!((found.turns, found.divisions), (0, 75));
        // 0.3 of slack is 15 divisions either way; twice that is 30.
        assert_eq!(found.from_above, wind(metric(), Length::mm(3)).unwrap().from_above);
    }

    #[test]
    fn winding_down_goes_past_by_twice_the_slack() {
        let down = wind(metric(), Length::mm(-5)).unwrap();
        assert_eq!((down.turns, down.divisions, down.sense, down.overrun), (2, 50, Sense::Down, 30));
        assert_eq!(down.figures()[0].shown, "down 2 turns and 50 divisions");
    }

    #[test]
    fn a_readout_needs_no_winding() {
        let wheel = metric();
        let (pitch, divisions, backlash) = (wheel.lead, wheel.divisions, wheel.backlash);
        assert_eq!(Handwheel::of(&Readout::Handwheels { pitch, divisions, backlash }), Some(wheel));
        assert_eq!(Handwheel::of(&Readout::Digital { step: Length::microns(5) }), None);
    }

    #[test]
    fn a_dial_without_divisions_is_refused() {
        assert!(wind(Handwheel { divisions: 0, ..metric() }, Length::mm(5)).is_err());
        assert!(wind(Handwheel { lead: Length::ZERO, ..metric() }, Length::mm(5)).is_err());
    }

    proptest! {
        /// Turns and divisions lead back to the position, but for half a division.
        #[test]
        fn wound_back_it_is_where_it_was(to in -200_000i64..200_000, divisions in 1u32..250, lead in 500i64..6000) {
            let wheel = Handwheel { lead: Length::microns(lead), divisions, backlash: Length::ZERO, reads: DialReads::Radius };
            let w = wind(wheel, Length::microns(to)).unwrap();
            prop_assert!(w.divisions < divisions);
            let travel = wheel.lead * w.turns as i64 + wheel.division() * i64::from(w.divisions);
            let signed = if w.sense == Sense::Down { -travel } else { travel };
            prop_assert_eq!(signed, w.set.value);
            prop_assert!(w.set.loss.abs() * 2 <= wheel.division());
        }
    }
}
