//! `shelf`: the reference tables, looked up by the names the trade uses.

mod clearance;
mod drill;
mod fit;
mod material;
mod taper;
mod thread;
mod tolerance;

use clap::Subcommand;
use workshop::problem::Outcome;

use crate::answer::Answer;

pub use fit::Fit;

/// Each table on the shelf.
#[derive(Subcommand)]
#[command(after_help = "Example:\n  oddleg shelf thread 7 BA")]
pub enum Shelf {
    /// A twist drill: number, letter, fraction or millimetres
    Drill(drill::Drill),
    /// A screw thread, its tapping drills and the percent of thread each leaves
    Thread(thread::Thread),
    /// The limits of a fit: ISO 286, or a plain word such as `running`
    Fit(Fit),
    /// A taper pin and its drills
    Taper(taper::Taper),
    /// A material: cutting speeds, force, density, tapping
    Material(material::Material),
    /// Clearance holes for a screw
    Clearance(clearance::Clearance),
    /// The general tolerance of a size without its own
    Tolerance(tolerance::Tolerance),
}

impl Shelf {
    /// Looks it up.
    pub fn run(&self) -> Outcome<Answer> {
        let found = match self {
            Self::Drill(asked) => asked.run(),
            Self::Thread(asked) => asked.run(),
            Self::Fit(asked) => asked.run(),
            Self::Taper(asked) => asked.run(),
            Self::Material(asked) => asked.run(),
            Self::Clearance(asked) => asked.run(),
            Self::Tolerance(asked) => return asked.run(),
        };
        found.map_err(|fault| vec![fault])
    }
}
