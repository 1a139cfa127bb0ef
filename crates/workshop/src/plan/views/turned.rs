//! A turned part from the side.

use super::Letters;
use crate::drawing::{Body, Face, FeatureId, Kind, SectionSize};
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
        scene.outline.extend(box_lines(from, -radius, to, radius));
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
