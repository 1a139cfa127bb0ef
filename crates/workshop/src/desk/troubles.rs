//! Each problem with the form it is about and the field where it is mended.

use super::asks::Takes;
use super::field::{Field, Item};
use super::{Card, Trouble, Which};
use crate::problem::Problem;

/// Each problem with the forms it is about and the field to mend.
pub(super) fn troubles(problems: Vec<Problem>, cards: &mut [Card]) -> Vec<Trouble> {
    let mut troubles: Vec<Trouble> = Vec::new();
    for problem in problems {
        let number = troubles.len() + 1;
        let about = about(&problem, cards);
        for &card in &about {
            cards[card].troubles.push(number);
        }
        let at = about.first().map(|&card| mark(&problem, &mut cards[card]));
        troubles.push(Trouble { number, problem, cards: about, at });
    }
    troubles
}

/// The forms that a problem is about: those it names, or that whose line it gives.
fn about(problem: &Problem, cards: &[Card]) -> Vec<usize> {
    let mut found: Vec<usize> = Vec::new();
    let mut add = |index: usize| {
        if !found.contains(&index) {
            found.push(index);
        }
    };
    for name in problem.concerned() {
        // A dimension is called after its feature, a hole after its pattern.
        let owner = name.split(": ").next().unwrap_or(name);
        let is = |card: &Card| match card.which {
            Which::Feature(_) => owns(&card.title, owner),
            Which::Body => owner == "body",
            Which::Mate(_) => card.title.eq_ignore_ascii_case(owner),
            Which::Scan => owner == "scan",
            Which::Part
            | Which::Stock
            | Which::Equal(_)
            | Which::Screwed(_)
            | Which::Chain(_)
            | Which::Wall(_)
            | Which::Geometry(_)
            | Which::Parted(_) => false,
        };
        cards.iter().enumerate().filter(|(_, card)| is(card)).for_each(|(index, _)| add(index));
    }
    if found.is_empty()
        && let Some(index) =
            cards.iter().position(|card| card.fields.iter().any(|f| f.says_the_same(problem)))
    {
        found.push(index);
    }
    found
}

/// True for a feature and for the holes that it brings.
pub(super) fn owns(feature: &str, name: &str) -> bool {
    let rest = name
        .get(..feature.len())
        .filter(|start| start.eq_ignore_ascii_case(feature))
        .map(|_| &name[feature.len()..]);
    rest.is_some_and(|rest| {
        rest.is_empty() || rest.strip_prefix(' ').is_some_and(|n| n.bytes().all(|b| b.is_ascii_digit()))
    })
}

/// Puts a problem at the field of a form where it is mended, and says which that is.
fn mark(problem: &Problem, card: &mut Card) -> String {
    let keyed = |field: &Field| problem.place().contains(&format!("`{}`", field.ask.key));
    let named = |field: &Field| field.is_wanting() && problem.what().contains(field.ask.key);
    let tests: [&dyn Fn(&Field) -> bool; 5] =
        [&|field| field.says_the_same(problem), &keyed, &named, &Field::is_wanting, &|field| {
            field.ask.takes == Takes::Place
        }];
    let found = tests.iter().find_map(|test| card.fields.iter().position(test));
    let Some(field) = found.map(|index| &mut card.fields[index]) else { return card.which.at() };
    let same = |own: &Option<Problem>| own.as_ref().is_some_and(|own| own.what() == problem.what());
    if let Some(item) = field.items.iter().find(|item| same(&item.problem)) {
        return item.at.clone();
    }
    // One of several that a problem quotes is the one it is about.
    let quoted = |item: &&mut Item| problem.what().contains(&format!("`{}`", item.text));
    if let Some(item) = field.items.iter_mut().find(quoted) {
        item.problem = Some(problem.clone());
        return item.at.clone();
    }
    field.problem = Some(problem.clone());
    field.at.clone()
}
