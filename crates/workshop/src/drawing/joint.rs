//! Holes that several parts have in common: made in one setup, the parts laid on each other.

use super::{Face, FeatureId};
use crate::measure::Length;

/// Holes of a part that are made while it lies with others, as the project says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joint {
    /// What the project calls it: `bearing holes of the frames`.
    pub name: String,
    /// The part's own holes.
    pub features: Vec<FeatureId>,
    /// Its face that lies up.
    pub up: Face,
    /// How many of the others lie on top of it: none of the first, which is worked from.
    pub above: usize,
    /// The others, from the top.
    pub others: Vec<Laid>,
    /// Where that is said: `assembly.toml, line 14`.
    pub said: String,
}

/// Another part as it lies, in the axes of the part that is told of it: X to the right, Y away
/// from the person, from that part's own datum.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Laid {
    /// What it is called.
    pub part: String,
    /// How thick it is.
    pub thick: Length,
    /// Least and greatest X, least and greatest Y, of it or its squared blank.
    pub edges: [Length; 4],
    /// Where the two edges cross that its positions are taken from.
    pub datum: (Length, Length),
}

impl Joint {
    /// The metal of the others.
    pub fn beside(&self) -> Length {
        self.others.iter().fold(Length::ZERO, |all, other| all + other.thick)
    }

    /// The metal that lies on top of it.
    pub fn over(&self) -> Length {
        self.others.iter().take(self.above).fold(Length::ZERO, |all, other| all + other.thick)
    }

    /// The part that is worked from; none where it is this one.
    pub fn top(&self) -> Option<&Laid> {
        self.others.first().filter(|_| self.above > 0)
    }

    /// `with Brace beneath it`, `beneath Frame plate`.
    pub fn words(&self) -> String {
        let names = |laid: &[Laid]| {
            let names: Vec<&str> = laid.iter().map(|one| one.part.as_str()).collect();
            match names.split_last() {
                Some((last, [])) => (*last).to_owned(),
                Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
                None => String::new(),
            }
        };
        let (over, under) = self.others.split_at(self.above.min(self.others.len()));
        match (over, under) {
            ([], under) => format!("with {} beneath it", names(under)),
            (over, []) => format!("beneath {}", names(over)),
            (over, under) => format!("beneath {}, with {} beneath it", names(over), names(under)),
        }
    }
}
