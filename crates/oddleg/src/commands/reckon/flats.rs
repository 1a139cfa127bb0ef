//! `reckon flats`.

use workshop::problem::Outcome;
use workshop::settings::flats::{Flats as Wanted, flats};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for flats on round work.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon flats 13mm --round 16mm --count 6")]
pub struct Flats {
    /// From flat to flat; of a single flat, to the far side of the round
    across: String,
    /// The round they are milled on
    #[arg(long, value_name = "SIZE")]
    round: String,
    /// How many: one, or an even number
    #[arg(long, value_name = "N")]
    count: u32,
}

impl Flats {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [across, round] = args::sizes([("ACROSS", &self.across), ("--round", &self.round)])?;
        let figures = flats(Wanted { round, across, count: self.count }).map_err(one)?.figures();
        let flats = if self.count == 1 { "1 flat".to_owned() } else { format!("{} flats", self.count) };
        Ok(Answer::new(format!("{flats}, {across} across, on {round}")).figures("", figures))
    }
}
