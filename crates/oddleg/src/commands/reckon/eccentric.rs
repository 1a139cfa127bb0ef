//! `reckon eccentric`.

use workshop::problem::Outcome;
use workshop::settings::eccentric::{Eccentric as SetOff, eccentric};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks how work is set off its axis.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon eccentric \"3/16 in\" --gripped 30mm")]
pub struct Eccentric {
    /// The throw: from the axis the work has to the one it is to turn about
    throw: String,
    /// Across the round that the chuck grips
    #[arg(long, value_name = "SIZE")]
    gripped: String,
}

impl Eccentric {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [throw, gripped] = args::sizes([("THROW", &self.throw), ("--gripped", &self.gripped)])?;
        let figures = eccentric(SetOff { throw, gripped }).map_err(one)?.figures();
        Ok(Answer::new(format!("a throw of {throw} on {gripped}")).figures("", figures))
    }
}
