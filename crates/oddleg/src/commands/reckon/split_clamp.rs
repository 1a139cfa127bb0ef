//! `reckon split-clamp`.

use workshop::problem::Outcome;
use workshop::settings::split_clamp::{Clamp, clamp_holes};
use workshop::tables::drills::Drill;
use workshop::tables::materials;
use workshop::tables::threads::{self, Basis, Percent};

use super::one;
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks for the holes of a split clamp.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon split-clamp M3 --in \"mild steel\" --percent 60 --basis \"sharp vee\" --across 18mm \\
    --to-slit 9mm --slit 0.8mm --screw-to-bore 8mm --bore 8mm")]
pub struct SplitClamp {
    /// The thread of the screw
    thread: String,
    /// The material
    #[arg(long = "in", value_name = "MATERIAL")]
    material: String,
    /// Percent of thread to aim at
    #[arg(long, value_name = "P", value_parser = clap::value_parser!(u32).range(1..=100))]
    percent: u32,
    /// Percent of what: `internal height`, `external depth`, `sharp vee` or `full depth`
    #[arg(long)]
    basis: String,
    /// Along the screw, from the face under its head to the far face
    #[arg(long, value_name = "SIZE")]
    across: String,
    /// From the face under the head to the middle of the slit
    #[arg(long, value_name = "SIZE")]
    to_slit: String,
    /// Width of the slit
    #[arg(long, value_name = "SIZE")]
    slit: String,
    /// From the axis of the screw to the axis of the bore
    #[arg(long, value_name = "SIZE")]
    screw_to_bore: String,
    /// Diameter of the bore
    #[arg(long, value_name = "SIZE")]
    bore: String,
    #[command(flatten)]
    bench: BenchArg,
}

impl SplitClamp {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let thread = threads::find(&self.thread).map_err(one)?;
        let material = materials::find(&self.material).map_err(|fault| one(fault.at("--in")))?;
        let basis = Basis::find(&self.basis).map_err(|fault| one(fault.at("--basis")))?;
        let [across, to_slit, slit, screw_to_bore, bore] = args::sizes([
            ("--across", &self.across),
            ("--to-slit", &self.to_slit),
            ("--slit", &self.slit),
            ("--screw-to-bore", &self.screw_to_bore),
            ("--bore", &self.bore),
        ])?;
        let owned = self.bench.drills()?;
        let clamp = Clamp { thread: thread.clone(), across, to_slit, slit, screw_to_bore, bore };
        let aim = Percent::new(i128::from(self.percent), basis);
        let with = |drills: &[Drill]| Ok(clamp_holes(clamp.clone(), aim, drills, material)?.figures());
        let figures = with(&owned.drills).map_err(|fault| self.bench.blamed(fault, with))?;
        Ok(Answer::new(format!("split clamp, {} across {across}", thread.designation))
            .figures("", figures)
            .lines("chosen from", vec![owned.said]))
    }
}
