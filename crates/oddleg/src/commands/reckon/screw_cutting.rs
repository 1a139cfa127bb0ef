//! `reckon screw-cutting`.

use workshop::problem::Outcome;
use workshop::settings::outside_thread;
use workshop::settings::screw_cutting::{Cut, screw_cutting};
use workshop::tables::threads;

use super::one;
use super::turning::Reads;
use crate::answer::Answer;
use crate::args;

/// Asks for the passes of a thread cut in the lathe.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon screw-cutting M12 --first 0.25mm --step 0.02mm --dial diameter")]
pub struct ScrewCutting {
    /// The thread: `M12`, `1/2 BSW`, `0 BA`
    thread: String,
    /// What it is turned to before its thread; a tenth of the pitch under its size where left out
    #[arg(long, value_name = "SIZE")]
    blank: Option<String>,
    /// The depth of the first pass
    #[arg(long, value_name = "SIZE")]
    first: String,
    /// A division of the cross-slide dial, as it is marked
    #[arg(long, value_name = "SIZE")]
    step: String,
    /// What the dial reads
    #[arg(long, value_name = "WHAT")]
    dial: Reads,
}

impl ScrewCutting {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let thread = threads::find(&self.thread).map_err(one)?;
        let [first, step] = args::sizes([("--first", &self.first), ("--step", &self.step)])?;
        let said = self.blank.as_deref().map(|text| args::size("--blank", text)).transpose().map_err(one)?;
        let blank = said.unwrap_or_else(|| outside_thread::blank(thread));
        let cut = Cut { thread, blank, first, step, dial: self.dial.into() };
        let figures = screw_cutting(cut).map_err(one)?.figures();
        Ok(Answer::new(format!("cutting {}", thread.designation)).figures("", figures))
    }
}
