//! Aids of several parts that are one and the same.
//!
//! An aid serves another when what must be the same is the same, and nothing that may be less
//! is more, or less than half as much: a shorter stub carries thicker work, but not one twice
//! as thick. Each aid of the list goes by the sheet of one part, so that there is nothing to
//! work out anew.

use super::Made;
use crate::assembly::Place;
use crate::bench::Bench;
use crate::sheet::{AidSheet, Serves};

/// An aid, and the parts that are made with it.
pub(super) struct SharedAid<'a> {
    /// `Stub mandrel for the pivot bore of Valve lever`.
    pub name: String,
    /// The sheet it is made by.
    pub sheet: &'a AidSheet,
    /// The parts it serves, the one whose sheet it goes by first.
    pub users: Vec<User>,
    /// How many are in use at once, at most.
    pub count: u32,
    /// Whether it is in the drawer already.
    pub kept: bool,
}

/// A part that needs an aid, and what its own sheet calls it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct User {
    pub part: usize,
    pub own_name: String,
}

impl SharedAid<'_> {
    /// Mandrels and buttons are turned, plates are milled.
    pub fn place(&self) -> Place {
        if self.sheet.name.starts_with("Bolt-on plate") { Place::Mill } else { Place::Lathe }
    }

    /// Minutes to make it.
    pub fn minutes(&self) -> u64 {
        self.sheet.minutes()
    }

    /// What it is, and how many of it where that is more than one.
    pub fn title(&self) -> String {
        // Buttons go by the pair, and their name says so.
        let several = self.count > 1 && !self.sheet.name.starts_with("Filing buttons");
        if several { format!("{}, {} off", self.name, self.count) } else { self.name.clone() }
    }
}

/// The aids of all parts, as few as serve, in the order of the parts.
pub(super) fn shared<'a>(parts: &[Made<'a>], bench: &Bench) -> Vec<SharedAid<'a>> {
    let mut sheets: Vec<(usize, &'a AidSheet)> = Vec::new();
    for (part, made) in parts.iter().enumerate() {
        sheets.extend(made.plan.into_iter().flat_map(|plan| &plan.aids).map(|aid| (part, aid)));
    }
    // What is in the drawer first, then the least: of those alike it serves the most others.
    let mut by_size: Vec<usize> = (0..sheets.len()).collect();
    let kept = |n: usize| bench.keeps(&sheets[n].1.own.kept_as);
    by_size.sort_by_key(|&n| {
        let serves = &sheets[n].1.serves;
        (!kept(n), serves.same.clone(), serves.at_most.iter().map(|(_, size)| *size).collect::<Vec<_>>(), n)
    });
    let mut leads: Vec<(usize, Vec<usize>)> = Vec::new();
    for n in by_size {
        let lead = leads.iter_mut().find(|(lead, _)| serves(&sheets[*lead].1.serves, &sheets[n].1.serves));
        match lead {
            Some((_, others)) => others.push(n),
            None => leads.push((n, Vec::new())),
        }
    }
    leads.sort_by_key(|(lead, others)| others.iter().chain([lead]).min().copied());
    leads
        .into_iter()
        .map(|(lead, mut others)| {
            others.sort_unstable();
            let (part, sheet) = sheets[lead];
            let user = |n: usize| User { part: sheets[n].0, own_name: sheets[n].1.name.clone() };
            let all = || std::iter::once(lead).chain(others.iter().copied());
            SharedAid {
                count: all().map(|n| sheets[n].1.own.count).max().unwrap_or(1),
                kept: kept(lead),
                name: format!("{} of {}", uncapital(&sheet.name), parts[part].drawing.name),
                sheet,
                users: all().map(user).collect(),
            }
        })
        .collect()
}

/// Whether one aid does for another.
pub(super) fn serves(one: &Serves, other: &Serves) -> bool {
    let fits = |((name, size), (wanted, wants)): (&(String, _), &(String, _))| {
        let (size, wants): (crate::measure::Length, crate::measure::Length) = (*size, *wants);
        name == wanted && size <= wants && size * 2 >= wants
    };
    !one.same.is_empty()
        && one.same == other.same
        && one.at_most.len() == other.at_most.len()
        && one.at_most.iter().zip(&other.at_most).all(fits)
}

/// Without its capital.
pub(super) fn uncapital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().into_iter().flat_map(char::to_lowercase).chain(letters).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;

    fn stub(diameter: &str, length: i64) -> Serves {
        Serves { same: vec![diameter.into()], at_most: vec![("stub length".into(), Length::mm(length))] }
    }

    #[test]
    fn a_shorter_stub_serves_thicker_work_but_not_twice_as_thick_nor_thinner() {
        assert!(serves(&stub("8 mm", 4), &stub("8 mm", 4)));
        assert!(serves(&stub("8 mm", 4), &stub("8 mm", 8)));
        assert!(!serves(&stub("8 mm", 4), &stub("8 mm", 9)));
        assert!(!serves(&stub("8 mm", 5), &stub("8 mm", 4)));
        assert!(!serves(&stub("8 mm", 4), &stub("6 mm", 4)));
        assert!(!serves(&Serves::default(), &Serves::default()), "what serves no other serves none");
    }
}
