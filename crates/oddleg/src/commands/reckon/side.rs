//! `reckon side`.

use clap::ValueEnum;
use workshop::problem::Outcome;
use workshop::settings::stepped_line::{self, stepped_line};
use workshop::settings::straight::{self, End, road};

use super::one;
use super::supposed::readout_step;
use crate::answer::Answer;
use crate::args;

/// Asks how a straight side is milled without turning the work.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon side --from \"0 mm, 0 mm\" --to \"40 mm, 0 mm\" --cutter 10mm --before open --after open
  oddleg reckon side --from \"0 mm, 0 mm\" --to \"30 mm, 12 mm\" --cutter 10mm --ridge 0.1mm")]
pub struct Side {
    /// Its start from the datum; the metal lies left of the way to its end
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    from: String,
    /// Its end from the datum
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    to: String,
    /// Diameter of the cutter
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    /// What lies before its start
    #[arg(long, value_name = "WHAT", default_value = "blend")]
    before: Meets,
    /// What lies after its end
    #[arg(long, value_name = "WHAT", default_value = "blend")]
    after: Meets,
    /// Of a side that no slide runs along: the highest ridge that may be left for the file
    #[arg(long, value_name = "SIZE", default_value = "0.1 mm")]
    ridge: String,
    /// The smallest step of the readout
    #[arg(long, value_name = "SIZE")]
    step: Option<String>,
}

/// What lies beyond an end.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Meets {
    /// A tangent arc
    Blend,
    /// Nothing, or an outside corner
    Open,
    /// An inside corner, square
    Inside,
}

impl Meets {
    const fn end(self) -> End {
        match self {
            Self::Blend => End::Tangent,
            Self::Open => End::Open,
            Self::Inside => End::Inside,
        }
    }
}

impl Side {
    /// Reckons it: one run where a slide runs along it, else places in steps.
    pub fn run(&self) -> Outcome<Answer> {
        let [cutter, ridge] = args::sizes([("--cutter", &self.cutter), ("--ridge", &self.ridge)])?;
        let ends = [("--from", &self.from), ("--to", &self.to)];
        let ends = args::all(ends.map(|(argument, text)| args::place(text, argument)))?;
        let meets = [self.before.end(), self.after.end()];
        let road = road([(ends[0].x, ends[0].y), (ends[1].x, ends[1].y)], cutter, meets).map_err(one)?;
        let along = ends[0].x == ends[1].x || ends[0].y == ends[1].y;
        let figures = readout_step(self.step.as_deref())?.reckon(|step| {
            if along {
                let sizes = (cutter.half(), step);
                let run = straight::straight(road.start, road.end, meets.map(End::beyond), sizes, &[])?;
                return Ok(run.figures(cutter, step));
            }
            Ok(stepped_line(stepped_line::Side { road, cutter, ridge, step }, &[])?.figures())
        });
        Ok(Answer::new(format!("straight side, cutter {cutter}")).figures("", figures.map_err(one)?))
    }
}
