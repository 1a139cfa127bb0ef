//! A readable file as a tree of entries that know their line.
//!
//! Text goes in, a [`Sheet`] of [`Entry`]s comes out. Nothing here knows what
//! the keys mean; the drawing and the bench read from it. Numbers stay the text
//! that was typed, so that `0.4380` and `3/8` reach `measure` as written. Every
//! key must be asked for: what nobody asks for is a slip of the pen, and
//! [`Sheet::finish`] reports it with the nearest key that would have been read.

use std::cell::RefCell;
use std::collections::BTreeSet;

use toml_edit::{Document, Item, Table, Value};

use crate::problem::Problem;

/// The largest file read: far beyond any part, and small enough to answer at once.
const MOST_BYTES: usize = 1_000_000;

/// One table of a file, from which entries are asked for by key.
#[derive(Debug)]
pub struct Sheet {
    line: usize,
    name: String,
    entries: Vec<(String, Entry)>,
    asked: RefCell<BTreeSet<String>>,
}

/// What stands after a key: its line and its value.
#[derive(Debug)]
pub struct Entry {
    /// Line in the file, counted from one.
    pub line: usize,
    /// The key it stands behind, for naming it in a problem.
    pub key: String,
    /// Its path in the file, as a change to it names it: `feature/3/diameter`.
    pub at: String,
    /// What stands there.
    pub value: Content,
}

/// The value of an entry.
#[derive(Debug)]
pub enum Content {
    /// Text in quotes, or a number exactly as typed.
    Text(String),
    /// `true` or `false`.
    Flag(bool),
    /// Values in square brackets, or tables of one name.
    List(Vec<Entry>),
    /// A table.
    Table(Sheet),
}

/// Reads a whole file.
///
/// # Errors
///
/// One [`Problem`] with the line when the text is empty, too large, not text or
/// not well formed.
pub fn read_document(text: &str) -> Result<Sheet, Problem> {
    // Some text editors put a mark before the first letter.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > MOST_BYTES {
        return Err(Problem::new(format!("the file is {} MB long", text.len() / 1_000_000))
            .why("a part or a bench is a few pages of text; this is something else")
            .mend("name the TOML file of the part"));
    }
    if text.trim().is_empty() {
        return Err(Problem::new("the file is empty").mend(
            "start from one of the files in `examples/`, or make a new project with `oddleg new DIR`",
        ));
    }
    if let Some(at) = text.find('\0') {
        return Err(Problem::new("the file is not text")
            .at(format!("line {}", line_at(text, at)))
            .why("it holds bytes that no text has")
            .mend("name the TOML file of the part"));
    }
    let document = Document::parse(text).map_err(|fault| {
        let line = fault.span().map_or(1, |span| line_at(text, span.start));
        let quoted = text.lines().nth(line - 1).unwrap_or_default().trim();
        Problem::new(format!("cannot read `{}`", clipped(quoted)))
            .at(format!("line {line}"))
            .why(fault.message().lines().next().unwrap_or("it is not well formed").to_owned())
            .mend("each line is `key = \"value\"`, a `[heading]`, or a comment after `#`")
    })?;
    let entries = document
        .as_table()
        .iter()
        .filter_map(|(key, item)| entry_of(text, key.to_owned(), key, item))
        .collect();
    Ok(Sheet { line: 1, name: String::new(), entries, asked: RefCell::default() })
}

impl Sheet {
    /// A table that is not in the file and has nothing in it.
    pub fn empty() -> Self {
        Self { line: 0, name: String::new(), entries: Vec::new(), asked: RefCell::default() }
    }

    /// Line of the heading.
    pub fn line(&self) -> usize {
        self.line
    }

    /// The entry behind a key, marking the key as known.
    pub fn get(&self, key: &str) -> Option<&Entry> {
        self.asked.borrow_mut().insert(key.to_owned());
        self.entries.iter().find(|(name, _)| name == key).map(|(_, entry)| entry)
    }

    /// The entries of this table in file order, all marked as known.
    pub fn all(&self) -> impl Iterator<Item = &Entry> {
        self.asked.borrow_mut().extend(self.entries.iter().map(|(name, _)| name.clone()));
        self.entries.iter().map(|(_, entry)| entry)
    }

    /// Every table under a name, whether written once or many times.
    pub fn tables(&self, key: &str, faults: &mut Vec<Problem>) -> Vec<&Sheet> {
        match self.get(key) {
            None => Vec::new(),
            Some(Entry { value: Content::Table(table), .. }) => vec![table],
            Some(entry @ Entry { value: Content::List(items), .. }) => items
                .iter()
                .filter_map(|item| match &item.value {
                    Content::Table(table) => Some(table),
                    _ => {
                        faults.push(
                            entry.fault("is not a table", &format!("write `[[{key}]]` above each one")),
                        );
                        None
                    }
                })
                .collect(),
            Some(entry) => {
                faults.push(entry.fault("is not a table", &format!("write `[[{key}]]` above each one")));
                Vec::new()
            }
        }
    }

    /// Text behind a key, where the key is there.
    pub fn text(&self, key: &str, faults: &mut Vec<Problem>) -> Option<(&str, usize)> {
        let entry = self.get(key)?;
        match entry.as_text() {
            Ok(text) => Some((text, entry.line)),
            Err(fault) => {
                faults.push(fault);
                None
            }
        }
    }

    /// A yes or no behind a key; `false` when it is not there.
    pub fn flag(&self, key: &str, faults: &mut Vec<Problem>) -> bool {
        match self.get(key).map(|entry| (&entry.value, entry)) {
            Some((Content::Flag(flag), _)) => *flag,
            Some((_, entry)) => {
                faults.push(
                    entry.fault("is neither `true` nor `false`", "write `true` or `false`, without quotes"),
                );
                false
            }
            None => false,
        }
    }

    /// A whole number from one to a thousand behind a key, where the key is there.
    pub fn count(&self, key: &str, faults: &mut Vec<Problem>) -> Option<u32> {
        let (text, line) = self.text(key, faults)?;
        match text.parse() {
            Ok(count @ 1..=1000) => Some(count),
            _ => {
                faults.push(
                    Problem::new(format!("`{text}` is not a count"))
                        .at(format!("line {line}, `{key}`"))
                        .mend("write a whole number from 1 to 1000"),
                );
                None
            }
        }
    }

    /// A list of texts, or one text as a list of one; empty when not there.
    pub fn texts(&self, key: &str, faults: &mut Vec<Problem>) -> Vec<(&str, usize)> {
        match self.get(key) {
            None => Vec::new(),
            Some(Entry { value: Content::List(items), .. }) => items
                .iter()
                .filter_map(|item| match item.as_text() {
                    Ok(text) => Some((text, item.line)),
                    Err(fault) => {
                        faults.push(fault);
                        None
                    }
                })
                .collect(),
            Some(entry) => match entry.as_text() {
                Ok(text) => vec![(text, entry.line)],
                Err(fault) => {
                    faults.push(fault);
                    Vec::new()
                }
            },
        }
    }

    /// Text that must be there: a problem when it is not.
    pub fn need(&self, key: &str, such_as: &str, faults: &mut Vec<Problem>) -> Option<(&str, usize)> {
        if self.get(key).is_none() {
            faults.push(
                Problem::new(format!("`{key}` is not given"))
                    .at(self.place())
                    .mend(format!("add a line such as `{key} = \"{such_as}\"`")),
            );
            return None;
        }
        self.text(key, faults)
    }

    /// Reports every key that nobody asked for.
    pub fn finish(&self, faults: &mut Vec<Problem>) {
        self.unasked(faults, true);
    }

    /// Reports the keys that look like slips of the pen for one that was asked
    /// for: for use when reading stopped before every key was asked for.
    pub fn slips(&self, faults: &mut Vec<Problem>) {
        self.unasked(faults, false);
    }

    fn unasked(&self, faults: &mut Vec<Problem>, all_were_asked: bool) {
        let asked = self.asked.borrow();
        for (key, entry) in self.entries.iter().filter(|(key, _)| !asked.contains(key)) {
            let missing = asked
                .iter()
                .map(String::as_str)
                .filter(|k| !self.entries.iter().any(|(there, _)| there == k));
            let mend = match nearest_word(key, missing) {
                Some(near) => format!("did you mean `{near}`? otherwise take the line out"),
                None if all_were_asked => {
                    let known = asked.iter().map(|k| format!("`{k}`")).collect::<Vec<_>>().join(", ");
                    format!("take the line out; what is read here: {known}")
                }
                None => continue,
            };
            faults.push(
                Problem::new(format!("`{key}` means nothing here"))
                    .at(format!("line {}", entry.line))
                    .mend(mend),
            );
        }
    }

    /// The line, and the heading where there is one, for a problem.
    pub fn place(&self) -> String {
        if self.name.is_empty() {
            format!("line {}", self.line)
        } else {
            format!("line {}, `{}`", self.line, self.name)
        }
    }
}

impl Entry {
    /// The text of the entry.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when something other than text or a number stands there.
    pub fn as_text(&self) -> Result<&str, Problem> {
        match &self.value {
            Content::Text(text) => Ok(text),
            _ => Err(self.fault("is not text", "write it in quotes, such as `\"1 3/8\"`")),
        }
    }

    /// A problem about this entry: `what` completes the sentence that names it.
    pub fn fault(&self, what: &str, mend: &str) -> Problem {
        Problem::new(format!("`{}` {what}", self.key)).at(format!("line {}", self.line)).mend(mend)
    }
}

/// The word nearest in spelling, when it is near enough to be a slip.
pub fn nearest_word<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    known
        .map(|k| (slips(word, k), k))
        .filter(|&(distance, k)| distance <= 1 + k.chars().count() / 4)
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, k)| k)
}

/// The mend for a name that leads nowhere: the one that was likely meant, or what is said
/// `otherwise`.
pub fn meant(near: Option<&str>, otherwise: impl Into<String>) -> String {
    near.map_or_else(|| otherwise.into(), |near| format!("did you mean `{near}`?"))
}

/// How many letters must be put in, taken out or changed to turn `a` into `b`.
fn slips(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().flat_map(char::to_lowercase).collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().flat_map(char::to_lowercase).enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, &cb) in b.iter().enumerate() {
            let kept = diagonal + usize::from(ca != cb);
            diagonal = row[j + 1];
            row[j + 1] = kept.min(row[j] + 1).min(row[j + 1] + 1);
        }
    }
    row[b.len()]
}

fn line_at(text: &str, offset: usize) -> usize {
    1 + text.as_bytes()[..offset.min(text.len())].iter().filter(|&&b| b == b'\n').count()
}

/// At most sixty characters of a text, for quoting.
fn clipped(text: &str) -> String {
    match text.char_indices().nth(60) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

fn entry_of(text: &str, at: String, key: &str, item: &Item) -> Option<(String, Entry)> {
    let line = item.span().map_or(1, |span| line_at(text, span.start));
    let below = |at: &str, table: &Table| {
        let entry = |(k, i): (&str, &Item)| entry_of(text, format!("{at}/{k}"), k, i);
        table.iter().filter_map(entry).collect()
    };
    let value = match item {
        Item::None => return None,
        Item::Value(value) => content_of(text, &at, key, value),
        Item::Table(table) => {
            let entries = below(&at, table);
            Content::Table(Sheet { line, name: key.to_owned(), entries, asked: RefCell::default() })
        }
        Item::ArrayOfTables(tables) => Content::List(
            tables
                .iter()
                .enumerate()
                .map(|(index, table)| {
                    let line = table.span().map_or(line, |span| line_at(text, span.start));
                    let at = format!("{at}/{index}");
                    let entries = below(&at, table);
                    let sheet = Sheet { line, name: key.to_owned(), entries, asked: RefCell::default() };
                    Entry { line, key: key.to_owned(), at, value: Content::Table(sheet) }
                })
                .collect(),
        ),
    };
    Some((key.to_owned(), Entry { line, key: key.to_owned(), at, value }))
}

fn content_of(text: &str, at: &str, key: &str, value: &Value) -> Content {
    let typed = || value.span().and_then(|span| text.get(span)).unwrap_or_default().to_owned();
    match value {
        Value::String(string) => Content::Text(string.value().clone()),
        Value::Boolean(flag) => Content::Flag(*flag.value()),
        Value::Integer(_) | Value::Float(_) | Value::Datetime(_) => Content::Text(typed()),
        Value::Array(array) => Content::List(
            array
                .iter()
                .enumerate()
                .map(|(index, item)| {
                    let at = format!("{at}/{index}");
                    let line = item.span().map_or(1, |span| line_at(text, span.start));
                    Entry { line, key: key.to_owned(), value: content_of(text, &at, key, item), at }
                })
                .collect(),
        ),
        Value::InlineTable(table) => {
            let line = table.span().map_or(1, |span| line_at(text, span.start));
            let entries = table
                .iter()
                .map(|(k, v)| {
                    let line = v.span().map_or(line, |span| line_at(text, span.start));
                    let at = format!("{at}/{k}");
                    (k.to_owned(), Entry { line, key: k.to_owned(), value: content_of(text, &at, k, v), at })
                })
                .collect();
            Content::Table(Sheet { line, name: key.to_owned(), entries, asked: RefCell::default() })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn numbers_stay_as_typed_and_lines_are_known() {
        let sheet = read_document("a = 0.4380\n\n[[hole]]\nat = \"3/8\"\n").unwrap();
        let mut faults = Vec::new();
        assert_eq!(sheet.text("a", &mut faults), Some(("0.4380", 1)));
        let holes = sheet.tables("hole", &mut faults);
        assert_eq!((holes[0].line(), holes[0].text("at", &mut faults)), (3, Some(("3/8", 4))));
        assert_eq!(faults, []);
    }

    #[test]
    fn a_mark_before_the_first_letter_shifts_nothing() {
        let sheet = read_document("\u{feff}a = 0.4380\nb = 12\n").unwrap();
        let mut faults = Vec::new();
        assert_eq!(sheet.text("a", &mut faults), Some(("0.4380", 1)));
        assert_eq!(sheet.text("b", &mut faults), Some(("12", 2)));
    }

    #[test]
    fn a_misspelt_key_is_named_with_the_one_meant() {
        let sheet = read_document("raduis = 1\n").unwrap();
        let mut faults = Vec::new();
        assert_eq!(sheet.text("radius", &mut faults), None);
        sheet.finish(&mut faults);
        assert_eq!(faults[0].what(), "`raduis` means nothing here");
        assert!(faults[0].remedy().unwrap().contains("`radius`"));
    }

    #[test]
    fn files_that_are_no_part_are_refused_with_their_line() {
        for (text, what) in [
            ("", "the file is empty"),
            ("  \n", "the file is empty"),
            ("a = 1\n]x\n", "cannot read `]x`"),
            ("a\0b", "the file is not text"),
        ] {
            assert_eq!(read_document(text).unwrap_err().what(), what);
        }
        let long = "a".repeat(MOST_BYTES + 1);
        assert!(read_document(&long).unwrap_err().what().contains("MB long"));
    }

    proptest! {
        #[test]
        fn no_text_makes_the_reader_panic(text in "[\\[\\]{}=\"'#.,\\-+a-z0-9\\n ]{0,200}") {
            let _ = read_document(&text);
        }
    }
}
