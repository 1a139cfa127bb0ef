//! `reckon taper-turning`.

use workshop::problem::Outcome;
use workshop::settings::taper::{Cone, set_over_figure, taper};
use workshop::settings::taper_way::{Asked, way};
use workshop::why::Figure;

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for the way, the top slide's angle, or the set-over.
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
    /// One of its diameters is held within a tolerance
    #[arg(long)]
    close: bool,
    /// The work hangs between centres as it is
    #[arg(long)]
    centres: bool,
    /// How far the top slide travels
    #[arg(long, value_name = "SIZE")]
    top_slide: Option<String>,
    /// How far the tailstock goes over
    #[arg(long, value_name = "SIZE")]
    set_over: Option<String>,
}

impl TaperTurning {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [large, small, length] =
            args::sizes([("LARGE", &self.large), ("--to", &self.to), ("--length", &self.length)])?;
        let cone = Cone { large, small, length };
        let size = |argument, text: &Option<String>| {
            text.as_deref().map(|text| args::size(argument, text)).transpose().map_err(one)
        };
        let asked = Asked {
            cone,
            work: size("--between-centres", &self.between_centres)?.unwrap_or(length),
            close: self.close,
            centres: self.centres,
            top_slide: size("--top-slide", &self.top_slide)?,
            set_over: size("--set-over", &self.set_over)?,
        };
        let mut figures = taper(cone).map_err(one)?.figures();
        let (way, because) = way(asked).map_err(one)?;
        figures.insert(0, Figure::new("way", way.words(), because));
        if self.between_centres.is_some() {
            figures.push(set_over_figure(cone, asked.work).map_err(one)?);
        }
        Ok(Answer::new(format!("taper from {large} to {small} over {length}")).figures("", figures))
    }
}
