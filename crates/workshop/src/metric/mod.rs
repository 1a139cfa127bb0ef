//! The metric part: which size takes the place of each size on the drawing.
//!
//! A [`Model`] states the choice exactly: what each dimension may become, what
//! that costs, and what must hold between them. [`solve`] finds the best choice
//! and proves it, or names the smallest set of demands that cannot all hold;
//! [`alternatives()`] says what every other candidate would have cost or broken.
//! None of this knows what a hole or a wall is.
//!
//! Begin with [`model`], then [`search`].

pub mod alternatives;
mod bucket;
mod choice;
mod clash;
mod factor;
mod kept;
mod metricate;
pub mod model;
mod network;
mod partial;
mod polish;
pub mod search;

pub use alternatives::{Alternative, Verdict, alternatives};
pub use choice::{
    DimensionChoice, Engagement, MadeWith, MetricPart, Owned, Refused, StockChoice, ThreadChoice, ToBuy,
};
pub use metricate::metricate;
pub use model::{
    Candidate, Constraint, ConstraintId, Cost, Demand, Judgement, Linear, Model, Purchase, PurchaseId, Span,
    Test, Variable, VariableId,
};
pub use search::{Outcome, Proof, Solved, solve};
