//! `shelf taper`.

use workshop::problem::Problem;
use workshop::tables::taper_pins;

use crate::answer::Answer;

/// Asks for a taper pin.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg shelf taper 2/0")]
pub struct Taper {
    /// The pin: `No. 4` or `2/0` (inch, 1:48), `2 mm` (metric, 1:50)
    #[arg(required = true)]
    name: Vec<String>,
}

impl Taper {
    /// Looks it up.
    pub fn run(&self) -> Result<Answer, Problem> {
        let pin = taper_pins::find(&self.name.join(" "))?;
        Ok(Answer::new(format!("taper pin {}", pin.name)).figures("", pin.describe()))
    }
}
