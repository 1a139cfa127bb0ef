//! What is turned at one end of a part: face, centre, sections, tapers, knurls, grooves,
//! chamfers, threads, and what is cut along the axis.

use super::blanks::{as_the_bar_comes, blank};
use super::chains::{Reach, cuts};
use super::deed::{Deed, Job, Lot, Makings};
use super::overhang;
use super::places::opposite;
use super::plates::{add, deed};
use super::throws::{off_centre, same_axis, throws_in};
use super::turned::{First, axial, metal};
use super::turned_held::{Grips, in_lathe};
use super::work::{Deep, Held, Holding, Machine, Roughing, Steadied, Tool, Work};
use crate::bench::Stock;
use crate::drawing::{Face, FeatureId, Kind, SectionEnd, SectionSize, ThreadId};
use crate::metric::MadeWith;
use crate::settings::outside_thread::{self, RUN_OUT_TURNS};

/// The centre holes of both ends, the first end before the second.
pub(super) struct CentreHoles {
    /// What steadies the work at each.
    pub steadied: [Steadied; 2],
    holes: [CentreHole; 2],
}

/// Whether an end is centred.
#[derive(Clone, Copy, PartialEq, Eq)]
enum CentreHole {
    No,
    /// Whatever holds the work.
    Always,
    /// Where the work goes between centres: the either-or choice.
    WithCentres(usize),
}

impl CentreHoles {
    /// Finds which ends are centred, and when.
    pub(super) fn of(
        job: &Job,
        makings: &mut Makings,
        first: Face,
        ends: [(&[FeatureId], &Grips); 2],
    ) -> Self {
        let [(near, _), (far, round)] = ends;
        let mut steadied = [
            overhang::bar_steadied(job, makings, first, near),
            overhang::round_steadied(job, makings, (opposite(first), far), round),
        ];
        let hangs = super::throws::steadied_round(job, near) && !far.is_empty();
        if hangs && steadied[1] == Steadied::Not {
            steadied[1] = Steadied::Tailstock;
        }
        let mut holes =
            steadied.map(|s| if s == Steadied::Not { CentreHole::No } else { CentreHole::Always });
        if ends.iter().any(|(_, grips)| grips.centres) && holes.contains(&CentreHole::No) {
            makings.choices.push((BETWEEN.into(), vec!["in a chuck".into(), "between centres".into()]));
            let choice = makings.choices.len() - 1;
            for hole in holes.iter_mut().filter(|hole| **hole == CentreHole::No) {
                *hole = CentreHole::WithCentres(choice);
            }
        }
        Self { steadied, holes }
    }
}

/// What is chosen where the work may go between centres.
const BETWEEN: &str = "the turning";

/// One end, and where the work may be held while it is worked.
struct End<'a, 'j> {
    job: &'a Job<'j>,
    end: Face,
    sections: &'a [FeatureId],
    grips: &'a Grips,
    steadied: Steadied,
    hole: CentreHole,
}

/// All that is done at one end.
pub(super) fn one_end(
    job: &Job,
    makings: &mut Makings,
    (end, first): (Face, First),
    sections: &[FeatureId],
    grips: &Grips,
    centres: &CentreHoles,
) {
    let n = usize::from(end != first.end());
    let (steadied, hole) = (centres.steadied[n], centres.holes[n]);
    let this = End { job, end, sections, grips, steadied, hole };
    this.face(makings);
    this.centre(makings);
    for (id, diameter, because) in super::roughing::at_end(job, (end, first), sections, grips.later.as_ref())
    {
        let mut places = this.places(makings, id);
        if !matches!(because, Roughing::AllOver { .. }) {
            places.extend(this.around(makings, id));
        }
        let work = Work::RoughSection { diameter, because };
        this.add(makings, work, Some(id), Tool::LatheTool, places);
    }
    // The thickest first: the bar stays stiff while it is cut back.
    let mut order: Vec<FeatureId> = sections.to_vec();
    order.sort_by_key(|&id| std::cmp::Reverse(job.part.cut_diameter(id)));
    for id in order {
        this.section(makings, id);
    }
    for (id, _) in job.part.features() {
        this.in_section(makings, id);
    }
    for (id, _) in job.part.features() {
        if axial(job, id, end, first) {
            this.along_the_axis(makings, id);
        }
    }
}

impl End<'_, '_> {
    fn add(&self, makings: &mut Makings, work: Work, feature: Option<FeatureId>, tool: Tool, at: Vec<usize>) {
        add(self.job, makings, work, feature, Lot::Piece(0), tool, at);
    }

    /// A holding for this end, steadied where it stands out of jaws.
    fn place(&self, makings: &mut Makings, held: Held, steadied: Steadied) -> usize {
        let jaws = held.in_jaws() && held.set_over().is_none();
        let steadied = if jaws { steadied } else { Steadied::Not };
        let machine = if held == Held::Bench { Machine::BenchVice } else { Machine::Lathe };
        let holding = Holding { machine, steadied, ..in_lathe(self.job, self.end, held) };
        makings.place(self.job, Lot::Piece(0), holding)
    }

    /// Where the work runs true to its own axis.
    fn true_places(&self, makings: &mut Makings) -> Vec<usize> {
        self.grips.on.iter().map(|held| self.place(makings, held.clone(), self.steadied)).collect()
    }

    /// Where a section runs true: off centre for an eccentric one.
    fn places(&self, makings: &mut Makings, section: FeatureId) -> Vec<usize> {
        if !self.job.part.is_eccentric(section) {
            return self.true_places(makings);
        }
        let mut places = Vec::new();
        for held in self.grips.on.iter().filter(|held| held.in_jaws()) {
            let on = held.grips();
            if throws_in(self.job, section, on) {
                places.push(makings.place(
                    self.job,
                    Lot::Piece(0),
                    off_centre(self.job, self.end, on, section),
                ));
            }
        }
        for &axis in self.grips.offset.iter().filter(|&&axis| same_axis(self.job, axis, section)) {
            places.push(self.place(makings, Held::OffsetCentres { section: axis }, Steadied::Not));
        }
        places.dedup();
        let near = super::throws::near_enough(self.job, makings, section, places);
        super::throws::stiff_enough(self.job, makings, self.sections, near)
    }

    /// Where the outside of a section may be worked beside the usual places.
    fn around(&self, makings: &mut Makings, section: FeatureId) -> Vec<usize> {
        if self.grips.centres && !self.job.part.is_eccentric(section) {
            vec![self.place(makings, Held::Centres, Steadied::Not)]
        } else {
            Vec::new()
        }
    }

    /// The mandrel that a section is the better for.
    fn on_mandrel(&self, makings: &mut Makings, section: FeatureId) -> Option<usize> {
        let (held, sections) = self.grips.mandrel.as_ref()?;
        sections.contains(&section).then(|| self.place(makings, held.clone(), Steadied::Not))
    }

    /// Where a section is finished that is only roughed in the usual places; nothing for any other.
    fn later(&self, makings: &mut Makings, section: FeatureId) -> Option<Vec<usize>> {
        let later = self.grips.later.as_ref().filter(|later| later.sections.contains(&section))?;
        Some(later.on.iter().map(|held| self.place(makings, held.clone(), self.steadied)).collect())
    }

    /// The length sawn from the bar, for facing and centring its ends.
    fn sawn(&self, makings: &mut Makings) -> Option<usize> {
        self.grips.sawn.then(|| self.place(makings, Held::SawnLength, Steadied::Not))
    }

    /// The end is faced in whichever holding comes first.
    fn face(&self, makings: &mut Makings) {
        let mut places = self.true_places(makings);
        for &section in self.sections.iter().filter(|&&id| self.job.part.is_eccentric(id)) {
            // A centre in the end leaves nothing to face.
            let here = self.places(makings, section);
            let offset =
                |&place: &usize| matches!(makings.places[place].holding.held, Held::OffsetCentres { .. });
            places.extend(here.into_iter().filter(|place| !offset(place)));
        }
        places.extend(self.sawn(makings));
        if let Some(held) = &self.grips.faced_on {
            places.push(self.place(makings, held.clone(), Steadied::Not));
        }
        places.sort_unstable();
        places.dedup();
        if self.job.casting().is_some_and(|casting| !casting.faces_end(self.end)) {
            return;
        }
        let by_hand = self.grips.on == [Held::Bench];
        let tool = if by_hand { Tool::File } else { Tool::LatheTool };
        self.add(makings, Work::FaceEnd { end: self.end }, None, tool, places);
    }

    fn centre(&self, makings: &mut Makings) {
        let choice = match self.hole {
            CentreHole::No => return,
            CentreHole::Always => None,
            CentreHole::WithCentres(choice) => Some((choice, 1)),
        };
        let mut places = self.true_places(makings);
        places.extend(self.sawn(makings));
        if !self.grips.offset.is_empty() {
            places.push(super::throws::whole_bar(self.job, makings, self.end));
        }
        let work = Work::CentreEnd { end: self.end };
        let mut deed = deed(self.job, work, None, Lot::Piece(0), Tool::CentreDrill, places);
        deed.choice = choice;
        makings.deeds.push(deed);
    }

    /// Turns a section in its usual places, or on a mandrel where that is the better.
    fn turn(&self, makings: &mut Makings, work: Work, id: FeatureId, places: Vec<usize>) {
        let usual = deed(self.job, work.clone(), Some(id), Lot::Piece(0), Tool::LatheTool, places);
        let Some(mandrel) = self.on_mandrel(makings, id) else {
            makings.deeds.push(usual);
            return;
        };
        let name = self.job.name(id);
        makings
            .choices
            .push((format!("how {name} is turned"), vec!["in a chuck".into(), "on a mandrel".into()]));
        let choice = makings.choices.len() - 1;
        let mut on_it = Deed { places: vec![mandrel], choice: Some((choice, 1)), ..usual.clone() };
        let size = on_it.text.strip_prefix(&format!("turn {name} ")).unwrap_or_default();
        on_it.text = format!("turn {name} on the mandrel, {size}");
        makings.deeds.push(Deed { choice: Some((choice, 0)), ..usual });
        makings.deeds.push(on_it);
    }

    fn section(&self, makings: &mut Makings, id: FeatureId) {
        let (job, part) = (self.job, self.job.part);
        let Kind::Section { size, .. } = part.feature(id).kind else { return };
        if matches!(size, SectionSize::Plain(_)) && job.casting().is_some_and(|casting| !casting.turns()) {
            return;
        }
        let mut places = self.places(makings, id);
        places.extend(self.around(makings, id));
        if let Some(later) = self.later(makings, id) {
            places = later;
        }
        match size {
            SectionSize::Plain(diameter) => {
                let bright = matches!(job.metric.dimensions[diameter.0].made, MadeWith::Stock(Stock { .. }));
                if as_the_bar_comes(job, id, diameter) {
                    makings.assume(format!(
                        "nothing is turned off {}: the bar has its {}",
                        job.name(id),
                        part.size(diameter)
                    ));
                } else if !bright {
                    super::harden::told_of_lapping(job, makings, id);
                    let work = Work::TurnSection { diameter: blank(job, id, part.size(diameter)) };
                    self.turn(makings, work, id, places);
                }
            }
            SectionSize::Threaded(thread) => self.threaded(makings, id, thread, places),
            SectionSize::Taper { left, right } => {
                let (left, right) = (part.size(left), part.size(right));
                if self.grips.centres && super::tapers::set_over(job, id) {
                    places.retain(|&place| makings.places[place].holding.held == Held::Centres);
                }
                let work = Work::TurnTaper { large: left.max(right), small: left.min(right) };
                self.turn(makings, work, id, places);
            }
            // Bar left as it comes.
            SectionSize::AsBar { .. } => {}
        }
    }

    fn threaded(&self, makings: &mut Makings, id: FeatureId, thread: ThreadId, places: Vec<usize>) {
        let (job, part) = (self.job, self.job.part);
        let thread = part.thread(thread);
        self.add(
            makings,
            Work::TurnSection { diameter: outside_thread::blank(thread) },
            Some(id),
            Tool::LatheTool,
            places.clone(),
        );
        let outer = SectionEnd::toward(self.end);
        let inner = outer.other();
        let larger = |end: SectionEnd| {
            part.neighbour(id, end).filter(|&next| part.cut_diameter(next).is_some_and(|d| d > thread.minor))
        };
        // A die comes on from the end of the work, over all that lies beyond.
        let mut beyond =
            std::iter::successors(part.neighbour(id, outer), |&next| part.neighbour(next, outer));
        let in_the_way = beyond.find(|&next| part.cut_diameter(next).is_some_and(|d| d > thread.minor));
        let tool = match in_the_way {
            Some(beyond) => {
                makings.assume(format!(
                    "{} is cut with a tool and not a die: a die does not pass {}",
                    job.name(id),
                    job.name(beyond)
                ));
                Tool::LatheTool
            }
            None if outside_thread::way(job.bench, thread) == outside_thread::Way::Tool => Tool::LatheTool,
            None => Tool::Die(thread),
        };
        if let Some(shoulder) = larger(inner).filter(|_| part.undercut(id, inner).is_none()) {
            makings.assume(format!(
                "{} runs out before {}: no undercut is drawn, so about {} of it beside the shoulder is not full thread",
                job.name(id),
                job.name(shoulder),
                thread.lead() * RUN_OUT_TURNS
            ));
        }
        self.add(makings, Work::CutThread, Some(id), tool, places);
    }

    /// What is cut in one of these sections: a groove, a knurl, a chamfer.
    fn in_section(&self, makings: &mut Makings, id: FeatureId) {
        let part = self.job.part;
        let Some(section) = part.section_of(id).filter(|section| self.sections.contains(section)) else {
            return;
        };
        let (work, tool) = match part.feature(id).kind {
            Kind::Groove { diameter, width } => {
                let work = Work::Groove { diameter: part.size(diameter), width: part.size(width) };
                (work, Tool::PartingTool)
            }
            Kind::Knurl { pitch, pattern, .. } => {
                let pitch = part.size(pitch);
                (Work::Knurl, Tool::KnurlingTool { pitch, pattern })
            }
            // One on the far side of the chuck is cut when the work has been turned round.
            Kind::Chamfer { of, end, size } if self.reaches(of, end) => {
                (Work::Chamfer { size: part.size(size) }, Tool::LatheTool)
            }
            _ => return,
        };
        let mut places = self.places(makings, section);
        // A carrier does not drive against a knurl's wheels.
        if work != Work::Knurl {
            places.extend(self.around(makings, section));
        }
        places.extend(self.on_mandrel(makings, section));
        if work != Work::Knurl {
            places.extend(self.later(makings, section).into_iter().flatten());
        }
        places.dedup();
        self.add(makings, work, Some(id), tool, places);
    }

    /// Whether an end of a section is worked while this end is: it is, but for the one at which
    /// the work is parted from the bar, where that is no pin.
    fn reaches(&self, of: FeatureId, end: SectionEnd) -> bool {
        let inner = SectionEnd::toward(self.end).other();
        let edge = if self.end == Face::Left { self.sections.last() } else { self.sections.first() };
        let last = end == inner && edge == Some(&of);
        // Nothing sets a pin over again, once it is off the bar.
        !last || super::throws::carries_the_rest(self.job, of, self.end)
    }

    /// A hole, a counterbore or a recess on the axis.
    fn along_the_axis(&self, makings: &mut Makings, id: FeatureId) {
        let (job, part) = (self.job, self.job.part);
        let places = self.true_places(makings);
        let places = super::pressed::free_of_jaws(job, makings, id, places);
        let boring = self.boring_places(makings, &places);
        // What is bored may be finished with the outside that runs true to it.
        let with_it: Vec<usize> = self
            .grips
            .later
            .iter()
            .flat_map(|later| &later.on)
            .cloned()
            .collect::<Vec<Held>>()
            .into_iter()
            .filter(Held::in_jaws)
            .map(|held| self.place(makings, held, self.steadied))
            .collect();
        match part.feature(id).kind {
            Kind::Recess { diameter, hub, depth } => {
                let hub = hub.map(|hub| part.size(hub));
                let work = Work::Recess { diameter: part.size(diameter), hub, depth: part.size(depth) };
                self.add(makings, work, Some(id), Tool::BoringTool, boring);
                return;
            }
            Kind::Keyway { width, .. } => {
                self.add(makings, Work::PlaneKeyway, Some(id), Tool::PlaningTool(part.size(width)), boring);
                return;
            }
            Kind::Counterbore { diameter, depth, .. } => {
                let work = Work::Recess { diameter: part.size(diameter), hub: None, depth: part.size(depth) };
                self.add(makings, work, Some(id), Tool::BoringTool, boring);
                return;
            }
            _ => {}
        }
        let all = cuts(job, makings, id);
        let wide = |tool: &Tool| match tool {
            Tool::Drill(drill) => Some(drill.diameter),
            _ => None,
        };
        let widest = all.iter().filter_map(|cut| wide(&cut.tool)).max();
        for cut in all {
            // A pilot goes as far as it reaches; the drill after it finds its own way from there.
            let pilot = wide(&cut.tool).is_some_and(|size| Some(size) < widest);
            let deep = match cut.reach {
                Reach::Through => metal(job, id),
                Reach::To(depth) => Deep::To(depth),
            };
            if !pilot && !job.reaches_into(&cut.tool, deep.length()) {
                makings.assume(format!(
                    "{} goes {} deep, more than a usual {} does: a long one, cleared often, and from both ends where it goes through",
                    job.name(id),
                    deep.length(),
                    match cut.tool {
                        Tool::Reamer(_) => "reamer",
                        Tool::Tap(_) => "tap",
                        _ => "drill",
                    }
                ));
            }
            let work = cut.work(deep);
            let mut at = if matches!(cut.tool, Tool::BoringTool) { boring.clone() } else { places.clone() };
            if matches!(cut.tool, Tool::BoringTool | Tool::Reamer(_)) {
                at.extend(&with_it);
            }
            self.add(makings, work, Some(id), cut.tool.clone(), at);
        }
    }

    /// Where something is bored: a drill presses along the axis, a boring tool to one side, so
    /// an end that stands far out runs in the fixed steady.
    fn boring_places(&self, makings: &mut Makings, usual: &[usize]) -> Vec<usize> {
        if self.steadied == Steadied::Not {
            return usual.to_vec();
        }
        let Some(on) = overhang::steady_on(self.job, self.end, self.sections) else {
            makings.assume(format!(
                "the {} end stands far out and no fixed steady runs there: bore it with light cuts",
                self.end.word()
            ));
            return usual.to_vec();
        };
        let held = usual.iter().map(|&place| makings.places[place].holding.held.clone());
        let held: Vec<Held> = held.collect();
        held.into_iter().map(|held| self.place(makings, held, Steadied::Fixed { on })).collect()
    }
}

/// Chamfers on the edge where the work is parted from its bar: cut from the second end.
pub(super) fn at_the_parting(
    job: &Job,
    makings: &mut Makings,
    [start, second]: [Face; 2],
    near: &[FeatureId],
    grips: &Grips,
    centres: &CentreHoles,
) {
    let edge = if start == Face::Left { near.last() } else { near.first() };
    let inner = SectionEnd::toward(start).other();
    let (steadied, hole) = (centres.steadied[1], centres.holes[1]);
    let this = End { job, end: second, sections: &[], grips, steadied, hole };
    for (id, feature) in job.part.features() {
        if let Kind::Chamfer { of, end, size } = feature.kind
            && edge == Some(&of)
            && end == inner
            && !super::throws::carries_the_rest(job, of, start)
        {
            let places = this.places(makings, of);
            let work = Work::Chamfer { size: job.part.size(size) };
            this.add(makings, work, Some(id), Tool::LatheTool, places);
        }
    }
}
