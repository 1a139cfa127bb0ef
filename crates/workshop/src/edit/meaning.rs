//! What a change does to what a file says, however the file is written.
//!
//! Worked out on values alone, apart from the splicing of text: the two must
//! agree, or the change is not made.

use super::layout::Layout;
use super::{Change, Value, entry, rename};

/// What the file must say after a change; nothing where the change has no meaning
/// of its own to hold it against.
pub(super) fn after(layout: &Layout, change: &Change) -> Option<Value> {
    let mut file = layout.meaning();
    match change {
        Change::Set { at, to } => {
            let steps: Vec<&str> = at.split('/').collect();
            set(&mut file, &steps, to);
        }
        Change::Clear { at } => {
            let steps: Vec<&str> = at.split('/').collect();
            clear(&mut file, &steps);
        }
        Change::Add { table, entries, before } => {
            let many = many(&mut file, table)?;
            let at = before.unwrap_or(many.len()).min(many.len());
            many.insert(at, Value::Table(entries.clone()));
        }
        Change::Remove { table, index } => {
            let many = many(&mut file, table)?;
            many.remove(*index);
            if many.is_empty()
                && let Value::Table(entries) = &mut file
                && matches!(layout.root().step(table), Some(super::layout::Node::Tables(_)))
            {
                entries.retain(|(key, _)| key != table);
            }
        }
        Change::Move { table, index, to } => {
            let many = many(&mut file, table)?;
            let moved = many.remove(*index);
            many.insert(*to, moved);
        }
        Change::Include { .. } | Change::Exclude { .. } => return None,
        Change::Rename { from, to } => {
            for (steps, words) in rename::places(layout, from.trim(), to.trim()) {
                let steps: Vec<&str> = steps.iter().map(String::as_str).collect();
                set(&mut file, &steps, &Value::Text(words));
            }
        }
    }
    Some(file.sorted())
}

fn many<'a>(file: &'a mut Value, name: &str) -> Option<&'a mut Vec<Value>> {
    let Value::Table(entries) = file else { return None };
    if !entries.iter().any(|(key, _)| key == name) {
        entries.push((name.to_owned(), Value::List(Vec::new())));
    }
    match entries.iter_mut().find(|(key, _)| key == name) {
        Some((_, Value::List(items))) => Some(items),
        _ => None,
    }
}

fn set(value: &mut Value, steps: &[&str], to: &Value) {
    let Some((step, rest)) = steps.split_first() else {
        if let (Value::Table(entries), Some(_)) = (&mut *value, to.as_words())
            && let Some((_, is)) = entries.iter_mut().find(|(key, _)| key == "is")
        {
            *is = to.clone();
        } else {
            *value = to.clone();
        }
        return;
    };
    let index = step.parse::<usize>().ok();
    match value {
        Value::Table(entries) => match entries.iter_mut().find(|(key, _)| key == step) {
            Some((_, below)) => set(below, rest, to),
            None => {
                let mut below = Value::Table(Vec::new());
                set(&mut below, rest, to);
                entries.push(((*step).to_owned(), below));
            }
        },
        Value::List(items) => match index {
            Some(index) if index < items.len() => set(&mut items[index], rest, to),
            _ => items.push(to.clone()),
        },
        _ if *step == "is" || index == Some(0) => set(value, rest, to),
        _ if index.is_some() => *value = Value::List(vec![value.clone(), to.clone()]),
        _ => {
            *value = Value::Table(vec![("is".into(), value.clone()), ((*step).to_owned(), to.clone())]);
        }
    }
}

/// Takes a place away. Answers whether the whole value is to go.
fn clear(value: &mut Value, steps: &[&str]) -> bool {
    let Some((step, rest)) = steps.split_first() else { return true };
    let index = step.parse::<usize>().ok();
    match value {
        Value::Table(entries) => {
            let Some(at) = entries.iter().position(|(key, _)| key == step) else { return false };
            if clear(&mut entries[at].1, rest) {
                entries.remove(at);
                if let [(only, is)] = &entries[..]
                    && entry::BESIDE.contains(step)
                    && only == "is"
                {
                    *value = is.clone();
                }
            }
            false
        }
        Value::List(items) => {
            if let Some(index) = index.filter(|index| *index < items.len())
                && clear(&mut items[index], rest)
            {
                items.remove(index);
            }
            false
        }
        _ => *step == "is" || index == Some(0),
    }
}
