//! What is written into a file, and how a person would write it.

use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde::ser::{Serialize, Serializer};
use toml_edit as toml;

use super::key;
use crate::problem::Problem;

/// A value to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// Words, or a length as typed: in quotes.
    Text(String),
    /// A count: without quotes where it is a plain number.
    Number(String),
    /// `true` or `false`.
    Flag(bool),
    /// Several values.
    List(Vec<Value>),
    /// Values by key, in order.
    Table(Vec<(String, Value)>),
}

/// Longest list written on one line.
const LINE: usize = 96;

impl Value {
    /// Words.
    pub fn text(words: impl Into<String>) -> Self {
        Self::Text(words.into())
    }

    /// A list of words.
    pub fn texts<T: Into<String>>(items: impl IntoIterator<Item = T>) -> Self {
        Self::List(items.into_iter().map(Self::text).collect())
    }

    /// The words, where it is words or a number.
    pub fn as_words(&self) -> Option<&str> {
        match self {
            Self::Text(words) | Self::Number(words) => Some(words),
            _ => None,
        }
    }

    /// The same value, where every key in it can be written and nothing is nested
    /// deeper than any file has it.
    pub(super) fn checked(&self) -> Result<Self, Problem> {
        fn walk(value: &Value, depth: usize) -> Result<(), Problem> {
            if depth > 6 {
                return Err(Problem::new("lists are nested too deeply").mend("write a plain value"));
            }
            match value {
                Value::List(items) => items.iter().try_for_each(|item| walk(item, depth + 1)),
                Value::Table(entries) => entries.iter().enumerate().try_for_each(|(index, (name, value))| {
                    if entries[..index].iter().any(|(other, _)| other == name) {
                        return Err(Problem::new(format!("`{name}` is given twice")).mend("give it once"));
                    }
                    key(name).and_then(|_| walk(value, depth + 1))
                }),
                Value::Text(_) | Value::Number(_) | Value::Flag(_) => Ok(()),
            }
        }
        walk(self, 0).map(|()| self.clone())
    }

    /// As a new line of a file has it.
    pub(super) fn written(&self) -> String {
        match self {
            Self::Text(words) => quoted(words),
            Self::Number(digits) if plain_number(digits) => digits.clone(),
            Self::Number(words) => quoted(words),
            Self::Flag(flag) => flag.to_string(),
            Self::List(items) => {
                let items: Vec<String> = items.iter().map(Self::written).collect();
                let line = format!("[{}]", items.join(", "));
                if line.len() <= LINE { line } else { format!("[\n  {},\n]", items.join(",\n  ")) }
            }
            Self::Table(entries) if entries.is_empty() => "{}".into(),
            Self::Table(entries) => {
                let entries: Vec<String> =
                    entries.iter().map(|(key, value)| format!("{key} = {}", value.written())).collect();
                format!("{{ {} }}", entries.join(", "))
            }
        }
    }

    /// As it is written over another value: in the same quotes where it fits them.
    pub(super) fn written_like(&self, old: &str) -> String {
        match self {
            Self::Text(words) if plain_number(old) && plain_number(words) => words.clone(),
            Self::Text(words) | Self::Number(words) if old.starts_with('\'') && !old.starts_with("'''") => {
                let fits = !words.contains(|c: char| c == '\'' || (c.is_control() && c != '\t'));
                if fits { format!("'{words}'") } else { quoted(words) }
            }
            Self::Text(words) | Self::Number(words) if old.starts_with('"') => in_double_quotes(words),
            _ => self.written(),
        }
    }

    /// As the reader of a file takes it: numbers as words, keys in any order.
    pub(super) fn sorted(self) -> Self {
        match self {
            Self::Number(words) => Self::Text(words),
            Self::List(items) => Self::List(items.into_iter().map(Self::sorted).collect()),
            Self::Table(entries) => {
                let mut entries: Vec<_> =
                    entries.into_iter().map(|(key, value)| (key, value.sorted())).collect();
                entries.sort_by(|(one, _), (other, _)| one.cmp(other));
                Self::Table(entries)
            }
            same => same,
        }
    }

    /// What stands in a file.
    pub(super) fn of(text: &str, value: &toml::Value) -> Self {
        match value {
            toml::Value::String(words) => Self::Text(words.value().clone()),
            toml::Value::Boolean(flag) => Self::Flag(*flag.value()),
            toml::Value::Integer(_) | toml::Value::Float(_) | toml::Value::Datetime(_) => {
                Self::Text(value.span().and_then(|span| text.get(span)).unwrap_or_default().to_owned())
            }
            toml::Value::Array(items) => Self::List(items.iter().map(|item| Self::of(text, item)).collect()),
            toml::Value::InlineTable(table) => Self::Table(
                table.iter().map(|(key, value)| (key.to_owned(), Self::of(text, value))).collect(),
            ),
        }
    }
}

/// Whether a text is a number that TOML takes without quotes.
fn plain_number(text: &str) -> bool {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let (whole, part) = digits.split_once('.').map_or((digits, None), |(whole, part)| (whole, Some(part)));
    let all = |digits: &str| !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
    all(whole)
        && (whole.len() == 1 || !whole.starts_with('0'))
        && whole.len() <= 15
        && part.is_none_or(|part| all(part) && part.len() <= 15)
}

/// Words in quotes: in single ones where double ones would need a stroke before
/// each inch mark.
fn quoted(words: &str) -> String {
    let inch_mark = words.contains('"') && !words.contains(|c: char| c == '\'' || c.is_control());
    if inch_mark { format!("'{words}'") } else { in_double_quotes(words) }
}

fn in_double_quotes(words: &str) -> String {
    let mut out = String::with_capacity(words.len() + 2);
    out.push('"');
    for c in words.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", c as u32)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

impl<'de> Deserialize<'de> for Value {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Any;
        impl<'de> Visitor<'de> for Any {
            type Value = Value;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("words, a number, true or false, a list or values by key")
            }

            fn visit_bool<E: Error>(self, flag: bool) -> Result<Value, E> {
                Ok(Value::Flag(flag))
            }

            fn visit_u64<E: Error>(self, number: u64) -> Result<Value, E> {
                Ok(Value::Number(number.to_string()))
            }

            fn visit_i64<E: Error>(self, number: i64) -> Result<Value, E> {
                Ok(Value::Number(number.to_string()))
            }

            fn visit_f64<E: Error>(self, number: f64) -> Result<Value, E> {
                Ok(Value::Number(number.to_string()))
            }

            fn visit_str<E: Error>(self, words: &str) -> Result<Value, E> {
                Ok(Value::Text(words.to_owned()))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
                let mut list = Vec::new();
                while let Some(item) = items.next_element()? {
                    list.push(item);
                }
                Ok(Value::List(list))
            }

            fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
                let mut table = Vec::new();
                while let Some(entry) = entries.next_entry()? {
                    table.push(entry);
                }
                Ok(Value::Table(table))
            }
        }
        from.deserialize_any(Any)
    }
}

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Text(words) => to.serialize_str(words),
            Self::Number(digits) => match digits.parse::<i64>() {
                Ok(number) if plain_number(digits) => to.serialize_i64(number),
                _ => to.serialize_str(digits),
            },
            Self::Flag(flag) => to.serialize_bool(*flag),
            Self::List(items) => to.collect_seq(items),
            Self::Table(entries) => entries_sent(entries, to),
        }
    }
}

/// The keys of a table, in order, as an object.
pub(super) fn entries_sent<S: Serializer>(entries: &[(String, Value)], to: S) -> Result<S::Ok, S::Error> {
    to.collect_map(entries.iter().map(|(key, value)| (key, value)))
}

/// The keys of a new table, in the order sent.
pub(super) fn entries<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<(String, Value)>, D::Error> {
    match Value::deserialize(from)? {
        Value::Table(entries) => Ok(entries),
        _ => Err(D::Error::custom("the entries of a table are values by key")),
    }
}
