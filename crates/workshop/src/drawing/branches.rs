//! Every way in which a group of curves can be satisfied.

use super::blocks::{Block, Group};
use super::cross::crossings;
use super::curved::{Curve, reach_mm};
use super::forms::{Frame, Placed};
use super::newton::{Errors, settle};
use super::rows::Unknown;
use crate::measure::Length;

/// One way: the free coordinates found so far, and how each curve holds.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Branch {
    /// Every coordinate; those not found yet are not numbers.
    pub(super) free: Vec<f64>,
    /// Which of its reaches each curve has, where it has been used.
    pub(super) choices: Vec<usize>,
}

/// A solution leaves at most this, for parts up to a decimetre; in proportion beyond.
pub(super) const EXACT_MM: f64 = 1e-12;

/// Solutions nearer than this are one: a touch whose last digits came out as a
/// crossing, far below what any machine sets.
pub(super) const SAME_PLACE_MM: f64 = 1e-4;

/// More ways than this at once are no question that a person could answer.
pub(super) const MOST_BRANCHES: usize = 128;

/// What the curves of a drawing are solved against.
pub(super) struct Field<'a> {
    pub(super) curves: &'a [Curve],
    pub(super) frame: &'a Frame,
    pub(super) sizes: &'a [Length],
}

impl Field<'_> {
    /// What a curve is to come to.
    pub(super) fn reach_mm(&self, curve: usize, choice: usize) -> f64 {
        reach_mm(&self.curves[curve].reaches[choice].is, self.sizes)
    }

    /// How far a curve is from what it is to come to.
    pub(super) fn residual_mm(&self, curve: usize, choice: usize, free: &[f64]) -> f64 {
        let slope = self.curves[curve].shape.slope(&Placed { frame: self.frame, free });
        slope.value_mm - self.reach_mm(curve, choice)
    }

    /// The errors of a block where its coordinates are `at`.
    pub(super) fn errors(&self, block: &Block, choices: &[usize], free: &[f64], at: &[f64]) -> Errors {
        let mut free = free.to_vec();
        for (&unknown, &x) in block.unknowns.iter().zip(at) {
            free[unknown] = x;
        }
        let placed = Placed { frame: self.frame, free: &free };
        let (mut residuals, mut slopes) = (Vec::new(), Vec::new());
        for &curve in &block.curves {
            let slope = self.curves[curve].shape.slope(&placed);
            residuals.push(slope.value_mm - self.reach_mm(curve, choices[curve]));
            slopes.push(block.unknowns.iter().map(|&u| self.frame.by_free(&slope, u)).collect());
        }
        Errors { residuals, slopes }
    }

    /// Every way in which a block can be solved after `before`.
    pub(super) fn ways(&self, block: &Block, before: &Branch) -> Vec<Branch> {
        let mut found: Vec<Branch> = Vec::new();
        for choices in self.choices(block, &before.choices) {
            for at in self.solutions(block, &choices, &before.free) {
                let mut free = before.free.clone();
                for (&unknown, &x) in block.unknowns.iter().zip(&at) {
                    free[unknown] = x;
                }
                let same = |other: &Branch| {
                    block.unknowns.iter().all(|&u| (other.free[u] - free[u]).abs() <= SAME_PLACE_MM)
                };
                if !found.iter().any(same) {
                    found.push(Branch { free, choices: choices.clone() });
                }
            }
        }
        found
    }

    /// Every choice of reaches for the curves of a block.
    pub(super) fn choices(&self, block: &Block, before: &[usize]) -> Vec<Vec<usize>> {
        let mut all = vec![before.to_vec()];
        for &curve in &block.curves {
            let count = self.curves[curve].reaches.len();
            all = all
                .into_iter()
                .flat_map(|choices| {
                    (0..count).map(move |choice| {
                        let mut choices = choices.clone();
                        choices[curve] = choice;
                        choices
                    })
                })
                .take(MOST_BRANCHES)
                .collect();
        }
        all
    }

    fn solutions(&self, block: &Block, choices: &[usize], free: &[f64]) -> Vec<Vec<f64>> {
        let reaches: Vec<_> = block
            .curves
            .iter()
            .map(|&curve| (&self.curves[curve].shape, self.reach_mm(curve, choices[curve])))
            .collect();
        let apart = |(shape, reach): &(&super::curved::Shape, f64)| {
            *reach < 0.0 && matches!(shape, super::curved::Shape::Apart(..))
        };
        if reaches.iter().any(apart) {
            return Vec::new();
        }
        let errors = |at: &[f64]| self.errors(block, choices, free, at);
        let crossed = crossings(&reaches, &block.unknowns, self.frame, free);
        let searched = crossed.is_none();
        let starts = crossed.unwrap_or_else(|| self.starts(block, choices, free));
        let mut found: Vec<Vec<f64>> = Vec::new();
        for start in starts {
            let (at, left) = settle(&start, &errors);
            let size_mm = at.iter().fold(100.0_f64, |most, x| most.max(x.abs()));
            if left.most() > EXACT_MM * size_mm / 100.0 {
                continue;
            }
            let same = |other: &Vec<f64>| other.iter().zip(&at).all(|(a, b)| (a - b).abs() <= SAME_PLACE_MM);
            if !found.iter().any(same) {
                found.push(at);
            }
            if searched && found.len() >= MOST_BRANCHES {
                break;
            }
        }
        found
    }

    /// Places to start from: spread evenly over all that the block could reach, the
    /// same for the same drawing.
    fn starts(&self, block: &Block, choices: &[usize], free: &[f64]) -> Vec<Vec<f64>> {
        const PRIMES: [f64; 8] = [2.0, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0];
        let placed = Placed { frame: self.frame, free };
        let mut known: Vec<f64> = Vec::new();
        let (mut reach, mut longest) = (1.0, 1.0_f64);
        for &curve in &block.curves {
            reach += self.reach_mm(curve, choices[curve]).abs();
            longest = longest.max(self.reach_mm(curve, choices[curve]).abs());
            let read = self.curves[curve].shape.unknowns();
            known.extend(
                read.iter()
                    .map(|&unknown| super::curved::Coordinates::at_mm(&placed, unknown))
                    .filter(|x| x.is_finite()),
            );
        }
        let (low, high) = known
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &x| (low.min(x), high.max(x)));
        let (low, high) = if low <= high { (low, high) } else { (0.0, 0.0) };
        let count = block.unknowns.len();
        let tries = 64 + 72 * count.min(8);
        (1..=tries)
            .map(|n| {
                // Near what is known, and as far off as all the distances together.
                let reach = if n > tries / 2 { reach } else { longest };
                (0..count)
                    .map(|axis| {
                        let share = if axis < PRIMES.len() {
                            in_base(n, PRIMES[axis])
                        } else {
                            (n as f64 * (axis as f64).sqrt()).fract()
                        };
                        low - reach + share * (high - low + 2.0 * reach)
                    })
                    .collect()
            })
            .collect()
    }

    /// The ways in which a whole group can be solved, checks and all. Where there is
    /// none, how far it came.
    pub(super) fn unfold(&self, group: &Group, holds: &dyn Fn(&Branch, &[Block]) -> bool) -> Unfolded {
        let start = Branch { free: vec![f64::NAN; self.frame.count()], choices: vec![0; self.curves.len()] };
        let mut branches = vec![start];
        for (index, block) in group.blocks.iter().enumerate() {
            let solved: Vec<Branch> =
                branches.iter().flat_map(|before| self.ways(block, before)).take(MOST_BRANCHES).collect();
            if solved.is_empty() {
                return Unfolded::Stuck { block: index, before: branches };
            }
            let done = &group.blocks[..=index];
            let kept: Vec<Branch> = solved.iter().filter(|branch| holds(branch, done)).cloned().collect();
            if kept.is_empty() {
                return Unfolded::Refused { branches: solved, blocks: index + 1 };
            }
            branches = kept;
        }
        if group.blocks.is_empty() && !holds(&branches[0], &[]) {
            return Unfolded::Refused { branches, blocks: 0 };
        }
        Unfolded::Solved(branches)
    }
}

/// What came of unfolding a group.
#[derive(Clone, Debug)]
pub(super) enum Unfolded {
    /// Every way there is.
    Solved(Vec<Branch>),
    /// A block that nothing solves, after these.
    Stuck { block: usize, before: Vec<Branch> },
    /// Every way breaks a check or a side word; the first `blocks` are solved.
    Refused { branches: Vec<Branch>, blocks: usize },
}

/// The digits of a number in a base, read backwards behind the point.
fn in_base(mut n: usize, base: f64) -> f64 {
    let (mut share, mut place) = (0.0, 1.0 / base);
    while n > 0 {
        share += place * (n % base as usize) as f64;
        n /= base as usize;
        place /= base;
    }
    share
}

/// True when a branch has found every coordinate that is read.
pub(super) fn knows(branch: &Branch, reads: &[Unknown]) -> bool {
    reads.iter().all(|&unknown| branch.free[unknown].is_finite())
}
