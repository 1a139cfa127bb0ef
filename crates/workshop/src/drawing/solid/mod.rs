//! The part as a solid: what there is, what is cut, and the metal left between.
//!
//! [`Shaped`] holds the metal before cutting, each feature as the cutter's own
//! solid, and the outside as surfaces. From it come the walls in three dimensions
//! ([`walls_in_space`]), and volume and weight ([`weigh`]). All of it lies as drawn;
//! a mirrored part has the same walls at mirrored places.
//!
//! A thread is as wide as its crests where walls are measured from a tapped hole,
//! and as deep as its roots where they are measured from a screw; its pitch diameter
//! stands for it in the volume, which leaves half of the profile as metal. A drilled
//! blind hole ends in a point of 118°.
//!
//! Begin with [`walls_in_space`].

mod cuts;
mod holes;
mod meeting;
mod milled;
mod outside;
mod symmetry;
mod turned;
mod walls;
mod weight;

pub use cuts::{Cut, Floor};
pub use outside::{Beside, Surface};
pub use symmetry::{Turn, same_in_both_hands};
pub use walls::{
    SpaceWall, Standing, THIN, apart_in_space, broken_between, broken_in_space, meet_by_place, thin_walls,
    walls_in_space, walls_nearer,
};
pub use weight::{Weight, weigh};

use super::{Body as Drawn, FeatureId, Image, Kind, Part};
use crate::geometry::solid::{Body, Convex, Outer, Piece, Spot};

/// The solids of a part, as drawn.
#[derive(Clone, Debug)]
pub struct Shaped {
    /// The metal before cutting, and everything that is cut.
    pub body: Body,
    /// The same without saw cuts: a wall beside one stands above and below it.
    uncut_by_saw: Body,
    /// The same with nothing cut but the floors that others are cut from.
    floors: Body,
    /// What is cut, feature by feature.
    pub cuts: Vec<Cut>,
    /// The outside before cutting.
    pub outside: Vec<Surface>,
    /// Which way its sections are best taken.
    pub outer: Outer,
}

/// How far beyond the metal a cutter runs, in millimetres: any length would do.
const BEYOND_MM: f64 = 5.0;

impl Shaped {
    /// The solids of a part. Features that are not placed, or have no room, are left
    /// out: other checks name them.
    pub fn new(part: &Part) -> Self {
        Self::with(part, |_| true)
    }

    /// The same with these features alone, and the floors that they may count from.
    fn with(part: &Part, wanted: impl Fn(FeatureId) -> bool) -> Self {
        let part = &part.seen(Image::Drawn);
        let turned = matches!(part.drawing.body, Drawn::Turned { .. });
        let (metal, outside) = if turned { turned::bar(part) } else { outside::plate(part) };
        let mut shaped = Self {
            uncut_by_saw: Body { metal: metal.clone(), cuts: Vec::new() },
            floors: Body { metal: metal.clone(), cuts: Vec::new() },
            body: Body { metal, cuts: Vec::new() },
            cuts: Vec::new(),
            outside,
            outer: if turned { Outer::X } else { Outer::Z },
        };
        // Steps and recesses first: a hole's depth counts from them once they are cut.
        let ids: Vec<FeatureId> = part.features().map(|(id, _)| id).collect();
        let (open, closed): (Vec<_>, Vec<_>) =
            ids.into_iter().partition(|&id| cuts::has_floor(&part.feature(id).kind));
        let closed = closed.into_iter().filter(|&id| wanted(id));
        for id in open.into_iter().chain(closed) {
            if let Some(cut) = shaped.cut(part, id) {
                shaped.body.cuts.extend(cut.removed.iter().cloned());
                if !matches!(part.feature(id).kind, Kind::Slit { .. }) {
                    shaped.uncut_by_saw.cuts.extend(cut.removed.iter().cloned());
                }
                if cut.floor != Floor::None {
                    shaped.floors.cuts.extend(cut.removed.iter().cloned());
                }
                shaped.cuts.push(cut);
            }
        }
        shaped.cuts.sort_by_key(|cut| cut.feature);
        shaped
    }

    /// The box around the metal before cutting.
    pub fn bounds(&self) -> [Spot; 2] {
        let join = |pick: fn(f64, f64) -> f64, a: Spot, b: Spot| {
            Spot::new(pick(a.x_mm, b.x_mm), pick(a.y_mm, b.y_mm), pick(a.z_mm, b.z_mm))
        };
        let all = self.body.metal.iter().map(Piece::bounds);
        all.reduce(|[a, b], [c, d]| [join(f64::min, a, c), join(f64::max, b, d)]).unwrap_or_default()
    }

    /// What a feature cuts.
    pub fn of(&self, id: FeatureId) -> Option<&Cut> {
        self.cuts.iter().find(|cut| cut.feature == id)
    }

    /// Where the metal begins and ends along a line, before any hole is cut in it.
    fn metal_along(&self, start: Spot, way: Spot) -> Option<(f64, f64)> {
        let spans = self.floors.metal(start, way);
        Some((spans.first()?.from, spans.last()?.to))
    }
}

/// A solid on its own as what a cutter takes.
fn taken(solids: Vec<Convex>) -> Vec<Piece> {
    solids.into_iter().map(Piece::Convex).collect()
}
