//! `reckon shoulders`.

use workshop::measure::Length;
use workshop::problem::Outcome;
use workshop::settings::lathe::{Shoulder, shoulders};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks where the carriage stops for lengths that follow one another from the faced end.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon shoulders \"1/4 in\" \"5/16 in\" \"3/32 in\" --step 0.02mm")]
pub struct Shoulders {
    /// The lengths, from the faced end on
    #[arg(required = true)]
    length: Vec<String>,
    /// A division of what the carriage is set by
    #[arg(long, value_name = "SIZE")]
    step: String,
}

impl Shoulders {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let lengths: Vec<Length> = args::all(self.length.iter().map(|text| args::size("LENGTH", text)))?;
        let step = args::size("--step", &self.step).map_err(one)?;
        let names: Vec<String> = (1..=lengths.len()).map(|n| format!("length {n}")).collect();
        let named: Vec<(&str, Length)> = names.iter().map(String::as_str).zip(lengths).collect();
        let found = shoulders(&named, step).map_err(one)?;
        let figures = found.iter().map(Shoulder::figure).collect();
        Ok(Answer::new("shoulders from the faced end").figures("", figures))
    }
}
