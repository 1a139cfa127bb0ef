//! Room for hexagon heads inside an outline that is not straight: bosses, corners and arcs of
//! a plate, a disc, and the wall of a pocket in whose floor the head stands.
//!
//! What the outline leaves a head is measured on the part, late: where sizes are chosen that
//! take from a head the room it has on the drawing, that room is demanded, and all is chosen
//! again.

use super::demands::Demands;
use super::head_room::{Standing, to_corner_mm};
use super::model::{Demand, Test};
use super::rules::HEAD_ROOM;
use crate::drawing::{Body, FeatureId, Part, Sizes};
use crate::geometry::{Outline, Point};
use crate::measure::Length;

/// A hair for distances that geometry rounds.
const HAIR_MM: f64 = 1e-6;

/// From the middle of a hole to what stands round it: the outline, or the pocket it is in.
struct Room {
    outline: bool,
    mm: f64,
}

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
    /// Demands the room for heads that these sizes take; says whether any was.
    pub fn heads_short_of_room(&mut self, sizes: &Sizes) -> bool {
        let before = self.model.constraints.len();
        let made = self.job.part.with_sizes(sizes.clone());
        for head in self.heads_standing() {
            let drawn = rooms(&self.job.part, head.hole);
            for (now, drawn) in rooms(&made, head.hole).iter().zip(&drawn) {
                let had = drawn.mm >= to_corner_mm(self.drawn_thread(head.thread)) - HAIR_MM;
                let has = now.mm >= to_corner_mm(sizes.threads[head.thread.0]) - HAIR_MM;
                let what = if now.outline { "the outside" } else { "the wall of its pocket" };
                let name = format!("room for the head on {} inside {what}", self.name(head.hole));
                let known = self.model.constraints.iter().any(|constraint| constraint.name == name);
                if had && !has && now.outline == drawn.outline && !known {
                    let because = format!("the {name}: {}", HEAD_ROOM.because);
                    let test = self.roomy(&head, now.outline, sizes);
                    self.model.demand(name, because, Demand::Test(test));
                }
            }
        }
        self.model.constraints.len() > before
    }

    /// The room measured on the part, once all that it depends on is settled.
    fn roomy(&self, head: &Standing, outline: bool, chosen: &Sizes) -> Test {
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
            .map(|way| (way.thread.major, to_corner_mm(way.thread)))
            .collect();
        self.as_made(head.thread, chosen, felt, move |part, across| {
            let of = heads.iter().filter(|(major, _)| *major == across);
            let least_mm = of.map(|&(_, mm)| mm).fold(f64::MAX, f64::min);
            least_mm == f64::MAX || room_mm(part) >= least_mm - HAIR_MM
        })
    }
}
