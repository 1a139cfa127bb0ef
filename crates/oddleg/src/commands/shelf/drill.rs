//! `shelf drill`.

use workshop::problem::Problem;
use workshop::tables::drills;

use crate::answer::Answer;

/// Asks for a drill.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg shelf drill No. 43")]
pub struct Drill {
    /// Its name: `No. 43`, `letter F`, `27/64 in`, `4.2 mm`
    #[arg(required = true)]
    name: Vec<String>,
}

impl Drill {
    /// Looks it up.
    pub fn run(&self) -> Result<Answer, Problem> {
        let drill = drills::find(&self.name.join(" "))?;
        Ok(Answer::new(&drill.name).figures("", drill.describe()))
    }
}
