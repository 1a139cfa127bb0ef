//! A counterbore follows the head of the screw it is for.
//!
//! Where a metric screw takes the place of the drawing's, its head is another: the
//! counterbore takes a socket cap head, knurled, which is the largest of the usual
//! ones. A screw that stays as drawn keeps the drawing's counterbore.

use super::buy::Buy;
use super::choice::MadeWith;
use super::demands::Demands;
use super::holes::{self, standard_mill};
use super::model::Demand;
use super::rules::{HEAD, SET};
use super::way::{Job, Owner, ThreadWays, Way};
use super::weigh::{convenient, unround};
use crate::drawing::{DimensionId, FeatureId, Kind, Role, ThreadId};
use crate::measure::Length;
use crate::tables::heads::{Head, cap_head};
use crate::tables::threads::Thread;

/// How much wider than its head a counterbore may be, so that an owned cutter serves.
const FREEDOM_MM: i64 = 2;

/// A counterbore at least so deep, in tenths of the screw's diameter, is there to sink
/// the whole head (from memory: old cheese heads are 0.6 to 0.7 high).
const SUNK_TENTHS: i64 = 6;

/// The screw whose head sinks in a counterbore of which this is a size.
fn screw_below(job: &Job, id: DimensionId) -> Option<(FeatureId, ThreadId)> {
    let Owner::Feature(feature) = job.owner(id) else { return None };
    let Kind::Counterbore { over, .. } = job.feature(feature).kind else { return None };
    match job.feature(over).kind {
        Kind::Hole { clears: Some(thread), .. } => Some((over, thread)),
        _ => None,
    }
}

/// The screw that a size is for, if any: of a hole it passes, or of its head.
pub fn screw_of(job: &Job, id: DimensionId) -> Option<ThreadId> {
    holes::screw_through(job, id).or_else(|| screw_below(job, id).map(|(_, thread)| thread))
}

/// The new heads that a counterbore may have to take; none that the drawing knew of.
fn heads(job: &Job, thread: ThreadId, threads: &[ThreadWays]) -> Vec<&'static Head> {
    let ways = threads[thread.0].ways.iter();
    let mut heads: Vec<_> = ways.filter_map(|way| new_head(job, thread, way.thread)).collect();
    heads.dedup();
    heads
}

fn new_head(job: &Job, drawn: ThreadId, thread: &'static Thread) -> Option<&'static Head> {
    (thread != job.drawing.threads[drawn.0].thread).then(|| cap_head(thread)).flatten()
}

/// Ways of a counterbore's diameter that take the head of a new screw.
pub fn wide_enough(job: &Job, id: DimensionId, limit: Length, threads: &[ThreadWays]) -> Vec<Way> {
    let Some((_, thread)) = screw_below(job, id) else { return Vec::new() };
    let mut ways: Vec<Way> = Vec::new();
    for head in heads(job, thread, threads) {
        let widest = head.knurled + Length::mm(FREEDOM_MM);
        let takes = |size: Length| size >= head.knurled && size <= widest;
        let owned = job.bench.end_mills.iter().filter(|mill| takes(mill.diameter));
        ways.extend(owned.map(|mill| Way::new(mill.diameter, MadeWith::EndMill(mill.clone()), &HEAD)));
        let have = |size: Length| job.bench.end_mills.iter().any(|mill| mill.diameter == size);
        for size in
            convenient(head.knurled, limit).into_iter().filter(|&size| takes(size) && unround(size) <= 1)
        {
            if !have(size) {
                let way = Way::new(size, MadeWith::EndMill(standard_mill(size)), &HEAD);
                ways.push(way.buying(false, || Buy::mill(size)));
            }
        }
    }
    ways
}

/// Ways of a counterbore's depth that sink the head of a new screw.
pub fn deep_enough(job: &Job, id: DimensionId, limit: Length, threads: &[ThreadWays]) -> Vec<Way> {
    let Some((over, thread)) = screw_below(job, id) else { return Vec::new() };
    let heads = heads(job, thread, threads).into_iter().filter(|head| sinks(job, id, over, thread, head));
    heads
        .flat_map(|head| convenient(head.height, limit).into_iter().filter(|&deep| deep >= head.height))
        .map(|deep| Way::new(deep, MadeWith::Setting, &SET).unround(unround(deep)))
        .collect()
}

/// Whether a counterbore is there to sink its head, and the metal can: half the head's
/// height stays under it (common practice).
fn sinks(job: &Job, depth: DimensionId, over: FeatureId, thread: ThreadId, head: &Head) -> bool {
    let drawn = job.dimension(depth).written.length;
    let meant = drawn * 10 >= job.drawing.threads[thread.0].thread.major * SUNK_TENTHS;
    meant && job.part.metal_at(job.part.hole_of(over)) - head.height >= head.height.half()
}

impl Demands<'_> {
    /// Counterbores take the heads of their screws.
    pub fn screw_heads(&mut self) {
        for (_, feature) in self.job.part.features() {
            let Kind::Counterbore { diameter, depth, .. } = feature.kind else { continue };
            let Some((over, thread)) = screw_below(self.job, diameter) else { continue };
            for (id, what) in [(diameter, "width"), (depth, "depth")] {
                if self.job.dimension(id).role.0 == Role::Hold {
                    continue;
                }
                let takes = |head: &Head, size: Length| match what {
                    "width" => size >= head.knurled,
                    _ => !sinks(self.job, id, over, thread, head) || size >= head.height,
                };
                let allowed = self.threads[thread.0]
                    .ways
                    .iter()
                    .map(|screw| {
                        let head = new_head(self.job, thread, screw.thread);
                        let sizes = self.ways[id.0].ways.iter();
                        sizes.map(|way| head.is_none_or(|head| takes(head, way.value))).collect()
                    })
                    .collect();
                let call = &self.job.drawing.threads[thread.0].name;
                let because = format!("`{}` must take the head of `{call}`: {}", feature.name, HEAD.because);
                let (a, b) = (self.major(thread), self.size(id));
                self.model.demand(
                    format!("{what} of {} for its head", feature.name),
                    because,
                    Demand::Pairs { a, b, allowed },
                );
            }
        }
    }
}
