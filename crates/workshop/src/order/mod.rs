//! The order of work: exact planning with locators.
//!
//! A [`Model`] goes in: operations with the setups and tools they can be done
//! in, and the tokens (faces, edges, holes, "still stuck together") each one
//! needs, makes and spoils. A [`Plan`] comes out: steps, cost, and whether the
//! cost is proven least. Nothing here knows a drawing; the rules that turn a part
//! into a model, and the sheets that print a plan, are elsewhere.
//!
//! Begin with [`model`], which states what a valid plan is. [`search`] finds the
//! plan; [`check`] replays it against the model and shares no code with the
//! search; [`explain`] says what a trap step would lose; [`conflict`] says which
//! rules fight when nothing is possible.

mod answer;
mod bound;
mod build;
mod chains;
pub mod check;
mod compile;
pub mod conflict;
mod deed;
mod ends;
pub mod explain;
mod held;
pub mod model;
mod node;
mod places;
mod plates;
mod rules;
pub mod search;
mod sound;
#[cfg(test)]
mod tests;
mod tooling;
mod traps;
mod turned;
mod words;
pub mod work;

pub use answer::order_of_work;
pub use check::{Broken, Fault, check};
pub use conflict::Conflict;
pub use explain::{Swap, may_swap, would_lose};
pub use model::{
    After, Aid, AidId, Charges, Choice, FirstSetup, Group, GroupId, MachineId, Model, Need, OpId, Operation,
    Plan, Presence, Proof, Rule, Setup, SetupId, Spoil, Start, Step, Tally, Token, TokenId, Tool, ToolId,
    Way, Weights,
};
pub use search::{Effort, Outcome, plan};
pub use work::{Deep, Held, Holding, Located, Machine, OrderOfWork, Pieces, Sure, Trap, Work};
