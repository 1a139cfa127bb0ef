//! Measuring instruments and gauges that are owned.
//!
//! A bench file lists them in `instruments`, each in the trade's words with what it takes and
//! the step it reads to. Where it lists none, a caliper and a micrometer are supposed.

use super::Bench;
use super::ranges::{positive, read_range};
use super::read::Reader;
use crate::document::Sheet;
use crate::measure::{Angle, Length, read_angle, read_length};
use crate::problem::Problem;
use crate::tables::instruments::{self, Across, Adds, InstrumentKind, Shows, Takes};

/// An instrument or a set of gauges.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instrument {
    /// What kind.
    pub kind: &'static InstrumentKind,
    /// The least and the greatest that it takes; of a set, its first and last size.
    pub span: [Length; 2],
    /// Every size of a set, least first.
    pub sizes: Vec<Length>,
    /// The smallest step that it shows.
    pub step: Length,
    /// The smallest angle that it shows, where it shows angles.
    pub turn: Option<Angle>,
    /// How it is read, where its entry says.
    pub said: Option<Shows>,
}

impl Instrument {
    /// What a bench file says: `micrometer 0 to 25 mm by 0.01 mm`, `plug pins 3 mm to 8 mm by
    /// 0.5 mm`, `sine bar 100 mm`, `square`; `digital`, `vernier` or `dial` may stand before it.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when the kind or a size is not known.
    pub fn read(text: &str) -> Result<Self, Problem> {
        let sizes_from = text.find(|c: char| c.is_ascii_digit()).unwrap_or(text.len());
        let (words, sizes) = text.split_at(sizes_from);
        let words = words.trim().trim_end_matches("to").trim().trim_end_matches(" by").trim();
        let words = words.trim_end_matches([',', ':']).trim();
        let (said, words) = match words.split_once(' ') {
            Some((first, rest)) if Shows::said(&first.to_lowercase()).is_some() => {
                (Shows::said(&first.to_lowercase()), rest)
            }
            _ => (None, words),
        };
        let kind = instruments::find(words)?;
        let missing = || {
            Problem::new(format!("`{text}` does not say its size"))
                .mend("write it as `caliper to 150 mm by 0.02 mm`, `plug pins 3 mm to 8 mm by 0.5 mm` or `sine bar 100 mm`")
        };
        if kind.takes == Takes::Angle {
            let usual = if said == Some(Shows::Vernier) { Angle::ratio(5, 60) } else { Angle::degrees(1) };
            let turn = if sizes.is_empty() { usual } else { read_angle(sizes)? };
            if turn <= Angle::default() || turn > Angle::degrees(10) {
                return Err(Problem::new(format!("`{text}` shows no angle that is of use"))
                    .mend("write its smallest step, such as `vernier protractor by 5'`"));
            }
            let (span, step) = ([Length::ZERO; 2], kind.usual_step);
            return Ok(Self { kind, span, sizes: Vec::new(), step, turn: Some(turn), said });
        }
        if kind.takes == Takes::Nothing {
            let step = match sizes {
                "" => kind.usual_step,
                step => positive(read_length(step, None)?.length, step)?,
            };
            return Ok(Self { kind, span: [Length::ZERO; 2], sizes: Vec::new(), step, turn: None, said });
        }
        if sizes.is_empty() {
            return Err(missing());
        }
        match kind.takes {
            Takes::Span => {
                let (span, step) = match sizes.split_once(" by ") {
                    Some((span, step)) => (span, positive(read_length(step, None)?.length, step)?),
                    None => (sizes, kind.usual_step),
                };
                let (least, most) = match span.split_once(" to ") {
                    Some((least, most)) => (Some(least), most),
                    None => (None, span),
                };
                let most = read_length(most, None)?;
                let least = match least {
                    Some(least) => read_length(least, Some(most.unit))?.length,
                    None => Length::ZERO,
                };
                if least < Length::ZERO || least >= most.length {
                    return Err(Problem::new(format!("`{text}` takes nothing between its ends"))
                        .mend("write the smaller size first"));
                }
                Ok(Self { kind, span: [least, most.length], sizes: Vec::new(), step, turn: None, said })
            }
            Takes::Sizes | Takes::One | Takes::Nothing | Takes::Angle => {
                let mut all = Vec::new();
                for one in sizes.split(',') {
                    all.extend(read_range(one.trim())?);
                }
                all.sort();
                all.dedup();
                let [Some(&first), Some(&last)] = [all.first(), all.last()] else { return Err(missing()) };
                Ok(Self { kind, span: [first, last], sizes: all, step: kind.usual_step, turn: None, said })
            }
        }
    }

    /// Whether it measures a length so.
    pub fn takes(&self, across: Across, length: Length) -> bool {
        let room = across != Across::Inside || self.kind.inside_from.is_none_or(|least| length >= least);
        self.kind.can(across) && room && self.span[0] <= length && length <= self.span[1]
    }

    /// What reading it adds to its own limits of error.
    pub fn adds(&self) -> Adds {
        self.said.unwrap_or_else(|| self.kind.shows(self.step)).adds(self.step)
    }

    /// What it is called beside a reading: `micrometer 0 to 25 mm`.
    pub fn words(&self) -> String {
        // One bought in inches keeps its name: `to 6 in`.
        let inches = |size: Length| size.as_inch_fraction().filter(|_| !size.ratio().is_integer());
        let by_inch = inches(self.span[1]).is_some();
        let shown = |size: Length| match size.as_inch_fraction() {
            Some(inches) if by_inch => inches,
            _ => size.shown(3),
        };
        let ([least, most], mm) = (self.span.map(shown), if by_inch { "in" } else { "mm" });
        let name = match self.said {
            Some(shows) => format!("{} {}", shows.word(), self.kind.name),
            None => self.kind.name.clone(),
        };
        match self.kind.takes {
            Takes::Nothing | Takes::Angle => name,
            Takes::Span if self.span[0] == Length::ZERO => format!("{name} to {most} {mm}"),
            Takes::Span => format!("{name} {least} to {most} {mm}"),
            Takes::Sizes | Takes::One if self.sizes.len() == 1 => format!("{name} {most} {mm}"),
            Takes::Sizes | Takes::One => format!("{name} {least} to {most} {mm}"),
        }
    }
}

/// What nearly every bench has, supposed where the file lists nothing.
const ORDINARY: [&str; 4] =
    ["caliper to 150 mm by 0.02 mm", "micrometer 0 to 25 mm by 0.01 mm", "indicator", "square"];

impl Bench {
    /// What there is to measure with, and whether that was only supposed.
    pub fn to_measure_with(&self) -> (Vec<Instrument>, bool) {
        match &self.instruments {
            Some(owned) => (owned.clone(), false),
            None => {
                let read = |text: &str| Instrument::read(text).expect("the ordinary instruments read");
                (ORDINARY.map(read).to_vec(), true)
            }
        }
    }

    /// One of a kind that has no size, where it is owned or nobody said what is.
    pub fn plain_instrument(&self, kind: &str) -> Option<Instrument> {
        self.to_measure_with().0.into_iter().find(|one| one.kind.name == kind)
    }

    /// The protractor that shows the least, where one is owned: its smallest angle, and whether a
    /// vernier shows it.
    pub fn protractor(&self) -> Option<(Angle, bool)> {
        let owned = self.instruments.iter().flatten();
        // Plain ones are not divided finer than half degrees.
        let vernier =
            |one: &Instrument, turn: Angle| one.said == Some(Shows::Vernier) || turn < Angle::ratio(1, 2);
        owned.filter_map(|one| one.turn.map(|turn| (turn, vernier(one, turn)))).min()
    }

    /// The sizes of every set of gauges of a kind.
    pub fn gauges(&self, kind: &str) -> Vec<Length> {
        let owned = self.instruments.iter().flatten().filter(|one| one.kind.name == kind);
        let mut sizes: Vec<Length> = owned.flat_map(|one| one.sizes.iter().copied()).collect();
        sizes.sort();
        sizes.dedup();
        sizes
    }
}

impl Reader {
    /// What there is to measure with, where the file says.
    pub(super) fn instruments(&mut self, sheet: &Sheet) -> Option<Vec<Instrument>> {
        sheet.get("instruments")?;
        let mut owned = Vec::new();
        for (text, line) in sheet.texts("instruments", &mut self.faults) {
            match Instrument::read(text) {
                Ok(instrument) => owned.push(instrument),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `instruments`"))),
            }
        }
        Some(owned)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_trade_words_are_read() {
        let caliper = Instrument::read("caliper to 150 mm by 0.05 mm").unwrap();
        assert!(
            caliper.takes(Across::Inside, Length::mm(12)) && !caliper.takes(Across::Inside, Length::mm(3))
        );
        let second = Instrument::read("micrometer 25 to 50 mm").unwrap();
        assert_eq!((second.span, second.step), ([Length::mm(25), Length::mm(50)], Length::microns(10)));
        assert!(!second.takes(Across::Outside, Length::mm(20)));
        let pins = Instrument::read("plug pins 3 mm to 5 mm by 0.5 mm, 8 mm").unwrap();
        assert_eq!((pins.sizes.len(), pins.words()), (6, "plug pins 3 to 8 mm".to_owned()));
        assert_eq!(Instrument::read("sine bar 100 mm").unwrap().words(), "sine bar 100 mm");
        let digital = Instrument::read("Digital caliper to 150 mm by 0.01 mm").unwrap();
        assert_eq!(
            (digital.words().as_str(), digital.said),
            ("digital caliper to 150 mm", Some(Shows::Digits))
        );
        let vernier = Instrument::read("vernier protractor by 5'").unwrap();
        assert_eq!(
            (vernier.words().as_str(), vernier.turn),
            ("vernier protractor", Some(Angle::ratio(5, 60)))
        );
        assert_eq!(Instrument::read("protractor").unwrap().turn, Some(Angle::degrees(1)));
        assert_eq!(Instrument::read("square").unwrap().words(), "square");
        assert_eq!(Instrument::read("indicator by 0.002 mm").unwrap().step, Length::microns(2));
        assert_eq!(Instrument::read("micrometer 0 to 1 in").unwrap().span[1], Length::inches(1, 1));
    }

    #[test]
    fn what_is_not_understood_is_told() {
        for (text, told) in [
            ("laser 3 mm", "known"),
            ("caliper", "size"),
            ("micrometer 50 to 25 mm", "between"),
            ("caliper to 150", "unit"),
            ("plug pins 3 mm to 5 mm", "steps"),
            ("protractor by 40°", "no angle"),
        ] {
            let fault = Instrument::read(text).unwrap_err();
            let all = fault.to_string();
            assert!(all.contains(told) && fault.remedy().is_some(), "{text}: {all}");
        }
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in "(caliper|dial caliper|plug pins|sine bar|indicator|\\PC{0,8}) ?\\PC{0,24}") {
            let _ = Instrument::read(&text);
        }
    }
}
