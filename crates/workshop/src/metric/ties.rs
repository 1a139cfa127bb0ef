//! What holds between the parts of a project: a mate's size is a size of the part that
//! it is, two threads that screw together are one thread, chains add up.
//!
//! A tie first opens ways: a shaft can be turned to any hole that its partner may have,
//! and the size that stands in for a mate takes the ways of the real one and costs
//! nothing itself. Then it is demanded, between the variables of both parts.

use std::collections::{BTreeMap, BTreeSet};

use num_rational::Ratio;

use super::chains::{self, Sum};
use super::choice::MadeWith;
use super::making::{Making, Moves};
use super::mates::{self, Half};
use super::model::{Demand, VariableId};
use super::rules::{SHAFT_FITTED, THREAD_STAYS};
use super::stitch::Stitched;
use super::way::{Costs, ThreadWay, ThreadWays, Way, Ways};
use super::weigh::unround;
use super::{pinned, screws, ways};
use crate::drawing::{DimensionId, LinkTo, Measures, Partner, Role, Size, ThreadId};
use crate::measure::Length;
use crate::tables::threads::{Form, Thread};
use crate::why::Why;

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

/// What holds between parts.
#[derive(Clone, Debug)]
pub enum Tie {
    /// The size of a mate is a size of another part.
    Mate {
        /// What stands in for it.
        stand_in: At<DimensionId>,
        /// The size it meets, of its own part.
        met: DimensionId,
        /// The size of the other part that it is.
        is: At<DimensionId>,
        /// Which half of the fit the other part has.
        half: Half,
        /// The mate's name.
        name: String,
    },
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

    fn mates<'p, 'a: 'p>(
        &mut self,
        part: usize,
        making: &Making,
        find: &impl Fn(&str) -> Found<'p, 'a>,
        supposed: &mut Vec<String>,
    ) {
        let job = &making.job;
        for mate in &job.drawing.mates {
            // What is there already follows nothing.
            if mate.fixed || job.dimension(mate.size).made.is_some() {
                continue;
            }
            let (Some(partner), Some((met, own))) =
                (&mate.partner, mates::meets(&job.feature(mate.with).kind))
            else {
                continue;
            };
            let found = feature(partner, find).and_then(|(other, kind)| match mates::meets(kind) {
                Some((is, half)) if half != own => Ok((At { part: other, size: is }, half)),
                _ => Err(format!("{} of {} is not its other half", partner.feature, partner.part)),
            });
            match found {
                Ok((is, half)) => self.ties.push(Tie::Mate {
                    stand_in: At { part, size: mate.size },
                    met,
                    is,
                    half,
                    name: mate.name.clone(),
                }),
                Err(why) => supposed.push(format!("the size of `{}` follows by itself: {why}", mate.name)),
            }
        }
    }

    fn screws<'p, 'a: 'p>(
        &mut self,
        part: usize,
        making: &Making,
        find: &impl Fn(&str) -> Found<'p, 'a>,
        supposed: &mut Vec<String>,
    ) {
        for screwed in &making.job.drawing.screwed {
            let partner = &screwed.partner;
            let found = feature(partner, find).and_then(|(other, kind)| match kind.thread() {
                Some(thread) => Ok(At { part: other, size: thread }),
                None => Err(format!("{} of {} has no thread", partner.feature, partner.part)),
            });
            let own = At { part, size: screwed.thread };
            match found {
                // Both files may say it.
                Ok(other) if self.screwed(own, other) => {}
                Ok(other) => self.ties.push(Tie::Screw([own, other])),
                Err(why) => {
                    let name = &making.job.drawing.threads[screwed.thread.0].name;
                    supposed.push(format!("`{name}` is chosen by itself: {why}"));
                }
            }
        }
    }

    fn screwed(&self, one: At<ThreadId>, other: At<ThreadId>) -> bool {
        self.ties
            .iter()
            .any(|tie| matches!(tie, Tie::Screw(both) if *both == [other, one] || *both == [one, other]))
    }

    fn chains<'p, 'a: 'p>(
        &mut self,
        part: usize,
        making: &Making,
        find: &impl Fn(&str) -> Found<'p, 'a>,
        supposed: &mut Vec<String>,
    ) {
        for (at, chain) in making.job.drawing.chains.iter().enumerate().filter(|(_, chain)| !chain.is_own()) {
            let link = |link: &crate::drawing::Link| match &link.to {
                LinkTo::Own(size) => Ok((At { part, size: *size }, link.times)),
                LinkTo::Other { part, name } => match find(part) {
                    Found::Part(other, making) => making
                        .job
                        .drawing
                        .size_named(name)
                        .map(|size| (At { part: other, size }, link.times))
                        .ok_or_else(|| format!("{part} has no size called {name}")),
                    Found::Not(why) => Err(why),
                },
            };
            match chain.links.iter().map(link).collect() {
                Ok(sum) => self.ties.push(Tie::Chain { sum, said: At { part, size: at } }),
                Err(why) => supposed.push(format!("`{}` is not held: {why}", chain.name)),
            }
        }
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
            Tie::Mate { stand_in, is, .. } if stand_in.part == part && stand_in.size.0 == size => Some(*is),
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
        let making = parts[&part];
        for tie in self.of(part) {
            match tie {
                Tie::Mate { stand_in, met, is, half, .. } => {
                    for (own, other) in [
                        (*is, At { part: stand_in.part, size: *met }),
                        (At { part: stand_in.part, size: *met }, *is),
                    ] {
                        if own.part != part {
                            continue;
                        }
                        let shaft = (own == *is) == (*half == Half::Shaft);
                        let partner = parts[&other.part].own_ways(other.size);
                        let so_far = sizes.get(&own.size.0).unwrap_or_else(|| making.own_ways(own.size));
                        let mut more = more_ways(making, own.size, so_far, partner, shaft);
                        // What is settled of the other half is open to this one.
                        let there = parts[&other.part].job.dimension(other.size);
                        let here = parts[&stand_in.part].job.dimension(stand_in.size);
                        let only =
                            partner.ways.first().filter(|_| partner.ways.len() == 1).map(|way| way.value);
                        let settled =
                            there.pin.into_iter().chain(only).chain(here.pin.filter(|_| own == *is));
                        for size in settled {
                            ways::further(&mut more, exactly(making, own.size, so_far, size));
                        }
                        if !more.is_empty() {
                            let mut ways = so_far.clone();
                            ways.ways.extend(more);
                            sizes.insert(own.size.0, ways);
                        }
                    }
                }
                Tie::Screw([one, other]) => {
                    for (own, other) in [(*one, *other), (*other, *one)] {
                        if own.part != part {
                            continue;
                        }
                        let partner = parts[&other.part].own_threads(other.size);
                        let so_far = threads.get(&own.size.0).unwrap_or_else(|| making.own_threads(own.size));
                        let more = more_threads(
                            making,
                            own.size,
                            so_far,
                            partner,
                            parts[&other.part].job.drawing.threads[other.size.0].pin,
                        );
                        if !more.is_empty() {
                            let mut ways = so_far.clone();
                            ways.ways.extend(more);
                            threads.insert(own.size.0, ways);
                        }
                    }
                }
                Tie::Chain { .. } => {}
            }
        }
        (sizes, threads)
    }

    /// The ways of what stands in for mates in one part: those of the real sizes, once
    /// these have all their ways.
    pub fn stand_ins(&self, parts: &Parts, part: usize) -> Other {
        let mine = |tie: &Tie| match tie {
            Tie::Mate { stand_in, is, .. } if stand_in.part == part => {
                Some((stand_in.size.0, real(parts[&is.part], is.size)))
            }
            _ => None,
        };
        (self.of(part).filter_map(mine).collect(), BTreeMap::new())
    }

    /// Demands all that holds between these parts, whose models are stitched in order.
    pub fn demand(&self, parts: &Parts, stitched: &mut Stitched) {
        let begins: BTreeMap<usize, usize> =
            parts.keys().copied().zip(stitched.begins.iter().copied()).collect();
        let name = |part: usize| &parts[&part].job.drawing.name;
        for tie in self.ties.iter().filter(|tie| tie.parts().iter().all(|part| parts.contains_key(part))) {
            match tie {
                Tie::Mate { stand_in, is, name: mate, .. } => {
                    let [a, b] = [*stand_in, *is].map(|at| VariableId(begins[&at.part] + at.size.0));
                    let real = &parts[&is.part].job.dimension(is.size).name;
                    let because = format!(
                        "`{mate}` of {} is `{real}` of {}, one size for both",
                        name(stand_in.part),
                        name(is.part)
                    );
                    let count = stitched.model.variables[a.0].candidates.len();
                    let allowed =
                        (0..count).map(|row| (0..count).map(|column| row == column).collect()).collect();
                    stitched.model.demand(
                        format!("{mate} of {}", name(stand_in.part)),
                        because,
                        Demand::Pairs { a, b, allowed },
                    );
                }
                Tie::Screw(both) => {
                    let [a, b] =
                        both.map(|at| VariableId(begins[&at.part] + parts[&at.part].ways.len() + at.size.0));
                    let [one, other] = both.map(|at| &parts[&at.part].threads[at.size.0].ways);
                    let row = |way: &ThreadWay| other.iter().map(|its| its.thread == way.thread).collect();
                    let allowed = one.iter().map(row).collect();
                    let [first, second] = both.map(|at| {
                        let call = &parts[&at.part].job.drawing.threads[at.size.0];
                        format!("`{}` of {}", call.name, name(at.part))
                    });
                    let because = format!("{first} and {second} screw together, one thread for both");
                    stitched.model.demand(
                        format!("thread of {first} and {second}"),
                        because,
                        Demand::Pairs { a, b, allowed },
                    );
                }
                Tie::Chain { sum, said } => {
                    let chain = &parts[&said.part].job.drawing.chains[said.size];
                    let sum = sum.iter().map(|(at, times)| {
                        let own = match at.size {
                            Size::Length(id) => id.0,
                            Size::Thread(id) => parts[&at.part].ways.len() + id.0,
                        };
                        (VariableId(begins[&at.part] + own), Ratio::from_integer(*times))
                    });
                    let Sum { name, because, demand } = chains::demand(chain, sum);
                    stitched.model.demand(name, because, demand);
                }
            }
        }
    }
}

impl Tie {
    /// The parts it ties, each once.
    pub fn parts(&self) -> BTreeSet<usize> {
        match self {
            Self::Mate { stand_in, is, .. } => [stand_in.part, is.part].into(),
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
            let named = features.iter().find(|feature| feature.name.eq_ignore_ascii_case(&partner.feature));
            named
                .map(|feature| (other, &feature.kind))
                .ok_or_else(|| format!("{} has no feature called {}", partner.part, partner.feature))
        }
    }
}

/// The ways of a real size as those of what stands in for it: they cost nothing here.
fn real(making: &Making, size: DimensionId) -> Ways {
    let (job, its) = (&making.job, &making.ways[size.0]);
    let with =
        format!("it is `{}` of {}, chosen together with it", job.dimension(size).name, job.drawing.name);
    let way = |way: &Way| {
        let mut way = Way { buys: Vec::new(), unround: 0, extra: 0, ..way.clone() };
        let both = Why::new(with.clone());
        way.note = Some(match way.note.take() {
            Some(note) => both.because(note),
            None => both,
        });
        way
    };
    Ways {
        ways: its.ways.iter().map(way).collect(),
        limit: its.limit,
        limit_why: its.limit_why.clone(),
        ruled_out: Vec::new(),
        costs: Costs::Elsewhere,
    }
}

/// Sizes that a shaft may have because of its hole: it is turned to any of them.
fn more_ways(making: &Making, id: DimensionId, own: &Ways, partner: &Ways, shaft: bool) -> Vec<Way> {
    let dimension = making.job.dimension(id);
    let made = match dimension.measures {
        _ if !shaft || stays(making, id) => return Vec::new(),
        Measures::Turned => MadeWith::Lathe,
        Measures::AcrossFlats => MadeWith::Setting,
        _ => return Vec::new(),
    };
    let drawn = dimension.written.length;
    let mut sizes: Vec<Length> = partner.ways.iter().map(|way| way.value).collect();
    sizes.sort_by_key(|size| (size.gap(drawn), *size));
    sizes.dedup();
    let new = |size: &Length| {
        let has = own.ways.iter().any(|way| way.value == *size && way.made == made);
        !has && size.gap(drawn) <= own.limit
    };
    let turned = |size| match made {
        MadeWith::Lathe => ways::on_the_lathe(size),
        _ => Way::new(size, made.clone(), &SHAFT_FITTED).unround(unround(size) + 3),
    };
    sizes.into_iter().filter(new).take(MORE_WAYS).map(turned).collect()
}

/// The ways of one exact size, where the part has none and may depart so far.
fn exactly(making: &Making, id: DimensionId, own: &Ways, size: Length) -> Vec<Way> {
    let job = &making.job;
    let far = size.gap(job.dimension(id).written.length) > own.limit;
    if far || stays(making, id) || own.ways.iter().any(|way| way.value == size) {
        return Vec::new();
    }
    pinned::at(job, id, size, &making.threads)
}

/// Whether a size is there already.
fn stays(making: &Making, id: DimensionId) -> bool {
    making.moves == Moves::Never || making.job.dimension(id).made.is_some()
}

/// The partner's threads that this part has not: those pinned there, and where the two
/// have none in common all of them, so that a thread one part must keep is cut in the
/// other too.
fn more_threads(
    making: &Making,
    id: ThreadId,
    own: &ThreadWays,
    partner: &ThreadWays,
    pin: Option<&'static Thread>,
) -> Vec<ThreadWay> {
    let call = &making.job.drawing.threads[id.0];
    // One that is held, made or metric already is what the other has to become.
    let stays = call.role.0 == Role::Hold || call.made.is_some() || call.thread.form() == Form::Metric60;
    if stays || making.moves == Moves::Never {
        return Vec::new();
    }
    let has = |thread: &Thread| own.ways.iter().any(|way| way.thread == thread);
    let mut threads: Vec<_> = partner.ways.iter().map(|way| way.thread).collect();
    if threads.iter().any(|thread| has(thread)) {
        threads = pin.into_iter().filter(|pin| !has(pin)).collect();
    }
    threads.dedup();
    let cut = making.job.cut(id);
    threads
        .into_iter()
        .flat_map(|thread| screws::with_drills(&making.job, thread, cut, &THREAD_STAYS))
        .collect()
}
