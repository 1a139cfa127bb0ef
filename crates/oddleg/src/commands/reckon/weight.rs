//! `reckon weight`.

use workshop::bench::Section;
use workshop::measure::Length;
use workshop::problem::{Outcome, Problem};
use workshop::settings::cutting::weight::weigh;
use workshop::tables::materials;

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks what a length of bar or plate weighs.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon weight \"mild steel\" --length 300mm --round \"3/4 in\"
  oddleg reckon weight brass --length 120mm --flat 10mm --width 50mm")]
pub struct Weight {
    /// The material
    material: String,
    /// How long
    #[arg(long, value_name = "SIZE")]
    length: String,
    /// Round bar, across
    #[arg(long, value_name = "SIZE", conflicts_with_all = ["hexagon", "flat"])]
    round: Option<String>,
    /// Hexagon bar, across the flats
    #[arg(long, value_name = "SIZE", conflicts_with = "flat")]
    hexagon: Option<String>,
    /// Flat bar or plate, its thickness
    #[arg(long, value_name = "SIZE", requires = "width")]
    flat: Option<String>,
    /// The width of a flat
    #[arg(long, value_name = "SIZE")]
    width: Option<String>,
}

impl Weight {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let material = materials::find(&self.material).map_err(one)?;
        let length = args::size("--length", &self.length).map_err(one)?;
        let size = |argument: &str, text: &str| args::size(argument, text).map_err(one);
        let section = match (&self.round, &self.hexagon, &self.flat) {
            (Some(text), ..) => Section::Round { diameter: size("--round", text)? },
            (_, Some(text), _) => Section::Hexagon { across: size("--hexagon", text)? },
            (.., Some(text)) => {
                let width = size("--width", self.width.as_deref().unwrap_or_default())?;
                Section::Flat { thickness: size("--flat", text)?, width: Some(width) }
            }
            _ => {
                let fault = Problem::new("nothing says what section it has");
                return Err(vec![fault.mend("add `--round`, `--hexagon`, or `--flat` with `--width`")]);
            }
        };
        let found = weigh(material, section, length, Length::ZERO).map_err(one)?;
        Ok(Answer::new(format!("{length} of {}", material.name)).figures("", found.figures()))
    }
}
