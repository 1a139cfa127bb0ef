//! Mechanisms of a project: what its parts do when they are put together.
//!
//! The text of `mechanism.toml` goes in through [`read_mechanisms`], with the parts whose
//! sizes it names; each [`Machine`] is a mechanism of the crate `mechanism` whose
//! parameters know where they come from. [`Machine::told`] follows it round as drawn and as
//! it will be made: strokes, swings, valve events, where it binds, and how every result
//! depends on every size. [`closest`] goes the other way: from what results may depart by to
//! what sizes may; [`strays()`] says how far a result goes when sizes and pins lie anywhere between
//! their limits. [`look_up`] takes from them what the setting aids of the project are made to.
//!
//! Begin with [`read_mechanisms`]; what is asked of a mechanism without being told to is
//! one list, [`asked::asked`].

mod arms;
pub mod asked;
mod between;
mod clear;
mod closest;
mod design;
mod holding;
mod joints;
mod links;
mod look;
mod loose;
mod looser;
mod machine;
mod read;
mod reasons;
mod run;
mod said;
mod setting;
mod shapes;
mod size;
mod strays;
mod wishes;
mod worst;

pub use arms::Arm;
pub use asked::{Asked, Shown};
pub use clear::Cleared;
pub use closest::{Closest, Room, closest};
pub use holding::hold_sizes;
pub use look::{Curve, Look, Trace, look};
pub use loose::{Clear, Loose, SaidKept, SaidPlay, SaidSpread};
pub use looser::{loosened, spared};
pub use machine::{Hold, Machine, Setting, ValveSaid};
pub use read::read_mechanisms;
pub use reasons::{reasons, title};
pub use run::{Run, Told, ValueOf};
pub use setting::look_up;
pub use shapes::{Form, Outside, Shape, ToClear};
pub use size::{Kind, Known};
pub use strays::{Strayed, contributions, strays};
pub use wishes::Designed;
pub use worst::AtWorst;

use crate::problem::Problem;

/// A fault of the crate `mechanism` in the words of the project.
fn problem(fault: mechanism::Fault) -> Problem {
    let problem = Problem::new(fault.what).why(fault.why).mend(fault.mend);
    if fault.place.is_empty() { problem } else { problem.at(fault.place.join(", ")) }
}
