//! Marking the figures that rest on what nobody said.
//!
//! A reckoning that lacks, say, the worm ratio is done with a supposed one. It is
//! done again with another, and the figures that come out otherwise are those
//! that rest on the supposition.

use workshop::bench::empty_bench;
use workshop::measure::Length;
use workshop::problem::{Outcome, Problem};
use workshop::why::{Figure, Why};

use super::one;
use crate::args;

/// What a reckoning goes by, and what of it was supposed.
#[derive(Clone, Debug)]
pub struct Given<T> {
    /// What it goes by.
    pub value: T,
    /// Each thing supposed in it.
    pub supposed: Vec<Supposed<T>>,
}

/// Something supposed, and what to try in its place.
#[derive(Clone, Debug)]
pub struct Supposed<T> {
    /// What was supposed and how to say otherwise, as the reason will print it.
    pub statement: String,
    /// What to reckon with instead.
    pub otherwise: T,
}

impl<T: Clone> Given<T> {
    /// What was said, with nothing supposed.
    pub fn said(value: T) -> Self {
        Self { value, supposed: Vec::new() }
    }

    /// What is usual, where nothing was said.
    pub fn supposing(usual: T, otherwise: T, statement: impl Into<String>) -> Self {
        Self { value: usual, supposed: vec![Supposed { statement: statement.into(), otherwise }] }
    }

    /// Both together.
    pub fn and<U: Clone>(self, other: Given<U>) -> Given<(T, U)> {
        let (first, second) = (self.value, other.value);
        let firsts = self
            .supposed
            .into_iter()
            .map(|one| Supposed { statement: one.statement, otherwise: (one.otherwise, second.clone()) });
        let seconds = other
            .supposed
            .into_iter()
            .map(|one| Supposed { statement: one.statement, otherwise: (first.clone(), one.otherwise) });
        let supposed = firsts.chain(seconds).collect();
        Given { value: (first, second), supposed }
    }

    /// Reckons, and marks each figure that anything supposed would change.
    ///
    /// # Errors
    ///
    /// What the reckoning finds wrong.
    pub fn reckon(self, figures: impl Fn(T) -> Result<Vec<Figure>, Problem>) -> Result<Vec<Figure>, Problem> {
        let mut marked = figures(self.value)?;
        for Supposed { statement, otherwise } in self.supposed {
            // Where the other value cannot be reckoned at all, everything rests on it.
            let others = figures(otherwise).unwrap_or_default();
            for figure in &mut marked {
                let same = |other: &Figure| other.name == figure.name && other.shown == figure.shown;
                if !others.iter().any(same) {
                    figure.why.because.push(Why::assumed(&statement));
                }
            }
        }
        Ok(marked)
    }
}

/// The step of the readout: as said behind `--step`, or the usual one.
pub fn readout_step(said: Option<&str>) -> Outcome<Given<Length>> {
    if let Some(text) = said {
        return Ok(Given::said(args::size("--step", text).map_err(one)?));
    }
    let usual = empty_bench().mill.readout.step();
    let statement = format!("a readout that steps by {usual}: say yours with `--step`");
    Ok(Given::supposing(usual, usual / 50, statement))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_a_supposition_changes_is_marked() {
        let worm = Given::supposing(90, 60, "a worm of 90");
        let both = worm.and(Given::supposing("flush", "proud", "a flush end"));
        let marked = both.reckon(|(worm, end)| {
            let figure = |name: &str, shown: String| Figure::new(name, shown, Why::new(name));
            Ok(vec![
                figure("offset", "20 mm".into()),
                figure("turns", format!("{worm}")),
                figure("end", end.into()),
            ])
        });
        let because: Vec<Vec<Why>> = marked.unwrap().into_iter().map(|figure| figure.why.because).collect();
        assert_eq!(because, [vec![], vec![Why::assumed("a worm of 90")], vec![Why::assumed("a flush end")]]);
    }

    #[test]
    fn where_the_other_value_cannot_be_reckoned_everything_rests_on_the_first() {
        let given = Given::supposing(1, 0, "one");
        let marked = given.reckon(|value| match value {
            0 => Err(Problem::new("nought")),
            _ => Ok(vec![Figure::new("a", "1", Why::new("a"))]),
        });
        assert!(marked.unwrap()[0].assumed());
    }
}
