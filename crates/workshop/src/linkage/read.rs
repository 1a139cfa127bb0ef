//! Reading `mechanism.toml`.

use mechanism::{Assembly, FRAME, Line, LinkId, Measure, Mechanism, PointId, PortEnd, Valve};

use super::loose::Loose;
use super::shapes::{Shape, ToClear};
use super::size::{Kind, Known, Sizes};
use crate::document::{Content, Sheet, meant, nearest_word, read_document};
use crate::measure::{Unit, read_angle};
use crate::problem::Problem;
use crate::stack::Held;

/// A mechanism with what is asked of it.
#[derive(Clone, Debug)]
pub struct Machine {
    /// The file that it stands in.
    pub file: String,
    /// What it is called.
    pub name: String,
    /// Line in the file.
    pub line: usize,
    /// The mechanism, with its sizes as drawn.
    pub of: Mechanism,
    /// Its parameters, in the mechanism's order.
    pub known: Vec<Known>,
    /// What the file has given names to.
    pub named: Vec<(String, mechanism::Size, Kind)>,
    /// What a bare number is.
    pub unit: Option<Unit>,
    /// How it is put together.
    pub assembly: Assembly,
    /// The drive's angle it is put together at, radians.
    pub start: f64,
    /// What slides: its name, its point and its line.
    pub sliders: Vec<(String, PointId, Line)>,
    /// Pins in slots by name.
    pub slots: Vec<(String, mechanism::JointId)>,
    /// Valves.
    pub valves: Vec<ValveSaid>,
    /// Settings of it, such as notches of a reversing lever: full sets of values as drawn.
    pub settings: Vec<Setting>,
    /// What results may depart by.
    pub holds: Vec<Hold>,
    /// How closely it is made where its parts do not say, and what is asked of that.
    pub loose: Loose,
    /// What moving parts take up.
    pub shapes: Vec<Shape>,
    /// Which of that is to clear each other.
    pub clears: Vec<ToClear>,
    /// Results that are wished for, each `lead, head end = 0.3 mm`.
    pub wants: Vec<String>,
    /// Sizes by which they may be had, each `advance from 20° to 45°`.
    pub frees: Vec<String>,
}

/// A valve by name.
#[derive(Clone, Debug)]
pub struct ValveSaid {
    /// What it is called.
    pub name: String,
    /// What it does.
    pub valve: Valve,
    /// The parameter of its mid place, where nobody has said and equal lead is taken.
    pub set: Option<mechanism::ParamId>,
}

/// A setting: parameters with other values.
#[derive(Clone, Debug)]
pub struct Setting {
    /// What it is called.
    pub name: String,
    /// Parameters and their values, millimetres or radians.
    pub values: Vec<(mechanism::ParamId, f64)>,
    /// Whether the crank turns the other way in it.
    pub reversed: bool,
}

/// What a result may depart by.
#[derive(Clone, Debug)]
pub struct Hold {
    /// Which result.
    pub result: String,
    /// How far, in the result's own unit: millimetres, radians, or a share.
    pub within: f64,
    /// As written.
    pub text: String,
    /// Line in the file.
    pub line: usize,
}

/// Every mechanism of a file; what is wrong with the others comes beside them.
pub fn read_mechanisms(file: &str, text: &str, parts: &[Held]) -> (Vec<Machine>, Vec<Problem>) {
    let sheet = match read_document(text) {
        Ok(sheet) => sheet,
        Err(fault) => return (Vec::new(), vec![fault.at(file.to_owned())]),
    };
    let (mut machines, mut faults) = (Vec::new(), Vec::new());
    let tables = sheet.tables("mechanism", &mut faults);
    if tables.is_empty() && faults.is_empty() {
        faults.push(Problem::new("the file has no mechanism").mend("write `[[mechanism]]` above the first"));
    }
    for table in tables {
        let mut reader = Reader::new(table, parts);
        let machine = reader.machine(table);
        let clean = reader.faults.is_empty();
        let name = table.text("name", &mut Vec::new()).map_or("", |(name, _)| name).to_owned();
        faults.extend(reader.faults.into_iter().map(|fault| fault.at(format!("mechanism `{name}`"))));
        let machine = machine.filter(|_| clean);
        machines.extend(machine.map(|machine| Machine { file: file.to_owned(), ..machine }));
    }
    sheet.finish(&mut faults);
    let mut names: Vec<String> = Vec::new();
    for machine in &machines {
        let name = machine.name.to_lowercase();
        if names.contains(&name) {
            faults.push(
                Problem::new(format!("two mechanisms are called `{}`", machine.name))
                    .at(format!("line {}", machine.line))
                    .mend("give each a name of its own"),
            );
        }
        names.push(name);
    }
    (machines, faults.into_iter().map(|fault| fault.at(file.to_owned())).collect())
}

pub(super) struct Reader<'a> {
    pub faults: Vec<Problem>,
    pub m: Mechanism,
    pub sizes: Sizes<'a>,
    pub lines: Vec<(String, Line)>,
    pub sliders: Vec<(String, PointId, Line)>,
    pub slots: Vec<(String, mechanism::JointId)>,
    pub near: Vec<(PointId, [f64; 2])>,
}

impl<'a> Reader<'a> {
    fn new(table: &Sheet, parts: &'a [Held<'a>]) -> Self {
        let mut faults = Vec::new();
        let unit = table.text("unit", &mut faults).and_then(|(text, line)| match text.trim() {
            "mm" => Some(Unit::Mm),
            "inch" | "in" => Some(Unit::Inch),
            other => {
                faults.push(
                    Problem::new(format!("`{other}` is no unit"))
                        .at(format!("line {line}, `unit`"))
                        .mend("write `unit = \"mm\"` or `unit = \"inch\"`"),
                );
                None
            }
        });
        Self {
            faults,
            m: Mechanism::new(),
            sizes: Sizes::new(parts, unit),
            lines: Vec::new(),
            sliders: Vec::new(),
            slots: Vec::new(),
            near: Vec::new(),
        }
    }

    fn machine(&mut self, table: &Sheet) -> Option<Machine> {
        let name = self.words(table, "name", "engine")?.0;
        self.named_sizes(table);
        let guided = self.links(table);
        self.joints(table, &guided);
        self.rough(table);
        let start = self.start(table);
        let mode = table.count("way", &mut self.faults);
        let assembly = match (self.near.is_empty(), mode) {
            (false, _) => Assembly::Rough(std::mem::take(&mut self.near)),
            (true, Some(mode)) => Assembly::Mode(mode as usize - 1),
            (true, None) => Assembly::Only,
        };
        let valves = table.tables("valve", &mut self.faults);
        let valves = valves.into_iter().filter_map(|valve| self.valve(valve)).collect();
        let settings = self.settings(table);
        let holds = table.tables("hold", &mut self.faults);
        let holds = holds.into_iter().filter_map(|hold| self.hold(hold)).collect();
        let loose = self.loose(table);
        let (shapes, clears) = self.shapes(table);
        let (wants, frees) = self.wishes(table);
        table.finish(&mut self.faults);
        if self.m.drive.is_none() && self.faults.is_empty() {
            self.faults.push(
                Problem::new("nothing drives the mechanism")
                    .at(table.place())
                    .mend("write one of its links as `[[mechanism.crank]]`"),
            );
        }
        Some(Machine {
            file: String::new(),
            name,
            line: table.line(),
            of: self.m.clone(),
            known: self.sizes.known.clone(),
            named: self.sizes.named.clone(),
            unit: self.sizes.unit,
            assembly,
            start,
            sliders: self.sliders.clone(),
            slots: self.slots.clone(),
            valves,
            settings,
            holds,
            loose,
            shapes,
            clears,
            wants,
            frees,
        })
    }

    /// The crank's angle at which it is put together: no size of the mechanism.
    fn start(&mut self, table: &Sheet) -> f64 {
        let Some((text, line)) = table.text("start", &mut self.faults) else { return 0.0 };
        match read_angle(text) {
            Ok(angle) => angle.as_rad(),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `start`")));
                0.0
            }
        }
    }

    fn named_sizes(&mut self, table: &Sheet) {
        for sheet in table.tables("sizes", &mut self.faults) {
            for entry in sheet.all() {
                let text = match entry.as_text() {
                    Ok(text) => text,
                    Err(fault) => {
                        self.faults.push(fault);
                        continue;
                    }
                };
                match self.sizes.any(&mut self.m, text, &entry.key) {
                    Ok((size, kind)) => self.sizes.name(&entry.key, size, kind.unwrap_or(Kind::Length)),
                    Err(fault) => {
                        self.faults.push(fault.at(format!("line {}, `{}`", entry.line, entry.key)));
                    }
                }
            }
        }
    }

    fn valve(&mut self, table: &Sheet) -> Option<ValveSaid> {
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
                self.sizes.known.push(Known {
                    name: label.clone(),
                    kind: Kind::Length,
                    drawn: 0.0,
                    chosen: Some(0.0),
                    room: None,
                    measured: false,
                    of: None,
                    settled: false,
                    why_drawn: why.clone(),
                    why_chosen: why,
                });
                let param = self.m.param(label, 0.0);
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

    fn settings(&mut self, table: &Sheet) -> Vec<Setting> {
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

    fn hold(&mut self, table: &Sheet) -> Option<Hold> {
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

    // What the readers of links and joints stand on.

    pub fn words(&mut self, table: &Sheet, key: &str, such_as: &str) -> Option<(String, usize)> {
        let (text, line) = table.need(key, such_as, &mut self.faults)?;
        let text = text.trim().to_owned();
        if text.is_empty() {
            self.faults.push(
                Problem::new(format!("`{key}` says nothing"))
                    .at(format!("line {line}, `{key}`"))
                    .mend(format!("write something such as `{such_as}`")),
            );
            return None;
        }
        Some((text, line))
    }

    pub fn length(&mut self, table: &Sheet, key: &str, label: &str) -> Option<mechanism::Size> {
        self.sized(table, key, label, Kind::Length)
    }

    pub fn angle(&mut self, table: &Sheet, key: &str, label: &str) -> Option<mechanism::Size> {
        self.sized(table, key, label, Kind::Angle)
    }

    fn sized(&mut self, table: &Sheet, key: &str, label: &str, kind: Kind) -> Option<mechanism::Size> {
        let (text, line) = table.text(key, &mut self.faults)?;
        let read = self.sizes.read(&mut self.m, text, label, kind);
        read.map_err(|fault| self.faults.push(fault.at(format!("line {line}, `{key}`")))).ok()
    }

    pub fn link_named(&mut self, text: &str, line: usize, key: &str) -> Option<LinkId> {
        let links = &self.m.links;
        let found = links.iter().skip(1).position(|link| link.name.eq_ignore_ascii_case(text.trim()));
        if let Some(at) = found {
            return Some(LinkId(at + 1));
        }
        let near = nearest_word(text, links.iter().skip(1).map(|link| link.name.as_str()));
        let mend = meant(near, "name a link, a crank or a slider of it");
        self.unknown("link", text, (line, key), mend)
    }

    /// Says that a name of this kind leads nowhere, and how to mend it.
    pub fn unknown<T>(
        &mut self,
        kind: &str,
        text: &str,
        (line, key): (usize, &str),
        mend: String,
    ) -> Option<T> {
        self.faults.push(
            Problem::new(format!("no {kind} is called `{text}`"))
                .at(format!("line {line}, `{key}`"))
                .mend(mend),
        );
        None
    }

    /// `shaft`, a pivot; or `connecting rod: big end`, a point of a link.
    pub fn point_named(&mut self, text: &str, line: usize, key: &str) -> Option<PointId> {
        let found = match text.split_once(':') {
            None => self.find_on(FRAME, text),
            Some((link, point)) => {
                let link = self.link_named(link, line, key)?;
                self.find_on(link, point)
            }
        };
        if found.is_none() {
            let all: Vec<String> = self
                .m
                .links
                .iter()
                .enumerate()
                .flat_map(|(at, link)| {
                    let words = move |point: &mechanism::Point| match at {
                        0 => point.name.clone(),
                        _ => format!("{}: {}", link.name, point.name),
                    };
                    link.points.iter().map(words)
                })
                .collect();
            let near = nearest_word(text, all.iter().map(String::as_str));
            let mend = meant(near, format!("name one of {}", all.join(", ")));
            return self.unknown("point", text, (line, key), mend);
        }
        found
    }

    fn find_on(&self, link: LinkId, name: &str) -> Option<PointId> {
        let points = &self.m.links[link.0].points;
        let at = points.iter().position(|point| point.name.eq_ignore_ascii_case(name.trim()))?;
        Some(PointId { link, point: at })
    }

    /// The tables of a list behind a key, inline or with headings.
    pub fn listed<'t>(&mut self, table: &'t Sheet, key: &str) -> Vec<&'t Sheet> {
        let Some(entry) = table.get(key) else { return Vec::new() };
        match &entry.value {
            Content::List(_) | Content::Table(_) => table.tables(key, &mut self.faults),
            _ => {
                self.faults.push(entry.fault(
                    "is no list of points",
                    "write `points = [{ name = \"pin\", out = \"20 mm\", at = \"0°\" }]`",
                ));
                Vec::new()
            }
        }
    }
}
