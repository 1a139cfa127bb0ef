//! Giving a feature another name wherever a part file speaks of it.

use super::entry::spliced;
use super::layout::{Layout, Node};
use super::{Value, unsuitable};
use crate::problem::Problem;

/// The words of a place after which a name may stand.
const BEFORE_A_NAME: &[&str] = &[
    "of", "above", "below", "behind", "with", "as", "from", "between", "and", "about", "to", "toward",
    "towards", "through", "opposite",
];

/// Words that would end a name early if they stood in it after its first.
const NEVER_IN_A_NAME: &[&str] =
    &["and", "about", "at", "from", "toward", "towards", "to", "through", "above", "below", "behind"];

/// The keys of a feature that name another, and the kind for which they do where
/// they mean something else for others.
const NAMING: &[(&str, Option<&str>)] =
    &[("over", None), ("into", None), ("of", None), ("across", Some("clamp screw")), ("in", Some("keyway"))];

pub(super) fn rename(layout: &Layout, from: &str, to: &str) -> Result<String, Problem> {
    let names = names(layout);
    if !names.iter().any(|(name, _)| name.eq_ignore_ascii_case(from)) {
        return Err(Problem::new(format!("no feature is called `{from}`")).mend("open the page again"));
    }
    if to.is_empty() {
        return Err(Problem::new("a feature needs a name").mend("write one such as `pivot bore`"));
    }
    if !from.eq_ignore_ascii_case(to)
        && let Some((other, _)) = names.iter().find(|(name, _)| name.eq_ignore_ascii_case(to))
    {
        return Err(Problem::new(format!("another feature is called `{other}`"))
            .why("a name must say which is meant")
            .mend("choose another name"));
    }
    let places = places(layout, from, to);
    if let Some(word) = to.split_whitespace().skip(1).find(|word| NEVER_IN_A_NAME.contains(word))
        && places.len() > 1
    {
        return Err(Problem::new(format!("`{to}` has the word `{word}` in it"))
            .why("the places that speak of the feature could then be read in two ways")
            .mend("choose a name without it"));
    }
    let mut splices = Vec::new();
    for (steps, words) in &places {
        let node = steps.iter().try_fold(layout.root(), |node, step| node.step(step));
        let Some(Node::Value(value)) = node else { return Err(unsuitable()) };
        let span = value.span().ok_or_else(unsuitable)?;
        let with = Value::text(words).written_like(&layout.text[span.clone()]);
        splices.push((span, with));
    }
    splices.sort_by_key(|(span, _)| std::cmp::Reverse(span.start));
    let mut text = layout.text.to_owned();
    for (span, with) in splices {
        text = spliced(&text, span, &with);
    }
    Ok(text)
}

/// Every place that names the feature, and what is to stand there.
pub(super) fn places(layout: &Layout, from: &str, to: &str) -> Vec<(Vec<String>, String)> {
    let names = names(layout);
    let calls = Calls { names: &names, from, to };
    let mut found = Vec::new();
    let Value::Table(file) = layout.meaning() else { return found };
    for (key, value) in &file {
        let items: Vec<(Vec<String>, &Value)> = match value {
            Value::List(items) => {
                items.iter().enumerate().map(|(n, item)| (vec![key.clone(), n.to_string()], item)).collect()
            }
            one => vec![(vec![key.clone()], one)],
        };
        for (at, item) in items {
            let Value::Table(entries) = item else { continue };
            let kind = word(entries, "kind").unwrap_or_default();
            for (inner, value) in entries {
                let mut at = at.clone();
                at.push(inner.clone());
                let role = match (key.as_str(), inner.as_str()) {
                    ("feature", "name") => Role::Own,
                    ("feature", "place") => Role::Statement,
                    ("feature", key) if naming(key, kind) => Role::Whole,
                    ("body", "around")
                    | ("mate" | "screwed", "in")
                    | ("wall", "between")
                    | ("geometry", "of" | "to")
                    | ("parted", "through" | "bolts") => Role::Whole,
                    ("scan", "spots") => Role::Spot,
                    ("equal", "dimensions") => Role::Dimension,
                    ("chain", "adds" | "less") => Role::Link,
                    ("order", "done" | "wanted") => Role::Operation,
                    _ => continue,
                };
                calls.walk(at, value, role, &mut found);
            }
        }
    }
    found
}

/// How a text names a feature.
#[derive(Clone, Copy)]
enum Role {
    /// The name of the feature itself.
    Own,
    /// The whole text is a name.
    Whole,
    /// A statement of place.
    Statement,
    /// `NAME: what`, the what naming others.
    Dimension,
    /// The same, perhaps `2 ×` before it, or of another part, whose names are its own.
    Link,
    /// `NAME at 412, 380`.
    Spot,
    /// Operations: `drill NAME before ream NAME`.
    Operation,
}

struct Calls<'a> {
    names: &'a [(String, bool)],
    from: &'a str,
    to: &'a str,
}

impl Calls<'_> {
    fn walk(&self, at: Vec<String>, value: &Value, role: Role, found: &mut Vec<(Vec<String>, String)>) {
        match value {
            Value::List(items) => {
                for (index, item) in items.iter().enumerate() {
                    let at = at.iter().cloned().chain([index.to_string()]).collect();
                    self.walk(at, item, role, found);
                }
            }
            Value::Table(entries) => {
                if let Some((_, is)) = entries.iter().find(|(key, _)| key == "is") {
                    self.walk(at.into_iter().chain(["is".to_owned()]).collect(), is, role, found);
                }
            }
            Value::Text(words) => {
                let renamed = match role {
                    Role::Own => words.trim().eq_ignore_ascii_case(self.from).then(|| self.to.to_owned()),
                    Role::Whole => self.whole(words),
                    Role::Statement => self.statement(words),
                    Role::Dimension => self.dimension(words),
                    Role::Link => self.link(words),
                    Role::Operation => self.operation(words),
                    Role::Spot => words
                        .rsplit_once(" at ")
                        .and_then(|(name, at)| Some(format!("{} at {at}", self.whole(name)?))),
                };
                found.extend(renamed.filter(|renamed| renamed != words).map(|renamed| (at, renamed)));
            }
            Value::Number(_) | Value::Flag(_) => {}
        }
    }

    /// A text that is a name, with or without `the`.
    fn whole(&self, words: &str) -> Option<String> {
        let bare = words.trim();
        let (the, bare) = match bare.strip_prefix("the ") {
            Some(rest) if self.name_at(bare).is_none_or(|length| length < bare.len()) => ("the ", rest),
            _ => ("", bare),
        };
        (self.name_at(bare)? == bare.len()).then(|| Some(format!("{the}{}", self.new_name(bare)?)))?
    }

    fn dimension(&self, words: &str) -> Option<String> {
        let (name, what) = words.split_once(": ")?;
        let (first, rest) = (self.whole(name), self.statement(what));
        (first.is_some() || rest.is_some())
            .then(|| format!("{}: {}", first.as_deref().unwrap_or(name), rest.as_deref().unwrap_or(what)))
    }

    fn link(&self, words: &str) -> Option<String> {
        let counted = |c: char| c.is_ascii_digit() || c.is_whitespace() || c == '×' || c == 'x';
        // A name may itself begin with a figure.
        let own = |words: &str| {
            words.split_once(": ").is_some_and(|(name, _)| self.name_at(name) == Some(name.len()))
        };
        let bare = if own(words) { words } else { words.trim_start_matches(counted) };
        let before = &words[..words.len() - bare.len()];
        own(bare).then(|| Some(format!("{before}{}", self.dimension(bare)?)))?
    }

    /// Operations with every call of the feature renamed: a name may begin at any word.
    fn operation(&self, words: &str) -> Option<String> {
        let (mut out, mut at, mut changed) = (String::new(), 0, false);
        while at < words.len() {
            let rest = &words[at..];
            let length = match self.name_at(rest) {
                Some(length) if length > 0 => {
                    let new = self.new_name(&rest[..length]);
                    changed |= new.is_some();
                    out.push_str(new.as_deref().unwrap_or(&rest[..length]));
                    length
                }
                _ => {
                    let word = rest.find(char::is_whitespace).unwrap_or(rest.len());
                    out.push_str(&rest[..word]);
                    word
                }
            };
            let space = words[at + length..].len() - words[at + length..].trim_start().len();
            out.push_str(&words[at + length..at + length + space]);
            at += length + space;
        }
        changed.then_some(out)
    }

    /// A statement with every call of the feature renamed.
    fn statement(&self, words: &str) -> Option<String> {
        let mut out = String::new();
        let mut may_name = false;
        let mut at = 0;
        let mut changed = false;
        while at < words.len() {
            let rest = &words[at..];
            if rest.starts_with(char::is_whitespace) {
                let space = rest.len() - rest.trim_start().len();
                out.push_str(&rest[..space]);
                at += space;
                continue;
            }
            if may_name && let Some(length) = self.name_at(rest) {
                let name = &rest[..length];
                match self.new_name(name) {
                    Some(new) => {
                        out.push_str(&new);
                        changed = true;
                    }
                    None => out.push_str(name),
                }
                at += length;
                may_name = false;
                continue;
            }
            let word = &rest[..rest.find(char::is_whitespace).unwrap_or(rest.len())];
            may_name = BEFORE_A_NAME.contains(&word) || (may_name && word == "the");
            out.push_str(word);
            at += word.len();
        }
        changed.then_some(out)
    }

    /// The length of the longest name that a text begins with.
    fn name_at(&self, text: &str) -> Option<usize> {
        let mut longest = None;
        for (name, many) in self.names {
            let Some(head) = text.get(..name.len()) else { continue };
            if !head.eq_ignore_ascii_case(name) {
                continue;
            }
            let mut length = name.len();
            if *many && let Some(rest) = text[length..].strip_prefix(' ') {
                let digits = rest.len() - rest.trim_start_matches(|c: char| c.is_ascii_digit()).len();
                length += if digits > 0 { 1 + digits } else { 0 };
            }
            let ends = |at: usize| text[at..].chars().next().is_none_or(|c| c.is_whitespace() || c == ',');
            let length = [length, name.len()].into_iter().find(|&length| ends(length));
            longest = longest.max(length);
        }
        longest
    }

    /// What a name becomes; nothing for the name of another feature.
    fn new_name(&self, name: &str) -> Option<String> {
        if name.eq_ignore_ascii_case(self.from) {
            return Some(self.to.to_owned());
        }
        let (stem, number) = name.rsplit_once(' ')?;
        let one_of_many = stem.eq_ignore_ascii_case(self.from)
            && self.names.iter().any(|(known, many)| *many && known.eq_ignore_ascii_case(stem))
            && !self.names.iter().any(|(known, _)| known.eq_ignore_ascii_case(name));
        one_of_many.then(|| format!("{} {number}", self.to))
    }
}

/// Every feature's name, and whether it brings others numbered after it.
fn names(layout: &Layout) -> Vec<(String, bool)> {
    let Value::Table(file) = layout.meaning() else { return Vec::new() };
    let features = match file.into_iter().find(|(key, _)| key == "feature") {
        Some((_, Value::List(features))) => features,
        Some((_, one @ Value::Table(_))) => vec![one],
        _ => Vec::new(),
    };
    let named = |feature: &Value| {
        let Value::Table(entries) = feature else { return None };
        let many = word(entries, "kind").is_some_and(|kind| {
            ["pitch circle", "row"].iter().any(|many| many.eq_ignore_ascii_case(kind.trim()))
        });
        Some((word(entries, "name")?.trim().to_owned(), many))
    };
    features.iter().filter_map(named).filter(|(name, _)| !name.is_empty()).collect()
}

fn word<'a>(entries: &'a [(String, Value)], key: &str) -> Option<&'a str> {
    entries.iter().find(|(name, _)| name == key).and_then(|(_, value)| value.as_words())
}

fn naming(key: &str, kind: &str) -> bool {
    NAMING
        .iter()
        .any(|(name, only)| *name == key && only.is_none_or(|only| only.eq_ignore_ascii_case(kind.trim())))
}
