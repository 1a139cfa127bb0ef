//! Which rows are done before the work is moved along and which after, and what it is picked up from.
//!
//! A first stretch takes either as many rows as come first anyway, which leaves the order as it is, or
//! whatever the slides reach and no rule of the order forbids: the order's own checker says so of the
//! whole sequence. What is left must lie within the travel of something finished by then. Of all that is
//! found the one is taken that keeps every held distance, with the fewest pick-ups, the order as it was,
//! and the least error.

use super::super::job::Setup;
use super::super::rows::{Keyed, holes_of};
use super::super::travel::Reach;
use super::across::{not_kept, over_the_most};
use super::{Found, From, Stretch, Unit};
use crate::drawing::FeatureId;
use crate::measure::Length;
use crate::order::work::Step;
use crate::order::{Located, Work, slides_within};
use crate::problem::Problem;
use crate::settings::show::mm;
use crate::tables::processes::{limit, process};

/// How often work is moved along at most in one holding.
const MOST_MOVES: usize = 3;

/// Of so many places that would do the least out are tried.
const MOST_FOUND: usize = 8;

/// The stretches of a setup.
///
/// # Errors
///
/// A [`Problem`] that says what stands in the way.
pub(super) fn stretches(
    setup: &Setup,
    steps: &[&Step],
    keyed: &[Keyed],
    units: &[Unit],
) -> Result<Vec<Stretch>, Problem> {
    let search = Search { setup, steps, units };
    if let Some(fault) = search.longer_than_the_travel(keyed) {
        return Err(fault);
    }
    let mut best: Option<(Price, Vec<Stretch>)> = None;
    search.go(&mut Vec::new(), (0..units.len()).collect(), (setup.finder_reach(), None), &mut best);
    let Some((price, stretches)) = best else { return Err(search.nothing_to_find(keyed)) };
    if price.over.is_positive() {
        return Err(not_kept(setup, units, &stretches));
    }
    Ok(stretches)
}

/// What is finished after some stretches, and may be found again.
pub(super) fn finished(setup: &Setup, steps: &[&Step], units: &[Unit], done: &[Stretch]) -> Vec<Found> {
    Search { setup, steps, units }.found(done)
}

/// What ways of parting are compared by: how far the worst held distance is out, pick-ups, whether the
/// order changes, and how far they are out together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Price {
    over: Length,
    moves: usize,
    reorders: bool,
    adds: Length,
}

struct Search<'a> {
    setup: &'a Setup<'a>,
    steps: &'a [&'a Step],
    units: &'a [Unit],
}

impl Search<'_> {
    /// Parts what is left, the work standing as it was last picked up.
    fn go(
        &self,
        done: &mut Vec<Stretch>,
        left: Vec<usize>,
        (reach, found): (Reach, Option<Found>),
        best: &mut Option<(Price, Vec<Stretch>)>,
    ) {
        if self.fits(reach, &left) {
            done.push(Stretch { units: left, found });
            let price = self.price(done);
            if best.as_ref().is_none_or(|(known, _)| price < *known) {
                *best = Some((price, done.clone()));
            }
            done.pop();
            return;
        }
        if done.len() >= MOST_MOVES {
            return;
        }
        for now in self.candidates(done, &left, reach) {
            let rest: Vec<usize> = left.iter().copied().filter(|n| !now.contains(n)).collect();
            done.push(Stretch { units: now, found: found.clone() });
            for next in self.found(done) {
                let reach = [next.at; 2];
                // What the next stretch reaches nothing of is no way on.
                if rest.iter().any(|&n| self.fits(reach, &[n])) {
                    self.go(done, rest.clone(), (reach, Some(next)), best);
                }
            }
            done.pop();
        }
    }

    /// Whether the slides reach all of them from where the work is picked up.
    fn fits(&self, reach: Reach, all: &[usize]) -> bool {
        (0..2).all(|axis| {
            let [low, high] = self.span(reach, all, axis);
            high - low <= self.travel(axis)
        })
    }

    fn span(&self, reach: Reach, all: &[usize], axis: usize) -> [Length; 2] {
        let spans = all.iter().filter_map(|&n| self.units[n].span[axis]);
        spans.fold([reach[0][axis], reach[1][axis]], |[low, high], [from, to]| [low.min(from), high.max(to)])
    }

    fn travel(&self, axis: usize) -> Length {
        self.setup.job.bench.mill.travel[axis]
    }

    /// What may be done in the stretch that stands: as many as come first, or whatever a window of the
    /// travel holds.
    fn candidates(&self, done: &[Stretch], left: &[usize], reach: Reach) -> Vec<Vec<usize>> {
        let first = (1..left.len()).take_while(|&count| self.fits(reach, &left[..count])).last();
        let mut all: Vec<Vec<usize>> = first.map(|count| left[..count].to_vec()).into_iter().collect();
        let windows = |axis: usize| {
            let [low, high] = self.span(reach, left, axis);
            let travel = self.travel(axis);
            if high - low <= travel {
                return vec![low];
            }
            let mut from = vec![low, reach[0][axis], reach[1][axis] - travel, high - travel];
            from.retain(|&from| from <= reach[0][axis] && reach[1][axis] <= from + travel);
            from.sort();
            from.dedup();
            from
        };
        // Nothing lies near enough to the datum: its other end is picked up at once.
        if done.is_empty() && left.iter().all(|&n| !self.fits(reach, &[n])) {
            return vec![Vec::new()];
        }
        for x in windows(0) {
            for y in windows(1) {
                let inside = |&n: &usize| {
                    [x, y].into_iter().enumerate().all(|(axis, from)| {
                        self.units[n].span[axis]
                            .is_none_or(|[low, high]| from <= low && high <= from + self.travel(axis))
                    })
                };
                let now: Vec<usize> = left.iter().copied().filter(inside).collect();
                let now = self.allowed(done, left, now);
                if !now.is_empty() && !all.contains(&now) {
                    all.push(now);
                }
            }
        }
        all
    }

    /// What of them no rule of the order forbids to be done before the rest.
    fn allowed(&self, done: &[Stretch], left: &[usize], mut now: Vec<usize>) -> Vec<usize> {
        while !now.is_empty() {
            let rest = left.iter().copied().filter(|n| !now.contains(n));
            let sequence: Vec<usize> = done
                .iter()
                .flat_map(|stretch| stretch.units.iter().copied())
                .chain(now.iter().copied())
                .chain(rest)
                .collect();
            let Some(broken) = self.broken(&sequence) else { return now };
            let before = now.len();
            let step = |n: usize| self.units[n].step;
            match broken {
                (own, _) if now.iter().any(|&n| step(n) == own) => now.retain(|&n| step(n) != own),
                (_, Some(culprit)) => now.retain(|&n| step(n) != culprit),
                _ => now.clear(),
            }
            if now.len() == before {
                return Vec::new();
            }
        }
        now
    }

    /// The first rule that doing the units in this sequence breaks: the step of the setup whose rule it
    /// is, and what came in its way. A step that is done in parts stands once where its first part does
    /// and once where its last does.
    fn broken(&self, sequence: &[usize]) -> Option<(usize, Option<usize>)> {
        let order = self.setup.job.order;
        let here: Vec<usize> = order.steps_in(self.setup.number - 1).map(|(n, _)| n).collect();
        let first = *here.first()?;
        let last = *here.last()?;
        let steps: Vec<usize> = sequence.iter().map(|&n| self.units[n].step).collect();
        let mut early: Vec<usize> = Vec::new();
        let mut late: Vec<usize> = Vec::new();
        for (n, step) in steps.iter().enumerate() {
            if !early.contains(step) {
                early.push(*step);
            }
            if !steps[n + 1..].contains(step) {
                late.push(*step);
            }
        }
        [early, late].into_iter().find_map(|own| {
            let own = own.into_iter().map(|step| here[step]);
            let all: Vec<usize> = (0..first).chain(own).chain(last + 1..order.steps.len()).collect();
            let within = |n: usize| here.iter().position(|&own| own == n);
            let broken = order.broken_by(&all);
            broken.into_iter().find_map(|(step, culprit)| Some((within(step)?, culprit.and_then(within))))
        })
    }

    /// What the work may be picked up from again after what is done, the least out first.
    fn found(&self, done: &[Stretch]) -> Vec<Found> {
        let is_done = |n: usize| done.iter().any(|stretch| stretch.units.contains(&n));
        let mut all: Vec<Found> = Vec::new();
        for (n, unit) in self.units.iter().enumerate() {
            let step = self.steps[unit.step];
            let (Work::Ream { diameter, .. } | Work::Bore { diameter, .. }, Some(id), true) =
                (&step.work, step.feature, is_done(n))
            else {
                continue;
            };
            let holes = holes_of(self.setup, id);
            let hole = holes[unit.hole.unwrap_or(0).min(holes.len() - 1)];
            if unit.hole.is_some() || holes.len() == 1 {
                all.push(self.hole_found(hole, *diameter));
            }
        }
        all.extend(self.edges_found(done));
        all.sort_by_key(Found::adds);
        all.truncate(MOST_FOUND);
        all
    }

    fn hole_found(&self, hole: FeatureId, diameter: Length) -> Found {
        let setup = self.setup;
        let (x, y) = setup.read(hole);
        let bored = |step: &&&Step| {
            step.feature == Some(hole) && matches!(step.work, Work::Bore { .. } | Work::TrueHole { .. })
        };
        let cut = process(if self.steps.iter().any(|step| bored(&step)) { "bore" } else { "drill" });
        let from = if diameter >= limit("clocked hole") { From::Clocked } else { From::Plugged }(hole);
        let name = setup.part.feature(hole).name.clone();
        let over = match from {
            From::Plugged(_) => format!("over the plug in {name}"),
            _ => format!("over {name}"),
        };
        Found {
            from,
            name,
            at: [x, y],
            over: [over.clone(), over],
            located: from.way().at(diameter),
            own: cut.position.unwrap_or_default() + slides_within(setup.job.bench),
        }
    }

    /// The edges opposite to those that the work is read from, where they are as true.
    fn edges_found(&self, done: &[Stretch]) -> Vec<Found> {
        let setup = self.setup;
        let Located::Edges(a, b) = setup.holding.located else { return Vec::new() };
        if !setup.squared() {
            return Vec::new();
        }
        let sides = [setup.frame.side(a), setup.frame.side(b)];
        let datum = [sides.iter().map(|side| side.0).sum::<i64>(), sides.iter().map(|side| side.1).sum()];
        let [x0, x1, y0, y1] = setup.extent();
        let size = [x1 - x0, y1 - y0];
        let half = setup.job.bench.edge_finder.half();
        let tip = setup.finder_reach();
        // Whether a side is still whole, high enough for the finder.
        let whole = |way: (i64, i64)| {
            let opens = |step: &&Step| {
                let cut = step.feature.and_then(|id| setup.part.step_from(id, setup.frame.up()));
                matches!(step.work, Work::MillStep { .. })
                    && cut.is_some_and(|cut| setup.frame.side(cut.open) == way)
            };
            let cut_here = done
                .iter()
                .flat_map(|stretch| &stretch.units)
                .any(|&n| opens(&self.steps[self.units[n].step]));
            setup.edge_taken(way).is_none() && !cut_here
        };
        let ways = [[true, false], [false, true], [true, true]];
        ways.into_iter()
            .filter(|far| {
                (0..2).all(|axis| {
                    let sign = if far[axis] { -datum[axis] } else { datum[axis] };
                    whole(if axis == 0 { (sign, 0) } else { (0, sign) })
                })
            })
            .map(|far| {
                let at = [0, 1].map(|axis| match (far[axis], datum[axis] > 0) {
                    (true, true) => -(size[axis] + half),
                    (true, false) => size[axis] + half,
                    (false, _) => tip[0][axis] + tip[1][axis],
                });
                let word = |axis: usize| {
                    let positive = (datum[axis] > 0) != far[axis];
                    [["left-hand", "right-hand"], ["near", "far"]][axis][usize::from(positive)]
                };
                Found {
                    from: From::Edges,
                    name: format!("the {} and {} edges", word(0), word(1)),
                    at,
                    over: [0, 1].map(|axis| format!("touching the {} edge", word(axis))),
                    located: From::Edges.way().error,
                    own: process("mill to size").size.unwrap_or_default(),
                }
            })
            .collect()
    }

    fn price(&self, stretches: &[Stretch]) -> Price {
        let sequence: Vec<usize> =
            stretches.iter().flat_map(|stretch| stretch.units.iter().copied()).collect();
        Price {
            over: over_the_most(self.setup, self.units, stretches),
            moves: stretches.len() - 1,
            reorders: !sequence.is_sorted(),
            adds: stretches.iter().filter_map(|stretch| stretch.found.as_ref()).map(Found::adds).sum(),
        }
    }

    /// A single cut that no pick-up brings within the travel.
    fn longer_than_the_travel(&self, keyed: &[Keyed]) -> Option<Problem> {
        self.units.iter().find_map(|unit| {
            (0..2).find_map(|axis| {
                let [low, high] = unit.span[axis]?;
                (high - low > self.travel(axis)).then(|| {
                    let (word, key) = [("X", "travel_x"), ("Y", "travel_y")][axis];
                    Problem::new(format!(
                        "{} is one cut longer than the mill's travel in {word}",
                        keyed[unit.step].row.what
                    ))
                    .why(format!(
                        "with the cutter clear at both ends it goes {}, and the slide {}; moved along half-way, a cut shows a step where its halves meet",
                        mm(high - low),
                        mm(self.travel(axis))
                    ))
                    .mend(format!(
                        "correct `{key}` in the bench file, draw it as two cuts that meet where a step does no harm, or use a mill that reaches"
                    ))
                })
            })
        })
    }

    /// Nothing that is finished lies near enough to what is left.
    fn nothing_to_find(&self, keyed: &[Keyed]) -> Problem {
        let reach = self.setup.finder_reach();
        let (axis, far, unit) = super::beyond(self.setup, self.units).unwrap_or_default();
        let row = keyed.get(self.units[unit].step).map_or("the pick-up", |keyed| keyed.row.what.as_str());
        let reached: Vec<&str> = self
            .units
            .iter()
            .filter(|unit| {
                matches!(self.steps[unit.step].work, Work::Ream { .. } | Work::Bore { .. })
                    && (0..2).all(|axis| {
                        unit.span[axis].is_none_or(|[low, high]| {
                            high.max(reach[1][axis]) - low.min(reach[0][axis]) <= self.travel(axis)
                        })
                    })
            })
            .filter_map(|unit| self.steps[unit.step].feature)
            .map(|id| self.setup.part.feature(id).name.as_str())
            .collect();
        let finished = match reached.as_slice() {
            [] => "no hole that the first pick-up reaches is reamed or bored, and a drilled one is too rough to be found by".to_owned(),
            names => format!("from {} the slides do not reach it, or a rule of the order wants it first", names.join(", ")),
        };
        let fixed = format!("moved along, the work has nothing to be picked up from again: {finished}");
        self.setup.beyond(row, axis, far, &fixed).mend(
            "have a hole reamed or bored that lies within the travel of both, or use a mill that reaches",
        )
    }
}
