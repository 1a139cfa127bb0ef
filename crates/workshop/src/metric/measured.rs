//! A wall in space judged over spans of sizes, by measuring few of them.
//!
//! A wall changes no faster than what stands on either side of it moves. So one that is
//! measured at a place near by tells it for all sizes round about, as far as it has more
//! to spare than they can move it. It is measured on a coarse grid first, on a finer one
//! where that does not tell, and at the sizes themselves last. Each place is measured
//! once; what is told depends on the sizes asked about and on nothing asked before.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use super::model::{Judgement, Span};
use crate::drawing::solid::{Beside, apart_in_space};
use crate::drawing::{DimensionId, Drawing, FeatureId, Part, Sizes, Solved, ThreadId};
use crate::measure::Length;
use crate::tables::threads::Thread;

/// Walls nearer than this are equal: geometry hands on whole nanometres.
pub(super) const SAME_MM: f64 = 1e-6;

/// Where a wall could move by so much more than it must be, it is not measured.
const WIDE_MM: f64 = 0.5;

/// How many places are remembered: past that all are forgotten.
const MOST: usize = 50_000;

/// The steps of the grids, in millimetres.
const GRIDS_MM: [f64; 2] = [2.0, 0.25];

/// A wall in space, what it must be, and what is measured of it so far.
pub(super) struct Measured {
    /// Between what.
    pub(super) wall: (FeatureId, Beside),
    /// At least, in millimetres.
    pub(super) least_mm: f64,
    /// The part, with its places.
    pub(super) drawing: Drawing,
    pub(super) solved: Solved,
    /// What the sizes have that it does not read.
    pub(super) base: Sizes,
    /// The sizes it reads, each with how far it moves the wall for each millimetre.
    pub(super) dimensions: Vec<(DimensionId, f64)>,
    /// The threads it reads, each with what it may become; one moves the wall by its own
    /// half, at most by all.
    pub(super) threads: Vec<(ThreadId, Vec<&'static Thread>)>,
    /// By the sizes and threads in millimetres: the thickness, in millimetres too; none
    /// where the one opens through the other. Only ever looked up in.
    pub(super) known: Mutex<HashMap<Vec<u64>, Option<f64>>>,
}

impl Measured {
    /// What can be said of the wall for sizes known within spans: first those of the
    /// dimensions, then those of the threads.
    pub(super) fn judge(&self, spans: &[Span]) -> Judgement {
        let of_threads = &spans[self.dimensions.len()..];
        let (mut at_mm, mut play_mm) = (Vec::with_capacity(spans.len()), 0.0);
        for (span, strength) in spans.iter().zip(self.strengths()) {
            let (least_mm, most_mm) = (span.least.as_mm(), span.most.as_mm());
            at_mm.push((least_mm + most_mm) / 2.0);
            play_mm += strength * (most_mm - least_mm) / 2.0;
        }
        // Of a thread the one nearest to the middle is taken, as far from it as half the span.
        play_mm += of_threads.iter().map(|s| s.most.as_mm() - s.least.as_mm()).sum::<f64>() / 2.0;
        // Measured from the middle of wide spans it would hardly ever be told.
        if play_mm > self.least_mm + WIDE_MM {
            return Judgement::Unsure;
        }
        let threads: Vec<&'static Thread> = self.nearest(&mut at_mm);
        let told = |apart_mm: f64, play_mm: f64| {
            let spare_mm = apart_mm - self.least_mm + SAME_MM;
            if spare_mm >= play_mm {
                Judgement::Holds
            } else if spare_mm < -play_mm {
                Judgement::Breaks
            } else {
                Judgement::Unsure
            }
        };
        for step_mm in GRIDS_MM {
            let near_mm = self.on_grid(&at_mm, step_mm);
            let near = |place: usize| Length::nearest(near_mm[place]);
            let Some(apart_mm) = self.apart_mm(&near_mm, near, &threads) else { continue };
            let steps = self.strengths().zip(near_mm.iter().zip(&at_mm));
            let off_mm: f64 = steps.map(|(strength, (near, at))| strength * (near - at).abs()).sum();
            match told(apart_mm, play_mm + off_mm) {
                Judgement::Unsure => {}
                judgement => return judgement,
            }
        }
        let exact = |place: usize| match spans[place] {
            Span { least, most } if least == most => least,
            _ => Length::nearest(at_mm[place]),
        };
        match self.apart_mm(&at_mm, exact, &threads) {
            Some(apart_mm) => told(apart_mm, play_mm),
            // One opens through the other: there is no wall to be too thin.
            None if play_mm > 0.0 => Judgement::Unsure,
            None => Judgement::Holds,
        }
    }

    /// How far each size moves the wall.
    fn strengths(&self) -> impl Iterator<Item = f64> {
        self.dimensions.iter().map(|&(_, strength)| strength).chain(self.threads.iter().map(|_| 1.0))
    }

    /// The threads nearest to these diameters, which then become theirs.
    fn nearest(&self, at_mm: &mut [f64]) -> Vec<&'static Thread> {
        let of = |((_, choices), at_mm): (&(ThreadId, Vec<&'static Thread>), &mut f64)| {
            let off_mm = |thread: &Thread| (thread.major.as_mm() - *at_mm).abs();
            let thread = choices.iter().copied().min_by(|a, b| off_mm(a).total_cmp(&off_mm(b)))?;
            *at_mm = thread.major.as_mm();
            Some(thread)
        };
        self.threads.iter().zip(&mut at_mm[self.dimensions.len()..]).filter_map(of).collect()
    }

    /// The nearest place of a grid about the sizes begun from. Threads stay as they are,
    /// and so do sizes that would come near nought.
    fn on_grid(&self, at_mm: &[f64], step_mm: f64) -> Vec<f64> {
        let mut near_mm = at_mm.to_vec();
        for (&(id, _), size_mm) in self.dimensions.iter().zip(&mut near_mm) {
            let base_mm = self.base.lengths[id.0].as_mm();
            let on_mm = base_mm + ((*size_mm - base_mm) / step_mm).round() * step_mm;
            if on_mm.abs() > step_mm && on_mm.is_sign_positive() == size_mm.is_sign_positive() {
                *size_mm = on_mm;
            }
        }
        near_mm
    }

    /// The wall at single sizes: measured now, or known already.
    fn apart_mm(
        &self,
        at_mm: &[f64],
        size: impl Fn(usize) -> Length,
        threads: &[&'static Thread],
    ) -> Option<f64> {
        let at: Vec<u64> = at_mm.iter().map(|mm| mm.to_bits()).collect();
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(apart_mm) = known().get(&at) {
            return *apart_mm;
        }
        let mut sizes = self.base.clone();
        for (place, &(id, _)) in self.dimensions.iter().enumerate() {
            sizes.lengths[id.0] = size(place);
        }
        for ((id, _), &thread) in self.threads.iter().zip(threads) {
            sizes.threads[id.0] = thread;
        }
        let (first, beside) = self.wall;
        let part = Part::as_drawn(&self.drawing, &self.solved).with_sizes(sizes);
        let apart_mm = apart_in_space(&part, first, beside);
        let mut known = known();
        if known.len() >= MOST {
            known.clear();
        }
        known.insert(at, apart_mm);
        apart_mm
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::drawing::{read_drawing, solve};

    /// An oil way across a block beside a blind hole and a slot.
    const BLOCK: &str = "part = \"Block\"\nunit = \"mm\"\nmaterial = \"brass\"\n\
        [body]\nkind = \"rectangle\"\nwidth = 60\nheight = 40\nthickness = 20\ndatum = \"centre\"\n\
        [[feature]]\nname = \"way\"\nkind = \"hole\"\nface = \"left\"\ndiameter = 6\nplace = [\"mid thickness\", \"3 above datum\"]\n\
        [[feature]]\nname = \"pit\"\nkind = \"hole\"\ndiameter = 4\ndepth = 6.5\nplace = [\"10 left of datum\", \"5 below datum\"]\n\
        [[feature]]\nname = \"slot\"\nkind = \"slot\"\nwidth = 4\ncentres = 8\ndepth = 3\nplace = [\"20 left of datum\", \"2 below datum\"]\n";

    /// How many sizes it has.
    const SIZES: usize = 14;

    proptest! {
        #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

        /// Whatever is told of spans holds for sizes within them as they are measured, and
        /// of single sizes the measure itself is told.
        #[test]
        fn what_is_told_is_what_is_measured(
            second in 1..3_usize, least in 2..50_i64,
            from in prop::collection::vec(-30..30_i64, SIZES), wide in prop::collection::vec(0..8_i64, SIZES),
            inside in prop::collection::vec(prop::collection::vec(0..=4_i64, SIZES), 4),
        ) {
            let drawing = read_drawing("block.toml", BLOCK).expect("it reads");
            let solved = solve(&drawing).expect("it solves");
            let base = Sizes::as_drawn(&drawing);
            let count = drawing.dimensions.len();
            prop_assert_eq!(count, SIZES);
            let measured = |known| Measured {
                wall: (FeatureId(0), Beside::Feature(FeatureId(second))),
                least_mm: Length::microns(least * 100).as_mm(),
                drawing: drawing.clone(),
                solved: solved.clone(),
                base: base.clone(),
                dimensions: (0..count).map(|at| (DimensionId(at), 2.0)).collect(),
                threads: Vec::new(),
                known,
            };
            let wall = measured(Mutex::default());
            let spans: Vec<Span> = (0..count).map(|at| {
                let first = base.lengths[at] + Length::microns(from[at] * 10);
                Span { least: first, most: first + Length::microns(wide[at] * 20) }
            }).collect();
            let told = wall.judge(&spans);
            for shares in inside {
                let single: Vec<Span> = spans.iter().zip(shares).map(|(span, share)| {
                    let at = span.least + (span.most - span.least) * share / 4;
                    Span { least: at, most: at }
                }).collect();
                let sizes = Sizes { lengths: single.iter().map(|s| s.least).collect(), threads: Vec::new() };
                let part = Part::as_drawn(&drawing, &solved).with_sizes(sizes);
                let apart_mm = apart_in_space(&part, FeatureId(0), Beside::Feature(FeatureId(second)));
                let spare_mm = apart_mm.expect("neither opens through the other") - wall.least_mm;
                let is_told = wall.judge(&single);
                match is_told {
                    Judgement::Holds => prop_assert!(spare_mm > -2e-6, "{spare_mm}"),
                    Judgement::Breaks => prop_assert!(spare_mm < 1e-6, "{spare_mm}"),
                    Judgement::Unsure => prop_assert!(false, "single sizes are measured"),
                }
                match told {
                    Judgement::Holds => prop_assert!(spare_mm > -2e-6, "{spare_mm}"),
                    Judgement::Breaks => prop_assert!(spare_mm < 1e-6, "{spare_mm}"),
                    Judgement::Unsure => {}
                }
                // What was asked before plays no part.
                prop_assert_eq!(is_told, measured(Mutex::default()).judge(&single));
            }
        }
    }
}
