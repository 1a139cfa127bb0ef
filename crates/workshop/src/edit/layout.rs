//! Where everything stands in a file: lines, headings, and what belongs to each.

use std::ops::Range;

use toml_edit::{ArrayOfTables, Document, Item, Table, Value as TomlValue};

use super::Value;
use crate::problem::Problem;

/// A file that has been read, with its text.
pub(super) struct Layout<'a> {
    pub(super) text: &'a str,
    pub(super) document: Document<&'a str>,
    /// Every heading, in file order.
    headings: Vec<Heading>,
}

/// `[body]` or `[[feature]]`.
struct Heading {
    /// Such as `feature`, `3`.
    path: Vec<String>,
    /// Where its bracket stands.
    start: usize,
    /// End of the last thing written under it, or of the heading.
    end: usize,
}

/// Something that a path leads to.
#[derive(Clone, Copy)]
pub(super) enum Node<'a> {
    Table(&'a Table),
    Tables(&'a ArrayOfTables),
    Value(&'a TomlValue),
}

impl<'a> Layout<'a> {
    pub(super) fn of(text: &'a str) -> Result<Self, Problem> {
        let document = Document::parse(text).map_err(|fault| {
            let at = fault.span().map_or(0, |span| span.start.min(text.len()));
            let line = 1 + text.as_bytes()[..at].iter().filter(|&&b| b == b'\n').count();
            Problem::new("the file cannot be read as it stands")
                .at(format!("line {line}"))
                .why(fault.message().lines().next().unwrap_or("it is not well formed").to_owned())
                .mend("each line is `key = \"value\"`, a `[heading]`, or a comment after `#`")
        })?;
        let mut headings = Vec::new();
        headings_of(document.as_table(), &mut Vec::new(), &mut headings);
        headings.sort_by_key(|heading| heading.start);
        Ok(Self { text, document, headings })
    }

    pub(super) fn root(&self) -> Node<'_> {
        Node::Table(self.document.as_table())
    }

    /// What the file says, without how it is written.
    pub(super) fn meaning(&self) -> Value {
        self.root().meaning(self.text)
    }

    /// The end of a line without its line break.
    pub(super) fn line_end(&self, at: usize) -> usize {
        let end = self.text[at..].find('\n').map_or(self.text.len(), |n| at + n);
        if end > at && self.text.as_bytes()[end - 1] == b'\r' && end < self.text.len() {
            end - 1
        } else {
            end
        }
    }

    /// The start of the next line, or the end of the text.
    pub(super) fn next_line(&self, at: usize) -> usize {
        self.text[at..].find('\n').map_or(self.text.len(), |n| at + n + 1)
    }

    pub(super) fn line_start(&self, at: usize) -> usize {
        self.text[..at].rfind('\n').map_or(0, |n| n + 1)
    }

    /// How lines are broken in this file.
    pub(super) fn newline(&self) -> &'static str {
        if self.text.contains("\r\n") { "\r\n" } else { "\n" }
    }

    /// Where the heading of a table stands.
    pub(super) fn heading(&self, path: &[&str]) -> Option<usize> {
        self.headings.iter().find(|h| h.path == path).map(|h| h.start)
    }

    /// All headings of one step, by name and start, in file order.
    pub(super) fn tops(&self) -> impl DoubleEndedIterator<Item = (&str, Range<usize>)> {
        let first = |index: usize| index == 0 || self.headings[index - 1].top() != self.headings[index].top();
        (0..self.headings.len()).filter(move |&index| first(index)).map(|index| {
            let top = self.headings[index].top();
            let run = self.headings[index..].iter().take_while(|h| h.top() == top).count();
            (self.headings[index].path[0].as_str(), self.piece_of(index, run))
        })
    }

    /// Everything that belongs to a table: the comment directly above its
    /// heading, its entries, the tables below it, and a comment directly under
    /// them. Without the last line break.
    pub(super) fn piece(&self, path: &[&str]) -> Option<Range<usize>> {
        let first = self.headings.iter().position(|h| h.path == path)?;
        let within = |h: &&Heading| h.path.len() >= path.len() && h.path[..path.len()] == *path;
        Some(self.piece_of(first, self.headings[first..].iter().take_while(within).count()))
    }

    fn piece_of(&self, first: usize, run: usize) -> Range<usize> {
        let before = first.checked_sub(1).map_or_else(|| self.root_end(), |index| self.headings[index].end);
        let mut start = self.line_start(self.headings[first].start);
        let floor = if before == 0 { 0 } else { self.next_line(before) };
        while start > floor {
            let above = self.line_start(start - 1);
            if !self.text[above..start].trim_start().starts_with('#') || above < floor {
                break;
            }
            start = above;
        }
        let mut end = self.line_end(self.headings[first + run - 1].end);
        let ceiling =
            self.headings.get(first + run).map_or(self.text.len(), |next| self.line_start(next.start));
        let mut below = self.next_line(end);
        let mut reach = end;
        while below < ceiling && self.text[below..].trim_start_matches([' ', '\t']).starts_with('#') {
            reach = self.line_end(below);
            below = self.next_line(below);
        }
        // A comment that runs on to the next heading belongs to that heading.
        if below < ceiling || ceiling == self.text.len() {
            end = reach;
        }
        start..end
    }

    /// End of the last entry above the first heading.
    pub(super) fn root_end(&self) -> usize {
        extent(self.document.as_table()).unwrap_or(0)
    }
}

impl Heading {
    /// Name, and number for one of many.
    fn top(&self) -> (&str, Option<&str>) {
        (
            &self.path[0],
            self.path.get(1).filter(|step| step.bytes().all(|b| b.is_ascii_digit())).map(String::as_str),
        )
    }
}

impl<'a> Node<'a> {
    /// One step down. A plain value is also the only item of a list, and what a
    /// length `is`.
    pub(super) fn step(self, step: &str) -> Option<Self> {
        let of = |item: &'a Item| match item {
            Item::None => None,
            Item::Value(value) => Some(Self::Value(value)),
            Item::Table(table) => Some(Self::Table(table)),
            Item::ArrayOfTables(tables) => Some(Self::Tables(tables)),
        };
        let index = step.parse::<usize>().ok();
        match self {
            Self::Table(table) => table.get(step).and_then(of),
            Self::Tables(tables) => tables.get(index?).map(Self::Table),
            Self::Value(TomlValue::InlineTable(table)) => table.get(step).map(Self::Value),
            Self::Value(TomlValue::Array(items)) => items.get(index?).map(Self::Value),
            Self::Value(_) => (step == "is" || index == Some(0)).then_some(self),
        }
    }

    pub(super) fn meaning(self, text: &str) -> Value {
        let table = |table: &'a Table| {
            let step = |key: &str| Node::Table(table).step(key).map(|node| node.meaning(text));
            Value::Table(table.iter().filter_map(|(key, _)| Some((key.to_owned(), step(key)?))).collect())
                .sorted()
        };
        match self {
            Self::Table(one) => table(one),
            Self::Tables(many) => Value::List(many.iter().map(table).collect()),
            Self::Value(value) => Value::of(text, value).sorted(),
        }
    }
}

/// The end of the entries that stand directly under a heading.
pub(super) fn extent(table: &Table) -> Option<usize> {
    table.iter().filter_map(|(_, item)| entry_extent(item)).max()
}

/// The end of one entry; nothing for what has headings of its own.
pub(super) fn entry_extent(item: &Item) -> Option<usize> {
    match item {
        Item::Value(value) => value.span().map(|span| span.end),
        Item::Table(table) if table.is_dotted() => extent(table),
        Item::Table(_) | Item::ArrayOfTables(_) | Item::None => None,
    }
}

fn headings_of(table: &Table, path: &mut Vec<String>, found: &mut Vec<Heading>) {
    let mut push = |table: &Table, path: &Vec<String>| {
        if let Some(span) = table.span() {
            let end = extent(table).unwrap_or(span.start).max(span.start);
            found.push(Heading { path: path.clone(), start: span.start, end });
        }
    };
    let mut below = Vec::new();
    for (key, item) in table.iter() {
        match item {
            Item::Table(one) => {
                path.push(key.to_owned());
                if !one.is_implicit() && !one.is_dotted() {
                    push(one, path);
                }
                below.push((path.clone(), one));
                path.pop();
            }
            Item::ArrayOfTables(many) => {
                for (index, one) in many.iter().enumerate() {
                    let path: Vec<String> =
                        path.iter().cloned().chain([key.to_owned(), index.to_string()]).collect();
                    push(one, &path);
                    below.push((path, one));
                }
            }
            Item::Value(_) | Item::None => {}
        }
    }
    for (mut path, table) in below {
        headings_of(table, &mut path, found);
    }
}
