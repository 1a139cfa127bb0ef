//! Holes that have to line up with those of another part: what goes over its pins and screws,
//! and what takes its screws.
//!
//! Two holes that take a fixed distance of another part have at the worst half the sum of their
//! clearances to be out by; half of that is left to the other part. Of a screw that is tapped
//! into the part the clearance lies in the hole that it passes: where this file does not say
//! how wide that is, the closest of its thread is supposed. (ASME Y14.5 states the same for
//! fixed fasteners: hole less screw, shared between the two parts.)

use super::deed::Job;
use super::figures::room;
use super::kept::{HeldDistance, end_at};
use crate::drawing::{Body, FeatureId, Kind, Partner};
use crate::measure::Length;
use crate::metric::clearance_asked;
use crate::tables::clearance;

/// A hole that goes over, or takes, something of another part.
struct Over<'a> {
    hole: FeatureId,
    /// The part, and what of it.
    other: Other<'a>,
    /// The clearance that is always there.
    clearance: Length,
    /// Whether the clearance is supposed.
    supposed: bool,
}

/// What a hole is for.
#[derive(Clone, Copy)]
enum Other<'a> {
    /// A feature of a part of the project.
    Named(&'a Partner),
    /// What a mate calls it, and its size.
    Called(&'a str, Length),
    /// A screw of a part, or the hole that it comes through.
    Screw(&'a Partner),
}

/// How two holes belong together.
enum Together {
    /// One thing goes through both.
    Through(String),
    /// They take two things of one part.
    Beside(String),
}

/// The distances that mates and screws ask for: of holes that belong together the least room
/// for any two ends.
pub(super) fn all(job: &Job) -> Vec<HeldDistance> {
    if matches!(job.part.drawing.body, Body::Turned { .. }) {
        return Vec::new();
    }
    let all: Vec<Over> = fitted(job).chain(screwed(job)).collect();
    let pairs = all.iter().enumerate().flat_map(|(n, a)| all[n + 1..].iter().map(move |b| (a, b)));
    let own = all.iter().filter_map(|over| of_one_pattern(job, over));
    let mut kept: Vec<HeldDistance> = Vec::new();
    for found in pairs.filter_map(|(a, b)| line_up(job, a, b)).chain(own) {
        match kept.iter_mut().find(|known| known.ends == found.ends) {
            Some(known) if known.room <= found.room => {}
            Some(known) => *known = found,
            None => kept.push(found),
        }
    }
    kept
}

fn fitted<'a>(job: &Job<'a>) -> impl Iterator<Item = Over<'a>> {
    let part = job.part;
    part.drawing.mates.iter().filter_map(move |mate| {
        let size = match part.feature(mate.with).kind {
            Kind::Hole { diameter, .. } => part.size(diameter),
            _ => return None,
        };
        let (least, _) = clearance_asked(&mate.fit, size)?;
        let other = match &mate.partner {
            Some(partner) => Other::Named(partner),
            None => Other::Called(&mate.name, size),
        };
        Some(Over { hole: mate.with, other, clearance: least.max(Length::ZERO), supposed: false })
    })
}

fn screwed<'a>(job: &Job<'a>) -> impl Iterator<Item = Over<'a>> {
    let part = job.part;
    part.drawing.screwed.iter().filter_map(move |screwed| {
        let thread = part.thread(screwed.thread);
        let (passes, supposed) = match part.feature(screwed.feature).kind {
            Kind::Hole { diameter, clears: Some(_), .. } => (part.size(diameter), false),
            Kind::Tapped { .. } => (clearance::holes(thread).next()?.diameter, true),
            _ => return None,
        };
        let clearance = (passes - thread.major).max(Length::ZERO);
        Some(Over { hole: screwed.feature, other: Other::Screw(&screwed.partner), clearance, supposed })
    })
}

impl Over<'_> {
    /// What the clearance is, for a sentence: `0.2 mm`, or that with where it lies.
    fn clears(&self) -> String {
        match self.supposed {
            true => format!("{} (supposed: a close hole for its screw in the other part)", self.clearance),
            false => self.clearance.to_string(),
        }
    }
}

/// Whether two holes have to do with one other part, and how.
fn together(job: &Job, a: &Over, b: &Over) -> Option<Together> {
    let one_axis = job.part.xy(a.hole) == job.part.xy(b.hole);
    let line_up = |with: &str| Together::Beside(format!("they line up with {with}"));
    match (a.other, b.other) {
        (Other::Called(one, size), Other::Called(other, its)) => {
            let same = one.eq_ignore_ascii_case(other);
            match (one_axis && size == its, same) {
                (true, true) => Some(Together::Through(format!("one {one} goes through both"))),
                (true, false) => Some(Together::Through("one shaft is supposed to go through both".into())),
                (false, true) => Some(line_up(one)),
                (false, false) => None,
            }
        }
        (Other::Called(..), _) | (_, Other::Called(..)) => None,
        (Other::Named(one) | Other::Screw(one), Other::Named(other) | Other::Screw(other)) => {
            if !one.part.eq_ignore_ascii_case(&other.part) {
                return None;
            }
            let same = one.feature.eq_ignore_ascii_case(&other.feature);
            // Screws alike that are tapped in by themselves need not hold one thing.
            let loose = same && a.supposed && b.supposed;
            let screws = matches!((a.other, b.other), (Other::Screw(_), Other::Screw(_)));
            match (same && one_axis, loose) {
                (true, _) => Some(Together::Through(format!("one {} goes through both", one.feature))),
                (false, true) => None,
                (false, false) if same && screws => {
                    Some(line_up(&format!("what their screws ({}) go into", one.part)))
                }
                (false, false) => Some(line_up(&one.part)),
            }
        }
    }
}

/// What is cut for a hole: the pattern that it is one of, or itself.
fn cut_for(job: &Job, hole: FeatureId) -> Option<FeatureId> {
    let pattern = job.part.features().find(|(_, f)| f.kind.pattern().is_some_and(|h| h.contains(&hole)));
    end_at(job, pattern.map_or(hole, |(pattern, _)| pattern))
}

fn line_up(job: &Job, a: &Over, b: &Over) -> Option<HeldDistance> {
    let part = job.part;
    let abreast = part.feature(a.hole).face.axis() == part.feature(b.hole).face.axis();
    // What is finished in assembly is drilled through both parts there.
    let in_assembly = [a, b].iter().any(|over| part.drawing.left(over.hole).is_some());
    if !abreast || a.hole == b.hole || in_assembly {
        return None;
    }
    let together = together(job, a, b)?;
    let (one, other) = (cut_for(job, a.hole)?, cut_for(job, b.hole)?);
    let takes_up = (a.clearance + b.clearance).half();
    let name = match one == other {
        true => format!("the holes of {}", job.name(one)),
        false => format!("{} and {}", job.name(a.hole), job.name(b.hole)),
    };
    let told = room(takes_up);
    let (left, because) = match together {
        Together::Through(words) => (takes_up, format!("{words}, with {told} to spare")),
        Together::Beside(words) => {
            let because = format!(
                "{words}: the clearances {} and {} take up {told}, and half of that is left to it",
                a.clears(),
                b.clears()
            );
            (takes_up.half(), because)
        }
    };
    Some(asked(name, (one, other), left, because, a.supposed || b.supposed))
}

/// The holes of one pattern line up with those of the part that one of them has to do with.
fn of_one_pattern(job: &Job, over: &Over) -> Option<HeldDistance> {
    let partner = match over.other {
        Other::Named(partner) | Other::Screw(partner) => partner,
        Other::Called(..) => return None,
    };
    let whole = cut_for(job, over.hole).filter(|&whole| whole != over.hole)?;
    let several = job.part.feature(whole).kind.pattern().is_some_and(|holes| holes.len() > 1);
    let in_assembly = [whole, over.hole].iter().any(|&id| job.part.drawing.left(id).is_some());
    if !several || in_assembly {
        return None;
    }
    let because = format!(
        "they line up with {}: the clearance {} of each takes up as much between two, and half of that is left to it",
        partner.part,
        over.clears()
    );
    let name = format!("the holes of {}", job.name(whole));
    Some(asked(name, (whole, whole), over.clearance.half(), because, over.supposed))
}

fn asked(
    name: String,
    ends: (FeatureId, FeatureId),
    room: Length,
    because: String,
    supposed: bool,
) -> HeldDistance {
    let source = if supposed { "ISO 273, the closest holes" } else { "worked out from the fit at its worst" };
    HeldDistance {
        name,
        dimension: None,
        ends: (ends.0, Some(ends.1)),
        edge: None,
        room,
        said: true,
        asked: Some((because, source.into())),
        supposed,
        // What is cut in one go has nothing to agree with: it is charged, and told.
        may_go: ends.0 != ends.1,
        bound: ends.0 != ends.1,
    }
}
