//! What is done in a project, and what is there or not at a moment.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::Made;
use super::designed::{self, Sheets};
use super::joined::{Joined, joined};
use super::rules::{self, Demand, Wants};
use super::shared::{SharedAid, shared};
use crate::assembly::{Fitting, Kind, Member, Place, Task, TaskId, Thing};
use crate::bench::Bench;
use crate::drawing::Source;
use crate::order::Machine;
use crate::problem::Problem;
use crate::sheet::AidSheet;

/// One thing that is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Deed {
    /// A part is made, as many as are wanted; finished, where it lay with others before.
    Part(usize),
    /// A part is made as far as the setup in which it lies with others, for the time counted.
    Begin(usize, usize),
    /// Holes of several parts are made in one setup.
    Joint(usize),
    /// An aid of the parts' own sheets is made.
    Aid(usize),
    /// A task of the project is done.
    Task(TaskId),
    /// A join is taken apart again.
    Apart(TaskId),
    /// It is put together for good.
    Again(TaskId),
}

/// What is so or not at a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Fact {
    /// A part is made.
    Part(usize),
    /// A part is made so far.
    Begun(usize, usize),
    /// Holes of several parts are made.
    Joined(usize),
    /// An aid of the parts' own sheets is made.
    Aid(usize),
    /// A task has been done.
    Done(TaskId),
    /// A join is together.
    Together(TaskId),
}

/// Everything the rules look at.
pub(super) struct World<'a> {
    pub parts: &'a [Made<'a>],
    pub fitting: &'a Fitting,
    pub aids: Vec<SharedAid<'a>>,
    /// Holes of several parts that are made in one setup.
    pub joined: Vec<Joined<'a>>,
    /// Everything that is done: each aid before the first part that needs it, then the tasks.
    pub deeds: Vec<Deed>,
    /// What the rules say of it.
    pub demands: Vec<Demand>,
    /// Joins that may have to be taken apart and put together again.
    pub dismantled: BTreeSet<TaskId>,
    /// Sheets of the aids that the project says what they are made to.
    pub sheets: Sheets,
    /// Aids for which another one does.
    pub alike: BTreeMap<TaskId, TaskId>,
}

impl<'a> World<'a> {
    /// A project of which nothing is worked out yet.
    pub fn bare(parts: &'a [Made<'a>], fitting: &'a Fitting, bench: &Bench) -> Self {
        Self {
            aids: shared(parts, bench),
            joined: Vec::new(),
            parts,
            fitting,
            deeds: Vec::new(),
            demands: Vec::new(),
            dismantled: BTreeSet::new(),
            sheets: Sheets::new(),
            alike: BTreeMap::new(),
        }
    }

    pub fn of(parts: &'a [Made<'a>], fitting: &'a Fitting, bench: &Bench, sheets: Sheets) -> Self {
        let alike = designed::alike(fitting, &sheets);
        let mut world = Self { sheets, alike, ..Self::bare(parts, fitting, bench) };
        world.joined = joined(&world);
        let mut told: BTreeSet<usize> = BTreeSet::new();
        let made: Vec<usize> = (0..parts.len()).filter(|&part| world.is_made(part)).collect();
        for part in made {
            for (n, aid) in world.aids.iter().enumerate() {
                if !aid.kept && aid.users.iter().any(|user| user.part == part) && told.insert(n) {
                    world.deeds.push(Deed::Aid(n));
                }
            }
            // What lies with others is begun here, and finished after it has.
            match world.first_deed(part) {
                Deed::Joint(_) => {}
                first => world.deeds.push(first),
            }
        }
        world.deeds.extend(world.joint_deeds());
        let wanted =
            fitting.all().filter(|(id, task)| !task.kind.is_owned_aid() && !world.alike.contains_key(id));
        let wanted: Vec<Deed> = wanted.map(|(id, _)| Deed::Task(id)).collect();
        world.deeds.extend(wanted);
        let demands = rules::RULES.iter().flat_map(|rule| (rule.says)(&world, rule));
        world.demands = demands.map(|demand| world.for_one(demand)).collect();
        world.dismantle();
        world
    }

    /// A demand of or on an aid for which another does, as one of or on that.
    fn for_one(&self, mut demand: Demand) -> Demand {
        let lead = |id: TaskId| self.alike.get(&id).copied().unwrap_or(id);
        if let Deed::Task(id) = demand.of {
            demand.of = Deed::Task(lead(id));
        }
        if let Wants::Has(Fact::Done(id)) = demand.wants {
            demand.wants = Wants::Has(Fact::Done(lead(id)));
        }
        demand
    }

    /// Finds the joins that something must not meet though something else hangs on them, and
    /// lets those that come apart be taken apart and put together again.
    fn dismantle(&mut self) {
        let hung_on = |id: TaskId| {
            self.demands.iter().any(|demand| match demand.wants {
                Wants::Has(fact) => fact == Fact::Together(id) || fact == Fact::Done(id),
                Wants::Comes(after) => after == Deed::Task(id),
                Wants::Not(_) => false,
            })
        };
        let unwanted = |id: TaskId| self.demands.iter().any(|d| d.wants == Wants::Not(Fact::Together(id)));
        let comes_apart = |id: TaskId| self.fitting.task(id).kind.comes_apart();
        let mut found: BTreeSet<TaskId> = self
            .fitting
            .all()
            .map(|(id, _)| id)
            .filter(|&id| comes_apart(id) && unwanted(id) && hung_on(id))
            .collect();
        loop {
            let under = |id: TaskId| self.fitting.task(id).within.iter().any(|on| found.contains(on));
            let more: Vec<TaskId> = self
                .fitting
                .all()
                .filter(|(id, task)| {
                    task.how().is_some() && comes_apart(*id) && !found.contains(id) && under(*id)
                })
                .map(|(id, _)| id)
                .collect();
            if more.is_empty() {
                break;
            }
            found.extend(more);
        }
        for &id in &found {
            self.deeds.extend([Deed::Apart(id), Deed::Again(id)]);
            let again: Vec<Demand> = self
                .demands
                .iter()
                .filter(|d| d.of == Deed::Task(id) && !matches!(d.wants, Wants::Comes(_)))
                .map(|d| Demand { of: Deed::Again(id), ..d.clone() })
                .collect();
            self.demands.extend(again);
        }
        self.dismantled = found;
        let apart = rules::taken_apart(self);
        self.demands.extend(apart);
    }

    /// Whether a part is made here.
    pub fn is_made(&self, part: usize) -> bool {
        self.parts[part].drawing.source == Source::Made
    }

    /// A part's or piece's name.
    pub fn thing(&self, thing: Thing) -> &str {
        match thing {
            Thing::Part(part) => &self.parts[part].drawing.name,
            Thing::Piece(piece) => &self.fitting.pieces[piece].0,
        }
    }

    /// A part or piece, which of them, and its feature: `Crank web, 2nd (pin bore)`.
    pub fn member(&self, member: &Member) -> String {
        let mut words = self.thing(member.thing).to_owned();
        match member.which {
            crate::assembly::Which::All => {}
            crate::assembly::Which::Nth(n) => words += &format!(", {}", nth(n)),
            crate::assembly::Which::Hand(hand) => words += &format!(", {}", hand.words()),
        }
        match self.feature(member) {
            Some(feature) => format!("{words} ({feature})"),
            None => words,
        }
    }

    /// The name of a member's feature.
    pub fn feature(&self, member: &Member) -> Option<&str> {
        match (member.thing, member.feature) {
            (Thing::Part(part), Some(id)) => Some(&self.parts[part].drawing.features[id.0].name),
            _ => None,
        }
    }

    pub fn task(&self, id: TaskId) -> &'a Task {
        self.fitting.task(id)
    }

    /// In the imperative, short: `make Crank web`, `press together: pin in the web`.
    pub fn name(&self, deed: Deed) -> String {
        match deed {
            Deed::Part(part) if !self.joints_of(part).is_empty() => {
                format!("finish {}", self.parts[part].drawing.name)
            }
            Deed::Part(part) => format!("make {}", self.parts[part].drawing.name),
            Deed::Begin(part, 0) => format!("begin {}", self.parts[part].drawing.name),
            Deed::Begin(part, _) => format!("go on with {}", self.parts[part].drawing.name),
            Deed::Joint(n) => format!("make together: {}", self.joined[n].said.name),
            Deed::Aid(aid) => format!("make {}", self.aids[aid].name),
            Deed::Apart(id) => format!("take apart: {}", self.task(id).name),
            Deed::Again(id) => format!("put together again: {}", self.task(id).name),
            Deed::Task(id) => {
                let task = self.task(id);
                match &task.kind {
                    Kind::Join { .. } => {
                        let tapered = task.tapered(|part| self.parts[part].drawing);
                        format!("{}: {}", task.order_word(tapered), task.name)
                    }
                    Kind::Work(doing) => format!("{} in assembly: {}", doing.word, task.name),
                    Kind::Heat(heat) => format!("{}: {}", heat.word, task.name),
                    Kind::Aid { .. } => format!("make {}", task.name),
                }
            }
        }
    }

    /// Where a deed is done, what is set up for it there, and about how long it takes.
    pub fn work(&self, deed: Deed) -> (Place, String, u64) {
        match deed {
            Deed::Part(part) => {
                let all = self.stretches(part).pop().unwrap_or_default();
                self.part_work(part, all, self.joints_of(part).is_empty())
            }
            Deed::Begin(part, n) => self.part_work(part, self.stretches(part)[n].clone(), false),
            Deed::Joint(n) => {
                let (top, setup) = self.joined[n].parts[0];
                let (place, _, minutes) = self.part_work(top, setup..setup + 1, false);
                (place, "parts laid together".into(), minutes)
            }
            Deed::Aid(aid) => (self.aids[aid].place(), "aids".into(), self.aids[aid].minutes()),
            Deed::Apart(id) => (Place::Bench, "taking apart".into(), self.task(id).minutes.unwrap_or(5)),
            Deed::Again(id) => (Place::Bench, "putting together".into(), self.task(id).minutes.unwrap_or(5)),
            Deed::Task(id) => {
                let task = self.task(id);
                let (kit, minutes) = match &task.kind {
                    Kind::Join { how, .. } => (how.word, how.minutes),
                    Kind::Work(doing) => (doing.word, doing.minutes),
                    Kind::Heat(heat) => (heat.word, heat.minutes),
                    Kind::Aid { .. } => ("aids", self.sheets.get(&id).map_or(30, designed_minutes)),
                };
                (task.place, kit.to_owned(), task.minutes.unwrap_or(minutes))
            }
        }
    }

    /// Some of a part's setups, or all of it: it is made where most of their minutes are spent.
    fn part_work(&self, part: usize, setups: Range<usize>, whole: bool) -> (Place, String, u64) {
        let Made { drawing, plan, .. } = self.parts[part];
        let kit = drawing.material.clone().unwrap_or_else(|| "some metal".into());
        let Some(plan) = plan else { return (Place::Bench, kit, 0) };
        let mut spent: BTreeMap<Place, u64> = BTreeMap::new();
        for line in plan.cover.order.iter().filter(|line| setups.contains(&(line.setup - 1))) {
            let place = match line.machine {
                Machine::Lathe => Place::Lathe,
                Machine::Mill | Machine::RotaryTable => Place::Mill,
                Machine::DrillPress | Machine::BenchVice => Place::Bench,
            };
            *spent.entry(place).or_default() += line.minutes;
        }
        let most = spent.iter().max_by_key(|(place, minutes)| (**minutes, std::cmp::Reverse(**place)));
        let place = most.map_or(Place::Bench, |(place, _)| *place);
        let minutes = if whole { plan.cover.minutes } else { self.minutes_of(part, setups) };
        (place, kit, minutes.min(crate::order::model::MOST_MINUTES))
    }

    /// The deeds that bring a fact about.
    pub fn makes(&self, deed: Deed) -> Vec<Fact> {
        match deed {
            Deed::Part(part) => vec![Fact::Part(part)],
            Deed::Begin(part, n) => vec![Fact::Begun(part, n)],
            Deed::Joint(n) => vec![Fact::Joined(n)],
            Deed::Aid(aid) => vec![Fact::Aid(aid)],
            Deed::Task(id) if self.task(id).how().is_some() => vec![Fact::Done(id), Fact::Together(id)],
            Deed::Task(id) => vec![Fact::Done(id)],
            Deed::Again(id) => vec![Fact::Together(id)],
            Deed::Apart(_) => Vec::new(),
        }
    }

    /// A fact, to follow "there is no".
    pub fn fact(&self, fact: Fact) -> String {
        match fact {
            Fact::Part(part) => format!("finished {}", self.parts[part].drawing.name),
            Fact::Begun(part, _) => format!("{} made so far", self.parts[part].drawing.name),
            Fact::Joined(n) => format!("set of holes `{}`", self.joined[n].said.name),
            Fact::Aid(aid) => self.aids[aid].name.clone(),
            Fact::Done(id) => match self.task(id).kind {
                Kind::Aid { .. } => self.task(id).name.clone(),
                _ => format!("`{}` done", self.task(id).name),
            },
            Fact::Together(id) => format!("`{}` together", self.task(id).name),
        }
    }

    /// What is waited for, to follow `it waits`.
    pub fn until(&self, fact: Fact) -> String {
        match fact {
            Fact::Together(id) => format!("until `{}` is together", self.task(id).name),
            Fact::Done(id) if !matches!(self.task(id).kind, Kind::Aid { .. }) => {
                format!("until `{}` is done", self.task(id).name)
            }
            _ => format!("for the {}", self.fact(fact)),
        }
    }

    /// What must not be yet, to follow `while`.
    pub fn without(&self, fact: Fact) -> String {
        match fact {
            Fact::Together(id) => format!("`{}` is not together", self.task(id).name),
            Fact::Done(id) if !matches!(self.task(id).kind, Kind::Aid { .. }) => {
                format!("`{}` is not done", self.task(id).name)
            }
            _ => format!("there is no {}", self.fact(fact)),
        }
    }
}

/// Minutes to make an aid of the project: of its own order where it has one.
fn designed_minutes(sheet: &Result<AidSheet, Problem>) -> u64 {
    sheet.as_ref().map_or(30, |sheet| if sheet.own.order.is_empty() { 30 } else { sheet.minutes() })
}

/// `2nd`.
pub(super) fn nth(n: u32) -> String {
    let end = match (n % 10, n % 100) {
        (1, x) if x != 11 => "st",
        (2, x) if x != 12 => "nd",
        (3, x) if x != 13 => "rd",
        _ => "th",
    };
    format!("{n}{end}")
}
