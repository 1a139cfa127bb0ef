//! Finding the parts and features that a statement names.

use super::{Member, Thing, Which};
use crate::document::{meant, nearest_word};
use crate::drawing::{Drawing, FeatureId, Hand};
use crate::problem::Problem;

/// What can be named.
pub(super) struct Names<'a> {
    pub drawings: &'a [&'a Drawing],
    pub pieces: Vec<&'a str>,
    /// Part files that cannot be read: a name may be in one of them.
    pub unread: &'a [String],
}

impl Names<'_> {
    /// `Crank web`, `Crank web, 2nd`, `Valve lever, left hand`, each with or without
    /// `: feature` behind it.
    pub fn member(&self, text: &str) -> Result<Member, Problem> {
        let (whose, feature) = match text.split_once(':') {
            Some((whose, feature)) => (whose.trim(), Some(feature.trim())),
            None => (text, None),
        };
        let (thing, which) = self.thing(whose)?;
        let feature = match (thing, feature) {
            (_, None) => None,
            (Thing::Piece(_), Some(_)) => {
                return Err(Problem::new(format!("`{whose}` has no drawing, and so no features"))
                    .mend(format!("write `{whose}` alone, or give it a part file")));
            }
            (Thing::Part(part), Some(name)) => Some(feature_of(self.drawings[part], name)?),
        };
        Ok(Member { thing, which, feature })
    }

    fn thing(&self, text: &str) -> Result<(Thing, Which), Problem> {
        if let Some(thing) = self.by_name(text) {
            return Ok((thing, Which::All));
        }
        if let Some((name, which)) = text.rsplit_once(',')
            && let Some(thing) = self.by_name(name.trim())
        {
            return Ok((thing, self.which(thing, which.trim())?));
        }
        Err(self.unknown(text))
    }

    fn by_name(&self, text: &str) -> Option<Thing> {
        let part = self.drawings.iter().position(|part| part.name.eq_ignore_ascii_case(text));
        let piece = || self.pieces.iter().position(|piece| piece.eq_ignore_ascii_case(text));
        part.map(Thing::Part).or_else(|| piece().map(Thing::Piece))
    }

    fn which(&self, thing: Thing, text: &str) -> Result<Which, Problem> {
        let Thing::Part(part) = thing else {
            return Err(Problem::new("a piece without a drawing is named as one")
                .mend("give each of several alike a `[[piece]]` of its own"));
        };
        let part = self.drawings[part];
        let hand = [Hand::Left, Hand::Right].into_iter().find(|hand| hand.words() == text);
        if let Some(hand) = hand {
            return match part.hands.contains(&hand) {
                true => Ok(Which::Hand(hand)),
                false => Err(Problem::new(format!("there is no {text} of `{}`", part.name))
                    .mend("leave the hand out, or add `hands` to its part file")),
            };
        }
        let number = ["st", "nd", "rd", "th"].iter().find_map(|end| text.strip_suffix(end)?.parse().ok());
        match number {
            Some(number) if (1..=part.make).contains(&number) => Ok(Which::Nth(number)),
            Some(_) => Err(Problem::new(format!("there is no {text} `{}`", part.name))
                .why(format!("its part file says that {} made", count(part.make)))
                .mend("mend the number, or `make` in its part file")),
            None => Err(Problem::new(format!("`{text}` does not say which `{}`", part.name))
                .mend("write `2nd` or `left hand` after the comma, or leave it out for all alike")),
        }
    }

    fn unknown(&self, text: &str) -> Problem {
        let names = || self.drawings.iter().map(|part| part.name.as_str()).chain(self.pieces.iter().copied());
        let problem = Problem::new(format!("the project has no part called `{text}`"));
        let problem = match self.unread {
            [] => problem,
            unread => {
                problem.why(format!("it may stand in a file that cannot be read: {}", unread.join(", ")))
            }
        };
        let all: Vec<String> = names().map(|name| format!("`{name}`")).collect();
        problem.mend(meant(
            nearest_word(text, names()),
            format!("name one of {}; what has no drawing is named by a `[[piece]]`", all.join(", ")),
        ))
    }
}

fn feature_of(part: &Drawing, text: &str) -> Result<FeatureId, Problem> {
    let found = part.features.iter().position(|feature| feature.name.eq_ignore_ascii_case(text));
    found.map(FeatureId).ok_or_else(|| {
        let names = part.features.iter().map(|feature| feature.name.as_str());
        let near = nearest_word(text, names.clone());
        let all: Vec<String> = names.map(|name| format!("`{name}`")).collect();
        Problem::new(format!("`{}` has no feature called `{text}`", part.name))
            .mend(meant(near, format!("name one of {}", all.join(", "))))
    })
}

fn count(made: u32) -> String {
    if made == 1 { "1 is".into() } else { format!("{made} are") }
}
