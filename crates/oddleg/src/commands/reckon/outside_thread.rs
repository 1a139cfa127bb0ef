//! `reckon outside-thread`.

use workshop::bench::empty_bench;
use workshop::problem::{Outcome, Problem};
use workshop::settings::outside_thread::{Asked, RunsOut, Way, blank, way, why_blank};
use workshop::tables::materials::{self, Operation};
use workshop::tables::threads;
use workshop::why::Figure;

use super::one;
use super::speed::Spindle;
use crate::answer::Answer;
use crate::args;

/// Asks how a thread on the outside is cut in the lathe: by die or with a tool, and what is set.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon outside-thread M6 \"mild steel\" --shoulder --speeds 60,110,190,320
  oddleg reckon outside-thread M16 brass --tool --groove 13.5mm --groove-width 4mm --speeds 60,110,190,320")]
pub struct OutsideThread {
    /// The thread: `M12`, `1/2 BSW`, `0 BA`
    thread: String,
    /// The material
    material: String,
    /// It is cut with a tool, whatever dies there are
    #[arg(long)]
    tool: bool,
    /// It ends at a shoulder without a groove
    #[arg(long, conflicts_with = "groove")]
    shoulder: bool,
    /// It ends in a groove across so much
    #[arg(long, value_name = "SIZE", requires = "groove_width")]
    groove: Option<String>,
    /// The groove is so wide
    #[arg(long, value_name = "SIZE", requires = "groove")]
    groove_width: Option<String>,
    #[command(flatten)]
    pub(super) spindle: Spindle,
}

impl OutsideThread {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let thread = threads::find(&self.thread).map_err(one)?;
        let material = materials::find(&self.material).map_err(one)?;
        let (speeds, supposed) = self.spindle.speeds(Operation::Turning)?;
        let runs_out = match (&self.groove, &self.groove_width) {
            (Some(diameter), Some(width)) => {
                let [diameter, width] = args::sizes([("--groove", diameter), ("--groove-width", width)])?;
                for (size, at) in [(diameter, "--groove"), (width, "--groove-width")] {
                    if !size.is_positive() {
                        let fault = Problem::new(format!("the groove is {size}")).at(at);
                        return Err(one(fault.mend("give its size as drawn")));
                    }
                }
                RunsOut::Groove { diameter, width }
            }
            _ if self.shoulder => RunsOut::Shoulder,
            _ => RunsOut::Free,
        };
        let bench = self.spindle.bench.read()?.unwrap_or_else(empty_bench);
        let way = if self.tool { Way::Tool } else { way(&bench, thread) };
        let asked = Asked { thread, material, way, runs_out, speeds: &speeds };
        let mut figures = asked.figures().map_err(one)?;
        if let (Some(why), Some(speed)) = (supposed, figures.first_mut()) {
            speed.why.because.push(why);
        }
        figures.insert(0, Figure::new("turn it to", format!("⌀ {}", blank(thread)), why_blank(thread)));
        Ok(Answer::new(format!("{} on the outside, in {}", thread.designation, material.name))
            .figures("", figures))
    }
}
