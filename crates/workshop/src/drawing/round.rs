//! What a hole or slit across a plate meets: the round it stands in, and how much of it.

use super::{Axis, Face, FeatureId, Kind, Part};
use crate::geometry::{Line, Point, Segment, crossings};
use crate::measure::Length;

impl Part<'_> {
    /// Left, right, bottom and top of the round that something across the plate
    /// stands in: of the boss it enters, or of the one its slit opens; the edges of
    /// the part where no boss covers it.
    pub fn round_of(&self, id: FeatureId) -> [Length; 4] {
        let feature = self.feature(id);
        let bosses = self.features().filter_map(|(boss, f)| match f.kind {
            Kind::Boss { radius } => self.xy(boss).map(|(x, y)| (x, y, self.size(radius))),
            _ => None,
        });
        let round = |(x, y, r): (Length, Length, Length)| [x - r, x + r, y - r, y + r];
        if let Kind::Slit { into, .. } = feature.kind {
            let own = bosses.filter(|&(x, y, _)| self.xy(into) == Some((x, y))).map(round).next();
            return own.unwrap_or_else(|| self.edges());
        }
        let face = self.side(feature.face);
        let (across, outward) = match face {
            Face::Top | Face::Bottom => (Axis::X, if face == Face::Top { 1 } else { -1 }),
            _ => (Axis::Y, if face == Face::Right { 1 } else { -1 }),
        };
        let Some(at) = self.at(id, across) else { return self.edges() };
        // How far out the surface of each boss lies in line with the feature.
        let entered = bosses.filter_map(|(x, y, r)| {
            let (beside, out) = if across == Axis::X { (at - x, y) } else { (at - y, x) };
            let (beside_mm, r_mm) = (beside.as_mm(), r.as_mm());
            let height_mm = (r_mm * r_mm - beside_mm * beside_mm).max(0.0).sqrt();
            (beside.abs() <= r).then(|| (out.as_mm() * f64::from(outward) + height_mm, round((x, y, r))))
        });
        let outermost = entered.max_by(|(a, _), (b, _)| a.total_cmp(b));
        outermost.map_or_else(|| self.edges(), |(_, round)| round)
    }

    /// From the outside of the boss to the middle of the bore that a slit opens: how
    /// deep the saw goes.
    pub fn slit_depth(&self, slit: FeatureId) -> Option<Length> {
        let Kind::Slit { into, toward, .. } = self.feature(slit).kind else { return None };
        let (x, y) = self.xy(into)?;
        let [left, right, bottom, top] = self.round_of(slit);
        Some(match self.side(toward) {
            Face::Left => x - left,
            Face::Right => right - x,
            Face::Bottom => y - bottom,
            Face::Top | Face::Front | Face::Back => top - y,
        })
    }

    /// Where the axis of a hole across the plate enters and leaves the outside, along X
    /// or Y, the lesser first. In a round this is less than the round is wide, wherever
    /// the axis misses its middle, and over the floor of a step only what is left. `None`
    /// for a hole from the front or back, or where there is no outline to cross.
    pub fn chord(&self, id: FeatureId) -> Option<(Length, Length)> {
        let outline = self.outline().ok()?;
        let bounds = outline.bounds();
        let (along_y, at_mm) = match self.feature(id).face.axis() {
            Axis::Y => (true, self.at(id, Axis::X)?.as_mm()),
            Axis::X => (false, self.at(id, Axis::Y)?.as_mm()),
            Axis::Z => return None,
        };
        // A hair beyond, so that the outline is crossed and not touched.
        let line = if along_y {
            Line::new(Point::new(at_mm, bounds.least.y_mm - 1.0), Point::new(at_mm, bounds.most.y_mm + 1.0))
        } else {
            Line::new(Point::new(bounds.least.x_mm - 1.0, at_mm), Point::new(bounds.most.x_mm + 1.0, at_mm))
        };
        let across = Segment::Line(line);
        let places = outline.segments().iter().flat_map(|segment| crossings(segment, &across));
        let places: Vec<f64> = places.map(|p| if along_y { p.y_mm } else { p.x_mm }).collect();
        let first = places.iter().copied().fold(f64::INFINITY, f64::min);
        let last = places.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if last <= first {
            return None;
        }
        let (first, last) = self.between_floors(id, Length::nearest(first), Length::nearest(last));
        (last > first).then_some((first, last))
    }
}
