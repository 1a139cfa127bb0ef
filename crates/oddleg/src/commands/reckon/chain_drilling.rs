//! `reckon chain-drilling`.

use workshop::measure::read_angle;
use workshop::problem::Outcome;
use workshop::settings::chain_drilling::{Chain, ring, row};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for holes that part metal off before it is milled or filed.
#[derive(clap::Args)]
#[command(group(clap::ArgGroup::new("line").required(true)))]
#[command(after_help = "Examples:
  oddleg reckon chain-drilling --length 60mm --drill 5mm --web 0.5mm --allowance 1mm
  oddleg reckon chain-drilling --radius 20mm --sweep 180 --drill 5mm --web 0.5mm --allowance 1mm")]
pub struct ChainDrilling {
    /// Along a straight edge of this length
    #[arg(long, value_name = "SIZE", group = "line")]
    length: Option<String>,
    /// Round an arc of this finished radius
    #[arg(long, value_name = "SIZE", group = "line", requires = "sweep")]
    radius: Option<String>,
    /// How far round the arc
    #[arg(long, value_name = "ANGLE", requires = "radius")]
    sweep: Option<String>,
    /// Diameter of the drill
    #[arg(long, value_name = "SIZE")]
    drill: String,
    /// Metal left between holes
    #[arg(long, value_name = "SIZE")]
    web: String,
    /// Metal left to the finished edge
    #[arg(long, value_name = "SIZE")]
    allowance: String,
}

impl ChainDrilling {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [drill, web, allowance] =
            args::sizes([("--drill", &self.drill), ("--web", &self.web), ("--allowance", &self.allowance)])?;
        let chain = Chain { drill, web, allowance };
        let figures = match (&self.length, &self.radius, &self.sweep) {
            (_, Some(radius), Some(sweep)) => {
                let radius = args::size("--radius", radius).map_err(one)?;
                let sweep = read_angle(sweep).map_err(|fault| one(fault.at("--sweep")))?;
                ring(chain, radius, sweep).map_err(one)?.figures()
            }
            (length, ..) => {
                let length = args::size("--length", length.as_deref().unwrap_or_default()).map_err(one)?;
                row(chain, length).map_err(one)?.figures()
            }
        };
        Ok(Answer::new(format!("chain drilling with {drill}")).figures("", figures))
    }
}
