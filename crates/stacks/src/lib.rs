//! Tolerance stacks: what sizes that add up come to when each may lie anywhere between
//! its limits, and pins lie loose in their holes.
//!
//! A [`Stack`] goes in: quantities with limits and a [`Law`], a factor for each, and the
//! [`Play`] of pins in bores. Out come the worst case, the root of the sum of squares, the
//! exact mean and deviation, who contributes how much, and [`Trial`]s of many drawn
//! assemblies. Lengths are `f64` of any one unit. Nothing here reads a clock, a disk or a
//! source of chance: sample `n` of a quantity is a function of the seed, the quantity's
//! place and `n`, so the answer is the same however many threads draw it.
//!
//! Begin with [`Stack`]; then [`Stack::spread`] and [`Stack::tried`].

mod bell;
mod chain;
mod draw;
mod fault;
mod law;
mod normal;
mod sample;

pub use chain::{Contribution, Lies, Play, Quantity, Range, Spread, Stack};
pub use draw::even;
pub use fault::Fault;
pub use law::Law;
pub use normal::{below, quantile};
pub use sample::{Asked, Quantile, Trial};
