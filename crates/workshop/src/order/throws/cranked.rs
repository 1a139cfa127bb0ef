//! Cranks: which sections are throws between webs, which are the pin of an overhung crank, and what
//! a crank is gripped by when it is turned round.

use super::{same_axis, throws_in};
use crate::drawing::{Face, FeatureId, SectionEnd};
use crate::measure::Length;
use crate::order::deed::Job;
use crate::order::places::opposite;
use crate::order::turned_held::{goes_in, grips, runs_true};
use crate::tables::processes::limit;

/// Whether a section is a throw between two webs: set off centre, with what is wider on both sides of it.
pub(in crate::order) fn cranked(job: &Job, section: FeatureId) -> bool {
    job.part.is_eccentric(section)
        && [SectionEnd::Left, SectionEnd::Right].into_iter().all(|end| webbed(job, section, end))
}

/// Whether what stands beside a section is a web of it: wider, on another axis. A pin may reach past
/// its rim.
fn webbed(job: &Job, section: FeatureId, end: SectionEnd) -> bool {
    let part = job.part;
    part.neighbour(section, end).is_some_and(|web| {
        part.cut_diameter(web) > part.cut_diameter(section) && !same_axis(job, web, section)
    })
}

/// The thinner of the webs of a throw.
pub(in crate::order) fn thinner_web(job: &Job, section: FeatureId) -> Option<Length> {
    let webs = [SectionEnd::Left, SectionEnd::Right].map(|end| job.part.neighbour(section, end));
    webs.into_iter().flatten().filter_map(|web| job.part.cut_diameter(web)).min()
}

/// Whether a section is the pin of an overhung crank: off centre at an end, its web behind it.
fn overhung(job: &Job, section: FeatureId, end: Face) -> bool {
    let sections = job.part.sections();
    let at = if end == Face::Left { sections.first() } else { sections.last() };
    let inner = SectionEnd::toward(end).other();
    at == Some(&section) && job.part.is_eccentric(section) && webbed(job, section, inner)
}

/// Whether a section, worked from an end, is an overhung pin next to the bar: all else hangs by it
/// once it is turned.
pub(in crate::order) fn carries_the_rest(job: &Job, section: FeatureId, end: Face) -> bool {
    overhung(job, section, opposite(end))
}

/// Whether the far end is a pin that nothing finished could be set over for, and the bar can: it
/// is then turned from the bar, behind its web, before the work comes off. A web that jaws close
/// on holds the work better, the other end first: then nothing hangs by the pin.
pub(in crate::order) fn pin_from_the_bar(
    job: &Job,
    near: &[FeatureId],
    far: &[FeatureId],
    first: Face,
) -> bool {
    let &[pin] = far else { return false };
    let gripped = |&&on: &&FeatureId| grips(job, on) && goes_in(job, on, first);
    let web = job.part.neighbour(pin, SectionEnd::toward(first));
    // All beyond the web hangs out of the jaws that close on it.
    let beyond: Vec<FeatureId> = near.iter().copied().filter(|&id| Some(id) != web).collect();
    overhung(job, pin, opposite(first))
        && throws_in(job, pin, None)
        && web.is_none_or(|web| gripped_by_a_web(job, web, &beyond, opposite(first)).is_none())
        && near.iter().filter(gripped).all(|&on| !throws_in(job, pin, Some(on)))
}

/// How much of a crank jaws close on by the web next to the sections that are still to be turned:
/// over it, and over every web of its size behind it. None where that is no web, not enough, or
/// does not go into the chuck.
pub(in crate::order) fn gripped_by_a_web(
    job: &Job,
    web: FeatureId,
    beyond: &[FeatureId],
    inside: Face,
) -> Option<Length> {
    let part = job.part;
    let into = SectionEnd::toward(inside);
    let throw = part.neighbour(web, into).filter(|&id| part.is_eccentric(id))?;
    if !webbed(job, throw, into.other()) || !runs_true(job, web) || !goes_in(job, web, inside) {
        return None;
    }
    let across = part.cut_diameter(web)?;
    let mut closed = part.section_length(web);
    let (mut at, mut over) = (web, closed);
    while let Some(next) = part.neighbour(at, into) {
        over += part.section_length(next);
        if runs_true(job, next) && part.cut_diameter(next) == Some(across) {
            closed = over;
        }
        at = next;
    }
    // By a narrow rim alone a long end is neither faced nor centred.
    let out = part.length_of(beyond);
    let narrow = held_lightly(closed, across);
    (closed >= limit("jaw grip") && !(narrow && out > across * 2)).then_some(closed)
}

/// Whether jaws that close on so much of a web hold it for light cuts only: on less than it is
/// across, or than 12 mm of a wide one. From memory.
pub(in crate::order) fn held_lightly(closed: Length, across: Length) -> bool {
    closed < across.min(Length::mm(12))
}

/// Whether work that is turned round needs the tailstock, however short the end that is left to
/// turn: a crank hangs out of the jaws, webs and all, or is held by the rim of one.
pub(in crate::order) fn steadied_round(job: &Job, near: &[FeatureId]) -> bool {
    let thrown =
        |&id: &FeatureId| cranked(job, id) || [Face::Left, Face::Right].iter().any(|&e| overhung(job, id, e));
    near.iter().any(thrown)
}

/// The outermost places of the webs of all throws between webs: from bar, one end goes on to
/// beyond them, since no journal could be set over for what is left of them.
pub(in crate::order) fn webs_between(job: &Job) -> Option<(usize, usize)> {
    let throws =
        job.part.sections().iter().enumerate().filter(|&(_, &id)| cranked(job, id)).map(|(at, _)| at);
    let (first, last) = (throws.clone().min()?, throws.max()?);
    Some((first - 1, last + 1))
}
