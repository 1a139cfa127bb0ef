//! From the rows of `tables/threads/` to [`Thread`]s.

use num_rational::Ratio;

use super::{Hand, Series, SizeIs, TappingDrill, Thread};
use crate::measure::Length;
use crate::tables::drills;
use crate::tables::rows::{Row, rows};
use crate::tables::source::Source;

/// Every thread of every file.
pub(super) fn every_thread() -> Vec<Thread> {
    let mut threads: Vec<Thread> = rows!("threads/iso_metric.csv").iter().map(metric).collect();
    threads.extend(rows!("threads/ba.csv").iter().map(ba));
    for (series, rows) in [
        (Series::Bsw, rows!("threads/bsw.csv")),
        (Series::Bsf, rows!("threads/bsf.csv")),
        (Series::ModelEngineer, rows!("threads/me.csv")),
        (Series::Brass, rows!("threads/brass.csv")),
    ] {
        threads.extend(rows.iter().map(|row| whitworth(row, series)));
    }
    threads.extend(rows!("threads/bsp.csv").iter().map(pipe));
    threads.extend(rows!("threads/unified.csv").iter().map(unified));
    threads
}

/// A row of ISO metric threads.
fn metric(row: &Row) -> Thread {
    let series = match row.text("series") {
        "coarse" => Series::MetricCoarse,
        "fine" => Series::MetricFine,
        _ => row.bad("series", "is neither coarse nor fine"),
    };
    Thread {
        designation: row.text("designation").to_owned(),
        series,
        pitch: row.length("pitch_mm"),
        major: row.length("major_mm"),
        pitch_diameter: row.length("pitch_diameter_mm"),
        minor: row.length("minor_mm"),
        source: published(row),
        tapping_drills: vec![metric_drill(row.length("tapping_drill_mm"), drill_source(row))],
        size: row.number("major_mm"),
        count: row.number("pitch_mm"),
        size_is: SizeIs::Millimetres,
        hand: Hand::Right,
        starts: 1,
    }
}

/// A row of British Association threads.
fn ba(row: &Row) -> Thread {
    Thread {
        designation: row.text("designation").to_owned(),
        series: Series::Ba,
        pitch: row.length("pitch_mm"),
        major: row.length("major_mm"),
        pitch_diameter: row.length("pitch_diameter_mm"),
        minor: row.length("minor_mm"),
        source: published(row),
        tapping_drills: vec![metric_drill(row.length("tapping_drill_mm"), drill_source(row))],
        size: row.number("number"),
        count: row.number("pitch_mm"),
        size_is: SizeIs::Number,
        hand: Hand::Right,
        starts: 1,
    }
}

/// A row of a Whitworth-form series. BSW alone has a second printed drill.
fn whitworth(row: &Row, series: Series) -> Thread {
    let mut columns = vec![("tapping_drill_mm", "drill_source")];
    if series == Series::Bsw {
        columns.push(("second_drill_mm", "second_drill_source"));
    }
    let drill = |(size, source): (&str, &str)| {
        let diameter = row.length_if_any(size)?;
        Some(metric_drill(diameter, Source::of_row(row.text(source), "public page")))
    };
    Thread {
        designation: row.text("designation").to_owned(),
        series,
        pitch: pitch_of(row),
        major: row.length("size_in"),
        pitch_diameter: row.length("pitch_diameter_in"),
        minor: row.length("minor_in"),
        source: published(row),
        tapping_drills: columns.into_iter().filter_map(drill).collect(),
        size: row.number("size_in"),
        count: row.number("tpi"),
        size_is: SizeIs::Inches,
        hand: Hand::Right,
        starts: 1,
    }
}

/// A row of pipe threads: the size is that of the pipe.
fn pipe(row: &Row) -> Thread {
    Thread {
        designation: row.text("designation").to_owned(),
        series: Series::Pipe,
        pitch: pitch_of(row),
        major: row.length("major_mm"),
        pitch_diameter: row.length("pitch_diameter_mm"),
        minor: row.length("minor_mm"),
        source: published(row),
        tapping_drills: vec![metric_drill(row.length("tapping_drill_mm"), drill_source(row))],
        size: row.number("size_in"),
        count: row.number("tpi"),
        size_is: SizeIs::Inches,
        hand: Hand::Right,
        starts: 1,
    }
}

/// A row of Unified threads. Number sizes are 0.060 in and 0.013 in more for
/// each number (ASME B1.1).
fn unified(row: &Row) -> Thread {
    let series = match row.text("series") {
        "UNC" => Series::Unc,
        "UNF" => Series::Unf,
        _ => row.bad("series", "is neither UNC nor UNF"),
    };
    let size = row.number("size");
    let (size_is, major_in) = match row.text("size_is") {
        "number" => (SizeIs::Number, (size * 13 + Ratio::from_integer(60)) / 1000),
        "inch" => (SizeIs::Inches, size),
        _ => row.bad("size_is", "is neither number nor inch"),
    };
    let name = row.text("tapping_drill");
    let drill = drills::find(name).unwrap_or_else(|p| row.bad("tapping_drill", p.what()));
    Thread {
        designation: row.text("designation").to_owned(),
        series,
        pitch: pitch_of(row),
        major: Length::inches(1, 1).scaled(major_in),
        pitch_diameter: row.length("pitch_diameter_in"),
        minor: row.length("minor_in"),
        source: published(row),
        tapping_drills: vec![TappingDrill {
            name: drill.name.clone(),
            diameter: drill.diameter,
            source: drill_source(row),
        }],
        size,
        count: row.number("tpi"),
        size_is,
        hand: Hand::Right,
        starts: 1,
    }
}

/// One inch over the threads to the inch.
fn pitch_of(row: &Row) -> Length {
    Length::inches(1, row.whole("tpi").into())
}

/// The sizes are published or follow from the profile in the standard; only the
/// drills have other standings.
fn published(row: &Row) -> Source {
    Source::of_row(row.text("source"), "formula in standard")
}

/// Where the drill of a row was read.
fn drill_source(row: &Row) -> Source {
    Source::of_row(row.text("drill_source"), row.text("drill_basis"))
}

/// A tapping drill given in millimetres.
fn metric_drill(diameter: Length, source: Source) -> TappingDrill {
    TappingDrill { name: diameter.to_string(), diameter, source }
}
