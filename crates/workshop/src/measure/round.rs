//! Rounding once, at the edge, with the loss shown.

use num_rational::Ratio;

use super::Length;

/// Which way a rounding may go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Toward {
    /// To the nearest step; half a step goes away from nought.
    Nearest,
    /// To the step below: never more than the exact value.
    Less,
    /// To the step above: never less than the exact value.
    More,
}

/// A length as it will be set, and what that cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rounded {
    /// The whole number of steps that will be set.
    pub value: Length,
    /// `value` less the exact length.
    pub loss: Length,
}

impl Length {
    /// Rounds to a whole number of `step`s, as a readout or dial does.
    ///
    /// ```
    /// use workshop::measure::{Length, Toward};
    /// let set = Length::inches(27, 32).rounded(Length::microns(5), Toward::Nearest);
    /// assert_eq!(set.value, Length::microns(21_430));
    /// assert_eq!(set.loss, Length::mm_ratio(-125, 100_000));
    /// ```
    ///
    /// # Panics
    ///
    /// When `step` is not more than nought.
    pub fn rounded(self, step: Length, toward: Toward) -> Rounded {
        assert!(step.is_positive(), "a machine's step is more than nought");
        let steps: Ratio<i128> = self.ratio_to(step);
        let whole = match toward {
            Toward::Nearest => steps.round(),
            Toward::Less => steps.floor(),
            Toward::More => steps.ceil(),
        };
        let value = step.scaled(whole);
        Rounded { value, loss: value - self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// The loss is never more than half a step, or a step when sided, and it
        /// always accounts for the whole difference.
        #[test]
        fn the_loss_is_bounded_by_the_step(num in -1_000_000i64..1_000_000, step in 1i64..500) {
            let (exact, step) = (Length::inches(num.into(), 6400), Length::microns(step));
            let near = exact.rounded(step, Toward::Nearest);
            prop_assert!(near.loss.abs() * 2 <= step);
            prop_assert_eq!(near.value - near.loss, exact);
            let (less, more) = (exact.rounded(step, Toward::Less), exact.rounded(step, Toward::More));
            prop_assert!(less.value <= exact && exact <= more.value);
            prop_assert!(more.value - less.value <= step);
        }
    }
}
