//! `[headings]` and `[[tables]]` as a whole: adding, taking away, moving.

use std::ops::Range;

use super::entry::spliced;
use super::layout::{Layout, Node};
use super::{Value, list, nothing_at, order, unsuitable};
use crate::problem::Problem;

/// A heading with its first entries, at its customary place.
pub(super) fn heading(layout: &Layout, name: &str, entries: &[(&str, &Value)]) -> Result<String, Problem> {
    let body = lines(layout, &format!("[{name}]"), entries.iter().copied());
    Ok(at_its_place(layout, name, &body))
}

/// One more `[[table]]`.
pub(super) fn add(
    layout: &Layout,
    name: &str,
    entries: &[(String, Value)],
    before: Option<usize>,
) -> Result<String, Problem> {
    let entries_by_key = entries.iter().map(|(key, value)| (key.as_str(), value));
    let body = lines(layout, &format!("[[{name}]]"), entries_by_key);
    match layout.root().step(name) {
        None => Ok(at_its_place(layout, name, &body)),
        Some(Node::Tables(tables)) => {
            let text = layout.text;
            let pieces = pieces(layout, name, tables.len())?;
            let gap = if close(layout, &pieces) { "" } else { layout.newline() };
            let newline = layout.newline();
            match before.map(|index| pieces.get(index)) {
                Some(Some(next)) => {
                    Ok(spliced(text, next.start..next.start, &format!("{body}{newline}{gap}")))
                }
                Some(None) if before != Some(pieces.len()) => Err(nothing_at(name)),
                _ => {
                    let end = pieces.last().ok_or_else(unsuitable)?.end;
                    Ok(spliced(text, end..end, &format!("{newline}{gap}{body}")))
                }
            }
        }
        Some(Node::Value(toml_edit::Value::Array(items))) => {
            let table = Value::Table(entries.to_vec());
            list::insert(layout, items, before.unwrap_or(items.len()).min(items.len()), &table)
        }
        Some(_) => Err(Problem::new(format!("`{name}` is written once, not many times"))
            .mend(format!("write `[[{name}]]` above it in the file"))),
    }
}

pub(super) fn remove(layout: &Layout, name: &str, index: usize) -> Result<String, Problem> {
    match layout.root().step(name) {
        Some(Node::Tables(tables)) if index < tables.len() => {
            let pieces = pieces(layout, name, tables.len())?;
            Ok(without(layout, pieces[index].clone()))
        }
        Some(Node::Value(toml_edit::Value::Array(items))) if index < items.len() => {
            list::remove(layout, items, index)
        }
        _ => Err(nothing_at(&format!("{name}/{index}"))),
    }
}

pub(super) fn clear_heading(layout: &Layout, path: &[&str]) -> Result<String, Problem> {
    layout.heading(path).ok_or_else(unsuitable)?;
    let piece = layout.piece(path).ok_or_else(unsuitable)?;
    Ok(without(layout, piece))
}

/// Moves one of many; what stands between them stays between them.
pub(super) fn shift(layout: &Layout, name: &str, index: usize, to: usize) -> Result<String, Problem> {
    let count = match layout.root().step(name) {
        Some(Node::Tables(tables)) => tables.len(),
        Some(Node::Value(toml_edit::Value::Array(_))) => return Err(unsuitable()),
        _ => 0,
    };
    if index >= count || to >= count {
        return Err(nothing_at(&format!("{name}/{}", index.max(to))));
    }
    let pieces = pieces(layout, name, count)?;
    let mut order: Vec<usize> = (0..count).collect();
    let moved = order.remove(index);
    order.insert(to, moved);
    let mut out = layout.text[..pieces[0].start].to_owned();
    for (place, &from) in order.iter().enumerate() {
        out.push_str(&layout.text[pieces[from].clone()]);
        let next = pieces.get(place + 1).map_or(layout.text.len(), |next| next.start);
        out.push_str(&layout.text[pieces[place].end..next]);
    }
    Ok(out)
}

/// The pieces of all tables of a name, in file order.
fn pieces(layout: &Layout, name: &str, count: usize) -> Result<Vec<Range<usize>>, Problem> {
    let piece = |index: usize| layout.piece(&[name, &index.to_string()]).ok_or_else(unsuitable);
    let pieces: Vec<Range<usize>> = (0..count).map(piece).collect::<Result<_, _>>()?;
    let apart = pieces.windows(2).all(|pair| pair[0].end < pair[1].start);
    if apart { Ok(pieces) } else { Err(unsuitable()) }
}

/// Whether the tables of a name stand without a blank line between them.
fn close(layout: &Layout, pieces: &[Range<usize>]) -> bool {
    let gap = |pair: &[Range<usize>]| layout.text[pair[0].end..pair[1].start].matches('\n').count();
    match pieces {
        [only] => match blank_lines_after(layout, only.end) {
            Some((blank, _)) => blank == 0,
            None => blank_lines_before(layout, only.start).0 == Some(0),
        },
        _ => pieces.windows(2).all(|pair| gap(pair) == 1),
    }
}

/// How many blank lines follow the line that ends at a place, and where what comes
/// then begins; nothing at the end of the file.
fn blank_lines_after(layout: &Layout, end: usize) -> Option<(usize, usize)> {
    let (mut count, mut at) = (0, layout.next_line(end));
    while at < layout.text.len() && layout.text[at..layout.line_end(at)].trim().is_empty() {
        count += 1;
        at = layout.next_line(at);
    }
    (at < layout.text.len()).then_some((count, at))
}

/// How many blank lines stand above a place, nothing at the top of the file, and
/// where what is above them ends.
fn blank_lines_before(layout: &Layout, start: usize) -> (Option<usize>, usize) {
    let above = layout.text[..start].trim_end_matches([' ', '\t', '\r', '\n']).len();
    let lines = layout.text[above..start].matches('\n').count();
    ((above > 0).then(|| lines.saturating_sub(1)), above)
}

/// The text without a piece and the blank lines on one side of it, where there are fewer.
fn without(layout: &Layout, piece: Range<usize>) -> String {
    let text = layout.text;
    let next = layout.next_line(piece.end);
    let (blank_before, before) = blank_lines_before(layout, piece.start);
    let range = match blank_lines_after(layout, piece.end) {
        Some((blank, following)) if blank_before.is_none_or(|before| blank <= before) => {
            piece.start..following
        }
        None if before == 0 => return String::new(),
        // The last line of a file that does not end in a line break takes the one before it.
        None if next == piece.end => before..next,
        _ => layout.next_line(before)..next,
    };
    spliced(text, range, "")
}

/// A new piece among the headings there, a blank line on either side unless what follows has none above it.
fn at_its_place(layout: &Layout, name: &str, body: &str) -> String {
    let (text, newline) = (layout.text, layout.newline());
    let is_bench = order::is_bench(layout.document.as_table().iter().map(|(key, _)| key).chain([name]));
    let rank = order::heading_rank(name, is_bench);
    let after = layout.tops().rfind(|(top, _)| order::heading_rank(top, is_bench) <= rank);
    let end = match after {
        Some((_, piece)) => piece.end,
        None => match (layout.root_end(), layout.tops().next()) {
            (0, None) => text.trim_end().len(),
            (0, Some((_, first))) => {
                return spliced(text, first.start..first.start, &format!("{body}{newline}{newline}"));
            }
            (end, _) => layout.line_end(end),
        },
    };
    if end == 0 {
        return format!("{body}{newline}{text}");
    }
    let close = blank_lines_after(layout, end).is_some_and(|(blank, _)| blank == 0);
    let gap = if close { "" } else { newline };
    spliced(text, end..end, &format!("{newline}{gap}{body}"))
}

fn lines<'a>(layout: &Layout, heading: &str, entries: impl Iterator<Item = (&'a str, &'a Value)>) -> String {
    let newline = layout.newline();
    let entries =
        entries.map(|(key, value)| format!("{newline}{key} = {}", value.written().replace('\n', newline)));
    std::iter::once(heading.to_owned()).chain(entries).collect()
}
