//! What an order comes to for all that is held square, parallel or flat.

use super::{Oriented, against_blank, between, from_face, is_free, makers, of_the_blank, pairs, room_words};
use crate::drawing::Keeps;
use crate::order::accuracy::{Share, worst};
use crate::order::charges::stays;
use crate::order::deed::{Job, Makings};
use crate::order::figures::{error, likely, over, room};
use crate::order::model::{OpId, Plan};
use crate::why::{Why, capital};

/// What one demand of a plan may be out by.
pub(in crate::order) struct Charge<'a> {
    demand: &'a Oriented,
    /// The operations of the plan that make it so; of a face as the stock has it none.
    pub ops: Vec<usize>,
    shares: Vec<Share>,
    how: How,
}

/// How the two come to lie as they do.
#[derive(Clone, Copy, PartialEq, Eq)]
enum How {
    OneStay,
    Apart,
    Blank,
    /// One of them was made before planning began.
    Measured,
    /// Nothing of this order makes one of them.
    Unmade,
}

/// What each demand comes to in a plan.
pub(in crate::order) fn charges<'a>(
    job: &Job,
    makings: &'a Makings,
    plan: &Plan,
    done: &[OpId],
) -> Vec<Charge<'a>> {
    let made = stays(makings, plan);
    let of = |op: usize| made.iter().find(|made| made.0 == op).copied();
    let mut charges = Vec::new();
    for demand in &makings.oriented {
        let before = charges.len();
        if let Some((feature, face)) = against_blank(job, demand) {
            for (op, place, _) in makers(job, makings, feature).into_iter().filter_map(of) {
                let shares = from_face(job, makings, demand, face, [op, place]);
                charges.push(Charge { demand, ops: vec![op], shares, how: How::Apart });
            }
        } else if demand.lies.to.is_some() && is_free(job, demand.lies.of) {
            for pair in pairs(job, makings, demand) {
                match pair.map(of) {
                    [Some((a, p, one)), Some((b, q, other))] => {
                        let shares = between(job, makings, demand, [a, b], [p, q], one == other);
                        let how = if one == other { How::OneStay } else { How::Apart };
                        charges.push(Charge { demand, ops: vec![a, b], shares, how });
                    }
                    [Some((op, ..)), None] | [None, Some((op, ..))]
                        if pair.iter().any(|&op| done.contains(&OpId(op))) =>
                    {
                        charges.push(Charge {
                            demand,
                            ops: vec![op],
                            shares: Vec::new(),
                            how: How::Measured,
                        });
                    }
                    _ => {}
                }
            }
        } else {
            let ops =
                makers(job, makings, demand.lies.of).into_iter().filter(|&op| of(op).is_some()).collect();
            let shares = of_the_blank(job, makings, demand);
            charges.push(Charge { demand, ops, shares, how: How::Blank });
        }
        if charges.len() == before {
            charges.push(Charge { demand, ops: Vec::new(), shares: Vec::new(), how: How::Unmade });
        }
    }
    charges
}

impl Charge<'_> {
    /// What is charged, for the steps that make it so.
    pub(in crate::order) fn why(&self) -> Why {
        let how = match self.how {
            How::OneStay => "made in one stay of the work, which adds nothing of how it sits",
            How::Apart => "with all that it sits on and is cut by",
            How::Blank => "as the blank is made",
            How::Measured => "the other was made before: try this one against it",
            How::Unmade => "nothing of this order makes it",
        };
        let words = format!(
            "{}: {how}, at the worst it is out by {} over {}, hardly ever by more than {} (root of the sum of squares)",
            self.demand.lies.said,
            error(worst(&self.shares)),
            self.demand.lies.over,
            error(likely(self.shares.iter().map(|share| share.error)))
        );
        let why = Why::new(words).because(Why::new(room_words(self.demand)).source("the drawing"));
        let share = |share: &Share| {
            Why::new(format!("{}: {}", share.of, error(share.error))).source(share.source.clone())
        };
        self.shares.iter().map(share).fold(why.source("common practice"), Why::because)
    }

    /// Whether the order does not keep it.
    pub(in crate::order) fn is_short(&self) -> bool {
        worst(&self.shares) > self.demand.lies.room
    }

    /// What is too much at the worst, and what to do.
    pub(in crate::order) fn told(&self, job: &Job) -> Option<String> {
        if self.how == How::Measured {
            return Some(format!(
                "{}: one of the two is made already; clock the work by it before the other is cut",
                self.demand.lies.said
            ));
        }
        if self.how == How::Unmade {
            return Some(format!(
                "{}: nothing of this order makes one of the two, so nothing is reckoned; measure it",
                self.demand.lies.said
            ));
        }
        if !self.is_short() {
            return None;
        }
        let worst = worst(&self.shares);
        let most = self.shares.iter().max_by_key(|share| share.error);
        let mostly = most.map_or(String::new(), |share| {
            format!("; the most of it is {}, {}", share.of, error(share.error))
        });
        Some(format!(
            "{} may come out by {} at the worst, {} too much{mostly}: {}",
            self.demand.lies.said,
            error(worst),
            over(worst, self.demand.lies.room),
            self.mend(job)
        ))
    }

    fn mend(&self, job: &Job) -> &'static str {
        let stock = self.shares.iter().any(|share| share.of.contains("stock"));
        let drilled = self.shares.iter().any(|share| share.of.ends_with(": drill"));
        match self.demand.lies.keeps {
            _ if stock => {
                "take stock thicker than the part (`[stock]`), so that its faces are cut, or try the bar on a surface plate and scrape or lap the face"
            }
            Keeps::Flatness => {
                "try it on a surface plate with marking blue and scrape or lap it, or allow it more"
            }
            _ if drilled => {
                "have the hole bored (`finish = \"bored\"`) with a boring tool that goes into it, or allow it more"
            }
            _ if job.is_turned() => {
                "clock the work along and across before the cut, or add to the bench what holds it truer"
            }
            _ => {
                "clock the work with an indicator before the cut, measure before the last one, or allow it more"
            }
        }
    }

    /// What to take care of in the setup, for the person at the machine.
    pub(in crate::order) fn care(&self, job: &Job) -> Option<String> {
        if self.how == How::Blank || self.shares.is_empty() {
            return None;
        }
        let drawing = job.part.drawing;
        let to = self.demand.lies.to?.called(drawing);
        let what = format!(
            "{} has to come {} {to} within {}",
            self.demand.lies.of.called(drawing),
            self.demand.lies.keeps.is(),
            room(self.demand.lies.room)
        );
        let what = capital(&what);
        Some(match self.how {
            How::OneStay => format!("{what}: both are cut here; do not take the work up between them."),
            _ if job.is_turned() => {
                format!("{what}: clock what it is held by, near the jaws and far from them, before the cut.")
            }
            _ => format!(
                "{what}: wipe what it sits on, and tap the work down until nothing beneath it can be moved."
            ),
        })
    }
}
