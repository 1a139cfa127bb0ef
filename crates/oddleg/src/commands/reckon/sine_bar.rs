//! `reckon sine-bar`.

use workshop::measure::{Length, read_angle};
use workshop::problem::Outcome;
use workshop::settings::measuring::sine_bar::sine_bar;

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for the stack under a sine bar.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon sine-bar 100mm --angle 27
  oddleg reckon sine-bar \"5 in\" --angle 5.7248 --block 1.07mm --block 1.6mm --block 2mm --block 10mm")]
pub struct SineBar {
    /// From roller to roller
    bar: String,
    /// The angle: degrees, or degrees, minutes and seconds
    #[arg(long, value_name = "ANGLE")]
    angle: String,
    /// A gauge block that is there; may be given more than once
    #[arg(long, value_name = "SIZE")]
    block: Vec<String>,
}

impl SineBar {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let bar = args::size("BAR", &self.bar).map_err(one)?;
        let angle = read_angle(&self.angle).map_err(|fault| one(fault.at("--angle")))?;
        let blocks: Vec<Length> = args::all(self.block.iter().map(|text| args::size("--block", text)))?;
        let found = sine_bar(bar, angle, &blocks, Length::microns(1)).map_err(one)?;
        Ok(Answer::new(format!("sine bar of {bar} at {}", angle.decimals(4))).figures("", found.figures()))
    }
}
