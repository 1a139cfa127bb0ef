//! A turned part as it lies, in the lathe or on the mill.

use super::{figured, when};
use crate::drawing::{Body, Face, Kind};
use crate::geometry::{Point, Segment};
use crate::measure::Length;
use crate::order::{Held, Steadied, Work};
use crate::plan::job::Setup;
use crate::plan::rows::Keyed;
use crate::plan::sheet::{Mark, Runs, Scene, SceneHole, When};
use crate::plan::views::{Lettering, blank_scene, box_lines, circle_line, section_lines, views};

/// A turned part in the lathe: the worked end to the right.
pub fn lathe_scene(setup: &Setup, rows: &[&Keyed]) -> Scene {
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
        let centre = setup.part.section_axis(id).0.as_mm();
        let lines = section_lines(&setup.part, id, along);
        if when(setup, id) == When::Later {
            scene.to_come.extend(lines);
        } else {
            scene.outline.extend(lines);
        }
        for keyed in rows.iter().filter(|k| k.at.contains(&id)) {
            scene
                .marks
                .push(Mark { number: keyed.row.number, at: Point::new((a + b) / 2.0, centre + radius) });
            if let Some(stop) = keyed.row.sets.iter().find(|f| f.label() == "stop at") {
                let far = a.min(b);
                if !scene.dimensions.iter().any(|d| (d.to.x_mm - far).abs() < 1e-9) {
                    let ends = [Point::new(0.0, -bar), Point::new(far, -bar)];
                    scene.dimensions.push(figured(ends, Runs::Across, stop));
                }
            }
        }
    }
    scene.centre_lines.push(Segment::line(Point::new(-length - 4.0, 0.0), Point::new(4.0, 0.0)));
    scene.around = around(setup, &along, bar, length);
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
                    Kind::Hole { depth, .. } | Kind::Tapped { depth, .. } => {
                        setup.part.end_depth(id, depth).as_mm()
                    }
                    _ => length,
                };
                let start = setup.part.end_start(id).0.as_mm();
                let (near, far) = if feature.face == setup.holding.up {
                    (-start, -start - deep)
                } else {
                    (start - length, start + deep - length)
                };
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
    for keyed in rows {
        let at = match keyed.work {
            Some(Work::FaceEnd { .. }) => Point::new(0.0, -bar / 2.0),
            Some(Work::CentreEnd { .. }) => Point::ORIGIN,
            Some(Work::PartOff) => Point::new(-length, -bar),
            _ => continue,
        };
        if keyed.at.is_empty() {
            scene.marks.push(Mark { number: keyed.row.number, at });
        }
    }
    scene
}

/// What holds the work, drawn simply: the jaws on what they grip, centres in both ends, a
/// mandrel right through, the faceplate behind, the fingers of a steady.
fn around(setup: &Setup, along: &dyn Fn(f64) -> f64, bar: f64, length: f64) -> Vec<Segment> {
    let grip = bar.max(6.0);
    let reach = |id| {
        let ends = [setup.part.along(id), setup.part.section_end(id)];
        let [a, b] = ends.map(|at| along(at.unwrap_or_default().as_mm()));
        (a.min(b), a.max(b), setup.part.cut_diameter(id).unwrap_or_default().half().as_mm())
    };
    let cone = |tip: f64, back: f64| {
        let high = (tip - back).abs() * 0.577;
        let corners = [Point::new(back, high), Point::new(tip, 0.0), Point::new(back, -high)];
        vec![
            Segment::line(corners[0], corners[1]),
            Segment::line(corners[1], corners[2]),
            Segment::line(corners[2], corners[0]),
        ]
    };
    let pairs = |from: f64, to: f64, low: f64, high: f64| {
        let mut lines = box_lines(from, low, to, high);
        lines.extend(box_lines(from, -high, to, -low));
        lines
    };
    let mut lines = match setup.holding.held {
        Held::Centres | Held::OffsetCentres { .. } => {
            let mut lines = cone(-length, -length - grip);
            lines.extend(cone(0.0, grip));
            // The carrier on the driven end.
            lines.extend(pairs(-length + 0.5, -length + 0.5 + grip / 2.0, bar, bar + grip / 2.0));
            lines
        }
        Held::Mandrel { bore, .. } => {
            let radius = setup.part.cut_diameter(bore).unwrap_or_default().half().as_mm();
            let mut lines = box_lines(-length - 2.0 * grip, -bar, -length - grip, bar);
            lines.extend(box_lines(-length - grip, -radius, grip / 2.0, radius));
            lines
        }
        Held::Inside { bore } => {
            let radius = setup.part.cut_diameter(bore).unwrap_or_default().half().as_mm();
            let mut lines =
                pairs(-length - grip / 2.0, -length + length.min(grip) / 2.0, radius / 2.0, radius);
            lines.extend(box_lines(-length - 2.0 * grip, -bar, -length - grip / 2.0, bar));
            lines
        }
        Held::SplitBush { on } => {
            let (from, to, radius) = reach(on);
            let mut lines = pairs(from, to, radius, radius + grip / 4.0);
            lines.extend(pairs(from, to, radius + grip / 4.0, radius + grip * 0.75));
            let high = bar + grip;
            lines.extend(box_lines(-length - 2.0 * grip, -high, from.min(-length), high));
            lines
        }
        Held::Screwed { .. } => box_lines(-length - 2.0 * grip, -bar * 0.75, -length, bar * 0.75),
        Held::Faceplate { .. } => box_lines(-length - grip / 2.0, -bar - grip, -length, bar + grip),
        ref held => match held.grips() {
            Some(on) if held.in_jaws() && held.set_over().is_none() => {
                let (from, to, radius) = reach(on);
                let mut lines = pairs(from, to, radius, radius + grip / 2.0);
                lines.extend(box_lines(
                    -length - 2.0 * grip,
                    -bar - grip / 2.0,
                    from.min(-length),
                    bar + grip / 2.0,
                ));
                lines
            }
            _ => box_lines(-length - 2.0 * grip, -bar, -length, bar),
        },
    };
    match setup.holding.steadied {
        Steadied::Not => {}
        Steadied::Tailstock | Steadied::Travelling => lines.extend(cone(0.0, grip)),
        Steadied::Fixed { on } => {
            let (from, to, radius) = reach(on);
            let middle = (from + to) / 2.0;
            lines.extend(pairs(middle - 1.0, middle + 1.0, radius, radius + grip));
        }
    }
    lines
}

/// A turned part on end, seen from above: its sections as circles.
fn on_end(setup: &Setup, rows: &[&Keyed]) -> Scene {
    let view = format!("on end, the {} end up, from above", setup.holding.up.word());
    let mut scene = blank_scene(view, Point::ORIGIN, setup.datum_words());
    let mut reach_mm: f64 = 0.0;
    // What is nearer and wider hides what is below it.
    let mut widest_mm: f64 = 0.0;
    for section in setup.part.sections_from(setup.holding.up) {
        let Some(diameter) = setup.part.cut_diameter(section) else { continue };
        let radius_mm = diameter.half().as_mm();
        let (y, z) = setup.part.section_axis(section);
        let (x, y) = setup.off_datum(setup.frame.place([Length::ZERO, y, z]));
        reach_mm = reach_mm.max(Point::at(x, y).distance_mm(Point::ORIGIN) + radius_mm);
        if radius_mm > widest_mm {
            scene.outline.push(circle_line(Point::at(x, y), radius_mm));
            widest_mm = radius_mm;
        }
    }
    for (from, to) in [((-1.0, 0.0), (1.0, 0.0)), ((0.0, -1.0), (0.0, 1.0))] {
        let end = |(x, y): (f64, f64)| Point::new(x * (reach_mm + 3.0), y * (reach_mm + 3.0));
        scene.centre_lines.push(Segment::line(end(from), end(to)));
    }
    for (id, feature) in setup.part.features() {
        if feature.face != setup.holding.up {
            continue;
        }
        match feature.kind {
            Kind::Hole { .. } | Kind::Tapped { .. } => {
                let Some(diameter) = setup.part.cut_diameter(id) else { continue };
                let (x, y) = setup.read(id);
                let (centre, diameter_mm) = (Point::at(x, y), diameter.as_mm());
                scene.holes.push(SceneHole { centre, diameter_mm, when: when(setup, id) });
            }
            Kind::Slot { .. } => {
                let Some(ends) = setup.slot_ends(id, Length::ZERO) else { continue };
                let lines = super::slot(setup, id, ends);
                if when(setup, id) == When::Later {
                    scene.to_come.extend(lines)
                } else {
                    scene.outline.extend(lines)
                }
            }
            _ => {}
        }
    }
    for keyed in rows {
        for &id in &keyed.at {
            let (x, y) = setup.read(id);
            let at = Point::at(x, y);
            scene.marks.push(Mark { number: keyed.row.number, at });
        }
        let Some(&first) = keyed.at.first() else { continue };
        let (x, y) = setup.read(first);
        for (axis, value, runs) in [("X", x, Runs::Across), ("Y", y, Runs::Up)] {
            let own = |figure: &&crate::why::Figure| {
                figure.label() == axis || figure.label() == format!("{axis}, hole 1")
            };
            if let Some(figure) = keyed.row.sets.iter().find(own).filter(|_| value != Length::ZERO) {
                scene.dimensions.push(figured([Point::ORIGIN, Point::at(x, y)], runs, figure));
            }
        }
    }
    scene
}

/// A turned part lying on the mill, or standing on end there.
pub fn turned_on_mill(setup: &Setup, rows: &[&Keyed]) -> Scene {
    if matches!(setup.holding.held, Held::Upright { .. } | Held::WholeBar) {
        return on_end(setup, rows);
    }
    let mut scene = views(&setup.part, Lettering::Metric)
        .into_iter()
        .next()
        .unwrap_or_else(|| blank_scene("from above", Point::ORIGIN, "left end"));
    scene.view = match setup.holding.held {
        Held::VeeBlock { .. } => "lying in the vee, from above".into(),
        _ => "lying along X, from above".into(),
    };
    scene.dimensions.clear();
    scene.notes.clear();
    let (ox, oy) = setup.origin();
    let shift = Point::ORIGIN - Point::at(ox, oy);
    // With its back or its underside up, its left end lies to the right.
    let turned_over = setup.frame.way([1.0, 0.0, 0.0]).x_mm < 0.0;
    let lies = |at: Point| if turned_over { Point::new(-at.x_mm, at.y_mm) } else { at };
    for lines in [&mut scene.outline, &mut scene.to_come, &mut scene.hidden, &mut scene.centre_lines] {
        for line in lines.iter_mut() {
            let as_it_lies = if turned_over { line.mirrored() } else { *line };
            *line = as_it_lies.translated(shift);
        }
    }
    for hole in &mut scene.holes {
        hole.centre = lies(hole.centre) + shift;
    }
    scene.datum_name = setup.datum_words();
    for keyed in rows {
        for &id in &keyed.at {
            if let Some(x) = setup.part.along(id) {
                let at = lies(Point::new(x.as_mm(), 0.0)) + shift;
                scene.marks.push(Mark { number: keyed.row.number, at });
                if let Some(figure) = keyed.row.sets.iter().find(|f| f.label() == "X") {
                    scene.dimensions.push(figured([Point::new(0.0, at.y_mm), at], Runs::Across, figure));
                }
            }
        }
    }
    scene
}
