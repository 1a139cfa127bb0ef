//! The unit of a file: as stated, as asked for, and whether it can be true.

use super::drawn::Stated;
use crate::measure::Unit;
use crate::problem::Problem;

/// A unit that the numbers of a file may stand in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileUnit {
    /// Thousandths of a millimetre.
    Micron,
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Decimetres.
    Dm,
    /// Metres.
    Metre,
    /// Thousandths of an inch.
    Thou,
    /// Inches.
    Inch,
    /// Feet.
    Foot,
    /// Yards.
    Yard,
    /// Picture points: 96 to the inch, as style sheets have it.
    Pixel,
    /// Printers' points: 72 to the inch.
    Point,
    /// Picas: 6 to the inch.
    Pica,
}

/// Each unit, its millimetres, the words a person types for it (the first is
/// the one that is shown), and its number in a DXF file where it has one.
///
/// Sources: 1 in = 25.4 mm exactly, NIST SP 811 (2008), Appendix B; 96 px and
/// 72 pt to the inch, CSS Values and Units Module Level 3, section 6.2; the
/// numbers of `$INSUNITS`, the published DXF reference, header section.
const UNITS: [(FileUnit, f64, &[&str], Option<i64>); 12] = [
    (FileUnit::Mm, 1.0, &["mm", "millimetres", "millimeters"], Some(4)),
    (FileUnit::Inch, 25.4, &["in", "inch", "inches", "\""], Some(1)),
    (FileUnit::Cm, 10.0, &["cm", "centimetres"], Some(5)),
    (FileUnit::Dm, 100.0, &["dm", "decimetres"], Some(14)),
    (FileUnit::Metre, 1000.0, &["m", "metres"], Some(6)),
    (FileUnit::Micron, 0.001, &["micron", "µm", "um"], Some(13)),
    (FileUnit::Thou, 0.0254, &["thou", "mil"], Some(9)),
    (FileUnit::Foot, 304.8, &["ft", "foot", "feet"], Some(2)),
    (FileUnit::Yard, 914.4, &["yd", "yard", "yards"], Some(10)),
    (FileUnit::Pixel, 25.4 / 96.0, &["px", "pixel"], None),
    (FileUnit::Point, 25.4 / 72.0, &["pt", "point"], None),
    (FileUnit::Pica, 25.4 / 6.0, &["pc", "pica"], None),
];

impl FileUnit {
    /// How many millimetres one of it is.
    pub fn each_mm(self) -> f64 {
        self.row().1
    }

    /// The short word for it, such as `mm`.
    pub fn word(self) -> &'static str {
        self.row().2[0]
    }

    /// The unit in which a part from such a file is written.
    pub const fn of_part(self) -> Unit {
        match self {
            Self::Thou | Self::Inch | Self::Foot | Self::Yard => Unit::Inch,
            _ => Unit::Mm,
        }
    }

    /// The unit that a word stands for.
    ///
    /// # Errors
    ///
    /// A [`Problem`] that lists the words.
    pub fn read(word: &str) -> Result<Self, Problem> {
        let found = UNITS.iter().find(|row| row.2.iter().any(|w| w.eq_ignore_ascii_case(word.trim())));
        found.map(|row| row.0).ok_or_else(|| {
            let words: Vec<String> = UNITS.iter().map(|row| format!("`{}`", row.2[0])).collect();
            Problem::new(format!("`{word}` is not a unit")).mend(format!("it may be {}", words.join(", ")))
        })
    }

    /// The unit of a number of `$INSUNITS`.
    pub(super) fn of_dxf(code: i64) -> Option<Self> {
        UNITS.iter().find(|row| row.3 == Some(code)).map(|row| row.0)
    }

    fn row(self) -> &'static (Self, f64, &'static [&'static str], Option<i64>) {
        UNITS.iter().find(|row| row.0 == self).expect("every unit has a row")
    }
}

/// The unit that a file is read in.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Settled {
    pub unit: FileUnit,
    /// Millimetres to one unit of the coordinates.
    pub each_mm: f64,
    /// How it came to be this one, for the report.
    pub how: String,
    /// True when the person said so.
    pub asked: bool,
}

/// The unit asked for, else the one stated.
pub(super) fn settle(stated: &Stated, asked: Option<FileUnit>) -> Result<Settled, Problem> {
    match (asked, stated) {
        (Some(unit), Stated::Unit { unit: said, each_mm, how }) => {
            let agrees = unit == *said;
            Ok(Settled {
                unit,
                // A view that scales still does, in the unit that is meant.
                each_mm: each_mm / said.each_mm() * unit.each_mm(),
                how: if agrees {
                    format!("{}, as asked and as {how} says", unit.word())
                } else {
                    format!("{}, as asked, though {how} says {}", unit.word(), said.word())
                },
                asked: true,
            })
        }
        (Some(unit), Stated::Nothing { each, .. }) => Ok(Settled {
            unit,
            each_mm: unit.each_mm() * each,
            how: format!("{}, as asked; the file does not say", unit.word()),
            asked: true,
        }),
        (None, Stated::Unit { unit, each_mm, how }) => Ok(Settled {
            unit: *unit,
            each_mm: *each_mm,
            how: format!("{}, as {how} says", unit.word()),
            asked: false,
        }),
        (None, Stated::Nothing { why, .. }) => Err(Problem::new("the file does not say its unit")
            .why(format!("{why}; one unit could be a millimetre or an inch, and nothing is guessed"))
            .mend("say it: `--unit mm` or `--unit in`")),
    }
}

/// A part smaller than this across, in millimetres, is a rare one.
const SMALL_MM: f64 = 5.0;
/// And one larger than this does not lie on a small mill.
const LARGE_MM: f64 = 1000.0;
/// How near a number must come to a step to be meant, in the file's units.
const NEAT: f64 = 1e-6;

/// Whether a stated unit looks wrong, and the question to put if so.
///
/// `sizes` are the sizes and places of the part in the file's own units, the
/// size across all first.
pub(super) fn doubt(settled: &Settled, sizes: &[f64]) -> Option<String> {
    if settled.asked {
        return None;
    }
    if settled.unit == FileUnit::Pixel {
        return Some(
            "the file's size is in px: 96 to the inch is supposed, as style sheets have it. Check one size; if it \
             is wrong, say with `--unit mm` that one px is a millimetre, or with `--unit in` an inch"
                .into(),
        );
    }
    // What the numbers are in the unit that is stated, whatever a view scales them by.
    let sizes: Vec<f64> = sizes.iter().map(|s| s * settled.each_mm / settled.unit.each_mm()).collect();
    let across = *sizes.first()?;
    let inches = |from: &str| {
        format!(
            "{from}; in inches it would be {:.1} mm. If it is in inches, read it again with `--unit in`",
            across * 25.4
        )
    };
    let metric = |from: &str| {
        format!(
            "{from}; in millimetres it would be {across:.1} mm. If it is in millimetres, read it again with `--unit mm`"
        )
    };
    let (word, is_mm) = (settled.unit.word(), settled.unit.of_part() == Unit::Mm);
    let across_mm = across * settled.unit.each_mm();
    // Only sizes that tell the two apart: a whole number is neat in both.
    let telling: Vec<f64> = sizes.iter().copied().filter(|s| (s - s.round()).abs() > NEAT).collect();
    let share = |step: f64| {
        let neat = |s: &&f64| (*s / step - (*s / step).round()).abs() * step <= NEAT;
        telling.iter().filter(neat).count() as f64 / telling.len().max(1) as f64
    };
    let (tenths, sixty_fourths) = (share(0.1), share(1.0 / 64.0));
    match settled.unit {
        FileUnit::Mm if across_mm < SMALL_MM => {
            Some(inches(&format!("the file says {word}, and the part is {across_mm:.3} mm across")))
        }
        FileUnit::Mm if telling.len() >= 3 && sixty_fourths > 0.8 && tenths < 0.5 => Some(inches(&format!(
            "the file says {word}, but its numbers are sixty-fourths, as in inches, and not tenths of a millimetre"
        ))),
        FileUnit::Inch if across_mm > LARGE_MM => {
            Some(metric(&format!("the file says inches, and the part is {across_mm:.0} mm across")))
        }
        FileUnit::Inch if telling.len() >= 3 && tenths > 0.8 && sixty_fourths < 0.5 && across > 10.0 => {
            Some(metric(
                "the file says inches, but its numbers are tenths, as in millimetres, and not sixty-fourths",
            ))
        }
        FileUnit::Mm | FileUnit::Inch => None,
        _ if !(SMALL_MM..=LARGE_MM).contains(&across_mm) => {
            let other = if is_mm { "`--unit mm` or `--unit in`" } else { "`--unit in` or `--unit mm`" };
            Some(format!(
                "the file says {word}, and the part is {across_mm:.3} mm across. If that is wrong, read it again with {other}"
            ))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stated(unit: FileUnit) -> Settled {
        let stated = Stated::Unit { unit, each_mm: unit.each_mm(), how: "$INSUNITS".into() };
        settle(&stated, None).unwrap()
    }

    #[test]
    fn a_unit_that_cannot_be_meant_is_questioned() {
        // The valve lever of the demo project in inches, but said to be millimetres.
        let small = doubt(&stated(FileUnit::Mm), &[1.84, 0.875]).unwrap();
        assert!(small.contains("1.840 mm across") && small.contains("46.7 mm"), "{small}");
        let sixty_fourths = doubt(&stated(FileUnit::Mm), &[12.0, 0.84375, 5.28125, 1.015625]).unwrap();
        assert!(sixty_fourths.contains("sixty-fourths"), "{sixty_fourths}");
        let large = doubt(&stated(FileUnit::Inch), &[46.8, 22.2]).unwrap();
        assert!(large.contains("1189 mm across") && large.contains("46.8 mm"), "{large}");
        let tenths = doubt(&stated(FileUnit::Inch), &[30.4, 22.2, 3.1, 6.7]).unwrap();
        assert!(tenths.contains("tenths"), "{tenths}");
        assert!(doubt(&stated(FileUnit::Metre), &[46.0]).is_some());
    }

    #[test]
    fn a_unit_that_fits_is_not_questioned() {
        assert_eq!(doubt(&stated(FileUnit::Mm), &[46.8, 22.2, 3.5]), None);
        // An inch part drawn in millimetres.
        assert_eq!(doubt(&stated(FileUnit::Mm), &[46.83125, 22.225, 4.7625, 21.43125]), None);
        assert_eq!(doubt(&stated(FileUnit::Inch), &[1.84375, 0.875, 0.1875]), None);
        let asked = settle(&Stated::nothing("x"), Some(FileUnit::Mm)).unwrap();
        assert_eq!(doubt(&asked, &[1.84]), None, "the person has said so");
    }

    #[test]
    fn a_unit_that_nobody_states_is_asked_for() {
        let fault = settle(&Stated::nothing("`$INSUNITS` is 0"), None).unwrap_err();
        assert!(fault.remedy().unwrap().contains("--unit mm"), "{fault}");
        assert!(FileUnit::read("furlong").unwrap_err().remedy().unwrap().contains("`mm`"));
        assert_eq!(FileUnit::read(" Inches ").unwrap(), FileUnit::Inch);
    }
}
