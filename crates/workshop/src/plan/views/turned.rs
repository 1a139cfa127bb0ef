//! A turned part from the side.

use super::{Letters, section_lines};
use crate::drawing::{Axis, Body, DimensionId, Face, FeatureId, Kind, Pattern, SectionSize};
use crate::geometry::{Point, Segment};
use crate::measure::Length;
use crate::plan::sheet::{Runs, Scene, SceneDimension, SceneHole, SceneNote, When, blank_scene, box_lines};

/// A turned part from the side.
pub fn turned(letters: &Letters) -> Scene {
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
        scene.outline.extend(section_lines(part, id, |x| x));
        let centre = part.section_axis(id).0.as_mm();
        if part.is_eccentric(id) {
            scene.centre_lines.push(Segment::line(Point::new(from, centre), Point::new(to, centre)));
        }
        let Kind::Section { size, length, .. } = part.feature(id).kind else { continue };
        let (text, figure) = match size {
            SectionSize::Plain(id) => (format!("⌀ {}", letters.dimension(id)), letters.name(id)),
            SectionSize::Threaded(id) => {
                let root = part.thread(id).minor.half().as_mm();
                for y in [root, -root] {
                    scene.to_come.push(Segment::line(Point::new(from, y), Point::new(to, y)));
                }
                (letters.thread(id), Some(part.drawing.threads[id.0].name.clone()))
            }
            SectionSize::Taper { left, right } => (
                format!("taper ⌀ {} to ⌀ {}", letters.dimension(left), letters.dimension(right)),
                letters.name(left),
            ),
            SectionSize::AsBar { across, sides } => {
                let form = if sides == 4 { "square" } else { "hexagon" };
                (format!("{} {form}", letters.dimension(across)), letters.name(across))
            }
        };
        scene.notes.push(SceneNote { at: Point::new((from + to) / 2.0, centre + radius), text, figure });
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
                let centre = part.section_of(id).map_or(0.0, |s| part.section_axis(s).0.as_mm());
                let (low, high) = (centre - radius.as_mm(), centre + radius.as_mm());
                scene.outline.extend(box_lines(from.as_mm(), low, to.as_mm(), high));
                scene.notes.push(SceneNote {
                    at: Point::new((from + to).half().as_mm(), high),
                    text: format!("groove ⌀ {}", letters.dimension(*diameter)),
                    figure: letters.name(*diameter),
                });
            }
            Kind::Flats { .. } => flats(letters, id, &mut scene),
            Kind::Knurl { over, pitch, pattern } => knurl(letters, *over, (*pitch, *pattern), &mut scene),
            Kind::Recess { .. } => recess(letters, id, &mut scene),
            _ => {}
        }
    }
    scene
}

/// Flats from the side, the first at the top.
fn flats(letters: &Letters, id: FeatureId, scene: &mut Scene) {
    let part = letters.part;
    let Kind::Flats { across, count, length } = part.feature(id).kind else { return };
    let Some(from) = part.along(id) else { return };
    let to = from + part.size(length);
    let round = part.section_of(id).and_then(|s| part.diameter_at(s, (from + to).half()));
    let Some(radius) = round.map(Length::half) else { return };
    let size = part.size(across);
    // A single flat is measured to the far side of the round.
    let (top, bottom) = if count == 1 { (size - radius, radius) } else { (size.half(), size.half()) };
    scene.outline.extend(box_lines(from.as_mm(), -bottom.as_mm(), to.as_mm(), top.as_mm()));
    let text = match count {
        1 => format!("flat {}", letters.dimension(across)),
        _ => format!("{count} flats {} across", letters.dimension(across)),
    };
    let at = Point::new((from + to).half().as_mm(), top.as_mm());
    scene.notes.push(SceneNote { at, text, figure: letters.name(across) });
}

fn knurl(letters: &Letters, over: FeatureId, (pitch, pattern): (DimensionId, Pattern), scene: &mut Scene) {
    let part = letters.part;
    let (Some(from), Some(to), Some(across)) =
        (part.along(over), part.section_end(over), part.cut_diameter(over))
    else {
        return;
    };
    let how = match pattern {
        Pattern::Straight => "straight",
        Pattern::Diamond => "diamond",
    };
    let at = Point::new(from.as_mm() * 0.6 + to.as_mm() * 0.4, -across.half().as_mm());
    let text = format!("{how} knurl {}", letters.dimension(pitch));
    scene.notes.push(SceneNote { at, text, figure: letters.name(pitch) });
}

/// A recess in an end, hidden behind its rim.
fn recess(letters: &Letters, id: FeatureId, scene: &mut Scene) {
    let part = letters.part;
    let Kind::Recess { diameter, hub, depth } = part.feature(id).kind else { return };
    let (end, floor) = (part.thickness().as_mm(), part.recess_floor(id).as_mm());
    let mouth = part.recess_start(id).as_mm();
    let left = part.feature(id).face == Face::Left;
    let (mouth, floor) = if left { (mouth, floor) } else { (end - mouth, end - floor) };
    let outer = part.size(diameter).half().as_mm();
    let inner = hub.map_or(0.0, |hub| part.size(hub).half().as_mm());
    for side in [1.0, -1.0] {
        scene.hidden.push(Segment::line(Point::new(mouth, side * outer), Point::new(floor, side * outer)));
        scene.hidden.push(Segment::line(Point::new(floor, side * outer), Point::new(floor, side * inner)));
        if hub.is_some() {
            scene
                .hidden
                .push(Segment::line(Point::new(mouth, side * inner), Point::new(floor, side * inner)));
        }
    }
    let text = format!("recess ⌀ {} × {}", letters.dimension(diameter), letters.dimension(depth));
    scene.notes.push(SceneNote { at: Point::new(floor, outer), text, figure: letters.name(diameter) });
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
            let (Kind::Hole { depth, .. } | Kind::Tapped { depth, .. }) = part.feature(id).kind else {
                return;
            };
            let deep = part.end_depth(id, depth).as_mm();
            let start = part.end_start(id).0.as_mm();
            let (from, to) = if part.feature(id).face == Face::Left {
                (start, start + deep)
            } else {
                (end - start - deep, end - start)
            };
            let middle = part.at(id, Axis::Y).unwrap_or_default().as_mm();
            for y in [middle + radius, middle - radius] {
                scene.hidden.push(Segment::line(Point::new(from, y), Point::new(to, y)));
            }
            if super::pattern(part, id).is_none_or(|holes| holes.first() == Some(&id)) {
                scene.notes.push(SceneNote { at: Point::new(from.max(0.0), middle + radius), text, figure });
            }
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
