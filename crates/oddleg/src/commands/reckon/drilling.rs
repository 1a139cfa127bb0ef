//! `reckon drilling`.

use workshop::measure::Length;
use workshop::problem::Outcome;
use workshop::settings::drilling::{Asked, drilling};
use workshop::tables::materials::{self, Operation};
use workshop::why::{Figure, Why};

use super::one;
use super::speed::Spindle;
use crate::answer::Answer;
use crate::args;

/// Asks how a hole is drilled: speed, feed, torque, and whether the motor stands it.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon drilling \"mild steel\" --drill 13mm --follows 6mm --power 260 --speeds 90,180,340,600,1000")]
pub struct Drilling {
    /// The material
    material: String,
    /// Diameter of the drill
    #[arg(long, value_name = "SIZE")]
    drill: String,
    /// Diameter of the hole that it follows; in solid metal where left out
    #[arg(long, value_name = "SIZE")]
    follows: Option<String>,
    /// What the motor gives at the drill, in watts
    #[arg(long, value_name = "WATTS")]
    power: Option<f64>,
    #[command(flatten)]
    pub(super) spindle: Spindle,
}

impl Drilling {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let material = materials::find(&self.material).map_err(one)?;
        let diameter = args::size("--drill", &self.drill).map_err(one)?;
        let follows = self.follows.as_deref().map(|text| args::size("--follows", text));
        let follows: Option<Length> = follows.transpose().map_err(one)?;
        let (speeds, supposed) = self.spindle.speeds(Operation::Drilling)?;
        let follows = follows.unwrap_or_default();
        let asked = Asked { diameter, follows, material, speeds: &speeds, power_w: self.power };
        let mut figures = drilling(asked).map_err(one)?.figures(material);
        if let Some(why) = supposed {
            let supposed = |figure: &mut Figure| figure.why.because.push(Why::clone(&why));
            figures.iter_mut().filter(|figure| figure.name != "torque").for_each(supposed);
        }
        Ok(Answer::new(format!("drill {diameter} in {}", material.name)).figures("", figures))
    }
}
