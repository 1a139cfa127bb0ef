//! What features take away of a part seen in plan, as sums of its sizes: what walls stand between.

use num_rational::Ratio;

use super::demands::{Demands, add, one};
use super::model::Linear;
use super::reckon::{Cutout, Round};
use super::walls::scaled;
use crate::drawing::{Axis, Body, Depth, Face, FeatureId, Kind, Reference};
use crate::measure::Length;

/// Far outside any part this program is for.
const FAR_MM: i64 = 10_000;

impl Demands<'_> {
    /// The rounds whose band is the outside; none for a rectangle.
    pub(super) fn band(&self) -> Option<Vec<Round>> {
        match &self.job.drawing.body {
            Body::Bosses { around, .. } => around
                .iter()
                .map(|&id| {
                    let Kind::Boss { radius } = self.job.feature(id).kind else { return None };
                    Some(Round { at: self.place(id)?, radius: one(self.size(radius)) })
                })
                .collect(),
            Body::Disc { diameter, .. } => {
                let radius = scaled(&one(self.size(*diameter)), Ratio::new(1, 2));
                Some(vec![Round { at: [Linear::default(), Linear::default()], radius }])
            }
            Body::Outline { .. } | Body::Rectangle { .. } | Body::Turned { .. } => None,
        }
    }

    pub(super) fn place(&self, id: FeatureId) -> Option<[Linear; 2]> {
        let x = self.job.solved.place(id, Axis::X)?;
        let y = self.job.solved.place(id, Axis::Y)?;
        Some([self.sum(x), self.sum(y)])
    }

    /// What a feature cuts away, seen in plan.
    pub(super) fn cutout(&self, id: FeatureId) -> Option<Cutout> {
        let feature = self.job.feature(id);
        let radius = scaled(&self.diameter(id)?, Ratio::new(1, 2));
        let round = |at: [Linear; 2], radius| Some(Cutout { from: at.clone(), to: at, radius });
        match &feature.kind {
            Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => {
                round(self.place(*over)?, radius)
            }
            Kind::Slot { open, .. } if !open.is_empty() => {
                let [mut from, mut to] = [self.place(id)?, self.place(id)?];
                let [first, last] = self.job.part.slot_opens(id);
                for (end, side) in [(&mut from, first), (&mut to, last)] {
                    if let Some(side) = side {
                        end[side.axis() as usize] = self.edge(side)?;
                    }
                }
                Some(Cutout { from, to, radius })
            }
            Kind::Slot { centres: Some(centres), along, .. } => {
                let [x, y] = self.place(id)?;
                let half = scaled(&one(self.size(*centres)), Ratio::new(1, 2));
                let (right, up) = (share(along.as_rad().cos()), share(along.as_rad().sin()));
                let end =
                    |sign: i128| [add(x.clone(), &half, right * sign), add(y.clone(), &half, up * sign)];
                Some(Cutout { from: end(-1), to: end(1), radius })
            }
            Kind::Slit { into, toward, .. } => {
                let from = self.place(*into)?;
                let mut to = from.clone();
                to[toward.axis() as usize] = self.edge(*toward)?;
                Some(Cutout { from, to, radius })
            }
            Kind::Hole { depth, .. } | Kind::Tapped { depth, .. } | Kind::TaperPin { depth, .. } => {
                match feature.face {
                    Face::Front | Face::Back => round(self.place(id)?, radius),
                    face => self.across(id, face, Some(*depth), radius),
                }
            }
            Kind::ClampScrew { .. } => self.across(id, feature.face, None, radius),
            // Walls beside an arc are measured on the part itself.
            Kind::Slot { .. }
            | Kind::CurvedSlot { .. }
            | Kind::Keyway { .. }
            | Kind::Pocket { .. }
            | Kind::Square { .. }
            | Kind::Flatted { .. }
            | Kind::Boss { .. }
            | Kind::Corner { .. }
            | Kind::Step { .. }
            | Kind::PitchCircle { .. }
            | Kind::Row { .. }
            | Kind::Section { .. }
            | Kind::Groove { .. }
            | Kind::Knurl { .. }
            | Kind::Flats { .. }
            | Kind::Chamfer { .. }
            | Kind::Recess { .. } => None,
        }
    }

    /// A hole that enters from an edge.
    fn across(&self, id: FeatureId, face: Face, depth: Option<Depth>, radius: Linear) -> Option<Cutout> {
        let axis = face.axis();
        let other = if axis == Axis::X { Axis::Y } else { Axis::X };
        let beside = self.sum(self.job.solved.place(id, other)?);
        let near = self.edge(face)?;
        let inward = if matches!(face, Face::Right | Face::Top) { -1 } else { 1 };
        let far = match depth {
            Some(Depth::To(deep)) => add(near.clone(), &one(self.size(deep)), Ratio::from_integer(inward)),
            Some(Depth::Through) | None => Linear::fixed(Length::mm(FAR_MM) * inward as i64),
        };
        let end =
            |along: Linear| if axis == Axis::X { [along, beside.clone()] } else { [beside.clone(), along] };
        Some(Cutout { from: end(near), to: end(far), radius })
    }

    /// The outermost place of a side: its edge, or the boss that stands out most.
    pub(super) fn edge(&self, face: Face) -> Option<Linear> {
        let (edge, sign) = match face {
            Face::Left => (Reference::LeftEdge, -1),
            Face::Right => (Reference::RightEdge, 1),
            Face::Bottom => (Reference::BottomEdge, -1),
            Face::Top => (Reference::TopEdge, 1),
            Face::Front | Face::Back => return None,
        };
        if let Some(line) = self.job.solved.edge(edge) {
            return Some(self.sum(line));
        }
        let out = |round: Round| {
            add(round.at[face.axis() as usize].clone(), &round.radius, Ratio::from_integer(sign))
        };
        let outs = self.band()?.into_iter().map(out);
        outs.max_by_key(|sum| self.as_drawn(sum) * sign as i64)
    }
}

/// A cosine to nine places.
fn share(cosine: f64) -> Ratio<i128> {
    const PLACES: f64 = 1e9;
    Ratio::new((cosine * PLACES).round() as i128, PLACES as i128)
}
