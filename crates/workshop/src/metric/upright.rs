//! Sides of an outline that run along its edges on the drawing go on doing so, from whatever each of
//! their corners is measured.

use super::demands::{Demands, simple};
use super::model::{Demand, Linear};
use super::rules::UPRIGHT;
use crate::drawing::{Around, Axis, Body, FeatureId, Kind};
use crate::measure::Length;

impl Demands<'_> {
    /// Demands that two corners with a straight side between them stay plumb or level, where they are.
    pub(super) fn upright_sides(&mut self) {
        let Body::Outline { around, .. } = &self.job.drawing.body else { return };
        let corner = |item: &Around| match *item {
            Around::At(id) if matches!(self.job.feature(id).kind, Kind::Corner { .. }) => Some(id),
            _ => None,
        };
        let nexts = around.iter().cycle().skip(1);
        let sides: Vec<[FeatureId; 2]> = around
            .iter()
            .zip(nexts)
            .filter_map(|(one, other)| Some([corner(one)?, corner(other)?]))
            .collect();
        for [one, other] in sides {
            for (axis, stand) in [(Axis::X, "plumb"), (Axis::Y, "level")] {
                let Some(apart) = self.apart_along([one, other], axis) else { continue };
                let [one, other] = [one, other].map(|id| self.name(id).to_owned());
                let because = format!("{one} and {other} stand {stand} on the drawing: {}", UPRIGHT.because);
                let name = format!("side from {one} to {other}, {stand}");
                self.model.demand(name, because, Demand::equal(apart, Length::ZERO));
            }
        }
    }

    /// How far two features stand apart along an axis, where it is nothing on the drawing and could be
    /// something; not where the person has settled a size of it.
    fn apart_along(&self, pair: [FeatureId; 2], axis: Axis) -> Option<Linear> {
        let [one, other] = pair.map(|id| self.job.solved.place(id, axis));
        let apart = one?.clone().minus(other?);
        let settled = |id: &crate::drawing::DimensionId| {
            let dimension = &self.job.drawing.dimensions[id.0];
            dimension.pin.is_some() || dimension.made.is_some()
        };
        let sum = simple(&self.sum(&apart));
        let could = !sum.terms.is_empty() && self.as_drawn(&sum) == Length::ZERO;
        (could && !apart.terms.keys().any(settled)).then_some(sum)
    }
}
