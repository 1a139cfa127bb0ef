//! The metric part as it is handed on: a size for every dimension, a thread for
//! every thread, what makes each, and why it and nothing else was chosen.

use super::against::Other;
use super::search::Proof;
use crate::bench::{Bench, EndMill, Reamer, Saw, Stock, same_thing};
use crate::drawing::{DimensionId, Role, Sizes, ThreadId};
use crate::measure::{Length, Written};
use crate::tables::drills::Drill;
use crate::tables::taper_pins::TaperPin;
use crate::tables::threads::{Percent, Thread};
use crate::why::Why;

/// The metric part: the same drawing with other numbers, and the reasons.
#[derive(Clone, Debug)]
pub struct MetricPart {
    /// The sizes to make it by.
    pub sizes: Sizes,
    /// One for each dimension of the drawing, in its order.
    pub dimensions: Vec<DimensionChoice>,
    /// One for each thread of the drawing, in its order.
    pub threads: Vec<ThreadChoice>,
    /// The bar, flat or plate that the body is cut from; none where the part
    /// stays as drawn.
    pub stock: Option<StockChoice>,
    /// What would have to be bought, each thing once.
    pub purchases: Vec<ToBuy>,
    /// How good the choice is known to be.
    pub proof: Proof,
    /// The same in a sentence.
    pub proven: String,
    /// What was supposed because neither drawing nor bench says.
    pub assumed: Vec<String>,
}

/// What became of one dimension.
#[derive(Clone, Debug)]
pub struct DimensionChoice {
    /// Which dimension.
    pub id: DimensionId,
    /// As the drawing has it.
    pub written: Written,
    /// That, exactly.
    pub exact: Length,
    /// The size to make it.
    pub chosen: Length,
    /// What brings it out.
    pub made: MadeWith,
    /// Whether everything for it is owned.
    pub owned: Owned,
    /// What may become of it.
    pub role: Role,
    /// The greatest departure from the drawing that was allowed, either way.
    pub limit: Length,
    /// As written, exactly, by which rule, with what.
    pub why: Why,
    /// Every other size there was, nearest the drawing first.
    pub refused: Vec<Other>,
}

/// What became of one thread.
#[derive(Clone, Debug)]
pub struct ThreadChoice {
    /// Which thread.
    pub id: ThreadId,
    /// As the drawing has it.
    pub written: String,
    /// The thread to cut.
    pub chosen: &'static Thread,
    /// The drill before the tap; none for a thread on the outside.
    pub tapping_drill: Option<Drill>,
    /// How much thread that drill leaves, and on which basis.
    pub percent: Option<Percent>,
    /// How long the thread is, and how long it should be; none for a thread on
    /// the outside.
    pub engagement: Option<Engagement>,
    /// Whether tap or die and drill are owned.
    pub owned: Owned,
    /// As written, by which rule, with what; a short engagement is said here.
    pub why: Why,
    /// Every other thread there was, nearest the drawing first; the sizes are major
    /// diameters.
    pub refused: Vec<Other>,
}

/// The length of full thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Engagement {
    /// What the part has room for.
    pub available: Length,
    /// What a full-strength thread takes in this material.
    pub wanted: Length,
}

/// What brings a size out.
#[derive(Clone, Debug, PartialEq)]
pub enum MadeWith {
    /// A twist drill alone.
    Drill(Drill),
    /// A reamer after a drill.
    Reamer {
        /// The reamer.
        reamer: Reamer,
        /// The drill that leaves it its allowance.
        pilot: Drill,
    },
    /// The boring head or a boring tool.
    Boring {
        /// The drill that lets the tool in.
        pilot: Drill,
    },
    /// An end mill or slot drill, in one pass or in two beside each other.
    EndMill(EndMill),
    /// A slitting saw.
    Saw(Saw),
    /// The stock has the size already.
    Stock(Stock),
    /// Brought out by setting the machine.
    Setting,
    /// A taper reamer after stepped drills.
    TaperReamer(&'static TaperPin),
    /// Filed to its gauge.
    File,
    /// Turned.
    Lathe,
    /// Nothing: it is as drawn, or as measured, and stays so.
    Exact,
}

/// Whether something is owned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Owned {
    /// Everything for it is on the bench.
    Owned,
    /// Something has to be bought.
    Buy,
}

/// A size that was ruled out before any choosing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// The size.
    pub value: Length,
    /// What would make it: `drill 3.2 mm`.
    pub with: String,
    /// Why.
    pub reason: String,
}

/// What the body is cut from.
#[derive(Clone, Debug)]
pub struct StockChoice {
    /// The bar, flat or plate.
    pub stock: Stock,
    /// Whether it is in the rack.
    pub owned: Owned,
    /// Why it.
    pub why: Why,
}

/// Something to buy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToBuy {
    /// `reamer 9.5 mm H7`.
    pub what: String,
    /// What needs it.
    pub because: String,
    /// Whether the person has said that they would buy it.
    pub standing: Standing,
    /// Its price band, where it counts in the choice.
    pub price: Option<u32>,
}

/// How the person stands to a thing that would have to be bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It is needed, and counts in the choice.
    Needed,
    /// They would buy it: it is still to buy, and costs nothing in the choice.
    Ticked,
}

impl ToBuy {
    /// A thing to buy, with what the bench says of it.
    pub fn new(bench: &Bench, what: String, because: String) -> Self {
        let standing = if bench.would_buy(&what) { Standing::Ticked } else { Standing::Needed };
        Self { what, because, standing, price: None }
    }
}

/// What the person would buy that none of these parts has any use for, in words; parts of
/// the same project that have no sizes go by their names in `open`.
pub fn unused(bench: &Bench, parts: &[&MetricPart], open: &[&str]) -> Vec<String> {
    let used =
        |name: &&String| parts.iter().flat_map(|part| &part.purchases).any(|buy| same_thing(&buy.what, name));
    let idle = bench.would_buy.iter().filter(|name| !used(name));
    let perhaps = match open {
        [] => String::new(),
        [one] => format!("; {one} has no sizes yet, and may"),
        several => format!("; {} have no sizes yet, and may", several.join(" and ")),
    };
    idle.map(|name| format!("`{name}` would be bought, and nothing chosen here uses it{perhaps}")).collect()
}
