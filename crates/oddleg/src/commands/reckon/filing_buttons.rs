//! `reckon filing-buttons`.

use workshop::problem::Outcome;
use workshop::settings::filing_buttons::{Boss, Finish, filing_buttons};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for a pair of filing buttons.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg reckon filing-buttons --diameter 14mm --bore 5mm --thickness 5mm")]
pub struct FilingButtons {
    /// Finished diameter of the rounded end
    #[arg(long, value_name = "SIZE")]
    diameter: String,
    /// The bore that the buttons are clamped through
    #[arg(long, value_name = "SIZE")]
    bore: String,
    /// Thickness of the end
    #[arg(long, value_name = "SIZE")]
    thickness: String,
    /// The end is polished after filing
    #[arg(long)]
    polished: bool,
}

impl FilingButtons {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [diameter, bore, thickness] = args::sizes([
            ("--diameter", &self.diameter),
            ("--bore", &self.bore),
            ("--thickness", &self.thickness),
        ])?;
        let finish = if self.polished { Finish::Polished } else { Finish::Filed };
        let boss = Boss { diameter, bore, thickness, finish };
        let figures = filing_buttons(boss).map_err(one)?.figures();
        Ok(Answer::new(format!("filing buttons for {diameter}")).figures("", figures))
    }
}
