//! `reckon change-wheels`.

use workshop::problem::Outcome;
use workshop::settings::change_wheels::{Gear, Wanted, change_wheels};
use workshop::tables::threads;

use super::gear_arg::{GearArg, Geared};
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
    #[command(flatten)]
    gear: GearArg,
    /// How much of the thread is engaged at once; its own diameter where nothing is said
    #[arg(long, value_name = "SIZE")]
    engaged: Option<String>,
}

impl ChangeWheels {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let thread = threads::find(&self.thread).map_err(one)?;
        let Geared { leadscrew, wheels, gearbox } = self.gear.read()?;
        let engaged = match &self.engaged {
            Some(text) => args::size("--engaged", text).map_err(one)?,
            None => thread.major,
        };
        let wanted = Wanted::of(thread, engaged);
        let gear = Gear { leadscrew, wheels: &wheels, gearbox: &gearbox };
        let figures = change_wheels(gear, wanted).map_err(one)?.figures();
        Ok(Answer::new(format!("gear for {}", thread.designation)).figures("", figures))
    }
}
