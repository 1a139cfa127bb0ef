//! Room for hexagon heads and nuts where a metric screw takes the place of the drawing's.
//!
//! A drawing seldom says what head a screw has. Where the hexagon of the drawing's own
//! series has room beside its neighbour, an edge or a shoulder, the metric one must have
//! it too; where it has none there, the screw has another head, and nothing is asked.

use std::sync::Arc;

use super::demands::Demands;
use super::model::{Demand, Judgement, Linear, Span, Test, VariableId};
use super::rules::HEAD_ROOM;
use super::spans::{SpanSum, away};
use crate::drawing::{Axis, Face, FeatureId, Kind, Reference, ThreadId};
use crate::measure::Length;
use crate::tables::across_flats;
use crate::tables::threads::{Form, Thread};

/// Across the corners of a hexagon, for each millimetre across its flats.
const CORNERS: f64 = 1.154_700_538_379_251_5;

/// Across the flats of heads that no table here has, in diameters of their thread: those of
/// British Association screws ("the spanner jaw size as 1.75 times the major diameter", an
/// encyclopaedia's page), which the others of models are scaled like (common practice).
const FLATS: f64 = 1.75;

/// From the middle of a hexagon head to its corners.
pub(super) fn to_corner_mm(thread: &Thread) -> f64 {
    let metric = || {
        across_flats::of(&thread.designation)
            .or_else(|| across_flats::of(&format!("M{}", thread.major.shown(3))))
    };
    let listed = if thread.form() == Form::Metric60 { metric() } else { None };
    listed.map_or(thread.major.as_mm() * FLATS, |row| row.across.as_mm()) * CORNERS / 2.0
}

/// A head that stands on a hole.
pub(super) struct Standing {
    /// The hole.
    pub(super) hole: FeatureId,
    /// Its screw.
    pub(super) thread: ThreadId,
    at: [Linear; 2],
}

impl Demands<'_> {
    /// Heads that have room on the drawing keep it.
    pub fn head_room(&mut self) {
        let heads = self.heads_standing();
        for (at, head) in heads.iter().enumerate() {
            for other in &heads[at + 1..] {
                self.corner_to_corner(head, other);
            }
            for (what, away) in self.beside_head(head) {
                let along = [away, Linear::default()];
                let name = format!("room for the head on {} beside {what}", self.name(head.hole));
                self.room(name, along, &[head.thread]);
            }
        }
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

    fn corner_to_corner(&mut self, one: &Standing, other: &Standing) {
        let along = [0, 1].map(|axis| one.at[axis].clone().less(&other.at[axis]));
        let name = format!("room between the heads on {} and {}", self.name(one.hole), self.name(other.hole));
        self.room(name, along, &[one.thread, other.thread]);
    }

    /// The edges of a rectangle, and the shoulders that rise beside a head.
    fn beside_head(&self, head: &Standing) -> Vec<(String, Linear)> {
        let edges = [
            (Reference::LeftEdge, Axis::X, "the left edge"),
            (Reference::RightEdge, Axis::X, "the right edge"),
            (Reference::BottomEdge, Axis::Y, "the bottom edge"),
            (Reference::TopEdge, Axis::Y, "the top edge"),
        ];
        let of_edge = |&(edge, axis, what): &(Reference, Axis, &str)| {
            let line = self.sum(self.job.solved.edge(edge)?);
            Some((what.to_owned(), head.at[axis as usize].clone().less(&line)))
        };
        let mut beside: Vec<(String, Linear)> = edges.iter().filter_map(of_edge).collect();
        beside.extend(self.job.part.features().filter_map(|(step, feature)| {
            let Kind::Step { side, .. } = feature.kind else { return None };
            let axis = side.axis();
            let plan = matches!(feature.face, Face::Front | Face::Back) && axis != Axis::Z;
            let line = self.sum(self.job.solved.place(step, axis).filter(|_| plan)?);
            Some((feature.name.clone(), head.at[axis as usize].clone().less(&line)))
        }));
        beside
    }

    /// Demands that heads stay clear, where those of the drawing do.
    fn room(&mut self, name: String, along: [Linear; 2], threads: &[ThreadId]) {
        let [x_mm, y_mm] = [0, 1].map(|axis| self.as_drawn(&along[axis]).as_mm());
        let drawn_mm: f64 = threads.iter().map(|&id| to_corner_mm(self.drawn_thread(id))).sum();
        if x_mm.hypot(y_mm) < drawn_mm {
            return;
        }
        let along = along.map(|sum| super::demands::simple(&sum));
        let mut on: Vec<VariableId> = threads.iter().map(|&id| self.major(id)).collect();
        on.extend(along.iter().flat_map(|sum| sum.terms.iter().map(|term| term.0)));
        on.sort_unstable();
        on.dedup();
        let heads: Vec<(usize, Vec<(Length, f64)>)> = threads
            .iter()
            .map(|&id| {
                let major = self.major(id);
                let place = on.iter().position(|&v| v == major).expect("it was put in above");
                let ways = &self.threads[id.0].ways;
                (place, ways.iter().map(|way| (way.thread.major, to_corner_mm(way.thread))).collect())
            })
            .collect();
        let sums = along.each_ref().map(|sum| SpanSum::of(sum, &on));
        let judge = move |spans: &[Span]| {
            let [(near_x, far_x), (near_y, far_y)] = sums.each_ref().map(|sum| away(sum.span_mm(spans)));
            let (near_mm, far_mm) = (near_x.hypot(near_y), far_x.hypot(far_y));
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
            // A hair for distances that geometry rounds.
            if near_mm >= most_mm - 1e-6 {
                Judgement::Holds
            } else if far_mm < least_mm - 1e-6 {
                Judgement::Breaks
            } else {
                Judgement::Unsure
            }
        };
        let spans: Vec<Span> = on.iter().map(|variable| self.spans[variable.0]).collect();
        if judge(&spans) == Judgement::Holds {
            return;
        }
        let because = format!("the {name}: {}", HEAD_ROOM.because);
        self.model.demand(name, because, Demand::Test(Test { on, judge: Arc::new(judge) }));
    }
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
            let found = to_corner_mm(find(name).unwrap());
            assert!((found - flats_mm / 3.0_f64.sqrt()).abs() < 0.01, "{name}: {found}");
        }
        assert_eq!(to_corner_mm(find("M8x1").unwrap()), to_corner_mm(find("M8").unwrap()));
    }
}
