//! Writing and clearing one value by its path.

use std::ops::Range;

use toml_edit::{InlineTable, Table, Value as TomlValue};

use super::layout::{Layout, Node, entry_extent};
use super::{Value, list, nothing_at, order, tables, unsuitable};
use crate::problem::Problem;

/// The words that may stand beside the length they qualify.
pub(crate) const BESIDE: [&str; 5] = ["role", "within", "keeps", "pin", "made"];

/// Text with a range of it replaced.
pub(super) fn spliced(text: &str, range: Range<usize>, with: &str) -> String {
    format!("{}{with}{}", &text[..range.start], &text[range.end..])
}

pub(super) fn set(layout: &Layout, path: &[&str], to: &Value) -> Result<String, Problem> {
    let mut node = layout.root();
    for (depth, step) in path.iter().enumerate() {
        match node.step(step) {
            Some(next) => node = next,
            None => return set_new(layout, path, depth, node, to),
        }
    }
    let Node::Value(old) = node else {
        return Err(
            Problem::new(format!("`{}` is a heading", path.join("/"))).mend("change what stands under it")
        );
    };
    match (old, to) {
        (TomlValue::InlineTable(table), Value::Text(_) | Value::Number(_)) if table.contains_key("is") => {
            let is = table.get("is").expect("it was just seen");
            replace(layout, is, to)
        }
        (TomlValue::Array(items), Value::List(wanted)) => list::set(layout, items, wanted),
        _ => replace(layout, old, to),
    }
}

/// Writes a value over another; the same value leaves the text as it is.
fn replace(layout: &Layout, old: &TomlValue, to: &Value) -> Result<String, Problem> {
    let span = old.span().ok_or_else(unsuitable)?;
    if Value::of(layout.text, old).sorted() == to.clone().sorted() {
        return Ok(layout.text.to_owned());
    }
    let with = to.written_like(&layout.text[span.clone()]);
    Ok(spliced(layout.text, span, &with))
}

/// Writes a value where `path[depth]` is not there below `node`.
fn set_new(layout: &Layout, path: &[&str], depth: usize, node: Node, to: &Value) -> Result<String, Problem> {
    let (step, last) = (path[depth], depth + 1 == path.len());
    let index = step.parse::<usize>().ok();
    match node {
        Node::Table(_) if path.len() == 1 && matches!(to, Value::Table(_)) => {
            let Value::Table(entries) = to else { return Err(unsuitable()) };
            let entries: Vec<(&str, &Value)> =
                entries.iter().map(|(key, value)| (key.as_str(), value)).collect();
            tables::heading(layout, step, &entries)
        }
        Node::Table(table) if last => new_line(layout, &path[..depth], table, step, to),
        Node::Table(_) if depth == 0 && path.len() == 2 => tables::heading(layout, step, &[(path[1], to)]),
        Node::Value(TomlValue::Array(items)) if last && index == Some(items.len()) => {
            list::insert(layout, items, items.len(), to)
        }
        Node::Value(TomlValue::InlineTable(table)) if last => beside(layout, table, step, to),
        Node::Value(plain @ (TomlValue::String(_) | TomlValue::Integer(_) | TomlValue::Float(_))) if last => {
            let span = plain.span().ok_or_else(unsuitable)?;
            let old = &layout.text[span.clone()];
            let with = match index {
                Some(1) => format!("[{old}, {}]", to.written()),
                None if BESIDE.contains(&step) => format!("{{ is = {old}, {step} = {} }}", to.written()),
                _ => return Err(nothing_at(&path.join("/"))),
            };
            Ok(spliced(layout.text, span, &with))
        }
        _ => Err(nothing_at(&path.join("/"))),
    }
}

/// One more word in braces.
fn beside(layout: &Layout, table: &InlineTable, key: &str, to: &Value) -> Result<String, Problem> {
    let span = table.span().ok_or_else(unsuitable)?;
    let written = format!("{key} = {}", to.written());
    match table.iter().filter_map(|(_, value)| value.span()).map(|span| span.end).max() {
        Some(end) => Ok(spliced(layout.text, end..end, &format!(", {written}"))),
        None => Ok(spliced(layout.text, span, &format!("{{ {written} }}"))),
    }
}

/// A new line under a heading, at its customary place.
fn new_line(layout: &Layout, path: &[&str], table: &Table, key: &str, to: &Value) -> Result<String, Problem> {
    let text = layout.text;
    let rank = order::key_rank(key);
    let mut entries: Vec<(usize, usize, usize)> = table
        .iter()
        .filter_map(|(name, item)| {
            let start = table.key(name)?.span()?.start;
            Some((start, entry_extent(item)?, order::key_rank(name)))
        })
        .collect();
    entries.sort_unstable();
    let line = format!("{key} = {}", to.written().replace('\n', layout.newline()));
    // After the last of those that usually come before it; else before the first.
    let after = entries.iter().rev().find(|&&(.., other)| other <= rank);
    let (at, lead) = match (after, entries.first(), layout.heading(path)) {
        (Some(&(start, end, _)), ..) => (layout.line_end(end), lead_of(layout, start)),
        (None, Some(&(start, ..)), _) => {
            let at = layout.line_start(start);
            let line = format!("{}{line}{}", lead_of(layout, start), layout.newline());
            return Ok(spliced(text, at..at, &line));
        }
        (None, None, Some(heading)) => (layout.line_end(heading), ""),
        (None, None, None) if path.is_empty() => return Ok(first_line(layout, &line)),
        (None, None, None) => return Err(unsuitable()),
    };
    Ok(spliced(text, at..at, &format!("{}{lead}{line}", layout.newline())))
}

/// What stands before a key on its line: the indentation, or the dotted way to it.
fn lead_of<'a>(layout: &Layout<'a>, key: usize) -> &'a str {
    &layout.text[layout.line_start(key)..key]
}

/// The first entry of a file that has none above its headings.
fn first_line(layout: &Layout, line: &str) -> String {
    let (text, newline) = (layout.text, layout.newline());
    if text.trim().is_empty() {
        return format!("{line}{newline}");
    }
    // A comment that stands alone at the top is about the file.
    let mut at = 0;
    while at < text.len() && text[at..].starts_with('#') {
        at = layout.next_line(at);
    }
    let alone = at == text.len() || text[at..layout.line_end(at)].trim().is_empty();
    let (at, newline_first) =
        if alone { (at, at == text.len() && !text.ends_with('\n')) } else { (0, false) };
    let first = if newline_first { newline } else { "" };
    let gap = if alone { "" } else { newline };
    spliced(text, at..at, &format!("{first}{line}{newline}{gap}"))
}

pub(super) fn clear(layout: &Layout, path: &[&str]) -> Result<String, Problem> {
    let mut node = layout.root();
    let (last, above) = path.split_last().ok_or_else(unsuitable)?;
    for step in above {
        match node.step(step) {
            Some(next) => node = next,
            None => return Ok(layout.text.to_owned()),
        }
    }
    let Some(found) = node.step(last) else { return Ok(layout.text.to_owned()) };
    match node {
        Node::Table(table) => match found {
            Node::Value(value) => clear_line(layout, table, last, value),
            Node::Table(_) => tables::clear_heading(layout, path),
            Node::Tables(_) => {
                Err(Problem::new(format!("`{last}` is written many times")).mend("take them away one by one"))
            }
        },
        Node::Value(TomlValue::InlineTable(table)) => clear_beside(layout, table, last),
        Node::Value(TomlValue::Array(items)) => {
            list::remove(layout, items, last.parse().expect("a step into a list is a number"))
        }
        // The only item of a list that is no list, or what a plain length is.
        Node::Value(_) => clear(layout, above),
        Node::Tables(_) => {
            Err(Problem::new(format!("`{last}` is a heading")).mend("take the whole of it away"))
        }
    }
}

fn clear_line(layout: &Layout, table: &Table, key: &str, value: &TomlValue) -> Result<String, Problem> {
    let (start, end) = match (table.key(key).and_then(|key| key.span()), value.span()) {
        (Some(key), Some(value)) => (layout.line_start(key.start), value.end),
        _ => return Err(unsuitable()),
    };
    let next = layout.next_line(end);
    // The last line of a file that does not end in a line break takes the one before it.
    let start = match layout.text[..start].strip_suffix('\n') {
        Some(before) if next == layout.text.len() && !layout.text.ends_with('\n') => {
            before.strip_suffix('\r').unwrap_or(before).len()
        }
        _ => start,
    };
    Ok(spliced(layout.text, start..next, ""))
}

fn clear_beside(layout: &Layout, table: &InlineTable, key: &str) -> Result<String, Problem> {
    let whole = table.span().ok_or_else(unsuitable)?;
    let mut spans = Vec::new();
    for (name, value) in table.iter() {
        let start = table.key(name).and_then(|key| key.span()).ok_or_else(unsuitable)?.start;
        spans.push((name, start, value.span().ok_or_else(unsuitable)?));
    }
    spans.sort_by_key(|&(_, start, _)| start);
    let index = spans.iter().position(|&(name, ..)| name == key).ok_or_else(unsuitable)?;
    let rest: Vec<_> = spans.iter().filter(|&&(name, ..)| name != key).collect();
    let range = match rest[..] {
        [(name, _, value)] if *name == "is" && BESIDE.contains(&key) => {
            let plain = &layout.text[value.clone()];
            return Ok(spliced(layout.text, whole, plain));
        }
        [] => return Ok(spliced(layout.text, whole, "{}")),
        _ if index > 0 => spans[index - 1].2.end..spans[index].2.end,
        _ => spans[0].1..spans[1].1,
    };
    Ok(spliced(layout.text, range, ""))
}
