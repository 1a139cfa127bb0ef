//! A part file as it is being entered: everything that the entry page shows.
//!
//! The text of a file goes in, however unfinished; a [`Look`] comes out: the
//! fields of every form with what stands in them and what that comes to, the
//! pictures drawn as far as they are known, and every problem with the feature and
//! field it is about. Nothing here changes the text ([`crate::edit`] does), and
//! nothing is supposed that the sheets would not suppose too.
//!
//! Begin with [`look`]. What a kind of feature is asked stands in [`asks`].

pub mod asks;
mod field;
mod fill;
mod outlined;
mod paper;
pub mod statements;

pub use field::{Exact, Field, Item};
pub use fill::{fill, new_feature, new_table};
pub use outlined::outlined;
pub use paper::{Beneath, Paper};

use asks::{Ask, Need, Takes};
use field::Context;

use crate::document::{Content, Sheet, read_document};
use crate::drawing::solid::{Beside, Standing, thin_walls};
use crate::drawing::{Body, Drawing, FeatureId, Part, Solved, hands, read_as_far, solve_as_far};
use crate::measure::Unit;
use crate::plan::views::{Lettering, projections};
use crate::problem::Problem;
use crate::sheet::{Marked, Projection, Projections, Stroke};

/// Everything that the entry page shows of a draft.
#[derive(Clone, Debug)]
pub struct Look {
    /// What the part is called, once it is.
    pub name: String,
    /// The forms, in the order of the page: part, body, stock, features, mates, equals.
    pub cards: Vec<Card>,
    /// What is wrong, as [`crate::plan::plan`] would say it, in the order of the file.
    pub troubles: Vec<Trouble>,
    /// The part as far as it is known, with the numbers of the troubles at the
    /// features they are about.
    pub picture: Option<Projections>,
    /// Dimensions that the drawing gives twice and that agree.
    pub checks: Vec<String>,
    /// Walls that are thin, each with the forms of what it lies between; none
    /// before the part is whole.
    pub walls: Vec<(String, Vec<usize>)>,
    /// What reads the other way on the opposite hand, where both are made.
    pub hands: Vec<String>,
    /// What is supposed because nobody has said.
    pub supposed: Vec<String>,
    /// Whether turned features are offered, or those of plates.
    pub turned: bool,
    /// Every feature that has a place of its own, by name.
    pub placeable: Vec<String>,
    /// The paper sheet beneath, where there is one.
    pub paper: Option<Paper>,
}

/// Which table of the file a form is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Which {
    /// What stands above the first heading.
    Part,
    /// `[body]`.
    Body,
    /// `[stock]`.
    Stock,
    /// A `[[feature]]`, counted from nought.
    Feature(usize),
    /// A `[[mate]]`.
    Mate(usize),
    /// An `[[equal]]`.
    Equal(usize),
    /// A `[[screwed]]`.
    Screwed(usize),
    /// `[scan]`.
    Scan,
}

impl Which {
    /// The path of the table, as a change to the file names it; empty for the part.
    pub fn at(self) -> String {
        match self {
            Self::Part => String::new(),
            Self::Body => "body".to_owned(),
            Self::Stock => "stock".to_owned(),
            Self::Feature(index) => format!("feature/{index}"),
            Self::Mate(index) => format!("mate/{index}"),
            Self::Equal(index) => format!("equal/{index}"),
            Self::Screwed(index) => format!("screwed/{index}"),
            Self::Scan => "scan".to_owned(),
        }
    }

    /// The path of a key in the table.
    fn key(self, key: &str) -> String {
        match self {
            Self::Part => key.to_owned(),
            _ => format!("{}/{key}", self.at()),
        }
    }
}

/// One form.
#[derive(Clone, Debug)]
pub struct Card {
    /// The table it is of.
    pub which: Which,
    /// What it is called: a feature's name.
    pub title: String,
    /// The word for what it is, where it has one.
    pub kind: String,
    /// Its size in a few words, for the list.
    pub brief: String,
    /// Its fields.
    pub fields: Vec<Field>,
    /// Keys that mean nothing here, each with what stands there.
    pub strays: Vec<(String, String)>,
    /// Numbers of the troubles that are about it.
    pub troubles: Vec<usize>,
}

/// A problem, and where on the page to mend it.
#[derive(Clone, Debug)]
pub struct Trouble {
    /// Its number on the picture, counted from one.
    pub number: usize,
    /// What, where, why and how to mend it.
    pub problem: Problem,
    /// The forms it is about, the likeliest first: indices into [`Look::cards`].
    pub cards: Vec<usize>,
    /// The field to go to.
    pub at: Option<String>,
}

/// Looks at a draft; `file` is the name of its file, for problems.
pub fn look(file: &str, text: &str) -> Look {
    look_lettered(file, text, Lettering::AsWritten)
}

/// The same with the sizes on the picture lettered some other way.
pub fn look_lettered(file: &str, text: &str, lettering: Lettering) -> Look {
    let (drawing, mut problems) = read_as_far(file, text);
    let complete = problems.is_empty();
    let solved = drawing.as_ref().map(|drawing| {
        let (solved, more) = solve_as_far(drawing);
        problems.extend(more);
        solved
    });
    let part = drawing.as_ref().zip(solved.as_ref()).map(|(drawing, solved)| Part::as_drawn(drawing, solved));
    let sound = complete && problems.is_empty();
    if complete && let Some(part) = &part {
        problems.extend(part.wrong());
    }
    let paper = drawing.as_ref().zip(solved.as_ref()).and_then(|(drawing, solved)| {
        let (paper, more) = paper::look(drawing, solved)?;
        problems.extend(more);
        Some(paper)
    });
    let mut cards = read_document(text).map(|sheet| cards(&sheet, drawing.as_ref())).unwrap_or_default();
    statements::judge(&mut cards, drawing.as_ref(), &problems);
    let troubles = troubles(problems, &mut cards);
    let picture = part.as_ref().map(|part| picture(part, lettering, &cards, &troubles));
    Look {
        name: drawing.as_ref().map(|drawing| drawing.name.clone()).unwrap_or_default(),
        troubles,
        picture,
        walls: part.as_ref().filter(|_| sound).map(|part| thin(part, &cards)).unwrap_or_default(),
        hands: part.as_ref().filter(|_| sound).map(flips).unwrap_or_default(),
        checks: solved.as_ref().map(said_twice).unwrap_or_default(),
        supposed: drawing.as_ref().map(|drawing| drawing.assumed.clone()).unwrap_or_default(),
        placeable: drawing.as_ref().map(placeable).unwrap_or_default(),
        turned: drawing.is_some_and(|drawing| matches!(drawing.body, Body::Turned { .. })),
        paper,
        cards,
    }
}

/// Features that a place is asked of, the holes of a pattern among them.
fn placeable(drawing: &Drawing) -> Vec<String> {
    let has_place = |kind: &str| asks::feature(kind).is_some_and(|row| row.place.is_some());
    let placed = drawing.features.iter().filter(|feature| has_place(feature.kind.word()));
    placed.map(|feature| feature.name.clone()).collect()
}

/// Every form of a text, for finding a field in; none where it cannot be read.
fn cards_of(text: &str) -> Vec<Card> {
    read_document(text).map(|sheet| cards(&sheet, None)).unwrap_or_default()
}

/// Every form of a file, filled.
fn cards(sheet: &Sheet, drawing: Option<&Drawing>) -> Vec<Card> {
    let mut ignored = Vec::new();
    let mut word = |sheet: &Sheet, key: &str| {
        sheet.text(key, &mut ignored).map(|(text, _)| text.trim().to_owned()).unwrap_or_default()
    };
    let features = tables(sheet, "feature");
    let mut known: Vec<(String, String)> = Vec::new();
    for (index, table) in features.iter().enumerate() {
        let (name, kind) = (word(table, "name"), word(table, "kind"));
        known.push((if name.is_empty() { unnamed(index) } else { name }, kind));
    }
    let unit = match word(sheet, "unit").as_str() {
        "inch" => Some(Unit::Inch),
        "mm" => Some(Unit::Mm),
        _ => None,
    };
    let dimensions: Vec<String> = drawing
        .map(|drawing| drawing.dimensions.iter().map(|d| d.name.clone()).collect())
        .unwrap_or_default();
    let names = with_children(&known, &features);
    let context = Context { unit, features: &names, dimensions: &dimensions };
    let card = |which: Which, title: String, kind: String, asks: Vec<Ask>, table: &Sheet| {
        let field = |&ask: &Ask| context.field(ask, table, which.key(ask.key));
        let fields: Vec<Field> = asks.iter().map(field).collect();
        let strays = strays(table, &asks, which);
        Card { which, title, kind, brief: brief(&fields), fields, strays, troubles: Vec::new() }
    };
    let mut cards = vec![card(Which::Part, "The part".into(), String::new(), asks::PART.to_vec(), sheet)];
    let empty = Sheet::empty();
    let body = table(sheet, "body").unwrap_or(&empty);
    let kind = word(body, "kind");
    let asked =
        std::iter::once(BODY_KIND).chain(asks::body(&kind).map_or(&[][..], |row| row.fields).iter().copied());
    cards.push(card(Which::Body, "The outside".into(), kind, asked.collect(), body));
    let stock = table(sheet, "stock").unwrap_or(&empty);
    cards.push(card(Which::Stock, "The stock".into(), word(stock, "form"), asks::STOCK.to_vec(), stock));
    for (index, table) in features.iter().enumerate() {
        let (name, kind) = known[index].clone();
        let asked = feature_asks(&kind);
        cards.push(card(Which::Feature(index), name, kind, asked, table));
    }
    for (index, table) in tables(sheet, "mate").into_iter().enumerate() {
        let name = word(table, "name");
        let title = if name.is_empty() { format!("mate {}", index + 1) } else { name };
        cards.push(card(Which::Mate(index), title, "mate".into(), asks::MATE.to_vec(), table));
    }
    for (index, table) in tables(sheet, "equal").into_iter().enumerate() {
        let title = format!("equal {}", index + 1);
        cards.push(card(Which::Equal(index), title, "equal sizes".into(), asks::EQUAL.to_vec(), table));
    }
    for (index, table) in tables(sheet, "screwed").into_iter().enumerate() {
        let name = word(table, "in");
        let title =
            if name.is_empty() { format!("screwed {}", index + 1) } else { format!("{name}, screwed") };
        cards.push(card(Which::Screwed(index), title, "screwed".into(), asks::SCREWED.to_vec(), table));
    }
    if let Some(scan) = table(sheet, "scan") {
        cards.push(card(Which::Scan, "The paper sheet".into(), String::new(), asks::SCAN.to_vec(), scan));
    }
    cards
}

/// What the reader calls a feature that has no name yet.
fn unnamed(index: usize) -> String {
    format!("feature {}", index + 1)
}

/// Every feature that can be named, the holes of a pattern after it.
fn with_children(known: &[(String, String)], tables: &[&Sheet]) -> Vec<(String, String)> {
    let mut names = Vec::new();
    for ((name, kind), table) in known.iter().zip(tables) {
        names.push((name.clone(), kind.clone()));
        let mut ignored = Vec::new();
        if matches!(kind.as_str(), "pitch circle" | "row") {
            let each = if table.get("thread").is_some() { "tapped hole" } else { "hole" };
            let count = table.count("holes", &mut ignored).unwrap_or(0).min(200);
            names.extend((1..=count).map(|n| (format!("{name} {n}"), each.to_owned())));
        }
    }
    names
}

const BODY_KIND: Ask = Ask {
    key: "kind",
    label: "what it is",
    takes: Takes::One(&["rectangle", "disc", "bosses", "outline", "turned"]),
    need: Need::Must,
    such_as: "rectangle",
    help: "",
};

const NAME: Ask = Ask {
    key: "name",
    label: "name",
    takes: Takes::Words,
    need: Need::Must,
    such_as: "pivot bore",
    help: "",
};

const KIND: Ask = Ask {
    key: "kind",
    label: "kind",
    takes: Takes::One(&asks::KIND_WORDS),
    need: Need::Must,
    such_as: "hole",
    help: "",
};

/// The fields of a feature of some kind: its name and kind first, its place last.
fn feature_asks(kind: &str) -> Vec<Ask> {
    let mut asked = vec![NAME, KIND];
    if let Some(row) = asks::feature(kind) {
        asked.extend(row.fields);
        if !row.faces.is_empty() {
            let help = if row.faces[0] == "front" {
                "empty: front, towards you"
            } else {
                "the side it goes in from"
            };
            let need = if row.faces[0] == "front" { Need::May } else { Need::Must };
            let takes = Takes::One(row.faces);
            asked.push(Ask { key: "face", label: "cut from", takes, need, such_as: row.faces[0], help });
        }
        if let Some(such_as) = row.place {
            let need = Need::Must;
            asked.push(Ask { key: "place", label: "place", takes: Takes::Place, need, such_as, help: "" });
        }
    }
    asked
}

/// The tables of one name, whether written once or many times.
fn tables<'a>(sheet: &'a Sheet, key: &str) -> Vec<&'a Sheet> {
    sheet.tables(key, &mut Vec::new())
}

fn table<'a>(sheet: &'a Sheet, key: &str) -> Option<&'a Sheet> {
    match &sheet.get(key)?.value {
        Content::Table(table) => Some(table),
        _ => None,
    }
}

/// What stands in a table and is not asked for.
fn strays(table: &Sheet, asks: &[Ask], which: Which) -> Vec<(String, String)> {
    const HEADINGS: [&str; 7] = ["body", "stock", "feature", "mate", "equal", "screwed", "scan"];
    let known = |key: &str| {
        asks.iter().any(|ask| ask.key == key) || (which == Which::Part && HEADINGS.contains(&key))
    };
    let stray = |key: &str, text: String| (which.key(key), text);
    table
        .all()
        .filter(|entry| !known(&entry.key))
        .map(|entry| stray(&entry.key, entry.as_text().unwrap_or("…").to_owned()))
        .collect()
}

/// The sizes of a form in a few words.
fn brief(fields: &[Field]) -> String {
    let shown = |field: &&Field| {
        matches!(field.ask.takes, Takes::Size | Takes::Thread | Takes::Pin | Takes::Count)
            && !field.text.is_empty()
    };
    fields.iter().filter(shown).take(3).map(|field| field.text.clone()).collect::<Vec<_>>().join(" · ")
}

/// Each problem with the forms it is about and the field to mend.
fn troubles(problems: Vec<Problem>, cards: &mut [Card]) -> Vec<Trouble> {
    let mut troubles: Vec<Trouble> = Vec::new();
    for problem in problems {
        let number = troubles.len() + 1;
        let about = about(&problem, cards);
        for &card in &about {
            cards[card].troubles.push(number);
        }
        let at = about.first().map(|&card| mark(&problem, &mut cards[card]));
        troubles.push(Trouble { number, problem, cards: about, at });
    }
    troubles
}

/// The forms that a problem is about: those it names, or that whose line it gives.
fn about(problem: &Problem, cards: &[Card]) -> Vec<usize> {
    let mut found: Vec<usize> = Vec::new();
    let mut add = |index: usize| {
        if !found.contains(&index) {
            found.push(index);
        }
    };
    for name in problem.concerned() {
        // A dimension is called after its feature, a hole after its pattern.
        let owner = name.split(": ").next().unwrap_or(name);
        let is = |card: &Card| match card.which {
            Which::Feature(_) => owns(&card.title, owner),
            Which::Body => owner == "body",
            Which::Mate(_) => card.title.eq_ignore_ascii_case(owner),
            Which::Scan => owner == "scan",
            Which::Part | Which::Stock | Which::Equal(_) | Which::Screwed(_) => false,
        };
        cards.iter().enumerate().filter(|(_, card)| is(card)).for_each(|(index, _)| add(index));
    }
    if found.is_empty()
        && let Some(index) =
            cards.iter().position(|card| card.fields.iter().any(|f| f.says_the_same(problem)))
    {
        found.push(index);
    }
    found
}

/// True for a feature and for the holes that it brings.
fn owns(feature: &str, name: &str) -> bool {
    let rest = name
        .get(..feature.len())
        .filter(|start| start.eq_ignore_ascii_case(feature))
        .map(|_| &name[feature.len()..]);
    rest.is_some_and(|rest| {
        rest.is_empty() || rest.strip_prefix(' ').is_some_and(|n| n.bytes().all(|b| b.is_ascii_digit()))
    })
}

/// Puts a problem at the field of a form where it is mended, and says which that is.
fn mark(problem: &Problem, card: &mut Card) -> String {
    let keyed = |field: &Field| problem.place().contains(&format!("`{}`", field.ask.key));
    let named = |field: &Field| field.is_wanting() && problem.what().contains(field.ask.key);
    let tests: [&dyn Fn(&Field) -> bool; 5] =
        [&|field| field.says_the_same(problem), &keyed, &named, &Field::is_wanting, &|field| {
            field.ask.takes == Takes::Place
        }];
    let found = tests.iter().find_map(|test| card.fields.iter().position(test));
    let Some(field) = found.map(|index| &mut card.fields[index]) else { return card.which.at() };
    let same = |own: &Option<Problem>| own.as_ref().is_some_and(|own| own.what() == problem.what());
    if let Some(item) = field.items.iter().find(|item| same(&item.problem)) {
        return item.at.clone();
    }
    // One of several that a problem quotes is the one it is about.
    let quoted = |item: &&mut Item| problem.what().contains(&format!("`{}`", item.text));
    if let Some(item) = field.items.iter_mut().find(quoted) {
        item.problem = Some(problem.clone());
        return item.at.clone();
    }
    field.problem = Some(problem.clone());
    field.at.clone()
}

/// The views that are true of what is known, marked.
fn picture(part: &Part, lettering: Lettering, cards: &[Card], troubles: &[Trouble]) -> Projections {
    let mut drawn = projections(part, lettering);
    leave_out(&mut drawn, part.drawing);
    for trouble in troubles {
        for &card in &trouble.cards {
            let name = &cards[card].title;
            let spot = |view: &Projection| view.anchors.iter().find(|(of, _)| owns(name, of)).cloned();
            if let Some((view, (of, at))) = drawn
                .views
                .iter_mut()
                .find_map(|view| Some((spot(view)?, view)).map(|(spot, view)| (view, spot)))
            {
                view.marks.push(Marked { number: trouble.number, of, at });
            }
        }
    }
    drawn
}

/// Takes from the views what only stands in for something that is not known yet.
/// Where a feature is stays shown by its centre lines.
fn leave_out(drawn: &mut Projections, drawing: &Drawing) {
    let unknown = drawing.unknown();
    if unknown.contains(&"body: thickness") {
        drawn.views.truncate(1);
    }
    let owners: Vec<&str> = unknown.iter().map(|name| name.split(": ").next().unwrap_or(name)).collect();
    for view in &mut drawn.views {
        view.lines.retain(|line| match &line.of {
            Some(of) => line.stroke == Stroke::Centre || !owners.iter().any(|name| owns(name, of)),
            None => !drawing.outside_unknown(),
        });
        view.says
            .retain(|said| said.figure.as_ref().is_none_or(|figure| !unknown.contains(&figure.as_str())));
    }
}

/// The thin walls that stand, with the forms of what they lie between.
fn thin(part: &Part, cards: &[Card]) -> Vec<(String, Vec<usize>)> {
    let card = |id: FeatureId| {
        let name = &part.feature(id).name;
        cards.iter().position(|card| matches!(card.which, Which::Feature(_)) && owns(&card.title, name))
    };
    let standing = thin_walls(part).into_iter().filter(|wall| wall.standing != Standing::Broken);
    standing
        .map(|wall| {
            let second = match wall.second {
                Beside::Feature(id) => card(id),
                _ => None,
            };
            (wall.words(part), card(wall.first).into_iter().chain(second).collect())
        })
        .collect()
}

/// What flips on the opposite hand; nothing where only one is made.
fn flips(part: &Part) -> Vec<String> {
    if part.drawing.hands.len() < 2 {
        return Vec::new();
    }
    let hands = hands(part);
    match hands.same_words() {
        Some(same) => vec![same],
        None => hands.flips.iter().map(|flip| flip.words()).collect(),
    }
}

fn said_twice(solved: &Solved) -> Vec<String> {
    let several = |check: &&crate::drawing::Check| check.statements.len() > 1;
    solved.checks.iter().filter(several).map(|check| check.statements.join("; ")).collect()
}
