//! `reckon force`.

use workshop::problem::Outcome;
use workshop::settings::force::{Load, Mill, ToolMaterial, effort};
use workshop::tables::materials;

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks what a cut does to the cutter and the motor.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon force \"mild steel\" --cutter 8mm --teeth 4 --flute 19mm --stick-out 25mm \\
    --deep 2mm --wide 4mm --per-tooth 0.03mm --speed 1000")]
pub struct Force {
    /// The material
    material: String,
    /// Diameter of the cutter
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    /// How many teeth it has
    #[arg(long, value_name = "N")]
    teeth: u32,
    /// Length of its cutting edges
    #[arg(long, value_name = "SIZE")]
    flute: String,
    /// Length out of the collet
    #[arg(long, value_name = "SIZE")]
    stick_out: String,
    /// Diameter of its shank; as the cutter's where left out
    #[arg(long, value_name = "SIZE")]
    shank: Option<String>,
    /// The cutter is of solid carbide, not of high-speed steel
    #[arg(long)]
    carbide: bool,
    /// Depth of the cut along the cutter
    #[arg(long, value_name = "SIZE")]
    deep: String,
    /// Width of the cut
    #[arg(long, value_name = "SIZE")]
    wide: String,
    /// Feed a tooth
    #[arg(long, value_name = "SIZE")]
    per_tooth: String,
    /// Turns a minute
    #[arg(long, value_name = "N")]
    speed: u32,
}

impl Force {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let material = materials::find(&self.material).map_err(one)?;
        let [diameter, flute_length, stick_out, shank, axial, radial, per_tooth] = args::sizes([
            ("--cutter", &self.cutter),
            ("--flute", &self.flute),
            ("--stick-out", &self.stick_out),
            ("--shank", self.shank.as_ref().unwrap_or(&self.cutter)),
            ("--deep", &self.deep),
            ("--wide", &self.wide),
            ("--per-tooth", &self.per_tooth),
        ])?;
        let tool = if self.carbide { ToolMaterial::Carbide } else { ToolMaterial::HighSpeedSteel };
        let mill = Mill { diameter, teeth: self.teeth, flute_length, stick_out, shank, material: tool };
        let load = Load { axial, radial, per_tooth, rev_per_min: self.speed };
        let figures = effort(mill, load, material).map_err(one)?.figures();
        Ok(Answer::new(format!("cut {axial} deep and {radial} wide in {}", material.name))
            .figures("", figures))
    }
}
