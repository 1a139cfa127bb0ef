//! `reckon knurl`.

use clap::ValueEnum;
use workshop::drawing;
use workshop::problem::Outcome;
use workshop::settings::knurl::{Knurl as Rolled, knurl};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for the blank before a knurl.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon knurl 12mm --pitch 0.8mm --pattern diamond")]
pub struct Knurl {
    /// The diameter over the ridges
    diameter: String,
    /// From one ridge to the next
    #[arg(long, value_name = "SIZE")]
    pitch: String,
    /// How the ridges run
    #[arg(long, value_name = "HOW")]
    pattern: Pattern,
}

/// How the ridges of a knurl run.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Pattern {
    /// Along the axis
    Straight,
    /// Crossing each other
    Diamond,
}

impl Knurl {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [finished, pitch] = args::sizes([("DIAMETER", &self.diameter), ("--pitch", &self.pitch)])?;
        let pattern = match self.pattern {
            Pattern::Straight => drawing::Pattern::Straight,
            Pattern::Diamond => drawing::Pattern::Diamond,
        };
        let figures = knurl(Rolled { finished, pitch, pattern }).map_err(one)?.figures();
        Ok(Answer::new(format!("a knurl of {pitch} on {finished}")).figures("", figures))
    }
}
