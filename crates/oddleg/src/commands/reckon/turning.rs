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
#[command(after_help = "Example:
  oddleg reckon turning 9.5mm --from 12mm --greatest 0.5mm --finish 0.1mm --division 0.02mm --dial diameter")]
pub struct Turning {
    /// The finished diameter
    to: String,
    /// The diameter as it is
    #[arg(long, value_name = "SIZE")]
    from: String,
    /// How far the tool may go in for one roughing cut
    #[arg(long, value_name = "SIZE")]
    greatest: String,
    /// How far the tool goes in for the last cut
    #[arg(long, value_name = "SIZE")]
    finish: String,
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
        let [to, from, greatest_cut, finish, division] = args::sizes([
            ("TO", &self.to),
            ("--from", &self.from),
            ("--greatest", &self.greatest),
            ("--finish", &self.finish),
            ("--division", &self.division),
        ])?;
        let turn = Turn { from, to, greatest_cut, finish, dial: self.dial.into(), division };
        let figures = turning(turn).map_err(one)?.figures();
        Ok(Answer::new(format!("turning {from} to {to}")).figures("", figures))
    }
}
