//! Items of a list in square brackets, on one line or one to a line.

use std::ops::Range;

use toml_edit::Array;

use super::entry::spliced;
use super::layout::Layout;
use super::{Value, unsuitable};
use crate::problem::Problem;

/// Makes a list say what is wanted; items that stay keep their lines and comments.
pub(super) fn set(layout: &Layout, items: &Array, wanted: &[Value]) -> Result<String, Problem> {
    let old: Vec<Value> = items.iter().map(|item| Value::of(layout.text, item).sorted()).collect();
    let new: Vec<Value> = wanted.iter().map(|item| item.clone().sorted()).collect();
    let head = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
    let most = old.len().min(new.len()) - head;
    let tail = old.iter().rev().zip(new.iter().rev()).take(most).take_while(|(a, b)| a == b).count();
    let (old_end, new_end) = (old.len() - tail, new.len() - tail);
    let span = items.span().ok_or_else(unsuitable)?;
    // Over the items that were there, then out with the rest or in with more.
    let mut list = layout.text[span.clone()].to_owned();
    let both = (old_end - head).min(new_end - head);
    for (index, to) in wanted.iter().enumerate().skip(head).take(both) {
        list = edited(&list, |layout, items| {
            let span = items.get(index).and_then(|item| item.span()).ok_or_else(unsuitable)?;
            let with = to.written_like(&layout.text[span.clone()]);
            Ok(spliced(layout.text, span, &with))
        })?;
    }
    for index in (head + both..old_end).rev() {
        list = edited(&list, |layout, items| remove(layout, items, index))?;
    }
    for (index, to) in wanted.iter().enumerate().take(new_end).skip(head + both) {
        list = edited(&list, |layout, items| insert(layout, items, index, to))?;
    }
    Ok(spliced(layout.text, span, &list))
}

/// Changes a list that stands alone.
fn edited(
    list: &str,
    change: impl Fn(&Layout, &Array) -> Result<String, Problem>,
) -> Result<String, Problem> {
    const KEY: &str = "a = ";
    let text = format!("{KEY}{list}");
    let layout = Layout::of(&text)?;
    let items =
        layout.document.as_table().get("a").and_then(|item| item.as_array()).ok_or_else(unsuitable)?;
    Ok(change(&layout, items)?.split_off(KEY.len()))
}

pub(super) fn insert(layout: &Layout, items: &Array, index: usize, to: &Value) -> Result<String, Problem> {
    let text = layout.text;
    let whole = items.span().ok_or_else(unsuitable)?;
    let spans = spans(items)?;
    let written = to.written().replace('\n', layout.newline());
    let Some(last) = spans.last() else {
        // A comment in an empty list stays.
        let at = whole.start + 1;
        return Ok(spliced(text, at..at, &written));
    };
    if let Some(next) = spans.get(index) {
        let start = layout.line_start(next.start);
        let own_line = start > whole.start && text[start..next.start].trim().is_empty();
        let lead =
            if own_line { format!("{}{}", layout.newline(), &text[start..next.start]) } else { " ".into() };
        return Ok(spliced(text, next.start..next.start, &format!("{written},{lead}")));
    }
    let start = layout.line_start(last.start);
    let own_line = start > whole.start && text[start..last.start].trim().is_empty();
    let comma = comma_after(text, last.end);
    match (own_line, comma) {
        (false, Some(comma)) => Ok(spliced(text, comma + 1..comma + 1, &format!(" {written},"))),
        (false, None) => Ok(spliced(text, last.end..last.end, &format!(", {written}"))),
        (true, comma) => {
            let end = layout.line_end(comma.map_or(last.end, |comma| comma + 1)).min(whole.end - 1);
            let lead = &text[start..last.start];
            let (first, then) = if comma.is_some() { ("", ",") } else { (",", "") };
            let line = format!("{}{lead}{written}{then}", layout.newline());
            Ok(format!("{}{first}{}{line}{}", &text[..last.end], &text[last.end..end], &text[end..]))
        }
    }
}

pub(super) fn remove(layout: &Layout, items: &Array, index: usize) -> Result<String, Problem> {
    let text = layout.text;
    let whole = items.span().ok_or_else(unsuitable)?;
    let spans = spans(items)?;
    let item = spans.get(index).ok_or_else(unsuitable)?;
    let comma = comma_after(text, item.end);
    let past = comma.map_or(item.end, |comma| comma + 1);
    let start = layout.line_start(item.start);
    let line_end = layout.line_end(past);
    let rest = text[past..line_end.max(past)].trim_start();
    let own_line = start > whole.start
        && text[start..item.start].trim().is_empty()
        && (rest.is_empty() || rest.starts_with('#'))
        && line_end < whole.end;
    if own_line {
        let kept = spliced(text, start..layout.next_line(past), "");
        // Without a comma after the last item, the one before it ends the list.
        return Ok(
            match (comma, index.checked_sub(1).and_then(|before| comma_after(text, spans[before].end))) {
                (None, Some(before)) => spliced(&kept, before..before + 1, ""),
                _ => kept,
            },
        );
    }
    let range = match (spans.get(index + 1), index.checked_sub(1)) {
        (Some(next), _) => item.start..next.start,
        (None, Some(before)) => spans[before].end..item.end,
        (None, None) => item.start..past,
    };
    // A comment between two items of one line is not to go with either.
    if text[range.clone()].replace(&text[item.clone()], "").contains('#') {
        return Err(unsuitable());
    }
    Ok(spliced(text, range, ""))
}

fn spans(items: &Array) -> Result<Vec<Range<usize>>, Problem> {
    items.iter().map(|item| item.span().ok_or_else(unsuitable)).collect()
}

/// The comma after an item, past any comment before it.
fn comma_after(text: &str, end: usize) -> Option<usize> {
    let mut at = end;
    loop {
        let rest = text[at..].trim_start();
        at = text.len() - rest.len();
        match rest.as_bytes().first() {
            Some(b',') => return Some(at),
            Some(b'#') => at += rest.find('\n')?,
            _ => return None,
        }
    }
}
