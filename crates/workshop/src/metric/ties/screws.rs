//! Threads that screw together are one thread.

use std::collections::BTreeMap;

use super::{At, Found, Parts, Tie, Ties, feature};
use crate::drawing::{Role, ThreadId};
use crate::metric::making::{Making, Moves};
use crate::metric::model::{Demand, VariableId};
use crate::metric::rules::THREAD_STAYS;
use crate::metric::screws;
use crate::metric::stitch::Stitched;
use crate::metric::way::{Cut, ThreadWay, ThreadWays};
use crate::tables::threads::{Form, Thread};

impl Ties {
    pub(super) fn screws<'p, 'a: 'p>(
        &mut self,
        part: usize,
        making: &Making,
        find: &impl Fn(&str) -> Found<'p, 'a>,
        supposed: &mut Vec<String>,
    ) {
        for screwed in &making.job.drawing.screwed {
            let partner = &screwed.partner;
            let found = feature(partner, find).and_then(|(other, kind)| match kind.screwed() {
                Some(thread) => Ok(At { part: other, size: thread }),
                None => Err(format!("{} of {} has no thread", partner.feature, partner.part)),
            });
            let own = At { part, size: screwed.thread };
            match found {
                // Both files may say it.
                Ok(other) if self.screwed(own, other) => {}
                Ok(other) => self.ties.push(Tie::Screw([own, other])),
                Err(why) => {
                    let name = &making.job.drawing.threads[screwed.thread.0].name;
                    let reach = match making.job.cut(screwed.thread) {
                        Cut::Inside(_) => ", and its screw is supposed to fill it",
                        Cut::Outside(_) => ", and its hole is supposed to take all of it",
                        Cut::Elsewhere => "",
                    };
                    supposed.push(format!("`{name}` is chosen by itself{reach}: {why}"));
                }
            }
        }
    }

    fn screwed(&self, one: At<ThreadId>, other: At<ThreadId>) -> bool {
        self.ties
            .iter()
            .any(|tie| matches!(tie, Tie::Screw(both) if *both == [other, one] || *both == [one, other]))
    }
}

/// The further threads of one part that two which screw together open.
pub(super) fn further(
    both: &[At<ThreadId>; 2],
    parts: &Parts,
    part: usize,
    threads: &mut BTreeMap<usize, ThreadWays>,
) {
    let making = parts[&part];
    let [one, other] = *both;
    for (own, other) in [(one, other), (other, one)] {
        if own.part != part {
            continue;
        }
        let partner = parts[&other.part].own_threads(other.size);
        let so_far = threads.get(&own.size.0).unwrap_or_else(|| making.own_threads(own.size));
        let pin = parts[&other.part].job.drawing.threads[other.size.0].pin;
        let more = more_threads(making, own.size, so_far, partner, pin);
        if !more.is_empty() {
            let mut ways = so_far.clone();
            ways.ways.extend(more);
            threads.insert(own.size.0, ways);
        }
    }
}

/// One thread for both.
pub(super) fn demand(
    both: &[At<ThreadId>; 2],
    parts: &Parts,
    begins: &BTreeMap<usize, usize>,
    stitched: &mut Stitched,
) {
    let [a, b] = both.map(|at| VariableId(begins[&at.part] + parts[&at.part].ways.len() + at.size.0));
    let [one, other] = both.map(|at| &parts[&at.part].threads[at.size.0].ways);
    let row = |way: &ThreadWay| other.iter().map(|its| its.thread == way.thread).collect();
    let allowed = one.iter().map(row).collect();
    let [first, second] = both.map(|at| {
        let making = parts[&at.part];
        format!("`{}` of {}", making.job.drawing.threads[at.size.0].name, making.job.drawing.name)
    });
    let because = format!("{first} and {second} screw together, one thread for both");
    let name = format!("thread of {first} and {second}");
    stitched.model.demand(name, because, Demand::Pairs { a, b, allowed });
}

/// The partner's threads that this part has not: those pinned there, and where the two
/// have none in common all of them, so that a thread one part must keep is cut in the
/// other too.
fn more_threads(
    making: &Making,
    id: ThreadId,
    own: &ThreadWays,
    partner: &ThreadWays,
    pin: Option<&'static Thread>,
) -> Vec<ThreadWay> {
    let call = &making.job.drawing.threads[id.0];
    // One that is held, made or metric already is what the other has to become.
    let stays = call.role.0 == Role::Hold || call.made.is_some() || call.thread.form() == Form::Metric60;
    if stays || making.moves == Moves::Never {
        return Vec::new();
    }
    let has = |thread: &Thread| own.ways.iter().any(|way| way.thread == thread);
    let mut threads: Vec<_> = partner.ways.iter().map(|way| way.thread).collect();
    if threads.iter().any(|thread| has(thread)) {
        threads = pin.into_iter().filter(|pin| !has(pin)).collect();
    }
    threads.dedup();
    let cut = making.job.cut(id);
    threads
        .into_iter()
        .flat_map(|thread| screws::with_drills(&making.job, thread, cut, &THREAD_STAYS))
        .collect()
}
