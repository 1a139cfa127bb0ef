//! `reckon two-balls`.

use workshop::problem::Outcome;
use workshop::settings::measuring::over_rollers::balls_in_bore;

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for the angle and mouth of a taper bore from two balls.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon two-balls 40mm --top 8mm --other 32mm --other-top=-76mm")]
pub struct TwoBalls {
    /// Across the larger ball
    large: String,
    /// How far its top stands above the face; below it is less than nought
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    top: String,
    /// Across the smaller ball
    #[arg(long, value_name = "SIZE")]
    other: String,
    /// How far the smaller ball's top stands above the face; below it is less than nought
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    other_top: String,
}

impl TwoBalls {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [large, small] = args::sizes([("LARGE", &self.large), ("--other", &self.other)])?;
        let tops = args::sizes([("--top", &self.top), ("--other-top", &self.other_top)])?;
        let found = balls_in_bore([large, small], tops).map_err(one)?;
        Ok(Answer::new(format!("balls of {large} and {small} in a taper bore")).figures("", found.figures()))
    }
}
