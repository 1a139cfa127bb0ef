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
            None => listed.hole.thread == thread.listed_as(),
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::source::Standing;
    use crate::tables::threads::{Series, of};

    /// ISO 273 as screw makers print it, typed from memory of their pages:
    /// fine, medium, coarse in tenths of a mm.
    #[test]
    fn metric_rows_agree_with_the_printed_table() {
        const PRINTED: &[(&str, [i64; 3])] = &[
            ("M1", [11, 12, 13]),
            ("M1.2", [13, 14, 15]),
            ("M1.4", [15, 16, 18]),
            ("M1.6", [17, 18, 20]),
            ("M1.8", [20, 21, 22]),
            ("M2", [22, 24, 26]),
            ("M2.5", [27, 29, 31]),
            ("M3", [32, 34, 36]),
            ("M3.5", [37, 39, 42]),
            ("M4", [43, 45, 48]),
            ("M4.5", [48, 50, 53]),
            ("M5", [53, 55, 58]),
            ("M6", [64, 66, 70]),
            ("M7", [74, 76, 80]),
            ("M8x1", [84, 90, 100]),
            ("M10", [105, 110, 120]),
            ("M12", [130, 135, 145]),
            ("M14", [150, 155, 165]),
            ("M16", [170, 175, 185]),
            ("M18", [190, 200, 210]),
            ("M20", [210, 220, 240]),
            ("M22", [230, 240, 260]),
            ("M24", [250, 260, 280]),
        ];
        for &(name, tenths) in PRINTED {
            let thread = threads::find(name).unwrap();
            for (class, tenths) in Class::ALL.into_iter().zip(tenths) {
                let found = hole(thread, class).unwrap();
                assert_eq!(
                    (found.diameter, found.class),
                    (Length::microns(tenths * 100), Some(class)),
                    "{name}"
                );
            }
        }
    }

    /// The screw passes, and each class is freer than the one before.
    #[test]
    fn every_hole_clears_its_screw() {
        assert_eq!(all().len(), 23 * 3 + 17 + 32);
        for listed in all() {
            let gap = listed.hole.diameter - listed.major;
            let most = Length::microns(400) + listed.major / 5;
            assert!(gap >= Length::microns(50) && gap <= most, "{:?}", listed.hole);
        }
        for thread in of(Series::MetricCoarse) {
            let rising: Vec<Length> = holes(thread).map(|h| h.diameter).collect();
            assert!(rising.windows(2).all(|w| w[0] < w[1]), "{}", thread.designation);
        }
    }

    #[test]
    fn a_british_thread_has_one_size_and_says_where_it_is_from() {
        let found = |name: &str| hole(threads::find(name).unwrap(), Class::Medium).unwrap();
        assert_eq!((found("7 BA").diameter, found("7 BA").class), (Length::microns(2600), None));
        assert_eq!(found("7 BA").source.standing, Standing::FromMemory);
        assert_eq!(found("2 BA").source.standing, Standing::Published);
        assert_eq!(found("M4.5").source.standing, Standing::FromMemory);
        assert!(found("7 BA").describe()[0].why.source.as_deref().unwrap().ends_with("from memory"));
    }

    /// M2.2 is in no list: the hole is not made up from its neighbours.
    #[test]
    fn a_thread_in_neither_list_is_refused() {
        for name in ["M2.2", "5-40 UNC", "1/4 x 32 ME", "1 BSW"] {
            let problem = hole(threads::find(name).unwrap(), Class::Fine).unwrap_err();
            assert!(problem.what().contains(name) && problem.remedy().is_some(), "{name}");
        }
    }
}
