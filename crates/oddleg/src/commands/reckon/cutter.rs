//! `reckon cutter`.

use workshop::bench::EndMill;
use workshop::measure::Length;
use workshop::problem::{Outcome, Problem};
use workshop::settings::cutter::{Asked, choose};

use super::one;
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks which end mill to use.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon cutter --depth 8mm --corner 3mm --owned 4mm/11mm,6mm/13mm,10mm/22mm")]
pub struct Cutter {
    /// How deep the cut goes along the cutter
    #[arg(long, value_name = "SIZE")]
    depth: String,
    /// The smallest inside corner it has to leave
    #[arg(long, value_name = "SIZE")]
    corner: Option<String>,
    /// The narrowest place it has to pass
    #[arg(long, value_name = "SIZE")]
    gap: Option<String>,
    /// The end mills to choose from, each its diameter and the length of its flutes
    #[arg(long, value_name = "D/FLUTES,…", value_delimiter = ',')]
    owned: Vec<String>,
    #[command(flatten)]
    pub(super) bench: BenchArg,
}

impl Cutter {
    /// Chooses it.
    pub fn run(&self) -> Outcome<Answer> {
        let depth = args::size("--depth", &self.depth).map_err(one)?;
        let size = |argument, text: &Option<String>| text.as_deref().map(|t| args::size(argument, t));
        let corner_radius = size("--corner", &self.corner).transpose().map_err(one)?;
        let gap = size("--gap", &self.gap).transpose().map_err(one)?;
        let said = args::all(self.owned.iter().map(|text| end_mill(text)))?;
        let owned = match (said.is_empty(), self.bench.read()?) {
            (false, _) => said,
            (true, Some(bench)) => bench.end_mills,
            (true, None) => {
                return Err(one(Problem::new("nobody has said which end mills there are")
                    .why("the choice is among those owned")
                    .mend(
                        "list them with `--owned 6mm/13mm,10mm/22mm`, or name your bench with `--bench`",
                    )));
            }
        };
        let choice = choose(&owned, Asked { depth, corner_radius, gap }).map_err(one)?;
        Ok(Answer::new(format!("end mill for a cut {depth} deep")).figures("", choice.figures()))
    }
}

/// `6mm/13mm`: a diameter and the length of the flutes. How many teeth plays no part.
fn end_mill(text: &str) -> Result<EndMill, Problem> {
    let Some((diameter, flute)) = text.split_once('/') else {
        return Err(Problem::new(format!("cannot read `{text}` as an end mill"))
            .at("--owned")
            .why("how deep it reaches is not said")
            .mend("write its diameter and the length of its flutes: `6mm/13mm`"));
    };
    let [diameter, flute] = [diameter, flute].map(|text| args::size("--owned", text));
    let (diameter, flute): (Length, Length) = (diameter?, flute?);
    Ok(EndMill::new(diameter, flute, 4))
}
