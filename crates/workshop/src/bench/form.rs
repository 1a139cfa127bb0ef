//! A bench file as it is being entered: everything that the bench page shows.
//!
//! The text of a file goes in, however unfinished; a [`Form`] comes out: every
//! field with what stands in it, what that comes to and what is wrong with it.
//! Nothing here changes the text ([`crate::edit`] does).

use super::ranges::{read_drills, read_range};
use super::{read_bench, sets};
use crate::document::{Content, Entry, Sheet, read_document};
use crate::edit::{Value, meaning, same};
use crate::measure::{read_angle, read_length};
use crate::problem::Problem;
use crate::tables::{fits, materials, threads};

/// Everything that the bench page shows.
#[derive(Clone, Debug)]
pub struct Form {
    /// The name and the edge finder.
    pub head: Vec<Field>,
    /// The machines, there or not.
    pub machines: Vec<Machine>,
    /// The racks of tools and bars, in order.
    pub racks: Vec<Shelf>,
    /// What is wrong and stands beside no field.
    pub problems: Vec<Problem>,
    /// What is supposed because the file does not say.
    pub assumed: Vec<String>,
}

/// A machine.
#[derive(Clone, Debug)]
pub struct Machine {
    /// Its heading in the file.
    pub key: &'static str,
    /// What it is.
    pub title: &'static str,
    /// Whether the file has it.
    pub there: bool,
    /// What is asked of it.
    pub fields: Vec<Field>,
}

/// One rack with what is in it.
#[derive(Clone, Debug)]
pub struct Shelf {
    /// Which.
    pub rack: Rack,
    /// Its ordinary sets, and whether all of each is owned.
    pub sets: Vec<(&'static sets::Set, bool)>,
    /// What is in a rack that is a list.
    pub items: Vec<Field>,
    /// What is in a rack of tables: the fields of each.
    pub rows: Vec<Vec<Field>>,
}

/// One field.
#[derive(Clone, Debug)]
pub struct Field {
    /// Its path in the file.
    pub at: String,
    /// What is asked.
    pub ask: Ask,
    /// What stands there, as typed.
    pub text: String,
    /// What that comes to.
    pub exact: String,
    /// What is wrong with it.
    pub problem: Option<Problem>,
}

/// What a field asks.
#[derive(Clone, Copy, Debug)]
pub struct Ask {
    /// Its key.
    pub key: &'static str,
    /// As the trade says it.
    pub label: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// What it may look like.
    pub such_as: &'static str,
}

/// What a field takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// Any words.
    Words,
    /// A length with its unit.
    Length,
    /// A whole number.
    Count,
    /// Spindle speeds.
    Speeds,
    /// An angle.
    Angle,
    /// One word of a few.
    One(&'static [&'static str]),
    /// A material.
    Material,
    /// A class of fit, such as `h8`.
    Class,
    /// Sizes and ranges of sizes.
    Sizes,
    /// One entry of the list of a rack.
    Item(Rack),
}

/// Where tools and bars are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rack {
    /// Twist drills.
    Drills,
    /// Reamers.
    Reamers,
    /// Taps and dies.
    Taps,
    /// Collets.
    Collets,
    /// End mills and slot drills.
    EndMills,
    /// Slitting saws.
    Saws,
    /// Bars and flats.
    Stock,
}

const fn ask(key: &'static str, label: &'static str, takes: Takes, such_as: &'static str) -> Ask {
    Ask { key, label, takes, such_as }
}

use Takes::{Angle, Class, Count, Length, Material, One, Sizes, Speeds, Words};

const HEAD: &[Ask] = &[
    ask("name", "name of the bench", Words, "The boathouse bench"),
    ask("edge_finder", "edge finder, across its tip", Length, "10 mm"),
];

/// Every machine: heading, title, and what is asked of it.
const MACHINES: &[(&str, &str, &[Ask])] = &[
    (
        "mill",
        "Milling machine",
        &[
            ask("travel_x", "travel along the table", Length, "320 mm"),
            ask("travel_y", "travel across", Length, "145 mm"),
            ask("travel_z", "travel up and down", Length, "230 mm"),
            ask("column", "spindle to column", Length, "170 mm"),
            ask("speeds", "spindle speeds, turns a minute", Speeds, "90 180 340 600 1000"),
            ask("readout_step", "readout: smallest step", Length, "0.005 mm"),
            ask("handwheel_pitch", "no readout: travel for one turn of the handwheel", Length, "2.5 mm"),
            ask("handwheel_divisions", "no readout: divisions on the dial", Count, "125"),
            ask("backlash", "no readout: backlash", Length, "0.2 mm"),
        ],
    ),
    (
        "lathe",
        "Lathe",
        &[
            ask("swing", "swing over the bed", Length, "180 mm"),
            ask("between_centres", "between centres", Length, "350 mm"),
            ask("speeds", "spindle speeds, turns a minute", Speeds, "60 110 190 320 560"),
            ask("dial_step", "cross slide: one division", Length, "0.02 mm"),
            ask("dial_reads", "cross slide dial reads", One(&["diameter", "radius"]), ""),
        ],
    ),
    (
        "rotary_table",
        "Rotary table",
        &[
            ask("ratio", "turns of the handle for one of the table", Count, "72"),
            ask("reads", "smallest mark", Angle, "1'"),
            ask("scale_grows", "its reading grows turning", One(&["clockwise", "anticlockwise"]), ""),
            ask("bore", "centre bore", Length, "20 mm"),
        ],
    ),
    (
        "boring_head",
        "Boring head",
        &[ask("least", "smallest hole", Length, "10 mm"), ask("most", "largest hole", Length, "75 mm")],
    ),
];

const END_MILL: &[Ask] = &[
    ask("diameter", "across", Length, "6 mm"),
    ask("flute", "cutting edges, length", Length, "13 mm"),
    ask("teeth", "teeth", Count, "4"),
];
const SAW: &[Ask] = &[
    ask("diameter", "across", Length, "63 mm"),
    ask("width", "width of cut", Length, "0.8 mm"),
    ask("collar", "collar, across", Length, "25 mm"),
    ask("teeth", "teeth", Count, "64"),
];
const STOCK: &[Ask] = &[
    ask("material", "material", Material, "mild steel"),
    ask("flat", "flats, thicknesses", Sizes, "3 mm, 5 mm"),
    ask("width", "width of the flats", Length, "50 mm"),
    ask("round", "rounds", Sizes, "6 mm, 8 mm"),
    ask("square", "squares", Sizes, "10 mm, 12 mm"),
    ask("hexagon", "hexagons, across flats", Sizes, "8 mm, 10 mm"),
    ask("class", "held to", Class, "h8"),
];

impl Rack {
    /// Every rack, in the order of the page.
    pub const ALL: [Self; 7] =
        [Self::Drills, Self::Reamers, Self::Taps, Self::Collets, Self::EndMills, Self::Saws, Self::Stock];

    /// Its key in the file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Drills => "drills",
            Self::Reamers => "reamers",
            Self::Taps => "taps",
            Self::Collets => "collets",
            Self::EndMills => "end_mill",
            Self::Saws => "saw",
            Self::Stock => "stock",
        }
    }

    /// What it is called.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Drills => "Drills",
            Self::Reamers => "Reamers",
            Self::Taps => "Taps and dies",
            Self::Collets => "Collets",
            Self::EndMills => "End mills and slot drills",
            Self::Saws => "Slitting saws",
            Self::Stock => "Bars and flats",
        }
    }

    /// What one more of it may look like.
    pub const fn such_as(self) -> &'static str {
        match self {
            Self::Drills => "6.5 mm, No. 43 or 1 mm to 6 mm by 0.1 mm",
            Self::Reamers => "8 mm H7",
            Self::Taps => "M4, 7 BA or 1/4 x 40 ME",
            Self::Collets => "6 mm",
            Self::EndMills | Self::Saws | Self::Stock => "",
        }
    }

    /// What is asked of each table; nothing of a rack that is a list.
    pub const fn asks(self) -> &'static [Ask] {
        match self {
            Self::EndMills => END_MILL,
            Self::Saws => SAW,
            Self::Stock => STOCK,
            Self::Drills | Self::Reamers | Self::Taps | Self::Collets => &[],
        }
    }
}

/// Looks at the text of a bench file; `file` is its name, for problems.
pub fn look(file: &str, text: &str) -> Form {
    let empty = Sheet::empty();
    let read = read_document(text);
    let sheet = read.as_ref().unwrap_or(&empty);
    let held = meaning(text).unwrap_or(Value::Table(Vec::new()));
    let head = fields(HEAD, sheet, "");
    let machines = MACHINES.iter().map(|&(key, title, asks)| {
        let table = table(sheet, key);
        let fields = fields(asks, table.unwrap_or(&empty), &format!("{key}/"));
        Machine { key, title, there: table.is_some(), fields }
    });
    let machines: Vec<Machine> = machines.collect();
    let racks: Vec<Shelf> = Rack::ALL.into_iter().map(|rack| shelf(rack, sheet, &held)).collect();
    let mut form = Form { head, machines, racks, problems: Vec::new(), assumed: Vec::new() };
    if text.trim().is_empty() {
        return form;
    }
    match read_bench(file, text) {
        Ok(bench) => form.assumed = bench.assumed,
        Err(problems) => {
            let beside = |problem: &Problem| {
                form.fields()
                    .any(|field| field.problem.as_ref().is_some_and(|own| own.what() == problem.what()))
            };
            form.problems = problems.into_iter().filter(|problem| !beside(problem)).collect();
        }
    }
    form
}

impl Form {
    /// Every field.
    pub fn fields(&self) -> impl Iterator<Item = &Field> {
        let machines = self.machines.iter().flat_map(|machine| &machine.fields);
        let racks = self.racks.iter().flat_map(|shelf| shelf.items.iter().chain(shelf.rows.iter().flatten()));
        self.head.iter().chain(machines).chain(racks)
    }
}

fn shelf(rack: Rack, sheet: &Sheet, held: &Value) -> Shelf {
    let key = rack.key();
    let owned = |set: &'static sets::Set| {
        let all = set.contents().iter().all(|(at, item)| holds(held, at, item));
        (set, all)
    };
    let sets = sets::ALL.iter().filter(|set| set.rack == rack).map(owned).collect();
    let (mut items, mut rows) = (Vec::new(), Vec::new());
    if rack.asks().is_empty() {
        let entries = sheet.get(key).map(listed).unwrap_or_default();
        let ask = ask(key, rack.title(), Takes::Item(rack), rack.such_as());
        let item = |(index, entry): (usize, &Entry)| field(ask, Some(entry), format!("{key}/{index}"));
        items = entries.into_iter().enumerate().map(item).collect();
    } else {
        let mut ignored = Vec::new();
        let row = |(index, table): (usize, &Sheet)| fields(rack.asks(), table, &format!("{key}/{index}/"));
        rows = sheet.tables(key, &mut ignored).into_iter().enumerate().map(row).collect();
    }
    Shelf { rack, sets, items, rows }
}

/// Whether something stands in the file.
fn holds(held: &Value, at: &str, item: &Value) -> bool {
    let Value::Table(entries) = held else { return false };
    match entries.iter().find(|(key, _)| key == at) {
        Some((_, Value::List(items))) => items.iter().any(|one| same(one, item)),
        Some((_, one)) => same(one, item),
        None => false,
    }
}

fn table<'a>(sheet: &'a Sheet, key: &str) -> Option<&'a Sheet> {
    match &sheet.get(key)?.value {
        Content::Table(table) => Some(table),
        _ => None,
    }
}

fn listed(entry: &Entry) -> Vec<&Entry> {
    match &entry.value {
        Content::List(items) => items.iter().collect(),
        _ => vec![entry],
    }
}

fn fields(asks: &[Ask], table: &Sheet, above: &str) -> Vec<Field> {
    asks.iter().map(|&ask| field(ask, table.get(ask.key), format!("{above}{}", ask.key))).collect()
}

fn field(ask: Ask, entry: Option<&Entry>, at: String) -> Field {
    let texts: Vec<String> = entry.map(listed).unwrap_or_default().into_iter().map(typed).collect();
    let text = texts.join(if ask.takes == Speeds { " " } else { ", " });
    let (exact, problem) = match entry {
        None => (String::new(), None),
        Some(_) => match comes_to(ask, &texts) {
            Ok(exact) => (exact, None),
            Err(problem) => (String::new(), Some(problem)),
        },
    };
    Field { at, ask, text, exact, problem }
}

fn typed(entry: &Entry) -> String {
    match &entry.value {
        Content::Text(text) => text.clone(),
        Content::Flag(flag) => flag.to_string(),
        Content::List(_) | Content::Table(_) => String::new(),
    }
}

/// What the texts of a field come to, in words beside it.
fn comes_to(ask: Ask, texts: &[String]) -> Result<String, Problem> {
    let text = texts.first().map(String::as_str).unwrap_or_default();
    Ok(match ask.takes {
        Words => String::new(),
        Length => {
            let length = super::ranges::positive(read_length(text, None)?.length, text)?;
            format!("{} mm", length.shown(4))
        }
        Count => match text.parse::<u32>() {
            Ok(1..=1000) => String::new(),
            _ => {
                return Err(Problem::new(format!("`{text}` is not a count"))
                    .mend("write a whole number from 1 to 1000"));
            }
        },
        Speeds => {
            for text in texts {
                if !matches!(text.parse::<u32>(), Ok(1..=60_000)) {
                    return Err(Problem::new(format!("`{text}` is no spindle speed"))
                        .mend("write whole turns a minute, such as `100 250 500`"));
                }
            }
            String::new()
        }
        Angle => format!("{:.4}°", read_angle(text)?.as_degrees()),
        One(words) if words.contains(&text) => String::new(),
        One(words) => {
            let words: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
            return Err(Problem::new(format!("`{text}` is not known for `{}`", ask.key))
                .mend(format!("it may be {}", words.join(" or "))));
        }
        Material => materials::find(text).map(|_| String::new())?,
        Class => fits::limits(text, crate::measure::Length::mm(5)).map(|_| String::new())?,
        Sizes => {
            let mut sizes = Vec::new();
            for text in texts {
                sizes.extend(read_range(text)?.into_iter().map(|size| size.shown(3)));
            }
            format!("{} mm", sizes.join(", "))
        }
        Takes::Item(rack) => item_comes_to(rack, text)?,
    })
}

fn item_comes_to(rack: Rack, text: &str) -> Result<String, Problem> {
    let span = |sizes: Vec<crate::measure::Length>| match &sizes[..] {
        [] => String::new(),
        [one] => format!("{} mm", one.shown(4)),
        [first, .., last] => format!("{} sizes, {} to {} mm", sizes.len(), first.shown(4), last.shown(4)),
    };
    Ok(match rack {
        Rack::Drills => {
            let mut sizes: Vec<_> = read_drills(text)?.into_iter().map(|drill| drill.diameter).collect();
            sizes.sort();
            span(sizes)
        }
        Rack::Reamers => {
            let (size, class) = super::read::reamer_words(text);
            fits::limits(class, crate::measure::Length::mm(5))?;
            format!("{}, {class}", span(read_range(size)?))
        }
        Rack::Taps => {
            let thread = threads::find(text)?;
            format!("⌀ {} mm, pitch {} mm", thread.major.shown(3), thread.pitch.shown(3))
        }
        _ => span(read_range(text)?),
    })
}
