//! Reading a bench file.

use super::ranges::{positive, read_drills, read_range};
use super::{Bench, Boring, RackPiece, Reamer, Section, Stock, same_thing};
use crate::document::{Content, Sheet, read_document};
use crate::measure::{Length, read_length};
use crate::problem::{Outcome, Problem};
use crate::tables::drills::Drill;
use crate::tables::surface::Surface;
use crate::tables::taper_pins::{self, TaperPin};
use crate::tables::{fits, materials, threads};

/// A bench of which nothing is known: mill, lathe and rotary table are supposed, and
/// no tool or bar is owned.
pub fn empty_bench() -> Bench {
    let mut reader = Reader { faults: Vec::new(), assumed: Vec::new() };
    const NOTHING: &str = "name = \"no bench given\"\n[lathe]\n[rotary_table]\n";
    let mut bench = reader.bench(&read_document(NOTHING).expect("a fixed text reads"));
    let supposed = [
        "no bench file: no tool or bar is owned, so each is something to buy",
        "a lathe and a rotary table beside the mill",
    ];
    bench.assumed.splice(0..0, supposed.map(str::to_owned));
    bench
}

/// Reads the text of a bench file; `file` is its name, for problems only.
///
/// Everything may be left out; what matters is then supposed and listed in
/// [`Bench::assumed`].
///
/// # Errors
///
/// Every fault found, each with its line.
pub fn read_bench(file: &str, text: &str) -> Outcome<Bench> {
    let mut reader = Reader { faults: Vec::new(), assumed: Vec::new() };
    let bench = match read_document(text) {
        Ok(sheet) => Some(reader.bench(&sheet)),
        Err(fault) => {
            reader.faults.push(fault);
            None
        }
    };
    match bench {
        Some(bench) if reader.faults.is_empty() => Ok(bench),
        _ => Err(reader.faults.into_iter().map(|fault| fault.at(file)).collect()),
    }
}

pub(super) struct Reader {
    pub(super) faults: Vec<Problem>,
    pub(super) assumed: Vec<String>,
}

impl Reader {
    fn bench(&mut self, sheet: &Sheet) -> Bench {
        let name = sheet.text("name", &mut self.faults).map_or("the bench", |(text, _)| text).to_owned();
        let drill_press = self.heading(sheet, "drill_press").map(|table| self.drill_press(table));
        let mills = self.mills(sheet, drill_press.is_some());
        let mill = self.mill(sheet, mills);
        let lathe = self.heading(sheet, "lathe").map(|table| self.lathe(table));
        let rotary_table = self.heading(sheet, "rotary_table").map(|table| self.rotary_table(table));
        let edge_finder = self.length(sheet, "edge_finder").unwrap_or_else(|| {
            if mills {
                self.assumed.push("an edge finder with a 10 mm tip".into());
            }
            Length::mm(10)
        });
        let drills = self.drills(sheet);
        let reamers = self.reamers(sheet);
        let taper_reamers = self.taper_reamers(sheet);
        let broaches = self.broaches(sheet);
        let taps = self.threads(sheet, "taps");
        let dies = sheet.get("dies").is_some().then(|| self.threads(sheet, "dies"));
        let mut end_mills = Vec::new();
        for table in sheet.tables("end_mill", &mut self.faults) {
            end_mills.extend(self.end_mill(table));
        }
        end_mills.sort_by_key(|mill| mill.diameter);
        let mut saws = Vec::new();
        for table in sheet.tables("saw", &mut self.faults) {
            saws.extend(self.saw(table));
        }
        saws.sort_by_key(|saw| saw.width);
        let mut collets = self.sizes(sheet, "collets");
        collets.sort();
        let work_holding = self.work_holding(sheet);
        let mut mandrels = self.sizes(sheet, "mandrels");
        mandrels.sort();
        mandrels.dedup();
        let boring = self.heading(sheet, "boring_head").and_then(|table| {
            let (least, most) = (self.need_length(table, "least"), self.need_length(table, "most"));
            table.finish(&mut self.faults);
            Some(Boring { least: least?, most: most? })
        });
        let (mut stock, mut pieces) = (Vec::new(), Vec::new());
        for table in sheet.tables("stock", &mut self.faults) {
            let first = stock.len();
            let lying = self.lying(table);
            self.stock(table, &mut stock);
            for one in &stock[first..] {
                pieces.extend(lying.iter().map(|&(length, width)| RackPiece {
                    stock: one.clone(),
                    length,
                    width,
                }));
            }
        }
        let saw_cut = self.length(sheet, "saw_cut");
        let instruments = self.instruments(sheet);
        let would_buy =
            self.names(sheet, "would_buy", "something that would be bought has no name", "reamer 9.5 mm H7");
        let such_as = "drill bush 10 mm for 5 mm, 7.5 mm long";
        let aids = self.names(sheet, "aids", "an aid in the drawer has no name", such_as);
        sheet.finish(&mut self.faults);
        Bench {
            name,
            mill,
            mills,
            drill_press,
            lathe,
            rotary_table,
            edge_finder,
            drills,
            reamers,
            taper_reamers,
            broaches,
            taps,
            dies,
            end_mills,
            saws,
            collets,
            work_holding,
            mandrels,
            boring,
            instruments,
            stock,
            pieces,
            saw_cut,
            would_buy,
            aids,
            assumed: std::mem::take(&mut self.assumed),
        }
    }

    /// Names of things, each once, as the lists that they are taken from have them.
    fn names(&mut self, sheet: &Sheet, key: &str, empty: &str, such_as: &str) -> Vec<String> {
        let mut wanted: Vec<String> = Vec::new();
        for (text, line) in sheet.texts(key, &mut self.faults) {
            let name = text.trim();
            if name.is_empty() {
                self.faults.push(
                    Problem::new(empty)
                        .at(format!("line {line}, `{key}`"))
                        .mend(format!("write it as its list or sheet does, such as `{such_as}`")),
                );
            } else if !wanted.iter().any(|known| same_thing(known, name)) {
                wanted.push(name.to_owned());
            }
        }
        wanted
    }

    pub(super) fn heading<'a>(&mut self, sheet: &'a Sheet, key: &str) -> Option<&'a Sheet> {
        match sheet.get(key).map(|entry| (&entry.value, entry)) {
            Some((Content::Table(table), _)) => Some(table),
            Some((_, entry)) => {
                self.faults
                    .push(entry.fault("is not a heading", &format!("write `[{key}]` on a line of its own")));
                None
            }
            None => None,
        }
    }

    /// The lengths of the pieces of a bar, and of plate their widths too.
    fn lying(&mut self, table: &Sheet) -> Vec<(Length, Option<Length>)> {
        let mut lying = Vec::new();
        for (text, line) in table.texts("pieces", &mut self.faults) {
            let size = |text: &str| positive(read_length(text, None)?.length, text);
            let read = match text.split_once(['x', '×']) {
                Some((length, width)) => size(length).and_then(|length| Ok((length, Some(size(width)?)))),
                None => size(text).map(|length| (length, None)),
            };
            match read {
                Ok(piece) => lying.push(piece),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `pieces`"))),
            }
        }
        lying
    }

    fn stock(&mut self, table: &Sheet, rack: &mut Vec<Stock>) {
        let named = table.need("material", "mild steel", &mut self.faults);
        let by_name = named.and_then(|(text, _)| Surface::in_name(text));
        let material = match named.map(|(t, l)| (materials::find(t), l)) {
            Some((Ok(material), _)) => Some(material.name.to_string()),
            Some((Err(fault), line)) => {
                self.faults.push(fault.at(format!("line {line}, `material`")));
                None
            }
            None => None,
        };
        let class = table.text("class", &mut self.faults).map(|(text, line)| (text.to_owned(), line));
        let class = class.and_then(|(class, line)| match fits::limits(&class, Length::mm(5)) {
            Ok(_) => Some(class),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `class`")));
                None
            }
        });
        let surface = self.surface(table, material.as_deref(), class.is_some()).or(by_name);
        let (round, thick) = (self.sizes(table, "round"), self.sizes(table, "flat"));
        let (square, hexagon) = (self.sizes(table, "square"), self.sizes(table, "hexagon"));
        let width = self.length(table, "width");
        table.finish(&mut self.faults);
        if [&round, &thick, &square, &hexagon].iter().all(|sizes| sizes.is_empty()) && self.faults.is_empty()
        {
            self.faults.push(
                Problem::new("a bar in the rack has no size")
                    .at(table.place())
                    .mend("write `round = [\"6 mm\"]`, `square = [\"10 mm\"]` or `flat = [\"10 mm\"]` with `width = \"50 mm\"`"),
            );
        }
        let Some(material) = material else { return };
        rack.extend(round.into_iter().map(|diameter| Stock {
            material: material.clone(),
            section: Section::Round { diameter },
            class: class.clone(),
            surface,
        }));
        let shaped =
            |section: Section| Stock { material: material.clone(), section, class: class.clone(), surface };
        rack.extend(hexagon.into_iter().map(|across| shaped(Section::Hexagon { across })));
        rack.extend(thick.into_iter().map(|thickness| Stock {
            material: material.clone(),
            section: Section::Flat { thickness, width },
            class: class.clone(),
            surface,
        }));
        // A square bar is a flat as thick as it is wide.
        rack.extend(square.into_iter().map(|side| Stock {
            material: material.clone(),
            section: Section::Flat { thickness: side, width: Some(side) },
            class: class.clone(),
            surface,
        }));
    }

    /// Whether bars are black or bright, where the file says.
    fn surface(&mut self, table: &Sheet, material: Option<&str>, held: bool) -> Option<Surface> {
        let (text, line) = table.text("surface", &mut self.faults)?;
        let found = Surface::ALL.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim()));
        let fault = match (found, material) {
            (None, _) => Problem::new(format!("`{text}` is not known for `surface`"))
                .mend("it may be `black` (hot rolled, with its scale) or `bright`"),
            (Some((_, Surface::Black)), _) if held => Problem::new("a black bar is held to no class of fit")
                .why("hot rolled bar has scale on it, and is true to size within some tenths of a millimetre")
                .mend("leave `class` out, or write `surface = \"bright\"`"),
            (Some((_, surface)), Some(material)) => match surface.suits(material) {
                Ok(()) => return Some(*surface),
                Err(fault) => fault,
            },
            (Some((_, surface)), None) => return Some(*surface),
        };
        self.faults.push(fault.at(format!("line {line}, `surface`")));
        None
    }

    fn drills(&mut self, sheet: &Sheet) -> Vec<Drill> {
        let mut owned = Vec::new();
        for (text, line) in sheet.texts("drills", &mut self.faults) {
            match read_drills(text) {
                Ok(drills) => owned.extend(drills),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `drills`"))),
            }
        }
        owned.sort_by(|a, b| a.diameter.cmp(&b.diameter).then_with(|| a.name.cmp(&b.name)));
        owned.dedup_by(|a, b| a.name == b.name);
        owned
    }

    fn reamers(&mut self, sheet: &Sheet) -> Vec<Reamer> {
        let mut owned = Vec::new();
        for (text, line) in sheet.texts("reamers", &mut self.faults) {
            let place = |fault: Problem| fault.at(format!("line {line}, `reamers`"));
            let (size, class) = reamer_words(text);
            match (read_range(size), fits::limits(class, Length::mm(5))) {
                (Ok(sizes), Ok(_)) => {
                    owned.extend(
                        sizes.into_iter().map(|diameter| Reamer { diameter, class: class.to_owned() }),
                    );
                }
                (Err(fault), _) | (_, Err(fault)) => self.faults.push(place(fault)),
            }
        }
        owned.sort_by_key(|reamer| reamer.diameter);
        owned.dedup();
        owned
    }

    fn taper_reamers(&mut self, sheet: &Sheet) -> Vec<&'static TaperPin> {
        let mut owned: Vec<&'static TaperPin> = Vec::new();
        for (text, line) in sheet.texts("taper_reamers", &mut self.faults) {
            match taper_pins::find(text) {
                Ok(pin) => owned.push(pin),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `taper_reamers`"))),
            }
        }
        owned.sort_by_key(|pin| pin.nominal);
        owned.dedup();
        owned
    }

    fn broaches(&mut self, sheet: &Sheet) -> Vec<Length> {
        let mut owned = self.sizes(sheet, "broaches");
        owned.sort();
        owned.dedup();
        owned
    }

    fn threads(&mut self, sheet: &Sheet, key: &str) -> Vec<&'static threads::Thread> {
        let mut owned = Vec::new();
        for (text, line) in sheet.texts(key, &mut self.faults) {
            match threads::find(text) {
                Ok(thread) => owned.push(thread),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `{key}`"))),
            }
        }
        owned.sort_by_key(|thread| (thread.major, thread.pitch, &thread.designation));
        // M6 and 0 BA are alike in size and pitch, and no tap for one another.
        owned.dedup_by(|one, other| one.is_cut_as(other));
        owned
    }

    pub(super) fn speeds(&mut self, table: &Sheet, whose: &str, usual: &[u32]) -> Vec<u32> {
        let mut speeds = Vec::new();
        for (text, line) in table.texts("speeds", &mut self.faults) {
            match text.parse::<u32>() {
                Ok(speed @ 1..=60_000) => speeds.push(speed),
                _ => self.faults.push(
                    Problem::new(format!("`{text}` is no spindle speed"))
                        .at(format!("line {line}, `speeds`"))
                        .mend("write whole turns a minute, such as `speeds = [100, 250, 500]`"),
                ),
            }
        }
        if speeds.is_empty() {
            let list = usual.iter().map(u32::to_string).collect::<Vec<_>>().join(", ");
            self.assumed.push(format!("{whose} speeds are {list} turns a minute"));
            return usual.to_vec();
        }
        speeds.sort_unstable();
        speeds.dedup();
        speeds
    }

    pub(super) fn length(&mut self, sheet: &Sheet, key: &str) -> Option<Length> {
        let (text, line) = sheet.text(key, &mut self.faults)?;
        let read = read_length(text, None).and_then(|written| positive(written.length, text));
        match read {
            Ok(length) => Some(length),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `{key}`")));
                None
            }
        }
    }

    pub(super) fn need_length(&mut self, sheet: &Sheet, key: &str) -> Option<Length> {
        if sheet.get(key).is_none() {
            sheet.need(key, "6 mm", &mut self.faults);
            return None;
        }
        self.length(sheet, key)
    }

    /// Sizes and ranges of sizes.
    fn sizes(&mut self, sheet: &Sheet, key: &str) -> Vec<Length> {
        let mut sizes = Vec::new();
        for (text, line) in sheet.texts(key, &mut self.faults) {
            match read_range(text) {
                Ok(range) => sizes.extend(range),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `{key}`"))),
            }
        }
        sizes
    }
}

/// The size of a reamer, and the class of the hole it makes; H7 where none is said.
pub(super) fn reamer_words(text: &str) -> (&str, &str) {
    match text.trim().rsplit_once(' ') {
        Some((size, class)) if class.starts_with(['H', 'G', 'F', 'E', 'K', 'N']) => (size, class),
        _ => (text, "H7"),
    }
}
