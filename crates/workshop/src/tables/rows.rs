//! Reading the embedded CSV files.
//!
//! The files ship inside the program, so a bad cell is a broken promise and not
//! the person's problem: it stops with the file, line and column. The tests read
//! every file.

use csv::{ReaderBuilder, StringRecord, Trim};
use num_rational::Ratio;

use super::Source;
use crate::measure::{Length, Unit, read_length};

/// The rows of a file under `crates/workshop/tables/`.
macro_rules! rows {
    ($path:literal) => {
        $crate::tables::rows::read(
            $path,
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tables/", $path)),
        )
    };
}
pub(super) use rows;

/// One row of a table, cells by the name of their column.
pub(super) struct Row {
    file: &'static str,
    headers: StringRecord,
    cells: StringRecord,
}

/// Every row of `text`; lines that begin with `#` are the head.
pub(super) fn read(file: &'static str, text: &'static str) -> Vec<Row> {
    let mut reader = ReaderBuilder::new().comment(Some(b'#')).trim(Trim::All).from_reader(text.as_bytes());
    let headers = reader.headers().unwrap_or_else(|e| panic!("tables/{file}: {e}")).clone();
    let row = |cells: Result<StringRecord, csv::Error>| Row {
        file,
        headers: headers.clone(),
        cells: cells.unwrap_or_else(|e| panic!("tables/{file}: {e}")),
    };
    reader.records().map(row).collect()
}

impl Row {
    /// The cell as it stands.
    pub(super) fn text(&self, column: &str) -> &str {
        let at = self.headers.iter().position(|name| name == column);
        at.and_then(|at| self.cells.get(at)).unwrap_or_else(|| self.bad(column, "is missing"))
    }

    /// A length; the column's name ends in its unit (`_mm`, `_in`, `_um`), or
    /// else the cell carries it.
    pub(super) fn length(&self, column: &str) -> Length {
        let text = self.text(column);
        if column.ends_with("_um") {
            return Length::mm(1).scaled(self.number(column) / 1000);
        }
        let unit = match column {
            c if c.ends_with("_mm") => Some(Unit::Mm),
            c if c.ends_with("_in") => Some(Unit::Inch),
            _ => None,
        };
        read_length(text, unit).unwrap_or_else(|p| self.bad(column, p.what())).length
    }

    /// A length, or nothing where the cell is empty.
    pub(super) fn length_if_any(&self, column: &str) -> Option<Length> {
        (!self.text(column).is_empty()).then(|| self.length(column))
    }

    /// A plain number, exactly.
    pub(super) fn number(&self, column: &str) -> Ratio<i128> {
        read_length(self.text(column), Some(Unit::Mm))
            .unwrap_or_else(|p| self.bad(column, p.what()))
            .length
            .ratio()
    }

    /// A whole number.
    pub(super) fn whole(&self, column: &str) -> u32 {
        self.text(column).parse().unwrap_or_else(|_| self.bad(column, "is no whole number"))
    }

    /// The source in columns `source` and `basis`.
    pub(super) fn source(&self) -> Source {
        Source::of_row(self.text("source"), self.text("basis"))
    }

    /// Stops on a cell that the program cannot have shipped with.
    pub(super) fn bad(&self, column: &str, why: &str) -> ! {
        let line = self.cells.position().map_or(0, csv::Position::line);
        panic!("tables/{}, line {line}, column `{column}` {why}", self.file)
    }
}
