//! What an order of work uses, and by how much one differs from another.

use super::model::{Model, Step, Tally};

/// What an order uses, by what orders are judged by, most weighty first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Uses {
    /// Times the work is set up on a machine or in a vice; laying it flat on the bench
    /// is none, since nothing is clocked or set.
    pub setups: u64,
    /// Times the tool or machine changes; for pieces that go through a setup one after another as
    /// often as it comes.
    pub tool_changes: u64,
    /// Aids to make.
    pub aids: u64,
    /// Minutes at the work and setting up, an estimate.
    pub minutes: u64,
}

/// How much more one order uses than another; less than nought where it uses less.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Setups.
    pub setups: i64,
    /// Tool changes.
    pub tool_changes: i64,
    /// Aids to make.
    pub aids: i64,
    /// Minutes.
    pub minutes: i64,
}

/// How often tools are changed again because several pieces go through a setup one after
/// another: each has all the tools of that stay, and the first comes back for the next piece. In
/// the plan each change counts once.
fn again(model: &Model, steps: &[Step]) -> u64 {
    let ways: Vec<_> = steps.iter().map(|step| model.operations[step.op.0].ways[step.way]).collect();
    let more = ways.chunk_by(|a, b| a.setup == b.setup).map(|stay| {
        let tools = stay.chunk_by(|a, b| a.tool == b.tool).count() as u64;
        let fills = model.fills.get(stay[0].setup.0).map_or(1, |fills| fills.len() as u64);
        if tools > 1 { fills.saturating_sub(1) * tools } else { 0 }
    });
    more.sum()
}

impl Uses {
    /// Of steps, which come to so much.
    pub(super) fn of(model: &Model, steps: &[Step], tally: &Tally) -> Self {
        Self {
            setups: tally.setups,
            tool_changes: tally.tool_changes + again(model, steps),
            aids: tally.aids,
            minutes: tally.minutes,
        }
    }

    /// What this uses more than another.
    pub fn more_than(&self, other: &Self) -> Cost {
        let more = |mine: u64, its: u64| {
            i64::try_from(mine).unwrap_or(i64::MAX) - i64::try_from(its).unwrap_or(i64::MAX)
        };
        Cost {
            setups: more(self.setups, other.setups),
            tool_changes: more(self.tool_changes, other.tool_changes),
            aids: more(self.aids, other.aids),
            minutes: more(self.minutes, other.minutes),
        }
    }

    /// `9 setups, 12 tool changes, 2 aids to make, 2 h 35 min`.
    pub fn words(&self) -> String {
        let mut parts = vec![count(self.setups, "setup"), count(self.tool_changes, "tool change")];
        if self.aids > 0 {
            parts.push(format!("{} to make", count(self.aids, "aid")));
        }
        parts.push(time(self.minutes));
        parts.join(", ")
    }
}

impl Cost {
    /// Whether it makes no difference.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }

    /// `1 setup and 10 min more, 2 tool changes fewer`, or `nothing`.
    pub fn words(&self) -> String {
        let all = [(self.setups, "setup"), (self.tool_changes, "tool change"), (self.aids, "aid")];
        let side = |sign: i64| -> Vec<String> {
            let mut parts: Vec<String> = all
                .iter()
                .filter(|(n, _)| n.signum() == sign)
                .map(|(n, word)| count(n.unsigned_abs(), word))
                .collect();
            if self.minutes.signum() == sign {
                parts.push(time(self.minutes.unsigned_abs()));
            }
            parts
        };
        let said = |parts: Vec<String>, word: &str| match parts.split_last() {
            None => None,
            Some((only, [])) => Some(format!("{only} {word}")),
            Some((last, rest)) => Some(format!("{} and {last} {word}", rest.join(", "))),
        };
        let both: Vec<String> =
            [said(side(1), "more"), said(side(-1), "less")].into_iter().flatten().collect();
        if both.is_empty() { "nothing".into() } else { both.join(", ") }
    }
}

fn count(number: u64, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

/// Minutes in hours where there are some.
fn time(minutes: u64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_is_said_both_ways() {
        let one = Uses { setups: 9, tool_changes: 12, aids: 2, minutes: 155 };
        let two = Uses { setups: 8, tool_changes: 14, aids: 2, minutes: 75 };
        assert_eq!(one.words(), "9 setups, 12 tool changes, 2 aids to make, 2 h 35 min");
        assert_eq!(one.more_than(&two).words(), "1 setup and 1 h 20 min more, 2 tool changes less");
        assert_eq!(one.more_than(&one).words(), "nothing");
    }
}
