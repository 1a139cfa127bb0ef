//! `reckon over-wires`.

use workshop::problem::Outcome;
use workshop::settings::measuring::over_wires::over_wires;
use workshop::tables::threads;

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks what a thread measures over three wires.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon over-wires \"7/16-14 UNC\" --wire \"0.045 in\"")]
pub struct OverWires {
    /// The thread: `M12`, `1/2 BSW`, `0 BA`
    thread: String,
    /// Across each of the three wires
    #[arg(long, value_name = "SIZE")]
    wire: String,
}

impl OverWires {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let thread = threads::find(&self.thread).map_err(one)?;
        let wire = args::size("--wire", &self.wire).map_err(one)?;
        let figures = over_wires(thread, wire).map_err(one)?.figures();
        Ok(Answer::new(format!("{} over wires of {wire}", thread.designation)).figures("", figures))
    }
}
