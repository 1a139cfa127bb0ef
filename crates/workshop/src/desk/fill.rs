//! What a person types into a form, as a change to the file.
//!
//! The page sends the path of a field and the words typed there; which change
//! that is depends on what the field takes, and stands here once.

use super::asks::{Ask, Takes};
use super::{Card, Which, cards_of};
use crate::edit::{BESIDE, Change, Value};
use crate::problem::Problem;

/// The change that writes words into a field, as a person would write them in the
/// file; empty words take what stands there away.
///
/// # Errors
///
/// A [`Problem`] when the form has no such field.
pub fn fill(text: &str, at: &str, words: &str) -> Result<Change, Problem> {
    let cards = cards_of(text);
    let words = words.trim();
    let clear = || Ok(Change::Clear { at: at.to_owned() });
    // Beside a size stand its role, its tolerance, and what it is to be or is already.
    if let Some((size, beside)) = at.rsplit_once('/')
        && BESIDE.contains(&beside)
        && find(&cards, size).is_some_and(|(_, ask, _)| ask.takes.has_a_role())
    {
        return if words.is_empty() { clear() } else { set(at, Value::text(words)) };
    }
    let Some((card, ask, place)) = find(&cards, at) else {
        return Err(Problem::new(format!("there is no field `{at}`"))
            .why("the file may have changed since the page was drawn")
            .mend("open the page again"));
    };
    if let Which::Feature(_) = card.which
        && ask.key == "name"
        && !words.is_empty()
        && card.fields.iter().any(|field| field.ask.key == "name" && !field.text.is_empty())
    {
        return Ok(Change::Rename { from: card.title.clone(), to: words.to_owned() });
    }
    if words.is_empty() {
        return clear();
    }
    match (ask.takes, place) {
        (Takes::YesNo, _) => set(at, Value::Flag(words == "true")),
        (Takes::Count, _) => set(at, Value::Number(words.to_owned())),
        (Takes::Any(_), _) => set(at, Value::texts(split(words))),
        (Takes::Lengths, _) => match split(words)[..] {
            [one] => set(at, Value::text(one)),
            ref several => set(at, Value::texts(several.iter().copied())),
        },
        // The first of a list makes the list.
        (_, Place::First(list)) => set(&list, Value::List(vec![item(ask, words)])),
        _ => set(at, item(ask, words)),
    }
}

/// A change that adds a feature of a kind after another, with a name of its own;
/// and the path that its form then has.
pub fn new_feature(text: &str, kind: &str, after: Option<usize>) -> (Change, String) {
    let cards = cards_of(text);
    let taken = |name: &str| cards.iter().any(|card| card.title.eq_ignore_ascii_case(name));
    let named = |n: usize| format!("{kind} {}", super::asks::letters(n));
    let name = (0..).map(named).find(|name| !taken(name)).expect("a file has an end, the names have none");
    let entries = vec![("name".to_owned(), Value::Text(name)), ("kind".to_owned(), Value::text(kind))];
    let count = cards.iter().filter(|card| matches!(card.which, Which::Feature(_))).count();
    let before = after.map(|after| after + 1).filter(|before| *before < count);
    let at = Which::Feature(before.unwrap_or(count)).at();
    (Change::Add { table: "feature".to_owned(), entries, before }, at)
}

/// A change that adds a `mate`, a `chain`, a `wall`, a `geometry`, a `parted`, or sizes that stay `equal`; and the path that its
/// form then has.
pub fn new_table(text: &str, table: &str) -> (Change, String) {
    let within = |card: &&Card| card.which.at().split('/').next() == Some(table);
    let count = cards_of(text).iter().filter(within).count();
    let entries = match table {
        "mate" | "chain" => {
            vec![("name".to_owned(), Value::Text(format!("{table} {}", super::asks::letters(count))))]
        }
        "geometry" => vec![("keeps".to_owned(), Value::text("squareness"))],
        "parted" => vec![("cap".to_owned(), Value::text("top"))],
        "wall" => vec![("between".to_owned(), Value::List(Vec::new()))],
        _ => vec![("dimensions".to_owned(), Value::List(Vec::new()))],
    };
    (Change::Add { table: table.to_owned(), entries, before: None }, format!("{table}/{count}"))
}

/// Where in a field something is written.
enum Place {
    /// The field itself, or something of its list that is there.
    There,
    /// The first thing of a list that is not there yet: the path of the list.
    First(String),
}

/// The form and field that a path leads to.
fn find<'a>(cards: &'a [Card], at: &str) -> Option<(&'a Card, Ask, Place)> {
    for card in cards {
        for field in &card.fields {
            if field.at == at {
                return Some((card, field.ask, Place::There));
            }
            let index = at.strip_prefix(&field.at).and_then(|rest| rest.strip_prefix('/'));
            if let Some(index) = index.and_then(|index| index.parse::<usize>().ok())
                && field.is_list()
                && index <= field.items.len()
            {
                let first = field.items.is_empty();
                let place = if first { Place::First(field.at.clone()) } else { Place::There };
                return Some((card, field.ask, place));
            }
        }
    }
    None
}

fn set(at: &str, to: Value) -> Result<Change, Problem> {
    Ok(Change::Set { at: at.to_owned(), to })
}

fn split(words: &str) -> Vec<&str> {
    words.split(',').map(str::trim).filter(|word| !word.is_empty()).collect()
}

/// One thing of a list. An arc of an outline, `arc 1 1/2 out`, is a table.
fn item(ask: Ask, words: &str) -> Value {
    let arc = || {
        let Takes::Around(_) = ask.takes else { return None };
        let (words, greater) = match words.strip_suffix(" greater") {
            Some(words) => (words, true),
            None => (words, false),
        };
        let (radius, bulge) = words.strip_prefix("arc ")?.rsplit_once(' ')?;
        let mut entries =
            vec![("arc".to_owned(), Value::text(radius.trim())), ("bulge".to_owned(), Value::text(bulge))];
        if greater {
            entries.push(("greater".to_owned(), Value::Flag(true)));
        }
        matches!(bulge, "in" | "out").then_some(Value::Table(entries))
    };
    arc().unwrap_or_else(|| Value::text(words))
}
