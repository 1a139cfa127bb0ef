//! The sizes of a feature itself: dimensions, and words on a leader.

use std::f64::consts::{FRAC_PI_2, PI};

use super::super::notes::note;
use super::super::solid::{Form, Spot, raised};
use super::placing::straight;
use super::{Sizes, Words};
use crate::drawing::{Axis, DimensionId, Face, FeatureId, Kind};
use crate::geometry::Point;
use crate::measure::Length;
use crate::plan::sheet::Said;

impl Sizes<'_, '_> {
    /// The sizes of a feature itself.
    pub(super) fn feature(&mut self, id: FeatureId) {
        let part = self.shaped.part.clone();
        let feature = part.feature(id);
        let spot = self.spot(id);
        match &feature.kind {
            Kind::Boss { radius } => self.rounding(Some(id), *radius, part.boss(id).map(|boss| boss.centre)),
            Kind::Corner { radius: Some(radius) } => {
                let at = part.xy(id).map(|(x, y)| Point::at(x, y));
                self.rounding(Some(id), *radius, at);
            }
            Kind::Step { leaves, side } => self.step(id, *leaves, *side),
            Kind::Slot { centres: Some(centres), along, open, .. } if open.is_empty() => {
                self.slanting(id, *centres, self.shaped.mm(*centres), along.as_rad());
            }
            Kind::Pocket { width, height, along, .. } => {
                self.slanting(id, *width, self.shaped.mm(*width), along.as_rad());
                self.slanting(id, *height, self.shaped.mm(*height), along.as_rad() + FRAC_PI_2);
            }
            Kind::Row { spacing, holes, .. } => {
                if let [first, second, ..] = holes.as_slice() {
                    let ends = [self.spot(*first), self.spot(*second)];
                    self.between(id, *spacing, feature.face.axis(), ends);
                }
            }
            Kind::PitchCircle { first, holes, .. } => {
                let axis = feature.face.axis();
                let turned = first.within_turn().as_degrees();
                if let (Some(looking), Some(hole)) = (self.along(axis), holes.first())
                    && (turned / 90.0).fract().abs() > 1e-9
                {
                    let ends = [spot, self.spot(*hole)].map(|spot| self.sees(looking, spot));
                    self.angle(looking, id, ends[0], ends[0].direction_rad(ends[1]), *first);
                }
            }
            Kind::Section { length, throw, .. } => {
                let (Some(from), Some(to)) = (part.along(id), part.section_end(id)) else { return };
                if let Some(length) = length {
                    let radius = self.shaped.most[1];
                    let ends = [from, to].map(|x| [x.as_mm(), -radius, 0.0]);
                    self.span(Some(id), Axis::X, &[Axis::Z], *length, Words::Plain, ends);
                }
                if let (Some(throw), Some(looking)) = (throw, self.along(Axis::X)) {
                    let (y, z) = part.section_axis(id);
                    let ends = [[0.0; 3], [0.0, y.as_mm(), z.as_mm()]].map(|spot| self.sees(looking, spot));
                    let (text, figure) =
                        (self.letters.dimension(throw.offset), self.letters.name(throw.offset));
                    let shape = straight(ends[0], ends[1]);
                    self.say(looking, Some(id), figure, text, shape);
                }
            }
            Kind::Groove { width, .. } | Kind::Flats { length: width, .. } => {
                let Some(from) = part.along(id).map(Length::as_mm) else { return };
                let radius = self.shaped.most[1];
                let ends = [from, from + self.shaped.mm(*width)].map(|x| [x, radius, 0.0]);
                self.span(Some(id), Axis::X, &[Axis::Z], *width, Words::Plain, ends);
            }
            _ => {}
        }
        self.note(id);
    }

    /// What stands on a leader to a feature.
    fn note(&mut self, id: FeatureId) {
        let Some((text, figure)) = note(self.letters, id) else { return };
        let axis = self.home(id);
        let kind = &self.shaped.part.feature(id).kind;
        let round = self.shaped.rounds.iter().find(|round| round.of == id).cloned();
        if let (Some(round), Some(looking)) = (&round, self.along(axis))
            && round.axis == axis
        {
            let centre = self.sees(looking, raised(round.centre, axis, round.ends_mm[0]));
            let radius_mm = round.thread.map_or(round.radius_mm, |(thread, _)| thread.max(round.radius_mm));
            return self.say(looking, Some(id), figure, text, Said::Rim { centre, radius_mm });
        }
        let Some(looking) = self.along(axis).or(self.along(Axis::Z)) else { return };
        let at = match (kind, round) {
            (Kind::PitchCircle { diameter, .. }, _) => {
                let Some(centre) = self.shaped.centre(id) else { return };
                let centre = self.sees(looking, raised(centre, axis, 0.0));
                centre.polar(self.shaped.mm(*diameter) / 2.0, self.between_holes(id))
            }
            (Kind::Slot { width, along, .. }, _) => {
                let Some(centre) = self.shaped.centre(id) else { return };
                let out = self.shaped.mm(*width) / 2.0;
                self.sees(looking, raised(centre.polar(out, along.as_rad() + FRAC_PI_2), axis, 0.0))
            }
            (Kind::Slit { into, toward, .. }, _) => {
                let mut spot = self.spot(*into);
                let k = toward.axis() as usize;
                let edge = if matches!(toward, Face::Right | Face::Top | Face::Front) {
                    self.shaped.most[k]
                } else {
                    self.shaped.least[k]
                };
                spot[k] = spot[k] * 0.3 + edge * 0.7;
                self.sees(looking, spot)
            }
            (Kind::Knurl { over, .. }, _) => {
                let (Some(from), Some(to)) =
                    (self.shaped.part.along(*over), self.shaped.part.section_end(*over))
                else {
                    return;
                };
                let radius = self.shaped.part.cut_diameter(*over).unwrap_or_default().half().as_mm();
                self.sees(looking, [from.as_mm() * 0.4 + to.as_mm() * 0.6, radius * 0.8, 0.0])
            }
            // The first flat is at the top.
            (Kind::Flats { across, count, length }, _) => {
                let Some(from) = self.shaped.part.along(id).map(Length::as_mm) else { return };
                let middle = from + self.shaped.mm(*length) / 2.0;
                let Some(radius) = super::super::round::radius_at(self.shaped, middle) else { return };
                let across = self.shaped.mm(*across);
                let off = if *count == 1 { across - radius } else { across / 2.0 };
                self.sees(looking, [middle, off, 0.0])
            }
            // Seen from beside: at the edge, half-way along.
            (_, Some(round)) => {
                let along = (round.ends_mm[0] + round.ends_mm[1]) / 2.0;
                let mut spot = raised(round.centre, round.axis, along);
                if round.axis == Axis::X {
                    // The edge of a section, be it a cone or beside the axis of the part.
                    let edge = super::super::round::radius_at(self.shaped, along);
                    spot[1] = edge.filter(|_| self.is_section(id)).unwrap_or(spot[1] + round.radius_mm);
                }
                self.sees(looking, spot)
            }
            _ => match self.pointed(id) {
                Some(spot) => self.sees(looking, spot),
                None => return,
            },
        };
        self.say(looking, Some(id), figure, text, Said::Note { at });
    }

    fn is_section(&self, id: FeatureId) -> bool {
        matches!(self.shaped.part.feature(id).kind, Kind::Section { .. })
    }

    /// Half-way between the first two holes of a pitch circle.
    fn between_holes(&self, id: FeatureId) -> f64 {
        let Kind::PitchCircle { first, holes, .. } = &self.shaped.part.feature(id).kind else { return 0.0 };
        let between = first.as_rad() + PI / holes.len().max(1) as f64;
        if self.mirrored { PI - between } else { between }
    }

    /// A place on what a feature cuts away: the middle of a side of its shape.
    fn pointed(&self, id: FeatureId) -> Option<Spot> {
        let piece = self.shaped.solid.pieces().find(|piece| piece.of == Some(id))?;
        let height = (piece.from_mm.max(self.shaped.least[piece.axis as usize])
            + piece.to_mm.min(self.shaped.most[piece.axis as usize]))
            / 2.0;
        match &piece.form {
            Form::Prism(region) => {
                let side = region.pieces.first()?;
                Some(raised(side.along(0.5), piece.axis, height))
            }
            Form::Cone { centre, .. } => {
                let radius = piece.radius_at(height)?;
                Some(raised(centre.polar(radius, 0.0), piece.axis, height))
            }
        }
    }

    /// What a step leaves, at the edge it is cut from.
    fn step(&mut self, id: FeatureId, leaves: DimensionId, side: Face) {
        let face = self.shaped.part.feature(id).face;
        let (axis, out) = (face.axis(), matches!(face, Face::Front | Face::Right | Face::Top));
        if self.shaped.part.at(id, side.axis()).is_none() || side.axis() == axis {
            return;
        }
        let mut from = self.middle();
        let s = side.axis() as usize;
        from[s] = if matches!(side, Face::Front | Face::Right | Face::Top) {
            self.shaped.most[s]
        } else {
            self.shaped.least[s]
        };
        let k = axis as usize;
        let mut to = from;
        let left = self.shaped.mm(leaves);
        (from[k], to[k]) = if out {
            (self.shaped.least[k], self.shaped.least[k] + left)
        } else {
            (self.shaped.most[k], self.shaped.most[k] - left)
        };
        self.span(Some(id), axis, &[self.home(id)], leaves, Words::Plain, [from, to]);
    }

    /// A length of a shape about its middle, in its own direction.
    fn slanting(&mut self, id: FeatureId, size: DimensionId, long_mm: f64, along_rad: f64) {
        let axis = self.shaped.part.feature(id).face.axis();
        let Some(centre) = self.shaped.centre(id) else { return };
        let ends = [PI, 0.0].map(|turn| {
            raised(centre.polar(long_mm / 2.0, along_rad + turn), axis, self.middle()[axis as usize])
        });
        self.between(id, size, axis, ends);
    }

    /// A distance between two spots of a plane: level or upright where it lies so.
    fn between(&mut self, id: FeatureId, size: DimensionId, axis: Axis, ends: [Spot; 2]) {
        let Some(looking) = self.along(axis) else { return };
        let [from, to] = ends.map(|spot| self.sees(looking, spot));
        let shape = straight(from, to);
        let (text, figure) = (self.letters.dimension(size), self.letters.name(size));
        self.say(looking, Some(id), figure, text, shape);
    }
}
