//! `reckon change-wheels`.

use workshop::bench::read_pitch;
use workshop::measure::Length;
use workshop::problem::{Outcome, Problem};
use workshop::settings::change_wheels::{Gear, Wanted, change_wheels};
use workshop::tables::threads;

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks for the gear of a thread cut in the lathe.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon change-wheels M10x1 --leadscrew \"8 tpi\" --wheels 20,25,30,35,40,45,50,55,60,65,70,75 --engaged 10mm
  oddleg reckon change-wheels \"1/4 BSF\" --leadscrew 3mm --wheels 20,30,40,45,50,60,63,65,70,80")]
pub struct ChangeWheels {
    /// The thread: `M12`, `1/2 BSW`, `0 BA`
    thread: String,
    /// The leadscrew's pitch, or its threads to the inch as `8 tpi`
    #[arg(long, value_name = "PITCH")]
    leadscrew: String,
    /// Teeth of the wheels that are there; one that is there twice stands twice
    #[arg(long, value_name = "TEETH", value_delimiter = ',')]
    wheels: Vec<String>,
    /// A pitch that the gearbox gives by its levers; may be given more than once
    #[arg(long, value_name = "PITCH")]
    gearbox: Vec<String>,
    /// How much of the thread is engaged at once; its own diameter where nothing is said
    #[arg(long, value_name = "SIZE")]
    engaged: Option<String>,
}

impl ChangeWheels {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let thread = threads::find(&self.thread).map_err(one)?;
        let pitch = |text: &str, at: &str| read_pitch(text).map_err(|fault| fault.at(at.to_owned()));
        let leadscrew = pitch(&self.leadscrew, "--leadscrew").map_err(one)?;
        let gearbox: Vec<Length> = args::all(self.gearbox.iter().map(|text| pitch(text, "--gearbox")))?;
        let wheels: Vec<u32> = args::all(self.wheels.iter().map(|text| {
            text.trim().parse::<u32>().map_err(|_| {
                Problem::new(format!("`{text}` is no change wheel"))
                    .at("--wheels")
                    .mend("write how many teeth each has, such as `--wheels 20,30,40`")
            })
        }))?;
        let engaged = match &self.engaged {
            Some(text) => args::size("--engaged", text).map_err(one)?,
            None => thread.major,
        };
        let wanted = Wanted { pitch: thread.pitch, engaged, form: thread.form() };
        let gear = Gear { leadscrew, wheels: &wheels, gearbox: &gearbox };
        let figures = change_wheels(gear, wanted).map_err(one)?.figures();
        Ok(Answer::new(format!("gear for {}", thread.designation)).figures("", figures))
    }
}
