//! How much thread a tapped hole has room for, and how much it must have.

use std::sync::Arc;

use num_rational::Ratio;

use super::demands::Demands;
use super::gauge::{Gauge, Reading};
use super::model::{Candidate, Demand};
use super::rules::{STRIPPING_KEPT, THREAD_LENGTH, THREE_THREADS};
use super::screws;
use super::way::{Job, ThreadWay};
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
    let (low, high) = screws::aim(job, drawn);
    let percent = Percent { value: Ratio::new(low + high, 2), basis: drawn.form().workshop_basis() };
    let drawn_hole = drawn.drill_for(percent).unwrap_or(drawn.minor);
    let hole = way.drill.as_ref().map_or(way.thread.minor, |drill| drill.diameter);
    let whole = Length::mm(1);
    let (had, has) = (drawn.strips(long, drawn_hole), way.thread.strips(whole, hole));
    let needed = (had.screw_mm2 / has.screw_mm2).max(had.hole_mm2 / has.hole_mm2) * STRIPPING_KEPT;
    Length::nearest(needed)
}

impl Demands<'_> {
    /// A tapped hole whose length is one size has thread enough.
    pub fn thread_length(&mut self, id: ThreadId, length: DimensionId) {
        let drawn = self.job.drawing.threads[id.0].thread;
        let long = self.job.dimension(length).written.length;
        let shortest: Vec<Length> =
            self.threads[id.0].ways.iter().map(|way| least(self.job, drawn, long, way)).collect();
        let lengths = &self.ways[length.0].ways;
        let allowed =
            shortest.iter().map(|&least| lengths.iter().map(|long| long.value >= least).collect()).collect();
        let (a, b) = (self.major(id), self.size(length));
        let name = format!("engagement of {}", self.job.drawing.threads[id.0].name);
        let because = format!("{}; {}", THREAD_LENGTH.because, THREE_THREADS.because);
        let stated = self.model.demand(name, because, Demand::Pairs { a, b, allowed });
        let read = move |made: &[&Candidate]| {
            let least = Some(shortest[made[0].label]);
            Some(Reading { what: "a length of", is: made[1].value, least, most: None })
        };
        self.model.measure(stated, Gauge { on: vec![a, b], read: Arc::new(read) });
    }
}

/// The length of thread in a feature of the metric part; none where nothing on
/// the drawing settles it.
pub fn available(job: &Job, sizes: &Sizes, id: FeatureId) -> Option<Length> {
    let part = job.part.with_sizes(sizes.clone());
    let feature = part.feature(id);
    match feature.kind {
        Kind::Tapped { depth: Depth::To(depth), .. } => Some(part.size(depth)),
        Kind::Tapped { depth: Depth::Through, .. } => through(&part, id),
        Kind::ClampScrew { across, .. } => beyond_slit(&part, id, across),
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
