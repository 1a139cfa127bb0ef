//! `reckon passes`.

use clap::ValueEnum;
use workshop::problem::Outcome;
use workshop::settings::passes::{Cut, greatest_bite, passes};
use workshop::tables::materials;
use workshop::why::Figure;

use super::one;
use super::supposed::readout_step;
use crate::answer::Answer;
use crate::args;

/// Asks how to divide a depth into passes.
#[derive(clap::Args)]
#[command(
    after_help = "Example:\n  oddleg reckon passes \"mild steel\" slot --depth 6mm --cutter 8mm --finish 0.2mm"
)]
pub struct Passes {
    /// The material
    material: String,
    /// How the cutter meets the work
    cut: Meets,
    /// The whole depth
    #[arg(long, value_name = "SIZE")]
    depth: String,
    /// Diameter of the cutter
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    /// What a last light pass takes; nought for none
    #[arg(long, value_name = "SIZE", default_value = "0 mm")]
    finish: String,
    /// The smallest step of the readout or dial
    #[arg(long, value_name = "SIZE")]
    step: Option<String>,
}

/// How a cutter meets the work.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Meets {
    /// A slot as wide as the cutter
    Slot,
    /// Roughing with the side
    Side,
    /// Facing, with a fly cutter or a face mill
    Facing,
}

impl Passes {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let material = materials::find(&self.material).map_err(one)?;
        let [depth, cutter, finish] =
            args::sizes([("--depth", &self.depth), ("--cutter", &self.cutter), ("--finish", &self.finish)])?;
        let given = readout_step(self.step.as_deref())?;
        let cut = match self.cut {
            Meets::Slot => Cut::Slot,
            Meets::Side => Cut::SideRoughing,
            Meets::Facing => Cut::Facing,
        };
        let bite = greatest_bite(cut, cutter, material);
        let figures = given.reckon(|step| {
            let mut figures = passes(depth, bite.axial.unwrap_or(depth), finish, step)?.figures();
            figures.iter_mut().for_each(|figure| figure.why.because.push(bite.why.clone()));
            figures.push(Figure::new(
                "greatest width",
                format!("{} mm", bite.radial.shown(2)),
                bite.why.clone(),
            ));
            Ok(figures)
        });
        Ok(Answer::new(format!("{depth} deep in {}, cutter {cutter}", material.name))
            .figures("", figures.map_err(one)?))
    }
}
