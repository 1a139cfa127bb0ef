//! Fits of holes and shafts: the limits of ISO 286, and fits in plain words.
//!
//! Begin with [`fit`] (`H7/g6`) or [`plain_fit`] (`running`). A clearance is the
//! hole less the shaft: negative means the shaft is the larger, and is pressed in.

mod plain;

use std::sync::LazyLock;

pub use plain::{PlainFit, known, plain_fit, plain_words};

use super::near::quoted;
use super::rows::rows;
use super::source::Source;
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// The limits of one class at one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limits {
    /// The class: a capital for a hole (`H7`), a small letter for a shaft (`g6`).
    pub class: String,
    /// The nominal size.
    pub size: Length,
    /// The least size less the nominal, with its sign.
    pub lower: Length,
    /// The greatest size less the nominal, with its sign.
    pub upper: Length,
    /// The sizes over which the row holds: over the first, up to and including the second.
    pub over: Length,
    /// See [`Limits::over`].
    pub upto: Length,
    /// Where it is published.
    pub source: Source,
}

/// A hole and a shaft of one nominal size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fit {
    /// The hole.
    pub hole: Limits,
    /// The shaft.
    pub shaft: Limits,
}

/// One row of the table, for any size within it.
struct Row {
    class: String,
    over: Length,
    upto: Length,
    lower: Length,
    upper: Length,
    source: Source,
}

impl Limits {
    /// The least size allowed.
    pub fn least(&self) -> Length {
        self.size + self.lower
    }

    /// The greatest size allowed.
    pub fn greatest(&self) -> Length {
        self.size + self.upper
    }

    /// The rows that a look-up shows.
    pub fn describe(&self) -> Vec<Figure> {
        let why = |what: &str| {
            Why::new(format!("{what} limit of {} over {} up to {}", self.class, self.over, self.upto))
                .source(self.source.to_string())
        };
        let shown = |limit: Length, by: Length| format!("{} mm ({} mm)", limit.decimals(4), signed(by));
        vec![
            Figure::new(format!("{} least", self.class), shown(self.least(), self.lower), why("lower")),
            Figure::new(format!("{} greatest", self.class), shown(self.greatest(), self.upper), why("upper")),
        ]
    }
}

impl Fit {
    /// The tightest pair: the least hole less the greatest shaft.
    pub fn least_clearance(&self) -> Length {
        self.hole.lower - self.shaft.upper
    }

    /// The loosest pair: the greatest hole less the least shaft.
    pub fn greatest_clearance(&self) -> Length {
        self.hole.upper - self.shaft.lower
    }

    /// The rows that a look-up shows.
    pub fn describe(&self) -> Vec<Figure> {
        let mut figures = self.hole.describe();
        figures.extend(self.shaft.describe());
        let named = format!("{}/{}", self.hole.class, self.shaft.class);
        for (name, clearance, pair) in [
            ("least clearance", self.least_clearance(), "least hole less greatest shaft"),
            ("greatest clearance", self.greatest_clearance(), "greatest hole less least shaft"),
        ] {
            let why = Why::new(format!("{named} at {}: {pair}", self.hole.size))
                .source(self.hole.source.to_string());
            figures.push(Figure::new(name, format!("{} mm", signed(clearance)), why));
        }
        figures
    }
}

/// A clearance or deviation with its sign, to four places.
fn signed(length: Length) -> String {
    let sign = if length.is_positive() { "+" } else { "" };
    format!("{sign}{}", length.decimals(4))
}

/// The limits of a class at a size.
///
/// # Errors
///
/// A [`Problem`] that lists the classes known when this is none of them, or gives
/// the range when the size is outside it (over 0 up to 180 mm).
pub fn limits(class: &str, size: Length) -> Result<Limits, Problem> {
    let class = class.trim();
    let of_class: Vec<&Row> = table().iter().filter(|row| row.class == class).collect();
    let (Some(first), Some(last)) = (of_class.first(), of_class.last()) else {
        return Err(unknown_class(class));
    };
    match of_class.iter().find(|row| size > row.over && size <= row.upto) {
        Some(row) => Ok(Limits {
            class: row.class.clone(),
            size,
            lower: row.lower,
            upper: row.upper,
            over: row.over,
            upto: row.upto,
            source: row.source.clone(),
        }),
        None => Err(Problem::new(format!("no limits of {class} for {size}"))
            .why(format!("the table runs over {} up to {}", first.over, last.upto))
            .mend("give the limits themselves, or mend the size")),
    }
}

/// A hole and a shaft, such as `H7/g6`, at a size.
///
/// # Errors
///
/// A [`Problem`] when it is not a hole (capital) and a shaft (small letter) with
/// a stroke between, or when [`limits`] has either not.
///
/// # Example
///
/// ```
/// use workshop::measure::Length;
/// use workshop::tables::fits;
///
/// let fit = fits::fit("H7/g6", Length::mm(12))?;
/// assert_eq!(fit.least_clearance(), Length::microns(6));
/// # Ok::<(), workshop::problem::Problem>(())
/// ```
pub fn fit(text: &str, size: Length) -> Result<Fit, Problem> {
    let named = |class: &str, of: fn(char) -> bool| class.trim().chars().next().is_some_and(of);
    match text.split_once('/') {
        Some((hole, shaft)) if named(hole, |c| c.is_uppercase()) && named(shaft, |c| c.is_lowercase()) => {
            Ok(Fit { hole: limits(hole, size)?, shaft: limits(shaft, size)? })
        }
        _ => Err(Problem::new(format!("{} is no fit", quoted(text)))
            .why("a fit is a hole in a capital, a stroke, and a shaft in a small letter")
            .mend("write it as `H7/g6`")),
    }
}

/// The classes in the table: holes, then shafts.
pub fn classes() -> Vec<&'static str> {
    let mut names: Vec<&str> = table().iter().map(|row| row.class.as_str()).collect();
    names.dedup();
    names
}

/// The width of a standard tolerance grade (`7` for IT7) at a size.
///
/// # Errors
///
/// A [`Problem`] when the grade is not 5 to 14, or the size not over 0 up to 180 mm.
pub fn grade(number: u32, size: Length) -> Result<(Length, Source), Problem> {
    let named = format!("IT{number}");
    let within = |row: &&super::rows::Row| {
        row.text("grade") == named && size > row.length("over_mm") && size <= row.length("incl_mm")
    };
    static TABLE: LazyLock<Vec<super::rows::Row>> = LazyLock::new(|| rows!("fits/it_grades.csv"));
    TABLE.iter().find(within).map(|row| (row.length("width_um"), row.source())).ok_or_else(|| {
        Problem::new(format!("no {named} for {size}"))
            .why("the table runs from IT5 to IT14, over 0 mm up to 180 mm")
            .mend("give the tolerance in millimetres")
    })
}

/// No such class: what there is.
fn unknown_class(class: &str) -> Problem {
    let (holes, shafts): (Vec<&str>, Vec<&str>) =
        classes().into_iter().partition(|c| c.starts_with(char::is_uppercase));
    Problem::new(format!("no limits are known for {}", quoted(class)))
        .why(format!("the table has holes {} and shafts {}", holes.join(" "), shafts.join(" ")))
        .mend("choose one of those, or give the limits themselves")
}

/// Every row of ISO 286.
fn table() -> &'static [Row] {
    static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| {
        rows!("fits/iso286.csv")
            .iter()
            .map(|row| Row {
                class: row.text("class").to_owned(),
                over: row.length("over_mm"),
                upto: row.length("incl_mm"),
                lower: row.length("lower_um"),
                upper: row.length("upper_um"),
                source: row.source(),
            })
            .collect()
    });
    &TABLE
}

#[cfg(test)]
mod tests;
