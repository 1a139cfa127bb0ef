//! `reckon dividing`.

use workshop::measure::read_angle;
use workshop::problem::Outcome;
use workshop::settings::dividing::{Division, dividing};

use super::one;
use crate::answer::Answer;

/// Asks for turns and holes.
#[derive(clap::Args)]
#[command(group(clap::ArgGroup::new("what").required(true)))]
#[command(after_help = "Examples:
  oddleg reckon dividing --parts 24 --ratio 40 --circles 15,16,17,18,19,20
  oddleg reckon dividing --by \"12° 30'\" --ratio 90")]
pub struct Dividing {
    /// A whole turn into so many equal parts
    #[arg(long, value_name = "N", group = "what")]
    parts: Option<u32>,
    /// One angle after another
    #[arg(long, value_name = "ANGLE", group = "what")]
    by: Option<String>,
    /// Turns of the handle for one turn of the work
    #[arg(long, value_name = "N")]
    ratio: u32,
    /// Holes in each circle of the plates; none for a plain rotary table
    #[arg(long, value_name = "N,N,…", value_delimiter = ',')]
    circles: Vec<u32>,
    /// The smallest mark that a plain table can be set to: then each place has its reading
    #[arg(long, value_name = "ANGLE")]
    reads: Option<String>,
}

impl Dividing {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let (division, title) = match (&self.by, self.parts) {
            (Some(text), _) => {
                let angle = read_angle(text).map_err(|fault| one(fault.at("--by")))?;
                (Division::By(angle), format!("dividing by {}", angle.degrees_minutes()))
            }
            (None, parts) => {
                let parts = parts.unwrap_or_default();
                (Division::Parts(parts), format!("dividing into {parts}"))
            }
        };
        let found = dividing(self.ratio, division, &self.circles).map_err(one)?;
        let mut figures = found.figures();
        if let Some(text) = &self.reads {
            let reads = read_angle(text).map_err(|fault| one(fault.at("--reads")))?;
            figures.extend(found.reading_figures(reads).map_err(one)?);
        }
        Ok(Answer::new(title).figures("", figures))
    }
}
