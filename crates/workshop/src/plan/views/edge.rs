//! A plate from its bottom edge.

use super::Letters;
use crate::drawing::{Axis, Body, Depth, Face, FeatureId, Kind, Part};
use crate::geometry::{Point, Segment, slot_edge};
use crate::measure::Length;
use crate::plan::sheet::{Runs, Scene, SceneDimension, SceneHole, SceneNote, When, blank_scene, box_lines};

/// A plate seen from its bottom edge: x across, z up.
pub fn edge_view(letters: &Letters) -> Scene {
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
            Kind::Slot { along, depth, .. } if feature.face.axis() == Axis::Y => {
                let place = part.at(id, Axis::X).zip(part.at(id, Axis::Z));
                let (Some((x, z)), Some(span_mm)) = (place, part.slot_span_mm(id, 0.0)) else { continue };
                let [right, _, front] = part.way(id, *along);
                let ends = span_mm.map(|mm| Point::at(x, z) + Point::new(right, front).times(mm));
                let radius_mm = part.cut_diameter(id).unwrap_or_default().half().as_mm();
                let lines = if part.open_axis(id).is_some() {
                    part.slot_edge(id, ends)
                } else {
                    slot_edge(&Segment::line(ends[0], ends[1]), radius_mm)
                };
                let seen = feature.face == Face::Bottom || *depth == Depth::Through;
                if seen { &mut scene.outline } else { &mut scene.hidden }.extend(lines);
                if let Some((text, figure)) = letters.words(id) {
                    scene.notes.push(SceneNote { at: ends[0], text, figure });
                }
            }
            _ => {}
        }
    }
    let thickness = match part.drawing.body {
        Body::Bosses { thickness, .. }
        | Body::Outline { thickness, .. }
        | Body::Rectangle { thickness, .. }
        | Body::Disc { thickness, .. } => thickness,
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
pub fn step_profile(scene: &mut Scene, at: f64, edge: f64, height: f64, far: f64) {
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
    let cut = [
        Segment::line(Point::new(at, far), Point::new(at, height)),
        Segment::line(Point::new(at, height), Point::new(edge, height)),
    ];
    scene.outline = end_to_end(kept.into_iter().chain(cut).collect());
}

/// Straight lines in the order in which they follow one another, turned where
/// need be, so that what they enclose is seen to be metal.
fn end_to_end(mut lines: Vec<Segment>) -> Vec<Segment> {
    let same = |a: Point, b: Point| a.distance_mm(b) < crate::geometry::SAME_POINT_MM;
    let mut chain: Vec<Segment> = Vec::with_capacity(lines.len());
    while !lines.is_empty() {
        let end = chain.last().map(Segment::end);
        let next = end.and_then(|end| lines.iter().position(|s| same(s.start(), end) || same(s.end(), end)));
        let line = lines.remove(next.unwrap_or(0));
        let turn = end.is_some_and(|end| next.is_some() && !same(line.start(), end));
        chain.push(if turn { Segment::line(line.end(), line.start()) } else { line });
    }
    chain
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_leaves_a_closed_profile_whichever_end_and_face_it_is_cut_from() {
        for (at, edge, height, far) in [
            (15.0, 40.0, 4.0, 10.0),
            (15.0, 40.0, 6.0, 0.0),
            (15.0, -10.0, 4.0, 10.0),
            (15.0, -10.0, 6.0, 0.0),
        ] {
            let mut scene = crate::plan::views::blank_scene("", Point::ORIGIN, "");
            scene.outline = box_lines(-10.0, 0.0, 40.0, 10.0);
            step_profile(&mut scene, at, edge, height, far);
            let lines = &scene.outline;
            assert_eq!(lines.len(), 6);
            for (n, line) in lines.iter().enumerate() {
                let next = &lines[(n + 1) % lines.len()];
                assert!(line.end().distance_mm(next.start()) < 1e-9, "{at} {edge} {height} {far}: {lines:?}");
            }
        }
    }
}
