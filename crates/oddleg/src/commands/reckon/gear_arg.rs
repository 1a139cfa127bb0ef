//! What drives the carriage of a lathe, from the command line.

use workshop::bench::read_pitch;
use workshop::measure::Length;
use workshop::problem::{Outcome, Problem};

use super::one;
use crate::args;

/// The leadscrew, the wheels and the gearbox of a lathe.
#[derive(clap::Args)]
pub struct GearArg {
    /// The leadscrew's pitch, or its threads to the inch as `8 tpi`
    #[arg(long, value_name = "PITCH")]
    leadscrew: String,
    /// Teeth of the wheels that are there; one that is there twice stands twice
    #[arg(long, value_name = "TEETH", value_delimiter = ',')]
    wheels: Vec<String>,
    /// A pitch that the gearbox gives by its levers; may be given more than once
    #[arg(long, value_name = "PITCH")]
    gearbox: Vec<String>,
}

/// The same, read.
pub struct Geared {
    /// The pitch of the leadscrew.
    pub leadscrew: Length,
    /// Teeth of each wheel.
    pub wheels: Vec<u32>,
    /// Pitches that the gearbox gives.
    pub gearbox: Vec<Length>,
}

impl GearArg {
    /// Reads them.
    pub fn read(&self) -> Outcome<Geared> {
        let pitch = |text: &str, at: &str| read_pitch(text).map_err(|fault| fault.at(at.to_owned()));
        let leadscrew = pitch(&self.leadscrew, "--leadscrew").map_err(one)?;
        let gearbox = args::all(self.gearbox.iter().map(|text| pitch(text, "--gearbox")))?;
        let wheels = args::all(self.wheels.iter().map(|text| {
            text.trim().parse::<u32>().map_err(|_| {
                Problem::new(format!("`{text}` is no change wheel"))
                    .at("--wheels")
                    .mend("write how many teeth each has, such as `--wheels 20,30,40`")
            })
        }))?;
        Ok(Geared { leadscrew, wheels, gearbox })
    }
}
