//! The dimensions of the views after ISO 129-1: each once, in the view that shows
//! it best, in the chains in which the drawing gives them.

mod own;
mod placing;

use std::collections::BTreeMap;

use super::Letters;
use super::shape::Shaped;
use super::sight::Eye;
use super::signs::mirror;
use super::solid::{Spot, raised};
use crate::drawing::{Around, Axis, Body, DimensionId, FeatureId, Kind, Reference};
use crate::geometry::{Point, Segment};
use crate::measure::Length;
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
        // A distance of nothing has nothing to be drawn on.
        if (ends[0][axis as usize] - ends[1][axis as usize]).abs() < 1e-6 {
            return;
        }
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
            .map(|axis| self.shaped.part.placed_at(id, axis).map_or(middle[axis as usize], Length::as_mm))
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
        self.say(
            looking,
            of,
            figure,
            text,
            Said::Radius { centre: ends[0], rim: ends[1], half_rad: arc.sweep_rad.abs() / 2.0 },
        );
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
