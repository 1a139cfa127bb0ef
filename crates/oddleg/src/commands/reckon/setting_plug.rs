//! `reckon setting-plug`.

use workshop::aids::setting_plug::{Against, Plug};
use workshop::problem::Outcome;
use workshop::why::Why;

use super::one;
use crate::answer::Answer;
use crate::args;
use crate::commands::bench_arg::BenchArg;

/// Asks for the plug that sets a pin at a distance by touch.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon setting-plug --pin \"1/4 in\" --distance \"7/8 in\" --on \"3/4 in\"
  oddleg reckon setting-plug --pin 6mm --distance 30mm --beside 16mm")]
pub struct SettingPlug {
    /// Diameter of the pin that is set, as measured
    #[arg(long, value_name = "SIZE")]
    pin: String,
    /// From the middle of the pin to the middle of the axle or round, or to the flat
    #[arg(long, value_name = "SIZE")]
    distance: String,
    #[command(flatten)]
    lies: Lies,
    /// How far the distance may be out either way
    #[arg(long, value_name = "SIZE")]
    within: Option<String>,
    #[command(flatten)]
    bench: BenchArg,
}

/// What the plug lies against, beside the pin.
#[derive(clap::Args)]
#[group(required = true, multiple = false)]
struct Lies {
    /// It is bored to slide on an axle of this diameter, which the distance is counted from
    #[arg(long, value_name = "SIZE")]
    on: Option<String>,
    /// It lies against the outside of a round of this diameter
    #[arg(long, value_name = "SIZE")]
    beside: Option<String>,
    /// It lies against a flat
    #[arg(long)]
    flat: bool,
}

impl SettingPlug {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [pin, distance] = args::sizes([("--pin", &self.pin), ("--distance", &self.distance)])?;
        let size = |argument, text: &String| args::size(argument, text).map_err(one);
        let against = match (&self.lies.on, &self.lies.beside) {
            (Some(axle), _) => Against::Middle("the axle".into(), size("--on", axle)?),
            (_, Some(round)) => Against::Round("the round".into(), size("--beside", round)?),
            _ => Against::Flat,
        };
        let within = match &self.within {
            Some(within) => {
                let why = Why::new("so far it may be out").source("the command line");
                Some((size("--within", within)?, why))
            }
            None => None,
        };
        let plug = Plug {
            name: "setting plug".into(),
            pin: ("the pin".into(), pin),
            against,
            distance,
            why: Why::new(format!("{distance} was asked for")).source("the command line"),
            within,
            said: "the command line".into(),
        };
        let bench = self.bench.read()?.unwrap_or_else(workshop::bench::empty_bench);
        let sheet = plug.sheet(&bench).map_err(one)?;
        Ok(Answer::new(format!("setting plug for a pin of {pin} at {distance}"))
            .figures("", sheet.sizes)
            .lines("how", sheet.steps)
            .lines("take care", sheet.cautions))
    }
}
