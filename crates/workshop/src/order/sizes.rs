//! How near the sizes of a plate come that have a tolerance: thickness, width and height,
//! what a step leaves, slots, pockets and their depths, the radii of ends, and the diameters of
//! holes whose tolerance the drawing states.
//!
//! Each is as near as the process that brings it out, measured as the sheet says. Of a size
//! without a tolerance of its own the general one of the part file is asked, and told where
//! it is not kept.

use super::deed::{Deed, Job, Makings};
use super::figures::{over, room};
use super::kept::thickness_from_stock;
use super::model::Plan;
use super::rules::finishes;
use super::work::{Deep, Work};
use crate::drawing::{Body, Depth, DimensionId, FeatureId, Kind};
use crate::measure::Length;
use crate::tables::general_tolerance::general_tolerance;
use crate::tables::processes::locating;
use crate::why::Why;

/// What one size of a plan may be out by.
pub(super) struct Size {
    /// The operation of the plan that brings it out.
    pub op: usize,
    name: String,
    room: Length,
    error: Length,
    /// How it is brought out, and where that figure comes from.
    by: (String, String),
    /// Where the tolerance comes from; none where it is the drawing's own.
    general: Option<(String, String)>,
}

/// What each size that a tolerance bounds may be out by; of a general tolerance only what
/// is not kept.
pub(super) fn sizes(job: &Job, makings: &Makings, plan: &Plan) -> Vec<Size> {
    let mut all: Vec<Size> = Vec::new();
    for step in &plan.steps {
        let deed = &makings.deeds[step.op.0];
        for (dimension, by_quill) in brings_out(job, deed) {
            let drawn = &job.part.drawing.dimensions[dimension.0];
            let choice = &job.metric.dimensions[dimension.0];
            let (room, general) = match (job.room_of(dimension), job.part.drawing.general_tolerance) {
                (Some(room), _) => (room, None),
                (None, Some(class)) => {
                    // What is free has a new nominal size: the tolerance is that of the size it is made to.
                    let Ok(row) = general_tolerance(class, choice.chosen.abs()) else { continue };
                    let words = format!("the general tolerance, class {}, at {}", class.name(), row.size);
                    (row.plus_minus, Some((words, row.source.to_string())))
                }
                (None, None) => continue,
            };
            let (error, by) = if by_quill {
                let row = locating("quill");
                (row.error, ("the depth set at the quill".to_owned(), row.source.to_string()))
            } else {
                let row = deed.process();
                let Some(size) = row.size else { continue };
                (size, (row.name.to_owned(), row.source.to_string()))
            };
            let (name, op) = (drawn.name.clone(), step.op.0);
            if general.is_none() || error > room {
                all.push(Size { op, name, room, error, by, general });
            }
        }
    }
    all
}

/// The sizes that a deed brings out, each with whether the quill's stop measures it.
fn brings_out(job: &Job, deed: &Deed) -> Vec<(DimensionId, bool)> {
    let depth = |depth: Depth| match depth {
        Depth::To(depth) => Some(depth),
        Depth::Through => None,
    };
    let plain = |sizes: Vec<DimensionId>| sizes.into_iter().map(|size| (size, false)).collect();
    match (&deed.work, &job.part.drawing.body) {
        (_, Body::Turned { .. }) => return Vec::new(),
        (Work::MillToSize, Body::Rectangle { width, height, .. }) => return plain(vec![*width, *height]),
        (
            Work::FaceToThickness,
            Body::Rectangle { thickness, .. }
            | Body::Bosses { thickness, .. }
            | Body::Outline { thickness, .. }
            | Body::Disc { thickness, .. },
        ) if !thickness_from_stock(job) => return plain(vec![*thickness]),
        (Work::TurnDisc | Work::RoundEnd, Body::Disc { diameter, .. }) if deed.feature.is_none() => {
            return plain(vec![*diameter]);
        }
        _ => {}
    }
    let Some(feature) = deed.feature else { return Vec::new() };
    match (&deed.work, &job.part.feature(feature).kind) {
        (Work::MillStep { .. }, Kind::Step { leaves, .. }) => plain(vec![*leaves]),
        (Work::MillSlot { .. }, Kind::Slot { width, depth: deep, .. }) => {
            plain(std::iter::once(*width).chain(depth(*deep)).collect())
        }
        (Work::MillSlot { .. }, Kind::CurvedSlot { width, depth: deep, .. }) => {
            plain(std::iter::once(*width).chain(depth(*deep)).collect())
        }
        (Work::PlaneKeyway, Kind::Keyway { width, depth, .. }) => plain(vec![*width, *depth]),
        (Work::MillPocket { .. }, Kind::Pocket { width, height, depth: deep, .. }) => {
            plain([*width, *height].into_iter().chain(depth(*deep)).collect())
        }
        (Work::Counterbore { .. }, Kind::Counterbore { depth, .. }) => plain(vec![*depth]),
        (
            Work::RoundEnd
            | Work::StepEnd
            | Work::FileEnd
            | Work::FileSide { .. }
            | Work::StepArc { .. }
            | Work::TurnArc { .. },
            Kind::Boss { radius } | Kind::Corner { radius: Some(radius) },
        ) => plain(vec![*radius]),
        (
            Work::Drill { deep: Deep::Through(_), .. }
            | Work::Ream { .. }
            | Work::Bore { .. }
            | Work::FileHoleRound { .. },
            Kind::Hole { diameter, .. },
        ) => own_size(job, deed, feature, *diameter),
        (Work::Drill { deep: Deep::To(_), .. }, Kind::Hole { depth: deep, diameter, .. }) => {
            let own = own_size(job, deed, feature, *diameter);
            depth(*deep).map(|depth| (depth, true)).into_iter().chain(own).collect()
        }
        (Work::Drill { deep: Deep::To(_), .. }, Kind::Tapped { depth: deep, .. }) => {
            depth(*deep).map(|depth| (depth, true)).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// The diameter of a hole, where a deed brings it to that and the drawing says how near.
fn own_size(job: &Job, deed: &Deed, hole: FeatureId, diameter: DimensionId) -> Vec<(DimensionId, bool)> {
    let said = job.part.drawing.dimensions[diameter.0].within.is_some();
    if said && finishes(job, deed, hole) { vec![(diameter, false)] } else { Vec::new() }
}

impl Size {
    fn asks(&self) -> String {
        match &self.general {
            None => format!("`{}` is to be within {}", self.name, room(self.room)),
            Some((words, _)) => format!("`{}` is to be within {} ({words})", self.name, room(self.room)),
        }
    }

    /// What is charged, for the step that brings it out.
    pub(super) fn why(&self) -> Why {
        let (by, source) = &self.by;
        let why = Why::new(format!("{}, and comes out within {}", self.asks(), self.error))
            .source("common practice")
            .because(Why::new(format!("{by}: {}", self.error)).source(source.clone()));
        match &self.general {
            Some((words, source)) => {
                why.because(Why::new(format!("{words}: {}", self.room)).source(source.clone()))
            }
            None => why,
        }
    }

    /// What is too much at the worst, and what to do.
    pub(super) fn short(&self) -> Option<String> {
        (self.error > self.room).then(|| {
            let over = over(self.error, self.room);
            format!(
                "{}, and by `{}` it may be out by {}, {over} too much: measure it, and take the last of it in light cuts until it is right",
                self.asks(),
                self.by.0,
                self.error
            )
        })
    }
}
