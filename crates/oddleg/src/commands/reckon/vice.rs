//! `reckon vice`.

use workshop::measure::Length;
use workshop::problem::Outcome;
use workshop::settings::vice::{Asked, gripped};
use workshop::why::Why;

use super::one;
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks how work sits in the mill's vice: parallels, grip, and what stands out above the jaws.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon vice --height 12mm --cut 5mm --drill 6mm --jaws 30mm")]
pub struct Vice {
    /// From the lower face of the work to its upper
    #[arg(long, value_name = "SIZE")]
    height: String,
    /// The deepest cut that runs out over the jaws
    #[arg(long, value_name = "SIZE", default_value = "0 mm")]
    cut: String,
    /// The widest drill that comes out below
    #[arg(long, value_name = "SIZE", default_value = "0 mm")]
    drill: String,
    /// It stands on edge; else it lies flat
    #[arg(long)]
    on_edge: bool,
    /// How deep the jaws are
    #[arg(long, value_name = "SIZE")]
    jaws: Option<String>,
    #[command(flatten)]
    pub(super) bench: BenchArg,
}

impl Vice {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [height, cut, drill] =
            args::sizes([("--height", &self.height), ("--cut", &self.cut), ("--drill", &self.drill)])?;
        let said = self.jaws.as_deref().map(|text| args::size("--jaws", text));
        let said: Option<Length> = said.transpose().map_err(one)?;
        let mill = self.bench.read()?.unwrap_or_else(workshop::bench::empty_bench).mill;
        let jaws = said.or(mill.jaws).unwrap_or_else(|| mill.vice_depth());
        let why = match said.or(mill.jaws) {
            Some(_) => Why::new(format!("jaws {jaws} deep")),
            None => Why::assumed(format!("jaws {jaws} deep: say yours with `--jaws`")).source("from memory"),
        };
        let asked = Asked { height, cut, drill, jaws, on_edge: self.on_edge };
        let figures = gripped(asked).map_err(one)?.figures(&why);
        Ok(Answer::new(format!("{height} high in the vice")).figures("", figures))
    }
}
