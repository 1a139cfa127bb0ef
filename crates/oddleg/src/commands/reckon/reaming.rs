//! `reckon reaming`.

use workshop::problem::Outcome;
use workshop::settings::reaming::{Drive, reaming};
use workshop::tables::drills::Drill;
use workshop::tables::materials;

use super::one;
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks for the drill before a reamer.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg reckon reaming 8mm --in brass --bench engine")]
pub struct Reaming {
    /// The finished size
    size: String,
    /// The material reamed
    #[arg(long = "in", value_name = "MATERIAL")]
    material: String,
    /// The reamer is turned by hand, not by the machine
    #[arg(long)]
    by_hand: bool,
    #[command(flatten)]
    bench: BenchArg,
}

impl Reaming {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let size = args::size("SIZE", &self.size).map_err(one)?;
        let material = materials::find(&self.material).map_err(|fault| one(fault.at("--in")))?;
        let drive = if self.by_hand { Drive::Hand } else { Drive::Machine };
        let owned = self.bench.drills()?;
        let with = |drills: &[Drill]| reaming(size, drills, material, drive);
        let reamed = with(&owned.drills).map_err(|fault| self.bench.blamed(fault, with))?;
        Ok(Answer::new(format!("reaming {size} in {}", material.name))
            .figures("", reamed.figures())
            .lines("chosen from", vec![owned.said]))
    }
}
