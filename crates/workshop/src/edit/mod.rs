//! Changing a part or bench file as a person would, with the rest as it stands.
//!
//! A file's text and a [`Change`] go in, the changed text comes out: comments,
//! blank lines, order and quotes stay, because only the bytes of what changes are
//! replaced. Nothing here knows what a key means beyond where it is usually
//! written (`order`) and which keys name a feature (`rename`). What comes out
//! is read again and held against the change made to the meaning of the file
//! ([`meaning`]); a text that does not say exactly that is never given back.
//!
//! A length is one thing whether it is written `"7/16"` or
//! `{ is = "7/16", role = "hold" }`: giving it a role puts it into braces, taking
//! the last word beside it away takes the braces away.

mod entry;
mod include;
mod layout;
mod list;
mod meaning;
mod merge;
mod order;
mod rename;
mod tables;
mod value;

pub(crate) use entry::BESIDE;
pub use include::same;
pub use merge::{Merged, merge};
pub use value::Value;

use serde::{Deserialize, Serialize};

use crate::problem::Problem;
use include::Wish;
use layout::Layout;

/// One change to a file. Places are paths such as `feature/3/diameter`,
/// `body/kind`, `feature/2/place/0`, `mill/speeds`; counting starts at nought.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Change {
    /// Writes a value: over the one that is there, or as a new key, a new heading
    /// or one more item of a list.
    Set {
        /// Where.
        at: String,
        /// What is to stand there.
        to: Value,
    },
    /// Takes a key, a heading or an item of a list away.
    Clear {
        /// Where.
        at: String,
    },
    /// Puts one thing more into a list, or adds a `[[table]]`, unless the same is there.
    Include {
        /// The list, or the name of the tables.
        at: String,
        /// What is to be in it.
        item: Value,
    },
    /// Takes one thing out of a list, or a `[[table]]` away, where it is there.
    Exclude {
        /// The list, or the name of the tables.
        at: String,
        /// What is not to be in it.
        item: Value,
    },
    /// Adds a `[[table]]`.
    Add {
        /// Its name, such as `feature`.
        table: String,
        /// Its keys, in order.
        #[serde(deserialize_with = "value::entries", serialize_with = "value::entries_sent")]
        entries: Vec<(String, Value)>,
        /// Before which of those there; after the last where nothing is said.
        #[serde(default)]
        before: Option<usize>,
    },
    /// Takes a `[[table]]` away, with the comment above it.
    Remove {
        /// Its name.
        table: String,
        /// Which.
        index: usize,
    },
    /// Moves a `[[table]]`, with the comment above it.
    Move {
        /// Its name.
        table: String,
        /// Which.
        index: usize,
        /// Which it is then.
        to: usize,
    },
    /// Gives a feature another name, here and wherever the file speaks of it.
    Rename {
        /// The name it has.
        from: String,
        /// The name it gets.
        to: String,
    },
}

/// The longest text that is changed: as long as any file the reader takes.
const MOST_BYTES: usize = 1_000_000;

/// Makes a change.
///
/// # Errors
///
/// A [`Problem`] when the text cannot be read, when nothing stands at the place,
/// or when the change cannot be made without touching something else.
pub fn change(text: &str, change: &Change) -> Result<String, Problem> {
    match text.strip_prefix(MARK) {
        Some(text) => changed(text, change).map(|text| format!("{MARK}{text}")),
        None => changed(text, change),
    }
}

/// What some text editors put before the first letter.
const MARK: char = '\u{feff}';

fn changed(text: &str, change: &Change) -> Result<String, Problem> {
    let layout = Layout::of(text)?;
    match change {
        Change::Include { at, item } | Change::Exclude { at, item } => {
            path(at)?;
            item.checked()?;
            let wish = if matches!(change, Change::Include { .. }) { Wish::There } else { Wish::Gone };
            match include::plainly(&layout, wish, at, item) {
                Some(plain) => made(&layout, &plain),
                None => Ok(text.to_owned()),
            }
        }
        plain => made(&layout, plain),
    }
}

/// What a file says, without how it is written: tables and lists of words.
///
/// # Errors
///
/// A [`Problem`] when the text cannot be read.
pub fn meaning(text: &str) -> Result<Value, Problem> {
    Layout::of(text.trim_start_matches(MARK)).map(|layout| layout.meaning())
}

/// Makes a change that says exactly where.
fn made(layout: &Layout, change: &Change) -> Result<String, Problem> {
    let changed = match change {
        Change::Set { at, to } => entry::set(layout, &path(at)?, &to.checked()?)?,
        Change::Clear { at } => entry::clear(layout, &path(at)?)?,
        Change::Add { table, entries, before } => {
            entries.iter().try_for_each(|(name, value)| key(name).and(value.checked()).map(drop))?;
            tables::add(layout, key(table)?, entries, *before)?
        }
        Change::Remove { table, index } => tables::remove(layout, key(table)?, *index)?,
        Change::Move { table, index, to } => tables::shift(layout, key(table)?, *index, *to)?,
        Change::Rename { from, to } => rename::rename(layout, from.trim(), to.trim())?,
        Change::Include { .. } | Change::Exclude { .. } => return Err(unsuitable()),
    };
    if changed.len() > MOST_BYTES {
        return Err(Problem::new("the file would be more than 1 MB long")
            .why("a part or a bench is a few pages of text")
            .mend("take something else out first"));
    }
    let reread = Layout::of(&changed).map_err(|_| unsuitable())?;
    if let Some(expected) = meaning::after(layout, change)
        && expected != reread.meaning()
    {
        return Err(unsuitable());
    }
    Ok(changed)
}

/// The steps of a path.
fn path(at: &str) -> Result<Vec<&str>, Problem> {
    let steps: Vec<&str> = at.split('/').collect();
    if steps.len() > 12 {
        return Err(nothing_at(at));
    }
    steps.iter().try_for_each(|step| key(step).map(drop))?;
    Ok(steps)
}

/// A key that needs no quotes.
fn key(name: &str) -> Result<&str, Problem> {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b == b'_' || b == b'-';
    if !name.is_empty() && name.len() <= 60 && name.bytes().all(plain) {
        Ok(name)
    } else {
        Err(Problem::new(format!("`{}` is no key", name.chars().take(60).collect::<String>()))
            .mend("use letters, figures and `_`"))
    }
}

fn nothing_at(at: &str) -> Problem {
    Problem::new(format!("there is nothing at `{at}` in the file"))
        .why("the file may have changed since the page was drawn")
        .mend("open the page again")
}

/// The file is written in a way that a change cannot follow.
fn unsuitable() -> Problem {
    Problem::new("this cannot be changed from the page")
        .why("the file writes it in a way that the change would spoil")
        .mend("change it in the file with a text editor; the page will follow")
}
