//! Where the slides of the mill go: read on a readout, or counted in turns and divisions from the datum.

use super::job::Setup;
use super::rows::hole_of;
use crate::bench::{DepthDial, Readout};
use crate::drawing::{Axis, FeatureId};
use crate::measure::{Length, Toward};
use crate::order::Machine;
use crate::settings::handwheel::{Handwheel, Sense, Winding, wind};
use crate::settings::position::rounding;
use crate::settings::show::{as_set, counted, geometry, in_inches, mm, practice, set_mm};
use crate::why::{Figure, Why};

/// A position of the slides that a row sets.
#[derive(Clone, Debug)]
pub struct Slid {
    /// The row, counted from one; nought for what is set once.
    pub row: usize,
    /// What it is called there: `X start`, `flank 1, Y`.
    pub label: String,
    /// From the datum.
    pub to: Length,
}

impl Slid {
    /// Which slide it is set with, nought for X; none of what is set with neither.
    pub fn axis(&self) -> Option<usize> {
        axis_of(&self.label)
    }

    /// Which hole of its row it is, from nought, where it has several.
    pub fn hole(&self) -> Option<usize> {
        hole_of(&self.label)
    }
}

/// Which slide a position is set with, by what it is called.
fn axis_of(label: &str) -> Option<usize> {
    if label.ends_with("offset from the table centre") {
        return Some(0);
    }
    label.split([' ', ',']).find_map(|word| match word {
        "X" => Some(0),
        "Y" => Some(1),
        _ => None,
    })
}

impl Setup<'_> {
    /// A position of the mill's slides: on the readout, or by the handwheels.
    pub fn slide(&self, row: usize, label: &str, to: Length, why: Why) -> Figure {
        let name = self.named(row, label);
        self.slid.borrow_mut().push(Slid { row, label: label.to_owned(), to });
        let why = match self.counted.as_ref().filter(|_| axis_of(label).is_some()) {
            Some(counted) => why.because(counted.why()),
            None => why,
        };
        match &self.job.bench.mill.readout {
            Readout::Digital { step } => {
                let set = to.rounded(*step, Toward::Nearest);
                Figure::new(name, set_mm(set.value, *step), why.because(rounding(set, *step)))
            }
            readout @ Readout::Handwheels { .. } => {
                let wheel = Handwheel::of(readout).expect("handwheels have a screw");
                match wind(wheel, to - self.counts_from(label)) {
                    Ok(winding) => {
                        let figures = winding.figures();
                        let words = wound(&winding);
                        let why = figures.into_iter().fold(why, |why, figure| why.because(figure.why));
                        Figure::new(name, words, why)
                    }
                    Err(fault) => Figure::new(name, mm(to), why.because(Why::new(fault.what()))),
                }
            }
        }
    }

    /// What a position so far from nought reads, on the readout or the dials.
    pub fn reads(&self, to: Length) -> String {
        let readout = &self.job.bench.mill.readout;
        match Handwheel::of(readout).map(|wheel| wind(wheel, to)) {
            Some(Ok(winding)) => wound(&winding),
            Some(Err(_)) => mm(to),
            None => set_mm(to.rounded(readout.step(), Toward::Nearest).value, readout.step()),
        }
    }

    /// Where both slides read nought, set once: on the readout, or by turning the dials on their screws.
    pub fn nought(&self) -> String {
        match self.job.bench.mill.readout {
            Readout::Digital { .. } => mm(Length::ZERO),
            Readout::Handwheels { .. } => "at nought".into(),
        }
    }

    /// How far a slide is moved, by what it is read by: on handwheels in whole divisions.
    pub fn moved(&self, by: Length, toward: Toward) -> String {
        let Some(wheel) = Handwheel::of(&self.job.bench.mill.readout) else { return mm(by) };
        let whole = by.rounded(wheel.division(), toward).value.ratio_to(wheel.division()).to_integer().max(1);
        let turn = i128::from(wheel.divisions);
        turns_and_divisions(whole / turn, whole % turn)
    }

    /// Where the handwheels read nought, from the datum: there, until the work is moved along.
    fn counts_from(&self, label: &str) -> Length {
        let counted = self.counted.as_ref().filter(|_| Handwheel::of(&self.job.bench.mill.readout).is_some());
        match (counted, axis_of(label)) {
            (Some(counted), Some(axis)) => counted.at[axis],
            _ => Length::ZERO,
        }
    }

    /// A depth from touching: by the dial for depths, on the readout, or plainly.
    pub fn lower(&self, row: usize, label: &str, to: Length, why: Why) -> Figure {
        let name = self.named(row, label);
        let mill = &self.job.bench.mill;
        match (&mill.depth_dial, &mill.readout) {
            (None, Readout::Digital { step }) => {
                let set = to.rounded(*step, Toward::Nearest);
                Figure::new(name, set_mm(set.value, *step), why.because(rounding(set, *step)))
            }
            (Some(dial), _) => {
                let step = dial.division();
                let set = to.rounded(step, Toward::Nearest);
                let words = format!("{} of the {}", turned(dial, to), dial.moves);
                Figure::new(name, words, why.because(why_depth_dial(dial)).because(rounding(set, step)))
            }
            (None, readout @ Readout::Handwheels { .. }) => Figure::new(
                name,
                if in_inches(readout.step()) { as_set(to, readout.step()) } else { mm(to) },
                why.because(Why::assumed("the bench file does not describe the dial that depths are set by")),
            ),
        }
    }

    /// Whether what feeds a drill down in this setup is marked in inches: the dial for depths, or else
    /// the slides of the same machine.
    pub fn feeds_in_inches(&self) -> bool {
        let bench = self.job.bench;
        match self.holding.machine {
            Machine::Lathe => bench.lathe.as_ref().is_some_and(|lathe| in_inches(lathe.step)),
            Machine::Mill | Machine::RotaryTable => bench.mill.depth_dial.as_ref().map_or_else(
                || {
                    matches!(bench.mill.readout, Readout::Handwheels { .. })
                        && in_inches(bench.mill.readout.step())
                },
                |dial| in_inches(dial.division()),
            ),
            _ => false,
        }
    }

    /// How deep something goes, in what the machine that feeds it is marked in.
    pub fn deep_words(&self, deep: Length) -> String {
        if self.feeds_in_inches() { as_set(deep, Length::thou(1)) } else { mm(deep) }
    }

    /// The same on the side of the exact place that leaves metal.
    pub fn slide_toward(&self, row: usize, label: &str, to: Length, toward: Toward, why: Why) -> Figure {
        let step = self.job.bench.mill.readout.step();
        let from = self.counts_from(label);
        let set = (to - from).rounded(step, toward);
        let why = match set.loss == Length::ZERO {
            true => why,
            false => {
                why.because(practice("rounded to the side that leaves metal").because(rounding(set, step)))
            }
        };
        self.slide(row, label, set.value + from, why)
    }

    /// X and Y of a feature.
    pub fn slides(&self, row: usize, suffix: &str, id: FeatureId) -> Vec<Figure> {
        let (x, y) = self.read(id);
        let name = &self.part.feature(id).name;
        let datum = self.off_datum(self.frame.place([Length::ZERO; 3]));
        let why = |axis: Axis, datum: Length| {
            Why::new(format!("{name} is read from {}", self.datum_words()))
                .because(self.why_place(id, axis))
                .because(self.why_datum(datum))
        };
        let (first, second) = self.frame_axes();
        vec![
            self.slide(row, &format!("X{suffix}"), x, why(first, datum.0)),
            self.slide(row, &format!("Y{suffix}"), y, why(second, datum.1)),
        ]
    }
}

/// Turns of a handwheel as a person counts them; down always ends by coming back up.
pub(super) fn wound(winding: &Winding) -> String {
    if winding.set.value == Length::ZERO {
        return "at nought".into();
    }
    let way = if winding.sense == Sense::Up { "up" } else { "down" };
    let whole = turns_and_divisions(winding.turns.into(), winding.divisions.into());
    let past = match winding.overrun {
        0 => String::new(),
        overrun => format!(", {} past and back", counted(overrun, "division")),
    };
    format!("{way} {whole}{past}")
}

/// Turns of the dial for depths, as a person counts them.
pub fn turned(dial: &DepthDial, depth: Length) -> String {
    let (turns, divisions) = dial.counted(depth);
    turns_and_divisions(turns, divisions)
}

/// `3 turns and 12 divisions`, without what is none.
fn turns_and_divisions(turns: i128, divisions: i128) -> String {
    match (turns, divisions) {
        (0, divisions) => counted(divisions, "division"),
        (turns, 0) => counted(turns, "turn"),
        (turns, divisions) => format!("{} and {}", counted(turns, "turn"), counted(divisions, "division")),
    }
}

/// How its dial is counted.
pub fn why_depth_dial(dial: &DepthDial) -> Why {
    let rule = match dial.moves.as_str() {
        "knee" => {
            "set the dial to nought where the cutter touches, and wind the knee up; to go back, well below and up again"
        }
        _ => {
            "set the dial to nought where the cutter touches, and go down; its weight or its spring keeps the slack on one side"
        }
    };
    geometry(format!(
        "a turn of the {}'s handwheel is {}, a division {}",
        dial.moves,
        mm(dial.pitch),
        mm(dial.division())
    ))
    .because(practice(rule))
}
