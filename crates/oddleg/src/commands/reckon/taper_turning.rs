//! `reckon taper-turning`.

use workshop::problem::Outcome;
use workshop::settings::taper::{Cone, set_over_figure, taper};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for the top slide's angle, or the set-over.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon taper-turning \"3/4 in\" --to \"1/2 in\" --length \"1 1/2 in\"
  oddleg reckon taper-turning 20mm --to 18mm --length 100mm --between-centres 240mm")]
pub struct TaperTurning {
    /// The large diameter
    large: String,
    /// The small diameter
    #[arg(long, value_name = "SIZE")]
    to: String,
    /// Along the axis from one to the other
    #[arg(long, value_name = "SIZE")]
    length: String,
    /// Length of the work over all: gives the set-over of the tailstock too
    #[arg(long, value_name = "SIZE")]
    between_centres: Option<String>,
}

impl TaperTurning {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [large, small, length] =
            args::sizes([("LARGE", &self.large), ("--to", &self.to), ("--length", &self.length)])?;
        let cone = Cone { large, small, length };
        let mut figures = taper(cone).map_err(one)?.figures();
        if let Some(text) = &self.between_centres {
            let work = args::size("--between-centres", text).map_err(one)?;
            figures.push(set_over_figure(cone, work).map_err(one)?);
        }
        Ok(Answer::new(format!("taper from {large} to {small} over {length}")).figures("", figures))
    }
}
