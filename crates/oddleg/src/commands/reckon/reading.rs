//! `reckon reading`.

use clap::ValueEnum;
use workshop::bench::Instrument;
use workshop::measure::Length;
use workshop::problem::{Outcome, Problem};
use workshop::settings::measuring::reading::{Limits, shown, with};
use workshop::tables::instruments::Across;
use workshop::why::Figure;

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks what an instrument must read to prove a size, whatever it may be out itself.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon reading 12mm --least 11.98mm --greatest 12mm --with \"micrometer 0 to 25 mm by 0.01 mm\"
  oddleg reckon reading \"27/32 in\" --within 0.002in --with \"vernier caliper to 150 mm by 0.02 mm\" --across inside")]
pub struct Reading {
    /// The size
    size: String,
    /// How far it may be out, either way
    #[arg(long, value_name = "SIZE", required_unless_present_all = ["least", "greatest"], conflicts_with_all = ["least", "greatest"])]
    within: Option<String>,
    /// The least that it may be
    #[arg(long, value_name = "SIZE", requires = "greatest")]
    least: Option<String>,
    /// The greatest that it may be
    #[arg(long, value_name = "SIZE", requires = "least")]
    greatest: Option<String>,
    /// What it is measured with, as a bench file says it
    #[arg(long, value_name = "INSTRUMENT")]
    with: String,
    /// What is measured: over metal, between walls, or down to a floor
    #[arg(long, value_name = "WHAT", default_value = "outside")]
    across: Way,
}

/// What is measured.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Way {
    /// Over metal
    Outside,
    /// Between walls
    Inside,
    /// Down to a floor
    Depth,
}

impl From<Way> for Across {
    fn from(way: Way) -> Self {
        match way {
            Way::Outside => Self::Outside,
            Way::Inside => Self::Inside,
            Way::Depth => Self::Depth,
        }
    }
}

impl Reading {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let size = args::size("SIZE", &self.size).map_err(one)?;
        let limits = self.limits(size)?;
        if limits.least > limits.greatest || !limits.least.is_positive() {
            return Err(one(Problem::new(format!("from {} to {}", limits.least, limits.greatest))
                .why("a size lies between two limits, the lesser first, both more than nought")
                .mend("check the limits; `--within` is more than nought and less than the size")));
        }
        let instrument = Instrument::read(&self.with).map_err(|fault| one(fault.at("--with")))?;
        let Some((reads, why)) = with(&instrument, self.across.into(), size) else {
            return Err(one(Problem::new(format!("a {} does not measure {size} so", instrument.words()))
                .at("--with")
                .why("it takes other sizes, or does not go there")
                .mend("name one that does, such as `caliper to 150 mm by 0.02 mm`")));
        };
        let (words, proof) = shown(limits, reads);
        let figures = vec![
            Figure::new("should read", words, proof.because(why.clone())),
            Figure::new("the reading may be out by", reads.doubt.to_string(), why),
        ];
        Ok(Answer::new(format!("{size} with a {}", instrument.words())).figures("", figures))
    }

    fn limits(&self, size: Length) -> Outcome<Limits> {
        if let Some(within) = &self.within {
            return Ok(Limits::about(size, args::size("--within", within).map_err(one)?));
        }
        let [least, greatest] = args::sizes([
            ("--least", self.least.as_deref().unwrap_or_default()),
            ("--greatest", self.greatest.as_deref().unwrap_or_default()),
        ])?;
        Ok(Limits { least, greatest })
    }
}
