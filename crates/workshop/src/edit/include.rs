//! Putting something among others, or taking it out, without saying where.

use super::layout::{Layout, Node};
use super::{Change, Value};

/// What is wished of a thing.
#[derive(Clone, Copy)]
pub(super) enum Wish {
    /// That it is there.
    There,
    /// That it is not.
    Gone,
}

/// The change that says where; nothing when the file is so already.
pub(super) fn plainly(layout: &Layout, wish: Wish, at: &str, item: &Value) -> Option<Change> {
    let node = at.split('/').try_fold(layout.root(), |node, step| node.step(step));
    let there = match node.map(|node| node.meaning(layout.text)) {
        Some(Value::List(items)) => items,
        Some(one) => vec![one],
        None => Vec::new(),
    };
    let found = there.iter().position(|one| same(one, item));
    let is_tables = match node {
        Some(Node::Tables(_)) => true,
        Some(_) => false,
        None => matches!(item, Value::Table(_)),
    };
    let set = |at: String, to: Value| Change::Set { at, to };
    match (wish, found) {
        (Wish::There, Some(_)) | (Wish::Gone, None) => None,
        (Wish::There, None) => Some(match (item, is_tables) {
            (Value::Table(entries), true) => {
                Change::Add { table: at.to_owned(), entries: entries.clone(), before: None }
            }
            _ if there.is_empty() => set(at.to_owned(), Value::List(vec![item.clone()])),
            _ => set(format!("{at}/{}", there.len()), item.clone()),
        }),
        (Wish::Gone, Some(index)) if is_tables => Some(Change::Remove { table: at.to_owned(), index }),
        (Wish::Gone, Some(_)) if there.len() == 1 => Some(Change::Clear { at: at.to_owned() }),
        (Wish::Gone, Some(index)) => Some(Change::Clear { at: format!("{at}/{index}") }),
    }
}

/// Whether two values say the same, however their words are spaced.
pub fn same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::List(a), Value::List(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b)),
        (Value::Table(a), Value::Table(b)) => {
            let in_it = |(key, value): &(String, Value)| b.iter().any(|(k, v)| k == key && same(value, v));
            a.len() == b.len() && a.iter().all(in_it)
        }
        _ => match (one.as_words(), other.as_words()) {
            (Some(a), Some(b)) => {
                a.split_whitespace().map(str::to_lowercase).eq(b.split_whitespace().map(str::to_lowercase))
            }
            _ => one == other,
        },
    }
}
