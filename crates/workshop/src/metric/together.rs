//! Choosing the metric sizes of several parts as one choice.
//!
//! Each part states its own sizes and demands ([`super::making`]); they are stitched
//! into one model, in which whatever several parts use is bought once. The choice is
//! looked at part by part: where it makes walls too thin or moves curved places, that
//! part demands more and all is chosen again. A part that cannot be made is left out
//! with its fault, and the rest is answered without it.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::choice::MetricPart;
use super::explain::Explained;
use super::impasse;
use super::making::{Look, Making};
use super::memory::Memory;
use super::model::Cost;
use super::network::{unweigh, weigh};
use super::pressure::{self, Bound};
use super::search::{Outcome as Found, Proof, Solved as Chosen, solve_with};
use super::shelf::Shelf;
use super::stitch::Stitched;
use crate::bench::Bench;
use crate::drawing::{Drawing, Solved};
use crate::problem::{Outcome, Problem};

/// A part of a project.
#[derive(Clone, Copy, Debug)]
pub struct Piece<'a> {
    /// Its drawing.
    pub drawing: &'a Drawing,
    /// The places on it.
    pub solved: &'a Solved,
}

/// Most times that curved places are reckoned again.
const TOUCHES: usize = 6;

/// Sums that touch the curved places of a part, each time at other sizes.
type Touchings = [OnceLock<Solved>; TOUCHES];

/// Chooses the metric part of each piece: one answer for each, in their order. What
/// several of them use is bought once, and the same is chosen whatever their order.
///
/// Answers that `memory` holds are used again; they never change what is chosen.
pub fn together(pieces: &[Piece], bench: &Bench, memory: &mut Memory) -> Vec<Outcome<MetricPart>> {
    let shelf = Shelf::of(bench);
    let touchings: Vec<Touchings> = pieces.iter().map(|_| Touchings::default()).collect();
    let bound = pressure::beside(pieces);
    let mut project = Project {
        pieces,
        bench,
        shelf: &shelf,
        touchings: &touchings,
        bound: &bound,
        going: BTreeMap::new(),
    };
    let mut faults: BTreeMap<usize, Vec<Problem>> = BTreeMap::new();
    for place in project.in_order() {
        if let Err(more) = project.begin(place, pieces[place].solved, 0) {
            faults.insert(place, more);
        }
    }
    let parts = loop {
        match project.choose(memory) {
            Round::Done(parts) => break parts,
            Round::Again => {}
            Round::Without(more) => {
                for (place, more) in more {
                    project.going.retain(|_, going| going.place != place);
                    faults.insert(place, more);
                }
            }
        }
    };
    let mut parts: BTreeMap<usize, MetricPart> = parts.into_iter().collect();
    let of = |place: usize| match parts.remove(&place) {
        Some(part) => Ok(part),
        None => Err(faults.remove(&place).expect("a part that is not chosen has a fault")),
    };
    (0..pieces.len()).map(of).collect()
}

/// The parts that are being chosen.
struct Project<'a> {
    pieces: &'a [Piece<'a>],
    bench: &'a Bench,
    shelf: &'a Shelf<'a>,
    touchings: &'a [Touchings],
    /// What of each part belongs to one that holds pressure.
    bound: &'a [Bound],
    /// By an order that does not depend on the order of the pieces.
    going: BTreeMap<usize, Going<'a>>,
}

/// A part that is being chosen.
struct Going<'a> {
    /// Which piece it is.
    place: usize,
    making: Making<'a>,
    /// How often its curved places were reckoned again.
    touches: usize,
}

/// What came of one round.
enum Round {
    /// Every part that goes has its sizes; each with its place among the pieces.
    Done(Vec<(usize, MetricPart)>),
    /// Something has to hold now that did not before.
    Again,
    /// These cannot be made.
    Without(Vec<(usize, Vec<Problem>)>),
}

impl<'a> Project<'a> {
    /// The places of the pieces, by name and file.
    fn in_order(&self) -> Vec<usize> {
        let mut places: Vec<usize> = (0..self.pieces.len()).collect();
        let key = |&place: &usize| (&self.pieces[place].drawing.name, &self.pieces[place].drawing.file);
        places.sort_by(|a, b| {
            // Two parts of one name in one file are told apart by all they say.
            let whole = |place: &usize| format!("{:?}", self.pieces[*place].drawing);
            key(a).cmp(&key(b)).then_with(|| whole(a).cmp(&whole(b)))
        });
        places
    }

    /// Takes a part up, or takes it up again with places as `touching` has them.
    fn begin(&mut self, place: usize, touching: &'a Solved, touches: usize) -> Outcome<()> {
        let known = self.going.iter().find(|(_, going)| going.place == place).map(|(&key, _)| key);
        let key = known.unwrap_or(self.going.len());
        let making = Making::new(&self.pieces[place], touching, self.bench, self.shelf, &self.bound[place])?;
        self.going.insert(key, Going { place, making, touches });
        Ok(())
    }

    /// Chooses once for all parts that go.
    fn choose(&mut self, memory: &mut Memory) -> Round {
        let mut all = Stitched::default();
        self.going.values().for_each(|going| all.add(&going.making.model));
        let chosen = match solve_with(&all.model, memory) {
            Ok(Found::Solved(chosen)) => chosen,
            Ok(Found::Infeasible { .. } | Found::GaveUp { .. }) | Err(_) => {
                match self.one_by_one(&all, memory) {
                    Ok(chosen) => chosen,
                    Err(round) => return round,
                }
            }
        };
        self.look(&all, chosen)
    }

    /// Looks at a choice part by part.
    fn look(&mut self, all: &Stitched, chosen: Chosen) -> Round {
        let mut faults = Vec::new();
        let mut again = Vec::new();
        for ((&key, going), own) in self.going.iter_mut().zip(all.parts()) {
            match going.making.look(&chosen.choice[own]) {
                Ok(Look::Good) => {}
                Ok(Look::Again) => again.push((key, None)),
                Ok(Look::Touch(solved)) => again.push((key, Some(solved))),
                Err(more) => faults.push((going.place, more)),
            }
        }
        if faults.is_empty() && again.is_empty() {
            return self.read_back(all, &chosen);
        }
        for (key, touching) in again {
            let Some(touching) = touching else { continue };
            let (place, touches) = (self.going[&key].place, self.going[&key].touches);
            let begun = match self.touchings[place].get(touches) {
                Some(kept) => self.begin(place, kept.get_or_init(|| touching), touches + 1),
                None => Err(vec![restless(self.pieces[place].drawing)]),
            };
            if let Err(more) = begun {
                faults.push((place, more));
            }
        }
        if faults.is_empty() { Round::Again } else { Round::Without(faults) }
    }

    /// When there is no choice for all at once: thins walls where that may help, names
    /// the parts that cannot be made, or else puts together what each chooses for itself.
    fn one_by_one(&mut self, all: &Stitched, memory: &mut Memory) -> Result<Chosen, Round> {
        let (mut faults, mut thinner) = (Vec::new(), false);
        let (mut choice, mut least, mut nodes) = (Vec::new(), 0, 0);
        for going in self.going.values_mut() {
            let making = &mut going.making;
            let file = making.job.drawing.file.clone();
            let mut own = Stitched::default();
            own.add(&making.model);
            let fault = match solve_with(&own.model, memory) {
                Ok(Found::Solved(found)) => {
                    let bound = match found.proof {
                        Proof::Optimal => found.cost,
                        Proof::Within { bound } => bound,
                    };
                    least = bound.buy.max(least);
                    nodes += found.nodes;
                    choice.extend(found.choice);
                    continue;
                }
                Ok(Found::Infeasible { core, .. }) => {
                    let names: Vec<String> =
                        core.iter().map(|id| own.model.constraints[id.0].name.clone()).collect();
                    match making.thin(names.iter()) {
                        Ok(true) => {
                            thinner = true;
                            continue;
                        }
                        Ok(false) => vec![impasse::clash(&making.job, &own.model, &core)],
                        Err(more) => more,
                    }
                }
                Ok(Found::GaveUp { nodes, .. }) => vec![impasse::gave_up(&making.job, nodes)],
                Err(fault) => vec![fault.at(file)],
            };
            faults.push((going.place, fault));
        }
        if !faults.is_empty() {
            return Err(Round::Without(faults));
        }
        if thinner {
            return Err(Round::Again);
        }
        // Whatever is bought in all, it is no less than what the dearest part buys alone.
        let proof = Proof::Within { bound: Cost { buy: least, ..Cost::default() } };
        Ok(Chosen { cost: all.model.cost(&choice), choice, proof, nodes })
    }

    /// The metric parts of a choice that is good for all of them.
    fn read_back(&self, all: &Stitched, chosen: &Chosen) -> Round {
        let (mut parts, mut faults) = (Vec::new(), Vec::new());
        for (at, (going, own)) in self.going.values().zip(all.parts()).enumerate() {
            let mut alone = Stitched::default();
            alone.add(&going.making.model);
            all.buy_for_nothing(&mut alone, &chosen.choice, &[at]);
            let choice = &chosen.choice[own.clone()];
            let solved = share(chosen, alone.model.cost(choice), choice);
            match Explained::new(&alone.model, &solved, 0..own.len()) {
                Ok(explained) => parts.push((going.place, going.making.metric_part(&explained, choice))),
                Err(fault) => {
                    faults.push((going.place, vec![fault.at(going.making.job.drawing.file.clone())]));
                }
            }
        }
        if faults.is_empty() { Round::Done(parts) } else { Round::Without(faults) }
    }
}

/// A part's share of a whole choice: it can be no further off than the whole is.
fn share(whole: &Chosen, cost: Cost, choice: &[usize]) -> Chosen {
    let proof = match whole.proof {
        Proof::Optimal => Proof::Optimal,
        Proof::Within { bound } => {
            let off = weigh(whole.cost) - weigh(bound);
            Proof::Within { bound: unweigh((weigh(cost) - off).max(0)) }
        }
    };
    Chosen { choice: choice.to_vec(), cost, proof, nodes: whole.nodes }
}

fn restless(drawing: &Drawing) -> Problem {
    Problem::new("the curved places and the sizes do not come to rest")
        .at(drawing.file.clone())
        .why("each choice of sizes moves what is placed by distances, and that asks for another choice")
        .mend("hold the distances that place it: give each `role = \"hold\"`")
}
