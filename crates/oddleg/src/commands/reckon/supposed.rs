//! Marking the figures that rest on what nobody said.
//!
//! A reckoning that lacks, say, the worm ratio is done with a supposed one. It is
//! done again with another, and the figures that come out otherwise are those
//! that rest on the supposition.

use workshop::problem::Problem;
use workshop::why::{Figure, Why};

/// Something supposed, and another value of it to try.
#[derive(Clone, Debug)]
pub struct Supposed<T> {
    /// What was supposed and how to say otherwise, as the reason will print it.
    pub statement: String,
    /// What to reckon with instead.
    pub otherwise: T,
}

/// Reckons with `value`, and marks each figure that any of `supposed` would change.
///
/// # Errors
///
/// What the reckoning with `value` finds wrong.
pub fn reckon<T>(
    value: T,
    supposed: Vec<Supposed<T>>,
    figures: impl Fn(T) -> Result<Vec<Figure>, Problem>,
) -> Result<Vec<Figure>, Problem> {
    let mut marked = figures(value)?;
    for Supposed { statement, otherwise } in supposed {
        // Where the other value cannot be reckoned at all, everything rests on it.
        let others = figures(otherwise).unwrap_or_default();
        for figure in &mut marked {
            let same = others.iter().any(|other| other.name == figure.name && other.shown == figure.shown);
            if !same {
                figure.why.because.push(Why::assumed(&statement));
            }
        }
    }
    Ok(marked)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_the_supposition_changes_is_marked() {
        let figures = |ratio: u32| {
            let fixed = Figure::new("offset", "20 mm", Why::new("radius and cutter"));
            Ok(vec![fixed, Figure::new("turns", format!("{}", ratio / 2), Why::new("half a turn"))])
        };
        let other = Supposed { statement: "a worm of 90".to_owned(), otherwise: 60 };
        let marked = reckon(90, vec![other], figures).unwrap();
        assert_eq!(marked.iter().map(Figure::assumed).collect::<Vec<_>>(), [false, true]);
        assert_eq!(marked[1].why.because, [Why::assumed("a worm of 90")]);
    }
}
