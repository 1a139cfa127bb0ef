//! A coordinate as a sum of dimensions.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::DimensionId;
use crate::measure::Length;

/// A length that is a constant plus exact multiples of dimensions.
///
/// Keeping coordinates in this form lets metrication move dimensions without
/// solving the drawing again, and lets a wall be judged over every choice.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Linear {
    /// The part that no dimension moves.
    pub constant: Length,
    /// How much each dimension counts; none counts nought.
    pub terms: BTreeMap<DimensionId, Ratio<i128>>,
}

impl Linear {
    /// A fixed length.
    pub fn constant(constant: Length) -> Self {
        Self { constant, terms: BTreeMap::new() }
    }

    /// One dimension.
    pub fn dimension(id: DimensionId) -> Self {
        Self { constant: Length::ZERO, terms: BTreeMap::from([(id, Ratio::from_integer(1))]) }
    }

    /// Adds `times` another.
    #[must_use]
    pub fn plus(mut self, other: &Self, times: Ratio<i128>) -> Self {
        self.constant += other.constant.scaled(times);
        for (&id, &count) in &other.terms {
            let sum = self.terms.remove(&id).unwrap_or_default() + count * times;
            if sum != Ratio::from_integer(0) {
                self.terms.insert(id, sum);
            }
        }
        self
    }

    /// All of it times an exact number.
    #[must_use]
    pub fn times(&self, by: Ratio<i128>) -> Self {
        Self::default().plus(self, by)
    }

    /// This less another.
    #[must_use]
    pub fn minus(self, other: &Self) -> Self {
        self.plus(other, Ratio::from_integer(-1))
    }

    /// What it comes to with given sizes, one per dimension of the drawing.
    pub fn value(&self, sizes: &[Length]) -> Length {
        self.constant + self.terms.iter().map(|(id, &count)| sizes[id.0].scaled(count)).sum()
    }
}
