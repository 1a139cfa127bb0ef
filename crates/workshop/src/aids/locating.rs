//! A shaft that goes into a bore whatever both come out at, and how little it shakes.

use super::bore::Bore;
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::fits::{self, Fit};
use crate::why::{Figure, Why};

/// The class an aid's shaft is turned to: the closest in the table that never
/// binds in a bore whose least size is nominal.
pub(super) const SLIDES_IN: &str = "g6";

/// A shaft turned to fit a bore.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shaft {
    /// The bore's limits and the shaft's.
    pub fit: Fit,
}

/// A shaft for a bore.
///
/// # Errors
///
/// A [`Problem`] when the bore is outside the table of fits.
pub(super) fn shaft(bore: &Bore, class: &str) -> Result<Shaft, Problem> {
    Ok(Shaft { fit: Fit { hole: bore.limits.clone(), shaft: fits::limits(class, bore.size)? } })
}

impl Shaft {
    /// The size in the middle, to aim at.
    pub(super) fn aim(&self) -> Length {
        (self.fit.shaft.least() + self.fit.shaft.greatest()).half()
    }

    /// `7.986 to 7.995 mm`.
    pub(super) fn shown(&self) -> String {
        limits_shown(self.fit.shaft.least(), self.fit.shaft.greatest())
    }

    /// The figure, with the clearance at worst case.
    pub(super) fn figure(&self, name: &str, bore: &Bore) -> Figure {
        let why = Why::new(format!(
            "{} in the {}: at worst {} mm free and {} mm loose, so it always goes in and does not shake",
            self.fit.shaft.class,
            bore.name,
            self.fit.least_clearance().decimals(3),
            self.fit.greatest_clearance().decimals(3)
        ))
        .source(self.fit.shaft.source.to_string())
        .because(bore.why.clone());
        Figure::new(name, self.shown(), why)
    }

    /// What to say where the lathe cannot set so little.
    pub(super) fn finish_by_hand(&self, step: Option<Length>) -> Option<String> {
        let width = self.fit.shaft.greatest() - self.fit.shaft.least();
        let step = step.filter(|step| *step > width)?;
        Some(format!(
            "The limits are {} mm apart and one mark of the cross-slide is {} mm: leave the last 0.02 mm for a \
             fine file and emery, and measure with a micrometer.",
            width.decimals(3),
            step.shown(3)
        ))
    }
}

/// Two limits, the lesser first.
pub(super) fn limits_shown(least: Length, greatest: Length) -> String {
    format!("{} to {} mm", least.decimals(3), greatest.decimals(3))
}
