//! What could be let go so that a part can be made: each tried, and told with what
//! it would bring.

use super::choice::{DimensionChoice, MetricPart, Standing};
use super::holes::USUAL_CLASS;
use super::memory::Memory;
use super::model::ConstraintId;
use super::pinned::pin_name;
use super::standoff::{Edit, WayOut};
use super::together::{Piece, alone};
use super::way::{Job, drill_name, reamer_name};
use super::weigh::departure;
use super::wide::Wide;
use super::{clash, ways};
use crate::bench::{Bench, Reamer};
use crate::drawing::{DimensionId, Drawing, Finish, Measures, Role, ThreadId};
use crate::edit::{Change, Value};
use crate::measure::{Length, Toward};
use crate::tables::drills::{self, Drill};
use crate::tables::threads::Form;

/// The plain words for a fit, the closest to a free one first.
const FITS: [&str; 4] = ["running", "sliding", "locating", "press"];

/// One thing let go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// A dimension may go so far.
    Allow(DimensionId, Length),
    /// The pin of a dimension is taken back.
    Unpin(DimensionId),
    /// The pin of a thread is taken back.
    UnpinThread(ThreadId),
    /// A hole is made as drawn, with the tool of that size bought.
    AsDrawn(DimensionId, Tool),
    /// A thread stays as drawn, with its own tap.
    Keep(ThreadId),
    /// A mate gets another fit.
    Fit(usize, &'static str),
    /// A mate that counts as made follows what it meets.
    Follow(usize),
}

/// A tool of a size that no metric shop lists.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tool {
    /// A drill by its name.
    Drill(Drill),
    /// A reamer.
    Reamer(Reamer),
}

impl Tool {
    /// As the list of what to buy has it.
    fn name(&self) -> String {
        match self {
            Self::Drill(drill) => drill_name(drill),
            Self::Reamer(reamer) => reamer_name(reamer),
        }
    }
}

/// What may be tried for one set of demands that cannot all hold; each is one way out.
pub fn acts(job: &Job, wide: &Wide, core: &[ConstraintId], relaxed: &[clash::Relaxation]) -> Vec<Vec<Act>> {
    let drawing = job.drawing;
    let mut found: Vec<Vec<Act>> = Vec::new();
    let mut add = |acts: Vec<Act>| {
        if !acts.is_empty() && !found.contains(&acts) {
            found.push(acts);
        }
    };
    for relaxation in relaxed {
        let name = &wide.model.constraints[relaxation.dropped.0].name;
        if let Some(&id) = wide.limits.get(&relaxation.dropped) {
            let value = wide.ways[id.0].ways[relaxation.choice[id.0]].value;
            let off = value.gap(drawing.dimensions[id.0].written.length);
            add(vec![Act::Allow(id, off.rounded(Length::microns(1), Toward::More).value)]);
        }
        for (at, dimension) in drawing.dimensions.iter().enumerate() {
            let pinned =
                dimension.pin.is_some_and(|pin| *name == pin_name(&dimension.name, &pin.to_string()));
            add(pinned.then_some(Act::Unpin(DimensionId(at))).into_iter().collect());
        }
        for (at, call) in drawing.threads.iter().enumerate() {
            let pinned = call.pin.is_some_and(|pin| *name == pin_name(&call.name, &pin.designation));
            add(pinned.then_some(Act::UnpinThread(ThreadId(at))).into_iter().collect());
        }
        for (at, mate) in
            drawing.mates.iter().enumerate().filter(|(_, m)| *name == format!("fit of {}", m.name))
        {
            add(mate.fixed.then_some(Act::Follow(at)).into_iter().collect());
            for fit in FITS.into_iter().filter(|fit| !fit.eq_ignore_ascii_case(mate.fit.trim())) {
                add(vec![Act::Fit(at, fit)]);
            }
        }
    }
    let read = read_by(wide, core);
    let tools: Vec<Act> = read.iter().filter_map(|&at| as_drawn(job, at)).collect();
    tools.iter().for_each(|act| add(vec![act.clone()]));
    if tools.len() > 1 {
        add(tools);
    }
    let sizes = read.iter().filter(|&&at| at < drawing.dimensions.len());
    let mut screws: Vec<ThreadId> =
        sizes.filter_map(|&at| super::heads::screw_of(job, DimensionId(at))).collect();
    screws.extend(read.iter().filter_map(|&at| at.checked_sub(drawing.dimensions.len())).map(ThreadId));
    screws.sort_unstable();
    screws.dedup();
    for id in screws {
        let call = &drawing.threads[id.0];
        let may = call.thread.form() != Form::Metric60
            && call.role.0 != Role::Hold
            && call.made.is_none()
            && call.pin.is_none();
        add(may.then_some(Act::Keep(id)).into_iter().collect());
    }
    found
}

/// The variables that some demands read, each once.
pub fn read_by(wide: &Wide, core: &[ConstraintId]) -> Vec<usize> {
    let of = |id: &ConstraintId| wide.model.constraints[id.0].demand.variables();
    let mut read: Vec<usize> = core.iter().flat_map(of).map(|variable| variable.0).collect();
    read.sort_unstable();
    read.dedup();
    read
}

/// A hole of the size drawn, where there is a tool of that size and it is not owned.
fn as_drawn(job: &Job, at: usize) -> Option<Act> {
    let dimension = job.drawing.dimensions.get(at)?;
    let size = dimension.written.length;
    if dimension.made.is_some() || dimension.pin.is_some() {
        return None;
    }
    let tool = match dimension.measures {
        Measures::Hole(Finish::Drilled) if !job.bench.drills.iter().any(|drill| drill.diameter == size) => {
            Tool::Drill(drills::all().iter().find(|drill| drill.diameter == size)?.clone())
        }
        Measures::Hole(Finish::Reamed) if !job.bench.reamers.iter().any(|reamer| reamer.diameter == size) => {
            Tool::Reamer(Reamer { diameter: size, class: USUAL_CLASS.into() })
        }
        _ => return None,
    };
    Some(Act::AsDrawn(DimensionId(at), tool))
}

impl Act {
    /// Makes the change in a drawing and a bench.
    fn done(&self, drawing: &mut Drawing, bench: &mut Bench) {
        match *self {
            Self::Allow(id, within) => drawing.dimensions[id.0].within = Some(within),
            Self::Unpin(id) => drawing.dimensions[id.0].pin = None,
            Self::UnpinThread(id) => drawing.threads[id.0].pin = None,
            Self::AsDrawn(_, Tool::Drill(ref drill)) => bench.drills.push(drill.clone()),
            Self::AsDrawn(_, Tool::Reamer(ref reamer)) => bench.reamers.push(reamer.clone()),
            Self::Keep(id) => drawing.threads[id.0].role.0 = Role::Hold,
            Self::Fit(at, fit) => drawing.mates[at].fit = fit.to_owned(),
            Self::Follow(at) => drawing.mates[at].fixed = false,
        }
    }

    /// The same change in the part file.
    fn edit(&self, drawing: &Drawing) -> Edit {
        let set = |at: String, to: Value| Edit::Part(Change::Set { at, to });
        let dimension = |id: DimensionId| &drawing.dimensions[id.0];
        match *self {
            Self::Allow(id, within) => {
                set(format!("{}/within", dimension(id).at), Value::text(exactly(within)))
            }
            Self::Unpin(id) => Edit::Part(Change::Clear { at: format!("{}/pin", dimension(id).at) }),
            Self::UnpinThread(id) => {
                Edit::Part(Change::Clear { at: format!("{}/pin", drawing.threads[id.0].at) })
            }
            Self::AsDrawn(_, Tool::Drill(ref drill)) => {
                Edit::Bench(Change::Include { at: "drills".into(), item: Value::text(&drill.name) })
            }
            Self::AsDrawn(_, Tool::Reamer(ref reamer)) => {
                let name = reamer_name(reamer);
                let item = Value::text(name.trim_start_matches("reamer "));
                Edit::Bench(Change::Include { at: "reamers".into(), item })
            }
            Self::Keep(id) => set(format!("{}/role", drawing.threads[id.0].at), Value::text("hold")),
            Self::Fit(at, fit) => set(format!("mate/{at}/fit"), Value::text(fit)),
            Self::Follow(at) => Edit::Part(Change::Clear { at: format!("mate/{at}/fixed") }),
        }
    }

    /// What to do, in words, with how it would come out.
    fn words(&self, drawing: &Drawing, wide: &Wide, part: &MetricPart) -> String {
        let dimension = |id: DimensionId| &drawing.dimensions[id.0];
        let comes = |id: DimensionId| format!("{} mm", part.dimensions[id.0].chosen.shown(3));
        match *self {
            Self::Allow(id, within) => format!(
                "allow `{}` {} instead of {} (`within = \"{}\"`), so that it can be {}",
                dimension(id).name,
                exactly(within),
                exactly(wide.allowed[id.0]),
                exactly(within),
                comes(id)
            ),
            Self::Unpin(id) => {
                format!("take back the pin of `{}`: it would be {}", dimension(id).name, comes(id))
            }
            Self::UnpinThread(id) => format!(
                "take back the pin of `{}`: it would be {}",
                drawing.threads[id.0].name, part.threads[id.0].chosen.designation
            ),
            Self::AsDrawn(id, _) => format!("make `{}` as drawn", dimension(id).name),
            Self::Keep(id) => {
                let call = &drawing.threads[id.0];
                format!("keep the {} screw of `{}` (`role = \"hold\"`)", call.text, call.name)
            }
            Self::Fit(at, fit) => {
                let mate = &drawing.mates[at];
                format!("make the fit of `{}` {fit} instead of {} (`fit = \"{fit}\"`)", mate.name, mate.fit)
            }
            Self::Follow(at) => {
                format!("let `{}` follow what it meets: take `fixed = true` away", drawing.mates[at].name)
            }
        }
    }
}

fn exactly(length: Length) -> String {
    format!("{} mm", length.shown(9))
}

/// A part that is stuck, with what is needed to try something else.
pub struct Stuck<'a> {
    /// The part.
    pub piece: Piece<'a>,
    /// What is owned.
    pub bench: &'a Bench,
    /// The part with room to give.
    pub wide: &'a Wide,
}

impl Stuck<'_> {
    /// What comes of letting some things go: a way out where the part can be made then.
    /// `besides` is let go elsewhere, for another set of demands.
    pub fn tried(
        &self,
        job: &Job,
        acts: &[Act],
        besides: &[Act],
        core: &[ConstraintId],
        memory: &mut Memory,
    ) -> Option<WayOut> {
        let (mut drawing, mut bench) = (self.piece.drawing.clone(), self.bench.clone());
        acts.iter().chain(besides).for_each(|act| act.done(&mut drawing, &mut bench));
        let part = alone(&Piece { drawing: &drawing, solved: self.piece.solved }, &bench, memory).ok()?;
        if let [Act::Allow(id, within)] = *acts {
            // With so much room something nearer may do: then no more is advised than that.
            let choice = &part.dimensions[id.0];
            let off = choice.chosen.gap(choice.exact).rounded(Length::microns(1), Toward::More).value;
            if off < within
                && off > self.wide.allowed[id.0]
                && let Some(nearer) = self.tried(job, &[Act::Allow(id, off)], besides, core, memory)
            {
                return Some(nearer);
            }
        }
        let needed = part.purchases.iter().filter(|buy| buy.standing == Standing::Needed);
        let mut buys: Vec<String> = needed.map(|buy| buy.what.clone()).collect();
        for act in acts {
            let Act::AsDrawn(id, tool) = act else { continue };
            let choice = &part.dimensions[id.0];
            if choice.chosen != choice.exact {
                return None;
            }
            buys.push(tool.name());
        }
        buys.sort();
        buys.dedup();
        let departs = part.dimensions.iter().map(|choice| {
            let limit = ways::counted_limit(job, choice.id);
            departure(choice.role, limit, choice.chosen - choice.exact)
        });
        let share = |choice: &DimensionChoice| {
            let allowed = self.wide.allowed[choice.id.0];
            let off = choice.chosen.gap(choice.exact) * 1000;
            let share = if allowed.is_positive() { off.ratio_to(allowed).ceil().to_integer() } else { 0 };
            u64::try_from(share).unwrap_or(u64::MAX)
        };
        let strain = part.dimensions.iter().map(share).max().unwrap_or_default();
        let said: Vec<String> =
            acts.iter().map(|act| act.words(self.piece.drawing, self.wide, &part)).collect();
        let brings =
            read_by(self.wide, core).into_iter().map(|at| match at.checked_sub(part.dimensions.len()) {
                None => (
                    self.piece.drawing.dimensions[at].name.clone(),
                    format!("{} mm", part.dimensions[at].chosen.shown(3)),
                ),
                Some(thread) => (
                    self.piece.drawing.threads[thread].name.clone(),
                    part.threads[thread].chosen.designation.clone(),
                ),
            });
        let mut edits: Vec<Edit> = Vec::new();
        for edit in acts.iter().map(|act| act.edit(self.piece.drawing)) {
            if !edits.contains(&edit) {
                edits.push(edit);
            }
        }
        Some(WayOut {
            advice: said.join(", and "),
            edits,
            brings: brings.collect(),
            strain,
            departure: departs.sum(),
            buys,
        })
    }
}
