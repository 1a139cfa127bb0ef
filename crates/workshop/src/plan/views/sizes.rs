//! The dimensions of the views after ISO 129-1: each once, in the view that shows
//! it best, in the chains in which the drawing gives them.

use std::collections::BTreeMap;

use super::Letters;
use super::shape::Shaped;
use crate::plan::sheet::{Looking, Saying};

/// What is said on each view.
pub(super) fn sizes(
    _shaped: &Shaped,
    _letters: &Letters,
    _shown: &[Looking],
    _mirrored: bool,
) -> BTreeMap<Looking, Vec<Saying>> {
    BTreeMap::new()
}
