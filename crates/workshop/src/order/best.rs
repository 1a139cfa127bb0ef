//! The best of the ways of going about a part, and what the others would cost.

use std::cmp::Reverse;

use super::answer::{END_FIRST, Key, THE_ENDS, makings, planned, proof};
use super::asking::Heeded;
use super::deed::{Job, Scheme};
use super::uses::Uses;
use super::work::{Joined, OrderOfWork, Priced, Sure};
use super::{build, kept, screwed, search, stacks, turned};
use crate::bench::Bench;
use crate::drawing::{Face, FeatureId, Kind, Part};
use crate::measure::Length;
use crate::metric::MetricPart;
use crate::problem::{Outcome, Problem};

/// The best order that heeds some of what is said.
pub(super) fn best(part: &Part, metric: &MetricPart, bench: &Bench, heeded: &Heeded) -> Outcome<OrderOfWork> {
    let (mut schemes, times) = stacks::schemes(part, metric, bench);
    let screws = schemes.iter().any(|(scheme, _)| scheme.joined == Joined::Screwed);
    let mut tried = Tried::new(heeded, screws);
    let job = |scheme: Scheme| Job { part, metric, bench, scheme };
    for &(scheme, first) in &schemes {
        tried.plan(&job(scheme), first);
    }
    // What screws would cost instead of adhesive is told of the stacks that are taken.
    let taken = tried.best.as_ref().filter(|_| !screws).map(|(_, scheme, _)| job(*scheme));
    if let Some(screwed) = taken.and_then(|taken| screwed::instead_of(&taken)) {
        tried.plan(&job(screwed), None);
        schemes.push((screwed, None));
    }
    tried.told(&schemes, times).map_err(|faults| {
        faults.into_iter().next().unwrap_or_else(|| {
            vec![
                Problem::new("no order of work was found within the limit of the search")
                    .at(part.drawing.file.clone())
                    .mend("leave out features that are made elsewhere, take back what is asked of the order, or make the part in two stages"),
            ]
        })
    })
}

/// The ways of going about a part that were planned so far.
struct Tried<'a> {
    heeded: &'a Heeded,
    /// Whether screwed stacks are worth a plan for themselves, and not only a price.
    screws: bool,
    best: Option<(Key, Scheme, OrderOfWork)>,
    /// Of the best: what decides between orders that are charged alike.
    tie: Tie,
    /// What one piece takes by itself, once that is asked; none where it is not proven.
    one: Option<Option<Key>>,
    every_way: Sure,
    faults: Vec<Vec<Problem>>,
    costs: Vec<(Scheme, Option<(Uses, Sure)>)>,
    ends: Vec<(turned::First, Key, Uses, Sure)>,
}

impl<'a> Tried<'a> {
    fn new(heeded: &'a Heeded, screws: bool) -> Self {
        let (costs, ends) = (Vec::new(), Vec::new());
        Self {
            heeded,
            screws,
            best: None,
            tie: Tie::default(),
            one: None,
            every_way: Sure::Optimal,
            faults: Vec::new(),
            costs,
            ends,
        }
    }

    /// Plans one way of going about it.
    fn plan(&mut self, job: &Job, first: Option<turned::First>) {
        let scheme = job.scheme;
        if *self.heeded == Heeded::default() && self.is_beaten(job) {
            self.costs.push((scheme, None));
            return;
        }
        let priced_only = scheme.joined == Joined::Screwed && !self.screws;
        match planned(job, first, self.heeded) {
            Ok(Some((key, order))) => {
                // What lies side by side may also lie in turn: that way by itself proves nothing
                // more. Nor do screws: what adhesive does as well is cheaper.
                let same = (scheme.side_by_side(), Sure::Optimal);
                let is_same = |(known, cost): &(Scheme, Option<(Uses, Sure)>)| {
                    cost.is_some_and(|(_, sure)| (*known, sure) == same)
                };
                if order.proof.sure == Sure::Within && !self.costs.iter().any(is_same) && !priced_only {
                    self.every_way = Sure::Within;
                }
                self.costs.push((scheme, Some((order.uses, order.proof.sure))));
                self.ends.extend(first.map(|first| (first, key, order.uses, order.proof.sure)));
                let tie = (bored_apart(job, &order), Reverse(thinnest_grip(job, &order)));
                if self.best.as_ref().is_none_or(|(least, ..)| (key, tie) < (*least, self.tie)) {
                    (self.best, self.tie) = (Some((key, scheme, order)), tie);
                }
            }
            Ok(None) if priced_only => {}
            Ok(None) => self.every_way = Sure::Within,
            Err(found) if found.is_empty() => {}
            Err(found) => self.faults.push(found),
        }
    }

    /// Whether pieces of two hands that are never stuck together cannot come out better than the
    /// best so far, for what one of them takes by itself, or for the setups that both take.
    fn is_beaten(&mut self, job: &Job) -> bool {
        let plain = Scheme::hands(job.scheme.make);
        let Some((key, ..)) = &self.best else { return false };
        let key = *key;
        if job.scheme == plain {
            return self.times_one(job).is_some_and(|least| least >= key);
        }
        let large = || {
            job.scheme == plain.side_by_side()
                && fewest_setups(job, key.1)
                    .is_some_and(|(operations, fewest)| operations > LARGE && fewest > key.1)
        };
        large() && self.times_one(job).is_some_and(|least| least.0 >= key.0)
    }

    /// Pieces of two hands that are never stuck nor side by side take at least so many times what
    /// one takes by itself, which is proven; as much of what does not run true side by side too.
    fn times_one(&mut self, job: &Job) -> Option<Key> {
        let times = u64::from(job.scheme.pieces());
        let one = (*self.one.get_or_insert_with(|| alone(job)))?;
        // Blanks that are squared face to face share a setup, its tool and its minutes.
        if job.squares_both() {
            return Some((one.0 * 2, (one.1 * times).saturating_sub(times - 1), 0, 0, 0));
        }
        Some((one.0 * 2, one.1 * times, one.2 * 2, one.3, one.4 * times))
    }

    /// The best of them with the prices of the others.
    ///
    /// # Errors
    ///
    /// The faults of each way, where none has an order.
    fn told(
        self,
        schemes: &[(Scheme, Option<turned::First>)],
        times: u32,
    ) -> Result<OrderOfWork, Vec<Vec<Problem>>> {
        let Self { best, every_way, faults, costs, ends, .. } = self;
        let Some((key, scheme, mut order)) = best else { return Err(faults) };
        let priced = |scheme: &Scheme| costs.iter().any(|(known, _)| known == scheme);
        let every = schemes.iter().map(|(scheme, _)| *scheme);
        let every: Vec<Scheme> =
            every.filter(|scheme| scheme.joined == Joined::Stuck || priced(scheme)).collect();
        order.choices.splice(0..0, stacks::chosen(scheme, &every, &order.setups));
        order.of_ways = stacks::priced(scheme, &costs, &order);
        let once = order.uses.tool_changes == order.planned_from().1.tally.tool_changes;
        for (way, end) in END_FIRST.into_iter().zip([Face::Left, Face::Right]) {
            let taken = order.choices.iter().any(|chosen| chosen.taken == way);
            let its = ends.iter().filter(|(first, ..)| first.end() == end && !taken);
            if let Some((_, its_key, uses, sure)) = its.min_by_key(|(_, key, ..)| *key) {
                let comes_to = if its_key.0 > key.0 {
                    "would leave more out of true or out of round".to_owned()
                } else {
                    stacks::comes_to(uses, *sure, &order.uses)
                };
                order.of_ways.push(Priced { name: THE_ENDS.into(), way: way.into(), comes_to });
            }
        }
        // Proven only when every way of going about it was searched to its end.
        Ok(OrderOfWork { proof: proof(every_way, once), times, ..order })
    }
}

/// What one piece takes by itself, where that is proven.
fn alone(job: &Job) -> Option<Key> {
    let alone = Job { scheme: Scheme::ALONE, ..*job };
    let (one, order) = planned(&alone, None, &Heeded::default()).ok()??;
    (order.proof.sure == Sure::Optimal).then_some(one)
}

/// How many surfaces of a turned part are cut in another holding than a finished bore that they run
/// true with: those that are asked to, else the widest section. Nothing is charged for it; of two
/// orders that are as good otherwise a turner bores where the outside is turned (common practice).
fn bored_apart(job: &Job, order: &OrderOfWork) -> usize {
    if !job.is_turned() {
        return 0;
    }
    let last = |id: FeatureId| order.steps.iter().rfind(|step| step.feature == Some(id)).map(|s| s.setup);
    let size = |id: &FeatureId| job.part.cut_diameter(*id).unwrap_or_default();
    let plain = |id: &FeatureId| matches!(job.part.feature(*id).kind, Kind::Section { throw: None, .. });
    let widest = job.part.sections().iter().copied().filter(plain).max_by_key(size);
    let apart = |bore: FeatureId| {
        let asked = job.part.sections().iter().copied().filter(|section| {
            order.true_running.iter().any(|both| [bore, *section].iter().all(|id| both.features.contains(id)))
        });
        let asked: Vec<FeatureId> = asked.collect();
        let with = if asked.is_empty() { widest.into_iter().collect() } else { asked };
        with.into_iter().filter(|&section| last(section) != last(bore)).count()
    };
    job.part.features().filter(|(_, f)| turned::is_finished(f)).map(|(id, _)| apart(id)).sum()
}

/// The thinnest section that work is turned by: of two orders that are as good otherwise a turner takes
/// hold where the work is thick (common practice).
fn thinnest_grip(job: &Job, order: &OrderOfWork) -> Length {
    let grips =
        order.setups.iter().filter(|setup| setup.held.in_jaws()).filter_map(|setup| setup.held.grips());
    grips.filter_map(|on| job.part.cut_diameter(on)).min().unwrap_or_default()
}

/// What decides between orders that are charged alike: surfaces that are turned in another holding than
/// the bore they run true with, and then the thinnest section that work is turned by.
type Tie = (usize, Reverse<Length>);

/// With more operations a way that is beaten for its setups is not planned for its price alone.
const LARGE: usize = 40;

/// How many operations a way of going about it has, and how many setups on machines it takes at
/// least, whatever is let go.
fn fewest_setups(job: &Job, limit: u64) -> Option<(usize, u64)> {
    let mut makings = makings(job, None).ok()?;
    kept::let_all_go(&mut makings);
    makings.coaxial.iter_mut().for_each(|demand| demand.bound = false);
    let (model, _) = build::model(job, &makings);
    if !model.faults().is_empty() {
        return None;
    }
    Some((model.operations.len(), search::fewest_setups(&model, limit)?))
}
