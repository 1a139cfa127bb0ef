//! `reckon slitting`.

use workshop::bench::Saw;
use workshop::problem::Outcome;
use workshop::settings::slitting::slitting;
use workshop::tables::materials::{self, Operation};
use workshop::why::Why;

use super::one;
use super::speed::Spindle;
use crate::answer::Answer;
use crate::args;

/// Asks for the speed, feed and reach of a slitting saw.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon slitting \"mild steel\" --saw 63mm --collar 25mm --width 0.8mm --teeth 64 \\
    --depth 12mm --aim 15 --per-tooth 0.01mm --speeds 90,180,340")]
pub struct Slitting {
    /// The material
    material: String,
    /// Diameter of the saw
    #[arg(long, value_name = "SIZE")]
    saw: String,
    /// Diameter of the collars beside it
    #[arg(long, value_name = "SIZE")]
    collar: String,
    /// Its thickness
    #[arg(long, value_name = "SIZE")]
    width: String,
    /// Its teeth
    #[arg(long, value_name = "N")]
    teeth: u32,
    /// Depth of the slit
    #[arg(long, value_name = "SIZE")]
    depth: String,
    /// Cutting speed in metres a minute; the lowest for milling the material where left out
    #[arg(long, value_name = "N")]
    aim: Option<u32>,
    /// Feed a tooth
    #[arg(long, value_name = "SIZE")]
    per_tooth: String,
    #[command(flatten)]
    pub(super) spindle: Spindle,
}

impl Slitting {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let material = materials::find(&self.material).map_err(one)?;
        let [diameter, collar, width, depth, per_tooth] = args::sizes([
            ("--saw", &self.saw),
            ("--collar", &self.collar),
            ("--width", &self.width),
            ("--depth", &self.depth),
            ("--per-tooth", &self.per_tooth),
        ])?;
        let (speeds, supposed) = self.spindle.speeds(Operation::Milling)?;
        let row = material.speed(Operation::Milling);
        let (aim, mut why) = match self.aim {
            Some(aim) => (aim, Why::new(format!("{aim} m/min was asked for")).source("the command line")),
            None => {
                let aim = row.low_m_per_min;
                let said = format!(
                    "{} is sawn at {aim} m/min, as it is milled: say yours with `--aim`",
                    material.name
                );
                (aim, Why::assumed(said).source(row.source.to_string()))
            }
        };
        why.because.extend(supposed);
        let saw = Saw { diameter, width, collar, teeth: self.teeth };
        let figures = slitting(&saw, depth, aim.into(), per_tooth, &speeds).map_err(one)?.figures(why);
        Ok(Answer::new(format!("slit {depth} deep in {}", material.name)).figures("", figures))
    }
}
