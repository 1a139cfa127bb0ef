//! `reckon keyway`.

use workshop::problem::{Outcome, Problem};
use workshop::settings::keyway::{Keyway as Slot, keyway};

use super::one;
use super::turning::Reads;
use crate::answer::Answer;
use crate::args;

/// Asks how a keyway in a bore is planed, and which key goes into it.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon keyway 4mm --bore 12mm --depth 1.8mm --division 0.02mm --dial diameter
  oddleg reckon keyway \"1/8 in\" --bore \"1/2 in\" --depth \"1/16 in\"")]
pub struct Keyway {
    /// How wide it is
    width: String,
    /// Across its bore
    #[arg(long, value_name = "SIZE")]
    bore: String,
    /// From the wall of the bore to the floor, at its middle
    #[arg(long, value_name = "SIZE")]
    depth: String,
    /// A division of the cross-slide dial, as it is marked, where it is planed in the lathe
    #[arg(long, value_name = "SIZE", requires = "dial")]
    division: Option<String>,
    /// What that dial reads
    #[arg(long, value_name = "WHAT", requires = "division")]
    dial: Option<Reads>,
}

impl Keyway {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [width, bore, depth] =
            args::sizes([("WIDTH", &self.width), ("--bore", &self.bore), ("--depth", &self.depth)])?;
        let division = self.division.as_deref().map(|text| args::size("--division", text));
        let division = division.transpose().map_err(one)?;
        let dial = self.dial.map(Into::into).zip(division);
        let found = keyway(Slot { bore, width, depth, dial }).map_err(|fault: Problem| one(fault))?;
        Ok(Answer::new(format!("a keyway of {width} in a bore of {bore}")).figures("", found.figures()))
    }
}
