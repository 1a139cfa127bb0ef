//! Work that nothing closes on from outside: screwed by a thread of its own on a stub that is turned in
//! place, or held from within a wide bore by the jaws opened.

use super::deed::Job;
use super::turned_held::{there, thin_over};
use super::work::Held;
use crate::drawing::{Depth, Face, FeatureId, Kind, Part, SectionEnd, SectionSize};
use crate::measure::Length;
use crate::tables::processes::{holding, limit};
use crate::tables::threads::Thread;

/// A thread of turned work, on its axis at one of its ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct OwnThread {
    /// The thread.
    pub thread: &'static Thread,
    /// Whether it is cut in the work, and not round it.
    pub inside: bool,
    /// The end that it begins at.
    pub end: Face,
    /// How long it is.
    pub long: Length,
    /// How wide the work is where a stub bears on it: its end, or the shoulder behind the thread.
    pub bears: Length,
}

/// What a feature is to work that is screwed on by it: none where it is no thread at an end, or nothing
/// bears round it.
pub(crate) fn own_thread(part: &Part, id: FeatureId) -> Option<OwnThread> {
    let feature = part.feature(id);
    let thread = part.thread(feature.kind.thread()?);
    match feature.kind {
        Kind::Tapped { depth, .. } if matches!(feature.face, Face::Left | Face::Right) => {
            let end = feature.face;
            let wider = part.features().any(|(other, f)| {
                let opens = matches!(f.kind, Kind::Recess { .. } | Kind::Counterbore { .. });
                opens && f.face == end && !part.off_axis(other)
            });
            let sections = part.sections();
            let last = *if end == Face::Left { sections.first() } else { sections.last() }?;
            let bears = part.end_diameter(last, SectionEnd::toward(end))?;
            let on_axis = !part.off_axis(id) && !wider;
            on_axis.then(|| OwnThread { thread, inside: true, end, long: part.end_depth(id, depth), bears })
        }
        Kind::Section { size: SectionSize::Threaded(_), throw: None, .. } => {
            let outermost = |end: &Face| part.neighbour(id, SectionEnd::toward(*end)).is_none();
            let end = [Face::Left, Face::Right].into_iter().find(outermost)?;
            let inner = SectionEnd::toward(end).other();
            let bears = part.end_diameter(part.neighbour(id, inner)?, inner.other())?;
            Some(OwnThread { thread, inside: false, end, long: part.section_length(id), bears })
        }
        _ => None,
    }
}

/// The threads that the work may be screwed on by once the end that is worked first is finished: each with
/// thread enough, and a ring round it that is drawn against the stub.
pub(super) fn by_thread(job: &Job, first: Face) -> Vec<Held> {
    let ring = limit("ring that bears") * 2;
    let carries = |&id: &FeatureId| {
        own_thread(job.part, id).is_some_and(|own| {
            let firm = own.thread.major >= holding("threaded stub").least_grip;
            firm && own.end == first
                && own.long * 2 >= own.thread.major
                && own.bears >= own.thread.major + ring
        })
    };
    let threads = job.part.features().map(|(id, _)| id).filter(carries);
    threads.map(|thread| Held::Screwed { thread }).collect()
}

/// Three jaws opened inside a finished bore: it is wide enough for them, and no wall gives.
pub(super) fn from_within(job: &Job, bore: FeatureId) -> Option<Held> {
    let held = Held::Inside { bore };
    let wide = job.part.cut_diameter(bore)? >= limit("jaws opened inside");
    let long = job.part.end_depth(bore, Depth::Through) >= holding("jaws opened inside").least_grip;
    let thin = job.part.sections().iter().any(|&id| thin_over(job, id, bore));
    (wide && long && !thin && there(job, &held)).then_some(held)
}
