//! A turned part as it lies, in the lathe or on the mill.

use super::when;
use crate::drawing::{Body, Depth, Face, Kind};
use crate::geometry::{Point, Segment};
use crate::plan::job::Setup;
use crate::plan::rows::Keyed;
use crate::plan::sheet::{Mark, Runs, Scene, SceneDimension, SceneHole, When};
use crate::plan::views::{Lettering, blank_scene, box_lines, views};

/// A turned part in the lathe: the worked end to the right.
pub fn lathe_scene(setup: &Setup, rows: &[Keyed]) -> Scene {
    let worked_left = setup.holding.up == Face::Left;
    let mut scene = blank_scene(
        "from the front, the worked end to the right",
        Point::ORIGIN,
        format!("{} end, faced", setup.holding.up.word()),
    );
    let length = setup.part.thickness().as_mm();
    // The worked end is nought; the part runs to the left, into the chuck.
    let along = |x: f64| if worked_left { -x } else { x - length };
    let Body::Turned { sections, .. } = &setup.part.drawing.body else { return scene };
    let bar = sections
        .iter()
        .filter_map(|&id| setup.part.cut_diameter(id))
        .max()
        .unwrap_or_default()
        .half()
        .as_mm();
    for &id in sections {
        let (Some(from), Some(to), Some(diameter)) =
            (setup.part.along(id), setup.part.section_end(id), setup.part.cut_diameter(id))
        else {
            continue;
        };
        let (a, b) = (along(from.as_mm()), along(to.as_mm()));
        let radius = diameter.half().as_mm();
        let lines = box_lines(a.min(b), -radius, a.max(b), radius);
        if when(setup, id) == When::Later {
            scene.to_come.extend(lines);
        } else {
            scene.outline.extend(lines);
        }
        for keyed in rows.iter().filter(|k| k.at.contains(&id)) {
            scene.marks.push(Mark { number: keyed.row.number, at: Point::new((a + b) / 2.0, radius) });
            if let Some(stop) = keyed.row.sets.iter().find(|f| f.label() == "stop at") {
                let far = a.min(b);
                if !scene.dimensions.iter().any(|d| (d.to.x_mm - far).abs() < 1e-9) {
                    scene.dimensions.push(SceneDimension {
                        from: Point::new(0.0, -bar),
                        to: Point::new(far, -bar),
                        runs: Runs::Across,
                        text: stop.shown.trim_end_matches(" mm").to_owned(),
                        figure: Some(stop.name.clone()),
                    });
                }
            }
        }
    }
    scene.centre_lines.push(Segment::line(Point::new(-length - 4.0, 0.0), Point::new(4.0, 0.0)));
    let grip = if bar > 6.0 { bar } else { 6.0 };
    scene.around = box_lines(-length - 2.0 * grip, -bar, -length, bar);
    for (id, feature) in setup.part.features() {
        if matches!(feature.kind, Kind::Section { .. }) {
            continue;
        }
        let Some(diameter) = setup.part.cut_diameter(id) else { continue };
        let radius = diameter.half().as_mm();
        let marks: Vec<usize> = rows.iter().filter(|k| k.at.contains(&id)).map(|k| k.row.number).collect();
        let at = match feature.face {
            Face::Left | Face::Right => {
                let deep = match feature.kind {
                    Kind::Hole { depth: Depth::To(d), .. } | Kind::Tapped { depth: Depth::To(d), .. } => {
                        setup.part.size(d).as_mm()
                    }
                    _ => length,
                };
                let near = if feature.face == setup.holding.up { 0.0 } else { -length };
                let far = if feature.face == setup.holding.up { -deep } else { deep - length };
                for y in [radius, -radius] {
                    scene.hidden.push(Segment::line(Point::new(near, y), Point::new(far, y)));
                }
                Point::new(near, 0.0)
            }
            _ => {
                let Some(x) = setup.part.along(id) else { continue };
                let centre = Point::new(along(x.as_mm()), 0.0);
                if matches!(feature.kind, Kind::Groove { .. }) {
                    Point::new(centre.x_mm, radius)
                } else {
                    scene.holes.push(SceneHole { centre, diameter_mm: radius * 2.0, when: when(setup, id) });
                    centre
                }
            }
        };
        scene.marks.extend(marks.into_iter().map(|number| Mark { number, at }));
    }
    scene
}

/// A turned part lying on the mill.
pub fn turned_on_mill(setup: &Setup, rows: &[Keyed]) -> Scene {
    let mut scene = views(&setup.part, Lettering::Metric)
        .into_iter()
        .next()
        .unwrap_or_else(|| blank_scene("from above", Point::ORIGIN, "left end"));
    scene.view = "lying in the vee, from above".into();
    scene.dimensions.clear();
    scene.notes.clear();
    let (ox, oy) = setup.origin();
    let shift = Point::ORIGIN - Point::at(ox, oy);
    for lines in [&mut scene.outline, &mut scene.to_come, &mut scene.hidden, &mut scene.centre_lines] {
        for line in lines.iter_mut() {
            *line = line.translated(shift);
        }
    }
    for hole in &mut scene.holes {
        hole.centre = hole.centre + shift;
    }
    scene.datum_name = setup.datum_words();
    for keyed in rows {
        for &id in &keyed.at {
            if let Some(x) = setup.part.along(id) {
                let at = Point::new(x.as_mm(), 0.0) + shift;
                scene.marks.push(Mark { number: keyed.row.number, at });
                if let Some(figure) = keyed.row.sets.iter().find(|f| f.label() == "X") {
                    scene.dimensions.push(SceneDimension {
                        from: Point::new(0.0, at.y_mm),
                        to: at,
                        runs: Runs::Across,
                        text: figure.shown.trim_end_matches(" mm").to_owned(),
                        figure: Some(figure.name.clone()),
                    });
                }
            }
        }
    }
    scene
}
