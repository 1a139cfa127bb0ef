//! A size that was not chosen, and what stands against it: as data for a page,
//! and in words.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use super::gauge::Reading;
use crate::measure::Length;

/// A size that was not chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Other {
    /// The size; of a thread its major diameter.
    pub value: Length,
    /// What would make it: `drill 3.2 mm`.
    pub with: String,
    /// What to write behind `pin` to have it: `3.2 mm`, `M4`.
    pub pin: String,
    /// Worth telling of unasked: not one of the many odd sizes that a machine can
    /// be set to.
    pub telling: bool,
    /// How far it is from the drawing.
    pub off: Length,
    /// What stands against it.
    pub against: Against,
}

/// What stands against a size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Against {
    /// It was no candidate at all, and why.
    RuledOut(String),
    /// With everything else as chosen it breaks these.
    Breaks(Vec<Broken>),
    /// It breaks nothing, and costs this much more.
    Costs(Price),
}

/// A demand that a size breaks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    /// Which.
    pub demand: Arc<Demanded>,
    /// By how much, where a length says it.
    pub reading: Option<Reading>,
}

/// What a demand is called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Demanded {
    /// Short: `wall between rod bore and clamp slit`.
    pub name: String,
    /// A sentence: what it needs, who asks it.
    pub because: String,
}

/// What another size costs more than the chosen one, everything else as chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// What has to be bought besides.
    pub buys: Vec<String>,
    /// What need not be bought any more.
    pub saves: Vec<String>,
    /// Points of purchases: more, or less than nought.
    pub points: i64,
    /// Weighted departure from the drawing: more, or less than nought.
    pub departure: i64,
    /// How much less round the numbers are.
    pub roughness: i64,
    /// Its distance from the drawing.
    pub off: Length,
    /// That of the chosen size.
    pub chosen_off: Length,
    /// The same size, made otherwise.
    pub same: bool,
    /// What it is where it costs nothing else.
    pub lesser: &'static str,
}

impl Other {
    /// The size and what makes it.
    pub fn what(&self) -> String {
        // A thread is called by what makes it.
        if self.with.starts_with(&self.pin) {
            self.with.clone()
        } else {
            format!("{}, {}", self.value_shown(), self.with)
        }
    }

    fn value_shown(&self) -> String {
        format!("{} mm", self.value.shown(3))
    }

    /// Why it was not chosen, in a sentence with the numbers.
    pub fn reason(&self) -> String {
        self.against.to_string()
    }

    /// The same with what every demand it breaks rests on.
    pub fn reason_in_full(&self) -> String {
        let Against::Breaks(broken) = &self.against else { return self.reason() };
        let mut said = self.reason();
        for broken in broken.iter().filter(|broken| broken.reading.is_some()) {
            said += &format!("; {}", broken.demand.because);
        }
        said
    }
}

/// The few worth telling of unasked, nearest first; of those made in one way, where
/// there are several ways, no more than a few.
pub fn worth_telling(others: &[Other]) -> impl Iterator<Item = &Other> {
    /// How many are told of.
    const TOLD: usize = 6;
    /// How many of those that are made in one way.
    const ALIKE: usize = 3;
    let telling = || others.iter().filter(|other| other.telling);
    let chosen_from = |other: &Other| !matches!(other.against, Against::RuledOut(_));
    let first = telling().find(|other| chosen_from(other)).map(|other| other.with.as_str());
    let mixed = telling().any(|other| chosen_from(other) && Some(other.with.as_str()) != first);
    let mut told: BTreeMap<&str, usize> = BTreeMap::new();
    let few = telling().filter(move |other| {
        let count = told.entry(&other.with).or_default();
        *count += 1;
        !mixed || *count <= ALIKE
    });
    few.take(TOLD)
}

impl fmt::Display for Against {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::RuledOut(reason) => f.write_str(reason),
            Self::Breaks(broken) => {
                let said: Vec<String> = broken.iter().map(Broken::to_string).collect();
                write!(f, "with the rest as chosen it breaks: {}", said.join("; "))
            }
            Self::Costs(price) => price.fmt(f),
        }
    }
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.reading {
            Some(reading) => write!(f, "{} would be {reading}", self.demand.name),
            None => f.write_str(&self.demand.because),
        }
    }
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { buys, saves, off, chosen_off, lesser, .. } = self;
        let further = off > chosen_off;
        let mm = |length: &Length| format!("{} mm", length.shown(5));
        if !buys.is_empty() {
            write!(f, "to buy besides: {}", buys.join(", "))?;
            return match saves.is_empty() {
                true => Ok(()),
                false => write!(f, ", in the place of {}", saves.join(", ")),
            };
        }
        if (self.points, self.departure) < (0, 0) {
            return f.write_str("the search stopped before it could tell whether this is better");
        }
        match (self.departure > 0, further, self.same) {
            (true, true, _) => write!(f, "it departs by {}, the chosen one by {}", mm(off), mm(chosen_off)),
            (true, false, true) => f.write_str("the same size at the price of more work"),
            (true, false, false) => f.write_str("nearer the drawing, but at the price of more work"),
            (false, true, _) => write!(f, "it departs by {} and gains nothing", mm(off)),
            (false, false, true) => write!(f, "the same size: {lesser}"),
            (false, false, false) => write!(f, "nearer the drawing by what may pass, but {lesser}"),
        }
    }
}
