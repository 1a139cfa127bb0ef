//! One part on its way to its metric sizes: its own ways and demands as a model of
//! its own, and what a choice of sizes does to it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Weak};

use super::choice::{MetricPart, ThreadChoice};
use super::demands::Demands;
use super::explain::Explained;
use super::metricate::{material, variables};
use super::model::Model;
use super::pressure::Bound;
use super::rules::{SPANNER_ROOM, WALL_SAID, WALL_THINNED};
use super::shelf::Shelf;
use super::stated::{Begun, EveryWay, Looked, OnBench, State};
use super::together::Piece;
use super::walls::Between;
use super::way::{Job, ThreadWays, Ways};
use super::{coincidence, heads, impasse, kept, pinned, read_back, screws, stock, ways};
use crate::abreast::both;
use crate::bench::Bench;
use crate::drawing::{
    Axis, DimensionId, FeatureId, LeastWall, NamedWall, Part, Pressure, Sizes, Solved, Source, ThreadId,
};
use crate::measure::Length;
use crate::problem::Outcome;
use crate::why::Why;

/// How often walls that only the metric part has are added and all chosen again.
const ROUNDS: usize = 8;

/// A part with so many sizes is told of on two threads.
const MANY: usize = 40;

/// Sums that touch curved places are good enough when no place is farther from its
/// curve than this: a tenth of the step of an ordinary readout.
fn near_enough() -> Length {
    Length::mm_ratio(5, 10_000)
}

/// Whether a part's sizes are chosen at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moves {
    /// They are.
    Chosen,
    /// Everything stays as drawn.
    Never,
}

/// A part, its ways and what it demands.
pub struct Making<'a> {
    /// The part with its bench.
    pub job: Job<'a>,
    /// Whether its sizes are chosen.
    pub moves: Moves,
    /// The ways of every dimension.
    pub ways: Vec<Ways>,
    /// The ways of every thread.
    pub threads: Vec<ThreadWays>,
    /// What the part has by itself of those that its ties to other parts have changed.
    own_ways: BTreeMap<usize, Ways>,
    own_threads: BTreeMap<usize, ThreadWays>,
    /// Its variables and demands, numbered from nought.
    pub model: Arc<Model>,
    /// What it was begun as, and what it states now.
    begun: Arc<Begun>,
    state: Arc<State>,
    /// Its places as the drawing has them.
    as_drawn: &'a Solved,
    /// Said of the material where the drawing does not name it.
    supposed: Option<String>,
    /// What is supposed of other parts that are not there.
    pub alone: Vec<String>,
    /// Walls that keep only most of what they have: nothing else fits.
    thinned: BTreeSet<String>,
    /// The part with the sizes that were last found good.
    good: Option<Part<'a>>,
}

/// What a choice of sizes comes to.
pub enum Look {
    /// The part can be made so.
    Good,
    /// It has walls too thin; they are demanded now, and all is to be chosen again.
    Again,
    /// Curved places have moved off their sums: these touch them at the sizes chosen.
    Touch(Solved),
}

impl<'a> Making<'a> {
    /// A part with places as `touching` has them.
    ///
    /// # Errors
    ///
    /// A material that is not known, stock that is too small, what may not be changed.
    pub fn new(
        piece: &Piece<'a>,
        touching: &'a Solved,
        bench: &'a Bench,
        shelf: &'a Shelf<'a>,
        bound: &Bound,
        kept: &OnBench,
    ) -> Outcome<Self> {
        let drawing = piece.drawing;
        let (material, supposed) = material(drawing).map_err(|fault| vec![fault.at(drawing.file.clone())])?;
        let part = Part::as_drawn(drawing, touching);
        let job = Job { drawing, solved: touching, bench, part, shelf, material };
        let stays = drawing.pressure == Pressure::Holds || drawing.source == Source::Bought;
        let moves = if stays { Moves::Never } else { Moves::Chosen };
        let begun = kept.begun(piece, touching, bound, || begin(piece, &job, moves, bound));
        let (ways, threads) = begun.ways.clone()?;
        Ok(Self {
            job,
            moves,
            ways,
            threads,
            own_ways: BTreeMap::new(),
            own_threads: BTreeMap::new(),
            model: Arc::default(),
            begun,
            state: Arc::default(),
            as_drawn: piece.solved,
            supposed,
            alone: Vec::new(),
            thinned: BTreeSet::new(),
            good: None,
        })
    }

    /// The ways of a dimension as the part has them by itself.
    pub fn own_ways(&self, id: DimensionId) -> &Ways {
        self.own_ways.get(&id.0).unwrap_or(&self.ways[id.0])
    }

    /// The ways of a thread as the part has them by itself.
    pub fn own_threads(&self, id: ThreadId) -> &ThreadWays {
        self.own_threads.get(&id.0).unwrap_or(&self.threads[id.0])
    }

    /// Gives it back the ways that it has by itself; says whether it had others.
    pub fn untie(&mut self) -> bool {
        let tied = !self.own_ways.is_empty() || !self.own_threads.is_empty();
        for (at, ways) in std::mem::take(&mut self.own_ways) {
            self.ways[at] = ways;
        }
        for (at, ways) in std::mem::take(&mut self.own_threads) {
            self.threads[at] = ways;
        }
        tied
    }

    /// Takes other ways for some of its sizes and threads.
    pub fn tie(&mut self, sizes: BTreeMap<usize, Ways>, threads: BTreeMap<usize, ThreadWays>) {
        for (at, ways) in sizes {
            let own = std::mem::replace(&mut self.ways[at], ways);
            self.own_ways.entry(at).or_insert(own);
        }
        if threads.is_empty() {
            return;
        }
        for (at, ways) in threads {
            let own = std::mem::replace(&mut self.threads[at], ways);
            self.own_threads.entry(at).or_insert(own);
        }
        // The holes and counterbores of those screws follow.
        let follow: BTreeMap<usize, Ways> = ways::every_way(&self.job, &self.threads)
            .into_iter()
            .enumerate()
            .filter(|(at, _)| {
                let screw = heads::screw_of(&self.job, DimensionId(*at));
                screw.is_some_and(|screw| self.own_threads.contains_key(&screw.0))
            })
            .collect();
        self.tie(follow, BTreeMap::new());
    }

    /// States its variables and demands afresh.
    ///
    /// # Errors
    ///
    /// Every size that nothing makes, or a fit that is not known.
    pub fn demand(&mut self) -> Outcome<()> {
        self.good = None;
        let sizes = self.own_ways.keys().map(|&at| (at, &self.ways[at])).collect();
        let threads = self.own_threads.keys().map(|&at| (at, &self.threads[at])).collect();
        self.state = self.begun.stated(sizes, threads, &self.thinned, || self.stated_anew())?;
        self.model = Arc::clone(&self.state.model);
        Ok(())
    }

    fn stated_anew(&self) -> Outcome<State> {
        let mut faults = impasse::nothing_near(&self.job, &self.ways, &self.threads);
        if self.moves == Moves::Chosen {
            faults.extend(pinned::faults(&self.job, &self.ways, &self.threads));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        if self.moves == Moves::Never {
            let model = variables(&self.job, &self.ways, &self.threads);
            return Ok(State::new(model, BTreeSet::new(), BTreeMap::new(), 0));
        }
        let (model, may_thin, between) = stated(&self.job, &self.ways, &self.threads, &self.thinned)?;
        Ok(State::new(model, may_thin, between, 0))
    }

    /// Walls that are kept as drawn and could be thinned.
    pub fn may_thin(&self) -> impl Iterator<Item = &String> {
        self.state.may_thin.iter()
    }

    /// What the walls demanded from the beginning stand between, by name.
    pub fn between(&self) -> &BTreeMap<String, Between> {
        &self.state.between
    }

    /// Thins those of these walls that may be; says whether there were any.
    ///
    /// # Errors
    ///
    /// As [`Making::demand`].
    pub fn thin<'n>(&mut self, names: impl Iterator<Item = &'n String>) -> Outcome<bool> {
        let more: Vec<String> = names.filter(|name| self.state.may_thin.contains(*name)).cloned().collect();
        if more.is_empty() {
            return Ok(false);
        }
        self.thinned.extend(more);
        self.demand()?;
        Ok(true)
    }

    /// What it states now, to know it again by.
    pub fn state(&self) -> Weak<State> {
        Arc::downgrade(&self.state)
    }

    /// The sizes that a choice of its own candidates means.
    pub fn sizes(&self, choice: &[usize]) -> Sizes {
        let (lengths, threads) = choice.split_at(self.ways.len());
        Sizes {
            lengths: self.ways.iter().zip(lengths).map(|(ways, &at)| ways.ways[at].value).collect(),
            threads: self.threads.iter().zip(threads).map(|(ways, &at)| ways.ways[at].thread).collect(),
        }
    }

    /// Looks at what a choice comes to.
    ///
    /// # Errors
    ///
    /// What is impossible about the part so made, or that walls keep being made too thin.
    pub fn look(&mut self, choice: &[usize]) -> Outcome<Look> {
        let sizes = self.sizes(choice);
        if self.moves == Moves::Never || self.good.as_ref().is_some_and(|good| good.sizes == sizes) {
            return Ok(Look::Good);
        }
        let made = self.job.part.with_sizes(sizes);
        Ok(match self.state.looked(&made.sizes, || self.looked_anew(&made))? {
            Looked::Good => {
                self.good = Some(made);
                Look::Good
            }
            Looked::Again(state) => {
                self.model = Arc::clone(&state.model);
                self.state = state;
                Look::Again
            }
            Looked::Touch(touching) => Look::Touch(*touching),
        })
    }

    fn looked_anew(&self, made: &Part) -> Outcome<Looked> {
        let mut model = (*self.model).clone();
        let mut demands = Demands::new(&self.job, &self.ways, &self.threads, &mut model, &self.thinned);
        // Walls in space take longest to find: they are looked at once the rest stands.
        let thin = walls_it_made(&mut demands, made)
            | demands.drawable_outline(made)
            | demands.whole_walls(made)
            | demands.short_threads(&made.sizes)
            | demands.heads_short_of_room(made)
            || demands.space_walls(made);
        let mut may_thin = demands.may_thin;
        if thin {
            let rounds = self.state.rounds + 1;
            if rounds >= ROUNDS {
                return Err(vec![impasse::gave_up(&self.job, 0)]);
            }
            may_thin.extend(self.state.may_thin.iter().cloned());
            let between = self.state.between.clone();
            return Ok(Looked::Again(Arc::new(State::new(model, may_thin, between, rounds))));
        }
        let faults = made.impossible();
        if !faults.is_empty() {
            return Err(faults);
        }
        if self.as_drawn.is_curved() {
            let part = Part::as_drawn(self.job.drawing, self.as_drawn).with_sizes(made.sizes.clone());
            if !as_reckoned(&part, self.job.solved, &made.sizes.lengths) {
                let touching = self.as_drawn.touching_at(self.job.drawing, &made.sizes.lengths);
                return touching.map(|solved| Looked::Touch(Box::new(solved))).map_err(|fault| vec![fault]);
            }
        }
        Ok(Looked::Good)
    }

    /// What the sheet says of a wall whose least the file gives.
    fn said_of(&self, wall: &LeastWall) -> String {
        let name = |id: FeatureId| self.job.feature(id).name.clone();
        format!(
            "the wall between {} and {} may be {} (line {}): {}",
            name(wall.first),
            wall.second.word(name),
            wall.least.length,
            wall.line,
            WALL_SAID.because
        )
    }

    /// The metric part for a choice that is good.
    pub fn metric_part(&self, explained: &Explained, choice: &[usize]) -> MetricPart {
        if self.moves == Moves::Never {
            let mut part = kept::whole(&self.job);
            part.assumed.extend(self.supposed.iter().chain(&self.alone).cloned());
            return part;
        }
        let sizes = self.sizes(choice);
        let made = match &self.good {
            Some(good) if good.sizes == sizes => good.clone(),
            _ => self.job.part.with_sizes(sizes),
        };
        let supposed = self.supposed.clone();
        let read_back =
            || read_back::metric_part(&self.job, &self.ways, &self.threads, explained, &made, supposed);
        let mut model = Model { variables: self.model.variables.clone(), ..Model::default() };
        let demands = Demands::new(&self.job, &self.ways, &self.threads, &mut model, &self.thinned);
        let stated = self.model.constraints.iter().map(|constraint| constraint.name.as_str()).collect();
        let (mut part, delicate) = if self.ways.len() < MANY {
            (read_back(), demands.delicate(&made, &stated))
        } else {
            both(read_back, || demands.delicate(&made, &stated))
        };
        demands.look_in_depth(&mut part, &delicate);
        for (id, said) in demands.box_spanners(&part.sizes) {
            let thread = part.threads.iter_mut().find(|thread| thread.id == id).expect("one for each thread");
            thread.why.because.push(Why::new(said.clone()).source(SPANNER_ROOM.source));
            part.assumed.push(said);
        }
        part.assumed.extend(coincidence::lost(&self.job, &part.sizes.lengths));
        part.assumed.extend(pinned::remarks(&self.job));
        part.assumed.extend(self.alone.iter().cloned());
        part.assumed.extend(self.job.drawing.walls.iter().map(|wall| self.said_of(wall)));
        let said_weak =
            |thread: &ThreadChoice| screws::said_weak(&self.job.drawing.threads[thread.id.0], thread.chosen);
        part.assumed.extend(part.threads.iter().filter_map(said_weak).collect::<Vec<_>>());
        part.assumed.extend(self.thinned.iter().map(|wall| format!("the {wall}: {}", WALL_THINNED.because)));
        part
    }
}

/// The ways of a part by itself.
///
/// # Errors
///
/// Stock that is too small, what may not be changed.
fn begin(piece: &Piece, job: &Job, moves: Moves, bound: &Bound) -> Outcome<EveryWay> {
    if let Some(fault) = stock::too_small(job) {
        return Err(vec![fault]);
    }
    let (ways, threads) = match moves {
        Moves::Never => kept::only_ways(job),
        Moves::Chosen => {
            let threads = 0..job.drawing.threads.len();
            let mut threads: Vec<ThreadWays> = threads.map(|at| screws::ways(job, ThreadId(at))).collect();
            let mut ways = ways::every_way(job, &threads);
            bound.keep(job, &mut ways, &mut threads);
            (ways, threads)
        }
    };
    let faults = match moves {
        Moves::Never => kept::faults(job.drawing, piece.solved),
        Moves::Chosen => bound.faults(job.drawing),
    };
    if faults.is_empty() { Ok((ways, threads)) } else { Err(faults) }
}

/// The variables and demands of a part whose sizes are chosen, with the walls that
/// could be thinned, and what walls stand between.
///
/// # Errors
///
/// A fit that is not known.
fn stated(
    job: &Job,
    ways: &[Ways],
    threads: &[ThreadWays],
    thinned: &BTreeSet<String>,
) -> Outcome<(Model, BTreeSet<String>, BTreeMap<String, Between>)> {
    let mut model = variables(job, ways, threads);
    let mut demands = Demands::new(job, ways, threads, &mut model, thinned);
    demands.sums().map_err(|fault| vec![fault.at(job.drawing.file.clone())])?;
    demands.walls();
    let (may_thin, between) = (demands.may_thin, demands.between);
    Ok((model, may_thin, between))
}

/// True when the sums reckoned with give every place of the part solved for itself.
fn as_reckoned(part: &Part, touching: &Solved, lengths: &[Length]) -> bool {
    part.features().all(|(id, _)| {
        [Axis::X, Axis::Y, Axis::Z].into_iter().all(|axis| {
            match (part.at(id, axis), touching.place(id, axis)) {
                (Some(at), Some(sum)) => at.gap(sum.value(lengths)) <= near_enough(),
                _ => true,
            }
        })
    })
}

/// Demands the walls that the part has as it would be made and the drawing had not, where
/// they are too thin; says whether there were any.
fn walls_it_made(demands: &mut Demands, made: &Part) -> bool {
    let pair = |wall: &NamedWall| (wall.first, wall.second);
    let known: Vec<_> = demands.job.part.walls().iter().map(pair).collect();
    let new: Vec<_> = made.walls().iter().filter(|wall| !known.contains(&pair(wall))).collect();
    let before = demands.model.constraints.len();
    for wall in new {
        let kept = demands.kept(wall, Length::mm(1));
        let least = kept.least;
        let stated = demands.model.constraints.iter().any(|constraint| constraint.name == kept.name);
        if wall.thickness < least && !stated {
            demands.wall(wall);
        }
    }
    demands.model.constraints.len() > before
}
