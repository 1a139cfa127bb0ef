//! What follows from a part's sizes and is asked again and again: reckoned when it is
//! first asked, and kept.

use std::sync::OnceLock;

use super::hollow::BlindPocket;
use super::{Axis, FeatureId, NamedWall, Part};
use crate::measure::Length;

/// What is known of a part by now. Another part, with other sizes or mirrored, begins anew.
#[derive(Debug, Default)]
pub(super) struct Reckoned {
    /// Its walls in plan.
    pub walls: OnceLock<Vec<NamedWall>>,
    /// Left, right, bottom and top of the outside.
    pub edges: OnceLock<[Length; 4]>,
    /// Its pockets with a floor.
    pub pockets: OnceLock<Vec<BlindPocket>>,
    /// Where each feature is placed, not mirrored.
    places: OnceLock<Vec<[Option<Length>; 3]>>,
}

impl Reckoned {
    /// Where a feature of a part is placed along an axis, not mirrored.
    pub fn place(&self, part: &Part, id: FeatureId, axis: Axis) -> Option<Length> {
        let place = |id, axis| {
            let drawn = part.solved.place(id, axis)?;
            Some(part.moved.at(id, axis).unwrap_or_else(|| part.value(drawn)))
        };
        let all = || {
            part.features().map(|(id, _)| [Axis::X, Axis::Y, Axis::Z].map(|axis| place(id, axis))).collect()
        };
        self.places.get_or_init(all)[id.0][axis as usize]
    }
}
