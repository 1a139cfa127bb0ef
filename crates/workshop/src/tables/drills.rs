//! Twist drills by name: number, letter, fraction and metric.
//!
//! Begin with [`find`]. The sizes stand in `tables/drills/`.

use std::sync::LazyLock;

use num_rational::Ratio;

use super::near::quoted;
use super::rows::{Row, rows};
use super::source::Source;
use crate::measure::{Length, Unit, read_length};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// A drill that is sold by this name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drill {
    /// As the trade says it: `No. 43`, `letter F`, `27/64 in`, `4.2 mm`.
    pub name: String,
    /// The nominal diameter, exactly.
    pub diameter: Length,
    /// The series that it belongs to.
    pub series: DrillSeries,
    /// Where the size is published.
    pub source: Source,
}

/// A series of drill sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DrillSeries {
    /// The steps of BS 328, 0.2 to 25 mm.
    Metric,
    /// 1/64 in to 1 in by 64ths.
    Fraction,
    /// No. 80 (0.0135 in) to No. 1 (0.228 in).
    Number,
    /// A (0.234 in) to Z (0.413 in).
    Letter,
}

impl Drill {
    /// The rows that a look-up shows.
    pub fn describe(&self) -> Vec<Figure> {
        let size = Why::new(format!("{} is {}", self.name, self.diameter)).source(self.source.to_string());
        vec![Figure::new(
            format!("diameter of {}", self.name),
            format!("{} mm ({:.4} in)", self.diameter.shown(4), self.diameter.as_inches()),
            size,
        )]
    }
}

/// Every drill, by diameter; of one diameter, metric first.
pub fn all() -> &'static [Drill] {
    static ALL: LazyLock<Vec<Drill>> = LazyLock::new(|| {
        let mut drills: Vec<Drill> = rows!("drills/gauge.csv")
            .iter()
            .map(|row| Drill {
                name: row.text("name").to_owned(),
                diameter: row.length("diameter_in"),
                series: series(row),
                source: row.source(),
            })
            .chain(rows!("drills/steps.csv").iter().flat_map(stepped))
            .collect();
        drills.sort_by_key(|d| (d.diameter, d.series));
        drills
    });
    &ALL
}

/// The drill of that name, as anyone may write it: `No. 43`, `no 43`, `#43`,
/// `letter F`, `F`, `27/64"`, `27/64`, `4.2 mm`.
///
/// A fraction without a unit is inches: no metric drill is named by a fraction.
///
/// # Errors
///
/// A [`Problem`] with the drills on either side when no drill has that size, and
/// when a bare number may be a gauge number or a diameter.
pub fn find(text: &str) -> Result<&'static Drill, Problem> {
    let body = without_word_drill(text);
    if let Some(name) = GaugeName::read(body).or_else(|| GaugeName::bare_letter(body)) {
        return by_gauge(&name, text);
    }
    let unit = body.contains('/').then_some(Unit::Inch);
    let written = read_length(body, unit).map_err(|fault| {
        if read_length(body, Some(Unit::Mm)).is_ok() {
            Problem::new(format!("{} alone is no name of a drill", quoted(text)))
                .why("it could be a gauge number, inches or millimetres")
                .mend(format!("write `No. {body}`, `{body} in` or `{body} mm`"))
        } else {
            Problem::new(format!("there is no drill {}", quoted(text)))
                .why(fault.reason().unwrap_or("it is neither a gauge name nor a size").to_owned())
                .mend("name it as `No. 43`, `letter F`, `27/64 in` or `4.2 mm`")
        }
    })?;
    let of_unit = |drill: &&Drill| (drill.series == DrillSeries::Metric) == (written.unit == Unit::Mm);
    let same_unit: Vec<&'static Drill> = all().iter().filter(of_unit).collect();
    if let Some(&drill) = same_unit.iter().find(|d| d.diameter == written.length) {
        return Ok(drill);
    }
    let below = same_unit.iter().rev().find(|d| d.diameter < written.length);
    let above = same_unit.iter().find(|d| d.diameter > written.length);
    let sides: Vec<&str> = [below, above].into_iter().flatten().map(|d| d.name.as_str()).collect();
    Err(Problem::new(format!("no drill is sold as {}", quoted(text)))
        .why(format!("on either side of it stand {}", sides.join(" and ")))
        .mend("name one of those, or give the size as a diameter and not as a drill"))
}

/// How long the point of a drill is, at 118°: half its diameter over the tangent of 59°, which is
/// three tenths of it.
pub fn point(diameter: Length) -> Length {
    diameter.scaled(Ratio::new(3, 10))
}

/// The drill of `from` nearest to a diameter; of two equally near, the smaller,
/// because a drill cuts over its size. None when `from` is empty.
pub fn nearest(diameter: Length, from: &[Drill]) -> Option<&Drill> {
    from.iter().min_by_key(|drill| (drill.diameter.gap(diameter), drill.diameter))
}

/// A name in the number or letter gauge, not yet looked up.
pub(super) enum GaugeName {
    /// The digits after `No.`
    Number(String),
    /// The letter, as a capital.
    Letter(char),
}

impl GaugeName {
    /// Reads `No. 43`, `no 43`, `#43`, `Nº43`, `number 43`, `letter F`; nothing
    /// when the text does not begin so.
    pub(super) fn read(text: &str) -> Option<Self> {
        let lower = without_word_drill(text).to_lowercase();
        let after = |marks: &[&str]| {
            marks.iter().find_map(|mark| lower.strip_prefix(mark)).map(|rest| rest.trim().to_owned())
        };
        let digits = after(&["number", "no.", "nº", "n°", "no", "nr.", "№", "#"])
            .filter(|rest| !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit()));
        match digits {
            Some(digits) => Some(Self::Number(digits)),
            None => after(&["letter"]).and_then(|rest| Self::bare_letter(&rest)),
        }
    }

    /// Reads `F`.
    fn bare_letter(text: &str) -> Option<Self> {
        let mut letters = text.trim().chars();
        match (letters.next(), letters.next()) {
            (Some(letter), None) if letter.is_ascii_alphabetic() => {
                Some(Self::Letter(letter.to_ascii_uppercase()))
            }
            _ => None,
        }
    }
}

/// The drill of a gauge name; `text` is what was typed.
pub(super) fn by_gauge(name: &GaugeName, text: &str) -> Result<&'static Drill, Problem> {
    let wanted = match name {
        GaugeName::Number(digits) => format!("No. {}", digits.trim_start_matches('0')),
        GaugeName::Letter(letter) => format!("letter {letter}"),
    };
    all().iter().find(|drill| drill.name == wanted).ok_or_else(|| {
        Problem::new(format!("there is no drill {}", quoted(text)))
            .why("number drills run from No. 80 (0.0135 in) to No. 1 (0.228 in), letters from A to Z")
            .mend("look at the drawing again, or give the size in inches or millimetres")
    })
}

/// The text without the word `drill` before or after it.
fn without_word_drill(text: &str) -> &str {
    const WORD: &str = "drill";
    let text = text.trim();
    let is_word = |part: Option<&str>| part.is_some_and(|part| part.eq_ignore_ascii_case(WORD));
    let end = text.len().saturating_sub(WORD.len());
    if is_word(text.get(end..)) {
        text[..end].trim_end()
    } else if is_word(text.get(..WORD.len())) {
        text[WORD.len()..].trim_start()
    } else {
        text
    }
}

/// The series of a row.
fn series(row: &Row) -> DrillSeries {
    match row.text("series") {
        "metric" => DrillSeries::Metric,
        "fraction" => DrillSeries::Fraction,
        "number" => DrillSeries::Number,
        "letter" => DrillSeries::Letter,
        _ => row.bad("series", "is no series of drills"),
    }
}

/// The drills from one size to another by even steps.
fn stepped(row: &Row) -> Vec<Drill> {
    let (from, to, step) = (row.length("from"), row.length("to"), row.length("step"));
    let (series, count) = (series(row), (to - from).ratio_to(step).to_integer() as i64);
    let drill = |n| {
        let diameter = from + step * n;
        let name = match diameter.as_inch_fraction() {
            Some(inches) if series == DrillSeries::Fraction => format!("{inches} in"),
            _ => diameter.to_string(),
        };
        Drill { name, diameter, series, source: row.source() }
    };
    (0..=count).map(drill).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn of(series: DrillSeries) -> Vec<&'static Drill> {
        all().iter().filter(|d| d.series == series).collect()
    }

    /// The whole gauge, typed from memory of the trade's chart: No. 1 to No. 80 in
    /// ten-thousandths of an inch, then A to Z in thousandths.
    #[test]
    fn gauge_sizes_agree_with_the_chart() {
        const NUMBERS: [i64; 80] = [
            2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935, 1910, 1890, 1850, 1820, 1800,
            1770, //
            1730, 1695, 1660, 1610, 1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285, 1200,
            1160, //
            1130, 1110, 1100, 1065, 1040, 1015, 995, 980, 960, 935, 890, 860, 820, 810, 785, 760, //
            730, 700, 670, 635, 595, 550, 520, 465, 430, 420, 410, 400, 390, 380, 370, 360, //
            350, 330, 320, 310, 292, 280, 260, 250, 240, 225, 210, 200, 180, 160, 145, 135,
        ];
        const LETTERS: [i64; 26] = [
            234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295, //
            302, 316, 323, 332, 339, 348, 358, 368, 377, 386, 397, 404, 413,
        ];
        for (number, size) in (1..).zip(NUMBERS) {
            assert_eq!(
                find(&format!("No. {number}")).unwrap().diameter,
                Length::thou(size) / 10,
                "No. {number}"
            );
        }
        for (letter, size) in ('A'..).zip(LETTERS) {
            assert_eq!(find(&format!("letter {letter}")).unwrap().diameter, Length::thou(size), "{letter}");
        }
    }

    /// A gauge has no gaps: 80 numbers that shrink as the number rises, then 26
    /// letters that grow, A above No. 1. A transposed digit breaks the order.
    #[test]
    fn the_gauges_run_without_a_gap() {
        let (numbers, letters) = (of(DrillSeries::Number), of(DrillSeries::Letter));
        for (n, drill) in (1..=80).rev().zip(&numbers) {
            assert_eq!(drill.name, format!("No. {n}"));
        }
        for (letter, drill) in ('A'..='Z').zip(&letters) {
            assert_eq!(drill.name, format!("letter {letter}"));
        }
        let rising: Vec<Length> = numbers.iter().chain(&letters).map(|d| d.diameter).collect();
        assert_eq!(rising.len(), 106);
        // No step of the gauge passes 17 thou, and each is a rise.
        assert!(rising.windows(2).all(|w| w[0] < w[1] && w[1] - w[0] <= Length::thou(17)));
    }

    /// BS 328 counted out by hand: 32 below 1 mm, 40 by 0.05, 110 by 0.1, 45 by
    /// 0.25; and 64 fractions.
    #[test]
    fn the_even_steps_are_all_there() {
        assert_eq!(
            (of(DrillSeries::Metric).len(), of(DrillSeries::Fraction).len()),
            (32 + 40 + 110 + 45, 64)
        );
        for name in
            ["0.2 mm", "0.98 mm", "1 mm", "2.95 mm", "3 mm", "13.9 mm", "14 mm", "25 mm", "1/64 in", "1 in"]
        {
            assert_eq!(find(name).unwrap().name, name);
        }
    }

    #[test]
    fn every_drill_is_found_by_its_own_name() {
        for drill in all() {
            for text in [drill.name.clone(), drill.name.to_uppercase(), format!(" {} drill", drill.name)] {
                assert_eq!(find(&text).unwrap(), drill, "{text}");
            }
        }
    }

    #[test]
    fn names_are_read_as_people_write_them() {
        for (text, name) in [
            ("no 43", "No. 43"),
            ("#43", "No. 43"),
            ("Nº43", "No. 43"),
            ("number 43 drill", "No. 43"),
            ("Drill No. 43", "No. 43"),
            ("No. 07", "No. 7"),
            ("F", "letter F"),
            ("f drill", "letter F"),
            ("27/64\"", "27/64 in"),
            ("27/64", "27/64 in"),
            ("0.250 in", "1/4 in"),
            ("0.089\"", "No. 43"),
            ("4.20mm", "4.2 mm"),
        ] {
            assert_eq!(find(text).unwrap().name, name, "{text}");
        }
    }

    #[test]
    fn what_is_no_drill_is_refused_with_its_neighbours() {
        assert_eq!(
            find("4.23 mm").unwrap_err().reason(),
            Some("on either side of it stand 4.2 mm and 4.3 mm")
        );
        assert!(find("43").unwrap_err().remedy().unwrap().contains("`No. 43`"));
        for text in ["No. 81", "No. 0", "letter ÆÆ", "", "drill", "26 mm", "1 1/2 in", "banana"] {
            let problem = find(text).unwrap_err();
            assert!(problem.reason().is_some() && problem.remedy().is_some(), "{text}");
        }
    }

    proptest! {
        /// Nothing left in the stand would have been nearer.
        #[test]
        fn no_other_drill_is_nearer(microns in 100i64..26_000) {
            let wanted = Length::microns(microns);
            let chosen = nearest(wanted, all()).unwrap();
            prop_assert!(all().iter().all(|d| d.diameter.gap(wanted) >= chosen.diameter.gap(wanted)));
        }
    }

    #[test]
    fn of_two_equally_near_the_smaller_is_taken() {
        let stand = [find("3.1 mm").unwrap().clone(), find("3 mm").unwrap().clone()];
        assert_eq!(nearest(Length::microns(3050), &stand).unwrap().name, "3 mm");
        assert_eq!(nearest(Length::mm(3), &[]), None);
    }
}
