//! `reckon discs`.

use workshop::measure::{Length, read_angle};
use workshop::problem::Outcome;
use workshop::settings::measuring::discs::{discs_for, held_by};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks how far two discs stand apart for a taper, or what taper they hold.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon discs 20mm --and 12mm --angle 2.8642
  oddleg reckon discs 30mm --and 10mm --gap 5mm")]
pub struct Discs {
    /// Across the larger disc
    large: String,
    /// Across the smaller disc
    #[arg(long, value_name = "SIZE")]
    and: String,
    /// The whole angle to hold, from straight-edge to straight-edge
    #[arg(long, value_name = "ANGLE", conflicts_with = "gap")]
    angle: Option<String>,
    /// What is between the discs; nothing where they touch
    #[arg(long, value_name = "SIZE")]
    gap: Option<String>,
}

impl Discs {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let discs = args::sizes([("LARGE", &self.large), ("--and", &self.and)])?;
        let found = match &self.angle {
            Some(text) => {
                let angle = read_angle(text).map_err(|fault| one(fault.at("--angle")))?;
                discs_for(discs, angle)
            }
            None => {
                let gap = self.gap.as_ref().map(|text| args::size("--gap", text));
                held_by(discs, gap.transpose().map_err(one)?.unwrap_or(Length::ZERO))
            }
        };
        let [large, small] = discs;
        Ok(Answer::new(format!("discs of {large} and {small} with straight-edges against both"))
            .figures("", found.map_err(one)?.figures()))
    }
}
