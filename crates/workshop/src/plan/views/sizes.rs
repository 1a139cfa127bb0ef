//! The dimensions of the views after ISO 129-1: each once, in the view that shows
//! it best, in the chains in which the drawing gives them.

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::notes::note;
use super::shape::Shaped;
use super::sight::Eye;
use super::signs::mirror;
use super::solid::{Spot, raised};
use super::{Letters, angle_words};
use crate::drawing::{Around, Axis, Body, DimensionId, Face, FeatureId, Kind, Reference, Says, Statement};
use crate::geometry::{Point, Segment};
use crate::measure::{Angle, Length};
use crate::plan::sheet::{Looking, Said, Saying};

/// What is said on each view.
pub(super) fn sizes(
    shaped: &Shaped,
    letters: &Letters,
    shown: &[Looking],
    mirrored: bool,
) -> BTreeMap<Looking, Vec<Saying>> {
    let mut sizes = Sizes { shaped, letters, shown, mirrored, said: BTreeMap::new() };
    sizes.body();
    let part = &shaped.part;
    for (id, _) in part.features() {
        sizes.placing(id);
        sizes.feature(id);
    }
    sizes.said
}

struct Sizes<'s, 'p> {
    /// The part as drawn.
    shaped: &'s Shaped<'p>,
    letters: &'s Letters<'s, 'p>,
    shown: &'s [Looking],
    mirrored: bool,
    said: BTreeMap<Looking, Vec<Saying>>,
}

impl Sizes<'_, '_> {
    /// The view that looks along an axis.
    fn along(&self, axis: Axis) -> Option<Looking> {
        self.shown.iter().copied().find(|&looking| Eye::of(looking).toward.0 == axis)
    }

    /// The first of some views that there is and that shows an axis in its plane.
    fn showing(&self, axis: Axis, wanted: &[Axis]) -> Option<Looking> {
        let mut views = wanted.iter().filter_map(|&toward| self.along(toward)).collect::<Vec<_>>();
        views.extend(self.shown);
        views.into_iter().find(|&looking| Eye::of(looking).toward.0 != axis)
    }

    fn sees(&self, looking: Looking, spot: Spot) -> Point {
        Eye::of(looking).sees(mirror(spot, self.mirrored))
    }

    fn say(
        &mut self,
        looking: Looking,
        of: Option<FeatureId>,
        figure: Option<String>,
        text: String,
        shape: Said,
    ) {
        let of = of.map(|id| self.shaped.part.feature(id).name.clone());
        self.said.entry(looking).or_default().push(Saying { of, figure, text, shape });
    }

    /// A dimension between two spots, measured along an axis.
    fn span(
        &mut self,
        of: Option<FeatureId>,
        axis: Axis,
        wanted: &[Axis],
        id: DimensionId,
        words: Words,
        ends: [Spot; 2],
    ) {
        let Some(looking) = self.showing(axis, wanted) else { return };
        let [from, to] = ends.map(|spot| self.sees(looking, spot));
        let shape =
            if Eye::of(looking).right.0 == axis { Said::Across { from, to } } else { Said::Up { from, to } };
        let text = words.round(&self.letters.dimension(id));
        self.say(looking, of, self.letters.name(id), text, shape);
    }

    /// The middle of the body.
    fn middle(&self) -> Spot {
        [0, 1, 2].map(|k| (self.shaped.least[k] + self.shaped.most[k]) / 2.0)
    }

    /// Where a feature is; half-way across the body on an axis on which it has no place.
    fn spot(&self, id: FeatureId) -> Spot {
        let middle = self.middle();
        [Axis::X, Axis::Y, Axis::Z]
            .map(|axis| self.shaped.part.at(id, axis).map_or(middle[axis as usize], Length::as_mm))
    }

    /// The view from which a feature shows its shape: along the axis of its face, or
    /// of a step, along its shoulder.
    fn home(&self, id: FeatureId) -> Axis {
        let feature = self.shaped.part.feature(id);
        match feature.kind {
            Kind::Step { side, .. } => {
                let axes = [feature.face.axis(), side.axis()];
                [Axis::Z, Axis::Y, Axis::X].into_iter().find(|axis| !axes.contains(axis)).unwrap_or(Axis::Z)
            }
            Kind::Section { .. } | Kind::Groove { .. } | Kind::Flats { .. } | Kind::Knurl { .. } => Axis::Z,
            Kind::Slit { into, .. } => self.shaped.part.feature(into).face.axis(),
            Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => {
                self.shaped.part.feature(over).face.axis()
            }
            _ => feature.face.axis(),
        }
    }

    /// Where a dimension begins that is counted from a reference along an axis.
    fn reference(&self, from: Reference, axis: Axis, beside: Spot) -> Option<Spot> {
        let k = axis as usize;
        let at = |mm: f64| {
            let mut spot = beside;
            spot[k] = mm;
            spot
        };
        Some(match from {
            Reference::Feature(id) => {
                let there = self.shaped.part.at(id, axis)?.as_mm();
                let mut spot = self.spot(id);
                spot[k] = there;
                spot
            }
            Reference::LeftEdge | Reference::BottomEdge | Reference::BackFace => at(self.shaped.least[k]),
            Reference::RightEdge | Reference::TopEdge | Reference::FrontFace => at(self.shaped.most[k]),
            Reference::Datum => at(0.0),
        })
    }

    /// The dimensions that place a feature.
    fn placing(&mut self, id: FeatureId) {
        let part = self.shaped.part.clone();
        for statement in &part.feature(id).placing {
            let words = if self.is_check(id, statement) { Words::Reference } else { Words::Plain };
            match &statement.says {
                Says::Along { axis, dimension, from, .. } => {
                    let here = self.spot(id);
                    let (Some(_), Some(from)) = (part.at(id, *axis), self.reference(*from, *axis, here))
                    else {
                        continue;
                    };
                    // A step's shoulder is seen at the edge of its profile.
                    let wanted = [self.home(id), Axis::Z];
                    self.span(Some(id), *axis, &wanted, *dimension, words, [from, here]);
                }
                Says::Polar { dimension, from, angle } => self.polar(id, *dimension, *from, *angle, words),
                _ => {}
            }
        }
    }

    /// A distance at an angle: along its own line, with the angle from the level.
    fn polar(&mut self, id: FeatureId, dimension: DimensionId, from: Reference, angle: Angle, words: Words) {
        let face_axis = self.shaped.part.feature(id).face.axis();
        let [across, up] = super::solid::plane(face_axis);
        let here = self.spot(id);
        let from = match from {
            Reference::Feature(other) => self.spot(other),
            _ => [0.0; 3],
        };
        let quarters = angle.as_degrees() / 90.0;
        if (quarters - quarters.round()).abs() < 1e-9 {
            let axis = if quarters.round().rem_euclid(2.0) == 0.0 { across } else { up };
            return self.span(Some(id), axis, &[face_axis], dimension, words, [from, here]);
        }
        let Some(looking) = self.along(face_axis) else { return };
        let ends = [from, here].map(|spot| self.sees(looking, spot));
        let text = words.round(&self.letters.dimension(dimension));
        let figure = self.letters.name(dimension);
        self.say(looking, Some(id), figure, text, Said::Along { from: ends[0], to: ends[1] });
        self.angle(looking, id, ends[0], ends[0].direction_rad(ends[1]), angle);
    }

    /// An angle counted from the level line through a place, on the nearer side.
    fn angle(&mut self, looking: Looking, id: FeatureId, apex: Point, toward_rad: f64, angle: Angle) {
        let turned = toward_rad.rem_euclid(TAU);
        // From whichever end of the level line, and whichever way, the lesser angle lies.
        let (from_rad, to_rad) = match turned {
            t if t <= FRAC_PI_2 => (0.0, t),
            t if t <= PI => (t, PI),
            t if t <= PI + FRAC_PI_2 => (PI, t),
            t => (t, TAU),
        };
        let said = Angle::nearest_rad(to_rad - from_rad);
        let text = if (said.as_degrees() - angle.within_turn().as_degrees()).abs() < 1e-6 {
            angle_words(angle.within_turn())
        } else {
            angle_words(said)
        };
        self.say(looking, Some(id), None, text, Said::Angle { apex, from_rad, to_rad });
    }

    /// True when a statement only says again what others say.
    fn is_check(&self, id: FeatureId, statement: &Statement) -> bool {
        let said = format!("{}: {}", self.shaped.part.feature(id).name, statement.text);
        self.shaped.part.solved.checks.iter().any(|check| check.statements.last() == Some(&said))
    }

    fn body(&mut self) {
        let part = self.shaped.part.clone();
        let (least, most) = (self.shaped.least, self.shaped.most);
        if most[2] - least[2] <= 0.0 {
            return;
        }
        let from_left = |k: usize| {
            let mut to = least;
            to[k] = most[k];
            [least, to]
        };
        let steps_seen_from_above =
            part.features().any(|(id, f)| matches!(f.kind, Kind::Step { .. }) && self.home(id) == Axis::Y);
        // Beside the steps, whose shoulders stand in the same view.
        let edge_on = if steps_seen_from_above { Axis::Y } else { Axis::X };
        let thick = |sizes: &mut Self, id: DimensionId| {
            sizes.span(None, Axis::Z, &[edge_on], id, Words::Plain, from_left(2));
        };
        match &part.drawing.body {
            Body::Rectangle { width, height, thickness, .. } => {
                self.span(None, Axis::X, &[Axis::Z], *width, Words::Plain, from_left(0));
                self.span(None, Axis::Y, &[Axis::Z], *height, Words::Plain, from_left(1));
                thick(self, *thickness);
            }
            Body::Disc { diameter, thickness } => {
                let middle = self.middle();
                let ends = [least[1], most[1]].map(|y| [middle[0], y, middle[2]]);
                self.span(None, Axis::Y, &[Axis::X], *diameter, Words::Diameter, ends);
                thick(self, *thickness);
            }
            Body::Bosses { thickness, .. } => thick(self, *thickness),
            Body::Outline { around, thickness } => {
                thick(self, *thickness);
                for item in around {
                    if let Around::Arc { radius, .. } = item {
                        self.rounding(None, *radius, None);
                    }
                }
            }
            Body::Turned { length, .. } => {
                if let Some(length) = length {
                    let radius = most[1];
                    let ends = [least[0], most[0]].map(|x| [x, -radius, 0.0]);
                    self.span(None, Axis::X, &[Axis::Z], *length, Words::Plain, ends);
                }
            }
        }
    }

    /// The radius of an arc of the outline, near a place where that is known.
    fn rounding(&mut self, of: Option<FeatureId>, radius: DimensionId, near: Option<Point>) {
        let Ok(outline) = self.shaped.part.outline() else { return };
        let wanted = self.shaped.mm(radius);
        let arcs = outline.segments().iter().filter_map(|segment| match segment {
            Segment::Arc(arc) if (arc.radius_mm - wanted).abs() < 1e-6 => Some(*arc),
            _ => None,
        });
        let away = |at: Point| near.map_or(0.0, |near| near.distance_mm(at));
        let Some(arc) = arcs.min_by(|a, b| away(a.centre).total_cmp(&away(b.centre))) else { return };
        let Some(looking) = self.along(Axis::Z) else { return };
        let ends =
            [arc.centre, Segment::Arc(arc).along(0.5)].map(|at| self.sees(looking, raised(at, Axis::Z, 0.0)));
        let text = Words::Radius.round(&self.letters.dimension(radius));
        let figure = self.letters.name(radius);
        self.say(looking, of, figure, text, Said::Radius { centre: ends[0], rim: ends[1] });
    }

    /// The sizes of a feature itself.
    fn feature(&mut self, id: FeatureId) {
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
            Kind::Slot { centres, along, .. } => {
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
                    let level = (ends[0].y_mm - ends[1].y_mm).abs() < 1e-6;
                    let upright = (ends[0].x_mm - ends[1].x_mm).abs() < 1e-6;
                    let [from, to] = ends;
                    let shape = match (level, upright) {
                        (true, _) => Said::Across { from, to },
                        (_, true) => Said::Up { from, to },
                        _ => Said::Along { from, to },
                    };
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
            // Seen from beside: at the edge, half-way along.
            (_, Some(round)) => {
                let along = (round.ends_mm[0] + round.ends_mm[1]) / 2.0;
                let mut spot = raised(round.centre, round.axis, along);
                if round.axis == Axis::X {
                    spot[1] += super::round::radius_at(self.shaped, along)
                        .filter(|_| self.is_section(id))
                        .unwrap_or(round.radius_mm);
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
            super::solid::Form::Prism(region) => {
                let side = region.pieces.first()?;
                Some(raised(side.along(0.5), piece.axis, height))
            }
            super::solid::Form::Cone { centre, .. } => {
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
        let shape = if (from.y_mm - to.y_mm).abs() < 1e-6 {
            Said::Across { from, to }
        } else if (from.x_mm - to.x_mm).abs() < 1e-6 {
            Said::Up { from, to }
        } else {
            Said::Along { from, to }
        };
        let (text, figure) = (self.letters.dimension(size), self.letters.name(size));
        self.say(looking, Some(id), figure, text, shape);
    }
}

/// What stands beside a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Words {
    /// Nothing.
    Plain,
    /// The sign of a diameter.
    Diameter,
    /// The sign of a radius.
    Radius,
    /// Brackets: it follows from others, and is there to check them.
    Reference,
}

impl Words {
    fn round(self, figure: &str) -> String {
        match self {
            Self::Plain => figure.to_owned(),
            Self::Diameter => format!("⌀{figure}"),
            Self::Radius => format!("R{figure}"),
            Self::Reference => format!("({figure})"),
        }
    }
}
