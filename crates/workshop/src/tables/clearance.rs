//! Clearance holes for screws.
//!
//! Metric sizes have three classes in ISO 273. British threads have one
//! customary drill each, and some of those are from memory: the source says so.
//! A thread that neither list has is a [`Problem`], not a guess.

use std::sync::LazyLock;

use super::rows::rows;
use super::source::Source;
use super::threads::{self, Form, Thread};
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// How free the screw is in its hole (ISO 273).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Close: the hole helps to place the part.
    Fine,
    /// The usual hole.
    Medium,
    /// Free: for holes marked out by hand.
    Coarse,
}

/// A clearance hole for a thread.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClearanceHole {
    /// The thread that passes through it.
    pub thread: String,
    /// The size of the hole.
    pub diameter: Length,
    /// Its class; none where the series has one customary size.
    pub class: Option<Class>,
    /// Where it is published.
    pub source: Source,
}

impl Class {
    /// Every class, closest first.
    pub const ALL: [Self; 3] = [Self::Fine, Self::Medium, Self::Coarse];

    /// `fine`, `medium` or `coarse`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fine => "fine",
            Self::Medium => "medium",
            Self::Coarse => "coarse",
        }
    }
}

impl ClearanceHole {
    /// The rows that a look-up shows.
    pub fn describe(&self) -> Vec<Figure> {
        let class = self.class.map_or("one customary size", Class::name);
        let why =
            Why::new(format!("clearance hole for {}, {class}", self.thread)).source(self.source.to_string());
        vec![Figure::new(format!("clearance hole, {class}"), self.diameter.to_string(), why)]
    }
}

/// The clearance hole of a thread. Where the series has one customary size, that
/// is the answer whatever class is asked, and its `class` is none.
///
/// # Errors
///
/// A [`Problem`] when the lists have no hole for the thread.
pub fn hole(thread: &Thread, class: Class) -> Result<&'static ClearanceHole, Problem> {
    holes(thread).find(|hole| hole.class.is_none_or(|c| c == class)).ok_or_else(|| {
        Problem::new(format!("no clearance hole is published for {}", thread.designation))
            .why(format!("it has a major diameter of {}, and neither list has that screw", thread.major))
            .mend("give the size of the hole")
    })
}

/// Every clearance hole listed for a thread, closest first.
pub fn holes(thread: &Thread) -> impl Iterator<Item = &'static ClearanceHole> {
    // ISO 273 goes by the size alone: M8x1 passes through the hole of M8.
    let metric = (thread.form() == Form::Metric60).then_some(thread.major);
    all()
        .iter()
        .filter(move |listed| match metric {
            Some(major) => listed.major == major && listed.hole.class.is_some(),
            None => listed.hole.thread == thread.designation,
        })
        .map(|listed| &listed.hole)
}

/// A hole and the major diameter that passes through it.
struct Listed {
    major: Length,
    hole: ClearanceHole,
}

/// Both lists.
fn all() -> &'static [Listed] {
    static ALL: LazyLock<Vec<Listed>> = LazyLock::new(|| {
        let iso = rows!("clearance/iso273.csv");
        let customary = rows!("clearance/customary.csv");
        let classed = iso.iter().map(|row| {
            let class = Class::ALL.into_iter().find(|c| c.name() == row.text("class"));
            (row, Some(class.unwrap_or_else(|| row.bad("class", "is no class of ISO 273"))))
        });
        classed
            .chain(customary.iter().map(|row| (row, None)))
            .map(|(row, class)| {
                let size = row.text("size");
                let thread = threads::find(size).unwrap_or_else(|p| row.bad("size", p.what()));
                let hole = ClearanceHole {
                    thread: thread.designation.clone(),
                    diameter: row.length("hole_mm"),
                    class,
                    source: row.source(),
                };
                Listed { major: thread.major, hole }
            })
            .collect()
    });
    &ALL
}
