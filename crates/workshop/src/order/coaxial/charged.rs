//! What an order comes to: every holding on the way from one surface to the other, each off
//! to the same side.

use super::{Axis, Coaxial, Share, as_the_bar_ran, axis, making, off, pairs, share, share_of, worst};
use crate::measure::Length;
use crate::order::deed::{Job, Makings};
use crate::order::figures::{error, over, room};
use crate::order::model::Plan;
use crate::order::work::{Held, Holding, Work};
use crate::tables::processes::locating;
use crate::why::Why;

/// What one pair of surfaces of a plan may be out by.
pub(in crate::order) struct Charge<'a> {
    demand: &'a Coaxial,
    /// The operations that make them.
    pub ops: [usize; 2],
    shares: Vec<Share>,
    /// What the plain way to hold it would come to, where another was chosen.
    plain: Option<(String, Length)>,
}

/// One stay of the work in a holding.
struct Stay<'a> {
    holding: &'a Holding,
    /// The stay in which what it runs true to was made, and what taking it up again adds.
    from: Option<(usize, Vec<Share>)>,
}

/// What every pair comes to in a plan, from stay to stay.
pub(in crate::order) fn charges<'a>(job: &Job, makings: &'a Makings, plan: &Plan) -> Vec<Charge<'a>> {
    let mut stays: Vec<Stay> = Vec::new();
    let (mut stands, mut made) = (None, Vec::<(usize, usize)>::new());
    for step in &plan.steps {
        let place = makings.deeds[step.op.0].places[step.way];
        if stands != Some(place) {
            stands = Some(place);
            let holding = &makings.places[place].holding;
            let from = taken_from(job, makings, holding, &stays, &made);
            stays.push(Stay { holding, from });
        }
        made.push((step.op.0, stays.len() - 1));
    }
    let of = |op: usize| made.iter().find(|made| made.0 == op).map(|made| made.1);
    let mut charges = Vec::new();
    for demand in &makings.coaxial {
        for ops in pairs(job, makings, demand) {
            let [Some(one), Some(other)] = ops.map(of) else { continue };
            let shares = between(&stays, one, other);
            let plain = plainly(job, stays[one.max(other)].holding).filter(|_| one != other);
            charges.push(Charge { demand, ops, shares, plain });
        }
    }
    charges
}

/// What the plain chuck would come to in the place of a better holding.
fn plainly(job: &Job, holding: &Holding) -> Option<(String, Length)> {
    let plain = match holding.held {
        Held::Chuck { .. } => return None,
        _ => locating("three-jaw chuck").error,
    };
    (plain > off(job, &holding.held)).then(|| ("the three-jaw chuck".to_owned(), plain))
}

/// Where what a holding runs true to was made.
fn taken_from(
    job: &Job,
    makings: &Makings,
    holding: &Holding,
    stays: &[Stay],
    made: &[(usize, usize)],
) -> Option<(usize, Vec<Share>)> {
    let stay_of = |deeds: Vec<usize>| made.iter().rev().find(|(op, _)| deeds.contains(op)).map(|m| m.1);
    let turning = |stay: &Stay| stay.holding.held.turns();
    match axis(&holding.held) {
        Axis::Of(datum) => {
            let bar = as_the_bar_ran(job, makings, datum);
            // What is left as its bar comes was there while the bar was turned.
            let from = match bar {
                Some(_) => stays.iter().position(turning),
                None => stay_of(making(job, makings, datum)),
            };
            Some((from?, std::iter::once(share(job, holding)).chain(bar).collect()))
        }
        Axis::Bar => {
            let first = stays.iter().position(turning)?;
            Some((first, vec![share_of("three-jaw chuck", "the bar gripped again".into())]))
        }
        Axis::Centres => {
            let centred = |n: &usize| matches!(makings.deeds[*n].work, Work::CentreEnd { .. });
            let drilled: Vec<usize> = made.iter().filter(|(op, _)| centred(op)).map(|m| m.1).collect();
            let (&one, &other) = (drilled.first()?, drilled.last()?);
            let mut shares = vec![share(job, holding)];
            shares.extend(between(stays, one, other));
            Some((one, shares))
        }
    }
}

/// What lies between two stays: every holding on the way from one to the other.
fn between(stays: &[Stay], one: usize, other: usize) -> Vec<Share> {
    // Two stays between the same centres share what the centres are off by.
    if one != other && [one, other].iter().all(|&n| stays[n].holding.held == Held::Centres) {
        let own = |n: usize| stays[n].from.iter().flat_map(|(_, shares)| shares.first().cloned());
        return own(one).chain(own(other)).collect();
    }
    let (mut a, mut b, mut all) = (one, other, Vec::new());
    // What a stay runs true to was made in an earlier one: the later climbs.
    while a != b {
        let later = if a > b { &mut a } else { &mut b };
        let Some((from, shares)) = &stays[*later].from else { break };
        all.extend(shares.iter().cloned());
        *later = *from;
    }
    all
}

impl Charge<'_> {
    /// What is charged, for the steps that make the two.
    pub(in crate::order) fn why(&self, job: &Job) -> Why {
        let [one, other] = self.demand.features.map(|id| job.name(id));
        let room = room(self.demand.room);
        let words = match (self.shares.is_empty(), &self.plain) {
            (true, _) => format!(
                "{one} and {other} run true within {room}: made in one holding, nothing comes between them"
            ),
            (false, None) => format!(
                "{one} and {other} run true within {room}: at the worst they are out by {}",
                error(worst(&self.shares))
            ),
            (false, Some((plain, off))) => format!(
                "{one} and {other} run true within {room}: at the worst they are out by {}; held in {plain} instead they could be out by {off}",
                error(worst(&self.shares))
            ),
        };
        let because = Why::new(self.demand.because.clone());
        let why = match self.demand.said {
            true => Why::new(words).because(because.source("the drawing")),
            false => Why::assumed(words).because(because.source("common practice")),
        };
        let shares = self.shares.iter();
        shares
            .map(|share| Why::new(format!("{}: {}", share.of, share.error)).source(share.source.clone()))
            .fold(why.source("common practice"), Why::because)
    }

    /// What is too much at the worst, and what to do.
    pub(in crate::order) fn short(&self, job: &Job) -> Option<String> {
        let worst = worst(&self.shares);
        if worst <= self.demand.room {
            return None;
        }
        let (over, room) = (over(worst, self.demand.room), room(self.demand.room));
        let [one, other] = self.demand.features.map(|id| job.name(id));
        let ways: Vec<&str> = self.shares.iter().map(|share| share.of.as_str()).collect();
        Some(format!(
            "{one} and {other} may run out of true by {} at the worst, {over} more than {room}: {}; clock the work before the cut, or add to the bench what holds it truer",
            error(worst),
            ways.join(", then ")
        ))
    }

    /// Why a holding was taken that is truer than the plain chuck; for a person at the lathe.
    pub(in crate::order) fn held_for(&self, job: &Job, holding: &Holding) -> Option<String> {
        let (plain, off) = plainly(job, holding).filter(|_| !self.shares.is_empty())?;
        let [one, other] = self.demand.features.map(|id| job.name(id));
        (off > self.demand.room).then(|| {
            format!(
                "Held so because {one} and {other} have to run true within {}: in {plain} they could be out by {off}.",
                room(self.demand.room)
            )
        })
    }

    /// Whether the order does not keep it.
    pub(in crate::order) fn is_short(&self) -> bool {
        worst(&self.shares) > self.demand.room
    }
}
