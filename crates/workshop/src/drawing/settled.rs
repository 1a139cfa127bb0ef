//! Places that no sum of dimensions gives: every group of curves solved, asked about,
//! or shown to be impossible.

use std::collections::{BTreeMap, BTreeSet};

use super::blocks::{Block, Group, part};
use super::branches::{Branch, Field, SAME_PLACE_MM, Unfolded, knows};
use super::curved::Curve;
use super::forms::{Forms, Frame, Placed};
use super::rows::{EDGES, Node, Unknown, last_place, unknown};
use super::sides::{SideWord, ask, farthest};
use super::system::{System, rounding};
use super::tangent::{residual, tangents, touching};
use super::{Axis, Check, FeatureId, Linear};
use crate::measure::Length;
use crate::problem::Problem;

/// What a re-solved part may be out by before a curved check is no longer kept: half
/// the step of an ordinary readout, because sizes on even steps cannot meet a
/// distance aslant exactly.
fn curved_slack() -> Length {
    Length::mm_ratio(5, 1000)
}

/// What became of the curves of a drawing.
#[derive(Debug, Default)]
pub(super) struct Settled {
    /// The free coordinates that are settled, as sums that touch the curves.
    pub(super) free: BTreeMap<Unknown, Linear>,
    /// Free coordinates of groups that a fault already tells of.
    pub(super) told: BTreeSet<Unknown>,
    /// Free coordinates that the curves read and leave loose.
    pub(super) loose: BTreeSet<Unknown>,
    pub(super) checks: Vec<Check>,
    pub(super) faults: Vec<Problem>,
    /// Statements that cannot all be true.
    pub(super) quarrels: Vec<Quarrel>,
    /// What it takes to solve the places again for other sizes.
    pub(super) again: Option<Again>,
}

/// Statements that cannot all be true, not yet cut down to the least.
#[derive(Clone, Debug)]
pub(super) struct Quarrel {
    /// The statements.
    pub(super) sources: BTreeSet<usize>,
    /// How near the group came: coordinates that break the least.
    pub(super) near: Vec<f64>,
}

/// The curves with the drawing's own solution.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Again {
    pub(super) curves: Vec<Curve>,
    pub(super) forms: Forms,
    pub(super) blocks: Vec<Block>,
    pub(super) checks: Vec<usize>,
    pub(super) sides: Vec<SideWord>,
    pub(super) branch: Branch,
    pub(super) drawn: Vec<Length>,
}

/// How many coordinates a drawing has.
pub(super) fn coordinates(system: &System) -> usize {
    (EDGES.len() + system.drawing.features.len()) * 3
}

/// Solves the curves that elimination left.
pub(super) fn settle_curves(system: &System) -> Settled {
    let sizes: Vec<Length> = system.drawing.dimensions.iter().map(|d| d.written.length).collect();
    let forms = Forms::of(system, coordinates(system));
    let frame = forms.frame(&sizes);
    let mut settled = Settled::default();
    let supports: Vec<Vec<Unknown>> =
        system.sides.iter().map(|word| free_of(&forms, &word.test.reads())).collect();
    let parted = part(&system.curves, &forms, &frame, &supports);
    let field = Field { curves: &system.curves, frame: &frame, sizes: &sizes };
    let mut again = Again {
        curves: system.curves.clone(),
        forms: forms.clone(),
        blocks: Vec::new(),
        checks: Vec::new(),
        sides: system.sides.clone(),
        branch: Branch { free: vec![f64::NAN; forms.count()], choices: vec![0; system.curves.len()] },
        drawn: sizes.clone(),
    };
    for group in &parted.groups {
        let sides: Vec<usize> = (0..system.sides.len())
            .filter(|&at| supports[at].iter().any(|unknown| group.unknowns.contains(unknown)))
            .collect();
        let solver = GroupSolver { system, field: &field, forms: &forms, supports: &supports, group, sides };
        solver.settle(&mut settled, &mut again);
    }
    plain_sides(system, &frame, &supports, &mut settled);
    settled.loose = parted.loose;
    settled.again = (!system.curves.is_empty()).then_some(again);
    settled
}

/// The free coordinates behind some coordinates.
fn free_of(forms: &Forms, reads: &[Unknown]) -> Vec<Unknown> {
    let mut all: Vec<Unknown> =
        reads.iter().flat_map(|&unknown| forms.form(unknown).terms.iter().map(|term| term.0)).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// Side words about places that sums of dimensions give: they only check.
fn plain_sides(system: &System, frame: &Frame, supports: &[Vec<Unknown>], settled: &mut Settled) {
    let none = vec![f64::NAN; frame.count()];
    for (word, support) in system.sides.iter().zip(supports) {
        let at = Placed { frame, free: &none };
        if support.is_empty() && !word.test.holds(&at) {
            settled.faults.push(wrong_side(system, word, word.test.beside_mm(&at)));
        }
    }
}

/// A place on the side that a word denies.
fn wrong_side(system: &System, word: &SideWord, beside_mm: f64) -> Problem {
    let feature = &system.drawing.features[word.feature.0];
    let source = &system.sources[word.source];
    let line = source.line.unwrap_or(feature.line);
    Problem::new(format!("`{}` does not lie {}", feature.name, source.text))
        .at(format!("line {line}, `{}`", feature.name))
        .at(system.drawing.file.clone())
        .why(format!("its dimensions put it {:.3} mm to the other side", beside_mm.abs()))
        .mend("check which way its dimensions run, and these words, against the drawing")
        .concerns(feature.name.clone())
}

struct GroupSolver<'a> {
    system: &'a System<'a>,
    field: &'a Field<'a>,
    forms: &'a Forms,
    /// The free coordinates that each side word reads.
    supports: &'a [Vec<Unknown>],
    group: &'a Group,
    /// The side words that have to do with the group.
    sides: Vec<usize>,
}

impl GroupSolver<'_> {
    fn settle(&self, settled: &mut Settled, again: &mut Again) {
        let holds = |branch: &Branch, done: &[Block]| self.holds(branch, done);
        let mut branches = match self.field.unfold(self.group, &holds) {
            Unfolded::Solved(branches) => branches,
            Unfolded::Stuck { block, before } => {
                settled.told.extend(&self.group.unknowns);
                let sources = self.sources(&self.group.blocks[..=block], &[]);
                settled.quarrels.push(Quarrel { sources, near: before[0].free.clone() });
                return;
            }
            Unfolded::Refused { branches, blocks } => {
                settled.told.extend(&self.group.unknowns);
                self.refused(&branches, blocks, settled);
                return;
            }
        };
        let words: Vec<(&SideWord, &[Unknown])> =
            self.sides.iter().map(|&at| (&self.system.sides[at], self.supports[at].as_slice())).collect();
        farthest(&words, &self.group.blocks, self.field.frame, &mut branches);
        if branches.len() > 1 {
            self.question(&branches, settled);
            return;
        }
        let branch = &branches[0];
        let slopes = tangents(self.field, &self.group.blocks, branch);
        for (&unknown, by) in &slopes {
            let place = touching(branch.free[unknown], by, self.field.sizes);
            settled.free.insert(unknown, place);
            again.branch.free[unknown] = branch.free[unknown];
        }
        for &curve in self.group.blocks.iter().flat_map(|block| &block.curves) {
            again.branch.choices[curve] = branch.choices[curve];
        }
        again.blocks.extend(self.group.blocks.iter().cloned());
        for &check in &self.group.checks {
            let (choice, off_mm) = self.nearest(check, branch);
            let by = residual(self.field, check, choice, &branch.free, &slopes);
            again.branch.choices[check] = choice;
            again.checks.push(check);
            let sources = self.sources_of(&[check]);
            settled.checks.push(Check {
                statements: sources.iter().map(|&at| self.system.words(at)).collect(),
                difference: touching(off_mm, &by, self.field.sizes),
                slack: self.slack(&by) + curved_slack(),
            });
        }
    }

    /// True when a branch breaks no check and no side word that it can already judge.
    fn holds(&self, branch: &Branch, done: &[Block]) -> bool {
        let at = Placed { frame: self.field.frame, free: &branch.free };
        let sides = self
            .sides
            .iter()
            .all(|&side| !knows(branch, &self.supports[side]) || self.system.sides[side].test.holds(&at));
        if !sides {
            return false;
        }
        let ready: Vec<usize> = self
            .group
            .checks
            .iter()
            .copied()
            .filter(|&check| knows(branch, &self.forms.support(&self.field.curves[check])))
            .collect();
        if ready.is_empty() {
            return true;
        }
        let slopes = tangents(self.field, done, branch);
        ready.into_iter().all(|check| {
            let (choice, off_mm) = self.nearest(check, branch);
            let by = residual(self.field, check, choice, &branch.free, &slopes);
            off_mm.abs() <= self.slack(&by).as_mm()
        })
    }

    /// The reach of a check that comes nearest, and how far it is off.
    fn nearest(&self, check: usize, branch: &Branch) -> (usize, f64) {
        (0..self.field.curves[check].reaches.len())
            .map(|choice| (choice, self.field.residual_mm(check, choice, &branch.free)))
            .min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
            .expect("a curve has at least one reach")
    }

    /// What the rounding of the drawing's decimals may hide.
    fn slack(&self, by: &super::tangent::ByDimension) -> Length {
        let hidden: f64 = by
            .iter()
            .map(|(id, times)| {
                times.abs() * last_place(&self.system.drawing.dimensions[id.0].written).as_mm()
            })
            .sum();
        Length::nearest(hidden) + rounding()
    }

    /// Every way is refused: by checks, or by side words alone.
    fn refused(&self, branches: &[Branch], blocks: usize, settled: &mut Settled) {
        let at = |branch: &Branch, word: &SideWord| {
            word.test.beside_mm(&Placed { frame: self.field.frame, free: &branch.free })
        };
        let done = &self.group.blocks[..blocks];
        let known: Vec<&SideWord> = self
            .sides
            .iter()
            .filter(|&&side| knows(&branches[0], &self.supports[side]))
            .map(|&side| &self.system.sides[side])
            .collect();
        let without_sides = GroupSolver { sides: Vec::new(), ..*self };
        if let Some(branch) = branches.iter().find(|branch| without_sides.holds(branch, done))
            && let Some(word) = known.iter().find(|word| at(branch, word) <= 0.0)
        {
            settled.faults.push(wrong_side(self.system, word, at(branch, word)));
            return;
        }
        let checks: Vec<usize> = self
            .group
            .checks
            .iter()
            .copied()
            .filter(|&check| knows(&branches[0], &self.forms.support(&self.field.curves[check])))
            .collect();
        let sources = self.sources(done, &checks);
        let near = branches
            .iter()
            .min_by(|a, b| self.off(a, &checks).total_cmp(&self.off(b, &checks)))
            .expect("some branch was refused");
        settled.quarrels.push(Quarrel { sources, near: near.free.clone() });
    }

    fn off(&self, branch: &Branch, checks: &[usize]) -> f64 {
        checks.iter().map(|&check| self.nearest(check, branch).1.abs()).sum()
    }

    /// The statements behind some blocks and checks.
    fn sources(&self, blocks: &[Block], checks: &[usize]) -> BTreeSet<usize> {
        let curves: Vec<usize> = blocks
            .iter()
            .flat_map(|block| block.curves.iter().copied())
            .chain(checks.iter().copied())
            .collect();
        self.sources_of(&curves)
    }

    fn sources_of(&self, curves: &[usize]) -> BTreeSet<usize> {
        let mut sources = BTreeSet::new();
        for &curve in curves {
            let curve = &self.field.curves[curve];
            sources.insert(curve.source);
            for unknown in curve.shape.unknowns() {
                let rows = self.system.rows.iter().filter(|row| row.pivot == unknown);
                sources.extend(rows.flat_map(|row| row.from.keys().copied()));
            }
        }
        sources.retain(|&at| !self.system.sources[at].text.is_empty());
        sources
    }

    /// Several places fit: asks about the first that others hang on.
    fn question(&self, branches: &[Branch], settled: &mut Settled) {
        let differ = |a: &Branch, b: &Branch, block: &Block| {
            block.unknowns.iter().any(|&u| (a.free[u] - b.free[u]).abs() > SAME_PLACE_MM)
        };
        let first =
            self.group.blocks.iter().find(|block| branches.iter().any(|b| differ(&branches[0], b, block)));
        // What is the same whichever is meant has its place already.
        for block in &self.group.blocks {
            for &unknown in &block.unknowns {
                let same = |b: &Branch| (b.free[unknown] - branches[0].free[unknown]).abs() <= SAME_PLACE_MM;
                if branches.iter().all(same) {
                    let slopes = tangents(self.field, &self.group.blocks, &branches[0]);
                    let place = touching(branches[0].free[unknown], &slopes[&unknown], self.field.sizes);
                    settled.free.insert(unknown, place);
                } else {
                    settled.told.insert(unknown);
                }
            }
        }
        let Some(first) = first else { return };
        let mut distinct: Vec<Branch> = Vec::new();
        for branch in branches {
            if distinct.iter().all(|other| differ(other, branch, first)) {
                distinct.push(branch.clone());
            }
        }
        let hang_on: Vec<FeatureId> = (0..self.system.drawing.features.len())
            .map(FeatureId)
            .filter(|&id| {
                let own = !self.system.drawing.features[id.0].placing.is_empty();
                own && [Axis::X, Axis::Y, Axis::Z].into_iter().any(|axis| {
                    let terms = &self.forms.form(unknown(Node::Feature(id), axis)).terms;
                    terms.iter().any(|(free, _)| first.unknowns.contains(free))
                })
            })
            .collect();
        let mut asked: Vec<FeatureId> = hang_on.iter().copied().filter(|&id| self.curves_place(id)).collect();
        if asked.is_empty() {
            asked = hang_on;
        }
        settled.faults.push(ask(self.system.drawing, self.field.frame, &asked, &distinct));
    }

    /// True when some curve of the group is a statement of this feature.
    fn curves_place(&self, id: FeatureId) -> bool {
        self.group.blocks.iter().flat_map(|block| &block.curves).any(|&curve| {
            let source = &self.system.sources[self.field.curves[curve].source];
            source.statement.is_some_and(|(feature, _)| feature == id)
        })
    }
}
