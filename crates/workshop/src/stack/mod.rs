//! Sizes across parts and fits that add up: what is left, and how often that is good.
//!
//! Parts with their metric sizes and what `assembly.toml` says go in; for every
//! `[[stack]]` of it, and every `[[chain]]` of a part file, a [`Told`] comes out: the sum as
//! drawn and as it will be made, its worst case exactly, its spread, and many drawn
//! assemblies, with the reason of every limit. The reckoning is that of the crate `stacks`;
//! here it is said which sizes there are and how far each may go.
//!
//! Begin with [`stacks()`]; how far a size may go is [`between`].

mod find;
mod limits;
mod reckon;
mod shown;

use std::num::NonZeroUsize;

pub use find::size_of;
pub(crate) use limits::law;
pub use limits::{Between, between};
pub(crate) use reckon::fit_between;
pub use reckon::{Member, State};

use crate::assembly::Assembly;
use crate::drawing::Drawing;
use crate::measure::Length;
use crate::metric::MetricPart;
use crate::problem::Problem;

/// A part, with its sizes where they are chosen.
#[derive(Clone, Copy, Debug)]
pub struct Held<'a> {
    /// The part as drawn.
    pub drawing: &'a Drawing,
    /// Its metric sizes; as-made sizes are among them.
    pub metric: Option<&'a MetricPart>,
}

/// How many assemblies are drawn, and which.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Draws {
    /// How many.
    pub samples: u64,
    /// Which: the same seed draws the same.
    pub seed: u64,
    /// Threads; the answer is the same whatever they are.
    pub threads: NonZeroUsize,
}

/// Which sizes were added up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// Those of the drawings.
    Drawn,
    /// The metric choice, and what is measured where something is made.
    Chosen,
}

impl Which {
    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Drawn => "as drawn",
            Self::Chosen => "as it will be made",
        }
    }
}

/// What was found of one sum.
#[derive(Clone, Debug)]
pub struct Told {
    /// What it is for.
    pub name: String,
    /// Where it is said.
    pub place: String,
    /// The sum in words.
    pub sum: String,
    /// What must be left, at least.
    pub least: Option<Length>,
    /// What may be left, at most.
    pub most: Option<Length>,
    /// As drawn, and as it will be made where every size is chosen.
    pub states: Vec<State>,
    /// Why there is no sum of the chosen sizes, where there is none.
    pub open: Option<String>,
}

/// Every sum that is asked for; what is wrong with the others comes beside them.
pub fn stacks(parts: &[Held], said: Option<&Assembly>, draws: Draws) -> (Vec<Told>, Vec<Problem>) {
    let (asked, mut faults) = find::asked(parts, said);
    let mut told = Vec::new();
    for sum in asked {
        match reckon::told(&sum, parts, draws) {
            Ok(one) => told.push(one),
            Err(more) => faults.extend(more),
        }
    }
    (told, faults)
}
