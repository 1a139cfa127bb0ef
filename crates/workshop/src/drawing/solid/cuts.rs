//! What a feature cuts, as solids.

use super::super::{Axis, Depth, Face, FeatureId, Kind, Part};
use super::{Shaped, holes, milled, turned};
use crate::geometry::SAME_POINT_MM;
use crate::geometry::solid::{Convex, Frame, Piece, Spot, Swept};

/// What one feature cuts.
#[derive(Clone, Debug)]
pub struct Cut {
    /// The feature.
    pub feature: FeatureId,
    /// The cut as far as the metal goes: what walls are measured from.
    pub within: Vec<Convex>,
    /// The point that a drill leaves below it.
    pub tip: Option<Convex>,
    /// Its surfaces where it is hollow: a groove, a recess round a hub.
    pub hollow: Vec<Swept>,
    /// All that the cutter passes through, beyond the metal too.
    pub removed: Vec<Piece>,
    /// The ways it opens to the outside.
    pub opens: Vec<Spot>,
    /// A place on its axis and the direction of it, for a hole.
    pub axis: Option<(Spot, Spot)>,
    /// How wide it is, in millimetres, where it is a hole or a slot.
    pub width_mm: Option<f64>,
    /// Whether others are cut from its floor.
    pub floor: Floor,
}

/// Whether the depth of what is cut over it counts from its floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Floor {
    /// It does not.
    None,
    /// The floor of a pocket, closed all round.
    Pocket,
    /// The floor of a step, a recess or a flat, open at the side.
    Open,
}

/// Whether what is cut over it counts from its floor: such come before what is.
pub(super) const fn has_floor(kind: &Kind) -> bool {
    matches!(
        kind,
        Kind::Step { .. }
            | Kind::Recess { .. }
            | Kind::Flats { .. }
            | Kind::Pocket { depth: Depth::To(_), .. }
    )
}

/// The direction out of a face.
pub(super) fn outward(face: Face) -> Spot {
    match face {
        Face::Front => Spot::Z,
        Face::Back => -Spot::Z,
        Face::Left => -Spot::X,
        Face::Right => Spot::X,
        Face::Top => Spot::Y,
        Face::Bottom => -Spot::Y,
    }
}

/// The two directions of a face's plane, in which its angles are counted.
pub(super) fn plane(face: Face) -> [(Axis, Spot); 2] {
    let (x, y, z) = ((Axis::X, Spot::X), (Axis::Y, Spot::Y), (Axis::Z, Spot::Z));
    match face {
        Face::Front | Face::Back => [x, y],
        Face::Left | Face::Right => [y, z],
        Face::Top | Face::Bottom => [x, z],
    }
}

/// Where a feature stands in its face, and how the metal lies below it.
pub(super) struct Stand {
    /// Where its axis enters the metal.
    pub(super) entry: Spot,
    /// The way in.
    pub(super) inward: Spot,
    /// From where the axis enters to where it leaves the metal for good.
    pub(super) through_mm: f64,
    /// The directions of its face.
    pub(super) u: Spot,
    /// The second of them.
    pub(super) v: Spot,
}

impl Stand {
    /// The place of a feature on its face.
    pub(super) fn of(shaped: &Shaped, part: &Part, at: FeatureId, face: Face) -> Option<Self> {
        let [(first, u), (second, v)] = plane(face);
        let place = u.times(part.at(at, first)?.as_mm()) + v.times(part.at(at, second)?.as_mm());
        let inward = -outward(face);
        let (from, to) = shaped.metal_along(place, inward)?;
        Some(Self { entry: place + inward.times(from), inward, through_mm: to - from, u, v })
    }

    /// The frame of a plan turned in the face, its third direction inwards.
    pub(super) fn frame(&self, turned_rad: f64) -> Frame {
        let (sin, cos) = turned_rad.sin_cos();
        let u = self.u.times(cos) + self.v.times(sin);
        let v = self.v.times(cos) - self.u.times(sin);
        Frame { origin: self.entry, u, v, w: self.inward }
    }

    /// A place on the axis, so far below the face.
    pub(super) fn below(&self, mm: f64) -> Spot {
        self.entry + self.inward.times(mm)
    }

    /// The ways something opens that is cut from here.
    pub(super) fn opens(&self, through: bool) -> Vec<Spot> {
        if through { vec![-self.inward, self.inward] } else { vec![-self.inward] }
    }
}

impl Shaped {
    /// What a feature cuts; none where it cuts nothing of its own.
    pub(super) fn cut(&self, part: &Part, id: FeatureId) -> Option<Cut> {
        match &part.feature(id).kind {
            Kind::Hole { .. }
            | Kind::Tapped { .. }
            | Kind::TaperPin { .. }
            | Kind::ClampScrew { .. }
            | Kind::Counterbore { .. }
            | Kind::Countersink { .. } => holes::cut(self, part, id),
            Kind::Slot { .. }
            | Kind::CurvedSlot { .. }
            | Kind::Keyway { .. }
            | Kind::Pocket { .. }
            | Kind::Square { .. }
            | Kind::Flatted { .. }
            | Kind::Slit { .. }
            | Kind::Step { .. } => milled::cut(self, part, id),
            Kind::Groove { .. } | Kind::Flats { .. } | Kind::Recess { .. } => turned::cut(part, id),
            // The holes of a pattern are features of their own; the rest is formed, not cut.
            Kind::PitchCircle { .. }
            | Kind::Row { .. }
            | Kind::Boss { .. }
            | Kind::Corner { .. }
            | Kind::Section { .. }
            | Kind::Chamfer { .. }
            | Kind::Knurl { .. } => None,
        }
    }
}

impl Cut {
    /// A hole: round about one axis.
    pub(super) fn hole(
        feature: FeatureId,
        stand: &Stand,
        within: Vec<Convex>,
        removed: Vec<Convex>,
        width_mm: f64,
        through: bool,
    ) -> Self {
        Self {
            feature,
            within,
            tip: None,
            hollow: Vec::new(),
            removed: super::taken(removed),
            opens: stand.opens(through),
            axis: Some((stand.entry, stand.inward)),
            width_mm: Some(width_mm),
            floor: Floor::None,
        }
    }

    /// True when the middle of another cut, end to end, passes through this one.
    pub fn is_crossed_by(&self, other: &Self) -> bool {
        other.within.iter().any(|solid| {
            let [from, to] = solid.middle();
            // A hole begins just where the floor it is cut from ends.
            let touching = SAME_POINT_MM / (to - from).norm_mm().max(SAME_POINT_MM);
            self.within.iter().any(|own| {
                let span = own.span(from, to - from);
                span.is_some_and(|span| span.from < 1.0 + touching && span.to > -touching)
            })
        })
    }
}
