//! `reckon stepped-curve`.

use workshop::measure::read_angle;
use workshop::problem::Outcome;
use workshop::settings::rotary::Arc;
use workshop::settings::stepped_curve::{Curve, stepped_curve};

use super::arc::Stays;
use super::one;
use super::supposed::readout_step;
use crate::answer::Answer;
use crate::args;

/// Asks for the places of a cutter that steps round an arc.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon stepped-curve --radius 20mm --metal inside --start 0 --sweep 30 --centre \"40 mm, 25 mm\" \\
    --cutter 10mm --cusp 0.05mm --step 0.005mm")]
pub struct SteppedCurve {
    /// Radius of the arc
    #[arg(long, value_name = "SIZE")]
    radius: String,
    /// On which side of the arc the metal stays
    #[arg(long, value_name = "SIDE")]
    metal: Stays,
    /// The direction of its first point from its centre, anticlockwise from X
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    start: String,
    /// How far it runs anticlockwise from there
    #[arg(long, value_name = "ANGLE")]
    sweep: String,
    /// Its centre from the datum, X then Y
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    centre: String,
    /// Diameter of the cutter
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    /// The highest cusp that may be left to file
    #[arg(long, value_name = "SIZE")]
    cusp: String,
    /// The smallest step of the readout
    #[arg(long, value_name = "SIZE")]
    step: Option<String>,
}

impl SteppedCurve {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [radius, cutter, cusp] =
            args::sizes([("--radius", &self.radius), ("--cutter", &self.cutter), ("--cusp", &self.cusp)])?;
        let start = read_angle(&self.start).map_err(|fault| one(fault.at("--start")))?;
        let sweep = read_angle(&self.sweep).map_err(|fault| one(fault.at("--sweep")))?;
        let centre = args::place(&self.centre, "--centre").map_err(one)?;
        let arc = Arc { radius, metal: self.metal.metal(), start, sweep };
        let given = readout_step(self.step.as_deref())?;
        let figures = given.reckon(|step| {
            Ok(stepped_curve(Curve { arc, x: centre.x, y: centre.y, cutter, cusp, step }, &[])?.figures())
        });
        Ok(Answer::new(format!("curve of radius {radius} in steps, cutter {cutter}"))
            .figures("", figures.map_err(one)?))
    }
}
