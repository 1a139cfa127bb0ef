//! Demands that no sum says: asked of the part as it would be made.

use std::sync::Arc;

use super::demands::Demands;
use super::model::{Judgement, Span, Test};
use crate::drawing::{DimensionId, Part, Sizes, ThreadId};
use crate::measure::Length;

impl Demands<'_> {
    /// What a part with a thread of some diameter must hold, once the thread and every
    /// size that is felt are settled; till then it is unsure. Those sizes are felt that
    /// change something when they alone go as far as they can from the sizes `chosen`.
    pub(super) fn as_made(
        &self,
        thread: ThreadId,
        chosen: &Sizes,
        felt: impl Fn(&Sizes) -> bool,
        holds: impl Fn(&Part, Length) -> bool + Send + Sync + 'static,
    ) -> Test {
        let is_felt = |&at: &usize| {
            [self.spans[at].least, self.spans[at].most].into_iter().any(|to| {
                let mut moved = chosen.clone();
                moved.lengths[at] = to;
                felt(&moved)
            })
        };
        let dimensions: Vec<usize> = (0..self.ways.len()).filter(is_felt).collect();
        let mut on = vec![self.major(thread)];
        on.extend(dimensions.iter().map(|&at| self.size(DimensionId(at))));
        let drawing = (self.job.drawing.clone(), self.job.solved.clone());
        let base = chosen.clone();
        let judge = move |spans: &[Span]| {
            if spans.iter().any(|span| span.least != span.most) {
                return Judgement::Unsure;
            }
            let mut sizes = base.clone();
            for (&at, span) in dimensions.iter().zip(&spans[1..]) {
                sizes.lengths[at] = span.least;
            }
            let part = Part::as_drawn(&drawing.0, &drawing.1).with_sizes(sizes);
            if holds(&part, spans[0].least) { Judgement::Holds } else { Judgement::Breaks }
        };
        Test { on, judge: Arc::new(judge) }
    }
}
