//! Walls in three dimensions: a cross hole beside another, a hole above a slot, a thread
//! that comes near a passage.
//!
//! They show on the solids of the part ([`crate::drawing::solid`]) and cost more to find
//! than a sum, so they are demanded late: only those that a choice has made too thin,
//! which is then made again. A wall changes no faster than what stands on either side of
//! it moves, so that sizes known only within spans can be judged from their middle.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex};

use num_rational::Ratio;

use super::demands::Demands;
use super::measured::{Measured, SAME_MM};
use super::model::{Demand, Span, Test, VariableId};
use super::rules::{Rule, STRAP, WALL_PLAIN};
use super::walls::Kept;
use crate::drawing::solid::{Beside, apart_in_space, walls_nearer};
use crate::drawing::{
    Axis, Body, DimensionId, Face, FeatureId, Kind, Measures, Part, Reference, Sizes, ThreadId, WallEnd,
};
use crate::measure::Length;
use crate::tables::threads::Thread;

/// How much a wall may change where a size moves something in a way that nothing here
/// names, for each millimetre of the size: more than any feature moves.
pub(super) const UNNAMED: f64 = 2.0;

/// What stands beside a bolt in a strap, in diameters of its hole (common practice).
const STRAP_SHARE: (i128, i128) = (3, 10);

/// A size changes a wall when it does so by more than this.
const FELT_MM: f64 = 1e-9;

/// The sizes a wall reads, each with how far it moves the wall at most for each
/// millimetre.
#[derive(Default)]
pub(super) struct Reads {
    pub dimensions: BTreeMap<DimensionId, f64>,
    pub threads: BTreeSet<ThreadId>,
}

/// What a wall ends at there, where a file can name it.
fn end_of(beside: Beside) -> Option<WallEnd> {
    match beside {
        Beside::Feature(id) => Some(WallEnd::Feature(id)),
        Beside::Face(face) => Some(WallEnd::Face(face)),
        Beside::Boss(_) | Beside::Outline => Some(WallEnd::Outside),
        Beside::Section(_) | Beside::Shoulder(_) => None,
    }
}

impl Demands<'_> {
    /// Demands those walls in space that are too thin on the part as it would be made; says
    /// whether there were any.
    pub fn space_walls(&mut self, made: &Part) -> bool {
        let found = walls_nearer(made, |first, beside| {
            let hollow = self.is_hollow(first) || matches!(beside, Beside::Feature(id) if self.is_hollow(id));
            if hollow {
                return Length::ZERO;
            }
            self.asked_in_space(first, beside)
        });
        let before = self.model.constraints.len();
        for wall in found {
            let (first, beside) = (wall.first, wall.second);
            let Some(drawn_mm) = apart_in_space(&self.job.part, first, beside) else { continue };
            // What meets on the drawing is meant to.
            if drawn_mm <= SAME_MM {
                continue;
            }
            let kept = self.kept_in_space(first, beside, Length::nearest(drawn_mm));
            let short = wall.thickness.as_mm() < kept.least.as_mm() - SAME_MM;
            let known = self.model.constraints.iter().any(|constraint| constraint.name == kept.name);
            if short && !known {
                let test = self.apart(first, beside, kept.least, &made.sizes);
                self.state(&kept, Demand::Test(test));
            }
        }
        self.model.constraints.len() > before
    }

    /// The most that practice or the file asks of a wall in space.
    pub(super) fn asked_in_space(&self, first: FeatureId, beside: Beside) -> Length {
        let wanted = self.wanted_in_space(first, beside).0;
        let said = end_of(beside).and_then(|end| self.said((first, end)));
        said.unwrap_or(wanted).max(wanted)
    }

    /// What is turned hollow about the axis: measuring from it takes too long to choose by.
    /// The sums along and across a turned part keep its walls.
    pub(super) fn is_hollow(&self, id: FeatureId) -> bool {
        matches!(self.job.feature(id).kind, Kind::Groove { .. } | Kind::Recess { .. })
    }

    /// What practice asks of a wall in space.
    fn wanted_in_space(&self, first: FeatureId, beside: Beside) -> (Length, &'static Rule) {
        let along = self.job.feature(first).face.axis();
        match beside {
            Beside::Feature(second) => self.wanted(first, Some(second)),
            // Along the strap of a big end, or a bearing cap.
            Beside::Face(Face::Front | Face::Back) if along != Axis::Z && self.passes_a_bolt(first) => {
                let across = self.job.part.cut_diameter(first).unwrap_or_default();
                let strap = across.scaled(Ratio::new(STRAP_SHARE.0, STRAP_SHARE.1));
                if strap > Length::mm(1) { (strap, &STRAP) } else { (Length::mm(1), &WALL_PLAIN) }
            }
            Beside::Face(face) if face.axis() != along && self.job.plate_thickness().is_some() => {
                self.wanted(first, None)
            }
            Beside::Boss(_) | Beside::Outline => self.wanted(first, None),
            // The floor of a hole, and what is turned.
            Beside::Face(_) | Beside::Section(_) | Beside::Shoulder(_) => (Length::mm(1), &WALL_PLAIN),
        }
    }

    fn passes_a_bolt(&self, id: FeatureId) -> bool {
        matches!(self.job.feature(id).kind, Kind::Hole { clears: Some(_), .. })
    }

    pub(super) fn kept_in_space(&self, first: FeatureId, beside: Beside, drawn: Length) -> Kept {
        let wanted = self.wanted_in_space(first, beside);
        let name = |one: FeatureId, other: &str| format!("wall between {} and {other}", self.name(one));
        let other = match beside {
            Beside::Feature(second) => self.name(second).to_owned(),
            Beside::Boss(_) | Beside::Outline => "the outside".to_owned(),
            _ => beside.words(&self.job.part),
        };
        // A wall of the same two in plan is demanded already, and this is another.
        let plain = name(first, &other);
        let turned = match beside {
            Beside::Feature(second) => name(second, self.name(first)),
            _ => plain.clone(),
        };
        let mut stated = self.model.constraints.iter().map(|constraint| &constraint.name);
        let name = if stated.any(|name| *name == plain || *name == turned) {
            format!("{plain} in depth")
        } else {
            plain
        };
        self.kept_of(name, end_of(beside).map(|end| (first, end)), wanted, drawn)
    }

    /// The wall as a demand.
    fn apart(&self, first: FeatureId, beside: Beside, least: Length, chosen: &Sizes) -> Test {
        let reads = self.felt(first, beside, chosen);
        let dimensions: Vec<(DimensionId, f64)> = reads.dimensions.into_iter().collect();
        let choices = |id: &ThreadId| -> Vec<&'static Thread> {
            self.threads[id.0].ways.iter().map(|way| way.thread).collect()
        };
        let threads: Vec<(ThreadId, Vec<&'static Thread>)> =
            reads.threads.iter().map(|id| (*id, choices(id))).collect();
        let on: Vec<VariableId> = dimensions
            .iter()
            .map(|&(id, _)| self.size(id))
            .chain(threads.iter().map(|(id, _)| self.major(*id)))
            .collect();
        let measured = Measured {
            wall: (first, beside),
            least_mm: least.as_mm(),
            drawing: self.job.drawing.clone(),
            solved: self.job.solved.clone(),
            base: chosen.clone(),
            dimensions,
            threads,
            known: Mutex::default(),
        };
        Test { on, judge: Arc::new(move |spans: &[Span]| measured.judge(spans)) }
    }

    /// What a wall reads: all that places and sizes its two sides, and whatever else is
    /// felt when it is moved as far as it goes.
    fn felt(&self, first: FeatureId, beside: Beside, chosen: &Sizes) -> Reads {
        let mut reads = Reads::default();
        self.read_both(first, beside, &mut reads);
        let apart_mm = |sizes: Sizes| apart_in_space(&self.job.part.with_sizes(sizes), first, beside);
        let now_mm = apart_mm(chosen.clone());
        let felt = |moved: Option<f64>| match (now_mm, moved) {
            (Some(now), Some(moved)) => (now - moved).abs() > FELT_MM,
            (now, moved) => now.is_some() != moved.is_some(),
        };
        for at in 0..self.ways.len() {
            let (id, span) = (DimensionId(at), self.spans[at]);
            if reads.dimensions.contains_key(&id) || span.least == span.most {
                continue;
            }
            let moved = |to: Length| {
                let mut sizes = chosen.clone();
                sizes.lengths[at] = to;
                felt(apart_mm(sizes))
            };
            if moved(span.least) || moved(span.most) {
                reads.dimensions.insert(id, UNNAMED);
            }
        }
        // What has one size only is none to choose.
        reads.dimensions.retain(|id, _| self.spans[id.0].least != self.spans[id.0].most);
        reads
    }

    /// All that places and sizes the two sides of a wall.
    pub(super) fn read_both(&self, first: FeatureId, beside: Beside, reads: &mut Reads) {
        self.read(first, reads);
        match beside {
            Beside::Feature(second) | Beside::Section(second) | Beside::Shoulder(second) => {
                self.read(second, reads);
            }
            Beside::Boss(boss) => self.read(boss, reads),
            Beside::Face(face) => self.read_face(face, reads),
            Beside::Outline => self.read_outline(reads),
        }
    }

    /// A feature's own sizes and its place.
    fn read(&self, id: FeatureId, reads: &mut Reads) {
        let kind = &self.job.feature(id).kind;
        for size in kind.sizes() {
            let across = matches!(
                self.job.dimension(size).measures,
                Measures::Hole(_) | Measures::SlotWidth | Measures::SawWidth | Measures::Counterbore
            );
            reads.add(size, if across { 0.5 } else { 1.0 });
        }
        reads.threads.extend(kind.thread());
        let mut moved: BTreeMap<DimensionId, [f64; 3]> = BTreeMap::new();
        for axis in [Axis::X, Axis::Y, Axis::Z] {
            let sum = self.job.solved.place(id, axis);
            for (&dimension, times) in sum.iter().flat_map(|sum| &sum.terms) {
                let share = *times.numer() as f64 / *times.denom() as f64;
                moved.entry(dimension).or_default()[axis as usize] += share.abs();
            }
        }
        for (dimension, [x, y, z]) in moved {
            reads.add(dimension, x.hypot(y).hypot(z));
        }
        match *kind {
            Kind::Counterbore { over: on, .. }
            | Kind::Countersink { over: on, .. }
            | Kind::Slit { into: on, .. } => self.read(on, reads),
            Kind::PitchCircle { ref holes, .. } | Kind::Row { ref holes, .. } => {
                holes.iter().for_each(|&hole| self.read(hole, reads));
            }
            _ => {}
        }
    }

    fn read_face(&self, face: Face, reads: &mut Reads) {
        let edge = match face {
            Face::Left => Reference::LeftEdge,
            Face::Right => Reference::RightEdge,
            Face::Bottom => Reference::BottomEdge,
            Face::Top => Reference::TopEdge,
            Face::Front | Face::Back => {
                if let Some(thickness) = self.job.plate_thickness() {
                    reads.add(thickness, 1.0);
                }
                return;
            }
        };
        match self.job.solved.edge(edge) {
            Some(line) => {
                for (&dimension, times) in &line.terms {
                    reads.add(dimension, (*times.numer() as f64 / *times.denom() as f64).abs());
                }
            }
            None => self.read_outline(reads),
        }
    }

    fn read_outline(&self, reads: &mut Reads) {
        match &self.job.drawing.body {
            Body::Bosses { around, .. } => around.iter().for_each(|&boss| self.read(boss, reads)),
            Body::Disc { diameter, .. } => reads.add(*diameter, 0.5),
            // A corner's radius moves where its sides end: felt, not named.
            Body::Outline { .. } | Body::Rectangle { .. } | Body::Turned { .. } => {}
        }
    }
}

impl Reads {
    fn add(&mut self, id: DimensionId, strength: f64) {
        *self.dimensions.entry(id).or_default() += strength;
    }
}
