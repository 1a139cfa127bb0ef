//! `reckon milling`.

use clap::ValueEnum;
use workshop::bench::EndMill;
use workshop::problem::Outcome;
use workshop::settings::milling::{Asked, milling};
use workshop::settings::passes::Cut;
use workshop::tables::materials::{self, Operation};
use workshop::why::Why;

use super::one;
use super::speed::Spindle;
use super::supposed::readout_step;
use crate::answer::Answer;
use crate::args;

/// Asks for a whole cut: speed, feed, depths, side cuts, and whether the cutter stands it.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon milling \"mild steel\" side --cutter 10mm --teeth 4 --flute 22mm --stick-out 28mm \\
    --depth 12mm --side 6mm --finish-side 0.3mm --tolerance 0.05mm --step 0.005mm --speeds 180,300,500,800")]
pub struct Milling {
    /// The material
    material: String,
    /// How the cutter meets the work
    cut: Meets,
    /// Diameter of the cutter
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    /// Its teeth
    #[arg(long, value_name = "N")]
    teeth: u32,
    /// Length of its cutting edges
    #[arg(long, value_name = "SIZE")]
    flute: String,
    /// Length out of the collet
    #[arg(long, value_name = "SIZE")]
    stick_out: Option<String>,
    /// The whole depth along the cutter
    #[arg(long, value_name = "SIZE")]
    depth: String,
    /// Metal to take off sideways in all
    #[arg(long, value_name = "SIZE", default_value = "0 mm")]
    side: String,
    /// Of that, what a last light cut down the whole depth takes
    #[arg(long, value_name = "SIZE", default_value = "0 mm")]
    finish_side: String,
    /// What a last light pass over the floor takes
    #[arg(long, value_name = "SIZE", default_value = "0 mm")]
    finish_floor: String,
    /// How far the size may be out
    #[arg(long, value_name = "SIZE")]
    tolerance: Option<String>,
    /// What the motor gives at the cutter, in watts
    #[arg(long, value_name = "WATTS")]
    power: Option<f64>,
    /// The smallest step of the readout or dial
    #[arg(long, value_name = "SIZE")]
    step: Option<String>,
    #[command(flatten)]
    pub(super) spindle: Spindle,
}

/// How a cutter meets the work.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Meets {
    /// A slot as wide as the cutter
    Slot,
    /// With the side
    Side,
    /// Facing, with a fly cutter or a face mill
    Facing,
}

impl Milling {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let material = materials::find(&self.material).map_err(one)?;
        let [diameter, flute, depth, side, finish_side, finish_floor] = args::sizes([
            ("--cutter", &self.cutter),
            ("--flute", &self.flute),
            ("--depth", &self.depth),
            ("--side", &self.side),
            ("--finish-side", &self.finish_side),
            ("--finish-floor", &self.finish_floor),
        ])?;
        let size = |argument, text: &Option<String>| text.as_deref().map(|t| args::size(argument, t));
        let stick_out = size("--stick-out", &self.stick_out).transpose().map_err(one)?;
        let tolerance = size("--tolerance", &self.tolerance).transpose().map_err(one)?;
        let (speeds, supposed) = self.spindle.speeds(Operation::Milling)?;
        let mill = EndMill { stick_out, ..EndMill::new(diameter, flute, self.teeth) };
        let cut = match self.cut {
            Meets::Slot => Cut::Slot,
            Meets::Side => Cut::SideRoughing,
            Meets::Facing => Cut::Facing,
        };
        let given = readout_step(self.step.as_deref())?;
        let figures = given.reckon(|step| {
            let asked = Asked {
                cut,
                mill: &mill,
                depth,
                side,
                finish_side,
                finish_floor,
                tolerance,
                material,
                speeds: &speeds,
                power_w: self.power,
                step,
            };
            let mut figures = milling(asked)?.figures(material);
            if let Some(why) = &supposed {
                let rests = |name: &str| {
                    name == "spindle speed" || name == "feed" || name.ends_with("power at the cutter")
                };
                let supposed = |figure: &mut workshop::why::Figure| figure.why.because.push(Why::clone(why));
                figures.iter_mut().filter(|figure| rests(&figure.name)).for_each(supposed);
            }
            Ok(figures)
        });
        Ok(Answer::new(format!("cut {depth} deep in {}, cutter {diameter}", material.name))
            .figures("", figures.map_err(one)?))
    }
}
