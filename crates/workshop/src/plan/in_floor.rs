//! A slot right through the floor of a pocket that was cut before it: the cutter begins at that
//! floor, and its flutes need only reach through what is left there.

use super::job::Setup;
use super::sheet::Row;
use crate::drawing::{Depth, DimensionId, FeatureId, Kind};
use crate::geometry::Point;
use crate::measure::Length;
use crate::order::Work;
use crate::order::work::{Deep, Step};
use crate::settings::show::practice;

/// The metal that is gone where a slot begins.
pub(super) struct Sunk {
    /// How deep the pocket is.
    pub by: Length,
    pocket: FeatureId,
    depth: DimensionId,
}

/// The pocket in whose floor a slot is cut right through, when it was cut before from the same face.
pub(super) fn sunk(setup: &Setup, step: &Step, deep: Deep) -> Option<Sunk> {
    let (Deep::Through(_), Some(slot), true) = (deep, step.feature, setup.frame.in_plan()) else {
        return None;
    };
    let order = setup.job.order;
    let before = order.steps.iter().take_while(|other| !std::ptr::eq(*other, step));
    let mut cut = before.filter(|other| order.setups[other.setup].pieces == setup.holding.pieces);
    cut.find_map(|other| {
        let pocket = other.feature.filter(|_| matches!(other.work, Work::MillPocket { .. }))?;
        let Kind::Pocket { depth: Depth::To(depth), .. } = setup.part.feature(pocket).kind else {
            return None;
        };
        let above = setup.part.feature(pocket).face == setup.frame.up();
        (above && stands_in(setup, slot, pocket)).then(|| Sunk { by: setup.part.size(depth), pocket, depth })
    })
}

/// Whether both ends of a slot stand in a pocket with all their width.
fn stands_in(setup: &Setup, slot: FeatureId, pocket: FeatureId) -> bool {
    let part = &setup.part;
    let Kind::Slot { width, along, .. } = part.feature(slot).kind else { return false };
    let within = || {
        let (x, y) = part.xy(slot)?;
        let [wx, wy, _] = part.way(slot, along);
        let ends = part.slot_span_mm(slot, 0.0)?.map(|mm| Point::at(x, y) + Point::new(wx, wy).times(mm));
        let (edge, half_mm) = (part.edge_within(pocket)?, part.size(width).half().as_mm());
        Some(ends.into_iter().all(|end| edge.contains(end) && edge.distance_mm(end) >= half_mm))
    };
    within().unwrap_or(false)
}

impl Sunk {
    /// Says from where the passes count.
    pub(super) fn tell(&self, setup: &Setup, row: &mut Row) {
        let label = setup.named(row.number, "passes");
        let name = &setup.part.feature(self.pocket).name;
        if let Some(passes) = row.depth.iter_mut().find(|figure| figure.name == label) {
            passes.shown.push_str(&format!(", from the floor of {name}"));
            let why = practice(format!("{name} is cut before it, and it begins there"));
            passes.why = passes.why.clone().because(why.because(setup.job.why_dimension(self.depth)));
        }
    }
}
