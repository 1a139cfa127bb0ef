//! A shouldered screw: a shoulder that fits a hole, a thread beyond it, a head on this side.
//!
//! With its shoulder shorter than what lies under the head it pulls work down and places it, as
//! on a bolt-on plate; with it longer, the work turns on it, as on a pivot of a jig.

mod sheet;

use super::locating::SLIDES_IN;
use super::rack::{Piece, largest_tap, round_bar};
use crate::bench::Bench;
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::settings::show::mm;
use crate::sheet::{AidSheet, Own};
use crate::tables::across_flats;
use crate::tables::fits::{self, Fit, Limits};
use crate::tables::threads::Thread;
use crate::why::{Why, capital};

/// What the screw does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Task {
    /// It holds the work down; its shoulder ends this far down in the plate below it.
    Holds {
        /// Depth of the plate's own hole for the shoulder.
        seat: Length,
    },
    /// The work turns on it, with this much end play.
    Pivots {
        /// End play under the head.
        play: Length,
    },
}

/// A screw to be worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Screw {
    /// What the sheet is called.
    pub name: String,
    /// The hole of the work, by name, and its diameter.
    pub hole: (String, Length),
    /// The hole's limits.
    pub limits: Limits,
    /// How far the shoulder is turned below the fit, so that it goes in where two centres differ.
    pub under: Length,
    /// How much lies under the head.
    pub thick: Length,
    /// What it does.
    pub task: Task,
    /// What it is screwed into, in words: `the plate`.
    pub into: String,
    /// Its thread, where that is settled; else the largest owned that leaves a ledge.
    pub thread: Option<&'static Thread>,
    /// The widest head that the cutter's path leaves, where something cuts there.
    pub widest: Option<Length>,
    /// How many at once.
    pub count: u32,
    /// Where its hole's size comes from.
    pub why: Why,
    /// Where it is said, for faults.
    pub said: String,
}

/// The end play of a pivot: common practice.
pub fn play() -> Length {
    Length::mm_ratio(1, 10)
}

/// The class of a shoulder that work turns on, running with oil.
const TURNS_IN: &str = "f7";

/// A ledge of a twelfth of the shoulder on each side of the thread: what the pairs of shoulder and
/// thread of ISO 7379 keep (6 and M5, 8 and M6, 10 and M8, 12 and M10, 16 and M12, 20 and M16).
pub fn leaves_ledge(shoulder: Length, thread: &Thread) -> bool {
    thread.major * 6 <= shoulder * 5
}

/// The largest thread owned that leaves a ledge under a shoulder.
pub fn thread_below(bench: &Bench, shoulder: Length) -> Option<&'static Thread> {
    largest_tap(bench, |thread| bench.has_die(thread) && leaves_ledge(shoulder, thread))
}

/// A screw with its sizes.
struct Made<'s> {
    screw: &'s Screw,
    thread: &'static Thread,
    /// The shoulder in its hole.
    fit: Fit,
    /// Its limits less what it is turned under.
    shoulder: (Length, Length),
    long: Length,
    threaded: Length,
    head: Length,
    high: Length,
    across: Option<Length>,
    bar: Piece,
}

impl Screw {
    /// Its sheet.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when no thread is owned that leaves a ledge, no head clears the cutter, or the
    /// hole is outside the table of fits.
    pub fn sheet(&self, bench: &Bench) -> Result<AidSheet, Problem> {
        let made = self.made(bench)?;
        Ok(AidSheet {
            name: self.name.clone(),
            purpose: match self.task {
                Task::Holds { .. } => {
                    format!("Places the work by {} on {} and pulls it down.", self.hole.0, self.into)
                }
                Task::Pivots { .. } => {
                    format!("{} turns on it, screwed to {}.", capital(&self.hole.0), self.into)
                }
            },
            material: made.material(),
            sizes: made.figures(bench),
            steps: made.steps(),
            scene: made.scene(),
            cautions: made.cautions(bench),
            serves: made.serves(),
            own: Own {
                count: self.count,
                kept_as: made.kept_as(),
                file: Some(made.file()),
                ..Own::default()
            },
        })
    }

    fn made(&self, bench: &Bench) -> Result<Made<'_>, Problem> {
        let size = self.hole.1;
        let thread = match self.thread {
            Some(thread) if leaves_ledge(size, thread) => thread,
            Some(thread) => {
                return Err(Problem::new(format!(
                    "{} of {} has no shoulder above {}",
                    self.name,
                    mm(size),
                    thread.designation
                ))
                .why(format!(
                    "a ledge of a twelfth of the shoulder on each side stops it: {} at most",
                    mm(size * 5 / 6)
                ))
                .mend("tap the hole it is screwed into smaller, or make the hole it fits larger")
                .at(self.said.clone()));
            }
            None => thread_below(bench, size).ok_or_else(|| {
                Problem::new(format!("no thread owned goes under a shoulder of {}", mm(size)))
                    .why(format!("it may be {} at most, to leave the shoulder a ledge", mm(size * 5 / 6)))
                    .mend("add a smaller tap with its die to `taps` of the bench file")
                    .at(self.said.clone())
            })?,
        };
        let class = match self.task {
            Task::Holds { .. } => SLIDES_IN,
            Task::Pivots { .. } => TURNS_IN,
        };
        let fit = Fit { hole: self.limits.clone(), shaft: fits::limits(class, size)? };
        // Half a millimetre of slack, a tenth of thin work: the head must bear on the work.
        let slack = Length::mm_ratio(1, 2).min(self.thick / 10);
        let long = match self.task {
            Task::Holds { seat } => self.thick + seat - slack,
            Task::Pivots { play } => self.thick + play,
        };
        // A quarter more than the hole all round bears on the work.
        let least = size + Length::mm(2);
        let wanted =
            (size * 3 / 2).max(size + Length::mm(3)).rounded(Length::mm_ratio(1, 2), Toward::More).value;
        let head = self.widest.map_or(wanted, |widest| wanted.min(widest));
        if head < least {
            return Err(Problem::new(format!("no head fits beside the cutter at {}", self.hole.0))
                .why(format!("{} is left there, and it must be {} at least", mm(head), mm(least)))
                .mend("hold that end down with a strap")
                .at(self.said.clone()));
        }
        let high = (size * 3 / 5).max(Length::mm(3)).rounded(Length::mm_ratio(1, 2), Toward::More).value;
        let across = across_flats::all()
            .iter()
            .map(|row| row.across)
            .filter(|across| *across < head && *across * 10 >= head * 7)
            .max();
        Ok(Made {
            shoulder: (fit.shaft.least() - self.under, fit.shaft.greatest() - self.under),
            fit,
            long,
            threaded: (thread.major * 3 / 2).rounded(Length::mm_ratio(1, 2), Toward::More).value,
            head,
            high,
            across,
            bar: round_bar(bench, head),
            thread,
            screw: self,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::read_bench;
    use crate::tables::threads;

    fn bench(taps: &str) -> Bench {
        let text = format!(
            "taps = [{taps}]\ndrills = [\"1 mm to 13 mm by 0.1 mm\"]\n[lathe]\n[[stock]]\nmaterial = \"mild steel\"\nround = [\"8 mm\", \"10 mm\", \"16 mm\"]\n"
        );
        read_bench("bench.toml", &text).unwrap()
    }

    fn screw(size: Length, task: Task) -> Screw {
        Screw {
            name: "Shouldered screw".into(),
            hole: ("the arm’s bore".into(), size),
            limits: fits::limits("H7", size).unwrap(),
            under: Length::ZERO,
            thick: Length::mm(6),
            task,
            into: "the plate".into(),
            thread: None,
            widest: None,
            count: 1,
            why: Why::new("the drawing"),
            said: "assembly.toml, line 4".into(),
        }
    }

    /// ISO 7379 as makers' pages print it: shoulder and thread.
    #[test]
    fn threads_are_those_of_the_standard_shoulder_screws() {
        let all = bench(
            "\"M2\", \"M2.5\", \"M3\", \"M4\", \"M5\", \"M6\", \"M8\", \"M10\", \"M12\", \"M14\", \"M16\", \"M20\", \"M24\"",
        );
        for (shoulder, thread) in
            [(6, "M5"), (8, "M6"), (10, "M8"), (12, "M10"), (16, "M12"), (20, "M16"), (24, "M20")]
        {
            assert_eq!(thread_below(&all, Length::mm(shoulder)).unwrap().designation, thread, "{shoulder}");
        }
    }

    /// By hand: 6 mm of work and 4 mm of seat less 0.5; g6 of 6 is -4 and -12 µm (ISO 286-2); two
    /// centres that differ by 0.02 take that off too. A pivot is f7, -10 and -22 µm, and 0.1 longer
    /// than the work is thick.
    #[test]
    fn a_screw_that_holds_is_short_and_one_that_pivots_long() {
        let bench = bench("\"M3\", \"M4\"");
        let shown = |screw: &Screw| -> Vec<String> {
            screw.sheet(&bench).unwrap().sizes.iter().map(|figure| figure.shown.clone()).collect()
        };
        let holds = screw(Length::mm(6), Task::Holds { seat: Length::mm(4) });
        assert_eq!(shown(&holds)[1..4], ["5.988 to 5.996 mm", "9.5 mm", "M4, 6 mm long"]);
        let under = Screw { under: Length::mm_ratio(2, 100), ..holds.clone() };
        assert_eq!(shown(&under)[1], "5.968 to 5.976 mm");
        let pivot = screw(Length::mm(6), Task::Pivots { play: play() });
        assert_eq!(shown(&pivot)[1..4], ["5.978 to 5.990 mm", "6.1 mm", "M4, 6 mm long"]);
        assert!(pivot.sheet(&bench).unwrap().material.starts_with("10 mm mild steel round bar"), "head of 9");
    }

    #[test]
    fn no_ledge_and_no_room_are_told() {
        let bench = bench("\"M4\"");
        let fault = screw(Length::mm(4), Task::Pivots { play: play() }).sheet(&bench).unwrap_err();
        assert!(fault.what().contains("no thread owned goes under a shoulder of 4 mm"), "{fault}");
        let given = Screw {
            thread: Some(threads::find("M5").unwrap()),
            ..screw(Length::mm_ratio(55, 10), Task::Pivots { play: play() })
        };
        assert!(given.sheet(&bench).unwrap_err().to_string().contains("assembly.toml, line 4"));
        let tight = Screw {
            widest: Some(Length::mm(7)),
            ..screw(Length::mm(6), Task::Holds { seat: Length::mm(4) })
        };
        assert!(tight.sheet(&bench).unwrap_err().what().contains("no head fits beside the cutter"));
    }
}
