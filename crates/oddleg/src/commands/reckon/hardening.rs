//! `reckon hardening`.

use workshop::problem::Outcome;
use workshop::settings::hardening::{let_down, quench, try_hard};
use workshop::tables::{hardening, materials};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks how steel is hardened and let down.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon hardening \"silver steel\" --thickest 8mm --temper straw")]
pub struct Hardening {
    /// The steel
    material: String,
    /// The thickest section that is heated
    #[arg(long, value_name = "SIZE")]
    thickest: String,
    /// The colour it is let down to: straw, brown, purple or blue
    #[arg(long, value_name = "COLOUR")]
    temper: String,
}

impl Hardening {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let material = materials::find(&self.material).map_err(one)?;
        let steel = hardening::of(&material.name).map_err(one)?;
        let thickest = args::size("--thickest", &self.thickest).map_err(one)?;
        let temper = hardening::temper(&self.temper).map_err(|fault| one(fault.at("--temper")))?;
        let mut figures = quench(steel, thickest).map_err(one)?;
        figures.push(try_hard());
        Ok(Answer::new(format!("harden {} of {thickest}, let down to {}", steel.material, temper.colour))
            .figures("harden", figures)
            .figures("temper", let_down(temper)))
    }
}
