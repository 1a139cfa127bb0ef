//! The part by itself, drawn: in plan and from the side, as published and metric.

use std::f64::consts::{FRAC_PI_2, PI};

use super::sheet::{Runs, Scene, SceneDimension, SceneHole, SceneNote, When};
pub use super::sheet::{blank_scene, box_lines, circle_line, slot_lines};
use crate::drawing::{
    Axis, Body, DimensionId, Face, FeatureId, Finish, Kind, Part, Reference, Says, SectionSize, ThreadId,
};
use crate::geometry::wall::Shape;
use crate::geometry::{Point, Segment};
use crate::measure::Length;

/// How sizes are written on a view: the words of the sheet, or the metric size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lettering {
    /// As the published sheet writes them.
    AsWritten,
    /// Millimetres as chosen.
    Metric,
}

/// Every view of a part: plan and edge of a plate, side of a turned part.
pub fn views(part: &Part, lettering: Lettering) -> Vec<Scene> {
    let letters = Letters { part, lettering };
    match part.drawing.body {
        Body::Turned { .. } => vec![turned(&letters)],
        _ => {
            let mut views = vec![plan_view(&letters)];
            views.push(edge_view(&letters));
            views
        }
    }
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
        }
    }

    fn name(&self, id: DimensionId) -> Option<String> {
        Some(self.part.drawing.dimensions[id.0].name.clone())
    }

    fn thread(&self, id: ThreadId) -> String {
        match self.lettering {
            Lettering::AsWritten => self.part.drawing.threads[id.0].text.clone(),
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
            Kind::Slot { width, .. } => (format!("slot {} wide", self.dimension(*width)), self.name(*width)),
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
        let here = match (self.part.at(id, Axis::X), self.part.at(id, Axis::Y)) {
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
        Some(Shape::Slot { centre_line, radius_mm }) if matches!(feature.kind, Kind::Slot { .. }) => {
            scene.outline.extend(slot_lines(&centre_line, radius_mm));
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
        Some(Shape::Outline(_)) | None => {}
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
            _ => Some(centre_line.start()),
        },
        Shape::Line(line) => Some(line.end),
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

/// A plate seen from its bottom edge: x across, z up.
fn edge_view(letters: &Letters) -> Scene {
    let part = letters.part;
    let mut scene = blank_scene("from the bottom edge", Point::ORIGIN, "back face");
    let [left, right, ..] = part.edges().map(Length::as_mm);
    let whole = part.thickness().as_mm();
    scene.outline = box_lines(left, 0.0, right, whole);
    for (id, feature) in part.features() {
        match &feature.kind {
            Kind::Step { leaves, side } => {
                let side = part.side(*side);
                if side.axis() != Axis::X {
                    continue;
                }
                let Some(at) = part.at(id, Axis::X).map(Length::as_mm) else { continue };
                let left_over = part.size(*leaves).as_mm();
                let height = if feature.face == Face::Front { left_over } else { whole - left_over };
                let edge = if side == Face::Right { right } else { left };
                let far = if feature.face == Face::Front { whole } else { 0.0 };
                step_profile(&mut scene, at, edge, height, far);
                scene.dimensions.push(SceneDimension {
                    from: Point::new(edge, if feature.face == Face::Front { 0.0 } else { whole }),
                    to: Point::new(edge, height),
                    runs: Runs::Up,
                    text: letters.dimension(*leaves),
                    figure: letters.name(*leaves),
                });
            }
            Kind::Hole { .. } | Kind::Tapped { .. } | Kind::ClampScrew { .. } => {
                edge_hole(part, id, &mut scene)
            }
            _ => {}
        }
    }
    let thickness = match part.drawing.body {
        Body::Bosses { thickness, .. } | Body::Rectangle { thickness, .. } | Body::Disc { thickness, .. } => {
            thickness
        }
        Body::Turned { .. } => return scene,
    };
    let steps_left = part.features().any(|(id, f)| {
        matches!(f.kind, Kind::Step { side, .. } if part.side(side) == Face::Left)
            && part.at(id, Axis::X).is_some()
    });
    let x = if steps_left { right } else { left };
    scene.dimensions.push(SceneDimension {
        from: Point::new(x, 0.0),
        to: Point::new(x, whole),
        runs: Runs::Up,
        text: letters.dimension(thickness),
        figure: letters.name(thickness),
    });
    scene
}

/// Redraws the rectangle of an edge view with one step taken out of it, from its
/// shoulder to its edge, and from the face at `far` down to `height`.
pub(super) fn step_profile(scene: &mut Scene, at: f64, edge: f64, height: f64, far: f64) {
    let kept: Vec<Segment> = scene
        .outline
        .iter()
        .flat_map(|segment| {
            let (a, b) = (segment.start(), segment.end());
            let level = (a.y_mm - b.y_mm).abs() < 1e-9;
            if level && (a.y_mm - far).abs() < 1e-9 {
                // The face that is cut away beyond the shoulder.
                let beyond = |x: f64| if edge > at { x.min(at) } else { x.max(at) };
                let (a, b) = (Point::new(beyond(a.x_mm), a.y_mm), Point::new(beyond(b.x_mm), b.y_mm));
                if a.distance_mm(b) < 1e-9 { vec![] } else { vec![Segment::line(a, b)] }
            } else if !level && (a.x_mm - edge).abs() < 1e-9 {
                let (low, high) = (a.y_mm.min(b.y_mm), a.y_mm.max(b.y_mm));
                let (low, high) =
                    if far > height { (low, high.min(height)) } else { (low.max(height), high) };
                vec![Segment::line(Point::new(edge, low), Point::new(edge, high))]
            } else {
                vec![*segment]
            }
        })
        .collect();
    scene.outline = kept;
    scene.outline.push(Segment::line(Point::new(at, far), Point::new(at, height)));
    scene.outline.push(Segment::line(Point::new(at, height), Point::new(edge, height)));
}

/// A hole in the edge view: a circle when it enters from top or bottom, two
/// hidden lines when it enters from front or back.
fn edge_hole(part: &Part, id: FeatureId, scene: &mut Scene) {
    let feature = part.feature(id);
    let Some(diameter) = part.cut_diameter(id) else { return };
    let (Some(x), radius) = (part.at(id, Axis::X), diameter.half()) else { return };
    match feature.face {
        Face::Top | Face::Bottom => {
            let Some(z) = part.at(id, Axis::Z) else { return };
            scene.holes.push(SceneHole {
                centre: Point::at(x, z),
                diameter_mm: diameter.as_mm(),
                when: When::Before,
            });
        }
        Face::Front | Face::Back => {
            let whole = part.thickness_at(id);
            let (from, to) = (Length::ZERO, whole);
            for side in [x - radius, x + radius] {
                scene.hidden.push(Segment::line(Point::at(side, from), Point::at(side, to)));
            }
            scene.centre_lines.push(Segment::line(
                Point::new(x.as_mm(), -1.0),
                Point::new(x.as_mm(), part.thickness().as_mm() + 1.0),
            ));
        }
        Face::Left | Face::Right => {}
    }
}

/// A turned part from the side.
fn turned(letters: &Letters) -> Scene {
    let part = letters.part;
    let mut scene = blank_scene("from the side", Point::ORIGIN, "left end");
    let Body::Turned { sections, length } = &part.drawing.body else { return scene };
    let end = part.thickness().as_mm();
    let biggest =
        sections.iter().filter_map(|&id| part.cut_diameter(id)).max().unwrap_or_default().half().as_mm();
    scene.centre_lines.push(Segment::line(Point::new(-3.0, 0.0), Point::new(end + 3.0, 0.0)));
    for &id in sections {
        let (Some(from), Some(to), Some(diameter)) =
            (part.along(id), part.section_end(id), part.cut_diameter(id))
        else {
            continue;
        };
        let (from, to, radius) = (from.as_mm(), to.as_mm(), diameter.half().as_mm());
        scene.outline.extend(box_lines(from, -radius, to, radius));
        let Kind::Section { size, length } = part.feature(id).kind else { continue };
        let (text, figure) = match size {
            SectionSize::Plain(id) => (format!("⌀ {}", letters.dimension(id)), letters.name(id)),
            SectionSize::Threaded(id) => {
                let root = part.thread(id).minor.half().as_mm();
                for y in [root, -root] {
                    scene.to_come.push(Segment::line(Point::new(from, y), Point::new(to, y)));
                }
                (letters.thread(id), Some(part.drawing.threads[id.0].name.clone()))
            }
        };
        scene.notes.push(SceneNote { at: Point::new((from + to) / 2.0, radius), text, figure });
        if let Some(id) = length {
            scene.dimensions.push(SceneDimension {
                from: Point::new(from, -biggest),
                to: Point::new(to, -biggest),
                runs: Runs::Across,
                text: letters.dimension(id),
                figure: letters.name(id),
            });
        }
    }
    if let Some(id) = length {
        scene.dimensions.push(SceneDimension {
            from: Point::new(0.0, -biggest),
            to: Point::new(end, -biggest),
            runs: Runs::Across,
            text: letters.dimension(*id),
            figure: letters.name(*id),
        });
    }
    for (id, feature) in part.features() {
        match &feature.kind {
            Kind::Hole { .. } | Kind::Tapped { .. } => turned_hole(letters, id, &mut scene),
            Kind::Groove { diameter, width } => {
                let (Some(from), radius) = (part.along(id), part.size(*diameter).half()) else { continue };
                let to = from + part.size(*width);
                scene.outline.extend(box_lines(from.as_mm(), -radius.as_mm(), to.as_mm(), radius.as_mm()));
                scene.notes.push(SceneNote {
                    at: Point::new((from + to).half().as_mm(), radius.as_mm()),
                    text: format!("groove ⌀ {}", letters.dimension(*diameter)),
                    figure: letters.name(*diameter),
                });
            }
            _ => {}
        }
    }
    scene
}

/// A hole across a turned part, or along its axis.
fn turned_hole(letters: &Letters, id: FeatureId, scene: &mut Scene) {
    let part = letters.part;
    let Some(diameter) = part.cut_diameter(id) else { return };
    let Some((text, figure)) = letters.words(id) else { return };
    let radius = diameter.half().as_mm();
    match part.feature(id).face {
        Face::Left | Face::Right => {
            let end = part.thickness().as_mm();
            let deep = match part.feature(id).kind {
                Kind::Hole { depth: crate::drawing::Depth::To(d), .. }
                | Kind::Tapped { depth: crate::drawing::Depth::To(d), .. } => part.size(d).as_mm(),
                _ => end,
            };
            let (from, to) =
                if part.feature(id).face == Face::Left { (0.0, deep) } else { (end - deep, end) };
            for y in [radius, -radius] {
                scene.hidden.push(Segment::line(Point::new(from, y), Point::new(to, y)));
            }
            scene.notes.push(SceneNote { at: Point::new(from.max(0.0), radius), text, figure });
        }
        _ => {
            let Some(x) = part.along(id).map(Length::as_mm) else { return };
            scene.holes.push(SceneHole {
                centre: Point::new(x, 0.0),
                diameter_mm: radius * 2.0,
                when: When::Before,
            });
            scene.notes.push(SceneNote { at: Point::new(x, radius), text, figure });
            letters.placing(id, scene);
        }
    }
}
