//! `reckon protractor`.

use workshop::measure::{Angle, read_angle};
use workshop::problem::{Outcome, Problem};
use workshop::settings::measuring::protractor;
use workshop::why::Figure;

use super::one;
use crate::answer::Answer;

/// Asks what a protractor must read.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon protractor 30 --within \"0° 30'\" --step \"0° 5'\" --vernier")]
pub struct Protractor {
    /// The angle: degrees, or degrees, minutes and seconds
    angle: String,
    /// How far the angle may be out, either way
    #[arg(long, value_name = "ANGLE")]
    within: String,
    /// The smallest angle that the protractor shows
    #[arg(long, value_name = "ANGLE")]
    step: String,
    /// A vernier shows it; otherwise it is read by eye between marks
    #[arg(long)]
    vernier: bool,
}

impl Protractor {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let angle = read_angle(&self.angle).map_err(|fault| one(fault.at("ANGLE")))?;
        let within = more_than_nought("--within", &self.within)?;
        let step = more_than_nought("--step", &self.step)?;
        let found = protractor::Protractor { step, vernier: self.vernier }.reading(angle, within);
        let figure = Figure::new("should read", found.words(), found.why);
        Ok(Answer::new(format!("protractor at {}", angle.degrees_minutes())).figures("", vec![figure]))
    }
}

fn more_than_nought(name: &str, text: &str) -> Outcome<Angle> {
    let angle = read_angle(text).map_err(|fault| one(fault.at(name)))?;
    if angle > Angle::default() {
        return Ok(angle);
    }
    Err(one(Problem::new(format!("the angle is {}", angle.degrees_minutes()))
        .at(name)
        .why("it must be more than nought")
        .mend("give it as it is drawn or marked, such as `0° 5'`")))
}
