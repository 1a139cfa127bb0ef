//! `shelf fit`, and `reckon fit`, which is the same question.

use workshop::measure::{Unit, read_length};
use workshop::problem::Problem;
use workshop::tables::fits;

use crate::answer::Answer;
use crate::args;

/// Asks for the limits of a fit.
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  oddleg shelf fit 12 H7/g6\n  oddleg shelf fit 3/8in running")]
pub struct Fit {
    /// The nominal size with its unit: `12mm`, `3/8in`; beside a class a bare number is mm
    size: String,
    /// `H7/g6`, one class such as `H7` or `h9`, or a word such as `running`
    fit: String,
}

impl Fit {
    /// Looks it up.
    pub fn run(&self) -> Result<Answer, Problem> {
        let asked = self.fit.trim();
        // The sizes of ISO 286 are millimetres: beside one of its classes a bare
        // number is no riddle.
        let classed = asked.contains('/') || asked.ends_with(|c: char| c.is_ascii_digit());
        let bare = classed && read_length(&self.size, None).is_err();
        let millimetres = bare.then(|| read_length(&self.size, Some(Unit::Mm)).ok()).flatten();
        let size = match millimetres {
            Some(written) => written.length,
            None => args::size("SIZE", &self.size)?,
        };
        let figures = if asked.contains('/') {
            fits::fit(asked, size)?.describe()
        } else if asked.ends_with(|c: char| c.is_ascii_digit()) {
            fits::limits(asked, size)?.describe()
        } else {
            fits::plain_fit(asked, size)?.describe()
        };
        Ok(Answer::new(format!("{asked} at {size}")).figures("", figures))
    }
}
