//! Fits in plain words, as a drawing for the model engineer gives them.
//!
//! Common practice where there is any, else the pair of ISO 286 that does the same:
//! each row says over which sizes it holds and on what it rests.

use std::sync::LazyLock;

use num_rational::Ratio;

use super::{fit, signed};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::near::{plain, quoted};
use crate::tables::rows::{Row, rows};
use crate::tables::source::Source;
use crate::why::{Figure, Why};

/// A clearance range that a plain word stands for, at one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlainFit {
    /// The word: `running`, `sliding`, `locating`, `press`, `shrink`, `adhesive`.
    pub word: String,
    /// The nominal diameter.
    pub size: Length,
    /// The least clearance on the diameter; negative when the shaft is larger.
    pub least_clearance: Length,
    /// The greatest clearance on the diameter.
    pub greatest_clearance: Length,
    /// What goes with it: `oiled`, how to assemble.
    pub remark: String,
    /// What the range rests on.
    pub source: Source,
}

impl PlainFit {
    /// The rows that a look-up shows.
    pub fn describe(&self) -> Vec<Figure> {
        let figure = |name: &str, clearance: Length| {
            let why = Why::new(format!("a {} fit at {}: {}", self.word, self.size, self.remark))
                .source(self.source.to_string());
            Figure::new(name, format!("{} mm", signed(clearance)), why)
        };
        vec![
            figure("least clearance", self.least_clearance),
            figure("greatest clearance", self.greatest_clearance),
        ]
    }
}

/// The clearance that a plain word means at a size.
///
/// # Errors
///
/// A [`Problem`] that lists the words, or gives the sizes over which the table runs.
pub fn plain_fit(word: &str, size: Length) -> Result<PlainFit, Problem> {
    let rows = rows_of(word)?;
    let holds =
        |row: &&&Row| size.is_positive() && size >= row.length("from_mm") && size <= row.length("incl_mm");
    let Some(row) = rows.iter().find(holds) else {
        let most = rows.iter().map(|row| row.length("incl_mm")).max().unwrap_or_default();
        return Err(Problem::new(format!("no {} fit is stated for {size}", rows[0].text("word")))
            .why(format!("the table runs over 0 mm up to {most}"))
            .mend("give the clearance itself, or mend the size"));
    };
    let (least_clearance, greatest_clearance) = match row.text("rule") {
        "mm" => (Length::mm(1).scaled(row.number("least")), Length::mm(1).scaled(row.number("greatest"))),
        "per mm" => {
            let share = |column: &str| -> Ratio<i128> { row.number(column) };
            (size.scaled(share("least")), size.scaled(share("greatest")))
        }
        "iso" => {
            let fit = fit(row.text("least"), size)?;
            (fit.least_clearance(), fit.greatest_clearance())
        }
        _ => row.bad("rule", "is no rule"),
    };
    Ok(PlainFit {
        word: row.text("word").to_owned(),
        size,
        least_clearance,
        greatest_clearance,
        remark: row.text("remark").to_owned(),
        source: row.source(),
    })
}

/// Says whether a fit is one that can be asked for at all, whatever the size: a pair
/// of classes is left to [`super::fit`], which judges it at its size.
///
/// # Errors
///
/// A [`Problem`] that lists the words.
pub fn known(fit: &str) -> Result<(), Problem> {
    if fit.contains('/') { Ok(()) } else { rows_of(fit).map(|_| ()) }
}

/// The rows of a word, with or without `fit` after it; at least one.
fn rows_of(word: &str) -> Result<Vec<&'static Row>, Problem> {
    let asked = plain(word);
    let asked = asked.strip_suffix("fit").unwrap_or(&asked);
    let rows: Vec<&Row> = table().iter().filter(|row| row.text("word") == asked).collect();
    if rows.is_empty() {
        return Err(Problem::new(format!("{} is no fit that is known by a word", quoted(word)))
            .why(format!("the words are {}", plain_words().join(", ")))
            .mend("use one of those, an ISO fit such as `H7/g6`, or give the clearance"));
    }
    Ok(rows)
}

/// The words that are known.
pub fn plain_words() -> Vec<&'static str> {
    let mut words: Vec<&str> = table().iter().map(|row| row.text("word")).collect();
    words.dedup();
    words
}

/// Every row of the words.
fn table() -> &'static [Row] {
    static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| rows!("fits/plain.csv"));
    &TABLE
}
