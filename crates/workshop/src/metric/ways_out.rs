//! What could be let go so that parts can be made: each tried, and told with what it
//! would bring.

use super::act::{Act, End, Tool};
use super::choice::{DimensionChoice, MetricPart, Standing};
use super::holes::USUAL_CLASS;
use super::memory::Memory;
use super::model::ConstraintId;
use super::pinned::pin_name;
use super::standoff::{Edit, Sized, WayOut};
use super::ties::At;
use super::together::{Piece, all_of};
use super::weigh::departure;
use super::wide::Wide;
use super::{clash, gauge, screws};
use crate::bench::{Bench, Reamer};
use crate::drawing::{
    Chain, DimensionId, Drawing, Finish, Measures, Pressure, Role, Size, Solved, Source, ThreadId, solve,
};
use crate::measure::{Length, Toward};
use crate::tables::drills;
use crate::tables::threads::Form;

/// The plain words for a fit, the closest to a free one first.
const FITS: [&str; 4] = ["running", "sliding", "locating", "press"];

/// No wall thinner than this is offered: a cutter springs through it (common practice).
const THINNEST: Length = Length::from_ratio(num_rational::Ratio::new_raw(1, 2));

/// Parts that are stuck, with what is needed to try something else.
pub struct Stuck<'a> {
    /// The parts, all of which must be had.
    pub pieces: &'a [Piece<'a>],
    /// What is owned.
    pub bench: &'a Bench,
    /// The parts with room to give.
    pub wide: &'a Wide,
}

impl Stuck<'_> {
    fn drawing(&self, part: usize) -> &Drawing {
        self.pieces[part].drawing
    }

    fn drawings(&self) -> Vec<&Drawing> {
        self.pieces.iter().map(|piece| piece.drawing).collect()
    }

    /// What may be tried for one set of demands that cannot all hold; each is one way out.
    pub fn acts(&self, core: &[ConstraintId], relaxed: &[clash::Relaxation]) -> Vec<Vec<Act>> {
        let mut found: Vec<Vec<Act>> = Vec::new();
        let mut add = |acts: Vec<Act>| {
            let may = |act: &Act| match act.part() {
                Some(part) => may_change(self.drawing(part)),
                None => true,
            };
            if !acts.is_empty() && acts.iter().all(may) && !found.contains(&acts) {
                found.push(acts);
            }
        };
        relaxed
            .iter()
            .for_each(|relaxation| self.loosened(relaxation).into_iter().for_each(|act| add(vec![act])));
        for &id in core {
            self.given_up(id).into_iter().for_each(|act| add(vec![act]));
        }
        let read = self.wide.read_by(core);
        let tools: Vec<Act> = read.iter().filter_map(|&at| self.as_drawn(at)).collect();
        tools.iter().for_each(|act| add(vec![act.clone()]));
        if tools.len() > 1 {
            add(tools);
        }
        let mut screws: Vec<At<ThreadId>> = Vec::new();
        for &At { part, size } in &read {
            match size.checked_sub(self.drawing(part).dimensions.len()) {
                Some(thread) => screws.push(At { part, size: ThreadId(thread) }),
                None => {
                    screws.extend(self.wide.screws[part][size].map(|size| At { part, size }));
                }
            }
        }
        screws.sort_unstable();
        screws.dedup();
        for at in screws {
            let call = &self.drawing(at.part).threads[at.size.0];
            if call.made.is_some() || call.pin.is_some() {
                continue;
            }
            if call.role.0 == Role::Hold {
                add(vec![Act::LetFollow(at)]);
            } else if call.thread.form() != Form::Metric60 {
                add(vec![Act::Keep(at)]);
                if let Some((thinner, percent)) = screws::weaker(self.bench, call) {
                    add(vec![Act::Weaken(at, thinner, percent)]);
                }
            }
        }
        found
    }

    /// What goes just so far as the best choice without a demand went past it.
    fn loosened(&self, relaxation: &clash::Relaxation) -> Option<Act> {
        let (wide, dropped) = (self.wide, relaxation.dropped);
        if let Some(&at) = wide.limits.get(&dropped) {
            let chosen = relaxation.choice[wide.begins[at.part] + at.size.0];
            let value = wide.ways[at.part][at.size.0].ways[chosen].value;
            let off = value.gap(self.drawing(at.part).dimensions[at.size.0].written.length);
            return Some(Act::Allow(at, off.rounded(Length::microns(1), Toward::More).value));
        }
        let constraint = &wide.model.constraints[dropped.0];
        let reading = gauge::reading(&wide.model, constraint, &relaxation.choice)?;
        if let Some(&between) = wide.walls.get(&dropped) {
            let left = reading.is.rounded(Length::microns(10), Toward::Less).value;
            return (left >= THINNEST).then_some(Act::Thin(between, left));
        }
        let at = wide.chains.get(&dropped).copied().or_else(|| {
            let part = *wide.owners.get(&dropped)?;
            let own = |chain: &Chain| chain.is_own() && chain.name == constraint.name;
            let size = self.drawing(part).chains.iter().position(own)?;
            Some(At { part, size })
        })?;
        let (end, to) = match (reading.least, reading.most) {
            (Some(least), _) if reading.is < least => (End::Least, Toward::Less),
            (_, Some(most)) if reading.is > most => (End::Most, Toward::More),
            _ => return None,
        };
        let to = reading.is.rounded(Length::microns(1), to).value;
        (to >= Length::ZERO).then_some(Act::Chain(at, end, to))
    }

    /// What takes a demand back altogether.
    fn given_up(&self, id: ConstraintId) -> Vec<Act> {
        let Some(&part) = self.wide.owners.get(&id) else { return Vec::new() };
        let (drawing, name) = (self.drawing(part), &self.wide.model.constraints[id.0].name);
        let mut acts = Vec::new();
        for (at, dimension) in drawing.dimensions.iter().enumerate() {
            let size = DimensionId(at);
            // What is asked for is no way out of itself.
            let asked = drawing.tried == Some(Size::Length(size));
            let pinned =
                dimension.pin.is_some_and(|pin| *name == pin_name(&dimension.name, &pin.to_string()));
            acts.extend((pinned && !asked).then_some(Act::Unpin(At { part, size })));
        }
        for (at, call) in drawing.threads.iter().enumerate() {
            let size = ThreadId(at);
            let asked = drawing.tried == Some(Size::Thread(size));
            let pinned = call.pin.is_some_and(|pin| *name == pin_name(&call.name, &pin.designation));
            acts.extend((pinned && !asked).then_some(Act::UnpinThread(At { part, size })));
        }
        for (size, mate) in drawing.mates.iter().enumerate() {
            if *name != format!("fit of {}", mate.name) {
                continue;
            }
            let at = At { part, size };
            acts.extend(mate.fixed.then_some(Act::Follow(at)));
            let others = FITS.into_iter().filter(|fit| !fit.eq_ignore_ascii_case(mate.fit.trim()));
            acts.extend(others.map(|fit| Act::Fit(self.both_files(at), fit)));
        }
        for (size, equal) in drawing.equal.iter().enumerate() {
            let Some((&first, rest)) = equal.dimensions.split_first() else { continue };
            for &other in rest {
                let [one, two] = [first, other].map(|id| &drawing.dimensions[id.0].name);
                if *name == format!("agreement of {one} stays equal to {two}") {
                    let at = At { part, size };
                    acts.push(Act::Differ(at, other));
                    acts.extend((rest.len() > 1).then_some(Act::Differ(at, first)));
                }
            }
        }
        acts
    }

    /// A mate, and the other part's mate that says the same where its file does.
    fn both_files(&self, at: At<usize>) -> Vec<At<usize>> {
        let drawing = self.drawing(at.part);
        let mate = &drawing.mates[at.size];
        let mut both = vec![at];
        let Some(partner) = &mate.partner else { return both };
        let same = |one: &str, other: &str| one.eq_ignore_ascii_case(other);
        for (part, piece) in self.pieces.iter().enumerate() {
            let its = piece.drawing;
            if !same(&its.name, &partner.part) {
                continue;
            }
            let mirrors = |other: &&crate::drawing::Mate| {
                same(&its.features[other.with.0].name, &partner.feature)
                    && other.partner.as_ref().is_some_and(|back| {
                        same(&back.part, &drawing.name)
                            && same(&back.feature, &drawing.features[mate.with.0].name)
                    })
            };
            let mirrored = its.mates.iter().enumerate().filter(|(_, other)| mirrors(other));
            both.extend(mirrored.map(|(size, _)| At { part, size }));
        }
        both.sort_unstable();
        both
    }

    /// A hole of the size drawn, where there is a tool of that size and it is not owned.
    fn as_drawn(&self, at: At<usize>) -> Option<Act> {
        let dimension = self.drawing(at.part).dimensions.get(at.size)?;
        let size = dimension.written.length;
        if dimension.made.is_some() || dimension.pin.is_some() {
            return None;
        }
        let bench = self.bench;
        let tool = match dimension.measures {
            Measures::Hole(Finish::Drilled) if !bench.drills.iter().any(|drill| drill.diameter == size) => {
                Tool::Drill(drills::all().iter().find(|drill| drill.diameter == size)?.clone())
            }
            Measures::Hole(Finish::Reamed) if !bench.reamers.iter().any(|r| r.diameter == size) => {
                Tool::Reamer(Reamer { diameter: size, class: USUAL_CLASS.into() })
            }
            _ => return None,
        };
        Some(Act::AsDrawn(At { part: at.part, size: DimensionId(at.size) }, tool))
    }

    /// What a size or a thread is called.
    pub fn sized(&self, at: At<usize>) -> Sized {
        let drawing = self.drawing(at.part);
        let name = match at.size.checked_sub(drawing.dimensions.len()) {
            None => &drawing.dimensions[at.size].name,
            Some(thread) => &drawing.threads[thread].name,
        };
        Sized { part: drawing.name.clone(), file: drawing.file.clone(), name: name.clone() }
    }

    /// What comes of letting some things go, by themselves if that is enough, else with what
    /// is let go `besides` for another set of demands.
    pub fn tried_with(
        &self,
        acts: &[Act],
        besides: &[Act],
        core: &[ConstraintId],
        memory: &mut Memory,
    ) -> Option<WayOut> {
        if let Some(way) = self.tried(acts, &[], core, memory) {
            return Some(way);
        }
        let drawings = self.drawings();
        let places = |act: &Act| -> Vec<String> { act.edits(&drawings).iter().map(Edit::place).collect() };
        let own: Vec<String> = acts.iter().flat_map(places).collect();
        // What is let go here is not let go otherwise there.
        let apart = |act: &&Act| !places(act).iter().any(|place| own.contains(place));
        let besides: Vec<Act> = besides.iter().filter(apart).cloned().collect();
        if besides.is_empty() { None } else { self.tried(acts, &besides, core, memory) }
    }

    /// What comes of letting some things go: a way out where all parts can be made then.
    /// `besides` is let go elsewhere, for another set of demands.
    pub fn tried(
        &self,
        acts: &[Act],
        besides: &[Act],
        core: &[ConstraintId],
        memory: &mut Memory,
    ) -> Option<WayOut> {
        let mut drawings: Vec<Drawing> = self.pieces.iter().map(|piece| piece.drawing.clone()).collect();
        let mut bench = self.bench.clone();
        acts.iter().chain(besides).for_each(|act| act.done(&mut drawings, &mut bench));
        // Places hold sizes equal, so those that no longer are make other places.
        let apart = |part: usize| {
            let differs = |act: &Act| matches!(act, Act::Differ(at, _) if at.part == part);
            acts.iter().chain(besides).any(differs)
        };
        let anew: Vec<Option<Solved>> = drawings
            .iter()
            .enumerate()
            .map(|(part, drawing)| apart(part).then(|| solve(drawing).ok()).flatten())
            .collect();
        let solved = self.pieces.iter().zip(&anew).map(|(piece, anew)| anew.as_ref().unwrap_or(piece.solved));
        let pieces: Vec<Piece> =
            drawings.iter().zip(solved).map(|(drawing, solved)| Piece { drawing, solved }).collect();
        let parts = all_of(&pieces, &bench, memory).ok()?;
        if let [Act::Allow(at, within)] = *acts {
            // With so much room something nearer may do: then no more is advised than that.
            let choice = &parts[at.part].dimensions[at.size.0];
            let off = choice.chosen.gap(choice.exact).rounded(Length::microns(1), Toward::More).value;
            if off < within
                && off > self.wide.allowed[at.part][at.size.0]
                && let Some(nearer) = self.tried(&[Act::Allow(at, off)], besides, core, memory)
            {
                return Some(nearer);
            }
        }
        let bought = parts.iter().flat_map(|part| &part.purchases);
        let needed = bought.filter(|buy| buy.standing == Standing::Needed);
        let mut buys: Vec<String> = needed.map(|buy| buy.what.clone()).collect();
        for act in acts {
            let Act::AsDrawn(at, tool) = act else { continue };
            let choice = &parts[at.part].dimensions[at.size.0];
            if choice.chosen != choice.exact {
                return None;
            }
            buys.push(tool.name());
        }
        buys.sort();
        buys.dedup();
        let drawings = self.drawings();
        let said: Vec<String> = acts.iter().map(|act| act.words(&drawings, self.wide, &parts)).collect();
        let brings = self.wide.read_by(core).into_iter().map(|at| {
            let (name, chosen) = (self.sized(at), &parts[at.part]);
            let size = match at.size.checked_sub(chosen.dimensions.len()) {
                None => format!("{} mm", chosen.dimensions[at.size].chosen.shown(3)),
                Some(thread) => chosen.threads[thread].chosen.designation.clone(),
            };
            (if self.pieces.len() > 1 { format!("{} of {}", name.name, name.part) } else { name.name }, size)
        });
        let mut edits: Vec<Edit> = Vec::new();
        for edit in acts.iter().flat_map(|act| act.edits(&drawings)) {
            if !edits.contains(&edit) {
                edits.push(edit);
            }
        }
        Some(WayOut {
            advice: said.join(", and "),
            caution: acts.iter().find_map(|act| act.caution(self.wide, core)),
            edits,
            brings: brings.collect(),
            strain: self.strain(&parts),
            departure: self.departure(&parts),
            buys,
        })
    }

    /// The greatest share of what it is allowed that any size departs by, in thousandths.
    fn strain(&self, parts: &[MetricPart]) -> u64 {
        let share = |(choice, &allowed): (&DimensionChoice, &Length)| {
            let off = choice.chosen.gap(choice.exact) * 1000;
            let share = if allowed.is_positive() { off.ratio_to(allowed).ceil().to_integer() } else { 0 };
            u64::try_from(share).unwrap_or(u64::MAX)
        };
        let shares = parts
            .iter()
            .zip(&self.wide.allowed)
            .map(|(part, allowed)| part.dimensions.iter().zip(allowed).map(share).max().unwrap_or_default());
        shares.max().unwrap_or_default()
    }

    fn departure(&self, parts: &[MetricPart]) -> u64 {
        let of = |(choice, &limit): (&DimensionChoice, &Length)| {
            departure(choice.role, limit, choice.chosen - choice.exact)
        };
        parts
            .iter()
            .zip(&self.wide.counted)
            .map(|(part, counted)| part.dimensions.iter().zip(counted).map(of).sum::<u64>())
            .sum()
    }
}

/// Whether anything of a part may be let go at all.
fn may_change(drawing: &Drawing) -> bool {
    drawing.pressure != Pressure::Holds && drawing.source != Source::Bought
}
