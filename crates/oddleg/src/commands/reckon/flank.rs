//! `reckon flank`.

use clap::ValueEnum;
use workshop::geometry::{Line, Point};
use workshop::problem::Outcome;
use workshop::settings::flank::{self, Beyond, Edge, set_flank};

use super::one;
use super::supposed::readout_step;
use super::table_arg::TableArg;
use crate::answer::Answer;
use crate::args;

/// Asks how to cut one straight edge on the rotary table.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon flank --from \"0 mm, -11 mm\" --to \"47 mm, -7 mm\" --cutter 10mm --ratio 90")]
pub struct Flank {
    /// Its start from the table's centre; the metal lies left of the way to its end
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    from: String,
    /// Its end from the table's centre
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    to: String,
    /// Diameter of the cutter
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    /// On which side of the work the cutter runs
    #[arg(long, value_name = "SIDE", default_value = "front")]
    facing: Facing,
    /// What lies before its start
    #[arg(long, value_name = "WHAT", default_value = "blend")]
    before: Meets,
    /// What lies after its end
    #[arg(long, value_name = "WHAT", default_value = "blend")]
    after: Meets,
    /// The smallest step of the readout
    #[arg(long, value_name = "SIZE")]
    step: Option<String>,
    #[command(flatten)]
    pub(super) table: TableArg,
}

/// Where the cutter runs.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Facing {
    /// Nearer to you
    Front,
    /// Farther off
    Back,
}

/// What lies beyond an end.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Meets {
    /// A tangent arc
    Blend,
    /// Nothing
    Open,
}

impl Meets {
    const fn beyond(self) -> Beyond {
        match self {
            Self::Blend => Beyond::Blend,
            Self::Open => Beyond::Open,
        }
    }
}

impl Flank {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let cutter = args::size("--cutter", &self.cutter).map_err(one)?;
        let ends = [("--from", &self.from), ("--to", &self.to)];
        let ends = args::all(ends.map(|(argument, text)| args::place(text, argument)))?;
        let [start, end] = [&ends[0], &ends[1]].map(|place| Point::at(place.x, place.y));
        let given = self.table.read()?.and(readout_step(self.step.as_deref())?);
        let edge =
            Edge { line: Line { start, end }, before: self.before.beyond(), after: self.after.beyond() };
        let facing = match self.facing {
            Facing::Front => flank::Facing::Front,
            Facing::Back => flank::Facing::Back,
        };
        let figures =
            given.reckon(|(table, step)| Ok(set_flank(edge, cutter, facing, table, step, &[])?.figures()));
        Ok(Answer::new(format!("straight edge, cutter {cutter}")).figures("", figures.map_err(one)?))
    }
}
