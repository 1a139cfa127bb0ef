//! Choosing the metric sizes of several parts as one choice.
//!
//! Each part states its own sizes and demands ([`super::making`]); what holds between
//! them is stated beside ([`super::ties`]), and all is stitched into one model, in which
//! whatever several parts use is bought once. The choice is looked at part by part:
//! where it makes walls too thin or moves curved places, that part demands more and all
//! is chosen again. A part that cannot be made is left out with its fault; the rest is
//! answered without it, and what hangs on it says that it is supposed.

use std::collections::BTreeSet;

use super::choice::MetricPart;
use super::impasse;
use super::memory::Memory;
use super::model::Model;
use super::pressure;
use super::project::{Clash, Project, Touchings};
use super::shelf::Shelf;
use super::standoff::{Standoff, standoffs, standoffs_of};
use crate::bench::Bench;
use crate::drawing::{Drawing, Solved};
use crate::problem::Outcome;

/// A part of a project.
#[derive(Clone, Copy, Debug)]
pub struct Piece<'a> {
    /// Its drawing.
    pub drawing: &'a Drawing,
    /// The places on it.
    pub solved: &'a Solved,
}

/// Chooses the metric part of each piece: one answer for each, in their order.
///
/// Parts that fit into each other, screw together or stand in one chain are chosen as
/// one, and what several parts use is bought once. The same is chosen whatever the
/// order of the pieces. Answers that `memory` holds are used again; they never change
/// what is chosen.
pub fn together(pieces: &[Piece], bench: &Bench, memory: &mut Memory) -> Vec<Outcome<MetricPart>> {
    let everyone = vec![true; pieces.len()];
    let answers = answered(pieces, &everyone, bench, memory).into_iter();
    answers.map(|answer| answer.expect("all were asked for")).collect()
}

/// As [`together`], answered only for those pieces that are asked for by their places.
///
/// The others are chosen with them, since they may buy what these can use; but what is
/// said of their sizes is not worked out, and where one is left out its faults come
/// without the ways out of them. Of those that are chosen nothing is said.
pub fn some_together(
    pieces: &[Piece],
    asked: impl Fn(usize) -> bool,
    bench: &Bench,
    memory: &mut Memory,
) -> Vec<Option<Outcome<MetricPart>>> {
    let asked: Vec<bool> = (0..pieces.len()).map(asked).collect();
    answered(pieces, &asked, bench, memory)
}

/// What was chosen of those asked for, or why not, with the ways out.
fn answered(
    pieces: &[Piece],
    asked: &[bool],
    bench: &Bench,
    memory: &mut Memory,
) -> Vec<Option<Outcome<MetricPart>>> {
    let (mut answers, clashes) = chosen(pieces, asked, bench, memory, &mut |_| {});
    let mut told: BTreeSet<usize> = BTreeSet::new();
    for clash in clashes.iter().filter(|clash| clash.between.iter().any(|&at| asked[at])) {
        let some: Vec<Piece> = clash.around.iter().map(|&at| pieces[at]).collect();
        let found = standoffs_of(&some, bench, memory);
        for &at in &clash.between {
            let faults = impasse::between(pieces[at].drawing, &found);
            if !faults.is_empty() {
                answers[at] = Some(Err(faults));
            }
            told.insert(at);
        }
    }
    for (at, piece) in pieces.iter().enumerate().filter(|(at, _)| asked[*at] && !told.contains(at)) {
        answers[at] = answers[at]
            .take()
            .map(|found| found.map_err(|faults| impasse::with_ways_out(piece, bench, memory, faults)));
    }
    answers
}

/// Every set of demands that hinders one of some parts, with the ways out: those of the part
/// by itself, and where it has none those of the parts that it hangs together with. Empty
/// where it can be made, or where the fault is another.
pub fn standoffs_among(pieces: &[Piece], which: usize, bench: &Bench, memory: &mut Memory) -> Vec<Standoff> {
    let (_, clashes) = chosen(pieces, &vec![false; pieces.len()], bench, memory, &mut |_| {});
    let Some(clash) = clashes.iter().find(|clash| clash.between.contains(&which)) else {
        return standoffs(&pieces[which], bench, memory);
    };
    let some: Vec<Piece> = clash.around.iter().map(|&at| pieces[at]).collect();
    let found = standoffs_of(&some, bench, memory);
    found.iter().filter_map(|standoff| standoff.seen_from(pieces[which].drawing)).collect()
}

/// Parts that must all be had, without the ways out where they cannot.
pub(super) fn all_of(pieces: &[Piece], bench: &Bench, memory: &mut Memory) -> Outcome<Vec<MetricPart>> {
    let (chosen, _) = chosen(pieces, &vec![true; pieces.len()], bench, memory, &mut |_| {});
    chosen.into_iter().map(|answer| answer.expect("all were asked for")).collect()
}

/// Every choice that [`together`] puts to the search for these pieces, first to last, so
/// that another solver can be held against it. Each has walls demanded that the one before
/// it made too thin, or is without a part that cannot be made; the last is the one whose
/// sizes are given.
pub fn asked(pieces: &[Piece], bench: &Bench) -> Vec<Model> {
    let mut put = Vec::new();
    let none = vec![false; pieces.len()];
    chosen(pieces, &none, bench, &mut Memory::new(), &mut |model| put.push(model.clone()));
    put
}

/// An answer for each piece that is asked for or left out, and what stood between those
/// that had to be left out. Tells each choice that is put to the search.
fn chosen(
    pieces: &[Piece],
    asked: &[bool],
    bench: &Bench,
    memory: &mut Memory,
    put: &mut dyn FnMut(&Model),
) -> (Vec<Option<Outcome<MetricPart>>>, Vec<Clash>) {
    let shelf = Shelf::of(bench);
    let touchings: Vec<Touchings> = pieces.iter().map(|_| Touchings::default()).collect();
    let order = in_order(pieces);
    let asked: Vec<bool> = order.iter().map(|&place| asked[place]).collect();
    let pieces: Vec<Piece> = order.iter().map(|&place| pieces[place]).collect();
    let bound = pressure::beside(&pieces);
    let kept = memory.statements.on(bench);
    let mut project = Project::begun(&pieces, bench, &shelf, &touchings, &bound, &kept);
    project.asked = asked;
    let parts = loop {
        project.tie();
        if let Some(parts) = project.choose(memory, put) {
            break parts;
        }
    };
    let mut answers: Vec<Option<Outcome<MetricPart>>> = vec![None; pieces.len()];
    parts.into_iter().for_each(|(part, metric)| answers[order[part]] = Some(Ok(metric)));
    project.faults.into_iter().for_each(|(part, faults)| answers[order[part]] = Some(Err(faults)));
    let given = |parts: Vec<usize>| {
        let mut places: Vec<usize> = parts.into_iter().map(|part| order[part]).collect();
        places.sort_unstable();
        places
    };
    let clashes = project.clashes.into_iter();
    let clashes =
        clashes.map(|clash| Clash { between: given(clash.between), around: given(clash.around) }).collect();
    (answers, clashes)
}

/// The places of the pieces by name and file, so that the order they came in plays no
/// part in the choice.
pub(super) fn in_order(pieces: &[Piece]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..pieces.len()).collect();
    let key = |place: usize| (&pieces[place].drawing.name, &pieces[place].drawing.file);
    // Two parts of one name in one file are told apart by all they say.
    let whole = |place: usize| format!("{:?}", pieces[place].drawing);
    places.sort_by(|&a, &b| key(a).cmp(&key(b)).then_with(|| whole(a).cmp(&whole(b))));
    places
}
