//! Turning: cuts on the cross-slide dial, shoulders from the datum face, speed.

use super::position::rounding;
use super::show::{as_set, fewest, geometry, in_inches, mm, positive, practice, set_each};
use crate::bench::DialReads;
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;
use crate::tables::processes::limit;
use crate::why::{Figure, Why};

/// A diameter to be turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turn {
    /// As it is.
    pub from: Length,
    /// As it is to be.
    pub to: Length,
    /// The deepest roughing cut: how far the tool may go in.
    pub greatest_cut: Length,
    /// The depth of the last cut: how far the tool goes in.
    pub finish: Length,
    /// What the dial reads.
    pub dial: DialReads,
    /// The dial's division, as it is marked.
    pub division: Length,
}

/// One cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// The diameter after it.
    pub diameter: Length,
    /// The dial, from nought at a touch on the work as it was.
    pub reading: Rounded,
}

/// The cuts that turn one diameter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turning {
    /// The diameter asked for.
    pub turn: Turn,
    /// Every cut, the finishing cut last.
    pub cuts: Vec<Cut>,
}

impl Turn {
    /// The cuts that a small lathe takes, from one diameter to another: as deep as practice has them, the last one
    /// light, or half of all there is where that is less.
    pub fn usual(from: Length, to: Length, dial: DialReads, division: Length) -> Self {
        let finish = limit("turning finish").min((from - to).half());
        Self { from, to, greatest_cut: limit("turning cut"), finish, dial, division }
    }
}

/// Works out the cuts: equal roughing cuts, then the finishing cut.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, there is nothing to turn
/// off, or the finishing cut is deeper than all there is.
pub fn turning(turn: Turn) -> Result<Turning, Problem> {
    for (size, name) in [
        (turn.from, "diameter to begin with"),
        (turn.to, "finished diameter"),
        (turn.greatest_cut, "greatest cut"),
        (turn.division, "division of the dial"),
    ] {
        positive(size, name)?;
    }
    let depth = (turn.from - turn.to).half();
    if !depth.is_positive() {
        return Err(Problem::new(format!("{} is not turned from {}", mm(turn.to), mm(turn.from)))
            .why("it is as large, and turning only takes metal off")
            .mend("use larger stock, or check both diameters"));
    }
    positive(turn.finish, "finishing cut")?;
    if depth < turn.finish {
        return Err(Problem::new(format!("{} leaves too little to turn to {}", mm(turn.from), mm(turn.to)))
            .why(format!("there is {} a side and the finishing cut takes {}", mm(depth), mm(turn.finish)))
            .mend("use larger stock, or a lighter finishing cut"));
    }
    let rough = depth - turn.finish;
    let count = fewest(rough, turn.greatest_cut)?;
    let cut = |inwards: Length| {
        let marked = turn.dial.shows(inwards);
        Cut { diameter: turn.from - inwards * 2, reading: marked.rounded(turn.division, Toward::Nearest) }
    };
    let cuts = (1..=count).map(|i| cut(rough * i / count)).chain([cut(depth)]).collect();
    Ok(Turning { turn, cuts })
}

/// A shoulder, measured from the datum face.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shoulder {
    /// What stands to its left: `journal`.
    pub name: String,
    /// Its distance from the datum face as the carriage will be set.
    pub at: Rounded,
    step: Length,
}

/// Shoulder positions from the datum face, for lengths given one after another
/// from that face.
///
/// # Errors
///
/// A [`Problem`] naming the length that is not more than nought.
pub fn shoulders(lengths: &[(&str, Length)], step: Length) -> Result<Vec<Shoulder>, Problem> {
    positive(step, "step of the carriage scale")?;
    let mut from_face = Length::ZERO;
    lengths
        .iter()
        .map(|&(name, length)| {
            positive(length, &format!("length of `{name}`"))?;
            // The exact sum is rounded, never a sum of rounded lengths.
            from_face += length;
            Ok(Shoulder { name: name.to_owned(), at: from_face.rounded(step, Toward::Nearest), step })
        })
        .collect()
}

/// What a dial of the cross-slide is marked in.
pub(super) fn why_dial(dial: DialReads) -> Why {
    practice(match dial {
        DialReads::Diameter => "this dial is marked in what comes off the diameter",
        DialReads::Radius => "this dial is marked in how far the tool moves: half of what comes off",
    })
}

/// More cuts than this before the last are told together.
const MOST_TOLD: usize = 4;

impl Turning {
    /// A diameter to measure; in inches too where the dial is in inches.
    fn measured(&self, diameter: Length) -> String {
        match in_inches(self.turn.division) {
            true => format!("{} ({})", mm(diameter), as_set(diameter, Length::thou(1))),
            false => mm(diameter),
        }
    }

    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let last = self.cuts.len() - 1;
        let dial = why_dial(self.turn.dial);
        let equal = || practice(format!("equal cuts of at most {} deep", mm(self.turn.greatest_cut)));
        let reading = |cut: &Cut| as_set(cut.reading.value, self.turn.division);
        let row = |(i, cut): (usize, &Cut)| {
            let rule = if i == last {
                practice("measure before this cut, and take what the work still needs")
            } else {
                equal()
            };
            let why = rule.because(rounding(cut.reading, self.turn.division)).because(dial.clone());
            let shown = format!("dial {}, diameter {}", reading(cut), self.measured(cut.diameter));
            Figure::new(format!("cut {}", i + 1), shown, why)
        };
        let mut rows: Vec<Figure> = self.cuts.iter().enumerate().map(row).collect();
        // Many equal cuts are ticked off along one line.
        if last > MOST_TOLD {
            let alike = &self.cuts[1..last];
            let worst = alike.iter().max_by_key(|cut| cut.reading.loss.abs()).expect("there are several");
            let why = equal().because(rounding(worst.reading, self.turn.division)).because(dial.clone());
            let each = set_each(alike.iter().map(|cut| cut.reading.value), self.turn.division);
            let shown =
                format!("dial {each}, then diameter {}", self.measured(alike[alike.len() - 1].diameter));
            rows.splice(1..last, [Figure::new(format!("cuts 2 to {last}"), shown, why)]);
        }
        rows
    }
}

impl Shoulder {
    /// The row of the sheet.
    pub fn figure(&self) -> Figure {
        let exact = self.at.value - self.at.loss;
        let why = geometry(format!("{} from the datum face", mm(exact))).because(practice(
            "every shoulder is measured from the datum face, so no rounding adds to another",
        ));
        along_the_bed(format!("shoulder of {}", self.name), exact, self.step, why)
    }
}

/// Where the carriage is set along the bed, from the datum face.
pub fn along_the_bed(name: String, to: Length, step: Length, why: Why) -> Figure {
    let set = to.rounded(step, Toward::Nearest);
    Figure::new(name, as_set(set.value, step), why.because(rounding(set, step)))
}

/// How far the cross slide goes in for a groove, from a touch on the round that it is cut in.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or the groove no smaller than the round.
pub fn groove(from: Length, to: Length, dial: DialReads, division: Length) -> Result<Figure, Problem> {
    for (size, name) in
        [(from, "diameter of the round"), (to, "diameter of the groove"), (division, "division of the dial")]
    {
        positive(size, name)?;
    }
    if to >= from {
        return Err(Problem::new(format!("a groove of {} in a round of {}", mm(to), mm(from)))
            .why("it leaves nothing to cut")
            .mend("check both diameters"));
    }
    let set = dial.shows((from - to).half()).rounded(division, Toward::Nearest);
    let why = geometry(format!("half of {} less {}, from a touch on the round", mm(from), mm(to)))
        .because(why_dial(dial))
        .because(rounding(set, division));
    Ok(Figure::new("in, by the dial", as_set(set.value, division), why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn turn(dial: DialReads) -> Turn {
        Turn {
            from: Length::mm(16),
            to: Length::mm(12),
            greatest_cut: Length::mm_ratio(6, 10),
            finish: Length::mm_ratio(2, 10),
            dial,
            division: Length::mm_ratio(2, 100),
        }
    }

    #[test]
    fn a_dial_reads_diameter_or_radius() {
        let shown =
            |dial| turning(turn(dial)).unwrap().figures().into_iter().map(|f| f.shown).collect::<Vec<_>>();
        assert_eq!(
            shown(DialReads::Radius),
            [
                "dial 0.60 mm, diameter 14.8 mm",
                "dial 1.20 mm, diameter 13.6 mm",
                "dial 1.80 mm, diameter 12.4 mm",
                "dial 2.00 mm, diameter 12 mm"
            ]
        );
        assert_eq!(shown(DialReads::Diameter)[3], "dial 4.00 mm, diameter 12 mm");
    }

    #[test]
    fn stock_too_small_is_refused() {
        let fault = turning(Turn { from: Length::mm_ratio(121, 10), ..turn(DialReads::Radius) }).unwrap_err();
        assert!(fault.reason().unwrap().contains("0.05 mm a side"), "{fault}");
        let none = turning(Turn::usual(Length::mm(12), Length::mm(12), DialReads::Radius, Length::thou(1)));
        assert!(none.unwrap_err().reason().unwrap().contains("as large"));
        assert!(turning(Turn { finish: Length::ZERO, ..turn(DialReads::Radius) }).is_err());
        assert!(shoulders(&[("journal", Length::ZERO)], Length::microns(50)).is_err());
    }

    /// By hand: 12 to 9.6 is 1.2 a side, 0.0472 in.
    #[test]
    fn a_groove_goes_in_by_half_of_what_comes_off() {
        let to = Length::mm_ratio(96, 10);
        let [by_radius, by_diameter] = [DialReads::Radius, DialReads::Diameter]
            .map(|dial| groove(Length::mm(12), to, dial, Length::mm_ratio(2, 100)));
        assert_eq!(by_radius.unwrap().shown, "1.20 mm");
        assert_eq!(by_diameter.unwrap().shown, "2.40 mm");
        let inches = groove(Length::mm(12), to, DialReads::Radius, Length::thou(1));
        assert_eq!(inches.unwrap().shown, "0.047 in");
        assert!(groove(Length::mm(12), Length::mm(12), DialReads::Radius, Length::thou(1)).is_err());
    }

    proptest! {
        /// However many shoulders, none is more than half a step off.
        #[test]
        fn shoulders_do_not_gather_errors(lengths in prop::collection::vec(1i64..640, 1..12)) {
            let step = Length::microns(50);
            let named: Vec<(&str, Length)> =
                lengths.iter().map(|&n| ("step", Length::inches(n.into(), 64))).collect();
            let found = shoulders(&named, step).unwrap();
            let total: i64 = lengths.iter().sum();
            let last = found.last().unwrap();
            prop_assert!(last.at.value.gap(Length::inches(total.into(), 64)) * 2 <= step);
            prop_assert_eq!(last.figure().assumed(), false);
        }

        /// No cut is deeper than allowed and the last comes to size.
        #[test]
        fn cuts_are_within_the_limit(from in 61i64..400, greatest in 1i64..30) {
            let t = Turn {
                from: Length::mm_ratio(from.into(), 10), to: Length::mm(6),
                greatest_cut: Length::mm_ratio(greatest.into(), 10), finish: Length::microns(50),
                dial: DialReads::Radius, division: Length::microns(10),
            };
            let cuts = turning(t).unwrap().cuts;
            prop_assert_eq!(cuts.last().unwrap().diameter, t.to);
            let mut before = t.from;
            for cut in cuts {
                prop_assert!((before - cut.diameter).half() <= t.greatest_cut.max(t.finish));
                before = cut.diameter;
            }
        }
    }
}
