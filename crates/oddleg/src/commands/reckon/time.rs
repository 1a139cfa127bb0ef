//! `reckon time`.

use workshop::problem::{Outcome, Problem};
use workshop::settings::time::{Counted, Run, time};
use workshop::tables::processes::{holding_named, process_named};

use super::one;
use super::supposed::Given;
use crate::answer::Answer;
use crate::args;

/// Asks how long a cut takes.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon time 60mm --overrun 10mm --passes 3 --feed 70mm --work \"mill a side\"
  oddleg reckon time 40mm --overrun 2mm --passes 4 --feed 0.1mm --speed 560 --work \"turn a section\"")]
pub struct Time {
    /// The length that is cut
    length: String,
    /// What the tool travels beside it in each pass; a mill's whole diameter from clear to clear
    #[arg(long, value_name = "SIZE")]
    overrun: Option<String>,
    /// The feed in a minute; in a turn where `--speed` is given
    #[arg(long, value_name = "SIZE")]
    feed: String,
    /// Turns a minute, where the feed is that of a turn
    #[arg(long, value_name = "N")]
    speed: Option<u32>,
    /// How many times the tool goes along
    #[arg(long, value_name = "N", default_value_t = 1)]
    passes: u32,
    /// The kind of work, for what the order counts beside it: `mill a side`, `drill`
    #[arg(long, value_name = "WORK")]
    work: Option<String>,
    /// How thick the metal is, of work that is done by hand
    #[arg(long, value_name = "SIZE", requires = "work")]
    thick: Option<String>,
    /// How it is held, for what setting up takes: `vice on parallels`
    #[arg(long, value_name = "HOLDING", requires = "work")]
    held: Option<String>,
}

impl Time {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [length, overrun, feed] = args::sizes([
            ("LENGTH", &self.length),
            ("--overrun", self.overrun.as_deref().unwrap_or("0 mm")),
            ("--feed", &self.feed),
        ])?;
        let at = |argument: &'static str| move |fault: Problem| one(fault.at(argument));
        let counted = match &self.work {
            None => None,
            Some(work) => Some(Counted {
                process: process_named(work).map_err(at("--work"))?,
                thick: self
                    .thick
                    .as_deref()
                    .map(|thick| args::size("--thick", thick))
                    .transpose()
                    .map_err(one)?,
                held: self.held.as_deref().map(holding_named).transpose().map_err(at("--held"))?,
            }),
        };
        let feed_mm_per_min = feed.as_mm() * self.speed.map_or(1.0, f64::from);
        let given = match self.overrun {
            Some(_) => Given::said(overrun),
            None => Given::supposing(
                overrun,
                length,
                "the tool stops at both ends of the length: say what it runs beyond with `--overrun`",
            ),
        };
        let figures = given.reckon(|overrun| {
            let found = time(Run { length, overrun, feed_mm_per_min, passes: self.passes })?;
            let mut figures = found.figures();
            if let Some(counted) = counted {
                figures.extend(found.beside(counted)?);
            }
            Ok(figures)
        });
        Ok(Answer::new(format!("{length} at {feed_mm_per_min:.0} mm a minute"))
            .figures("", figures.map_err(one)?))
    }
}
