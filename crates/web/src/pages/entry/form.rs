//! The form that is open: its fields ready for the template.

use askama::Template;
use workshop::desk::asks::Takes;
use workshop::desk::statements::{EDGES, WAYS, Way};
use workshop::desk::{Card, Exact, Field, Look, Said, Which};
use workshop::measure::Unit;
use workshop::problem::Problem;

use super::name_of;
use sheets::svg::escape;

#[derive(Template)]
#[template(path = "entry/form.html")]
pub struct FormPiece {
    title: String,
    kind: String,
    at: String,
    fields: Vec<FieldView>,
    /// What means nothing there: its path, its text, its key.
    strays: Vec<(String, String, String)>,
    lists: Vec<Words>,
    ways: &'static [Way],
    edges: &'static [&'static str],
    names: Vec<String>,
    removable: bool,
}

/// Words offered for a field that takes others too.
struct Words {
    id: String,
    words: Vec<String>,
}

struct FieldView {
    id: String,
    at: String,
    label: &'static str,
    help: &'static str,
    text: String,
    such_as: &'static str,
    /// The words of which one may be chosen; empty for a field to type in.
    choices: Vec<Choice>,
    /// The list of words offered; empty where there is none.
    list: String,
    /// What stands beside it.
    says: Option<Said>,
    exact: String,
    wrong: Option<(String, String)>,
    wanting: bool,
    /// Each of several, and an empty one after them; empty where it takes one.
    rows: Vec<RowView>,
    /// Whether words may be chosen for it.
    builds: bool,
    /// Where one more goes.
    next: String,
}

struct RowView {
    id: String,
    at: String,
    text: String,
    such_as: &'static str,
    says: Option<Said>,
    exact: String,
    wrong: Option<(String, String)>,
}

struct Choice {
    value: String,
    words: String,
    chosen: bool,
}

impl FormPiece {
    pub fn of(look: &Look, open: usize) -> Self {
        let card = &look.cards[open];
        let mut fields: Vec<FieldView> = card.fields.iter().map(field).collect();
        if let Which::Feature(_) = card.which {
            offer_what_fits(look, &mut fields);
        }
        let lists = card
            .fields
            .iter()
            .filter(|field| offers(field.ask.takes))
            .map(|field| Words { id: list_of(field), words: field.choices.clone() });
        let key = |at: &str| at.rsplit('/').next().unwrap_or_default().to_owned();
        Self {
            title: card.title.clone(),
            kind: card.kind.clone(),
            at: name_of(card),
            fields,
            strays: card.strays.iter().map(|(at, text)| (at.clone(), text.clone(), key(at))).collect(),
            lists: lists.collect(),
            ways: WAYS,
            edges: EDGES,
            names: names(look, card),
            removable: matches!(
                card.which,
                Which::Feature(_) | Which::Mate(_) | Which::Equal(_) | Which::Chain(_) | Which::Wall(_)
            ),
        }
    }
}

/// What a place may be measured from: the datum, and every other feature.
fn names(look: &Look, card: &Card) -> Vec<String> {
    let feature = |other: &&Card| matches!(other.which, Which::Feature(_)) && other.title != card.title;
    let features = look.cards.iter().filter(feature).map(|card| card.title.clone());
    std::iter::once("datum".to_owned()).chain(features).collect()
}

/// Of the kinds of feature, those that the body has; and that which it is.
fn offer_what_fits(look: &Look, fields: &mut [FieldView]) {
    use workshop::desk::asks::{On, feature};
    let Some(kinds) = fields.iter_mut().find(|field| field.at.ends_with("/kind")) else { return };
    kinds.choices.retain(|choice| {
        let on = feature(&choice.value).map(|row| row.on);
        choice.chosen || !matches!((on, look.turned), (Some(On::Plate), true) | (Some(On::Turned), false))
    });
}

/// Whether a field is typed in, with words offered for it.
const fn offers(takes: Takes) -> bool {
    matches!(takes, Takes::Material | Takes::Fit | Takes::Around(_) | Takes::Dimensions)
}

fn list_of(field: &Field) -> String {
    if offers(field.ask.takes) { format!("words-{}", field.ask.key) } else { String::new() }
}

fn field(field: &Field) -> FieldView {
    let id = format!("f-{}", field.at.replace('/', "-"));
    let next = format!("{}/{}", field.at, field.items.len());
    let mut rows: Vec<RowView> = Vec::new();
    if field.is_list() {
        rows.extend(field.items.iter().enumerate().map(|(index, item)| RowView {
            id: if index == 0 { id.clone() } else { format!("{id}-{index}") },
            at: item.at.clone(),
            text: item.text.clone(),
            such_as: "",
            says: item.says.clone(),
            exact: exact(item.exact.as_ref()),
            wrong: item.problem.as_ref().map(said),
        }));
        rows.push(RowView {
            id: if field.items.is_empty() { id.clone() } else { format!("{id}-{}", field.items.len()) },
            at: next.clone(),
            text: String::new(),
            such_as: if field.items.is_empty() { field.ask.such_as } else { "" },
            says: None,
            exact: String::new(),
            wrong: None,
        });
    }
    FieldView {
        id,
        at: field.at.clone(),
        label: field.ask.label,
        help: field.ask.help,
        text: field.text.clone(),
        such_as: field.ask.such_as,
        choices: choices(field),
        list: list_of(field),
        says: field.says.clone(),
        exact: exact(field.exact.as_ref()),
        wrong: field.problem.as_ref().map(said),
        wanting: field.is_wanting(),
        rows,
        builds: field.ask.takes == Takes::Place,
        next,
    }
}

/// The words of which one may be chosen, with whatever stands there.
fn choices(field: &Field) -> Vec<Choice> {
    if !matches!(field.ask.takes, Takes::One(_) | Takes::YesNo | Takes::Feature(_)) {
        return Vec::new();
    }
    let yes_no = field.ask.takes == Takes::YesNo;
    let chosen = |word: &str| word.eq_ignore_ascii_case(field.text.trim());
    let choice = |word: &String| Choice {
        value: word.clone(),
        words: match (yes_no, word.as_str()) {
            (true, "true") => "yes".to_owned(),
            (true, _) => "no".to_owned(),
            _ => word.clone(),
        },
        chosen: chosen(word),
    };
    let none = Choice { value: String::new(), words: String::new(), chosen: field.text.is_empty() };
    let mut choices: Vec<Choice> = std::iter::once(none).chain(field.choices.iter().map(choice)).collect();
    if !choices.iter().any(|choice| choice.chosen) {
        choices.push(Choice { value: field.text.clone(), words: field.text.clone(), chosen: true });
    }
    choices
}

/// What a text comes to: the unit that was not typed, and the other for those who
/// want both.
fn exact(exact: Option<&Exact>) -> String {
    match exact {
        None => String::new(),
        Some(Exact::Words(words)) => escape(words),
        Some(Exact::Length { mm, inch, typed }) => {
            let (other, same) = match typed {
                Unit::Inch => (format!("{mm} mm"), format!("{inch} in")),
                Unit::Mm => (format!("{inch} in"), format!("{mm} mm")),
            };
            format!("<b>{}</b> <span class=\"same\">{}</span>", escape(&other), escape(&same))
        }
    }
}

fn said(problem: &Problem) -> (String, String) {
    (problem.what().to_owned(), problem.remedy().unwrap_or_default().to_owned())
}
