//! `reckon`: one setting at a time, by the same functions that the sheets use.
//!
//! A new reckoner is one file here and one line in [`What`]. None of them does a
//! sum: each reads its sizes, asks `workshop::settings`, and hands on the figures.

mod dial;
mod position;
mod rounded_end;
mod speed;
mod supposed;
mod table_arg;
mod tapping;

use clap::Subcommand;
use workshop::problem::{Outcome, Problem};

use super::shelf;
use crate::answer::{Answer, Detail};

/// Reckons one thing.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon rounded-end --radius 11mm --other 7mm --centres 47mm --cutter 10mm --why")]
pub struct Reckon {
    /// Give the whole chain of reasons behind each figure
    #[arg(long, global = true)]
    why: bool,
    #[command(subcommand)]
    what: What,
}

/// Everything that can be reckoned.
#[derive(Subcommand)]
enum What {
    /// Both rounded ends of a lever, on the rotary table
    RoundedEnd(rounded_end::RoundedEnd),
    /// Readout positions of places, from two picked-up edges
    Position(position::Position),
    /// Turns and divisions of a handwheel
    Dial(dial::Dial),
    /// Spindle speed
    Speed(speed::Speed),

    /// The drill for a percent of thread
    Tapping(tapping::Tapping),
    /// The limits and clearances of a fit
    Fit(shelf::Fit),
}

impl Reckon {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let answer = match &self.what {
            What::RoundedEnd(asked) => asked.run(),
            What::Position(asked) => asked.run(),
            What::Dial(asked) => asked.run(),
            What::Speed(asked) => asked.run(),

            What::Tapping(asked) => asked.run(),
            What::Fit(asked) => asked.run().map_err(one),
        };
        Ok(answer?.detail(Detail::asked(self.why)))
    }
}

/// One problem, where several could be.
fn one(fault: Problem) -> Vec<Problem> {
    vec![fault]
}
