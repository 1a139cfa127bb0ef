//! `reckon counterbore`.

use workshop::problem::Outcome;
use workshop::settings::counterbore::{Head, counterbore};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for a counterbore.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon counterbore --head 5.5mm --height 3mm --thickness 8mm --cutters 6mm,8mm")]
pub struct Counterbore {
    /// Diameter of the screw's head
    #[arg(long, value_name = "SIZE")]
    head: String,
    /// Height of the head
    #[arg(long, value_name = "SIZE")]
    height: String,
    /// Thickness of the metal
    #[arg(long, value_name = "SIZE")]
    thickness: String,
    /// How far the head lies below the face
    #[arg(long, value_name = "SIZE", default_value = "0 mm")]
    below: String,
    /// Diameters of the counterbores and end mills to choose from
    #[arg(long, value_name = "SIZE,SIZE,…", value_delimiter = ',', required = true)]
    cutters: Vec<String>,
}

impl Counterbore {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [diameter, height, thickness, below] = args::sizes([
            ("--head", &self.head),
            ("--height", &self.height),
            ("--thickness", &self.thickness),
            ("--below", &self.below),
        ])?;
        let cutters = args::all(self.cutters.iter().map(|text| args::size("--cutters", text)))?;
        let head = Head { diameter, height, below, thickness };
        let figures = counterbore(head, &cutters).map_err(one)?.figures();
        Ok(Answer::new(format!("counterbore for a head of {diameter}")).figures("", figures))
    }
}
