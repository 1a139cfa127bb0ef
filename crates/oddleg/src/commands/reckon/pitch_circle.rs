//! `reckon pitch-circle`.

use workshop::measure::read_angle;
use workshop::problem::Outcome;
use workshop::settings::pitch_circle::{PitchCircle as Circle, pitch_circle};

use super::one;
use super::supposed::readout_step;
use crate::answer::Answer;
use crate::args;

/// Asks for holes on a pitch circle.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon pitch-circle \"2 1/4 in\" --holes 6 --centre \"40 mm, 40 mm\" --first 30 --step 0.005mm")]
pub struct PitchCircle {
    /// Diameter through the centres of the holes
    diameter: String,
    /// How many holes
    #[arg(long, value_name = "N")]
    holes: u32,
    /// The centre from the datum, X then Y
    #[arg(long, value_name = "X,Y", default_value = "0 mm, 0 mm", allow_hyphen_values = true)]
    centre: String,
    /// The direction of the first hole, in degrees anticlockwise from X
    #[arg(long, value_name = "ANGLE", default_value = "0", allow_hyphen_values = true)]
    first: String,
    /// The smallest step of the readout
    #[arg(long, value_name = "SIZE")]
    step: Option<String>,
}

impl PitchCircle {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let diameter = args::size("DIAMETER", &self.diameter).map_err(one)?;
        let centre = args::place(&self.centre, "--centre").map_err(one)?;
        let first = read_angle(&self.first).map_err(|fault| one(fault.at("--first")))?;
        let given = readout_step(self.step.as_deref())?;
        let circle = Circle { x: centre.x, y: centre.y, diameter, holes: self.holes, first };
        let figures = given.reckon(|step| Ok(pitch_circle(circle, step)?.figures()));
        Ok(Answer::new(format!("{} holes on a circle of {diameter}", self.holes))
            .figures("", figures.map_err(one)?))
    }
}
