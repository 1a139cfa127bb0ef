//! Whether an aid is in the drawer: by its words, or by its kind and its sizes.

use std::collections::BTreeSet;

use super::{Bench, same_thing};

/// Words that only join, and the unit that aids are kept in.
const JOINS: [&str; 11] = ["a", "an", "the", "for", "of", "and", "by", "with", "to", "long", "mm"];

impl Bench {
    /// Whether an aid that is kept as this is in the drawer: in these words; or as the same kind of
    /// thing with the same sizes in the same order, where only one thing listed is so.
    pub fn keeps(&self, kept_as: &str) -> bool {
        if kept_as.is_empty() {
            return false;
        }
        let alike = |aid: &&String| kind_and_sizes(aid) == kind_and_sizes(kept_as);
        self.aids.iter().any(|aid| same_thing(aid, kept_as)) || self.aids.iter().filter(alike).count() == 1
    }
}

/// The words that say what kind a thing is, each once, and its sizes as they are written: two sizes
/// that change places make another thing.
fn kind_and_sizes(name: &str) -> (BTreeSet<String>, Vec<String>) {
    let name = name.to_lowercase().replace("mm", " mm ");
    let plain: String = name.chars().map(|c| if c.is_alphanumeric() || c == '.' { c } else { ' ' }).collect();
    let (mut kind, mut sizes) = (BTreeSet::new(), Vec::new());
    for word in plain.split_whitespace().map(|word| word.trim_matches('.')) {
        if word.starts_with(|c: char| c.is_ascii_digit()) && word.contains('.') {
            sizes.push(word.trim_end_matches('0').trim_end_matches('.').to_owned());
        } else if word.contains(|c: char| c.is_ascii_digit()) {
            sizes.push(word.to_owned());
        } else if !word.is_empty() && !JOINS.contains(&word) {
            kind.insert(word.to_owned());
        }
    }
    (kind, sizes)
}

#[cfg(test)]
mod tests {
    use crate::bench::{Bench, empty_bench};

    fn with(aids: &[&str]) -> Bench {
        Bench { aids: aids.iter().map(ToString::to_string).collect(), ..empty_bench() }
    }

    #[test]
    fn the_same_kind_and_sizes_are_the_same_thing_and_no_other_is() {
        let kept = "drill bush 10 mm for 5 mm, 7.5 mm long";
        for same in [kept, "Drill bush, 10mm for 5.0mm, 7.50 long", "the drill bush of 10 by 5, 7.5 mm"] {
            assert!(with(&[same]).keeps(kept), "{same}");
        }
        for other in [
            "drill bush 5 mm for 10 mm, 7.5 mm long",
            "drill bush 10 mm for 5 mm, 9 mm long",
            "drill bush 10 mm for 5 mm",
            "setting plug 10 mm for 5 mm, 7.5 mm long",
        ] {
            assert!(!with(&[other]).keeps(kept), "{other}");
        }
        let two = ["drill bush 10 for 5, 7.5", "bush, drill, 10 for 5, 7.5"];
        assert!(!with(&two).keeps(kept), "which of the two is meant nobody knows");
        assert!(!with(&[""]).keeps(""));
    }
}
