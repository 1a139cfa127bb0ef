//! Whether some statements of a drawing can all be true, and what one of them would
//! have to be for the others to be.

use std::collections::BTreeSet;
use std::ops::Range;

use super::DimensionId;
use super::branches::Field;
use super::curved::{Curve, Direction, Reach, Shape};
use super::forms::{Forms, Placed};
use super::newton::{Errors, Span, settle};
use super::rows::{Row, Unknown};
use super::settled::coordinates;
use super::system::{Stated, System, row_of, slack, take};
use crate::measure::Length;

/// Statements that meet within this are held to agree: it is below what the
/// decimals of a drawing hide, and above what a search leaves.
const MEET_MM: f64 = 1e-6;

/// True when all of some statements can be true at once.
pub(super) fn agrees(system: &System, sources: &BTreeSet<usize>, near: &[f64]) -> bool {
    let Some(rows) = eliminated(system, sources) else { return false };
    let curves: Vec<Curve> =
        system.curves.iter().filter(|curve| sources.contains(&curve.source)).cloned().collect();
    if curves.is_empty() {
        return true;
    }
    let fit = Fit::new(system, rows, curves, Vec::new());
    let hidden: f64 = fit
        .curves
        .iter()
        .flat_map(|curve| &curve.reaches)
        .map(|reach| slack(system.drawing, &reach.is).as_mm())
        .sum();
    fit.best(near, MEET_MM + hidden).is_some_and(|(_, off_mm)| off_mm <= MEET_MM + hidden)
}

/// A dimension that would have to be different.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Needed {
    /// The statement.
    pub(super) source: usize,
    /// Its dimension.
    pub(super) dimension: DimensionId,
    /// What it would have to be, less what it is.
    pub(super) change: Length,
}

/// What the dimensions of one statement would have to be for the others to agree,
/// with the least change.
pub(super) fn needed(system: &System, sources: &[usize], source: usize, near: &[f64]) -> Vec<Needed> {
    let others: BTreeSet<usize> = sources.iter().copied().filter(|&other| other != source).collect();
    let Some(rows) = eliminated(system, &others) else { return Vec::new() };
    let hard: Vec<Curve> =
        system.curves.iter().filter(|curve| others.contains(&curve.source)).cloned().collect();
    let mut weak: Vec<Curve> = system.curves.iter().filter(|curve| curve.source == source).cloned().collect();
    weak.extend(system.stated.iter().filter(|stated| stated.source == source).map(as_curve));
    let fit = Fit::new(system, rows, hard, weak);
    let Some((at, _)) = fit.best(near, MEET_MM) else { return Vec::new() };
    fit.implied(&at, source)
}

/// A sum as a curve, so that it can be given less weight.
fn as_curve(stated: &Stated) -> Curve {
    let sum = stated.terms.iter().map(|&(unknown, count)| ([Some(unknown), None], count as f64)).collect();
    Curve {
        shape: Shape::Along { sum, direction: Direction::Fixed([1.0, 0.0]) },
        reaches: vec![Reach { is: stated.value.clone(), words: "" }],
        source: stated.source,
    }
}

/// The sums of some statements, with those that nobody says; `None` where they
/// contradict each other.
fn eliminated(system: &System, sources: &BTreeSet<usize>) -> Option<Vec<Row>> {
    let mut rows = Vec::new();
    for stated in &system.stated {
        let nobody = system.sources[stated.source].text.is_empty();
        if !nobody && !sources.contains(&stated.source) {
            continue;
        }
        if let Some(left) = take(&mut rows, row_of(stated))
            && system.drawn(&left.value).abs() > slack(system.drawing, &left.value)
        {
            return None;
        }
    }
    Some(rows)
}

/// Curves to be met as nearly as can be, some of them only weakly.
struct Fit {
    curves: Vec<Curve>,
    /// How many of the curves must be met; the rest are weak.
    hard: usize,
    forms: Forms,
    sizes: Vec<Length>,
    unknowns: Vec<Unknown>,
}

impl Fit {
    fn new(system: &System, rows: Vec<Row>, hard: Vec<Curve>, weak: Vec<Curve>) -> Self {
        let forms = Forms::of_rows(&rows, coordinates(system));
        let count = hard.len();
        let curves: Vec<Curve> = hard.into_iter().chain(weak).collect();
        let unknowns: BTreeSet<Unknown> = curves.iter().flat_map(|curve| forms.support(curve)).collect();
        let sizes = system.drawing.dimensions.iter().map(|d| d.written.length).collect();
        Self { curves, hard: count, forms, sizes, unknowns: unknowns.into_iter().collect() }
    }

    /// The coordinates that come nearest, and by how much the hard curves are off
    /// there. Stops looking once they are met and nothing is weak.
    fn best(&self, near: &[f64], meet_mm: f64) -> Option<(Vec<f64>, f64)> {
        let frame = self.forms.frame(&self.sizes);
        let field = Field { curves: &self.curves, frame: &frame, sizes: &self.sizes };
        let mut best: Option<(Vec<f64>, f64, f64)> = None;
        for choices in self.choices() {
            for start in self.starts(near, &field, &choices) {
                let hard = |at: &[f64]| self.errors(&field, &choices, 0..self.hard, at);
                let (mut at, mut left) = settle(&start, &hard);
                let soft = |at: &[f64]| self.errors(&field, &choices, self.hard..self.curves.len(), at);
                if left.most() <= meet_mm {
                    at = give_way(at, &hard, &soft, meet_mm);
                    left = hard(&at);
                }
                let (off, weak) = (left.most(), soft(&at).square());
                let better = best.as_ref().is_none_or(|(_, least, light)| {
                    if off <= meet_mm && *least <= meet_mm { weak < *light } else { off < *least }
                });
                if better {
                    best = Some((self.whole(&at), off, weak));
                }
                if off <= meet_mm && self.hard == self.curves.len() {
                    return best.map(|(at, off, _)| (at, off));
                }
            }
        }
        best.map(|(at, off, _)| (at, off))
    }

    fn whole(&self, at: &[f64]) -> Vec<f64> {
        let mut free = vec![f64::NAN; self.forms.count()];
        for (&unknown, &x) in self.unknowns.iter().zip(at) {
            free[unknown] = x;
        }
        free
    }

    fn errors(&self, field: &Field, choices: &[usize], which: Range<usize>, at: &[f64]) -> Errors {
        let free = self.whole(at);
        let placed = Placed { frame: field.frame, free: &free };
        let (mut residuals, mut slopes) = (Vec::new(), Vec::new());
        for index in which {
            let slope = self.curves[index].shape.slope(&placed);
            residuals.push(slope.value_mm - field.reach_mm(index, choices[index]));
            slopes.push(self.unknowns.iter().map(|&u| field.frame.by_free(&slope, u)).collect());
        }
        Errors { residuals, slopes }
    }

    /// Every choice among curves that may hold in several ways.
    fn choices(&self) -> Vec<Vec<usize>> {
        const MOST: usize = 16;
        let mut all = vec![Vec::new()];
        for curve in &self.curves {
            all = all
                .into_iter()
                .flat_map(|choices: Vec<usize>| {
                    (0..curve.reaches.len()).map(move |choice| [choices.clone(), vec![choice]].concat())
                })
                .take(MOST)
                .collect();
        }
        all
    }

    /// Where the drawing's own statements led, and places spread round that.
    fn starts(&self, near: &[f64], field: &Field, choices: &[usize]) -> Vec<Vec<f64>> {
        const TRIES: usize = 18;
        let known = |unknown: &Unknown| near.get(*unknown).copied().filter(|x| x.is_finite());
        let own: Vec<f64> = self.unknowns.iter().map(|unknown| known(unknown).unwrap_or(0.0)).collect();
        let reach: f64 =
            (0..self.curves.len()).map(|at| field.reach_mm(at, choices[at]).abs()).fold(1.0, f64::max);
        let spread = |n: usize| {
            let shift =
                |axis: usize| ((n as f64) * 0.618_034 + (axis as f64) * 0.414_214 * n as f64).fract() - 0.5;
            own.iter().enumerate().map(|(axis, x)| x + 3.0 * reach * shift(axis)).collect()
        };
        std::iter::once(own.clone()).chain((1..=TRIES).map(spread)).collect()
    }

    /// What each dimension of the weak statement comes to there.
    fn implied(&self, free: &[f64], source: usize) -> Vec<Needed> {
        let frame = self.forms.frame(&self.sizes);
        let field = Field { curves: &self.curves, frame: &frame, sizes: &self.sizes };
        let mut found = Vec::new();
        for index in self.hard..self.curves.len() {
            for choice in 0..self.curves[index].reaches.len() {
                let off = field.residual_mm(index, choice, free);
                for (&dimension, times) in &self.curves[index].reaches[choice].is.terms {
                    let times = *times.numer() as f64 / *times.denom() as f64;
                    if (MEET_MM..1e6).contains(&off.abs()) && times.abs() > 1e-6 {
                        found.push(Needed { source, dimension, change: Length::nearest(off / times) });
                    }
                }
            }
        }
        found
    }
}

/// Most steps along what the hard curves leave free.
const GIVING: usize = 120;

/// Moves along the hard curves to where the weak ones are broken least: downhill
/// within what the hard ones leave free, then back onto them.
fn give_way(
    mut at: Vec<f64>,
    hard: &dyn Fn(&[f64]) -> Errors,
    soft: &dyn Fn(&[f64]) -> Errors,
    meet_mm: f64,
) -> Vec<f64> {
    let mut reach = soft(&at).most();
    for _ in 0..GIVING {
        let weak = soft(&at);
        let mut span = Span::default();
        for row in hard(&at).slopes {
            span.take(&row);
        }
        let mut down = vec![0.0; at.len()];
        for (row, residual) in weak.slopes.iter().zip(&weak.residuals) {
            down.iter_mut().zip(row).for_each(|(d, slope)| *d -= slope * residual);
        }
        let way = span.beyond(&down);
        let gains = |row: &Vec<f64>| row.iter().zip(&way).map(|(a, b)| a * b).sum::<f64>();
        let (mut along, mut square) = (0.0, 0.0);
        for (row, residual) in weak.slopes.iter().zip(&weak.residuals) {
            along -= gains(row) * residual;
            square += gains(row).powi(2);
        }
        let long = way.iter().map(|d| d * d).sum::<f64>().sqrt();
        if long <= 1e-12 || square == 0.0 {
            break;
        }
        let step = (along / square).min(reach / long);
        let next: Vec<f64> = at.iter().zip(&way).map(|(x, d)| x + step * d).collect();
        let (next, left) = settle(&next, hard);
        if left.most() <= meet_mm && soft(&next).square() < weak.square() {
            at = next;
            reach *= 2.0;
        } else {
            reach *= 0.25;
        }
        if reach < 1e-9 {
            break;
        }
    }
    at
}
