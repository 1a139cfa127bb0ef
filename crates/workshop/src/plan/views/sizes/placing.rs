//! The dimensions that place a feature, as the drawing chains them.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::super::angle_words;
use super::super::solid::plane;
use super::{Sizes, Words};
use crate::drawing::{Axis, DimensionId, FeatureId, Reference, Round, Says, Statement, Target, Through};
use crate::geometry::{Line, Point};
use crate::measure::Angle;
use crate::plan::sheet::{Looking, Said};

impl Sizes<'_, '_> {
    /// The dimensions that place a feature.
    pub(super) fn placing(&mut self, id: FeatureId) {
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
                other => self.slanted(id, other, words),
            }
        }
    }

    /// What is measured neither level nor upright: in the view of the feature's face.
    fn slanted(&mut self, id: FeatureId, says: &Says, words: Words) {
        let Some(looking) = self.along(self.home(id)) else { return };
        let here = self.sees(looking, self.spot(id));
        let along = |sizes: &mut Self, dimension: DimensionId, from: Point, to: Point| {
            let text = words.round(&sizes.letters.dimension(dimension));
            sizes.say(looking, Some(id), sizes.letters.name(dimension), text, straight(from, to));
        };
        match says {
            Says::Distance { dimension, from, round } => {
                let Some(from) = self.seen(looking, *from) else { return };
                match round {
                    Round::Radius => along(self, *dimension, from, here),
                    Round::Diameter => {
                        let text = words.round(&format!("on ⌀{}", self.letters.dimension(*dimension)));
                        let figure = self.letters.name(*dimension);
                        self.say(looking, Some(id), figure, text, Said::Note { at: here });
                    }
                }
            }
            Says::Toward { dimension, from, .. } => {
                if let Some(from) = self.seen(looking, *from) {
                    along(self, *dimension, from, here);
                }
            }
            Says::AtLine { dimension, from, angle, line } => {
                let (Some(from), Some((a, b))) = (self.seen(looking, *from), self.seen_line(looking, *line))
                else {
                    return;
                };
                along(self, *dimension, from, here);
                let (line_rad, here_rad) = (a.direction_rad(b), from.direction_rad(here));
                let turned = (here_rad - line_rad).rem_euclid(TAU);
                let (from_rad, to_rad) = if turned <= PI {
                    (line_rad, line_rad + turned)
                } else {
                    (here_rad, here_rad + TAU - turned)
                };
                let text = angle_words(lesser(*angle));
                self.say(looking, Some(id), None, text, Said::Angle { apex: from, from_rad, to_rad });
            }
            Says::Bearing { from, angle } => {
                if let Some(from) = self.seen(looking, *from) {
                    self.angle(looking, id, from, from.direction_rad(here), *angle);
                }
            }
            Says::OnPitchCircle { of, at: Some(angle) } => {
                let middle = self.sees(looking, self.spot(*of));
                self.angle(looking, id, middle, middle.direction_rad(here), *angle);
            }
            Says::FromLine { dimension, line, .. } => {
                if let Some(foot) = self.foot(looking, *line, here) {
                    along(self, *dimension, foot, here);
                }
            }
            Says::Clear { dimension, of, .. } => {
                let own = self.reach(id);
                let (other, reach) = match of {
                    Target::Line(line) => (self.foot(looking, *line, here), 0.0),
                    Target::Thing(Reference::Feature(other)) => {
                        (self.seen(looking, Reference::Feature(*other)), self.reach(*other))
                    }
                    Target::Thing(edge) => (self.seen_edge(looking, *edge, id), 0.0),
                };
                let Some(other) = other else { return };
                let toward = other.direction_rad(here);
                along(self, *dimension, other.polar(reach, toward), here.polar(-own, toward));
            }
            _ => {}
        }
    }

    /// A feature or the datum as a view shows it; none for an edge.
    fn seen(&self, looking: Looking, reference: Reference) -> Option<Point> {
        match reference {
            Reference::Feature(id) => Some(self.sees(looking, self.spot(id))),
            Reference::Datum => Some(self.sees(looking, [0.0; 3])),
            _ => None,
        }
    }

    /// The place on an edge that lies square across from a feature.
    fn seen_edge(&self, looking: Looking, edge: Reference, id: FeatureId) -> Option<Point> {
        let axis = match edge {
            Reference::LeftEdge | Reference::RightEdge => Axis::X,
            Reference::TopEdge | Reference::BottomEdge => Axis::Y,
            Reference::BackFace | Reference::FrontFace => Axis::Z,
            Reference::Feature(_) | Reference::Datum => return self.seen(looking, edge),
        };
        Some(self.sees(looking, self.reference(edge, axis, self.spot(id))?))
    }

    fn seen_line(&self, looking: Looking, line: Through) -> Option<(Point, Point)> {
        Some((self.seen(looking, line.from)?, self.seen(looking, line.to)?))
    }

    /// The place on a line that lies square across from a point, on the line drawn on.
    fn foot(&self, looking: Looking, line: Through, point: Point) -> Option<Point> {
        let (a, b) = self.seen_line(looking, line)?;
        let way = b - a;
        let long = way.dot(way);
        if long < 1e-12 {
            return None;
        }
        Some(Line::new(a, b).start + way.times((point - a).dot(way) / long))
    }

    /// How far a round feature reaches from its middle.
    fn reach(&self, id: FeatureId) -> f64 {
        let part = &self.shaped.part;
        let boss = part.boss(id).map(|boss| boss.radius_mm);
        boss.or_else(|| part.cut_diameter(id).map(|d| d.half().as_mm())).unwrap_or_default()
    }

    /// A distance at an angle: along its own line, with the angle from the level.
    fn polar(&mut self, id: FeatureId, dimension: DimensionId, from: Reference, angle: Angle, words: Words) {
        let face_axis = self.shaped.part.feature(id).face.axis();
        let [across, up] = plane(face_axis);
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
    pub(super) fn angle(
        &mut self,
        looking: Looking,
        id: FeatureId,
        apex: Point,
        toward_rad: f64,
        angle: Angle,
    ) {
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
}

/// A distance as it lies: level, upright or slanting.
pub(super) fn straight(from: Point, to: Point) -> Said {
    if (from.y_mm - to.y_mm).abs() < 1e-6 {
        Said::Across { from, to }
    } else if (from.x_mm - to.x_mm).abs() < 1e-6 {
        Said::Up { from, to }
    } else {
        Said::Along { from, to }
    }
}

/// The angle between two lines that is less than half a turn.
fn lesser(angle: Angle) -> Angle {
    let turned = angle.within_turn();
    let half = Angle::degrees(180);
    if turned.as_degrees() > half.as_degrees() { Angle::degrees(360) - turned } else { turned }
}
