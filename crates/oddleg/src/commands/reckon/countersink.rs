//! `reckon countersink`.

use workshop::measure::read_angle;
use workshop::problem::Outcome;
use workshop::settings::countersink::{Countersink as Cone, figures};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks how far a countersink goes on after it touches.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg reckon countersink --diameter 8.4mm --hole 4.3mm --angle 90")]
pub struct Countersink {
    /// Across at the face
    #[arg(long, value_name = "SIZE")]
    diameter: String,
    /// Diameter of the hole
    #[arg(long, value_name = "SIZE")]
    hole: String,
    /// Angle of the whole cone
    #[arg(long, value_name = "ANGLE")]
    angle: String,
}

impl Countersink {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [diameter, hole] = args::sizes([("--diameter", &self.diameter), ("--hole", &self.hole)])?;
        let angle = read_angle(&self.angle).map_err(|fault| one(fault.at("--angle")))?;
        let found = figures(Cone { diameter, hole, angle }).map_err(one)?;
        Ok(Answer::new(format!("countersink {diameter} over a hole of {hole}")).figures("", found))
    }
}
