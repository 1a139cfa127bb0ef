//! `reckon starts`.

use workshop::problem::{Outcome, Problem};
use workshop::settings::change_wheels::{Gear, Wanted, change_wheels};
use workshop::settings::starts::Asked;
use workshop::tables::threads;

use super::gear_arg::{GearArg, Geared};
use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks how a thread of several starts is geared and indexed in the lathe.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon starts \"M10x1 2 starts\" --leadscrew 3mm --wheels 20,25,30,35,40,45,50,60 --step 0.02mm --top-slide 60mm")]
pub struct Starts {
    /// The thread with its starts: `M10x1 2 starts`; the number is that of the pitch, not of the lead
    thread: String,
    #[command(flatten)]
    gear: GearArg,
    /// A division of the top slide's dial
    #[arg(long, value_name = "SIZE")]
    step: String,
    /// How far the top slide travels
    #[arg(long, value_name = "SIZE")]
    top_slide: Option<String>,
    /// The work is between centres, and a chuck of so many jaws drives its carrier
    #[arg(long, value_name = "JAWS")]
    jaws: Option<u32>,
}

impl Starts {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let thread = threads::find(&self.thread).map_err(one)?;
        if thread.starts < 2 {
            let fault = Problem::new(format!("{} has one start", thread.designation))
                .why("nothing has to be brought to another")
                .mend(format!("say how many run side by side, such as `{} 2 starts`", thread.designation));
            return Err(one(fault));
        }
        if let Some(jaws) = self.jaws.filter(|jaws| !(2..=6).contains(jaws)) {
            let fault = Problem::new(format!("a chuck of {jaws} jaws")).at("--jaws");
            return Err(one(fault.why("chucks have from two to six").mend("count them again")));
        }
        let step = args::size("--step", &self.step).map_err(one)?;
        let top_slide = self.top_slide.as_deref().map(|text| args::size("--top-slide", text));
        let top_slide = top_slide.transpose().map_err(one)?;
        for (size, at) in [(Some(step), "--step"), (top_slide, "--top-slide")] {
            if let Some(size) = size.filter(|size| !size.is_positive()) {
                let fault = Problem::new(format!("{size} is not more than nought")).at(at);
                return Err(one(fault.mend("give it as measured")));
            }
        }
        let Geared { leadscrew, wheels, gearbox } = self.gear.read()?;
        let gear = Gear { leadscrew, wheels: &wheels, gearbox: &gearbox };
        let gearing = change_wheels(gear, Wanted::of(thread, thread.major)).map_err(one)?;
        let jaws: Vec<u32> = self.jaws.into_iter().collect();
        let leadscrew = Some(leadscrew);
        let asked = Asked { thread, gearing: &gearing, leadscrew, top_slide, step, jaws: &jaws };
        let figures = asked.figures().map_err(one)?;
        Ok(Answer::new(format!("{}, a lead of {}", thread.designation, thread.lead()))
            .figures("", figures)
            .figures("gear", gearing.figures()))
    }
}
