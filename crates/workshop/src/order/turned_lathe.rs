//! What is turned at one end of a part: face, centre, sections, tapers, knurls, grooves,
//! chamfers, threads, and what is cut along the axis.

use super::chains::{Reach, cuts};
use super::deed::{Job, Lot, Makings};
use super::plates::add;
use super::turned::{axial, chucked, metal, off_centre, throws_in};
use super::work::{Deep, Tool, Work};
use crate::bench::Stock;
use crate::drawing::{Face, FeatureId, Kind, SectionEnd, SectionSize, ThreadId};
use crate::measure::Length;
use crate::metric::MadeWith;
use crate::settings::knurl::{Knurl, knurl};

/// Stick-out over this many diameters is steadied by the tailstock; common practice.
const STEADIED_FROM: i64 = 5;

/// Turns of a thread that a die's lead leaves part cut; common practice.
const DIE_LEAD: i64 = 2;

/// One end, and where the work may be held while it is worked.
struct End<'a, 'j> {
    job: &'a Job<'j>,
    end: Face,
    sections: &'a [FeatureId],
    /// The bar, or the finished sections.
    on: &'a [Option<FeatureId>],
}

/// All that is done at one end; `on` is what the work may be held by: the bar, or any
/// of the finished sections.
pub(super) fn one_end(
    job: &Job,
    makings: &mut Makings,
    end: Face,
    sections: &[FeatureId],
    on: &[Option<FeatureId>],
) {
    let this = End { job, end, sections, on };
    this.face(makings);
    this.centre(makings);
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
        if axial(job, id, end) {
            this.along_the_axis(makings, id);
        }
    }
}

impl End<'_, '_> {
    fn add(&self, makings: &mut Makings, work: Work, feature: Option<FeatureId>, tool: Tool, at: Vec<usize>) {
        add(self.job, makings, work, feature, Lot::Piece(0), tool, at);
    }

    /// Where the work runs true to its own axis.
    fn true_places(&self, makings: &mut Makings) -> Vec<usize> {
        let held = |&on: &Option<FeatureId>| chucked(self.job, self.end, on);
        self.on.iter().map(|on| makings.place(self.job, Lot::Piece(0), held(on))).collect()
    }

    /// Where a section runs true: off centre for an eccentric one.
    fn places(&self, makings: &mut Makings, section: FeatureId) -> Vec<usize> {
        if !self.job.part.is_eccentric(section) {
            return self.true_places(makings);
        }
        let held = |&on: &Option<FeatureId>| off_centre(self.job, self.end, on, section);
        let serves = |on: &&Option<FeatureId>| on.is_none_or(|on| throws_in(self.job, section, on));
        self.on.iter().filter(serves).map(|on| makings.place(self.job, Lot::Piece(0), held(on))).collect()
    }

    /// The end is faced in whichever holding comes first.
    fn face(&self, makings: &mut Makings) {
        let mut places = self.true_places(makings);
        for &section in self.sections.iter().filter(|&&id| self.job.part.is_eccentric(id)) {
            places.extend(self.places(makings, section));
        }
        places.sort_unstable();
        places.dedup();
        if self.job.casting().is_some_and(|casting| !casting.faces_end(self.end)) {
            return;
        }
        self.add(makings, Work::FaceEnd { end: self.end }, None, Tool::LatheTool, places);
    }

    fn centre(&self, makings: &mut Makings) {
        let part = self.job.part;
        let out: Length = self.sections.iter().map(|&id| part.section_length(id)).sum();
        let thinnest = self.sections.iter().filter_map(|&id| part.cut_diameter(id)).min();
        let hollow = part.features().any(|(id, _)| axial(self.job, id, self.end));
        if !hollow && thinnest.is_some_and(|thin| out > thin * STEADIED_FROM) {
            let places = self.true_places(makings);
            self.add(makings, Work::CentreEnd { end: self.end }, None, Tool::CentreDrill, places);
        }
    }

    fn section(&self, makings: &mut Makings, id: FeatureId) {
        let (job, part) = (self.job, self.job.part);
        let Kind::Section { size, .. } = part.feature(id).kind else { return };
        if matches!(size, SectionSize::Plain(_)) && job.casting().is_some_and(|casting| !casting.turns()) {
            return;
        }
        let places = self.places(makings, id);
        match size {
            SectionSize::Plain(diameter) => {
                let bright = matches!(job.metric.dimensions[diameter.0].made, MadeWith::Stock(Stock { .. }));
                if !bright {
                    let work = Work::TurnSection { diameter: blank(job, id, part.size(diameter)) };
                    self.add(makings, work, Some(id), Tool::LatheTool, places);
                }
            }
            SectionSize::Threaded(thread) => self.threaded(makings, id, thread, places),
            SectionSize::Taper { left, right } => {
                let (left, right) = (part.size(left), part.size(right));
                let work = Work::TurnTaper { large: left.max(right), small: left.min(right) };
                self.add(makings, work, Some(id), Tool::LatheTool, places);
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
            Work::TurnSection { diameter: thread.major },
            Some(id),
            Tool::LatheTool,
            places.clone(),
        );
        let (outer, inner) = match self.end {
            Face::Left => (SectionEnd::Left, SectionEnd::Right),
            _ => (SectionEnd::Right, SectionEnd::Left),
        };
        let larger = |end: SectionEnd| {
            part.neighbour(id, end).filter(|&next| part.cut_diameter(next).is_some_and(|d| d > thread.minor))
        };
        // A die comes on from the end of the work.
        let tool = match larger(outer) {
            Some(beyond) => {
                makings.assume(format!(
                    "{} is cut with a tool and not a die: a die does not pass {}",
                    job.name(id),
                    job.name(beyond)
                ));
                Tool::LatheTool
            }
            None => Tool::Die(thread),
        };
        let grooved = part.features().any(|(groove, f)| {
            let at = |end| match end {
                SectionEnd::Left => part.along(groove) == part.along(id),
                SectionEnd::Right => match f.kind {
                    Kind::Groove { width, .. } => {
                        part.along(groove).map(|at| at + part.size(width)) == part.section_end(id)
                    }
                    _ => false,
                },
            };
            matches!(f.kind, Kind::Groove { .. }) && part.section_of(groove) == Some(id) && at(inner)
        });
        if let Some(shoulder) = larger(inner).filter(|_| !grooved) {
            makings.assume(format!(
                "{} runs out before {}: no undercut is drawn, so about {} of it beside the shoulder is not full thread",
                job.name(id),
                job.name(shoulder),
                thread.pitch * DIE_LEAD
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
        let places = self.places(makings, section);
        self.add(makings, work, Some(id), tool, places);
    }

    /// Whether an end of a section is in the open while this end is worked: it is, but
    /// for the one at which the work is parted from the bar.
    fn reaches(&self, of: FeatureId, end: SectionEnd) -> bool {
        let inner = if self.end == Face::Left { SectionEnd::Right } else { SectionEnd::Left };
        let edge = if self.end == Face::Left { self.sections.last() } else { self.sections.first() };
        let last = end == inner && edge == Some(&of);
        !last
    }

    /// A hole, a counterbore or a recess on the axis.
    fn along_the_axis(&self, makings: &mut Makings, id: FeatureId) {
        let (job, part) = (self.job, self.job.part);
        let places = self.true_places(makings);
        match part.feature(id).kind {
            Kind::Recess { diameter, hub, depth } => {
                let hub = hub.map(|hub| part.size(hub));
                let work = Work::Recess { diameter: part.size(diameter), hub, depth: part.size(depth) };
                self.add(makings, work, Some(id), Tool::BoringTool, places);
                return;
            }
            Kind::Counterbore { diameter, depth, .. } => {
                let work = Work::Recess { diameter: part.size(diameter), hub: None, depth: part.size(depth) };
                self.add(makings, work, Some(id), Tool::BoringTool, places);
                return;
            }
            _ => {}
        }
        for cut in cuts(job, makings, id) {
            let deep = match cut.reach {
                Reach::Through => metal(job, id),
                Reach::To(depth) => Deep::To(depth),
            };
            if !job.reaches_into(&cut.tool, deep.length()) {
                makings.assume(format!(
                    "{} goes {} deep, more than a usual {} does: a long one, cleared often, and from both ends where it goes through",
                    job.name(id),
                    deep.length(),
                    if matches!(cut.tool, Tool::Reamer(_)) { "reamer" } else { "drill" }
                ));
            }
            let work = cut.work(deep);
            self.add(makings, work, Some(id), cut.tool.clone(), places.clone());
        }
    }
}

/// What a plain section is turned to: less where a knurl will raise it.
fn blank(job: &Job, section: FeatureId, finished: Length) -> Length {
    let over = job.part.features().find_map(|(_, f)| match f.kind {
        Kind::Knurl { over, pitch, pattern } if over == section => Some((pitch, pattern)),
        _ => None,
    });
    let rolled = over
        .and_then(|(pitch, pattern)| knurl(Knurl { finished, pitch: job.part.size(pitch), pattern }).ok());
    rolled.map_or(finished, |rolling| rolling.blank)
}

/// Chamfers on the edge where the work is parted from its bar: cut from the second end.
pub(super) fn at_the_parting(
    job: &Job,
    makings: &mut Makings,
    [first, second]: [Face; 2],
    near: &[FeatureId],
    on: &[Option<FeatureId>],
) {
    let (edge, inner) = match first {
        Face::Left => (near.last(), SectionEnd::Right),
        _ => (near.first(), SectionEnd::Left),
    };
    let this = End { job, end: second, sections: &[], on };
    for (id, feature) in job.part.features() {
        if let Kind::Chamfer { of, end, size } = feature.kind
            && edge == Some(&of)
            && end == inner
        {
            let places = this.places(makings, of);
            let work = Work::Chamfer { size: job.part.size(size) };
            this.add(makings, work, Some(id), Tool::LatheTool, places);
        }
    }
}
