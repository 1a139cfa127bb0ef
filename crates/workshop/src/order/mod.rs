//! The order of work: exact planning with locators.
//!
//! [`order_of_work`] takes a part in the sizes it is made to, and the bench; an
//! [`OrderOfWork`] comes out, in shop words, proven and checked. On the way:
//!
//! 1. `plates` (with `chains`, `places`, `ends`) and `turned` list what may be
//!    done to the part and where: deeds and places. Nothing is decided there. Of an
//!    end or hole that can be made in several ways, `offers` makes an either-or of the
//!    model, and [`work::OrderOfWork::other_ways`] tells what the others would cost.
//! 2. `rules` is the one list of what must come before what and why; it says
//!    which locators a deed or holding needs, makes and spoils.
//! 3. `kept` says which distances have to be kept and what asks for each, `accuracy` what each
//!    way of making their ends adds up to, `sizes` how near sizes come, `coaxial` what runs true
//!    and `oriented` what lies square, parallel or flat; the figures are those of
//!    `tables/processes/`, named in `process`.
//! 4. `build` turns all of it into an exact [`Model`]: operations, setups, tools, and tokens
//!    (faces, edges, bores, "still stuck together"). The engine knows no drawing:
//!    [`search`] finds the cheapest [`Plan`] and proves it, [`mod@check`] replays it and
//!    shares no code with the search, [`explain`] says what a trap step would lose,
//!    [`conflict`] which rules fight when nothing is possible.
//! 5. `answer` plans one way of going about the part and reads it back; `best` compares the
//!    ways (`stacks`: stuck or `screwed` together or neither, either end first) and keeps the best.
//! 6. `asking` puts what the person says of the order to the model, in the words that
//!    `calls` gives operations; `pinned` tells what it costs or cannot be, and [`moves`]
//!    what may stand elsewhere and why not.
//!
//! Begin with [`work`] for what comes out, `rules.rs` for what the trade knows, and
//! [`model`] for what a valid plan is. A new kind of feature wants its deeds in `chains`
//! or `turned`, its rules, and a case for each.

mod accuracy;
mod agree;
mod all_over;
mod answer;
mod around;
mod asking;
mod beside;
mod best;
mod blanks;
mod bound;
mod build;
mod by_eye;
mod calls;
mod cast;
mod cast_rim;
mod chains;
mod charges;
pub mod check;
mod coarse;
mod coaxial;
mod compile;
pub mod conflict;
mod deed;
mod discs;
mod ends;
pub mod explain;
mod feasible;
mod figures;
mod harden;
mod holding;
mod improve;
mod joints;
mod kept;
mod left;
mod lined_up;
pub mod model;
pub mod moves;
mod node;
mod numbered;
mod offers;
mod oriented;
mod overhang;
pub(crate) mod parted;
mod pinned;
mod places;
mod plates;
mod pressed;
mod process;
mod punched;
mod roughing;
mod rules;
mod screwed;
mod screwed_on;
pub mod search;
mod sizes;
mod sound;
mod stacks;
mod tapers;
#[cfg(test)]
mod tests;
mod thin_disc;
mod throws;
mod told;
mod tool;
mod tooling;
mod traps;
mod turned;
mod turned_held;
mod turned_lathe;
mod turned_mill;
mod uses;
mod waste;
mod weighed;
mod words;
pub mod work;

pub use answer::order_of_work;
pub(crate) use blanks::rolled;
pub use check::{Broken, Fault, check};
pub use conflict::Conflict;
pub use explain::{Swap, may_swap, would_lose};
pub(crate) use harden::{lapped_off, left_for_lapping};
pub use model::{
    After, Agreement, Aid, AidId, Charges, Choice, FirstSetup, Group, GroupId, MachineId, Model, Need, OpId,
    Operation, Plan, Presence, Proof, Rule, Sets, Setup, SetupId, Spoil, Start, Step, Tally, Token, TokenId,
    Tool, ToolId, Way, Weights,
};
pub use moves::{May, Room};
pub(crate) use process::slides_within;
pub(crate) use roughing::across_the_bar;
pub(crate) use screwed_on::{OwnThread, own_thread};
pub use search::{Effort, Outcome, plan};
pub(crate) use throws::past_the_pin;
pub use work::{
    Answered, Charged, Chosen, Cost, Deep, Done, Held, Holding, Joined, Located, Lots, Lying, Machine,
    OrderOfWork, Pieces, Priced, Screw, Steadied, Sure, Trap, Uses, Work,
};
