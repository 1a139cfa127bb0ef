//! What is said of how closely a mechanism is made: play in its joints, sizes of its own that
//! are kept within something, and results whose spread is asked for.

use mechanism::{JointId, Mechanism, ParamId};

use super::read::Reader;
use super::size::{Kind, Sizes};
use crate::assembly::Lie;
use crate::document::{Sheet, meant, nearest_word};
use crate::drawing::Size;
use crate::problem::Problem;
use crate::stack::size_of;

/// Everything that is said of it.
#[derive(Clone, Debug, Default)]
pub struct Loose {
    /// Pins that are loose in their bores.
    pub plays: Vec<SaidPlay>,
    /// Sizes of the mechanism's own that are kept within something.
    pub kept: Vec<SaidKept>,
    /// Results whose spread is asked for.
    pub asked: Vec<SaidSpread>,
}

/// A joint with play.
#[derive(Clone, Debug)]
pub struct SaidPlay {
    /// What the file calls it.
    pub name: String,
    /// Which joint.
    pub joint: JointId,
    /// How loose it is.
    pub clear: Clear,
}

/// How much larger a bore is than its pin.
#[derive(Clone, Debug)]
pub enum Clear {
    /// The bore of one part less the pin of another.
    Between {
        /// The pin: the part and its size.
        pin: (usize, Size),
        /// The bore likewise.
        bore: (usize, Size),
    },
    /// As stated, on the diameter, millimetres: the least and the most.
    Stated(f64, f64),
}

/// A size of the mechanism's own and how closely it is kept.
#[derive(Clone, Debug)]
pub struct SaidKept {
    /// Which.
    pub param: ParamId,
    /// How far it may go either way: millimetres or radians.
    pub within: f64,
    /// As written.
    pub text: String,
    /// How it lies there; evenly where nothing is said.
    pub lies: Option<Lie>,
}

/// A result whose spread is asked for.
#[derive(Clone, Debug)]
pub struct SaidSpread {
    /// Which.
    pub result: String,
    /// The least that is good, in the result's own unit.
    pub least: Option<f64>,
    /// The most.
    pub most: Option<f64>,
    /// Line in the file.
    pub line: usize,
}

impl Reader<'_> {
    /// Reads `play`, `kept` and `spread` of a mechanism whose links, joints and valves are read.
    pub(super) fn loose(&mut self, table: &Sheet) -> Loose {
        let plays = table.tables("play", &mut self.faults);
        let plays = plays.into_iter().filter_map(|sheet| self.play(sheet)).collect();
        let kept = table.tables("kept", &mut self.faults);
        let kept = kept.into_iter().filter_map(|sheet| self.kept(sheet)).collect();
        let asked = table.tables("spread", &mut self.faults);
        let asked = asked.into_iter().filter_map(|sheet| self.spread(sheet)).collect();
        Loose { plays, kept, asked }
    }

    fn play(&mut self, sheet: &Sheet) -> Option<SaidPlay> {
        let (name, line) = self.words(sheet, "joint", "connecting rod: first end")?;
        let clear: Vec<(String, usize)> =
            sheet.texts("clear", &mut self.faults).into_iter().map(|(t, l)| (t.to_owned(), l)).collect();
        let stated = !clear.is_empty();
        let clear = match clear.as_slice() {
            [] => {
                let pin = self.round(sheet, "pin", "Crankpin: journal");
                let bore = self.round(sheet, "bore", "Connecting rod: big end");
                pin.zip(bore).map(|(pin, bore)| Clear::Between { pin, bore })
            }
            [one] => self.clearance(one).map(|most| Clear::Stated(0.0, most)),
            [one, other] => {
                let (least, most) = (self.clearance(one)?, self.clearance(other)?);
                Some(Clear::Stated(least.min(most), least.max(most)))
            }
            [.., (_, line)] => {
                self.faults.push(
                    Problem::new("`clear` wants one clearance, or the least and the most")
                        .at(format!("line {line}, `clear`"))
                        .mend("write `clear = [\"0.01 mm\", \"0.03 mm\"]`"),
                );
                None
            }
        };
        if stated && (sheet.get("pin").is_some() || sheet.get("bore").is_some()) {
            self.faults.push(
                Problem::new(format!("the play of `{name}` is said twice"))
                    .at(sheet.place())
                    .why("`clear` states it, `pin` and `bore` give it by two sizes")
                    .mend("leave one of the two out"),
            );
        }
        sheet.finish(&mut self.faults);
        let joint = self.joint_at(&name, line)?;
        Some(SaidPlay { name, joint, clear: clear? })
    }

    fn clearance(&mut self, (text, line): &(String, usize)) -> Option<f64> {
        let mut apart = Mechanism::new();
        let mut sizes = Sizes::new(&[], self.sizes.unit);
        let read = sizes.read(&mut apart, text, "clear", Kind::Length);
        let read = read.map(|size| size.value(&apart.values())).and_then(|value| {
            let fault = || Problem::new(format!("`{text}` is less than no clearance"));
            if value < 0.0 { Err(fault().mend("write nought or more, on the diameter")) } else { Ok(value) }
        });
        read.map_err(|fault| self.faults.push(fault.at(format!("line {line}, `clear`")))).ok()
    }

    /// A round size of a part: by its feature alone its diameter is meant.
    fn round(&mut self, sheet: &Sheet, key: &str, such_as: &str) -> Option<(usize, Size)> {
        let (text, line) = self.words(sheet, key, such_as)?;
        let (part, name) = text.split_once(':').map_or((text.as_str(), ""), |(a, b)| (a.trim(), b.trim()));
        let whole = format!("{name}: diameter");
        let found = size_of(self.sizes.parts, part, name)
            .or_else(|fault| size_of(self.sizes.parts, part, &whole).map_err(|_| fault));
        found.map_err(|fault| self.faults.push(fault.at(format!("line {line}, `{key}`")))).ok()
    }

    /// The joint that a point belongs to, or a slot by its name.
    fn joint_at(&mut self, name: &str, line: usize) -> Option<JointId> {
        if let Some((_, joint)) = self.slots.iter().find(|(known, _)| known.eq_ignore_ascii_case(name)) {
            return Some(*joint);
        }
        let point = self.point_named(name, line, "joint")?;
        let has = |kind: &mechanism::Kind| match kind {
            mechanism::Kind::Pin(a, b) => *a == point || *b == point,
            _ => false,
        };
        let found: Vec<usize> = (0..self.m.joints.len()).filter(|&at| has(&self.m.joints[at].kind)).collect();
        match found.as_slice() {
            [one] => Some(JointId(*one)),
            [] => {
                self.faults.push(
                    Problem::new(format!("nothing is pinned at `{name}`"))
                        .at(format!("line {line}, `joint`"))
                        .mend("name a point at which two links are pinned, or a slot by its name"),
                );
                None
            }
            several => {
                let other = |at: &usize| match &self.m.joints[*at].kind {
                    mechanism::Kind::Pin(a, b) => self.m.point_name(if *a == point { *b } else { *a }),
                    _ => String::new(),
                };
                let others = several.iter().map(other).collect::<Vec<_>>().join(", ");
                self.faults.push(
                    Problem::new(format!("several links are pinned at `{name}`"))
                        .at(format!("line {line}, `joint`"))
                        .mend(format!("name the point of the other link: {others}")),
                );
                None
            }
        }
    }

    fn kept(&mut self, sheet: &Sheet) -> Option<SaidKept> {
        let (name, line) = self.words(sheet, "size", "advance")?;
        let (text, at) = self.words(sheet, "within", "0.5°")?;
        let lies = match sheet.text("lies", &mut self.faults) {
            None => None,
            Some((text, line)) => match Lie::named(text.trim()) {
                Ok(lie) => Some(lie),
                Err(fault) => {
                    self.faults.push(fault.at(format!("line {line}, `lies`")));
                    None
                }
            },
        };
        sheet.finish(&mut self.faults);
        let known = self.sizes.known.iter().position(|known| known.name.eq_ignore_ascii_case(&name));
        let Some(param) = known else {
            let near = nearest_word(&name, self.sizes.known.iter().map(|known| known.name.as_str()));
            let mend = meant(near, "name a size as `oddleg motion` lists it");
            return self.unknown("size", &name, (line, "size"), mend);
        };
        let known = &self.sizes.known[param];
        if known.of.is_some() {
            self.faults.push(
                Problem::new(format!("`{name}` is a size of a part"))
                    .at(format!("line {line}, `size`"))
                    .why("how closely it is kept is said in the part's own file")
                    .mend("write `within` beside the size there, and take this out"),
            );
            return None;
        }
        let mut apart = Mechanism::new();
        let mut sizes = Sizes::new(&[], self.sizes.unit);
        let within = sizes.read(&mut apart, &text, "within", known.kind);
        let within = within.map(|size| size.value(&apart.values())).and_then(|within| match within >= 0.0 {
            true => Ok(within),
            false => {
                Err(Problem::new(format!("`{text}` is less than nought")).mend("write it without a sign"))
            }
        });
        let within =
            within.map_err(|fault| self.faults.push(fault.at(format!("line {at}, `within`")))).ok()?;
        Some(SaidKept { param: ParamId(param), within, text, lies })
    }

    fn spread(&mut self, sheet: &Sheet) -> Option<SaidSpread> {
        let (result, line) = self.words(sheet, "result", "lead, head end")?;
        let least = self.limit(sheet, "least");
        let most = self.limit(sheet, "most");
        sheet.finish(&mut self.faults);
        if let (Some(from), Some(to)) = (least, most)
            && from >= to
        {
            self.faults.push(
                Problem::new(format!("nothing lies between the least and the most of `{result}`"))
                    .at(sheet.place())
                    .mend("write the lower of the two as `least`"),
            );
            return None;
        }
        Some(SaidSpread { result, least, most, line })
    }

    /// A value of a result: a length, an angle or a share.
    fn limit(&mut self, sheet: &Sheet, key: &str) -> Option<f64> {
        let (text, line) = sheet.text(key, &mut self.faults).map(|(t, l)| (t.trim().to_owned(), l))?;
        let value = match text.strip_suffix('%') {
            Some(share) => {
                let share = share.trim().parse::<f64>().ok().filter(|share| share.is_finite());
                share.map(|share| share / 100.0).ok_or_else(|| {
                    Problem::new(format!("cannot read `{text}` as a share")).mend("write it as `75 %`")
                })
            }
            None => {
                let mut apart = Mechanism::new();
                let mut sizes = Sizes::new(&[], self.sizes.unit);
                sizes.any(&mut apart, &text, key).map(|(size, _)| size.value(&apart.values()))
            }
        };
        value.map_err(|fault| self.faults.push(fault.at(format!("line {line}, `{key}`")))).ok()
    }
}
