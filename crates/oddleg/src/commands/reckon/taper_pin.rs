//! `reckon taper-pin`.

use workshop::measure::Length;
use workshop::problem::Outcome;
use workshop::settings::taper_pin::{Pinning, taper_hole};
use workshop::tables::drills::Drill;
use workshop::tables::taper_pins;

use super::one;
use super::supposed::Given;
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks how to drill and ream for a taper pin.
#[derive(clap::Args)]
#[command(
    after_help = "Example:\n  oddleg reckon taper-pin \"2 mm\" --length 20mm --through 16mm --proud 1mm"
)]
pub struct TaperPin {
    /// The pin: `No. 4` or `2/0` (inch, 1:48), `2 mm` (metric, 1:50)
    pin: String,
    /// Length of the pin
    #[arg(long, value_name = "SIZE")]
    length: String,
    /// Thickness that it passes through
    #[arg(long, value_name = "SIZE")]
    through: String,
    /// How far its large end stands out when home
    #[arg(long, value_name = "SIZE")]
    proud: Option<String>,
    #[command(flatten)]
    bench: BenchArg,
}

impl TaperPin {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let pin = taper_pins::find(&self.pin).map_err(one)?;
        let [length, through, proud] = args::sizes([
            ("--length", &self.length),
            ("--through", &self.through),
            ("--proud", self.proud.as_deref().unwrap_or("0 mm")),
        ])?;
        let owned = self.bench.drills()?;
        let given = match self.proud {
            Some(_) => Given::said(proud),
            None => {
                let statement = "the large end lies flush: say otherwise with `--proud`";
                Given::supposing(proud, Length::mm_ratio(1, 10), statement)
            }
        };
        let with = |drills: &[Drill], proud| {
            let pinning = Pinning { pin: pin.clone(), length, through, proud };
            Ok(taper_hole(pinning, drills)?.figures())
        };
        let figures = given.reckon(|proud| with(&owned.drills, proud));
        let figures = figures.map_err(|fault| self.bench.blamed(fault, |drills| with(drills, proud)))?;
        Ok(Answer::new(format!("taper pin {} through {through}", pin.name))
            .figures("", figures)
            .lines("chosen from", vec![owned.said]))
    }
}
