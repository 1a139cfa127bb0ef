//! `reckon turning`.

use clap::ValueEnum;
use workshop::bench::DialReads;
use workshop::problem::Outcome;
use workshop::settings::lathe::{Turn, turning};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for the cuts that turn a diameter.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon turning 9.5mm --from 12mm --division 0.02mm --dial diameter
  oddleg reckon turning 9.5mm --from 12mm --greatest 0.5mm --finish 0.1mm --division 0.02mm --dial diameter")]
pub struct Turning {
    /// The finished diameter
    to: String,
    /// The diameter as it is
    #[arg(long, value_name = "SIZE")]
    from: String,
    /// How far the tool may go in for one roughing cut; as the sheets have it where left out
    #[arg(long, value_name = "SIZE")]
    greatest: Option<String>,
    /// How far the tool goes in for the last cut; as the sheets have it where left out
    #[arg(long, value_name = "SIZE")]
    finish: Option<String>,
    /// A division of the cross-slide dial, as it is marked
    #[arg(long, value_name = "SIZE")]
    division: String,
    /// What the dial reads
    #[arg(long, value_name = "WHAT")]
    dial: Reads,
}

/// What a cross-slide dial reads.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum Reads {
    /// What comes off the diameter
    Diameter,
    /// How far the tool moves
    Radius,
}

impl From<Reads> for DialReads {
    fn from(reads: Reads) -> Self {
        match reads {
            Reads::Diameter => Self::Diameter,
            Reads::Radius => Self::Radius,
        }
    }
}

impl Turning {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [to, from, division] =
            args::sizes([("TO", &self.to), ("--from", &self.from), ("--division", &self.division)])?;
        let said = |argument, text: &Option<String>| {
            text.as_deref().map(|text| args::size(argument, text)).transpose().map_err(one)
        };
        let mut turn = Turn::usual(from, to, self.dial.into(), division);
        turn.greatest_cut = said("--greatest", &self.greatest)?.unwrap_or(turn.greatest_cut);
        turn.finish = said("--finish", &self.finish)?.unwrap_or(turn.finish);
        let figures = turning(turn).map_err(one)?.figures();
        Ok(Answer::new(format!("turning {from} to {to}")).figures("", figures))
    }
}
