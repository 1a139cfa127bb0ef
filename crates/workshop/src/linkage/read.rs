//! Reading `mechanism.toml`.

use mechanism::{Assembly, FRAME, Line, LinkId, Mechanism, PointId};

use super::machine::Machine;
use super::size::{Kind, Sizes};
use crate::document::{Content, Sheet, meant, nearest_word, read_document};
use crate::measure::{Unit, read_angle};
use crate::problem::Problem;
use crate::stack::Held;

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
