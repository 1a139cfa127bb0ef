//! How much thread a tapped hole has room for, and how much it must have.

use std::collections::BTreeMap;
use std::sync::Arc;

use num_rational::Ratio;

use super::demands::{Demands, one};
use super::gauge::{Gauge, Reading, place, sum_of};
use super::model::{Candidate, Demand, Linear, Model, Test, VariableId};
use super::rules::{STRIPPING_KEPT, THREAD_LENGTH, THREE_THREADS};
use super::screws;
use super::spans::read_by;
use super::way::{Cut, Job, ThreadWay};
use crate::drawing::{Axis, Body, Depth, DimensionId, Face, FeatureId, Kind, Part, Sizes, ThreadId};
use crate::measure::Length;
use crate::tables::threads::{Percent, Thread};

/// Full threads, at least.
const FULL_THREADS: i128 = 3;

/// The shortest thread that may take the place of one so long on the drawing.
///
/// Three full threads, or as many as the drawing has; and what the material asks, or so
/// much that neither the screw's thread nor the tapped one loses more than a tenth of the
/// area that would strip. The drawing's is taken in a hole of the percent that the
/// material asks.
pub fn least(job: &Job, drawn: &Thread, long: Length, way: &ThreadWay) -> Length {
    let full = Ratio::from_integer(FULL_THREADS).min(long.ratio_to(drawn.pitch));
    let threads = way.thread.pitch.scaled(full);
    let asked = way.thread.major.scaled(job.material.tapping.engagement_diameters);
    threads.max(asked.min(as_strong(job, drawn, long, way)))
}

/// The length that strips no sooner than nine tenths of the drawing's.
fn as_strong(job: &Job, drawn: &Thread, long: Length, way: &ThreadWay) -> Length {
    let (low, high) = screws::aim(job, drawn, Some(long));
    let percent = Percent { value: Ratio::new(low + high, 2), basis: drawn.form().workshop_basis() };
    let drawn_hole = drawn.drill_for(percent).unwrap_or(drawn.minor);
    // What the drawing's hole is drilled to nobody says: as it would be here.
    let hole = way.drill.as_ref().map_or(way.thread.minor, |drill| drill.diameter);
    let whole = Length::mm(1);
    let (had, has) = (drawn.strips(long, drawn_hole), way.thread.strips(whole, hole));
    let needed = (had.screw_mm2 / has.screw_mm2).max(had.hole_mm2 / has.hole_mm2) * STRIPPING_KEPT;
    Length::nearest(needed)
}

impl Demands<'_> {
    /// The sizes that are the length of a thread by themselves; none of a thread right
    /// across a part, or beyond a slit.
    pub fn lengths_of(&self, feature: FeatureId) -> Vec<DimensionId> {
        match self.job.feature(feature).kind {
            Kind::Tapped { depth: Depth::To(depth), .. } => vec![depth],
            Kind::Tapped { .. } if matches!(self.job.feature(feature).face, Face::Front | Face::Back) => {
                self.thicknesses(feature)
            }
            _ => Vec::new(),
        }
    }

    /// Demands length of those threads, right across a part or beyond a slit, that these
    /// sizes make too short; says whether there were any.
    pub fn short_threads(&mut self, sizes: &Sizes) -> bool {
        let before = self.model.constraints.len();
        for at in 0..self.threads.len() {
            let id = ThreadId(at);
            let Cut::Inside(feature) = self.job.cut(id) else { continue };
            if !self.lengths_of(feature).is_empty() {
                continue;
            }
            let drawn = available(self.job, &self.job.part.sizes, feature);
            let (Some(drawn), Some(now)) = (drawn, available(self.job, sizes, feature)) else { continue };
            // The drill is not among the sizes: the one that strips last is looked at.
            let mut shortest: BTreeMap<Length, Length> = BTreeMap::new();
            for way in &self.threads[at].ways {
                let least = least(self.job, self.job.drawing.threads[at].thread, drawn, way);
                let known = shortest.entry(way.thread.major).or_insert(least);
                *known = least.min(*known);
            }
            let name = format!("engagement of {}", self.job.drawing.threads[at].name);
            let known = self.model.constraints.iter().any(|constraint| constraint.name == name);
            if known || shortest.get(&sizes.threads[at].major).is_none_or(|&least| now >= least) {
                continue;
            }
            let because = format!("{}; {}", THREAD_LENGTH.because, THREE_THREADS.because);
            let test = self.long_enough(id, feature, shortest, sizes);
            self.model.demand(name, because, Demand::Test(test));
        }
        self.model.constraints.len() > before
    }

    /// The length measured on the part, once all that it depends on is settled.
    fn long_enough(
        &self,
        id: ThreadId,
        feature: FeatureId,
        shortest: BTreeMap<Length, Length>,
        chosen: &Sizes,
    ) -> Test {
        let now = available(self.job, chosen, feature);
        let felt = |moved: &Sizes| available(self.job, moved, feature) != now;
        self.as_made(id, chosen, felt, move |part, across| {
            let least = shortest.get(&across).copied().unwrap_or_default();
            length_in(part, feature).is_none_or(|long| long >= least)
        })
    }

    /// A tapped hole whose length is one size has thread enough.
    pub fn thread_length(&mut self, id: ThreadId, length: DimensionId) {
        let drawn = self.job.drawing.threads[id.0].thread;
        let long = self.job.dimension(length).written.length;
        let shortest: Vec<Length> =
            self.threads[id.0].ways.iter().map(|way| least(self.job, drawn, long, way)).collect();
        let name = format!("engagement of {}", self.job.drawing.threads[id.0].name);
        let because = format!("{}; {}", THREAD_LENGTH.because, THREE_THREADS.because);
        let thread = self.major(id);
        let sum = one(self.size(length));
        reaches(self.model, (name, because), (thread, shortest), sum);
    }
}

/// Demands that a sum is no less than the thread chosen and its drill ask.
pub fn reaches(
    model: &mut Model,
    (name, because): (String, String),
    (thread, least): (VariableId, Vec<Length>),
    sum: Linear,
) {
    let mut on = read_by([&sum]);
    on.insert(0, thread);
    let listed = on.clone();
    let demand = Demand::Reaches { sum: sum.clone(), by: thread, least: least.clone() };
    let stated = model.demand(name, because, demand);
    let read = move |made: &[&Candidate]| {
        let is = sum_of(&sum, |v| made[place(&on, v)].value);
        Some(Reading { what: "a length of", is, least: Some(least[made[0].label]), most: None })
    };
    model.measure(stated, Gauge { on: listed, read: Arc::new(read) });
}

/// The length of thread in a feature of the metric part; none where nothing on
/// the drawing settles it.
pub fn available(job: &Job, sizes: &Sizes, id: FeatureId) -> Option<Length> {
    length_in(&job.part.with_sizes(sizes.clone()), id)
}

fn length_in(part: &Part, id: FeatureId) -> Option<Length> {
    let feature = part.feature(id);
    match feature.kind {
        Kind::Tapped { depth: Depth::To(depth), .. } => Some(part.size(depth)),
        Kind::Tapped { depth: Depth::Through, .. } => through(part, id),
        Kind::ClampScrew { across, .. } => beyond_slit(part, id, across),
        _ => None,
    }
}

fn through(part: &Part, id: FeatureId) -> Option<Length> {
    let face = part.feature(id).face;
    if let Body::Turned { .. } = part.drawing.body {
        return match face {
            Face::Left | Face::Right => Some(part.thickness()),
            _ => part.cut_diameter(part.section_at(part.at(id, Axis::X)?)?),
        };
    }
    match face {
        Face::Front | Face::Back => Some(part.thickness_at(id)),
        _ => {
            let (first, last) = part.chord(id)?;
            Some(last - first)
        }
    }
}

/// From the far side of the slit to the far side of the part.
fn beyond_slit(part: &Part, id: FeatureId, slit: FeatureId) -> Option<Length> {
    let Kind::Slit { into, width, .. } = part.feature(slit).kind else { return None };
    let (first, last) = part.chord(id)?;
    let axis = part.feature(id).face.axis();
    let middle = part.at(into, axis)?;
    let half = part.size(width).half();
    let long = match part.feature(id).face {
        Face::Top | Face::Right => middle - half - first,
        _ => last - middle - half,
    };
    long.is_positive().then_some(long)
}
