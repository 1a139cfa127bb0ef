//! `reckon speed`.

use clap::ValueEnum;
use workshop::problem::Outcome;
use workshop::settings::speed;
use workshop::tables::materials::{self, Operation};
use workshop::why::{Figure, Why};

use super::one;
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks for a spindle speed.
#[derive(clap::Args)]
#[command(
    after_help = "Example:\n  oddleg reckon speed brass drilling --diameter 4.2mm --speeds 90,180,340,600,1000,1500"
)]
pub struct Speed {
    /// The material: `brass`, `silver steel`
    material: String,
    /// What the tool does
    operation: Does,
    /// Diameter of the tool; of the work for turning
    #[arg(long, value_name = "SIZE")]
    diameter: String,
    #[command(flatten)]
    pub(super) spindle: Spindle,
}

/// What the tool does.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Does {
    /// Turning and boring in the lathe
    Turning,
    /// Milling
    Milling,
    /// Drilling
    Drilling,
    /// Reaming in the machine
    Reaming,
}

impl Does {
    /// The operation that the tables know.
    const fn operation(self) -> Operation {
        match self {
            Self::Turning => Operation::Turning,
            Self::Milling => Operation::Milling,
            Self::Drilling => Operation::Drilling,
            Self::Reaming => Operation::Reaming,
        }
    }
}

impl Speed {
    /// Reckons it, for the lower and the upper cutting speed of the table.
    pub fn run(&self) -> Outcome<Answer> {
        let diameter = args::size("--diameter", &self.diameter).map_err(one)?;
        let material = materials::find(&self.material).map_err(one)?;
        let operation = self.operation.operation();
        let (speeds, supposed) = self.spindle.speeds(operation)?;
        let row = material.speed(operation);
        let mut figures = Vec::new();
        for (when, m_per_min) in
            [("to begin with", row.low_m_per_min), ("at most, rigid and cooled", row.high_m_per_min)]
        {
            let mut aim =
                Why::new(format!("{} {} at {m_per_min} m/min, {when}", operation.name(), material.name))
                    .source(row.source.to_string());
            aim.because.extend(supposed.clone());
            let chosen = speed::choose(m_per_min.into(), diameter, &speeds).map_err(one)?;
            let named = |figure: Figure| Figure { name: format!("{}, {when}", figure.name), ..figure };
            figures.extend(chosen.figures(aim).into_iter().map(named));
        }
        Ok(Answer::new(format!("{} {}, {diameter} diameter", operation.name(), material.name))
            .figures("", figures))
    }
}

/// The speeds of a spindle: said, or those of a bench.
#[derive(clap::Args)]
pub struct Spindle {
    /// The speeds that the spindle has, in turns a minute
    #[arg(long, value_name = "N,N,…", value_delimiter = ',')]
    speeds: Vec<u32>,
    #[command(flatten)]
    pub(super) bench: BenchArg,
}

impl Spindle {
    /// The speeds that it has, and what was supposed of them.
    pub fn speeds(&self, operation: Operation) -> Outcome<(Vec<u32>, Option<Why>)> {
        if !self.speeds.is_empty() {
            return Ok((self.speeds.clone(), None));
        }
        let known = self.bench.read()?;
        let supposed = known.is_none();
        let bench = known.unwrap_or_else(workshop::bench::empty_bench);
        let speeds = match (operation, bench.lathe) {
            (Operation::Turning, Some(lathe)) => lathe.speeds,
            _ => bench.mill.speeds,
        };
        let why = supposed.then(|| {
            Why::assumed(format!(
                "a spindle with speeds {}: say yours with `--speeds`",
                args::listed(&speeds)
            ))
        });
        Ok((speeds, why))
    }
}
