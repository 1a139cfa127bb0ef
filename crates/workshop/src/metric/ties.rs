//! What holds between the parts of a project: a mate's size is a size of the part that
//! it is, two threads that screw together are one thread, chains add up.
//!
//! A tie first opens ways: a shaft can be turned to any hole that its partner may have,
//! and the size that stands in for a mate takes the ways of the real one and costs
//! nothing itself. Then it is demanded, between the variables of both parts.

mod chains;
mod mates;
mod reach;
mod screws;

use std::collections::{BTreeMap, BTreeSet};

use super::making::Making;
use super::mates::Half;
use super::stitch::Stitched;
use super::way::{ThreadWays, Ways};
use crate::drawing::{DimensionId, Partner, Size, ThreadId};

/// Most ways that a size is given beside its own.
const MORE_WAYS: usize = 60;

/// A size of one of the parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct At<S> {
    /// Which part.
    pub part: usize,
    /// Which of its sizes.
    pub size: S,
}

/// A mate whose part is there.
#[derive(Clone, Debug)]
pub struct Mated {
    /// What stands in for it.
    pub stand_in: At<DimensionId>,
    /// The size it meets, of its own part.
    pub met: DimensionId,
    /// The size of the other part that it is.
    pub is: At<DimensionId>,
    /// Which half of the fit the other part has.
    pub half: Half,
    /// The mate's name.
    pub name: String,
}

/// What holds between parts.
#[derive(Clone, Debug)]
pub enum Tie {
    /// The size of a mate is a size of another part.
    Mate(Mated),
    /// Two threads are one.
    Screw([At<ThreadId>; 2]),
    /// Sizes add up.
    Chain {
        /// Each with how often it counts.
        sum: Vec<(At<Size>, i128)>,
        /// The part whose file says so, and which of its chains it is.
        said: At<usize>,
    },
}

/// All that holds between some parts, and what has to be supposed instead.
#[derive(Debug, Default)]
pub struct Ties {
    ties: Vec<Tie>,
    /// Which of them each part has.
    at: BTreeMap<usize, Vec<usize>>,
    /// By part, what is supposed because another part is not there.
    pub supposed: BTreeMap<usize, Vec<String>>,
}

/// The parts, by number.
pub type Parts<'p, 'a> = BTreeMap<usize, &'p Making<'a>>;

/// Other ways for some sizes and threads of a part.
pub type Other = (BTreeMap<usize, Ways>, BTreeMap<usize, ThreadWays>);

/// A part that is asked for by name.
enum Found<'p, 'a> {
    Part(usize, &'p Making<'a>),
    /// It is not there, because of this.
    Not(String),
}

impl Ties {
    /// What ties some parts; `faulty` are the names of those that cannot be made.
    pub fn between(parts: &Parts, faulty: &[&str]) -> Self {
        let mut ties = Self::default();
        let names: BTreeMap<String, usize> = parts
            .iter()
            .rev()
            .map(|(&part, making)| (making.job.drawing.name.to_ascii_lowercase(), part))
            .collect();
        let find = |name: &str| match names.get(&name.to_ascii_lowercase()) {
            Some(&part) => Found::Part(part, parts[&part]),
            None if faulty.iter().any(|faulty| faulty.eq_ignore_ascii_case(name)) => {
                Found::Not(format!("{name} cannot be made as it is entered"))
            }
            None => Found::Not(format!("no part called {name} is looked at")),
        };
        for (&part, making) in parts {
            let mut supposed = Vec::new();
            ties.mates(part, making, &find, &mut supposed);
            ties.screws(part, making, &find, &mut supposed);
            ties.chains(part, making, &find, &mut supposed);
            if !supposed.is_empty() {
                ties.supposed.insert(part, supposed);
            }
        }
        for (at, tie) in ties.ties.iter().enumerate() {
            for part in tie.parts() {
                ties.at.entry(part).or_default().push(at);
            }
        }
        ties
    }

    /// All ties, in the order in which they are demanded.
    pub fn all(&self) -> &[Tie] {
        &self.ties
    }

    /// The ties of one part.
    fn of(&self, part: usize) -> impl Iterator<Item = &Tie> {
        self.at.get(&part).into_iter().flatten().map(|&at| &self.ties[at])
    }

    /// The parts that a part hangs together with directly.
    pub fn beside(&self, part: usize) -> BTreeSet<usize> {
        self.of(part).flat_map(Tie::parts).collect()
    }

    /// The size of another part that a size stands in for, where it does.
    pub fn real(&self, part: usize, size: usize) -> Option<At<DimensionId>> {
        self.of(part).find_map(|tie| match tie {
            Tie::Mate(mated) if mated.stand_in == (At { part, size: DimensionId(size) }) => Some(mated.is),
            _ => None,
        })
    }

    /// The parts that hang together, and each that stands alone.
    pub fn clusters(&self, parts: impl Iterator<Item = usize>) -> Vec<Vec<usize>> {
        let mut seen: BTreeSet<usize> = BTreeSet::new();
        let mut clusters = Vec::new();
        for part in parts {
            if !seen.insert(part) {
                continue;
            }
            let mut cluster = vec![part];
            let mut next = 0;
            while let Some(&one) = cluster.get(next) {
                cluster.extend(self.beside(one).into_iter().filter(|&other| seen.insert(other)));
                next += 1;
            }
            cluster.sort_unstable();
            clusters.push(cluster);
        }
        clusters
    }

    /// The further ways of sizes and threads of one part that its ties open; those of
    /// stand-ins are not among them.
    pub fn further(&self, parts: &Parts, part: usize) -> Other {
        let (mut sizes, mut threads) = (BTreeMap::new(), BTreeMap::new());
        for tie in self.of(part) {
            match tie {
                Tie::Mate(mated) => mated.further(parts, part, &mut sizes),
                Tie::Screw(both) => screws::further(both, parts, part, &mut threads),
                Tie::Chain { .. } => {}
            }
        }
        (sizes, threads)
    }

    /// The ways of what stands in for mates in one part: those of the real sizes, once
    /// these have all their ways.
    pub fn stand_ins(&self, parts: &Parts, part: usize) -> Other {
        let mine = |tie: &Tie| match tie {
            Tie::Mate(Mated { stand_in, is, .. }) if stand_in.part == part => {
                Some((stand_in.size.0, mates::real(parts[&is.part], is.size)))
            }
            _ => None,
        };
        (self.of(part).filter_map(mine).collect(), BTreeMap::new())
    }

    /// Demands all that holds between these parts, whose models are stitched in order.
    pub fn demand(&self, parts: &Parts, stitched: &mut Stitched) {
        let begins: BTreeMap<usize, usize> =
            parts.keys().copied().zip(stitched.begins.iter().copied()).collect();
        let some: BTreeSet<usize> =
            parts.keys().filter_map(|part| self.at.get(part)).flatten().copied().collect();
        let some = some.into_iter().map(|at| &self.ties[at]);
        for tie in some.filter(|tie| tie.parts().iter().all(|part| parts.contains_key(part))) {
            match tie {
                Tie::Mate(mated) => mated.demand(parts, &begins, stitched),
                Tie::Screw(both) => screws::demand(both, parts, &begins, stitched),
                Tie::Chain { sum, said } => chains::demand(sum, *said, parts, &begins, stitched),
            }
        }
        self.screwed_in(parts, &begins, stitched);
    }
}

impl Tie {
    /// The parts it ties, each once.
    pub fn parts(&self) -> BTreeSet<usize> {
        match self {
            Self::Mate(Mated { stand_in, is, .. }) => [stand_in.part, is.part].into(),
            Self::Screw([one, other]) => [one.part, other.part].into(),
            Self::Chain { sum, .. } => sum.iter().map(|(at, _)| at.part).collect(),
        }
    }
}

/// The feature of another part that a mate or a thread names.
fn feature<'p, 'a: 'p>(
    partner: &Partner,
    find: &impl Fn(&str) -> Found<'p, 'a>,
) -> Result<(usize, &'a crate::drawing::Kind), String> {
    match find(&partner.part) {
        Found::Not(why) => Err(why),
        Found::Part(other, making) => {
            let features: &'a [crate::drawing::Feature] = &making.job.drawing.features;
            let named = partner.find(features);
            named
                .map(|id| (other, &features[id.0].kind))
                .ok_or_else(|| format!("{} has no feature called {}", partner.part, partner.feature))
        }
    }
}
