//! `shelf material`.

use workshop::problem::Problem;
use workshop::tables::materials;

use crate::answer::Answer;

/// Asks for a material.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg shelf material brass")]
pub struct Material {
    /// What it is called: `brass`, `silver steel`, `EN1A`
    #[arg(required = true)]
    name: Vec<String>,
}

impl Material {
    /// Looks it up.
    pub fn run(&self) -> Result<Answer, Problem> {
        let material = materials::find(&self.name.join(" "))?;
        Ok(Answer::new(&material.name)
            .figures("", material.describe())
            .lines("also taken for it", vec![material.also.join(", ")]))
    }
}
