//! Taper pins and the holes reamed for them.
//!
//! Metric pins taper 1:50 and are named by the **small** end; inch pins taper
//! 1:48 (a quarter inch to the foot) and are named by the **large** end. A pin
//! taken for the other kind is a spoiled shaft, so a bare number is refused.

use std::sync::LazyLock;

use super::drills;
use super::near::{plain, quoted};
use super::rows::rows;
use super::source::Source;
use crate::measure::{Length, Unit, Written};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// How much a pin tapers, and which end names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taper {
    /// Metric, ISO 2339: named by the small end.
    OneIn50,
    /// Inch, ASME B18.8.2: named by the large end.
    OneIn48,
}

/// A size of taper pin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaperPin {
    /// `2 mm`, `No. 4`, `No. 2/0`.
    pub name: String,
    /// Its taper.
    pub taper: Taper,
    /// The diameter of the end that names it.
    pub nominal: Length,
    /// Where the size is published.
    pub source: Source,
    /// Drills printed for it, by length; empty where no table was found.
    pub drills: Vec<PinDrill>,
}

/// A drill printed for a pin of one length: near the small end, before reaming.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PinDrill {
    /// Length of the pin.
    pub length: Length,
    /// The drill by name.
    pub name: String,
    /// Its diameter.
    pub diameter: Length,
    /// The table that prints it.
    pub source: Source,
}

impl Taper {
    /// Length for one of diameter: 50 or 48.
    pub const fn run(self) -> i64 {
        match self {
            Self::OneIn50 => 50,
            Self::OneIn48 => 48,
        }
    }
}

impl TaperPin {
    /// The diameter of the small end of a pin of this length.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when the length is not more than nought, or so long that the
    /// pin would come to a point.
    pub fn small_end(&self, length: Length) -> Result<Length, Problem> {
        let small = match self.taper {
            Taper::OneIn50 => self.nominal,
            Taper::OneIn48 => self.nominal - length / self.taper.run(),
        };
        if length.is_positive() && small.is_positive() {
            return Ok(small);
        }
        Err(Problem::new(format!("a taper pin {} cannot be {length} long", self.name))
            .why(format!(
                "its {} end is {} and it tapers 1:{}",
                self.named_end(),
                self.nominal,
                self.taper.run()
            ))
            .mend("mend the length, or choose a thicker pin"))
    }

    /// The diameter of the large end of a pin of this length.
    ///
    /// # Errors
    ///
    /// As [`TaperPin::small_end`].
    pub fn large_end(&self, length: Length) -> Result<Length, Problem> {
        Ok(self.small_end(length)? + length / self.taper.run())
    }

    /// The lengths for which a drill is printed, shortest first.
    pub fn lengths(&self) -> impl Iterator<Item = Length> {
        self.drills.iter().map(|drill| drill.length)
    }

    /// `small` or `large`: the end that the name gives.
    pub const fn named_end(&self) -> &'static str {
        match self.taper {
            Taper::OneIn50 => "small",
            Taper::OneIn48 => "large",
        }
    }

    /// The rows that a look-up shows.
    pub fn describe(&self) -> Vec<Figure> {
        let why = |what: String, source: &Source| Why::new(what).source(source.to_string());
        let end = format!("{} end", self.named_end());
        let mut figures = vec![
            Figure::new(
                &end,
                self.nominal.to_string(),
                why(format!("{} is named by its {end}", self.name), &self.source),
            ),
            Figure::new(
                "taper",
                format!("1:{}", self.taper.run()),
                why("on the diameter".to_owned(), &self.source),
            ),
        ];
        for drill in &self.drills {
            let inches =
                drill.length.as_inch_fraction().map_or(drill.length.to_string(), |i| format!("{i} in"));
            figures.push(Figure::new(
                format!("drill for {inches} long"),
                format!("{} ({} mm)", drill.name, drill.diameter.shown(3)),
                why("near the small end; ream and try".to_owned(), &drill.source),
            ));
        }
        figures
    }
}

/// Every pin, inch then metric, thinnest first.
pub fn all() -> &'static [TaperPin] {
    static ALL: LazyLock<Vec<TaperPin>> = LazyLock::new(|| {
        let mut pins: Vec<TaperPin> = rows!("taper_pins/pins.csv")
            .iter()
            .map(|row| TaperPin {
                name: row.text("name").to_owned(),
                taper: match row.text("taper") {
                    "1:50" => Taper::OneIn50,
                    "1:48" => Taper::OneIn48,
                    _ => row.bad("taper", "is no taper"),
                },
                nominal: row.length("nominal"),
                source: row.source(),
                drills: Vec::new(),
            })
            .collect();
        for row in rows!("taper_pins/drills.csv") {
            let drill = drills::find(row.text("drill")).unwrap_or_else(|p| row.bad("drill", p.what()));
            let pin = pins.iter_mut().find(|pin| pin.name == row.text("pin"));
            pin.unwrap_or_else(|| row.bad("pin", "is no pin")).drills.push(PinDrill {
                length: row.length("length"),
                name: drill.name.clone(),
                diameter: drill.diameter,
                source: row.source(),
            });
        }
        for pin in &mut pins {
            pin.drills.sort_by_key(|drill| drill.length);
        }
        pins
    });
    &ALL
}

/// The pin of that name: `No. 4`, `#4`, `2/0`, `No. 2/0` (inch, 1:48), or `2 mm`
/// (metric, 1:50), with or without `taper pin` after it.
///
/// # Errors
///
/// A [`Problem`] that lists the sizes; and for a bare number, which may be an
/// inch pin or a metric one.
pub fn find(text: &str) -> Result<&'static TaperPin, Problem> {
    let lower = text.trim().to_lowercase();
    let body = lower.strip_suffix("taper pin").unwrap_or(&lower).trim();
    let body = body.strip_prefix("taper pin").unwrap_or(body).trim();
    let number = ["number", "no.", "nº", "no", "№", "#"].iter().find_map(|mark| body.strip_prefix(mark));
    let wanted = match number {
        Some(number) => format!("No. {}", number.trim()),
        // Only inch pins have noughts: 7/0 to 2/0.
        None if body.ends_with("/0") => format!("No. {body}"),
        None => body.to_owned(),
    };
    if let Some(pin) = all().iter().find(|pin| plain(&pin.name) == plain(&wanted)) {
        return Ok(pin);
    }
    let sizes = |taper: Taper| {
        let names: Vec<&str> = all().iter().filter(|p| p.taper == taper).map(|p| p.name.as_str()).collect();
        names.join(", ")
    };
    if !body.is_empty() && body.bytes().all(|b| b.is_ascii_digit() || b == b'.') {
        return Err(Problem::new(format!("a taper pin {} may be an inch pin or a metric one", quoted(text)))
            .why("inch pins taper 1:48 and are named by the large end, metric 1:50 by the small end")
            .mend(format!("write `No. {body}` or `{body} mm`")));
    }
    Err(Problem::new(format!("there is no taper pin {}", quoted(text)))
        .why(format!("inch pins are {}; metric pins are {}", sizes(Taper::OneIn48), sizes(Taper::OneIn50)))
        .mend("choose one of those"))
}

/// The pin whose named end is of this diameter, exactly. No inch pin is as thick as a
/// metric one, so a diameter names one pin.
pub fn of_nominal(nominal: Length) -> Option<&'static TaperPin> {
    all().iter().find(|pin| pin.nominal == nominal)
}

/// Reads a pin by name as the diameter that names it.
///
/// # Errors
///
/// As [`find`].
pub fn read_nominal(text: &str) -> Result<Written, Problem> {
    let pin = find(text)?;
    let unit = match pin.taper {
        Taper::OneIn50 => Unit::Mm,
        Taper::OneIn48 => Unit::Inch,
    };
    Ok(Written { text: text.trim().to_owned(), length: pin.nominal, unit })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Sizes of ISO 2339 and ASME B18.8.2, typed from memory of the standards.
    #[test]
    fn sizes_agree_with_the_standards() {
        const METRIC: [&str; 14] =
            ["0.6", "0.8", "1", "1.2", "1.5", "2", "2.5", "3", "4", "5", "6", "8", "10", "12"];
        // Thousandths of an inch at the large end (7/0 is 62.5).
        const INCH: [(&str, i128); 17] = [
            ("7/0", 625),
            ("6/0", 780),
            ("5/0", 940),
            ("4/0", 1090),
            ("3/0", 1250),
            ("2/0", 1410),
            ("0", 1560),
            ("1", 1720),
            ("2", 1930),
            ("3", 2190),
            ("4", 2500),
            ("5", 2890),
            ("6", 3410),
            ("7", 4090),
            ("8", 4920),
            ("9", 5910),
            ("10", 7060),
        ];
        let listed = |taper| all().iter().filter(move |p: &&TaperPin| p.taper == taper);
        assert!(listed(Taper::OneIn50).map(|p| p.nominal.shown(1)).eq(METRIC));
        assert!(listed(Taper::OneIn50).map(|p| p.name.trim_end_matches(" mm")).eq(METRIC));
        let inch: Vec<(&str, Length)> = listed(Taper::OneIn48).map(|p| (&p.name[4..], p.nominal)).collect();
        assert_eq!(inch, INCH.map(|(name, d)| (name, Length::inches(d, 10_000))));
    }

    /// A 2 mm metric pin 20 long is 2.4 at the large end; a No. 0 inch pin an inch
    /// long is 0.1352 in at the small end (0.156 less 1/48, as printed).
    #[test]
    fn the_named_end_is_small_in_metric_and_large_in_inch() {
        let metric = find("2 mm").unwrap();
        assert_eq!(metric.small_end(Length::mm(20)).unwrap(), Length::mm(2));
        assert_eq!(metric.large_end(Length::mm(20)).unwrap(), Length::microns(2400));
        let inch = find("No. 0").unwrap();
        let small = inch.small_end(Length::inches(1, 1)).unwrap();
        assert!((small.as_inches() - 0.1352).abs() < 0.000_05);
        assert_eq!(inch.large_end(Length::inches(1, 1)).unwrap(), Length::thou(156));
    }

    /// TM 9-254 Table 3-1: every drill stands within 5.5 thou of the small end, 86
    /// of the 97 within 2, and none reaches the large end.
    #[test]
    fn printed_drills_stand_near_the_small_end() {
        let mut near = 0;
        for (pin, drill) in all().iter().flat_map(|pin| pin.drills.iter().map(move |drill| (pin, drill))) {
            let gap = drill.diameter.gap(pin.small_end(drill.length).unwrap());
            assert!(gap <= Length::inches(56, 10_000), "{} {}", pin.name, drill.name);
            assert!(drill.diameter < pin.nominal, "{} {}", pin.name, drill.name);
            near += usize::from(gap <= Length::inches(205, 100_000));
        }
        assert_eq!((all().iter().map(|p| p.drills.len()).sum::<usize>(), near), (97, 86));
        assert!(all().iter().all(|p| p.lengths().is_sorted()));
    }

    proptest! {
        /// Along the pin the diameter gains one in 48 or 50, whatever the length.
        #[test]
        fn the_ends_differ_by_the_taper(at in 0..all().len(), microns in 1i64..12_000) {
            let (pin, length) = (&all()[at], Length::microns(microns));
            let (small, large) = (pin.small_end(length).unwrap(), pin.large_end(length).unwrap());
            prop_assert_eq!((large - small) * pin.taper.run(), length);
            prop_assert!(small == pin.nominal || large == pin.nominal);
        }
    }

    #[test]
    fn every_pin_is_found_by_its_own_name() {
        for pin in all() {
            for text in [
                pin.name.clone(),
                format!("{} taper pin", pin.name.to_uppercase()),
                pin.name.replace(' ', ""),
            ] {
                assert_eq!(find(&text).unwrap(), pin, "{text}");
            }
        }
        assert_eq!(find("#2").unwrap().name, "No. 2");
        assert_eq!(find("2/0").unwrap().name, "No. 2/0");
    }

    #[test]
    fn a_bare_number_or_an_unknown_pin_is_refused() {
        assert!(find("2").unwrap_err().remedy().unwrap().contains("`No. 2` or `2 mm`"));
        assert!(find("11 mm").unwrap_err().reason().unwrap().contains("10 mm, 12 mm"));
        assert!(find("").is_err() && find("No. 11").is_err() && find("8/0").is_err());
        let pin = find("No. 7/0").unwrap();
        for length in [Length::ZERO, Length::mm(-1), Length::inches(3, 1)] {
            assert!(pin.small_end(length).unwrap_err().reason().unwrap().contains("1:48"), "{length}");
        }
    }
}
