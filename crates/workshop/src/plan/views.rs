//! The part by itself, drawn: in plan and from the side, as published and metric.

mod edge;
mod edges;
mod enclosed;
mod held;
mod hollow;
mod notes;
mod overlay;
mod profile;
mod projections;
mod region;
mod round;
mod shape;
mod sight;
mod signs;
mod sizes;
mod solid;
mod turned;

pub use overlay::{beneath, laid_over, overlay};
pub use projections::projections;

pub(super) use edge::step_profile;
pub(super) use profile::section_lines;

use std::f64::consts::{FRAC_PI_2, PI};

use super::sheet::{Runs, Scene, SceneDimension, SceneHole, SceneNote, When};
pub use super::sheet::{blank_scene, box_lines, circle_line};
use crate::drawing::{
    Axis, Body, DimensionId, Face, FeatureId, Finish, Kind, Part, Reference, Says, ThreadId,
};
use crate::geometry::wall::Shape;
use crate::geometry::{Point, Segment, slot_edge};
use crate::measure::{Length, Unit};

/// How sizes are written on a view: the words of the sheet, or the metric size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lettering {
    /// As the published sheet writes them.
    AsWritten,
    /// Millimetres as chosen.
    Metric,
    /// As the sheet writes them, with the millimetres beside in square brackets.
    Both,
}

/// Every view of a part: plan and edge of a plate, side of a turned part.
pub fn views(part: &Part, lettering: Lettering) -> Vec<Scene> {
    let letters = Letters { part, lettering };
    match part.drawing.body {
        Body::Turned { .. } => vec![turned::turned(&letters)],
        _ => {
            let mut views = vec![plan_view(&letters)];
            views.push(edge::edge_view(&letters));
            views
        }
    }
}

/// Degrees and minutes, the minutes left out where there are none.
fn angle_words(angle: crate::measure::Angle) -> String {
    let words = angle.degrees_minutes();
    words.strip_suffix(" 00′").map_or(words.clone(), str::to_owned)
}

struct Letters<'a, 'p> {
    part: &'a Part<'p>,
    lettering: Lettering,
}

impl Letters<'_, '_> {
    fn dimension(&self, id: DimensionId) -> String {
        let dimension = &self.part.drawing.dimensions[id.0];
        match self.lettering {
            Lettering::AsWritten => dimension.written.text.clone(),
            Lettering::Metric => self.part.size(id).shown(3),
            Lettering::Both => {
                let (written, mm) = (&dimension.written.text, self.part.size(id).decimals(3));
                if dimension.written.unit == Unit::Mm { written.clone() } else { format!("{written} [{mm}]") }
            }
        }
    }

    fn name(&self, id: DimensionId) -> Option<String> {
        Some(self.part.drawing.dimensions[id.0].name.clone())
    }

    fn thread(&self, id: ThreadId) -> String {
        match self.lettering {
            Lettering::AsWritten | Lettering::Both => self.part.drawing.threads[id.0].text.clone(),
            Lettering::Metric => self.part.thread(id).designation.clone(),
        }
    }

    /// Words for a hole, a tapped hole, a slit: what stands on its leader.
    fn words(&self, id: FeatureId) -> Option<(String, Option<String>)> {
        let finish = |finish: Finish| match finish {
            Finish::Drilled => "drill",
            Finish::Reamed => "ream",
            Finish::Bored => "bore",
        };
        Some(match &self.part.feature(id).kind {
            Kind::Hole { diameter, finish: how, .. } => {
                (format!("⌀ {} {}", self.dimension(*diameter), finish(*how)), self.name(*diameter))
            }
            Kind::Tapped { thread, .. } => (
                format!("tap {}", self.thread(*thread)),
                Some(self.part.drawing.threads[thread.0].name.clone()),
            ),
            Kind::ClampScrew { thread, .. } => (
                format!("{} clamp screw", self.thread(*thread)),
                Some(self.part.drawing.threads[thread.0].name.clone()),
            ),
            Kind::Slit { width, .. } => (format!("slit {}", self.dimension(*width)), self.name(*width)),
            Kind::Slot { width, .. } | Kind::CurvedSlot { width, .. } => {
                (format!("slot {} wide", self.dimension(*width)), self.name(*width))
            }
            Kind::Counterbore { diameter, .. } => {
                (format!("c’bore {}", self.dimension(*diameter)), self.name(*diameter))
            }
            _ => return None,
        })
    }

    fn reference_point(&self, reference: Reference, beside: Point) -> Option<Point> {
        let [left, right, bottom, top] = self.part.edges();
        Some(match reference {
            Reference::Feature(id) => {
                let (x, y) = self.part.xy(id).or_else(|| Some((self.part.at(id, Axis::X)?, Length::ZERO)))?;
                Point::at(x, y)
            }
            Reference::LeftEdge => Point::new(left.as_mm(), beside.y_mm),
            Reference::RightEdge => Point::new(right.as_mm(), beside.y_mm),
            Reference::BottomEdge => Point::new(beside.x_mm, bottom.as_mm()),
            Reference::TopEdge => Point::new(beside.x_mm, top.as_mm()),
            Reference::Datum => Point::ORIGIN,
            Reference::BackFace | Reference::FrontFace => return None,
        })
    }

    /// The dimensions that place a feature in the plan view.
    fn placing(&self, id: FeatureId, scene: &mut Scene) {
        let here = match (self.part.placed_at(id, Axis::X), self.part.placed_at(id, Axis::Y)) {
            (Some(x), Some(y)) => Point::at(x, y),
            (Some(x), None) => Point::at(x, Length::ZERO),
            (None, Some(y)) => Point::at(Length::ZERO, y),
            (None, None) => return,
        };
        for statement in &self.part.feature(id).placing {
            let (from, runs, dimension) = match &statement.says {
                Says::Along { axis: Axis::X, dimension, from, .. } => (*from, Runs::Across, *dimension),
                Says::Along { axis: Axis::Y, dimension, from, .. } => (*from, Runs::Up, *dimension),
                Says::Polar { dimension, from, .. } => (*from, Runs::Along, *dimension),
                _ => continue,
            };
            if let Some(from) = self.reference_point(from, here) {
                scene.dimensions.push(SceneDimension {
                    from,
                    to: here,
                    runs,
                    text: self.dimension(dimension),
                    figure: self.name(dimension),
                });
            }
        }
    }
}

/// A plate seen from the front.
fn plan_view(letters: &Letters) -> Scene {
    let part = letters.part;
    let mut scene = blank_scene("from the front", Point::ORIGIN, "datum of the drawing");
    scene.outline = part.outline().map(|outline| outline.segments().to_vec()).unwrap_or_default();
    let [left, right, bottom, top] = part.edges().map(Length::as_mm);
    let over = 0.06 * (right - left).max(top - bottom);
    scene.centre_lines.push(Segment::line(Point::new(left - over, 0.0), Point::new(right + over, 0.0)));
    for (id, feature) in part.features() {
        letters.placing(id, &mut scene);
        if let Kind::Boss { radius } = feature.kind
            && let Some(boss) = part.boss(id)
        {
            scene.dimensions.push(SceneDimension {
                from: boss.centre,
                // Towards the outside of the part, where the arc is.
                to: boss.centre.polar(boss.radius_mm, outward_rad(part, boss.centre)),
                runs: Runs::Radius,
                text: format!("R {}", letters.dimension(radius)),
                figure: letters.name(radius),
            });
        }
        if let Kind::PitchCircle { diameter, .. } = feature.kind
            && let Some((x, y)) = part.xy(id)
        {
            let centre = Point::at(x, y);
            scene.centre_lines.push(circle_line(centre, part.size(diameter).half().as_mm()));
            scene.notes.push(SceneNote {
                at: centre.polar(part.size(diameter).half().as_mm(), 0.75 * PI),
                text: format!("on {} p.c.d.", letters.dimension(diameter)),
                figure: letters.name(diameter),
            });
        }
        if let Kind::Step { side, .. } = feature.kind {
            scene.outline.extend(shoulder(part, id, part.side(side)));
        }
        cut_lines(part, id, &mut scene);
        let shown_once = !matches!(first_of_pattern(part, id), Some(first) if first != id);
        if shown_once
            && let Some((text, figure)) = letters.words(id)
            && let Some(at) = note_place(part, id)
        {
            let holes = pattern_size(part, id);
            let text = if holes > 1 { format!("{holes} holes {text}") } else { text };
            scene.notes.push(SceneNote { at, text, figure });
        }
    }
    if let Body::Rectangle { width, height, .. } = part.drawing.body {
        let corner = Point::new(left, bottom);
        let mut outside = |to: Point, runs, id| {
            scene.dimensions.push(SceneDimension {
                from: corner,
                to,
                runs,
                text: letters.dimension(id),
                figure: letters.name(id),
            });
        };
        outside(Point::new(right, bottom), Runs::Across, width);
        outside(Point::new(left, top), Runs::Up, height);
    }
    if let Body::Disc { diameter, .. } = part.drawing.body {
        scene.notes.push(SceneNote {
            at: Point::ORIGIN.polar(right, -0.3 * PI),
            text: format!("⌀ {}", letters.dimension(diameter)),
            figure: letters.name(diameter),
        });
    }
    scene
}

/// Adds the lines that a feature cuts, in plan, to a scene.
pub fn cut_lines(part: &Part, id: FeatureId, scene: &mut Scene) {
    let feature = part.feature(id);
    match part.plan_shape(id) {
        Some(Shape::Circle(circle)) => scene.holes.push(SceneHole {
            centre: circle.centre,
            diameter_mm: circle.radius_mm * 2.0,
            when: When::Before,
        }),
        Some(Shape::Slot { centre_line, radius_mm })
            if matches!(feature.kind, Kind::Slot { .. } | Kind::CurvedSlot { .. }) =>
        {
            if part.open_axis(id).is_some() {
                scene.outline.extend(part.slot_edge(id, [centre_line.start(), centre_line.end()]));
            } else {
                scene.outline.extend(slot_edge(&centre_line, radius_mm));
            }
        }
        Some(Shape::Slot { centre_line, radius_mm }) => {
            let (a, b) = (centre_line.start(), centre_line.end());
            let across = a.direction_rad(b) + FRAC_PI_2;
            for side in [radius_mm, -radius_mm] {
                scene.hidden.push(Segment::line(a.polar(side, across), b.polar(side, across)));
            }
            scene.centre_lines.push(Segment::line(a, b));
        }
        Some(Shape::Line(line)) => {
            let Kind::Slit { into, width, .. } = feature.kind else { return };
            let bore = part.cut_diameter(into).unwrap_or_default().half().as_mm();
            let half = part.size(width).half().as_mm();
            let along = line.direction_rad();
            // Where a slit's side leaves the bore.
            let start = (bore * bore - half * half).max(0.0).sqrt();
            for side in [half, -half] {
                let shift = |p: Point| p.polar(side, along + FRAC_PI_2);
                scene.outline.push(Segment::line(shift(line.start.polar(start, along)), shift(line.end)));
            }
        }
        // A corner taken off by a step shows in the outline of the step.
        Some(Shape::Hollow(edge)) if !matches!(feature.kind, Kind::Step { .. }) => {
            scene.outline.extend(edge.segments().iter().copied());
        }
        Some(Shape::Outline(_) | Shape::Hollow(_)) | None => {}
    }
}

/// The line of a step's shoulder, across the part.
pub(super) fn shoulder(part: &Part, id: FeatureId, side: Face) -> Vec<Segment> {
    let Some(at) = part.at(id, side.axis()).map(Length::as_mm) else { return Vec::new() };
    let Ok(outline) = part.outline() else { return Vec::new() };
    let bounds = outline.bounds();
    let across = if side.axis() == Axis::X {
        Segment::line(Point::new(at, bounds.least.y_mm - 1.0), Point::new(at, bounds.most.y_mm + 1.0))
    } else {
        Segment::line(Point::new(bounds.least.x_mm - 1.0, at), Point::new(bounds.most.x_mm + 1.0, at))
    };
    let mut hits: Vec<Point> =
        outline.segments().iter().flat_map(|segment| crate::geometry::crossings(segment, &across)).collect();
    hits.sort_by(|a, b| (a.x_mm, a.y_mm).partial_cmp(&(b.x_mm, b.y_mm)).expect("places are finite"));
    hits.dedup_by(|a, b| a.distance_mm(*b) < crate::geometry::SAME_POINT_MM);
    hits.chunks_exact(2).map(|pair| Segment::line(pair[0], pair[1])).collect()
}

/// Where the leader of a feature's words points.
fn note_place(part: &Part, id: FeatureId) -> Option<Point> {
    match part.plan_shape(id)? {
        Shape::Circle(circle) => Some(circle.centre.polar(circle.radius_mm, PI / 3.0)),
        Shape::Slot { centre_line, radius_mm } => match part.feature(id).kind {
            Kind::Slot { .. } => Some(centre_line.along(0.5).polar(radius_mm, FRAC_PI_2)),
            Kind::CurvedSlot { .. } => slot_edge(&centre_line, radius_mm).first().map(|side| side.along(0.5)),
            _ => Some(centre_line.start()),
        },
        Shape::Line(line) => Some(line.end),
        Shape::Hollow(edge) => edge.segments().first().map(|side| side.along(0.5)),
        Shape::Outline(_) => None,
    }
}

/// The first hole of the pitch circle that a hole belongs to.
fn first_of_pattern(part: &Part, id: FeatureId) -> Option<FeatureId> {
    pattern(part, id).map(|holes| holes[0])
}

fn pattern_size(part: &Part, id: FeatureId) -> usize {
    pattern(part, id).map_or(1, <[FeatureId]>::len)
}

fn pattern<'a>(part: &Part<'a>, id: FeatureId) -> Option<&'a [FeatureId]> {
    part.drawing.features.iter().find_map(|feature| match &feature.kind {
        Kind::PitchCircle { holes, .. } if holes.contains(&id) => Some(holes.as_slice()),
        _ => None,
    })
}

/// The direction from the middle of the part outwards through a place.
fn outward_rad(part: &Part, from: Point) -> f64 {
    let [left, right, bottom, top] = part.edges().map(Length::as_mm);
    let middle = Point::new((left + right) / 2.0, (bottom + top) / 2.0);
    let out = middle.direction_rad(from);
    // A little off the centre line, so that the leader does not lie on it.
    if from.distance_mm(middle) < 1e-6 { PI / 4.0 } else { out + 0.6 }
}
