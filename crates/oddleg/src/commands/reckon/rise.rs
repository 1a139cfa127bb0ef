//! `reckon rise`.

use workshop::problem::{Outcome, Problem};
use workshop::settings::measuring::arc::{radius_of, rise_of};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for the rise of an arc over a chord, or the radius that a rise tells.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon rise --chord 30mm --radius \"1 1/2 in\"
  oddleg reckon rise --chord 30mm --rise 3.05mm")]
pub struct Rise {
    /// From end to end of what lies across the arc
    #[arg(long, value_name = "SIZE")]
    chord: String,
    /// The radius, to be told the rise
    #[arg(long, value_name = "SIZE", conflicts_with = "rise")]
    radius: Option<String>,
    /// The rise as measured, to be told the radius
    #[arg(long, value_name = "SIZE")]
    rise: Option<String>,
}

impl Rise {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let chord = args::size("--chord", &self.chord).map_err(one)?;
        let found = match (&self.radius, &self.rise) {
            (Some(text), _) => rise_of(args::size("--radius", text).map_err(one)?, chord),
            (None, Some(text)) => radius_of(chord, args::size("--rise", text).map_err(one)?),
            (None, None) => Err(Problem::new("neither a radius nor a rise")
                .mend("add `--radius` to be told the rise, or `--rise` to be told the radius")),
        };
        Ok(Answer::new(format!("an arc over a chord of {chord}")).figures("", found.map_err(one)?.figures()))
    }
}
