//! Several parts while they are being chosen: taken up, tied, stitched, chosen and looked at, until
//! nothing more is demanded.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::OnceLock;

use super::choice::MetricPart;
use super::clash::cores;
use super::explain::Explained;
use super::making::{Look, Making};
use super::memory::Memory;
use super::model::{Cost, Model};
use super::network::{unweigh, weigh};
use super::pressure::Bound;
use super::search::{Outcome as Found, Proof, Solved as Chosen, solve_with};
use super::shelf::Shelf;
use super::stated::{OnBench, Told, keep_told, told_before};
use super::stitch::Stitched;
use super::ties::{Other, Parts, Ties};
use super::together::Piece;
use crate::abreast::{abreast, abreast_mut};
use crate::bench::Bench;
use crate::drawing::{Drawing, Solved};
use crate::problem::Problem;

/// Most times that curved places are reckoned again.
const TOUCHES: usize = 6;

/// Sums that touch the curved places of a part, each time at other sizes.
pub(super) type Touchings = [OnceLock<Solved>; TOUCHES];

/// Parts that cannot go together though each can be made by itself.
#[derive(Clone, Debug)]
pub(super) struct Clash {
    /// Those between which it stands.
    pub between: Vec<usize>,
    /// All that hang together with them.
    pub around: Vec<usize>,
}

/// The parts that are being chosen, by number.
pub(super) struct Project<'a> {
    pub(super) pieces: &'a [Piece<'a>],
    bench: &'a Bench,
    shelf: &'a Shelf<'a>,
    touchings: &'a [Touchings],
    /// What of each part belongs to one that holds pressure.
    bound: &'a [Bound],
    /// What parts like these stated before.
    kept: &'a OnBench,
    /// Which parts are to be answered for.
    pub(super) asked: Vec<bool>,
    pub(super) going: BTreeMap<usize, Going<'a>>,
    pub(super) ties: Ties,
    /// Why others do not go.
    pub(super) faults: BTreeMap<usize, Vec<Problem>>,
    /// Those left out because of each other.
    pub(super) clashes: Vec<Clash>,
}

/// A part that is being chosen.
pub(super) struct Going<'a> {
    pub(super) making: Making<'a>,
    /// How often its curved places were reckoned again.
    touches: usize,
    /// The ties that its ways and demands were last stated for.
    pub(super) tied: Option<Vec<(usize, usize)>>,
}

impl<'a> Project<'a> {
    /// Takes all parts up; all are to be answered for.
    pub(super) fn begun(
        pieces: &'a [Piece<'a>],
        bench: &'a Bench,
        shelf: &'a Shelf<'a>,
        touchings: &'a [Touchings],
        bound: &'a [Bound],
        kept: &'a OnBench,
    ) -> Self {
        let mut project = Self {
            pieces,
            bench,
            shelf,
            touchings,
            bound,
            kept,
            asked: vec![true; pieces.len()],
            going: BTreeMap::new(),
            ties: Ties::default(),
            faults: BTreeMap::new(),
            clashes: Vec::new(),
        };
        project.begin(pieces.iter().enumerate().map(|(part, piece)| (part, piece.solved, 0)).collect());
        project
    }

    /// Takes parts up, or takes them up again: each with its places, and how often these
    /// were reckoned again.
    fn begin(&mut self, parts: Vec<(usize, &'a Solved, usize)>) {
        let made = abreast(&parts, |&(part, touching, _)| {
            Making::new(&self.pieces[part], touching, self.bench, self.shelf, &self.bound[part], self.kept)
        });
        for ((part, _, touches), made) in parts.into_iter().zip(made) {
            match made {
                Ok(making) => {
                    self.going.insert(part, Going { making, touches, tied: None });
                }
                Err(faults) => self.leave(part, faults),
            }
        }
    }

    /// Why one of the parts does not go, where one does not.
    pub(super) fn first_fault(&mut self) -> Option<Vec<Problem>> {
        self.faults.pop_first().map(|(_, faults)| faults)
    }

    /// Leaves a part out.
    pub(super) fn leave(&mut self, part: usize, faults: Vec<Problem>) {
        self.going.remove(&part);
        self.faults.insert(part, faults);
    }

    /// Ties the parts that go to each other, and lets those state their demands anew
    /// whose ties have changed.
    pub(super) fn tie(&mut self) {
        loop {
            let faulty: Vec<&str> =
                self.faults.keys().map(|&part| self.pieces[part].drawing.name.as_str()).collect();
            self.ties = Ties::between(&parts(&self.going), &faulty);
            let stale = self.stale();
            for &part in stale.keys() {
                self.making(part).untie();
            }
            self.open(&stale, Ties::further);
            self.open(&stale, Ties::stand_ins);
            let parts: Vec<usize> = stale.keys().copied().collect();
            for (part, tied) in stale {
                let alone = self.ties.supposed.remove(&part).unwrap_or_default();
                let going = self.going.get_mut(&part).expect("a stale part goes");
                going.making.alone = alone;
                going.tied = Some(tied);
            }
            let going = self.going.iter_mut().filter(|(part, _)| parts.binary_search(part).is_ok());
            let mut going: Vec<&mut Going> = going.map(|(_, going)| going).collect();
            let demanded = abreast_mut(&mut going, |going| going.making.demand());
            let faulty =
                parts.into_iter().zip(demanded).filter_map(|(part, demanded)| Some((part, demanded.err()?)));
            let faulty: Vec<(usize, Vec<Problem>)> = faulty.collect();
            if faulty.is_empty() {
                return;
            }
            faulty.into_iter().for_each(|(part, faults)| self.leave(part, faults));
        }
    }

    /// The parts whose ties have changed since they stated their demands, with the parts
    /// that their ways now depend on.
    fn stale(&self) -> BTreeMap<usize, Vec<(usize, usize)>> {
        let tied = |part: usize| -> Vec<(usize, usize)> {
            let beside = self.ties.beside(part);
            let about: BTreeSet<usize> = beside
                .iter()
                .flat_map(|&other| self.ties.beside(other))
                .chain(beside.iter().copied())
                .chain([part])
                .collect();
            about.into_iter().map(|part| (part, self.going[&part].touches)).collect()
        };
        let of = |(&part, going): (&usize, &Going)| {
            let tied = tied(part);
            (going.tied.as_ref() != Some(&tied)).then_some((part, tied))
        };
        self.going.iter().filter_map(of).collect()
    }

    /// Gives stale parts the ways that their ties open.
    fn open(
        &mut self,
        stale: &BTreeMap<usize, Vec<(usize, usize)>>,
        ways: fn(&Ties, &Parts, usize) -> Other,
    ) {
        let parts = parts(&self.going);
        let opened: Vec<(usize, Other)> =
            stale.keys().map(|&part| (part, ways(&self.ties, &parts, part))).collect();
        for (part, (sizes, threads)) in opened {
            self.making(part).tie(sizes, threads);
        }
    }

    pub(super) fn making(&mut self, part: usize) -> &mut Making<'a> {
        &mut self.going.get_mut(&part).expect("only parts that go are asked for").making
    }

    /// Some of the parts, with what holds between them, as one model.
    pub(super) fn stitched(&self, some: &[usize]) -> Stitched {
        let parts: Parts = some.iter().map(|part| (*part, &self.going[part].making)).collect();
        let mut stitched = Stitched::default();
        parts.values().for_each(|making| stitched.add(&making.model));
        self.ties.demand(&parts, &mut stitched);
        stitched
    }

    /// Chooses once for all parts that go; nothing when something has to change first.
    pub(super) fn choose(
        &mut self,
        memory: &mut Memory,
        put: &mut dyn FnMut(&Model),
    ) -> Option<Vec<(usize, MetricPart)>> {
        let going: Vec<usize> = self.going.keys().copied().collect();
        let all = self.stitched(&going);
        put(&all.model);
        let chosen = match solve_with(&all.model, memory) {
            Ok(Found::Solved(chosen)) => chosen,
            Ok(Found::Infeasible { .. }) => {
                let cores = cores(&all.model, memory).unwrap_or_default();
                if cores.is_empty() {
                    self.cluster_by_cluster(&all, memory)?
                } else {
                    cores.iter().for_each(|core| self.part_clash(&going, &all, core, memory));
                    return None;
                }
            }
            Ok(Found::GaveUp { .. }) | Err(_) => self.cluster_by_cluster(&all, memory)?,
        };
        self.is_good(&all, &chosen).then_some(())?;
        self.read_back(&going, &all, &chosen)
    }

    /// Looks at a choice part by part: false when some part asks for another.
    fn is_good(&mut self, all: &Stitched, chosen: &Chosen) -> bool {
        let mut faulty = Vec::new();
        let mut touched = Vec::new();
        let mut good = true;
        let mut going: Vec<(&mut Going, Range<usize>)> = self.going.values_mut().zip(all.parts()).collect();
        let looked = abreast_mut(&mut going, |(going, own)| going.making.look(&chosen.choice[own.clone()]));
        for ((&part, going), look) in self.going.iter().zip(looked) {
            match look {
                Ok(Look::Good) => continue,
                Ok(Look::Again) => {}
                Ok(Look::Touch(touching)) => touched.push((part, going.touches, touching)),
                Err(faults) => faulty.push((part, faults)),
            }
            good = false;
        }
        faulty.into_iter().for_each(|(part, faults)| self.leave(part, faults));
        let touchings = self.touchings;
        let mut again = Vec::new();
        for (part, touches, touching) in touched {
            match touchings[part].get(touches) {
                Some(kept) => again.push((part, kept.get_or_init(|| touching), touches + 1)),
                None => self.leave(part, vec![restless(self.pieces[part].drawing)]),
            }
        }
        self.begin(again);
        good
    }

    /// The metric parts of those of a cluster that are asked for: as before, where all they
    /// rest on is the same, or said now.
    fn told(
        &self,
        cluster: &[usize],
        told: Told,
        chosen: &Chosen,
    ) -> Result<Vec<(usize, MetricPart)>, Problem> {
        let asked = cluster.iter().copied().filter(|&part| self.asked[part]);
        let best = chosen.proof == Proof::Optimal;
        if let Some(known) = told_before(&told).filter(|_| best) {
            return Ok(asked.zip(known).collect());
        }
        let mut few = self.stitched(cluster);
        for purchase in &mut few.model.purchases {
            if told.free.contains(&purchase.name) {
                purchase.points = 0;
            }
        }
        let solved = share(chosen, few.model.cost(&told.choice), told.choice.clone());
        let mut explained = Explained::new(&few.model, &solved, 0..0)?;
        let mut parts = Vec::new();
        for (part, its) in cluster.iter().zip(few.parts()).filter(|(part, _)| self.asked[**part]) {
            explained.part = its.clone();
            parts.push(self.going[part].making.metric_part(&explained, &solved.choice[its]));
        }
        if best {
            keep_told(told, parts.clone());
        }
        Ok(asked.zip(parts).collect())
    }

    /// The metric parts of a choice that is good for all of them: those that are asked for.
    fn read_back(
        &mut self,
        going: &[usize],
        all: &Stitched,
        chosen: &Chosen,
    ) -> Option<Vec<(usize, MetricPart)>> {
        let own: BTreeMap<usize, Range<usize>> = going.iter().copied().zip(all.parts()).collect();
        let bought = all.bought(&chosen.choice);
        let mut clusters = self.ties.clusters(going.iter().copied());
        clusters.retain(|cluster| cluster.iter().any(|&part| self.asked[part]));
        let told = abreast(&clusters, |cluster| {
            let choice: Vec<usize> =
                cluster.iter().flat_map(|part| chosen.choice[own[part].clone()].iter().copied()).collect();
            // What other parts buy anyway costs nothing here.
            let makings = || cluster.iter().map(|part| &self.going[part].making);
            let elsewhere = |name: &&str| {
                let by = bought.get(name).into_iter().flatten();
                by.into_iter().any(|&at| cluster.binary_search(&going[at]).is_err())
            };
            let could_buy = makings().flat_map(|making| &making.model.purchases);
            let free = could_buy.map(|purchase| purchase.name.as_str()).filter(elsewhere);
            let told = Told {
                states: makings().map(Making::state).collect(),
                alone: makings().map(|making| making.alone.clone()).collect(),
                asked: cluster.iter().map(|&part| self.asked[part]).collect(),
                choice,
                free: free.map(str::to_owned).collect(),
            };
            self.told(cluster, told, chosen)
        });
        let (mut parts, mut faulty) = (Vec::new(), Vec::new());
        for (cluster, told) in clusters.into_iter().zip(told) {
            match told {
                Ok(some) => parts.extend(some),
                Err(fault) => {
                    faulty.extend(cluster.into_iter().map(|part| (part, fault.clone())));
                }
            }
        }
        let whole = faulty.is_empty();
        for (part, fault) in faulty {
            let file = self.pieces[part].drawing.file.clone();
            self.leave(part, vec![fault.at(file)]);
        }
        whole.then_some(parts)
    }
}

fn parts<'p, 'a>(going: &'p BTreeMap<usize, Going<'a>>) -> Parts<'p, 'a> {
    going.iter().map(|(&part, going)| (part, &going.making)).collect()
}

/// A cluster's share of a whole choice: it can be no further off than the whole is.
fn share(whole: &Chosen, cost: Cost, choice: Vec<usize>) -> Chosen {
    let proof = match whole.proof {
        Proof::Optimal => Proof::Optimal,
        Proof::Within { bound } => {
            let off = weigh(whole.cost) - weigh(bound);
            Proof::Within { bound: unweigh((weigh(cost) - off).max(0)) }
        }
    };
    Chosen { choice, cost, proof, nodes: whole.nodes }
}

fn restless(drawing: &Drawing) -> Problem {
    Problem::new("the curved places and the sizes do not come to rest")
        .at(drawing.file.clone())
        .why("each choice of sizes moves what is placed by distances, and that asks for another choice")
        .mend("hold the distances that place it: give each `role = \"hold\"`")
}
