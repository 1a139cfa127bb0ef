//! The names nearest to one that no table has.

/// How many near names a problem lists.
pub(super) const LISTED: usize = 5;

/// Up to [`LISTED`] of `names` nearest to `asked` by letters changed, nearest
/// first; those equally near keep their order in the table.
pub(super) fn nearest<'a>(asked: &str, names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    // A name is short; what is longer is noise and need not be compared whole.
    let asked: Vec<char> = plain(asked).chars().take(40).collect();
    let whole: String = asked.iter().collect();
    // A name that holds all that was asked, such as `phosphor bronze` for `bronze`, comes before any
    // that is only spelt alike.
    let ranked = |name: &'a str| {
        let own = plain(name);
        let holds = asked.len() > 2 && own.contains(&whole);
        ((!holds, changes(&asked, &own.chars().collect::<Vec<_>>())), name)
    };
    let mut ranked: Vec<((bool, usize), &str)> = names.map(ranked).collect();
    ranked.sort_by_key(|&(rank, _)| rank);
    ranked.into_iter().take(LISTED).map(|(_, name)| name).collect()
}

/// Lower case, with nothing but letters, digits, points and strokes.
pub(super) fn plain(text: &str) -> String {
    text.chars().flat_map(char::to_lowercase).filter(|c| c.is_alphanumeric() || "./".contains(*c)).collect()
}

/// At most forty characters of a text, for quoting.
pub(super) fn quoted(text: &str) -> String {
    let text = text.trim();
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("`{}…`", &text[..end]),
        None => format!("`{text}`"),
    }
}

/// The least insertions, deletions and changes that turn one into the other.
fn changes(from: &[char], to: &[char]) -> usize {
    let mut before: Vec<usize> = (0..=to.len()).collect();
    for (i, a) in from.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, b) in to.iter().enumerate() {
            row.push((before[j] + usize::from(a != b)).min(before[j + 1] + 1).min(row[j] + 1));
        }
        before = row;
    }
    before[to.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Distances counted by hand.
    #[test]
    fn changes_are_the_fewest() {
        for (from, to, count) in
            [("kitten", "sitting", 3), ("", "abc", 3), ("brass", "brass", 0), ("bras", "brass", 1)]
        {
            let letters = |t: &str| t.chars().collect::<Vec<_>>();
            assert_eq!(changes(&letters(from), &letters(to)), count, "{from} {to}");
        }
    }

    #[test]
    fn a_name_that_holds_what_was_asked_comes_first() {
        let names = ["brass", "EN1A", "phosphor bronze", "grey cast iron"];
        assert_eq!(nearest("Bronze", names.into_iter())[0], "phosphor bronze");
        assert_eq!(nearest("bras", names.into_iter())[0], "brass");
    }

    #[test]
    fn a_long_text_is_quoted_short() {
        assert_eq!(quoted(" 7 BA "), "`7 BA`");
        assert_eq!(quoted(&"é".repeat(80)).chars().count(), 43);
    }
}
