//! The heads of metric screws: hexagon socket cap screws, which sink in a counterbore; the nuts
//! that go on them, and the lengths in which they are sold.
//!
//! What a counterbore must take. British screws have no table here: their heads differ
//! from maker to maker, so the screw itself is the gauge.

use std::sync::LazyLock;

use super::across_flats;
use super::rows::rows;
use super::source::Source;
use super::threads::{self, Form, Thread};
use crate::measure::Length;

/// The head of a screw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// The thread below it.
    pub thread: String,
    /// Greatest diameter of a plain head.
    pub plain: Length,
    /// Greatest diameter of a knurled head: what a counterbore must pass.
    pub knurled: Length,
    /// Greatest height.
    pub height: Length,
    /// Where it is published.
    pub source: Source,
    major: Length,
}

/// The head of the cap screw with this thread; none where the standard has no such
/// screw, and for threads that are not metric. A fine thread has the head of its size.
pub fn cap_head(thread: &Thread) -> Option<&'static Head> {
    (thread.form() == Form::Metric60).then(|| all().iter().find(|head| head.major == thread.major))?
}

/// A hexagon nut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nut {
    /// From flat to flat.
    pub across: Length,
    /// Greatest height.
    pub height: Length,
    /// Where its height is published.
    pub source: Source,
    major: Length,
}

/// The nut of a coarse metric thread from M3 to M12; none for any other.
pub fn nut(thread: &Thread) -> Option<&'static Nut> {
    static ALL: LazyLock<Vec<Nut>> = LazyLock::new(|| {
        let read = |row: &super::rows::Row| {
            let size = row.text("size");
            let thread = threads::find(size).unwrap_or_else(|p| row.bad("size", p.what()));
            let flats =
                across_flats::of(size).unwrap_or_else(|| row.bad("size", "has no width across flats"));
            Nut {
                across: flats.across,
                height: row.length("height_mm"),
                source: row.source(),
                major: thread.major,
            }
        };
        rows!("heads/iso4032.csv").iter().map(read).collect()
    });
    (thread.form() == Form::Metric60).then(|| ALL.iter().find(|nut| nut.major == thread.major))?
}

/// The shortest screw sold that is at least so long under its head; none past the longest listed.
pub fn sold_length(least: Length) -> Option<Length> {
    static ALL: LazyLock<Vec<Length>> =
        LazyLock::new(|| rows!("heads/iso888.csv").iter().map(|row| row.length("length_mm")).collect());
    ALL.iter().copied().find(|long| *long >= least)
}

fn all() -> &'static [Head] {
    static ALL: LazyLock<Vec<Head>> = LazyLock::new(|| {
        let rows = rows!("heads/iso4762.csv");
        rows.iter()
            .map(|row| {
                let size = row.text("size");
                let thread = threads::find(size).unwrap_or_else(|p| row.bad("size", p.what()));
                Head {
                    thread: thread.designation.clone(),
                    plain: row.length("plain_mm"),
                    knurled: row.length("knurled_mm"),
                    height: row.length("height_mm"),
                    source: row.source(),
                    major: thread.major,
                }
            })
            .collect()
    });
    &ALL
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 4762 as a screw maker's page prints DIN 912, the standard before it, with the
    /// same heads: diameter and height in tenths of a mm.
    #[test]
    fn heads_agree_with_the_printed_table() {
        const PRINTED: &[(&str, i64, i64)] = &[
            ("M2", 38, 20),
            ("M3", 55, 30),
            ("M4", 70, 40),
            ("M5", 85, 50),
            ("M6", 100, 60),
            ("M8", 130, 80),
            ("M10", 160, 100),
            ("M12", 180, 120),
            ("M14", 210, 140),
            ("M16", 240, 160),
            ("M20", 300, 200),
            ("M24", 360, 240),
        ];
        for &(name, across, high) in PRINTED {
            let head = cap_head(threads::find(name).unwrap()).unwrap();
            let tenths = |n: i64| Length::microns(n * 100);
            assert_eq!((head.plain, head.height), (tenths(across), tenths(high)), "{name}");
        }
        assert_eq!(cap_head(threads::find("M8x1").unwrap()).unwrap().thread, "M8");
        assert_eq!(cap_head(threads::find("4 BA").unwrap()), None);
        assert_eq!(cap_head(threads::find("M3.5").unwrap()), None);
    }

    /// The head is as high as the thread is wide, and knurling adds a little.
    #[test]
    fn every_head_has_the_standard_s_proportions() {
        assert_eq!(all().len(), 14);
        for head in all() {
            assert_eq!(head.height, head.major, "{head:?}");
            let knurl = head.knurled - head.plain;
            assert!(knurl > Length::microns(100) && knurl < Length::microns(400), "{head:?}");
        }
    }

    /// Style 1 nuts are from 0.8 to 0.95 of the thread high (ISO 4032, from memory).
    #[test]
    fn every_nut_has_the_standard_s_proportions() {
        for name in ["M3", "M4", "M5", "M6", "M8", "M10", "M12"] {
            let thread = threads::find(name).unwrap();
            let nut = nut(thread).unwrap();
            let hundredths = |n: i64| thread.major * n;
            let height = nut.height * 100;
            assert!(height >= hundredths(80) && height <= hundredths(95), "{name}: {}", nut.height);
            assert!(nut.across * 100 > hundredths(140), "{name}");
        }
        assert_eq!(nut(threads::find("2 BA").unwrap()), None);
    }

    #[test]
    fn the_next_length_sold_is_taken() {
        let mm = |n: i64| Length::mm(n);
        assert_eq!(sold_length(mm(20)), Some(mm(20)));
        assert_eq!(sold_length(mm(20) + Length::microns(1)), Some(mm(25)));
        assert_eq!(sold_length(mm(1000)), None);
    }
}
