//! `reckon dial`.

use workshop::bench::DialReads;
use workshop::measure::Length;
use workshop::problem::Outcome;
use workshop::settings::handwheel::{Handwheel, wind};

use super::one;
use super::supposed::Given;
use crate::answer::Answer;
use crate::args;

/// Asks for turns and divisions.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg reckon dial \"27/32 in\" --pitch 2mm --divisions 100")]
pub struct Dial {
    /// How far to go from the datum; less than nought to wind down
    #[arg(allow_hyphen_values = true)]
    length: String,
    /// How far one turn moves the slide
    #[arg(long, value_name = "SIZE")]
    pitch: String,
    /// Divisions on the dial
    #[arg(long, value_name = "N")]
    divisions: u32,
    /// The dial is marked for the change in diameter, and so is the length
    #[arg(long)]
    diameter: bool,
    /// Slack of the screw, as travel
    #[arg(long, value_name = "SIZE")]
    backlash: Option<String>,
}

impl Dial {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [length, lead, backlash] = args::sizes([
            ("LENGTH", &self.length),
            ("--pitch", &self.pitch),
            ("--backlash", self.backlash.as_deref().unwrap_or("0 mm")),
        ])?;
        let reads = if self.diameter { DialReads::Diameter } else { DialReads::Radius };
        let handwheel = Handwheel { lead, divisions: self.divisions, backlash, reads };
        let given = match self.backlash {
            Some(_) => Given::said(handwheel),
            None => {
                let slack = Handwheel { backlash: Length::mm(1), ..handwheel };
                Given::supposing(handwheel, slack, "no slack in the screw: say yours with `--backlash`")
            }
        };
        let figures = given.reckon(|handwheel| Ok(wind(handwheel, length)?.figures()));
        Ok(Answer::new(format!("{length} on a dial of {} by {lead}", self.divisions))
            .figures("", figures.map_err(one)?))
    }
}
