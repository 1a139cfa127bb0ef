//! The rotary table that a reckoning is for: from the command line, from the
//! bench, or supposed.

use clap::ValueEnum;
use workshop::bench::{self, read_bench};
use workshop::measure::{Angle, read_angle};
use workshop::problem::Outcome;
use workshop::settings::rotary::{Grows, RotaryTable};

use super::supposed::{Given, Supposed};
use crate::commands::bench_arg::BenchArg;

/// A rotary table.
#[derive(clap::Args)]
pub struct TableArg {
    /// Turns of the handle for one turn of the table
    #[arg(long, value_name = "N")]
    ratio: Option<u32>,
    /// The smallest mark that can be set: `1'`, `0.1°`
    #[arg(long, value_name = "ANGLE")]
    reads: Option<String>,
    /// Which turn of the table makes its reading larger, seen from above
    #[arg(long, value_name = "WAY")]
    grows: Option<Way>,
    #[command(flatten)]
    pub(super) bench: BenchArg,
}

/// A way of turning.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Way {
    /// As the hands of a clock
    Clockwise,
    /// Against them
    Anticlockwise,
}

impl Way {
    const fn grows(self) -> Grows {
        match self {
            Self::Clockwise => Grows::Clockwise,
            Self::Anticlockwise => Grows::Anticlockwise,
        }
    }
}

impl TableArg {
    /// The table, and what of it was supposed.
    pub fn read(&self) -> Outcome<Given<RotaryTable>> {
        let owned = self.bench.read()?.and_then(|bench| bench.rotary_table);
        let usual = usual_table();
        let reads = self.reads.as_deref().map(read_angle).transpose();
        let reads = reads.map_err(|fault| vec![fault.at("--reads")])?.or(owned.as_ref().map(|t| t.reads));
        let ratio = self.ratio.or(owned.as_ref().map(|t| t.ratio));
        let grows = owned.and_then(|t| t.grows);
        let table = RotaryTable {
            worm_ratio: ratio.unwrap_or(usual.ratio),
            division: reads.unwrap_or(usual.reads),
            grows: self.grows.map(Way::grows).or(grows),
        };
        let mut given = Given::said(table);
        if ratio.is_none() {
            given.supposed.push(Supposed {
                statement: format!("a worm of {} to 1: say yours with `--ratio`", usual.ratio),
                otherwise: RotaryTable { worm_ratio: 1, ..table },
            });
        }
        if reads.is_none() {
            let reads = usual.reads.degrees_minutes();
            given.supposed.push(Supposed {
                statement: format!("a table that reads to {reads}: say yours with `--reads`"),
                otherwise: RotaryTable { division: Angle::ratio(1, 3600), ..table },
            });
        }
        Ok(given)
    }
}

/// The table that the bench reader supposes when nothing is said of it.
fn usual_table() -> bench::RotaryTable {
    let bench = read_bench("no bench", "[rotary_table]\n").expect("a heading alone reads");
    bench.rotary_table.expect("the heading is there")
}
