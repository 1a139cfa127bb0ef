//! Planning a project whole, or where it is too large for that, in stages.
//!
//! One model with everything in it is tried first: what it proves, it proves of the whole
//! project. Where it is too large, or the search comes to its limit, assemblies that have
//! nothing in common are planned one after another, each for itself, loose parts in bunches by
//! the place they are made at. An assembly that is too large by itself has its parts made
//! first. What is then proven is proven of each stage alone, and the list says so.

use std::collections::{BTreeMap, BTreeSet};

use super::EFFORT;
use super::build::{Built, built};
use super::clash;
use super::deeds::{Deed, World};
use crate::assembly::{TaskId, Thing};
use crate::order::{self, Outcome as Planned, Plan, Proof, model::MOST};
use crate::problem::Problem;

/// A planned stage.
pub(super) struct Stage<'w> {
    pub built: Built<'w>,
    pub plan: Plan,
}

impl Stage<'_> {
    /// Whether no order of this stage is better.
    pub fn proven(&self) -> bool {
        self.plan.proof == Proof::Optimal
    }

    /// The deeds in order.
    pub fn order(&self) -> impl Iterator<Item = Deed> {
        self.plan.steps.iter().map(|step| self.built.deeds[step.op.0])
    }
}

/// What came of one stage.
enum Came<'w> {
    Stage(Box<Stage<'w>>),
    TooLarge,
    NotWithinLimit,
}

/// Plans everything.
///
/// # Errors
///
/// What cannot all hold, or that an assembly is too large.
pub(super) fn planned<'w>(world: &'w World) -> Result<Vec<Stage<'w>>, Problem> {
    let nothing = BTreeSet::new();
    let whole = match stage(world, &world.deeds, &nothing)? {
        Came::Stage(stage) if stage.proven() => return Ok(vec![*stage]),
        Came::Stage(stage) => Some(*stage),
        Came::TooLarge | Came::NotWithinLimit => None,
    };
    let parted = parted(world);
    match whole {
        // A bound of the whole is worth more than proofs of a few pieces, unless there are several.
        Some(whole) if parted.len() < 2 => Ok(vec![whole]),
        _ => in_turn(world, parted),
    }
}

fn in_turn<'w>(world: &'w World, parted: Vec<Vec<Deed>>) -> Result<Vec<Stage<'w>>, Problem> {
    let mut done: BTreeSet<Deed> = BTreeSet::new();
    let mut stages = Vec::new();
    let mut waiting: Vec<Vec<Deed>> = parted.into_iter().rev().collect();
    while let Some(mut deeds) = waiting.pop() {
        // An aid that serves several stages is made in the first.
        deeds.retain(|deed| !done.contains(deed));
        if deeds.is_empty() {
            continue;
        }
        match stage(world, &deeds, &done)? {
            Came::Stage(stage) => {
                done.extend(deeds);
                stages.push(*stage);
            }
            Came::TooLarge | Came::NotWithinLimit => {
                let (making, fitting): (Vec<Deed>, Vec<Deed>) = deeds
                    .into_iter()
                    .partition(|deed| !matches!(deed, Deed::Task(_) | Deed::Apart(_) | Deed::Again(_)));
                if making.is_empty() || fitting.is_empty() {
                    return Err(too_large(world, &fitting));
                }
                waiting.push(fitting);
                waiting.extend(bunches(world, making).into_iter().rev());
            }
        }
    }
    Ok(stages)
}

/// Plans one stage.
fn stage<'w>(world: &'w World, deeds: &[Deed], done: &BTreeSet<Deed>) -> Result<Came<'w>, Problem> {
    let built = built(world, deeds, done);
    if built.model.operations.len() > MOST || built.model.tokens.len() > MOST {
        return Ok(Came::TooLarge);
    }
    match order::plan(&built.model, EFFORT) {
        Ok(Planned::Planned(plan)) => {
            if let Err(faults) = order::check(&built.model, &plan) {
                let words: Vec<String> = faults.iter().map(ToString::to_string).collect();
                panic!(
                    "the planner's certificate fails the checker, a fault of this program: {}",
                    words.join("; ")
                );
            }
            Ok(Came::Stage(Box::new(Stage { built, plan })))
        }
        Ok(Planned::Impossible(conflict)) => Err(clash::problem(world, &built, &conflict)),
        Ok(Planned::Undecided { .. }) => Ok(Came::NotWithinLimit),
        Err(mut faults) => Err(faults.swap_remove(0)),
    }
}

/// Deeds that have to do with each other, in the order of the first of each; parts that are
/// fitted to nothing in bunches.
fn parted(world: &World) -> Vec<Vec<Deed>> {
    let mut sets = Sets::default();
    for (id, task) in world.fitting.all() {
        let own = Knot::Task(id);
        let set_by = match task.set_by {
            Some(crate::assembly::SetBy::Part(member)) => Some(Knot::of(member.thing)),
            Some(crate::assembly::SetBy::Aid(aid)) => Some(Knot::Task(aid)),
            None => None,
        };
        let tasks = task.within.iter().chain(&task.after).map(|id| Knot::Task(*id));
        for other in task.members.iter().map(|m| Knot::of(m.thing)).chain(set_by).chain(tasks) {
            sets.tie(own, other);
        }
    }
    for joined in &world.joined {
        for (part, _) in &joined.parts[1..] {
            sets.tie(Knot::Part(joined.parts[0].0), Knot::Part(*part));
        }
    }
    let fitted: BTreeSet<Knot> = sets.above.keys().copied().collect();
    let mut found: BTreeMap<Knot, Vec<Deed>> = BTreeMap::new();
    let mut first: Vec<Knot> = Vec::new();
    let mut loose = Vec::new();
    for &deed in &world.deeds {
        let knot = match deed {
            Deed::Part(part) | Deed::Begin(part, _) => Knot::Part(part),
            Deed::Joint(n) => Knot::Part(world.joined[n].parts[0].0),
            Deed::Task(id) | Deed::Apart(id) | Deed::Again(id) => Knot::Task(id),
            // Aids go with every part they serve.
            Deed::Aid(_) => continue,
        };
        if !fitted.contains(&knot) {
            loose.push(deed);
            continue;
        }
        let root = sets.root(knot);
        if !first.contains(&root) {
            first.push(root);
        }
        found.entry(root).or_default().push(deed);
    }
    let mut all: Vec<Vec<Deed>> =
        first.iter().filter_map(|root| found.remove(root)).map(|deeds| with_aids(world, deeds)).collect();
    all.extend(bunches(world, loose));
    all
}

/// Parts, each with the aids it is made with before it.
fn with_aids(world: &World, deeds: Vec<Deed>) -> Vec<Deed> {
    let mut all = Vec::new();
    for deed in deeds {
        if let Deed::Part(part) | Deed::Begin(part, _) = deed {
            let aids = world.aids.iter().enumerate();
            let own = aids.filter(|(_, aid)| !aid.kept && aid.users.iter().any(|user| user.part == part));
            for (n, _) in own {
                if !all.contains(&Deed::Aid(n)) {
                    all.push(Deed::Aid(n));
                }
            }
        }
        if !all.contains(&deed) {
            all.push(deed);
        }
    }
    all
}

/// Things to make, sorted by where and from what, so many at a time as one stage holds with
/// their aids.
fn bunches(world: &World, deeds: Vec<Deed>) -> Vec<Vec<Deed>> {
    const AT_ONCE: usize = MOST / 4;
    let made = deeds.into_iter().filter(|deed| !matches!(deed, Deed::Aid(_)));
    // Parts that lie together half made stay together.
    let (laid, mut deeds): (Vec<Deed>, Vec<Deed>) = made.partition(|&deed| match deed {
        Deed::Part(part) => !world.joints_of(part).is_empty(),
        deed => matches!(deed, Deed::Begin(..) | Deed::Joint(_)),
    });
    deeds.sort_by_key(|&deed| {
        let (place, kit, _) = world.work(deed);
        (place, kit)
    });
    let laid = Some(laid).filter(|laid| !laid.is_empty());
    let rest = deeds.chunks(AT_ONCE).map(<[Deed]>::to_vec);
    laid.into_iter().chain(rest).map(|bunch| with_aids(world, bunch)).collect()
}

fn too_large(world: &World, deeds: &[Deed]) -> Problem {
    let first = deeds.first().map_or(String::new(), |&deed| world.name(deed));
    Problem::new(format!("the assembly of `{first}` is too large to be planned"))
        .why(format!(
            "{} tasks hang together, and the planner holds up to {MOST} of them and what they need",
            deeds.len()
        ))
        .mend("divide it: give each sub-assembly a project folder of its own, and name it here as a `[[piece]]`")
}

/// What hangs together.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Knot {
    Part(usize),
    Piece(usize),
    Task(TaskId),
}

impl Knot {
    fn of(thing: Thing) -> Self {
        match thing {
            Thing::Part(part) => Self::Part(part),
            Thing::Piece(piece) => Self::Piece(piece),
        }
    }
}

/// Sets of knots tied to each other.
#[derive(Default)]
struct Sets {
    above: BTreeMap<Knot, Knot>,
}

impl Sets {
    fn root(&mut self, knot: Knot) -> Knot {
        let above = *self.above.entry(knot).or_insert(knot);
        if above == knot {
            return knot;
        }
        let root = self.root(above);
        self.above.insert(knot, root);
        root
    }

    fn tie(&mut self, one: Knot, other: Knot) {
        let (one, other) = (self.root(one), self.root(other));
        self.above.insert(one.max(other), one.min(other));
    }
}
