//! Tools and bars as they are ordinarily bought: sets to tick on the bench page.
//!
//! Each is one row of [`ALL`] with what it puts into the bench file. A set is owned
//! when everything it holds stands in the file.

use super::asks::Rack;
use crate::edit::{Change, Value};

/// A set as the trade sells it.
#[derive(Clone, Copy, Debug)]
pub struct Set {
    /// Under which heading of the page it stands.
    pub rack: Rack,
    /// What the trade calls it.
    pub name: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// Where its sizes come from.
    pub source: &'static str,
}

/// What a set holds.
#[derive(Clone, Copy, Debug)]
pub enum Holds {
    /// Words in the list of the rack.
    Items(&'static [&'static str]),
    /// Cutters: diameter and length of the cutting edges in millimetres, and their teeth.
    Cutters(u32, &'static [(&'static str, &'static str)]),
    /// Slitting saws of one diameter, by width in millimetres.
    Saws(&'static str, &'static [&'static str]),
    /// Bars of one material: the key of their section, their sizes in millimetres,
    /// and one more key with its value where they have one.
    Bars {
        /// As the materials table names it.
        material: &'static str,
        /// `flat`, `round`, `square` or `hexagon`.
        section: &'static str,
        /// Sizes in millimetres.
        sizes: &'static [&'static str],
        /// Such as the width of flats.
        more: Option<(&'static str, &'static str)>,
    },
}

const USUAL: &str = "common practice";
const MILLS: &str = "DIN 844 short, from memory";
const SLOTS: &str = "DIN 327 short, from memory";

const fn set(rack: Rack, name: &'static str, holds: Holds, source: &'static str) -> Set {
    Set { rack, name, holds, source }
}

const fn bars(
    name: &'static str,
    material: &'static str,
    section: &'static str,
    sizes: &'static [&'static str],
    more: Option<(&'static str, &'static str)>,
) -> Set {
    set(Rack::Stock, name, Holds::Bars { material, section, sizes, more }, USUAL)
}

/// Every set, in the order of the page.
pub const ALL: &[Set] = &[
    set(Rack::Drills, "metric, 1 to 13 mm by 0.5", Holds::Items(&["1 mm to 13 mm by 0.5 mm"]), USUAL),
    set(Rack::Drills, "metric, 1 to 13 mm by 0.1", Holds::Items(&["1 mm to 13 mm by 0.1 mm"]), USUAL),
    set(Rack::Drills, "metric, 1 to 6 mm by 0.1", Holds::Items(&["1 mm to 6 mm by 0.1 mm"]), USUAL),
    set(Rack::Drills, "metric, 6 to 10 mm by 0.1", Holds::Items(&["6 mm to 10 mm by 0.1 mm"]), USUAL),
    set(Rack::Drills, "metric, 0.3 to 1 mm by 0.1", Holds::Items(&["0.3 mm to 1 mm by 0.1 mm"]), USUAL),
    set(Rack::Drills, "numbers 1 to 60", Holds::Items(&["numbers 1 to 60"]), USUAL),
    set(Rack::Drills, "numbers 61 to 80", Holds::Items(&["numbers 61 to 80"]), USUAL),
    set(Rack::Drills, "letters A to Z", Holds::Items(&["letters"]), USUAL),
    set(Rack::Drills, "inch, 1/16 to 1/2 by 1/64", Holds::Items(&["1/16 in to 1/2 in by 1/64 in"]), USUAL),
    set(
        Rack::Reamers,
        "3, 4, 5, 6, 8, 10 mm H7",
        Holds::Items(&["3 mm H7", "4 mm H7", "5 mm H7", "6 mm H7", "8 mm H7", "10 mm H7"]),
        USUAL,
    ),
    set(Rack::Reamers, "2 to 12 mm by 1, H7", Holds::Items(&["2 mm to 12 mm by 1 mm H7"]), USUAL),
    set(
        Rack::Reamers,
        "inch, 1/8 to 1/2 by 1/16, H7",
        Holds::Items(&["1/8 in to 1/2 in by 1/16 in H7"]),
        USUAL,
    ),
    set(
        Rack::Taps,
        "metric coarse, M2 to M12",
        Holds::Items(&["M2", "M2.5", "M3", "M4", "M5", "M6", "M8", "M10", "M12"]),
        USUAL,
    ),
    set(
        Rack::Taps,
        "metric coarse, M1 to M1.8",
        Holds::Items(&["M1", "M1.2", "M1.4", "M1.6", "M1.8"]),
        USUAL,
    ),
    set(
        Rack::Taps,
        "metric fine",
        Holds::Items(&["M4x0.5", "M5x0.5", "M6x0.75", "M8x1", "M10x1", "M12x1"]),
        USUAL,
    ),
    set(
        Rack::Taps,
        "BA, even numbers",
        Holds::Items(&["0 BA", "2 BA", "4 BA", "6 BA", "8 BA", "10 BA"]),
        USUAL,
    ),
    set(Rack::Taps, "BA, odd numbers", Holds::Items(&["1 BA", "3 BA", "5 BA", "7 BA", "9 BA"]), USUAL),
    set(
        Rack::Taps,
        "ME 40 to the inch",
        Holds::Items(&[
            "1/8 x 40 ME",
            "5/32 x 40 ME",
            "3/16 x 40 ME",
            "7/32 x 40 ME",
            "1/4 x 40 ME",
            "5/16 x 40 ME",
            "3/8 x 40 ME",
        ]),
        USUAL,
    ),
    set(
        Rack::Taps,
        "ME 32 to the inch",
        Holds::Items(&["1/4 x 32 ME", "5/16 x 32 ME", "3/8 x 32 ME", "7/16 x 32 ME", "1/2 x 32 ME"]),
        USUAL,
    ),
    set(
        Rack::Taps,
        "Whitworth, 1/8 to 1/2",
        Holds::Items(&["1/8 BSW", "3/16 BSW", "1/4 BSW", "5/16 BSW", "3/8 BSW", "7/16 BSW", "1/2 BSW"]),
        USUAL,
    ),
    set(
        Rack::Taps,
        "BSF, 3/16 to 1/2",
        Holds::Items(&["3/16 BSF", "1/4 BSF", "5/16 BSF", "3/8 BSF", "7/16 BSF", "1/2 BSF"]),
        USUAL,
    ),
    set(Rack::Collets, "ER16, 1 to 10 mm", Holds::Items(&["1 mm to 10 mm by 1 mm"]), USUAL),
    set(Rack::Collets, "ER25, 2 to 16 mm", Holds::Items(&["2 mm to 16 mm by 1 mm"]), USUAL),
    set(Rack::Collets, "ER32, 3 to 20 mm", Holds::Items(&["3 mm to 20 mm by 1 mm"]), USUAL),
    set(
        Rack::Collets,
        "straight, 6, 10, 12, 16 mm",
        Holds::Items(&["6 mm", "10 mm", "12 mm", "16 mm"]),
        USUAL,
    ),
    set(
        Rack::Collets,
        "straight, 1/4, 3/8, 1/2, 5/8 in",
        Holds::Items(&["1/4 in", "3/8 in", "1/2 in", "5/8 in"]),
        USUAL,
    ),
    set(
        Rack::WorkHolding,
        "as most lathes are sold",
        Holds::Items(&["three-jaw chuck", "four-jaw chuck", "faceplate", "centres", "fixed steady"]),
        USUAL,
    ),
    set(Rack::WorkHolding, "soft jaws", Holds::Items(&["soft jaws"]), USUAL),
    set(Rack::WorkHolding, "travelling steady", Holds::Items(&["travelling steady"]), USUAL),
    set(Rack::Mandrels, "taper, 6 to 12 mm by 1", Holds::Items(&["6 mm to 12 mm by 1 mm"]), USUAL),
    set(
        Rack::EndMills,
        "end mills, 3 to 12 mm, four teeth",
        Holds::Cutters(
            4,
            &[("3", "8"), ("4", "11"), ("5", "13"), ("6", "13"), ("8", "19"), ("10", "22"), ("12", "26")],
        ),
        MILLS,
    ),
    set(
        Rack::EndMills,
        "end mills, 16 and 20 mm, four teeth",
        Holds::Cutters(4, &[("16", "32"), ("20", "38")]),
        MILLS,
    ),
    set(
        Rack::EndMills,
        "slot drills, 3 to 12 mm, two teeth",
        Holds::Cutters(
            2,
            &[("3", "5"), ("4", "7"), ("5", "8"), ("6", "8"), ("8", "11"), ("10", "13"), ("12", "16")],
        ),
        SLOTS,
    ),
    set(Rack::Saws, "63 mm across, 0.5 to 2 mm", Holds::Saws("63", &["0.5", "0.8", "1", "1.6", "2"]), USUAL),
    set(Rack::Saws, "80 mm across, 0.8 to 2 mm", Holds::Saws("80", &["0.8", "1", "1.6", "2"]), USUAL),
    bars(
        "mild steel rounds",
        "mild steel",
        "round",
        &["4", "5", "6", "8", "10", "12", "16", "20", "25"],
        None,
    ),
    bars(
        "mild steel flats, 50 mm wide",
        "mild steel",
        "flat",
        &["3", "5", "6", "8", "10", "12", "16", "20", "25"],
        Some(("width", "50 mm")),
    ),
    bars("mild steel squares", "mild steel", "square", &["6", "8", "10", "12", "16", "20", "25"], None),
    bars(
        "mild steel hexagons",
        "mild steel",
        "hexagon",
        &["6", "7", "8", "10", "12", "13", "14", "17", "19"],
        None,
    ),
    bars(
        "silver steel rounds, h8",
        "silver steel",
        "round",
        &["2", "3", "4", "5", "6", "8", "10", "12"],
        Some(("class", "h8")),
    ),
    bars("brass rounds", "brass", "round", &["3", "4", "5", "6", "8", "10", "12", "16", "20"], None),
    bars(
        "brass flats, 100 mm wide",
        "brass",
        "flat",
        &["2", "3", "4", "5", "6", "8", "10"],
        Some(("width", "100 mm")),
    ),
    bars("brass hexagons", "brass", "hexagon", &["5", "6", "7", "8", "10", "12", "13", "14", "17"], None),
    bars("brass squares", "brass", "square", &["5", "6", "8", "10", "12"], None),
    bars(
        "aluminium flats, 50 mm wide",
        "aluminium alloy",
        "flat",
        &["3", "5", "6", "8", "10", "12", "16", "20"],
        Some(("width", "50 mm")),
    ),
    bars(
        "aluminium rounds",
        "aluminium alloy",
        "round",
        &["6", "8", "10", "12", "16", "20", "25", "30"],
        None,
    ),
    bars("phosphor bronze rounds", "phosphor bronze", "round", &["10", "12", "16", "20", "25"], None),
];

impl Set {
    /// What it puts into the file, each with the list or tables it goes into.
    pub fn contents(&self) -> Vec<(&'static str, Value)> {
        let key = self.rack.key();
        let mm = |size: &str| Value::text(format!("{size} mm"));
        let table = |entries: Vec<(&str, Value)>| {
            let entries = entries.into_iter().map(|(key, value)| (key.to_owned(), value));
            (key, Value::Table(entries.collect()))
        };
        match self.holds {
            Holds::Items(items) => items.iter().map(|item| (key, Value::text(*item))).collect(),
            Holds::Cutters(teeth, sizes) => {
                let cutter = |(diameter, flute): &(&str, &str)| {
                    table(vec![
                        ("diameter", mm(diameter)),
                        ("flute", mm(flute)),
                        ("teeth", Value::Number(teeth.to_string())),
                    ])
                };
                sizes.iter().map(cutter).collect()
            }
            Holds::Saws(diameter, widths) => {
                let saw = |width: &&str| {
                    table(vec![("diameter", mm(diameter)), ("width", mm(width)), ("collar", mm("25"))])
                };
                widths.iter().map(saw).collect()
            }
            Holds::Bars { material, section, sizes, more } => {
                let sizes = Value::texts(sizes.iter().map(|size| format!("{size} mm")));
                let mut entries = vec![("material", Value::text(material)), (section, sizes)];
                entries.extend(more.map(|(key, value)| (key, Value::text(value))));
                vec![table(entries)]
            }
        }
    }

    /// The changes that put it on the bench.
    pub fn on(&self) -> Vec<Change> {
        let include = |(at, item): (&str, Value)| Change::Include { at: at.to_owned(), item };
        self.contents().into_iter().map(include).collect()
    }

    /// The changes that take it off.
    pub fn off(&self) -> Vec<Change> {
        let exclude = |(at, item): (&str, Value)| Change::Exclude { at: at.to_owned(), item };
        self.contents().into_iter().map(exclude).collect()
    }
}
