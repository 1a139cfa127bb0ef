//! `reckon boring`.

use workshop::problem::Outcome;
use workshop::settings::boring::{Bore, boring};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for the cuts that bore a hole to size.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon boring 22mm --drilled 20mm --greatest 0.5mm --finishing 0.1mm --step 0.01mm")]
pub struct Boring {
    /// The finished diameter
    finished: String,
    /// The diameter as drilled
    #[arg(long, value_name = "SIZE")]
    drilled: String,
    /// The most to take off the diameter in one cut
    #[arg(long, value_name = "SIZE")]
    greatest: String,
    /// What each of the two last cuts takes off the diameter
    #[arg(long, value_name = "SIZE")]
    finishing: String,
    /// Step of the boring head's dial, on the diameter
    #[arg(long, value_name = "SIZE")]
    step: String,
}

impl Boring {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [finished, drilled, greatest_cut, finishing_cut, step] = args::sizes([
            ("FINISHED", &self.finished),
            ("--drilled", &self.drilled),
            ("--greatest", &self.greatest),
            ("--finishing", &self.finishing),
            ("--step", &self.step),
        ])?;
        let bore = Bore { drilled, finished, greatest_cut, finishing_cut, step };
        let figures = boring(bore).map_err(one)?.figures();
        Ok(Answer::new(format!("boring {drilled} to {finished}")).figures("", figures))
    }
}
