//! Leaving out of a part's own order what is done in assembly.

use super::deed::{Job, Makings};
use super::work::Work;
use crate::drawing::{FeatureId, Share};

/// Takes away the deeds that are left for assembly.
pub(super) fn leave_out(job: &Job, makings: &mut Makings) {
    if job.part.drawing.left.is_empty() {
        return;
    }
    makings.deeds.retain(|deed| match deed.feature.and_then(|id| job.part.drawing.left(id)) {
        None => true,
        Some(Share::Whole) => false,
        Some(Share::Finish) => !finishes(&deed.work),
    });
}

/// Whether a deed is the last that is done to a hole.
const fn finishes(work: &Work) -> bool {
    matches!(work, Work::Ream { .. } | Work::Bore { .. } | Work::TaperReam { .. } | Work::Tap { .. })
}

impl Job<'_> {
    /// Whether nothing of a feature is made in the part's own order.
    pub(super) fn left_whole(&self, id: FeatureId) -> bool {
        self.part.drawing.left(id) == Some(Share::Whole)
    }

    /// What is left for assembly, to be added to what a person may change.
    pub(super) fn left_words(&self) -> Option<String> {
        let names: Vec<String> = self
            .part
            .drawing
            .left
            .iter()
            .map(|left| format!("{} ({})", self.name(left.feature), left.said))
            .collect();
        (!names.is_empty()).then(|| names.join(", "))
    }
}
