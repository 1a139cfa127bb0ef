//! Screw threads: their sizes, their tapping drills and percent of thread.
//!
//! Begin with [`find`]. The rows stand in `tables/threads/`, one file for each
//! standard; [`Basis`] says what 100 % of thread means.

mod load;
mod percent;
mod read;
mod strength;
#[cfg(test)]
mod tests;
mod variants;

use std::sync::LazyLock;

use num_rational::Ratio;

pub use percent::{Basis, Percent};
pub use read::find;
pub use strength::Stripping;
pub use variants::MOST_STARTS;

use super::source::Source;
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// One screw thread.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Thread {
    /// As the trade writes it: `M3`, `M8x1`, `7 BA`, `1/4 BSW`, `3/16 x 40 ME`,
    /// `5-40 UNC`.
    pub designation: String,
    /// The series that it belongs to.
    pub series: Series,
    /// From one crest to the next.
    pub pitch: Length,
    /// Basic major diameter: over the crests of the screw.
    pub major: Length,
    /// Basic pitch diameter.
    pub pitch_diameter: Length,
    /// Basic minor diameter of the internal thread: at full depth, the hole.
    pub minor: Length,
    /// Where those sizes are published.
    pub source: Source,
    /// Tapping drills as published; empty where none was found.
    pub tapping_drills: Vec<TappingDrill>,
    /// The number it is called by: 3 of M3, 7 of 7 BA, 1/4 of 1/4 BSF.
    size: Ratio<i128>,
    /// The second number: pitch in mm, or threads to the inch.
    count: Ratio<i128>,
    /// What the first number means.
    size_is: SizeIs,
    /// Which way it winds.
    pub hand: Hand,
    /// How many threads run side by side: one of every thread of which nothing is said.
    pub starts: u32,
}

/// Which way a thread winds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Goes away from whoever turns it clockwise: every thread of which nothing is said.
    Right,
    /// Comes nearer when it is turned clockwise.
    Left,
}

/// What the number in a thread's name means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum SizeIs {
    Millimetres,
    Inches,
    Number,
}

/// A tapping drill that a table prints for a thread.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TappingDrill {
    /// The drill by name.
    pub name: String,
    /// Its diameter.
    pub diameter: Length,
    /// The table that prints it.
    pub source: Source,
}

/// A series of threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Series {
    /// ISO metric, coarse pitch.
    MetricCoarse,
    /// ISO metric, fine pitches.
    MetricFine,
    /// British Association.
    Ba,
    /// British Standard Whitworth.
    Bsw,
    /// British Standard Fine.
    Bsf,
    /// Model Engineer, 32 and 40 threads to the inch.
    ModelEngineer,
    /// British Standard Brass, 26 threads to the inch.
    Brass,
    /// British Standard Pipe, parallel: G of ISO 228.
    Pipe,
    /// Unified coarse.
    Unc,
    /// Unified fine.
    Unf,
}

/// The profile of a thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// ISO metric, 60°.
    Metric60,
    /// Unified, 60°: the same profile as metric.
    Unified60,
    /// Whitworth, 55°, crests and roots rounded.
    Whitworth55,
    /// British Association, 47½°, crests and roots rounded.
    Ba47,
}

impl Series {
    /// Every series.
    pub const ALL: [Self; 10] = [
        Self::MetricCoarse,
        Self::MetricFine,
        Self::Ba,
        Self::Bsw,
        Self::Bsf,
        Self::ModelEngineer,
        Self::Brass,
        Self::Pipe,
        Self::Unc,
        Self::Unf,
    ];

    /// The name of the series in full.
    pub const fn name(self) -> &'static str {
        match self {
            Self::MetricCoarse => "ISO metric coarse",
            Self::MetricFine => "ISO metric fine",
            Self::Ba => "British Association",
            Self::Bsw => "British Standard Whitworth",
            Self::Bsf => "British Standard Fine",
            Self::ModelEngineer => "Model Engineer",
            Self::Brass => "British Standard Brass",
            Self::Pipe => "British Standard Pipe, parallel",
            Self::Unc => "Unified coarse",
            Self::Unf => "Unified fine",
        }
    }

    /// The profile that the series is cut to.
    pub const fn form(self) -> Form {
        match self {
            Self::MetricCoarse | Self::MetricFine => Form::Metric60,
            Self::Unc | Self::Unf => Form::Unified60,
            Self::Ba => Form::Ba47,
            Self::Bsw | Self::Bsf | Self::ModelEngineer | Self::Brass | Self::Pipe => Form::Whitworth55,
        }
    }
}

impl Thread {
    /// The profile that it is cut to.
    pub const fn form(&self) -> Form {
        self.series.form()
    }

    /// The thread of the same size and starts that winds that way.
    pub fn of_hand(&'static self, hand: Hand) -> &'static Self {
        self.wound_as(hand, self.starts)
    }

    /// The thread of the same size that winds that way, so many side by side.
    pub(super) fn wound_as(&'static self, hand: Hand, starts: u32) -> &'static Self {
        if (self.hand, self.starts) == (hand, starts) {
            return self;
        }
        let listed = all().iter().position(|thread| thread.designation == self.listed_as());
        listed.map_or(self, |at| &variants::wound(hand, starts)[at])
    }

    /// What a left-handed one, or one of several starts, is called without the words for that: the name
    /// under which tables list its size.
    pub fn listed_as(&self) -> &str {
        variants::listed(&self.designation)
    }

    /// How far a nut goes in one turn: the pitch, once for each start.
    pub fn lead(&self) -> Length {
        self.pitch * i64::from(self.starts)
    }

    /// That another thread may take the place of this one as far as its hand goes.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when one is left-handed and the other is not, or their starts differ.
    pub fn winds_as(&self, other: &Self) -> Result<(), Problem> {
        if self.starts != other.starts {
            let starts = |thread: &Self| match thread.starts {
                1 => format!("{} has one start", thread.designation),
                many => format!("{} has {many}", thread.designation),
            };
            return Err(Problem::new(format!("{}, {}", starts(self), starts(other)))
                .why("what has another number of starts does not screw in, and moves as far again in a turn")
                .mend("write the starts behind both names, as `2 starts`, or behind neither"));
        }
        if self.hand == other.hand {
            return Ok(());
        }
        let hand = |thread: &Self| match thread.hand {
            Hand::Right => "right-handed",
            Hand::Left => "left-handed",
        };
        Err(Problem::new(format!(
            "{} is {}, {} is {}",
            self.designation,
            hand(self),
            other.designation,
            hand(other)
        ))
        .why("what winds the other way does not screw in, and comes loose where the drawing has it tighten")
        .mend("write `LH` behind both names, or behind neither"))
    }

    /// Whether the tap or die of one cuts the other: size, pitch, profile, hand and starts, whatever series they
    /// are called by.
    pub fn is_cut_as(&self, other: &Self) -> bool {
        let profile = |thread: &Self| thread.form().half_angle_rad().to_bits();
        let cut = |thread: &Self| (thread.major, thread.pitch, thread.hand, thread.starts, profile(thread));
        cut(self) == cut(other)
    }

    /// The pitch as its trade gives it: `0.5 mm`, or `40 t.p.i.`.
    pub fn pitch_shown(&self) -> String {
        match self.form() {
            Form::Metric60 | Form::Ba47 => self.pitch.to_string(),
            Form::Unified60 | Form::Whitworth55 => {
                format!("{} t.p.i. ({} mm)", self.count, self.pitch.shown(3))
            }
        }
    }

    /// The rows that a look-up shows.
    pub fn describe(&self) -> Vec<Figure> {
        let published = |what: &str| {
            Why::new(format!("{what} of {}, {}", self.designation, self.series.name()))
                .source(self.source.to_string())
        };
        let mut figures = vec![
            Figure::new("pitch", self.pitch_shown(), published("pitch")),
            Figure::new("major diameter", self.major.to_string(), published("basic major diameter")),
            Figure::new("pitch diameter", self.pitch_diameter.to_string(), published("basic pitch diameter")),
            Figure::new(
                "minor diameter",
                self.minor.to_string(),
                published("basic minor diameter, internal"),
            ),
        ];
        if self.hand == Hand::Left {
            let why = Why::new("a left-hand thread goes on anticlockwise").source("ISO 965-1, from memory");
            figures.push(Figure::new("hand", "left: turned anticlockwise to go on", why));
        }
        if self.starts > 1 {
            let why = Why::new(format!("{} threads of {} side by side", self.starts, self.pitch_shown()))
                .source("ISO 965-1, from memory");
            figures.push(Figure::new("lead", format!("{}, with {} starts", self.lead(), self.starts), why));
        }
        for drill in &self.tapping_drills {
            let percents: Vec<String> = self
                .form()
                .bases()
                .iter()
                .filter_map(|&basis| self.percent(drill.diameter, basis).ok())
                .map(|percent| percent.to_string())
                .collect();
            let why = Why::new(format!("tapping drill for {} as printed", self.designation))
                .source(drill.source.to_string());
            let shown = format!("{}: {}", drill.name, percents.join("; "));
            figures.push(Figure::new("tapping drill", shown, why));
        }
        figures
    }
}

/// Every right-hand thread, series by series, each in the order of its table.
pub fn all() -> &'static [Thread] {
    static ALL: LazyLock<Vec<Thread>> = LazyLock::new(load::every_thread);
    &ALL
}

/// The threads of one series, in the order of its table.
pub fn of(series: Series) -> impl Iterator<Item = &'static Thread> {
    all().iter().filter(move |thread| thread.series == series)
}
