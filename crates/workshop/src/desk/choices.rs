//! What became of every dimension and thread of a draft, row by row, with all that
//! can be changed about it and where in the file that is written.
//!
//! A text, its drawing and the choice go in, [`Row`]s come out. Where nothing could be
//! chosen the rows still stand, so that what clashes can be changed. Nothing is chosen
//! here ([`crate::metric`] does).

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::Said;
use crate::bench::{Bench, same_thing};
use crate::drawing::{Dimension, Drawing, Given, Measures, Pressure, Role, Source, ThreadCall};
use crate::edit::{Change as Edit, Value, meaning};
use crate::measure::Length;
use crate::metric::{Against, DimensionChoice, MadeWith, MetricPart, Other, Owned, THING};
use crate::plan::{changes, with_unit};
use crate::sheet::Change;
use crate::why::Why;

/// One dimension or thread.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its name: `rod boss: radius`.
    pub name: String,
    /// Path of its entry in the file.
    pub at: String,
    /// The feature that it is marked on in the picture.
    pub feature: Option<String>,
    /// Whether it is a length or a thread.
    pub of: Of,
    /// As the drawing has it, with its unit.
    pub written: String,
    /// Exact millimetres of that.
    pub exact: String,
    /// What may become of it, and whether that was said.
    pub role: (Role, Given),
    /// What stands beside it in the file.
    pub said: Said,
    /// What was chosen; nothing where nothing could be.
    pub became: Option<Became>,
}

/// What a row is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// A dimension.
    Length,
    /// A thread.
    Thread,
}

/// The choice for one row.
#[derive(Clone, Debug, PartialEq)]
pub struct Became {
    /// As shown: `9.5 mm`, `M2`.
    pub chosen: String,
    /// What to write to pin it: exactly that size.
    pub pin: String,
    /// Chosen less drawn, in millimetres with its sign; empty where nothing moved.
    pub moved: String,
    /// The same in the unit of the drawing, where that is another.
    pub moved_drawn: String,
    /// The greatest departure allowed either way; empty for a thread.
    pub limit: String,
    /// What makes it.
    pub made_with: String,
    /// Whether everything for it is owned.
    pub owned: Owned,
    /// The whole reason.
    pub why: Why,
    /// Every other size, nearest the drawing first.
    pub others: Vec<Other>,
}

/// Something that the choice has to buy, or would with another size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wish {
    /// As the list to buy names it: `reamer 9.5 mm H7`.
    pub what: String,
    /// Dimensions that it makes as chosen.
    pub used: Vec<String>,
    /// Dimensions that it could make, what brings them nearest the drawing first.
    pub could: Vec<Gain>,
    /// Its price band, where one is known.
    pub price: Option<u32>,
    /// As the bench file says that it would be bought, where it does.
    pub ticked: Option<String>,
}

/// What a thing to buy would bring to one dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gain {
    /// The dimension.
    pub name: String,
    /// The size it would have: `9.5 mm`.
    pub size: String,
    /// How much nearer the drawing that is; less than nought where it is farther.
    pub nearer: Length,
}

impl Gain {
    /// Whether it is nearer the drawing at all.
    pub fn is_one(&self) -> bool {
        self.nearer.is_positive()
    }

    /// In a few words: `9.5 mm, nearer the drawing by 0.025 mm`.
    pub fn words(&self) -> String {
        match self.is_one() {
            true => {
                format!("{} at {}, nearer the drawing by {} mm", self.name, self.size, self.nearer.shown(3))
            }
            false => format!("{} at {}", self.name, self.size),
        }
    }
}

impl Wish {
    /// Whether it is needed, ticked, or would bring a size nearer the drawing.
    pub fn tells(&self) -> bool {
        !self.used.is_empty() || self.ticked.is_some() || self.could.iter().any(Gain::is_one)
    }
}

/// A size that a change moved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// Its name.
    pub name: String,
    /// Before; nothing where none could be chosen.
    pub was: Option<String>,
    /// After, likewise.
    pub now: Option<String>,
}

/// Every row of a draft: the dimensions, then the threads.
pub fn rows(text: &str, drawing: &Drawing, metric: Option<&MetricPart>) -> Vec<Row> {
    let said = meaning(text).unwrap_or(Value::Table(Vec::new()));
    let mut became = metric.map(|metric| chosen(drawing, metric).into_iter());
    let mut next = || became.as_mut().and_then(Iterator::next);
    let mut rows = Vec::new();
    for dimension in &drawing.dimensions {
        let Dimension { name, at, written, role, .. } = dimension;
        rows.push(Row {
            name: name.clone(),
            at: at.clone(),
            feature: feature(drawing, name),
            of: Of::Length,
            written: with_unit(&written.text, written.unit.symbol()),
            exact: written.length.shown(4),
            role: *role,
            said: said_at(&said, at),
            became: next(),
        });
    }
    for ThreadCall { name, at, text, thread, role, .. } in &drawing.threads {
        rows.push(Row {
            name: name.clone(),
            at: at.clone(),
            feature: feature(drawing, name),
            of: Of::Thread,
            written: text.clone(),
            exact: thread.major.shown(4),
            role: *role,
            said: said_at(&said, at),
            became: next(),
        });
    }
    rows
}

/// Why nothing of the part may be changed, where nothing may.
pub fn kept(drawing: &Drawing) -> Option<&'static str> {
    if drawing.pressure == Pressure::Holds {
        return Some(
            "This part holds pressure: every size and thread stays exactly as drawn, and none can be pinned. The \
             code in force and an inspector decide on any change to it.",
        );
    }
    let bought = "This part is bought in: it comes as it is, and nothing of it can be chosen.";
    (drawing.source == Source::Bought).then_some(bought)
}

/// Everything that is bought, or would be for some other size, the needed first.
pub fn wishes(rows: &[Row], metric: Option<&MetricPart>, bench: &Bench) -> Vec<Wish> {
    let mut wishes: BTreeMap<String, Wish> = BTreeMap::new();
    let as_written = |what: &str| bench.would_buy.iter().find(|known| same_thing(known, what)).cloned();
    let new = |what: &str| Wish {
        what: what.to_owned(),
        used: Vec::new(),
        could: Vec::new(),
        price: None,
        ticked: as_written(what),
    };
    for buy in metric.iter().flat_map(|metric| &metric.purchases) {
        let wish = wishes.entry(buy.what.clone()).or_insert_with(|| new(&buy.what));
        wish.used.push(buy.because.clone());
        wish.price = wish.price.or(buy.price);
    }
    for row in rows {
        for other in row.became.iter().flat_map(|became| &became.others) {
            let Against::Costs(price) = &other.against else { continue };
            for what in &price.buys {
                let wish = wishes.entry(what.clone()).or_insert_with(|| new(what));
                let nearer = price.chosen_off - price.off;
                wish.could.push(Gain { name: row.name.clone(), size: other.pin.clone(), nearer });
                // What is bought alone has the points to itself.
                if price.buys.len() == 1 && price.saves.is_empty() {
                    let band = u64::try_from(price.points).ok().and_then(|points| points.checked_sub(THING));
                    wish.price = wish.price.or(band.and_then(|band| u32::try_from(band).ok()));
                }
            }
        }
    }
    for wish in wishes.values_mut() {
        wish.could.sort_by_key(|gain| Reverse(gain.nearer));
    }
    let mut wishes: Vec<Wish> = wishes.into_values().collect();
    // What is ticked and serves nothing here stays on the list, to be unticked.
    for what in &bench.would_buy {
        if !wishes.iter().any(|wish| same_thing(&wish.what, what)) {
            wishes.push(new(what));
        }
    }
    let nearest = |wish: &Wish| wish.could.first().map(|gain| Reverse(gain.nearer));
    wishes.sort_by_key(|wish| (wish.used.is_empty(), wish.ticked.is_none(), nearest(wish)));
    wishes
}

/// What the other parts of a project have of something that one part does not ask for: each
/// by its name, with its sizes where it has them. `open` where that part has none itself.
pub fn elsewhere(wish: &Wish, others: &[(&str, Option<&MetricPart>)], open: bool) -> String {
    let uses = |part: &MetricPart| part.purchases.iter().any(|buy| same_thing(&buy.what, &wish.what));
    let users: Vec<&str> =
        others.iter().filter(|(_, part)| part.is_some_and(uses)).map(|(name, _)| *name).collect();
    if !users.is_empty() {
        return format!("{} asks for it, this part does not", users.join(", "));
    }
    let unknown: Vec<&str> =
        others.iter().filter(|(_, part)| part.is_none()).map(|(name, _)| *name).collect();
    match (open, &unknown[..]) {
        (true, _) => "no part that has its sizes asks for it".into(),
        (false, []) => "no part of the project asks for it".into(),
        (false, some) => {
            format!(
                "no part of the project asks for it, as far as is known: {} without sizes",
                some.join(", ")
            )
        }
    }
}

/// The changes that make one asked for on the page: a size is pinned or made already,
/// never both, so what is written takes the other's place.
pub fn settled(asked: &Edit) -> Vec<Edit> {
    let other = match asked {
        Edit::Set { at, .. } => match at.rsplit_once('/') {
            Some((size, "pin")) => Some(format!("{size}/made")),
            Some((size, "made")) => Some(format!("{size}/pin")),
            _ => None,
        },
        _ => None,
    };
    other.map(|at| Edit::Clear { at }).into_iter().chain([asked.clone()]).collect()
}

/// The sizes that are not what they were, by the place of their entries.
pub fn moved(before: &[Row], after: &[Row]) -> BTreeMap<String, Moved> {
    let shown = |row: &Row| row.became.as_ref().map(|became| became.chosen.clone());
    let was: BTreeMap<&str, Option<String>> =
        before.iter().map(|row| (row.at.as_str(), shown(row))).collect();
    let differs = |row: &Row| {
        let (was, now) = (was.get(row.at.as_str())?.clone(), shown(row));
        (was != now).then(|| (row.at.clone(), Moved { name: row.name.clone(), was, now }))
    };
    after.iter().filter_map(differs).collect()
}

/// The sizes of another part that are not what they were: of one drawing, chosen twice.
pub fn moved_elsewhere(
    drawing: &Drawing,
    before: Option<&MetricPart>,
    after: Option<&MetricPart>,
) -> Vec<Moved> {
    let sizes = |metric: Option<&MetricPart>, at: usize| {
        let metric = metric?;
        match at.checked_sub(drawing.dimensions.len()) {
            None => metric.dimensions.get(at).map(|choice| format!("{} mm", choice.chosen.shown(3))),
            Some(at) => metric.threads.get(at).map(|choice| choice.chosen.designation.clone()),
        }
    };
    let names = drawing.dimensions.iter().map(|d| &d.name).chain(drawing.threads.iter().map(|t| &t.name));
    let moved = names.enumerate().map(|(at, name)| Moved {
        name: name.clone(),
        was: sizes(before, at),
        now: sizes(after, at),
    });
    moved.filter(|moved| moved.was != moved.now).collect()
}

fn chosen(drawing: &Drawing, metric: &MetricPart) -> Vec<Became> {
    let owned = metric.dimensions.iter().map(|choice| choice.owned);
    let owned = owned.chain(metric.threads.iter().map(|choice| choice.owned));
    let became = |(at, (change, owned)): (usize, (Change, Owned))| {
        let dimension = metric.dimensions.get(at);
        let pin = match dimension {
            // A size with no end of decimals in millimetres is one as drawn.
            Some(choice) if choice.chosen == choice.exact => {
                with_unit(&choice.written.text, choice.written.unit.symbol())
            }
            Some(DimensionChoice { made: MadeWith::TaperReamer(pin), .. }) => pin.name.clone(),
            Some(choice) => format!("{} mm", choice.chosen.shown(9)),
            None => change.chosen.clone(),
        };
        Became {
            chosen: change.chosen,
            pin,
            moved: change.difference,
            moved_drawn: change.difference_drawn,
            limit: change.limit,
            made_with: change.made_with,
            owned,
            why: change.why,
            others: change.refused,
        }
    };
    changes(drawing, metric).into_iter().zip(owned).enumerate().map(became).collect()
}

/// The feature that a dimension or thread is of; of a mate, the feature it meets.
fn feature(drawing: &Drawing, name: &str) -> Option<String> {
    let owns = |owner: &str| name.strip_prefix(owner).is_some_and(|rest| rest.starts_with(": "));
    let mate =
        drawing.mates.iter().find(|mate| owns(&mate.name) && drawing.dimensions[mate.size.0].name == name);
    if let Some(mate) = mate.filter(|mate| drawing.dimensions[mate.size.0].measures == Measures::Shaft) {
        return Some(drawing.features[mate.with.0].name.clone());
    }
    let owners = drawing.features.iter().filter(|feature| owns(&feature.name));
    owners.max_by_key(|feature| feature.name.len()).map(|feature| feature.name.clone())
}

/// What stands beside the value at a path.
fn said_at(file: &Value, at: &str) -> Said {
    let mut here = file;
    for step in at.split('/') {
        let below = match here {
            Value::Table(entries) => entries.iter().find(|(key, _)| key == step).map(|(_, value)| value),
            Value::List(items) => step.parse::<usize>().ok().and_then(|index| items.get(index)),
            _ => None,
        };
        match below {
            Some(below) => here = below,
            None => return Said::default(),
        }
    }
    let Value::Table(entries) = here else { return Said::default() };
    let word = |key: &str| {
        let value = entries.iter().find(|(name, _)| name == key).map(|(_, value)| value);
        value.and_then(Value::as_words).unwrap_or_default().to_owned()
    };
    Said {
        role: word("role"),
        within: word("within"),
        keeps: word("keeps"),
        pin: word("pin"),
        made: word("made"),
    }
}
