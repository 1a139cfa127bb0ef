//! Words that only say which side: they pick between mirror images, and where they
//! are missing the question is put with the words that would answer it.

use super::blocks::Block;
use super::branches::{Branch, SAME_PLACE_MM};
use super::curved::{Coordinates, Spot};
use super::forms::{Frame, Placed};
use super::rows::{Node, Unknown, unknown};
use super::stating::plane;
use super::{Drawing, FeatureId, Reference, Side};
use crate::measure::Unit;
use crate::problem::Problem;

/// A statement that says only which side.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SideWord {
    pub(super) feature: FeatureId,
    pub(super) source: usize,
    pub(super) test: SideTest,
}

/// What a side word asks of the coordinates.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum SideTest {
    /// More than another coordinate, or less.
    Axis { own: Unknown, other: Option<Unknown>, less: bool },
    /// On one side of a line.
    Line { own: Spot, from: Spot, to: Spot, axis: usize, less: bool },
    /// Before a point rather than behind it, along a direction.
    Ray { own: Spot, from: Spot, direction: [f64; 2] },
    /// The farthest of all that fit.
    Farthest { own: Unknown, side: Side },
}

/// Nearer than this nothing lies to a side of anything.
const BESIDE_MM: f64 = 1e-6;

impl SideTest {
    /// Every coordinate that it reads.
    pub(super) fn reads(&self) -> Vec<Unknown> {
        let spots = |spots: &[&Spot]| spots.iter().copied().flatten().flatten().copied().collect();
        match self {
            Self::Axis { own, other, .. } => std::iter::once(*own).chain(*other).collect(),
            Self::Line { own, from, to, .. } => spots(&[own, from, to]),
            Self::Ray { own, from, .. } => spots(&[own, from]),
            Self::Farthest { own, .. } => vec![*own],
        }
    }

    /// How far on the right side it lies; less than nought on the wrong one.
    pub(super) fn beside_mm<C: Coordinates>(&self, at: &C) -> f64 {
        let point = |spot: &Spot| spot.map(|unknown| unknown.map_or(0.0, |unknown| at.at_mm(unknown)));
        match self {
            Self::Axis { own, other, less } => {
                let more = at.at_mm(*own) - other.map_or(0.0, |other| at.at_mm(other));
                if *less { -more } else { more }
            }
            Self::Line { own, from, to, axis, less } => {
                beside_line(point(own), point(from), point(to), *axis, *less)
            }
            Self::Ray { own, from, direction } => {
                let (own, from) = (point(own), point(from));
                (own[0] - from[0]) * direction[0] + (own[1] - from[1]) * direction[1]
            }
            Self::Farthest { .. } => f64::INFINITY,
        }
    }

    pub(super) fn holds<C: Coordinates>(&self, at: &C) -> bool {
        self.beside_mm(at) > BESIDE_MM
    }
}

/// How far beside a line a point lies, towards more or less of an axis; nothing lies
/// to either side where the line runs along that axis.
fn beside_line(own: [f64; 2], from: [f64; 2], to: [f64; 2], axis: usize, less: bool) -> f64 {
    let way = [to[0] - from[0], to[1] - from[1]];
    let long_mm = way[0].hypot(way[1]);
    if long_mm <= BESIDE_MM || (way[1 - axis] / long_mm).abs() < 1e-9 {
        return 0.0;
    }
    let normal = [-way[1] / long_mm, way[0] / long_mm];
    let off = (own[0] - from[0]) * normal[0] + (own[1] - from[1]) * normal[1];
    if (normal[axis] > 0.0) == less { -off } else { off }
}

/// Keeps the branches that are farthest where a word asks for the farthest: among
/// those alike in all that is settled before, for a word says nothing of another
/// feature's mirror image.
pub(super) fn farthest(
    sides: &[(&SideWord, &[Unknown])],
    blocks: &[Block],
    frame: &Frame,
    branches: &mut Vec<Branch>,
) {
    for (word, reads) in sides {
        let SideTest::Farthest { own, side } = word.test else { continue };
        let Some(own_block) =
            blocks.iter().rposition(|block| block.unknowns.iter().any(|unknown| reads.contains(unknown)))
        else {
            continue;
        };
        let before: Vec<Unknown> =
            blocks[..own_block].iter().flat_map(|b| b.unknowns.iter().copied()).collect();
        let alike = |a: &Branch, b: &Branch| {
            before.iter().all(|&unknown| (a.free[unknown] - b.free[unknown]).abs() <= SAME_PLACE_MM)
        };
        let far = |branch: &Branch| {
            let at = Placed { frame, free: &branch.free }.at_mm(own);
            if side.is_less() { -at } else { at }
        };
        let all = branches.clone();
        branches.retain(|branch| {
            all.iter().filter(|other| alike(branch, other)).all(|other| far(branch) >= far(other) - BESIDE_MM)
        });
    }
}

/// A word that could pick a branch: what to write, for which feature, and where it holds.
struct Word {
    feature: FeatureId,
    text: String,
    holds: Vec<bool>,
}

/// The question that is left when several places fit.
pub(super) fn ask(drawing: &Drawing, frame: &Frame, asked: &[FeatureId], branches: &[Branch]) -> Problem {
    let name = |id: FeatureId| drawing.features[id.0].name.clone();
    let words = words(drawing, frame, asked, branches);
    let mut places = Vec::new();
    let mut picks = Vec::new();
    for (index, branch) in branches.iter().enumerate() {
        let at: Vec<String> = asked
            .iter()
            .map(|&id| {
                let place = place(drawing, frame, id, branch);
                if asked.len() == 1 { place } else { format!("`{}` {place}", name(id)) }
            })
            .collect();
        let at = at.join(" and ");
        let pick = picking(&words, index, branches.len());
        let pick: Vec<String> = pick
            .iter()
            .map(|word| match asked {
                [_] => format!("`{}`", word.text),
                _ => format!("`{}` to `{}`", word.text, name(word.feature)),
            })
            .collect();
        let pick = if pick.is_empty() { "one dimension more".to_owned() } else { pick.join(" and ") };
        picks.push(format!("{pick} for ({})", index + 1));
        places.push(format!("({}) {at}", index + 1));
    }
    let names: Vec<String> = asked.iter().map(|&id| format!("`{}`", name(id))).collect();
    let first = &drawing.features[asked[0].0];
    let problem = Problem::new(format!(
        "{} may lie in {} places: which is meant?",
        names.join(" and "),
        if branches.len() >= super::branches::MOST_BRANCHES {
            "very many".to_owned()
        } else {
            branches.len().to_string()
        }
    ))
    .at(format!("line {}, `{}`", first.line, first.name))
    .at(drawing.file.clone())
    .why(format!("what the drawing says holds at each: {}", shortened(&places)))
    .mend(format!("look at the drawing and add to `place` {}", shortened(&picks)));
    asked.iter().fold(problem, |problem, &id| problem.concerns(name(id)))
}

/// The first few of a list; a person asked about more would not read them.
fn shortened(all: &[String]) -> String {
    const SHOWN: usize = 6;
    let more = if all.len() > SHOWN { "; …" } else { "" };
    format!("{}{more}", all[..all.len().min(SHOWN)].join("; "))
}

/// A place in the plane that a feature is cut in, in the drawing's own unit.
fn place(drawing: &Drawing, frame: &Frame, id: FeatureId, branch: &Branch) -> String {
    let placed = Placed { frame, free: &branch.free };
    let [across, up] = plane(drawing.features[id.0].face).map(|axis| {
        let at = placed.at_mm(unknown(Node::Feature(id), axis));
        let size = match drawing.unit {
            Some(Unit::Inch) => format!("{:.4} in", at.abs() / 25.4),
            _ => format!("{:.3} mm", at.abs()),
        };
        let side = Side::ALL.into_iter().find(|side| side.axis() == axis && side.is_less() == (at < 0.0));
        (size, side.map_or("", Side::words))
    });
    format!("{} {} and {} {} the datum", across.0, across.1.trim_end_matches(" of"), up.0, up.1)
}

fn words(drawing: &Drawing, frame: &Frame, asked: &[FeatureId], branches: &[Branch]) -> Vec<Word> {
    let mut words = Vec::new();
    for &id in asked {
        let feature = &drawing.features[id.0];
        let plane = plane(feature.face);
        let mut references: Vec<Reference> = Vec::new();
        for statement in &feature.placing {
            for reference in statement.says.references() {
                if !references.contains(&reference) && reference.edge().is_none() {
                    references.push(reference);
                }
            }
        }
        references.push(Reference::Datum);
        let own: Spot = plane.map(|axis| Some(unknown(Node::Feature(id), axis)));
        let spot = |reference: Reference| match reference {
            Reference::Feature(of) => plane.map(|axis| Some(unknown(Node::Feature(of), axis))),
            _ => [None, None],
        };
        let called = |reference: Reference| reference.word(&|of| drawing.features[of.0].name.clone());
        let mut offer = |text: String, test: SideTest| {
            let holds = branches.iter().map(|b| test.holds(&Placed { frame, free: &b.free })).collect();
            words.push(Word { feature: id, text, holds });
        };
        let sides: Vec<Side> = Side::ALL.into_iter().filter(|side| plane.contains(&side.axis())).collect();
        let axis_of = |side: Side| usize::from(plane[1] == side.axis());
        for &reference in &references {
            for &side in &sides {
                let axis = axis_of(side);
                let test = SideTest::Axis {
                    own: unknown(Node::Feature(id), side.axis()),
                    other: spot(reference)[axis],
                    less: side.is_less(),
                };
                offer(format!("{} {}", side.words(), called(reference)), test);
            }
        }
        for (index, &from) in references.iter().enumerate() {
            for &to in &references[index + 1..] {
                for &side in &sides {
                    let test = SideTest::Line {
                        own,
                        from: spot(from),
                        to: spot(to),
                        axis: axis_of(side),
                        less: side.is_less(),
                    };
                    let line = format!("the line from {} to {}", called(from), called(to));
                    offer(format!("{} {line}", side.words()), test);
                }
            }
        }
        for &side in &sides {
            let far = |branch: &Branch| {
                let at = Placed { frame, free: &branch.free }.at_mm(unknown(Node::Feature(id), side.axis()));
                if side.is_less() { -at } else { at }
            };
            let most = branches.iter().map(far).fold(f64::NEG_INFINITY, f64::max);
            let holds = branches.iter().map(|branch| far(branch) >= most - BESIDE_MM).collect();
            words.push(Word { feature: id, text: side.farthest().to_owned(), holds });
        }
    }
    words
}

/// The fewest words found that hold for one branch and for no other.
fn picking(words: &[Word], wanted: usize, count: usize) -> Vec<&Word> {
    let mut left: Vec<usize> = (0..count).filter(|&other| other != wanted).collect();
    let mut picked = Vec::new();
    while !left.is_empty() {
        let sheds = |word: &&Word| left.iter().filter(|&&other| !word.holds[other]).count();
        // Of words that do as well the first is the plainest.
        let best = words.iter().filter(|word| word.holds[wanted]).rev().max_by_key(sheds);
        match best {
            Some(word) if sheds(&word) > 0 => {
                left.retain(|&other| word.holds[other]);
                picked.push(word);
            }
            _ => return Vec::new(),
        }
    }
    picked
}
