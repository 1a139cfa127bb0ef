//! `reckon over-rollers`.

use workshop::problem::Outcome;
use workshop::settings::measuring::over_rollers::{StandsOn, over_rollers};
use workshop::settings::taper::Cone;

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks what an outside taper measures over two rollers.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon over-rollers 20mm --to 16mm --length 60mm --roller 8mm --blocks 30mm")]
pub struct OverRollers {
    /// The large diameter
    large: String,
    /// The small diameter
    #[arg(long, value_name = "SIZE")]
    to: String,
    /// Along the axis from one to the other
    #[arg(long, value_name = "SIZE")]
    length: String,
    /// Across each roller
    #[arg(long, value_name = "SIZE")]
    roller: String,
    /// The blocks under the rollers for the second reading
    #[arg(long, value_name = "SIZE")]
    blocks: String,
    /// It stands on its large end
    #[arg(long)]
    large_end_down: bool,
}

impl OverRollers {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [large, small, length, roller, blocks] = args::sizes([
            ("LARGE", &self.large),
            ("--to", &self.to),
            ("--length", &self.length),
            ("--roller", &self.roller),
            ("--blocks", &self.blocks),
        ])?;
        let stands = if self.large_end_down { StandsOn::Large } else { StandsOn::Small };
        let found = over_rollers(Cone { large, small, length }, stands, roller, blocks).map_err(one)?;
        Ok(Answer::new(format!("taper from {large} to {small} over rollers")).figures("", found.figures()))
    }
}
