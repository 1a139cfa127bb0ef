//! Reading what a mechanism file says of valves, of settings, and of what is to be held.

use mechanism::{Measure, Mechanism, PortEnd, Valve};

use super::machine::{Hold, Setting, ValveSaid};
use super::read::Reader;
use super::size::{Kind, Sizes};
use crate::document::{Sheet, meant, nearest_word};
use crate::problem::Problem;

impl Reader<'_> {
    pub(super) fn valve(&mut self, table: &Sheet) -> Option<ValveSaid> {
        let name = self.words(table, "name", "slide valve")?.0;
        let piston = self.slides(table, "piston");
        let place = self.slides(table, "valve");
        let admission = match table.text("admission", &mut self.faults) {
            None => mechanism::Admission::Outside,
            Some((text, line)) => match text.trim() {
                "outside" => mechanism::Admission::Outside,
                "inside" => mechanism::Admission::Inside,
                other => {
                    let fault = Problem::new(format!("`{other}` is no way of admission"))
                        .at(format!("line {line}, `admission`"))
                        .mend("write `outside` or `inside`: the edge of the valve that lets steam in");
                    self.faults.push(fault);
                    return None;
                }
            },
        };
        let lap = self.both(table, "lap", &name, true);
        let exhaust = self.both(table, "exhaust_lap", &name, false);
        let port = self.both(table, "port", &name, true);
        let (mid, set) = match table.get("mid") {
            Some(_) => (self.length(table, "mid", &format!("{name}: mid"))?, None),
            None => {
                let label = format!("{name}: mid place, by its nut");
                let why =
                    crate::why::Why::assumed("the valve is set on its spindle for equal lead at both ends")
                        .source("common practice");
                let param = self.sizes.alike(&mut self.m, (&label, Kind::Length), 0.0, why);
                (param.into(), Some(param))
            }
        };
        table.finish(&mut self.faults);
        let ends = lap?.into_iter().zip(exhaust?).zip(port?);
        let ends: Vec<PortEnd> =
            ends.map(|((lap, exhaust_lap), port)| PortEnd { lap, exhaust_lap, port }).collect();
        let ends: [PortEnd; 2] = ends.try_into().ok()?;
        Some(ValveSaid { name, valve: Valve { piston: piston?, place: place?, mid, admission, ends }, set })
    }

    /// How far something slides along its line.
    fn slides(&mut self, table: &Sheet, key: &str) -> Option<Measure> {
        let (text, line) = self.words(table, key, "crosshead")?;
        let found = self.sliders.iter().find(|(name, ..)| name.eq_ignore_ascii_case(&text));
        if let Some((_, point, line)) = found {
            return Some(Measure::Along(*point, line.clone()));
        }
        let near = nearest_word(&text, self.sliders.iter().map(|(name, ..)| name.as_str()));
        let mend = meant(near, "name a `[[mechanism.slider]]` of it");
        self.unknown("slider", &text, (line, key), mend)
    }

    /// One size for both ends, or one for each: the head end first.
    fn both(&mut self, table: &Sheet, key: &str, name: &str, needed: bool) -> Option<[mechanism::Size; 2]> {
        let texts: Vec<(String, usize)> =
            table.texts(key, &mut self.faults).into_iter().map(|(t, l)| (t.to_owned(), l)).collect();
        let mut read = |text: &str, line: usize, label: String| {
            let read = self.sizes.read(&mut self.m, text, &label, Kind::Length);
            read.map_err(|fault| self.faults.push(fault.at(format!("line {line}, `{key}`")))).ok()
        };
        let word = key.replace('_', " ");
        match texts.as_slice() {
            [] if !needed => Some([0.0.into(), 0.0.into()]),
            [(text, line)] => {
                let size = read(text, *line, format!("{name}: {word}"))?;
                Some([size.clone(), size])
            }
            [(head, a), (crank, b)] => {
                let head = read(head, *a, format!("{name}: {word}, head end"));
                let crank = read(crank, *b, format!("{name}: {word}, crank end"));
                Some([head?, crank?])
            }
            _ => {
                self.faults.push(
                    Problem::new(format!("`{key}` wants one size, or one for each end"))
                        .at(table.place())
                        .mend(format!("write `{key} = \"1/8 in\"`, or a list of two, the head end first")),
                );
                None
            }
        }
    }

    pub(super) fn settings(&mut self, table: &Sheet) -> Vec<Setting> {
        let mut all = Vec::new();
        for sheet in table.tables("setting", &mut self.faults) {
            let Some((name, _)) = self.words(sheet, "name", "full forward") else { continue };
            let mut values = Vec::new();
            for below in sheet.tables("sizes", &mut self.faults) {
                for entry in below.all() {
                    values.extend(self.set(entry));
                }
            }
            let reversed = sheet.flag("reversed", &mut self.faults);
            sheet.finish(&mut self.faults);
            if values.is_empty() && !reversed {
                self.faults.push(
                    Problem::new(format!("the setting `{name}` sets nothing"))
                        .at(sheet.place())
                        .mend("add a line such as `sizes = { lift = \"20°\" }`"),
                );
            }
            all.push(Setting { name, values, reversed });
        }
        all
    }

    /// A named size that is one parameter, and its value in a setting.
    fn set(&mut self, entry: &crate::document::Entry) -> Option<(mechanism::ParamId, f64)> {
        let place = format!("line {}, `{}`", entry.line, entry.key);
        let named = self.sizes.find(&entry.key).cloned();
        let Some((_, size, kind)) = named.filter(|(_, size, _)| size.terms.len() == 1 && size.plus == 0.0)
        else {
            self.faults.push(
                Problem::new(format!("`{}` is no size that can be set", entry.key))
                    .at(place)
                    .why("it has to be named in `[mechanism.sizes]`, and be one length or one angle there")
                    .mend("name it there, with a value that is not nought"),
            );
            return None;
        };
        let (param, factor) = size.terms[0];
        let text = entry.as_text().map_err(|fault| self.faults.push(fault)).ok()?;
        let mut apart = Mechanism::new();
        let mut sizes = Sizes::new(self.sizes.parts, self.sizes.unit);
        let read = sizes.read(&mut apart, text, "setting", kind);
        let read = read.map_err(|fault| self.faults.push(fault.at(place))).ok()?;
        Some((param, read.value(&apart.values()) / factor))
    }

    pub(super) fn hold(&mut self, table: &Sheet) -> Option<Hold> {
        let (result, line) = self.words(table, "result", "cut-off, head end")?;
        let (text, at) = self.words(table, "within", "0.05 mm")?;
        table.finish(&mut self.faults);
        let place = format!("line {at}, `within`");
        let within = match text.strip_suffix('%') {
            Some(share) => {
                share.trim().parse::<f64>().ok().filter(|x| x.is_finite()).map(|x| x / 100.0).ok_or_else(
                    || Problem::new(format!("cannot read `{text}` as a share")).mend("write it as `1 %`"),
                )
            }
            None => {
                let mut apart = Mechanism::new();
                let mut sizes = Sizes::new(&[], self.sizes.unit);
                sizes.any(&mut apart, &text, "within").map(|(size, _)| size.value(&apart.values()))
            }
        };
        match within {
            Ok(within) if within > 0.0 => Some(Hold { result, within, text, line }),
            Ok(_) => {
                self.faults.push(
                    Problem::new(format!("`{text}` leaves no room")).at(place).mend("write more than nought"),
                );
                None
            }
            Err(fault) => {
                self.faults.push(fault.at(place));
                None
            }
        }
    }
}
