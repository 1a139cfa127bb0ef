//! `reckon groove`.

use workshop::problem::Outcome;
use workshop::settings::lathe;

use super::one;
use super::turning::Reads;
use crate::answer::Answer;
use crate::args;

/// Asks how far the tool goes in for a groove.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon groove 9.6mm --from 12mm --division 0.02mm --dial diameter")]
pub struct Groove {
    /// The diameter at its floor
    to: String,
    /// The diameter of the round that it is cut in
    #[arg(long, value_name = "SIZE")]
    from: String,
    /// A division of the cross-slide dial, as it is marked
    #[arg(long, value_name = "SIZE")]
    division: String,
    /// What the dial reads
    #[arg(long, value_name = "WHAT")]
    dial: Reads,
}

impl Groove {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [to, from, division] =
            args::sizes([("TO", &self.to), ("--from", &self.from), ("--division", &self.division)])?;
        let figure = lathe::groove(from, to, self.dial.into(), division).map_err(one)?;
        Ok(Answer::new(format!("a groove of {to} in {from}")).figures("", vec![figure]))
    }
}
