//! The metric part: which size takes the place of each size on the drawing.
//!
//! A [`Model`] states the choice exactly: what each dimension may become, what
//! that costs, and what must hold between them. [`solve`] finds the best choice
//! and proves it, or names the smallest set of demands that cannot all hold;
//! [`alternatives()`] says what every other candidate would have cost or broken.
//! None of that knows what a hole or a wall is.
//!
//! The rules of the trade stand around it. [`metricate`] takes a drawing and a
//! bench: what each size may become comes from the bench (`ways` and the modules
//! it names: `holes`, `cutters`, `stock`, `mates`, `screws`,
//! `heads`), what must hold from
//! the drawing (`demands`, `walls`), what it costs from `weigh`; `read_back` turns
//! the answer into a [`MetricPart`] with a reason for each choice. The rules
//! themselves are one list: [`rules::RULES`]. Parts of a project are chosen as one:
//! [`together`] stitches their models into one (`making`, `stitch`).
//!
//! Begin with [`metricate`] and [`rules`]; for the search with [`model`] and
//! [`search`].

mod act;
mod against;
pub mod alternatives;
mod apart;
mod as_made;
mod black;
mod branch;
#[cfg(test)]
mod brute;
mod bucket;
mod buy;
mod buying;
mod cast;
mod chains;
mod choice;
pub mod clash;
mod coincidence;
mod cutouts;
mod cutters;
mod demands;
mod demands_turned;
mod depth;
mod engagement;
mod explain;
mod factor;
mod fewer;
mod from_bar;
mod gauge;
mod head_outline;
mod head_room;
mod heads;
mod hitting;
mod holes;
mod hollows;
mod impasse;
mod instead;
mod kept;
mod lots;
mod making;
mod mates;
mod measured;
mod memory;
mod metricate;
pub mod model;
mod multiplied;
mod narrow;
mod needs;
mod network;
mod offers;
mod others;
mod packed;
mod partial;
mod pinned;
mod pins;
mod polish;
mod pressure;
mod prices;
mod project;
mod read_back;
mod recesses;
mod reckon;
mod rule_out;
pub mod rules;
mod screws;
pub mod search;
mod shared;
mod shelf;
mod space;
mod spans;
mod standoff;
mod stated;
mod stitch;
mod stock;
mod strength;
mod sure;
mod ties;
mod together;
mod turned;
mod upright;
mod walk;
mod walls;
mod way;
mod ways;
mod ways_out;
pub mod weigh;
mod whole;
mod wide;

pub use against::{Against, Broken, Demanded, Other, Price, worth_telling};
pub use alternatives::{Alternative, Verdict, alternatives};
pub use buy::mill_as_bought;
pub use choice::{
    DimensionChoice, Engagement, MadeWith, MetricPart, Owned, Standing, StockChoice, ThreadChoice, ToBuy,
    unused,
};
pub use clash::{Core, Relaxation, cores, relaxations};
pub(crate) use from_bar::turned_from_bar;
pub use gauge::{Gauge, Read, Reading};
pub use holes::DRILLED_CLASS;
pub use instead::{Follows, Moved, instead};
pub use mates::clearance_asked;
pub use memory::Memory;
pub use metricate::{material, metricate};
pub use model::{
    Candidate, Constraint, ConstraintId, Cost, Demand, Judgement, Linear, Model, Purchase, PurchaseId, Span,
    THING, Test, Variable, VariableId,
};
pub use search::{Outcome, Proof, Solved, solve, solve_with};
pub use standoff::{Edit, Sized, Standoff, WayOut, all_can_be_had, can_be_had, standoffs, these_can_hold};
pub use together::{Piece, asked, some_together, standoffs_among, together};
pub use way::{drill_name, reamer_name, saw_name, taper_reamer_name};
pub use weigh::{Weight, limit, weights};
