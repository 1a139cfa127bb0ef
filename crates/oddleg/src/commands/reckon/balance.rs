//! `reckon balance`.

use workshop::problem::Outcome;
use workshop::settings::balance::{Heavy, balance};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks what balances work that turns about an axis beside its own middle.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon balance --grams 769 --off 3mm --swing 180mm")]
pub struct Balance {
    /// What the work weighs
    #[arg(long, value_name = "GRAMS")]
    grams: f64,
    /// From its middle to the axis it turns about
    #[arg(long, value_name = "SIZE")]
    off: String,
    /// What the lathe swings, across
    #[arg(long, value_name = "SIZE")]
    swing: String,
}

impl Balance {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [off, swing] = args::sizes([("--off", &self.off), ("--swing", &self.swing)])?;
        let heavy = Heavy { grams: self.grams, off_mm: off.as_mm(), swing };
        let found = balance(heavy).map_err(one)?;
        let answer = Answer::new(format!("{} g, {off} off the axis", self.grams));
        Ok(match found {
            Some(figure) => answer.figures("", vec![figure]),
            None => {
                answer.lines("", vec!["so little does not shake a lathe: nothing is bolted on".to_owned()])
            }
        })
    }
}
