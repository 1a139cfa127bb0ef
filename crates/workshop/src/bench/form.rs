//! A bench file as it is being entered: everything that the bench page shows.
//!
//! The text of a file goes in, however unfinished; a [`Form`] comes out: every
//! field with what stands in it, what that comes to and what is wrong with it.
//! Nothing here changes the text ([`crate::edit`] does).

use super::asks::{Ask, HEAD, MACHINES, Rack, Takes, ask};
use super::ranges::{read_drills, read_range};
use super::{read_bench, sets};
use crate::document::{Content, Entry, Sheet, read_document};
use crate::edit::{Value, meaning, same};
use crate::measure::{Length, read_angle, read_length};
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
    let text = texts.join(if matches!(ask.takes, Takes::Speeds | Takes::Wheels) { " " } else { ", " });
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
        Takes::Words => String::new(),
        Takes::Length => {
            let length = super::ranges::positive(read_length(text, None)?.length, text)?;
            format!("{} mm", length.shown(4))
        }
        Takes::Count => match text.parse::<u32>() {
            Ok(1..=1000) => String::new(),
            _ => {
                return Err(Problem::new(format!("`{text}` is not a count"))
                    .mend("write a whole number from 1 to 1000"));
            }
        },
        Takes::Speeds => {
            for text in texts {
                if !matches!(text.parse::<u32>(), Ok(1..=60_000)) {
                    return Err(Problem::new(format!("`{text}` is no spindle speed"))
                        .mend("write whole turns a minute, such as `100 250 500`"));
                }
            }
            String::new()
        }
        Takes::Wheels => {
            for text in texts {
                if !matches!(text.parse::<u32>(), Ok(10..=400)) {
                    return Err(Problem::new(format!("`{text}` is no change wheel"))
                        .mend("write how many teeth each has, such as `20 30 40`"));
                }
            }
            format!("{} wheels", texts.len())
        }
        Takes::Pitches => {
            let mut pitches = Vec::new();
            for text in texts {
                pitches.push(super::read_pitch(text)?.shown(4));
            }
            format!("{} mm", pitches.join(", "))
        }
        Takes::Pieces => {
            for size in texts.iter().flat_map(|text| text.split(['x', '×'])) {
                super::ranges::positive(read_length(size, None)?.length, size)?;
            }
            String::new()
        }
        Takes::Power => format!("{} W", super::ranges::read_power(text)?),
        Takes::Angle => format!("{:.4}°", read_angle(text)?.as_degrees()),
        Takes::One(words) if words.contains(&text) => String::new(),
        Takes::One(words) => {
            let words: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
            return Err(Problem::new(format!("`{text}` is not known for `{}`", ask.key))
                .mend(format!("it may be {}", words.join(" or "))));
        }
        Takes::Material => materials::find(text).map(|_| String::new())?,
        Takes::Class => fits::limits(text, Length::mm(5)).map(|_| String::new())?,
        Takes::Sizes => {
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
    let span = |sizes: Vec<Length>| match &sizes[..] {
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
            fits::limits(class, Length::mm(5))?;
            format!("{}, {class}", span(read_range(size)?))
        }
        Rack::Taps | Rack::Dies => {
            let thread = threads::find(text)?;
            format!("⌀ {} mm, pitch {} mm", thread.major.shown(3), thread.pitch.shown(3))
        }
        Rack::WorkHolding => super::WorkHolder::find(text).map(|_| String::new())?,
        Rack::Instruments => super::Instrument::read(text).map(|read| read.words())?,
        Rack::WouldBuy | Rack::Aids => String::new(),
        _ => span(read_range(text)?),
    })
}
