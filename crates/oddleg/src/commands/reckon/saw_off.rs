//! `reckon saw-off`.

use workshop::measure::Length;
use workshop::problem::Outcome;
use workshop::settings::cutting::bars::{Sawing, saw};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks which pieces are sawn from which bars.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon saw-off 84mm 84mm 120mm 55mm --bar 300mm --bar 180mm --saw-cut 1.5mm")]
pub struct SawOff {
    /// The pieces wanted, all of one section
    #[arg(required = true)]
    piece: Vec<String>,
    /// A bar that is there; may be given more than once
    #[arg(long, value_name = "SIZE")]
    bar: Vec<String>,
    /// How long a new bar is
    #[arg(long, value_name = "SIZE", default_value = "1000 mm")]
    new_bar: String,
    /// What the saw takes away
    #[arg(long, value_name = "SIZE", default_value = "2 mm")]
    saw_cut: String,
}

impl SawOff {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let pieces: Vec<Length> = args::all(self.piece.iter().map(|text| args::size("PIECE", text)))?;
        let bars: Vec<Length> = args::all(self.bar.iter().map(|text| args::size("--bar", text)))?;
        let [new_bar, saw_cut] = args::sizes([("--new-bar", &self.new_bar), ("--saw-cut", &self.saw_cut)])?;
        let sawing = Sawing { pieces, bars, new_bar, saw_cut };
        let found = saw(&sawing).map_err(one)?;
        Ok(Answer::new(match sawing.pieces.len() {
            1 => "1 piece to saw off".to_owned(),
            many => format!("{many} pieces to saw off"),
        })
        .figures("", found.figures(&sawing))
        .lines("how sure", vec![found.proof()]))
    }
}
