//! Room for hexagon heads inside an outline that is not straight: bosses, corners and arcs of
//! a plate, a disc, and the wall of a pocket in whose floor the head stands. There the spanner
//! must have it too; the outline of a face falls away, and a spanner may overhang it.
//!
//! What the outline leaves a head is measured on the part, late: where sizes are chosen that
//! take from a head the room it has on the drawing, that room is demanded, and all is chosen
//! again.

use super::demands::Demands;
use super::head_room::{HAIR_MM, Standing, Takes};
use super::model::{Demand, Test};
use crate::drawing::{Body, FeatureId, Part, Sizes, ThreadId};
use crate::geometry::{Outline, Point};
use crate::measure::Length;
use crate::tables::threads::Thread;

/// From the middle of a hole to what stands round it: the outline, or the pocket it is in.
struct Room {
    outline: bool,
    mm: f64,
}

impl Room {
    /// What must have room in it.
    const fn takes(&self) -> &'static [Takes] {
        if self.outline { &[Takes::Head] } else { &[Takes::Head, Takes::Spanner] }
    }

    fn has(&self, takes: Takes, thread: &Thread) -> bool {
        self.mm >= takes.mm(thread) - HAIR_MM
    }
}

/// What stands round a head in a pocket.
const POCKET: &str = "the wall of its pocket";

/// What a head has round it; none where no outline says it.
fn rooms(part: &Part, hole: FeatureId) -> Vec<Room> {
    let Some((x, y)) = part.xy(hole) else { return Vec::new() };
    let at = Point::at(x, y);
    let inside = |outline: Outline, is: bool| {
        let mm = if outline.contains(at) { outline.distance_mm(at) } else { 0.0 };
        Room { outline: is, mm }
    };
    // The straight edges of a rectangle are sums.
    let curved = !matches!(part.drawing.body, Body::Rectangle { .. } | Body::Turned { .. });
    let outline = part.outline().ok().filter(|_| curved).map(|outline| inside(outline, true));
    let pocket = part.in_pocket(hole).and_then(|(pocket, _)| part.edge_within(pocket));
    outline.into_iter().chain(pocket.map(|edge| inside(edge, false))).collect()
}

impl Demands<'_> {
    /// Demands the room for heads that the part as it would be made takes; says whether any was.
    pub fn heads_short_of_room(&mut self, made: &Part) -> bool {
        let before = self.model.constraints.len();
        for head in self.heads_standing() {
            let drawn = rooms(&self.job.part, head.hole);
            let rooms = rooms(made, head.hole);
            let pairs = rooms.iter().zip(&drawn).filter(|(now, drawn)| now.outline == drawn.outline);
            for (now, drawn, &takes) in
                pairs.flat_map(|(now, drawn)| now.takes().iter().map(move |takes| (now, drawn, takes)))
            {
                let had = drawn.has(takes, self.drawn_thread(head.thread));
                let has = now.has(takes, made.thread(head.thread));
                let what = if now.outline { "the outside" } else { POCKET };
                let name = format!("room for {} {} inside {what}", takes.words(), self.name(head.hole));
                let known = self.model.constraints.iter().any(|constraint| constraint.name == name);
                if had && !has && !known {
                    let because = format!("the {name}: {}", takes.rule().because);
                    let test = self.roomy(&head, now.outline, takes, &made.sizes);
                    self.model.demand(name, because, Demand::Test(test));
                }
            }
        }
        self.model.constraints.len() > before
    }

    /// The screws in pockets that leave their heads room, and neither as drawn nor as made
    /// the spanner.
    pub(super) fn pockets_without_spanner(&self, sizes: &Sizes) -> Vec<(ThreadId, String)> {
        let made = self.job.part.with_sizes(sizes.clone());
        let tight = |head: &Standing| {
            let drawn = rooms(&self.job.part, head.hole);
            let thread = self.drawn_thread(head.thread);
            let only = |room: &Room| room.has(Takes::Head, thread) && !room.has(Takes::Spanner, thread);
            let still = |room: &Room| !room.has(Takes::Spanner, sizes.threads[head.thread.0]);
            drawn.iter().any(|room| !room.outline && only(room))
                && rooms(&made, head.hole).iter().any(|room| !room.outline && still(room))
        };
        let heads = self.heads_standing().into_iter().filter(tight);
        heads.map(|head| (head.thread, format!("{POCKET} at {}", self.name(head.hole)))).collect()
    }

    /// The room measured on the part, once all that it depends on is settled.
    fn roomy(&self, head: &Standing, outline: bool, takes: Takes, chosen: &Sizes) -> Test {
        let hole = head.hole;
        let room_mm = move |part: &Part| {
            rooms(part, hole)
                .into_iter()
                .find(|room| room.outline == outline)
                .map_or(f64::MAX, |room| room.mm)
        };
        let now_mm = room_mm(&self.job.part.with_sizes(chosen.clone()));
        let felt = |moved: &Sizes| (room_mm(&self.job.part.with_sizes(moved.clone())) - now_mm).abs() > 1e-9;
        // Of threads of one diameter the smallest head is looked at; they have the same.
        let heads: Vec<(Length, f64)> = self.threads[head.thread.0]
            .ways
            .iter()
            .map(|way| (way.thread.major, takes.mm(way.thread)))
            .collect();
        self.as_made(head.thread, chosen, felt, move |part, across| {
            let of = heads.iter().filter(|(major, _)| *major == across);
            let least_mm = of.map(|&(_, mm)| mm).fold(f64::MAX, f64::min);
            least_mm == f64::MAX || room_mm(part) >= least_mm - HAIR_MM
        })
    }
}
