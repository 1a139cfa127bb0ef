//! Room for hexagon heads and nuts, and for the spanners that turn them, where a metric
//! screw takes the place of the drawing's.
//!
//! A drawing seldom says what head a screw has. Where the hexagon of the drawing's own
//! series has room beside its neighbour, an edge or a shoulder, the metric one must have
//! it too; where it has none there, the screw has another head, and nothing is asked. So
//! with the spanner: where only the head has room on the drawing a box spanner from above
//! turns it, and the part says so. A spanner may overhang an edge that falls away.

use std::sync::Arc;

use num_rational::Ratio;

use super::demands::Demands;
use super::gauge::{Gauge, Reading};
use super::model::{Candidate, Demand, Judgement, Linear, Span, Test, VariableId};
use super::rules::{HEAD_ROOM, Rule, SPANNER_ROOM};
use super::spans::{SpanSum, away};
use crate::drawing::{Axis, Face, FeatureId, Kind, Reference, Sizes, ThreadId};
use crate::measure::{Length, Toward};
use crate::tables::threads::{Form, Thread};
use crate::tables::{across_flats, spanners};

/// Across the corners of a hexagon, for each millimetre across its flats.
const CORNERS: f64 = 1.154_700_538_379_251_5;

/// Across the flats of heads that no table here has, in diameters of their thread: those of
/// British Association screws ("the spanner jaw size as 1.75 times the major diameter", an
/// encyclopaedia's page), which the others of models are scaled like (common practice).
const FLATS: f64 = 1.75;

/// Across the flats of a head.
fn flats_mm(thread: &Thread) -> f64 {
    let metric = || {
        across_flats::of(thread.listed_as())
            .or_else(|| across_flats::of(&format!("M{}", thread.major.shown(3))))
    };
    let listed = if thread.form() == Form::Metric60 { metric() } else { None };
    listed.map_or(thread.major.as_mm() * FLATS, |row| row.across.as_mm())
}

/// What has room round the middle of a head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Takes {
    /// The head itself, to its corners.
    Head,
    /// The ring or socket that turns it.
    Spanner,
}

impl Takes {
    /// How far it reaches from the middle.
    pub(super) fn mm(self, thread: &Thread) -> f64 {
        match self {
            Self::Head => flats_mm(thread) * CORNERS / 2.0,
            Self::Spanner => spanners::room_mm(flats_mm(thread)),
        }
    }

    /// Before the name of the hole: `room for the head on …`.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Head => "the head on",
            Self::Spanner => "the spanner of the head on",
        }
    }

    /// Why it must have room.
    pub(super) fn rule(self) -> &'static Rule {
        match self {
            Self::Head => &HEAD_ROOM,
            Self::Spanner => &SPANNER_ROOM,
        }
    }
}

/// A hair for distances that geometry rounds.
pub(super) const HAIR_MM: f64 = 1e-6;

/// A head that stands on a hole.
pub(super) struct Standing {
    /// The hole.
    pub(super) hole: FeatureId,
    /// Its screw.
    pub(super) thread: ThreadId,
    at: [Linear; 2],
}

/// Room between the middle of a head and what stands beside it.
struct Beside {
    /// `room for the head on a beside b`.
    name: String,
    /// What stands beside it.
    what: String,
    /// What the room is for.
    of: Takes,
    /// From the middle of the head to what stands there.
    along: [Linear; 2],
    /// What must fit in between: that of the head's own screw first.
    takes: Vec<(ThreadId, Takes)>,
}

impl Demands<'_> {
    /// Heads and spanners that have room on the drawing keep it.
    pub fn head_room(&mut self) {
        for beside in self.beside_heads() {
            self.room(beside);
        }
    }

    /// What is said of screws that only a box spanner turns: beside them the drawing has
    /// room for the head and none for another spanner, and the metric part has none either.
    pub(super) fn box_spanners(&self, sizes: &Sizes) -> Vec<(ThreadId, String)> {
        let made_mm = |beside: &Beside| {
            let at = |sum: &Linear| {
                let size = |&(v, times): &(VariableId, Ratio<i128>)| sizes.lengths[v.0].scaled(times);
                sum.constant + sum.terms.iter().map(size).sum()
            };
            distance_mm(beside.along.each_ref().map(at))
        };
        let only_the_head = |beside: &Beside| {
            let drawn_mm = self.drawn_mm(beside);
            let heads_mm: f64 =
                beside.takes.iter().map(|&(id, _)| Takes::Head.mm(self.drawn_thread(id))).sum();
            let now_mm: f64 = beside.takes.iter().map(|&(id, takes)| takes.mm(sizes.threads[id.0])).sum();
            drawn_mm >= heads_mm - HAIR_MM
                && drawn_mm < self.drawn_takes_mm(beside) - HAIR_MM
                && made_mm(beside) < now_mm - HAIR_MM
        };
        let mut found: Vec<(ThreadId, Vec<String>)> = Vec::new();
        let tight = self.beside_heads().into_iter().filter(|beside| beside.of == Takes::Spanner);
        let tight = tight.filter(only_the_head).map(|beside| (beside.takes[0].0, beside.what));
        for (thread, what) in tight.chain(self.pockets_without_spanner(sizes)) {
            if sizes.threads[thread.0] == self.drawn_thread(thread) {
                continue;
            }
            match found.iter_mut().find(|(known, _)| *known == thread) {
                Some((_, places)) if !places.contains(&what) => places.push(what),
                Some(_) => {}
                None => found.push((thread, vec![what])),
            }
        }
        let said = |(thread, places): (ThreadId, Vec<String>)| {
            let more = match places.len() - 1 {
                0 => String::new(),
                1 => " and in one more place".to_owned(),
                several => format!(" and in {several} more places"),
            };
            let (call, metric) = (&self.job.drawing.threads[thread.0], sizes.threads[thread.0]);
            let said = format!(
                "`{}` ({}) is turned with a box spanner from above: beside {}{more} no other has room, and it \
                 had none on the drawing",
                call.name, metric.designation, places[0]
            );
            (thread, said)
        };
        found.into_iter().map(said).collect()
    }

    /// All that stands beside heads and is a sum of sizes.
    fn beside_heads(&self) -> Vec<Beside> {
        let heads = self.heads_standing();
        let mut all = Vec::new();
        for (at, head) in heads.iter().enumerate() {
            for other in &heads[at + 1..] {
                self.beside_each_other(head, other, &mut all);
            }
            for (what, away, rises) in self.beside_head(head) {
                for of in [Takes::Head, Takes::Spanner] {
                    if of == Takes::Spanner && !rises {
                        continue;
                    }
                    all.push(Beside {
                        name: format!("room for {} {} beside {what}", of.words(), self.name(head.hole)),
                        what: what.clone(),
                        of,
                        along: [away.clone(), Linear::default()],
                        takes: vec![(head.thread, of)],
                    });
                }
            }
        }
        all
    }

    /// Holes of the front and the back that screws pass, with nothing for the head to sink in.
    pub(super) fn heads_standing(&self) -> Vec<Standing> {
        let sunk = |hole: FeatureId| {
            self.job.part.features().any(|(_, feature)| match feature.kind {
                Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => {
                    over == hole
                        || self.job.feature(over).kind.pattern().is_some_and(|all| all.contains(&hole))
                }
                _ => false,
            })
        };
        let found = self.job.part.features().filter_map(|(hole, feature)| {
            let Kind::Hole { clears: Some(thread), .. } = feature.kind else { return None };
            let plan = matches!(feature.face, Face::Front | Face::Back);
            let at =
                [Axis::X, Axis::Y].map(|axis| self.job.solved.place(hole, axis).map(|sum| self.sum(sum)));
            let [Some(x), Some(y)] = at else { return None };
            // A metric screw keeps its own head.
            let changes = self.threads[thread.0]
                .ways
                .iter()
                .any(|way| way.thread.major != self.drawn_thread(thread).major);
            (plan && changes && !sunk(hole)).then_some(Standing { hole, thread, at: [x, y] })
        });
        found.collect()
    }

    pub(super) fn drawn_thread(&self, id: ThreadId) -> &'static Thread {
        self.job.drawing.threads[id.0].thread
    }

    /// Two heads, and the spanner of either beside the other's corners.
    fn beside_each_other(&self, one: &Standing, other: &Standing, all: &mut Vec<Beside>) {
        let along = [0, 1].map(|axis| one.at[axis].clone().less(&other.at[axis]));
        let [first, second] = [one, other].map(|head| self.name(head.hole));
        all.push(Beside {
            name: format!("room between the heads on {first} and {second}"),
            what: format!("the head on {second}"),
            of: Takes::Head,
            along: along.clone(),
            takes: vec![(one.thread, Takes::Head), (other.thread, Takes::Head)],
        });
        // Of like screws one speaks for both.
        let like = one.thread == other.thread;
        for (turned, beside) in [(one, other), (other, one)].into_iter().take(if like { 1 } else { 2 }) {
            let (of, what) = (Takes::Spanner, format!("the head on {}", self.name(beside.hole)));
            all.push(Beside {
                name: format!("room for {} {} beside {what}", of.words(), self.name(turned.hole)),
                what,
                of,
                along: along.clone(),
                takes: vec![(turned.thread, of), (beside.thread, Takes::Head)],
            });
        }
    }

    /// The edges of a rectangle and the shoulders beside a head, each with how far it is
    /// and whether it rises from where the head stands.
    fn beside_head(&self, head: &Standing) -> Vec<(String, Linear, bool)> {
        let edges = [
            (Reference::LeftEdge, Axis::X, "the left edge"),
            (Reference::RightEdge, Axis::X, "the right edge"),
            (Reference::BottomEdge, Axis::Y, "the bottom edge"),
            (Reference::TopEdge, Axis::Y, "the top edge"),
        ];
        let of_edge = |&(edge, axis, what): &(Reference, Axis, &str)| {
            let line = self.sum(self.job.solved.edge(edge)?);
            Some((what.to_owned(), head.at[axis as usize].clone().less(&line), false))
        };
        let mut beside: Vec<(String, Linear, bool)> = edges.iter().filter_map(of_edge).collect();
        beside.extend(self.job.part.features().filter_map(|(step, feature)| {
            let Kind::Step { side, .. } = feature.kind else { return None };
            let axis = side.axis();
            let plan = matches!(feature.face, Face::Front | Face::Back) && axis != Axis::Z;
            let line = self.sum(self.job.solved.place(step, axis).filter(|_| plan)?);
            let rises = self.job.part.beyond(step, head.hole);
            Some((feature.name.clone(), head.at[axis as usize].clone().less(&line), rises))
        }));
        beside
    }

    /// How far off it is on the drawing, and how much of that is taken there.
    fn drawn_mm(&self, beside: &Beside) -> f64 {
        distance_mm(beside.along.each_ref().map(|sum| self.as_drawn(sum)))
    }

    fn drawn_takes_mm(&self, beside: &Beside) -> f64 {
        beside.takes.iter().map(|&(id, takes)| takes.mm(self.drawn_thread(id))).sum()
    }

    /// Demands that heads and spanners stay clear, where those of the drawing do.
    fn room(&mut self, beside: Beside) {
        if self.drawn_mm(&beside) < self.drawn_takes_mm(&beside) - HAIR_MM {
            return;
        }
        let Beside { name, of, along, takes, .. } = beside;
        let along = along.map(|sum| super::demands::simple(&sum));
        let mut on: Vec<VariableId> = takes.iter().map(|&(id, _)| self.major(id)).collect();
        on.extend(along.iter().flat_map(|sum| sum.terms.iter().map(|term| term.0)));
        on.sort_unstable();
        on.dedup();
        let heads: Vec<(usize, Vec<(Length, f64)>)> = takes
            .iter()
            .map(|&(id, takes)| {
                let major = self.major(id);
                let place = on.iter().position(|&v| v == major).expect("it was put in above");
                let ways = &self.threads[id.0].ways;
                (place, ways.iter().map(|way| (way.thread.major, takes.mm(way.thread))).collect())
            })
            .collect();
        let sums = along.each_ref().map(|sum| SpanSum::of(sum, &on));
        // How far off it is and how much is taken, each at least and at most.
        let measured = move |spans: &[Span]| {
            let [(near_x, far_x), (near_y, far_y)] = sums.each_ref().map(|sum| away(sum.span_mm(spans)));
            let (mut least_mm, mut most_mm) = (0.0, 0.0);
            for (place, heads) in &heads {
                let open = heads
                    .iter()
                    .filter(|(major, _)| *major >= spans[*place].least && *major <= spans[*place].most);
                let [least, most] =
                    open.fold([f64::MAX, 0.0], |[least, most], &(_, mm)| [mm.min(least), mm.max(most)]);
                least_mm += least;
                most_mm += most;
            }
            ([near_x.hypot(near_y), far_x.hypot(far_y)], [least_mm, most_mm])
        };
        let measured = Arc::new(measured);
        let gauge = Gauge {
            on: on.clone(),
            read: Arc::new({
                let measured = Arc::clone(&measured);
                move |sizes| {
                    let settled = |size: &&Candidate| Span { least: size.value, most: size.value };
                    let ([is_mm, _], [least_mm, _]) =
                        measured(&sizes.iter().map(settled).collect::<Vec<_>>());
                    // No way open means nothing to tell.
                    let least = (least_mm < f64::MAX).then(|| Length::nearest(least_mm))?;
                    let least = least.rounded(Length::microns(1), Toward::More).value;
                    Some(Reading { what: "", is: Length::nearest(is_mm), least: Some(least), most: None })
                }
            }),
        };
        let judge = move |spans: &[Span]| {
            let ([near_mm, far_mm], [least_mm, most_mm]) = measured(spans);
            if near_mm >= most_mm - HAIR_MM {
                Judgement::Holds
            } else if far_mm < least_mm - HAIR_MM {
                Judgement::Breaks
            } else {
                Judgement::Unsure
            }
        };
        let spans: Vec<Span> = on.iter().map(|variable| self.spans[variable.0]).collect();
        if judge(&spans) == Judgement::Holds {
            return;
        }
        let because = format!("the {name}: {}", of.rule().because);
        let id = self.model.demand(name, because, Demand::Test(Test { on, judge: Arc::new(judge) }));
        self.model.measure(id, gauge);
    }
}

fn distance_mm(along: [Length; 2]) -> f64 {
    let [x, y] = along;
    x.as_mm().hypot(y.as_mm())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::threads::find;

    /// Nuts as they are sold: M3 6.35, M6 11.55, M10 18.48 across corners at most; 2 BA is
    /// 0.324 in across its flats, 4 BA 0.248, 0 BA 0.413 (spanners from memory).
    #[test]
    fn corners_are_those_of_heads_as_sold() {
        for (name, flats_mm) in [
            ("M3", 5.5),
            ("M6", 10.0),
            ("M10", 16.0),
            ("2 BA", 0.324 * 25.4),
            ("4 BA", 0.248 * 25.4),
            ("0 BA", 0.413 * 25.4),
        ] {
            let found = Takes::Head.mm(find(name).unwrap());
            assert!((found - flats_mm / 3.0_f64.sqrt()).abs() < 0.01, "{name}: {found}");
        }
        assert_eq!(Takes::Head.mm(find("M8x1").unwrap()), Takes::Head.mm(find("M8").unwrap()));
    }
}
