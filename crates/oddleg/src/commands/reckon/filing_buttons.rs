//! `reckon filing-buttons`.

use workshop::problem::Outcome;
use workshop::settings::filing_buttons::{Boss, Finish, filing_buttons};
use workshop::settings::plain_buttons::{Lie, plain_buttons};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for a pair of filing buttons.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon filing-buttons --diameter 14mm --bore 5mm --thickness 5mm
  oddleg reckon filing-buttons --diameter 12mm")]
pub struct FilingButtons {
    /// Finished diameter of the rounded end
    #[arg(long, value_name = "SIZE")]
    diameter: String,
    /// The bore that the buttons are clamped through; without one they are plain discs, set by eye
    #[arg(long, value_name = "SIZE", requires = "thickness")]
    bore: Option<String>,
    /// Thickness of the end
    #[arg(long, value_name = "SIZE", requires = "bore")]
    thickness: Option<String>,
    /// The plain discs lie flush with both sides of a corner, not over a punched centre
    #[arg(long, conflicts_with = "bore")]
    corner: bool,
    /// The end is polished after filing
    #[arg(long)]
    polished: bool,
}

impl FilingButtons {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let (Some(bore), Some(thickness)) = (&self.bore, &self.thickness) else {
            let diameter = args::size("--diameter", &self.diameter).map_err(one)?;
            let lie = if self.corner { Lie::FlushWithBothSides } else { Lie::OverItsCentre };
            let figures = plain_buttons(diameter, lie).map_err(one)?.figures();
            return Ok(Answer::new(format!("plain filing buttons for {diameter}")).figures("", figures));
        };
        let [diameter, bore, thickness] =
            args::sizes([("--diameter", &self.diameter), ("--bore", bore), ("--thickness", thickness)])?;
        let finish = if self.polished { Finish::Polished } else { Finish::Filed };
        let boss = Boss { diameter, bore, thickness, finish };
        let figures = filing_buttons(boss).map_err(one)?.figures();
        Ok(Answer::new(format!("filing buttons for {diameter}")).figures("", figures))
    }
}
