//! What each held distance of a finished order may be out by, and what has to be measured
//! because one of its ends was made before.

use super::accuracy::{Share, end_share, locating_share, pairs, placing, shares, worst};
use super::deed::{Job, Makings};
use super::figures::{error, likely, over, room};
use super::kept::HeldDistance;
use super::model::{OpId, Plan};
use super::work::Work;
use crate::drawing::FeatureId;
use crate::measure::Length;
use crate::why::Why;

/// What one held distance of a plan may be out by.
pub(super) struct Charge<'a> {
    held: &'a HeldDistance,
    /// The operations of the plan that place its ends.
    pub ops: Vec<usize>,
    shares: Vec<Share>,
    how: How,
}

/// What a distance that has to be kept may be out by as planned, before the work is moved along in
/// any holding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Charged {
    /// What it is called.
    pub name: String,
    /// What stands at its ends; of a distance from an edge there is but one.
    pub ends: (FeatureId, Option<FeatureId>),
    /// The steps of the order that place its ends, from nought.
    pub steps: Vec<usize>,
    /// What all that may be out comes to at the worst.
    pub worst: Length,
    /// What its tolerance leaves.
    pub room: Length,
    /// Whether a tolerance is given for it.
    pub said: bool,
    /// Whether the order refuses a part whose distance is not kept.
    pub binds: bool,
}

/// How the ends of a held distance come to be.
#[derive(Clone, Debug, PartialEq, Eq)]
enum How {
    /// From an edge.
    Edge,
    /// Both in one stay of the work.
    OneStay,
    /// The work taken up between them.
    Apart,
    /// One of them was made before, so that it can be measured where it came out.
    Measured {
        /// The line of what was done.
        done: String,
    },
}

/// What each held distance of a plan may be out by, given what was done before it.
pub(super) fn charges<'a>(job: &Job, makings: &'a Makings, plan: &Plan, done: &[OpId]) -> Vec<Charge<'a>> {
    let made = stays(makings, plan);
    let of = |op: usize| made.iter().find(|made| made.0 == op).copied();
    let before = |op: usize| done.contains(&OpId(op));
    let mut charges = Vec::new();
    for held in &makings.held {
        for pair in pairs(job, makings, held) {
            match pair.map(of) {
                [Some((a, p, one)), Some((b, q, other))] => {
                    let shares = shares(job, makings, [a, b], [p, q], one == other);
                    let how = if one == other { How::OneStay } else { How::Apart };
                    charges.push(Charge { held, ops: pair.into(), shares, how });
                }
                [Some((op, place, _)), None] if before(pair[1]) => {
                    charges.push(measured(job, makings, held, (op, place), pair[1]));
                }
                [None, Some((op, place, _))] if before(pair[0]) => {
                    charges.push(measured(job, makings, held, (op, place), pair[0]));
                }
                _ => {}
            }
        }
        if held.ends.1.is_none() {
            for (op, place, _) in placing(makings, held.ends.0).into_iter().filter_map(of) {
                let found = locating_share(job, makings.places[place].holding.located);
                let mut shares = vec![found, end_share(job, makings, &makings.deeds[op], place)];
                shares.extend(held.edge.clone());
                charges.push(Charge { held, ops: vec![op], shares, how: How::Edge });
            }
        }
    }
    charges
}

/// Each operation of a plan, the place it is done in, and the stay of the work there, from one.
pub(super) fn stays(makings: &Makings, plan: &Plan) -> Vec<(usize, usize, usize)> {
    let (mut stay, mut stands) = (0, None);
    let made = plan.steps.iter().map(|step| {
        let place = makings.deeds[step.op.0].places[step.way];
        if stands != Some(place) {
            (stay, stands) = (stay + 1, Some(place));
        }
        (step.op.0, place, stay)
    });
    made.collect()
}

/// The other end was made before: what it is out by is measured, and only how this end is
/// found and cut is still to come.
fn measured<'a>(
    job: &Job,
    makings: &Makings,
    held: &'a HeldDistance,
    (op, place): (usize, usize),
    done: usize,
) -> Charge<'a> {
    let located = makings.places[place].holding.located;
    let shares = vec![end_share(job, makings, &makings.deeds[op], place), locating_share(job, located)];
    let how = How::Measured { done: super::build::name(job, &makings.deeds[done]) };
    Charge { held, ops: vec![op], shares, how }
}

impl Charge<'_> {
    /// How far out it will hardly ever be.
    fn likely(&self) -> Length {
        error(likely(self.shares.iter().map(|share| share.error)))
    }

    /// The charge as the sheets take it up.
    pub(super) fn charged(&self, plan: &Plan) -> Charged {
        let at = |&op: &usize| plan.steps.iter().position(|step| step.op.0 == op);
        Charged {
            name: self.held.name.clone(),
            ends: self.held.ends,
            steps: self.ops.iter().filter_map(at).collect(),
            worst: worst(&self.shares),
            room: self.held.room,
            said: self.held.said,
            binds: self.held.said && !self.held.may_go,
        }
    }

    /// What is charged, for the steps that place its ends.
    pub(super) fn why(&self) -> Why {
        let how = match &self.how {
            How::Edge => "made from the edge".to_owned(),
            How::OneStay => "made with its other end in the same holding".to_owned(),
            How::Apart => "made with its other end in another holding".to_owned(),
            How::Measured { done } => format!("set from its other end as measured (`{done}` is done)"),
        };
        let words = format!(
            "{} and {how}: at the worst it is out by {}, hardly ever by more than {} (root of the sum of squares)",
            self.held.words(),
            error(worst(&self.shares)),
            self.likely()
        );
        let mut why =
            if self.held.said && !self.held.supposed { Why::new(words) } else { Why::assumed(words) };
        if let Some((because, source)) = &self.held.asked {
            why = why.because(Why::new(because.clone()).source(source.clone()));
        }
        let share =
            |share: &Share| Why::new(format!("{}: {}", share.of, share.error)).source(share.source.clone());
        self.shares.iter().map(share).fold(why.source("common practice"), Why::because)
    }

    /// What a person has to know of it: what to measure, and what is too much at the worst
    /// and what to do, of distances with a tolerance.
    pub(super) fn told(&self, job: &Job, makings: &Makings) -> Option<String> {
        if let How::Measured { done } = &self.how {
            let binds = &makings.deeds[self.ops[0]];
            let (own, name) = (error(worst(&self.shares)), &self.held.name);
            let (room, left) = (room(self.held.room), room(self.held.room) - own);
            let said = match (self.held.said, left < Length::ZERO) {
                (false, _) => String::new(),
                (true, false) => {
                    format!(
                        ", which may be out by {own} itself and leaves {left} of the {room} for the measuring"
                    )
                }
                (true, true) => format!(
                    ", which may be out by {own} itself, {} more than the tolerance leaves ({room}): measure again before the hole is finished",
                    -left
                ),
            };
            return Some(format!(
                "`{done}` is done: measure where it came out before `{}`, for `{name}` binds the two; shift the second by what the first is out{said}",
                super::build::name(job, binds)
            ));
        }
        let worst = worst(&self.shares);
        if !self.held.said || worst <= self.held.room {
            return None;
        }
        let (name, over, likely) = (&self.held.name, over(worst, self.held.room), self.likely());
        let (out, room) = (error(worst), room(self.held.room));
        Some(match (&self.held.asked, self.held.dimension) {
            (Some((because, _)), None) => format!(
                "`{name}` may be out by {out} at the worst, {over} more than {room} ({because}): hardly ever more than {likely}; drill them through both parts clamped together, or give the fit more clearance"
            ),
            (Some((because, _)), Some(_)) => format!(
                "`{name}` may be out by {out} at the worst, {over} more than {because} ({room}): hardly ever more than {likely}; measure it before it is finished, or allow it more (`within`)"
            ),
            _ if super::by_eye::is_by_eye(&self.shares) => format!(
                "`{name}` may be out by {out} at the worst, {over} more than its tolerance leaves ({room}): hardly ever more than {likely}; drill small first, measure, and draw the holes over with a round file before they are opened"
            ),
            _ if self.ops.iter().any(|&op| cut_by_a_mill(&makings.deeds[op].work)) => format!(
                "`{name}` may be out by {out} at the worst, {over} more than its tolerance leaves ({room}): hardly ever more than {likely}; take a shallow cut first, measure, and shift the second by what it is out"
            ),
            _ => format!(
                "`{name}` may be out by {out} at the worst, {over} more than its tolerance leaves ({room}): hardly ever more than {likely}; measure it before the holes are finished, or bore them to their places"
            ),
        })
    }
}

/// What an end mill cuts to its place, so that no boring tool can bring it there.
const fn cut_by_a_mill(work: &Work) -> bool {
    matches!(work, Work::MillSlot { .. } | Work::MillPocket { .. } | Work::MillStep { .. })
}
