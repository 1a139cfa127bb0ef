//! What the person owns: machines, cutting tools, stock.
//!
//! A bench file goes in through [`read_bench`]; a [`Bench`] comes out. What the
//! file leaves out is supposed, and [`Bench::assumed`] says so in the words the
//! sheets print. Nothing here chooses a tool.

pub mod asks;
mod end_mill;
pub mod form;
mod instruments;
mod kept;
mod machines;
mod ranges;
mod read;
mod read_machines;
pub mod sets;
mod work_holding;

pub use end_mill::EndMill;
pub use instruments::Instrument;
pub use machines::{DepthDial, DialReads, DrillPress, Grows, Lathe, Mill, Readout, RotaryTable, Tailstock};
pub use ranges::read_pitch;
pub use read::{empty_bench, read_bench};
pub use work_holding::{There, WorkHolder};

use crate::measure::Length;
use crate::tables::drills::Drill;
use crate::tables::surface::Surface;
use crate::tables::taper_pins::TaperPin;
use crate::tables::threads::Thread;

/// Everything owned.
#[derive(Clone, Debug, PartialEq)]
pub struct Bench {
    /// What the person calls it.
    pub name: String,
    /// The milling machine; where there is none, an ordinary one that nothing is set on.
    pub mill: Mill,
    /// Whether there is a mill.
    pub mills: bool,
    /// The drill press, where there is one.
    pub drill_press: Option<DrillPress>,
    /// The lathe, where there is one.
    pub lathe: Option<Lathe>,
    /// The rotary table, where there is one.
    pub rotary_table: Option<RotaryTable>,
    /// Diameter of the edge finder's tip.
    pub edge_finder: Length,
    /// Twist drills, by size.
    pub drills: Vec<Drill>,
    /// Reamers, by size.
    pub reamers: Vec<Reamer>,
    /// Reamers for taper pins, by the pin.
    pub taper_reamers: Vec<&'static TaperPin>,
    /// Square broaches, from side to side.
    pub broaches: Vec<Length>,
    /// Taps, and dies of the same threads where nothing is said of dies.
    pub taps: Vec<&'static Thread>,
    /// Dies, where the file says.
    pub dies: Option<Vec<&'static Thread>>,
    /// End mills and slot drills, by diameter.
    pub end_mills: Vec<EndMill>,
    /// Slitting saws, by width.
    pub saws: Vec<Saw>,
    /// Collets and the shanks they hold.
    pub collets: Vec<Length>,
    /// What holds work in the lathe, where the file says.
    pub work_holding: Option<Vec<WorkHolder>>,
    /// Mandrels, by the bore they fit.
    pub mandrels: Vec<Length>,
    /// The boring head's range, where there is one.
    pub boring: Option<Boring>,
    /// What there is to measure with, where the file says.
    pub instruments: Option<Vec<Instrument>>,
    /// Bars, flats and plates in the rack.
    pub stock: Vec<Stock>,
    /// How long the pieces in the rack are, where the file says.
    pub pieces: Vec<RackPiece>,
    /// What the saw that cuts blanks off takes away, where the file says.
    pub saw_cut: Option<Length>,
    /// What the person would buy, by the names of the list of what to buy.
    pub would_buy: Vec<String>,
    /// Aids of earlier jobs that are in the drawer, by what their sheets say they are kept as.
    pub aids: Vec<String>,
    /// What was supposed because the file does not say.
    pub assumed: Vec<String>,
}

impl Bench {
    /// The speeds of what drills: the mill, or the drill press where there is none. A hand drill
    /// has none to set.
    pub fn drilling_speeds(&self) -> Option<&[u32]> {
        if self.mills {
            return Some(&self.mill.speeds);
        }
        self.drill_press.as_ref().map(|press| press.speeds.as_slice())
    }

    /// Whether there is a die for a thread: one of those listed, or that of a tap where none are.
    pub fn has_die(&self, thread: &Thread) -> bool {
        let dies = self.dies.as_ref().unwrap_or(&self.taps);
        dies.iter().any(|die| die.is_cut_as(thread))
    }

    /// Whether the person has said that they would buy a thing of this name.
    pub fn would_buy(&self, name: &str) -> bool {
        self.would_buy.iter().any(|wanted| same_thing(wanted, name))
    }
}

/// Whether two names mean one thing: capitals and the space before a unit say nothing.
pub fn same_thing(one: &str, other: &str) -> bool {
    let letters = |text: &str| -> Vec<char> {
        text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
    };
    letters(one) == letters(other)
}

/// A reamer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reamer {
    /// Nominal diameter.
    pub diameter: Length,
    /// The hole class it makes, such as `H7`.
    pub class: String,
}

/// A slitting saw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Saw {
    /// Across.
    pub diameter: Length,
    /// Width of the cut.
    pub width: Length,
    /// Diameter of the collar that holds it: its reach is half the difference.
    pub collar: Length,
    /// How many teeth.
    pub teeth: u32,
}

/// What a boring head can do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Boring {
    /// Smallest hole.
    pub least: Length,
    /// Largest hole.
    pub most: Length,
}

/// A bar, flat or plate in the rack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stock {
    /// Material, as the materials table names it.
    pub material: String,
    /// Its section.
    pub section: Section,
    /// The class its size is held to, such as `h9`, where known.
    pub class: Option<String>,
    /// Black or bright, where known.
    pub surface: Option<Surface>,
}

/// A piece that lies in the rack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RackPiece {
    /// What it is a piece of.
    pub stock: Stock,
    /// How long it is.
    pub length: Length,
    /// How wide, of a piece of plate.
    pub width: Option<Length>,
}

/// The section of stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Section {
    /// Flat bar or plate: the thickness, and the width where it is limited.
    Flat {
        /// The smaller measure.
        thickness: Length,
        /// The larger measure.
        width: Option<Length>,
    },
    /// Round bar.
    Round {
        /// Across.
        diameter: Length,
    },
    /// Hexagon bar.
    Hexagon {
        /// From flat to flat.
        across: Length,
    },
}
