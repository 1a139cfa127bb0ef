//! Measuring instruments: what each can be put to and how far it may be out.

use std::sync::LazyLock;

use super::rows::{Row, rows};
use super::source::Source;
use crate::measure::Length;
use crate::problem::Problem;

/// What is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Across {
    /// From outside to outside.
    Outside,
    /// In a hole or a slot.
    Inside,
    /// From a face down to another, or along to a shoulder.
    Depth,
}

/// What an entry of a kind says of its size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// From one size to another.
    Span,
    /// A set of sizes.
    Sizes,
    /// One size.
    One,
    /// No size: a square, an indicator.
    Nothing,
    /// The smallest angle that it shows.
    Angle,
}

/// How an instrument shows what it measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shows {
    /// A pointer or a thimble between marks.
    Marks,
    /// A vernier.
    Vernier,
    /// Counted, in digits.
    Digits,
    /// Nothing by itself: by feel or by eye.
    Feel,
}

impl Shows {
    fn find(text: &str) -> Option<Self> {
        let all = [Self::Marks, Self::Vernier, Self::Digits, Self::Feel];
        all.into_iter().find(|way| way.row() == text)
    }

    /// Its row of the table.
    const fn row(self) -> &'static str {
        match self {
            Self::Marks => "marks",
            Self::Vernier => "vernier",
            Self::Digits => "digits",
            Self::Feel => "feel",
        }
    }

    /// What an entry may say before the kind: `digital caliper`.
    pub fn said(word: &str) -> Option<Self> {
        match word {
            "digital" => Some(Self::Digits),
            "vernier" => Some(Self::Vernier),
            "dial" => Some(Self::Marks),
            _ => None,
        }
    }

    /// The word for that.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Digits => "digital",
            Self::Vernier => "vernier",
            Self::Marks => "dial",
            Self::Feel => "",
        }
    }

    /// What reading it adds to its own limits of error, either way, for a smallest step.
    pub fn adds(self, step: Length) -> Adds {
        static READING: LazyLock<Vec<Row>> = LazyLock::new(|| rows!("instruments/reading.csv"));
        let row = READING.iter().find(|row| row.text("shows") == self.row());
        let row = row.expect("every way of showing has its row");
        Adds {
            either_way: step.scaled(row.number("of_step")),
            told: row.text("told").to_owned(),
            source: row.source(),
        }
    }
}

/// What reading an instrument adds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Adds {
    /// Either way.
    pub either_way: Length,
    /// What that is, in words.
    pub told: String,
    /// Where it comes from.
    pub source: Source,
}

/// A kind of instrument or gauge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InstrumentKind {
    /// What the trade calls it: `caliper`, `plug pins`.
    pub name: String,
    /// What its entry says of its size.
    pub takes: Takes,
    /// The step it usually shows.
    pub usual_step: Length,
    /// How it is read where nobody says.
    shows: Shows,
    /// One that shows finer steps than this counts in digits.
    digits_below: Option<Length>,
    /// Whether it measures outside, inside and in depth.
    pub measures: [bool; 3],
    /// The smallest hole that it gets into.
    pub inside_from: Option<Length>,
    /// Where that comes from.
    pub source: Source,
}

/// How far an instrument may be out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Error {
    /// Either way.
    pub either_way: Length,
    /// Where it is published.
    pub source: Source,
}

/// Every kind, in the order of the table.
pub fn all() -> &'static [InstrumentKind] {
    static ALL: LazyLock<Vec<InstrumentKind>> = LazyLock::new(|| {
        let rows = rows!("instruments/kinds.csv");
        let kind = |row: &Row| InstrumentKind {
            name: row.text("instrument").to_owned(),
            takes: match row.text("takes") {
                "span" => Takes::Span,
                "sizes" => Takes::Sizes,
                "one" => Takes::One,
                "nothing" => Takes::Nothing,
                "angle" => Takes::Angle,
                _ => row.bad("takes", "is not known"),
            },
            usual_step: row.length("usual_step_mm"),
            shows: Shows::find(row.text("shows")).unwrap_or_else(|| row.bad("shows", "is not known")),
            digits_below: row.length_if_any("digits_below_mm"),
            measures: ["outside", "inside", "depth"].map(|column| row.text(column) == "yes"),
            inside_from: row.length_if_any("inside_from_mm"),
            source: row.source(),
        };
        rows.iter().map(kind).collect()
    });
    &ALL
}

/// The kind that a name means.
///
/// # Errors
///
/// A [`Problem`] that lists the kinds there are.
pub fn find(name: &str) -> Result<&'static InstrumentKind, Problem> {
    let plain = |text: &str| text.trim().to_lowercase().replace(['-', '_'], " ");
    let asked = plain(name);
    let same = |kind: &&InstrumentKind| kind.name == asked || format!("{}s", kind.name) == asked;
    all().iter().find(same).ok_or_else(|| {
        let names: Vec<String> = all().iter().map(|kind| format!("`{}`", kind.name)).collect();
        Problem::new(format!("`{}` is no measuring instrument that is known", name.trim()))
            .mend(format!("it may be {}", names.join(", ")))
    })
}

impl InstrumentKind {
    /// Whether it measures so.
    pub fn can(&self, across: Across) -> bool {
        self.measures[across as usize]
    }

    /// How one that shows this step is read, where nobody says.
    pub fn shows(&self, step: Length) -> Shows {
        if self.digits_below.is_some_and(|finer| step < finer) { Shows::Digits } else { self.shows }
    }

    /// How far one that shows this step may be out over a length; nothing where it does not
    /// measure so, or not so far.
    pub fn error(&self, across: Across, length: Length, step: Length) -> Option<Error> {
        type Known = (String, Length, Length, [Option<Length>; 3], Source);
        static ERRORS: LazyLock<Vec<Known>> = LazyLock::new(|| {
            let rows = rows!("instruments/errors.csv");
            rows.iter()
                .map(|row| {
                    let out = ["outside_um", "inside_um", "depth_um"].map(|column| row.length_if_any(column));
                    let (step, to) = (row.length("from_step_um"), row.length("up_to_mm"));
                    (row.text("instrument").to_owned(), step, to, out, row.source())
                })
                .collect()
        });
        let own = || ERRORS.iter().filter(|row| row.0 == self.name && row.1 <= step);
        // Of the rows for its step or a finer one, those for the coarsest.
        let coarsest = own().map(|row| row.1).max()?;
        let row = own().filter(|row| row.1 == coarsest).find(|row| length <= row.2)?;
        Some(Error { either_way: row.3[across as usize]?, source: row.4.clone() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A page that reprints DIN 862 and DIN 863: a caliper that shows 0.02 or 0.01 is good to
    /// 20 µm up to 100 mm, one that shows 0.05 to 50 µm; 20 µm more inside and in depth. A
    /// micrometer to 4 µm up to 50 mm, 5 up to 100, 6 up to 150.
    #[test]
    fn errors_agree_with_the_printed_page() {
        let caliper = find("caliper").unwrap();
        let micrometer = find("Micrometer").unwrap();
        let out = |kind: &InstrumentKind, across, mm, step| {
            kind.error(across, Length::mm(mm), Length::microns(step)).map(|e| e.either_way.decimals(3))
        };
        assert_eq!(out(caliper, Across::Outside, 100, 20).unwrap(), "0.020");
        assert_eq!(out(caliper, Across::Outside, 100, 50).unwrap(), "0.050");
        assert_eq!(out(caliper, Across::Inside, 30, 10).unwrap(), "0.040");
        assert_eq!(out(caliper, Across::Depth, 120, 50).unwrap(), "0.070");
        let mics = [(25, "0.004"), (75, "0.005"), (150, "0.006")];
        for (mm, printed) in mics {
            assert_eq!(out(micrometer, Across::Outside, mm, 10).unwrap(), printed);
        }
        assert_eq!(out(micrometer, Across::Inside, 20, 10), None);
        assert_eq!(out(caliper, Across::Outside, 5_000, 20), None);
    }

    /// A thimble of hundredths is read to half of one, a vernier as its own limits are stated, and
    /// the last digit of a counting caliper may jump by one.
    #[test]
    fn reading_adds_what_suits_the_instrument() {
        let adds = |name: &str, microns| {
            let step = Length::microns(microns);
            find(name).unwrap().shows(step).adds(step).either_way
        };
        assert_eq!(adds("micrometer", 10), Length::microns(5));
        assert_eq!(adds("micrometer", 1), Length::microns(1));
        assert_eq!(adds("caliper", 20), Length::ZERO);
        assert_eq!(adds("caliper", 10), Length::microns(10));
        assert_eq!(adds("telescopic gauge", 10), Length::ZERO);
        for kind in all() {
            let adds = kind.shows(kind.usual_step).adds(kind.usual_step);
            assert!(!adds.told.is_empty() && adds.either_way <= kind.usual_step, "{}", kind.name);
        }
    }

    /// Whatever can measure so has an error over the lengths that it is made for.
    #[test]
    fn everything_that_measures_has_an_error() {
        for kind in all() {
            for across in [Across::Outside, Across::Inside, Across::Depth] {
                let error = kind.error(across, Length::mm(15), kind.usual_step);
                assert_eq!(error.is_some(), kind.can(across), "{} {across:?}", kind.name);
            }
        }
        assert!(find("laser").unwrap_err().remedy().unwrap().contains("caliper"));
    }
}
