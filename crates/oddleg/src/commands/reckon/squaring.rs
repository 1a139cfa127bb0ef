//! `reckon squaring`.

use workshop::problem::Outcome;
use workshop::settings::squaring::{Way, squaring};

use super::one;
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks for the drill before a square hole, and the lines to scribe.
#[derive(clap::Args)]
#[command(
    after_help = "Example:\n  oddleg reckon squaring --across 6mm\n  oddleg reckon squaring --across 6mm --broach"
)]
pub struct Squaring {
    /// From side to side
    #[arg(long, value_name = "SIZE")]
    across: String,
    /// A broach is pressed through, where files are taken otherwise
    #[arg(long)]
    broach: bool,
    #[command(flatten)]
    bench: BenchArg,
}

impl Squaring {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let across = args::size("--across", &self.across).map_err(one)?;
        let drills = self.bench.drills()?;
        let way = if self.broach { Way::Broach } else { Way::File };
        let figures = squaring(across, way, &drills.drills).map_err(one)?;
        Ok(Answer::new(format!("square hole {across} across"))
            .lines("drills", vec![drills.said])
            .figures("", figures))
    }
}
