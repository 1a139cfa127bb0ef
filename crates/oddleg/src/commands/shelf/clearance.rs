//! `shelf clearance`.

use workshop::problem::Problem;
use workshop::tables::clearance::{self, Class};
use workshop::tables::threads;

use crate::answer::Answer;

/// Asks for the clearance holes of a screw.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg shelf clearance M3")]
pub struct Clearance {
    /// The thread of the screw: `M3`, `7 BA`
    #[arg(required = true)]
    thread: Vec<String>,
}

impl Clearance {
    /// Looks them up.
    pub fn run(&self) -> Result<Answer, Problem> {
        let thread = threads::find(&self.thread.join(" "))?;
        // The fault for a thread that has none says why.
        clearance::hole(thread, Class::Medium)?;
        let figures = clearance::holes(thread).flat_map(clearance::ClearanceHole::describe).collect();
        Ok(Answer::new(format!("clearance holes for {}", thread.designation)).figures("", figures))
    }
}
