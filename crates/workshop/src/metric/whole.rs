//! Walls that no sum of sizes states: to the sides and hollows of an outline, and round
//! pockets, square and flatted holes.
//!
//! They are measured on the part itself. That tells something only once every size they
//! depend on is known, so they are demanded late: only those that a choice has made too
//! thin, which is then made again.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::demands::Demands;
use super::model::{Demand, Judgement, Span, Test, VariableId};
use crate::drawing::{Around, Axis, Body, DimensionId, FeatureId, Kind, NamedWall, Part, ThreadId};
use crate::measure::Length;
use crate::tables::threads::Thread;

/// Walls nearer than this are equal: geometry hands on whole nanometres.
const SAME_MM: f64 = 1e-6;

impl Demands<'_> {
    /// Demands those of such walls that are too thin on the part as it would be made; says
    /// whether there were any.
    pub fn whole_walls(&mut self, made: &Part) -> bool {
        let drawn = self.job.part.walls();
        let before = self.model.constraints.len();
        for wall in made.walls() {
            if self.is_stated(wall) {
                continue;
            }
            let same = |other: &&NamedWall| (other.first, other.second) == (wall.first, wall.second);
            let as_drawn = drawn.iter().filter(same).map(|wall| wall.thickness).min();
            let kept = self.kept(wall, as_drawn.unwrap_or(Length::mm(1)));
            let known = self.model.constraints.iter().any(|constraint| constraint.name == kept.name);
            if known || wall.thickness.as_mm() >= kept.least.as_mm() - SAME_MM {
                continue;
            }
            let demand = Demand::Test(self.measured(wall, kept.least));
            self.state(&kept, demand);
        }
        self.model.constraints.len() > before
    }

    /// Demands sizes that the outline can be drawn with, where those chosen are not: two roundings
    /// that run into each other, say; says whether they were none.
    pub fn drawable_outline(&mut self, made: &Part) -> bool {
        let name = "the outline as a whole";
        let known = self.model.constraints.iter().any(|constraint| constraint.name == name);
        let (Ok(_), Err(fault)) = (self.job.part.outline(), made.outline()) else { return false };
        if known {
            return false;
        }
        let because = format!(
            "the sides and roundings of the outline meet as they do on the drawing: {}",
            fault.what()
        );
        let test = self.measured_by(self.outline_reads(), |part| part.outline().is_ok());
        self.model.demand(name, because, Demand::Test(test));
        true
    }

    /// Every size that the outline can depend on.
    fn outline_reads(&self) -> (Vec<DimensionId>, Vec<ThreadId>) {
        let (mut features, mut dimensions) = (Vec::new(), BTreeSet::new());
        match &self.job.drawing.body {
            Body::Outline { around, .. } => {
                for item in around {
                    match *item {
                        Around::At(id) => features.push(id),
                        Around::Arc { radius, .. } => {
                            dimensions.insert(radius);
                        }
                    }
                }
            }
            Body::Bosses { around, .. } => features.extend(around),
            Body::Rectangle { width, height, .. } => dimensions.extend([*width, *height]),
            Body::Disc { diameter, .. } => {
                dimensions.insert(*diameter);
            }
            Body::Turned { .. } => {}
        }
        self.read_of(features, dimensions)
    }

    /// Whether a wall is demanded from the beginning, as a sum or a distance.
    pub(super) fn is_stated(&self, wall: &NamedWall) -> bool {
        let has = |id: FeatureId| self.cutout(id).is_some();
        match wall.second {
            Some(second) => has(wall.first) && has(second),
            None => has(wall.first) && !matches!(self.job.drawing.body, Body::Outline { .. }),
        }
    }

    /// The wall measured on the part, once all that it depends on is settled.
    fn measured(&self, wall: &NamedWall, least: Length) -> Test {
        let (first, second) = (wall.first, wall.second);
        let least_mm = least.as_mm();
        self.measured_by(self.read_by(wall), move |part| match part.wall(first, second) {
            Some(thickness) => thickness.as_mm() >= least_mm - SAME_MM,
            // Sizes for which the outline cannot be drawn have no walls at all.
            None => part.outline().is_ok(),
        })
    }

    /// What is asked of the part, once all that it depends on is settled.
    fn measured_by(
        &self,
        (dimensions, threads): (Vec<DimensionId>, Vec<ThreadId>),
        holds: impl Fn(&Part) -> bool + Send + Sync + 'static,
    ) -> Test {
        let on: Vec<VariableId> = dimensions
            .iter()
            .map(|&id| self.size(id))
            .chain(threads.iter().map(|&id| self.major(id)))
            .collect();
        let drawing = Arc::new((self.job.drawing.clone(), self.job.solved.clone()));
        let base = self.job.part.sizes.clone();
        let choices: Vec<Vec<&'static Thread>> =
            threads.iter().map(|id| self.threads[id.0].ways.iter().map(|way| way.thread).collect()).collect();
        let judge = move |spans: &[Span]| {
            if spans.iter().any(|span| span.least != span.most) {
                return Judgement::Unsure;
            }
            let mut sizes = base.clone();
            for (id, span) in dimensions.iter().zip(spans) {
                sizes.lengths[id.0] = span.least;
            }
            for ((id, choices), span) in threads.iter().zip(&choices).zip(&spans[dimensions.len()..]) {
                if let Some(&thread) = choices.iter().find(|thread| thread.major == span.least) {
                    sizes.threads[id.0] = thread;
                }
            }
            let (drawing, solved) = &*drawing;
            let part = Part::as_drawn(drawing, solved).with_sizes(sizes);
            if holds(&part) { Judgement::Holds } else { Judgement::Breaks }
        };
        Test { on, judge: Arc::new(judge) }
    }

    /// Every size and thread that a wall can depend on.
    pub(super) fn read_by(&self, wall: &NamedWall) -> (Vec<DimensionId>, Vec<ThreadId>) {
        let (mut dimensions, mut threads) =
            self.read_of(std::iter::once(wall.first).chain(wall.second).collect(), BTreeSet::new());
        let body = match &self.job.drawing.body {
            Body::Outline { .. } => wall.second.is_none(),
            Body::Rectangle { .. } | Body::Disc { .. } => true,
            Body::Bosses { .. } | Body::Turned { .. } => false,
        };
        if body {
            let (more, of) = self.outline_reads();
            dimensions.extend(more);
            threads.extend(of);
            dimensions.sort();
            dimensions.dedup();
            threads.sort();
            threads.dedup();
        }
        (dimensions, threads)
    }

    /// Every size and thread that features can depend on, and some sizes besides.
    fn read_of(
        &self,
        mut features: Vec<FeatureId>,
        mut dimensions: BTreeSet<DimensionId>,
    ) -> (Vec<DimensionId>, Vec<ThreadId>) {
        let over: Vec<FeatureId> = features
            .iter()
            .filter_map(|&id| match self.job.feature(id).kind {
                Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => Some(over),
                Kind::Slit { into, .. } | Kind::Keyway { into, .. } => Some(into),
                _ => None,
            })
            .collect();
        features.extend(over);
        let mut threads: BTreeSet<ThreadId> = BTreeSet::new();
        for id in features {
            let kind = &self.job.feature(id).kind;
            dimensions.extend(kind.sizes());
            threads.extend(kind.thread());
            for hole in std::iter::once(id).chain(kind.pattern().unwrap_or_default().iter().copied()) {
                for axis in [Axis::X, Axis::Y] {
                    let place = self.job.solved.place(hole, axis);
                    dimensions.extend(place.into_iter().flat_map(|sum| sum.terms.keys().copied()));
                }
            }
        }
        (dimensions.into_iter().collect(), threads.into_iter().collect())
    }
}
