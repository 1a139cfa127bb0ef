//! A plate on edge, as it stands.

use super::{done_by_now, from_datum, hollow_on_edge, outline_words, slot, when};
use crate::drawing::{Axis, DimensionId, Face, FeatureId, Kind};
use crate::geometry::{Point, Segment};
use crate::measure::Length;
use crate::plan::frame::Blank;
use crate::plan::job::Setup;
use crate::plan::rows::Keyed;
use crate::plan::sheet::{Mark, Runs, Scene, SceneHole, When};
use crate::plan::views::{blank_scene, box_lines, step_profile};

/// A plate on edge: a block as long as the work and as thick.
pub fn edge_scene(setup: &Setup, rows: &[&Keyed]) -> Scene {
    let mut scene = blank_scene(
        format!("{} edge up, from above", setup.frame.up().word()),
        Point::ORIGIN,
        setup.datum_words(),
    );
    let [x0, x1, y0, y1] = metal(setup);
    let (low, high) = (setup.off_datum((x0, y0)), setup.off_datum((x1, y1)));
    scene.outline = box_lines(low.0.as_mm(), low.1.as_mm(), high.0.as_mm(), high.1.as_mm());
    for (id, feature) in setup.part.features() {
        let at = when(setup, id);
        if let Kind::Step { leaves, side } = feature.kind
            && at != When::Later
        {
            step_on_edge(setup, id, leaves, setup.part.side(side), &mut scene);
        }
        let Some(diameter) = setup.part.cut_diameter(id) else { continue };
        let (x, y) = setup.read(id);
        let place = Point::at(x, y);
        let radius = diameter.half().as_mm();
        let cut_here = feature.face.axis() == setup.frame.up().axis();
        if cut_here
            && let Some([from, to]) = setup.slot_ends(id, Length::ZERO)
            && from != to
        {
            let lines = slot(setup, id, [from, to]);
            if at == When::Later { &mut scene.to_come } else { &mut scene.outline }.extend(lines);
        } else if cut_here && let Some(lines) = hollow_on_edge(setup, id) {
            if at == When::Later { &mut scene.to_come } else { &mut scene.outline }.extend(lines);
        } else if cut_here {
            scene.holes.push(SceneHole { centre: place, diameter_mm: diameter.as_mm(), when: at });
        } else if matches!(feature.face, Face::Front | Face::Back)
            && matches!(feature.kind, Kind::Hole { .. } | Kind::Tapped { .. })
            && at != When::Later
        {
            for side in [-radius, radius] {
                let x = place.x_mm + side;
                scene.hidden.push(Segment::line(Point::new(x, low.1.as_mm()), Point::new(x, high.1.as_mm())));
            }
            scene.centre_lines.push(Segment::line(
                Point::new(place.x_mm, low.1.as_mm() - 1.0),
                Point::new(place.x_mm, high.1.as_mm() + 1.0),
            ));
        }
    }
    for keyed in rows {
        for &id in &keyed.at {
            let (x, y) = setup.read(id);
            let place = Point::at(x, y);
            scene.marks.push(Mark { number: keyed.row.number, at: place });
            if !keyed.row.sets.is_empty()
                && setup.part.at(id, Axis::Z).is_some()
                && !scene.dimensions.iter().any(|d| d.to == place)
            {
                for (axis, value, runs) in [("X", x, Runs::Across), ("Y", y, Runs::Up)] {
                    scene.dimensions.push(from_datum(keyed, place, axis, value, runs));
                }
            }
        }
    }
    scene
}

/// Least and greatest X and Y of the work as it is by the end of a setup: the
/// part once its outline is cut, the blank until then.
fn metal(setup: &Setup) -> [Length; 4] {
    if !done_by_now(setup, outline_words) {
        return setup.extent();
    }
    let [left, right, bottom, top] = setup.part.edges();
    setup.frame.extent(&Blank { left, right, bottom, top }, setup.thickness())
}

/// Takes a step that has been cut out of the block of an edge view, where its
/// profile is what is seen.
fn step_on_edge(setup: &Setup, id: FeatureId, leaves: DimensionId, side: Face, scene: &mut Scene) {
    let (least, most) = setup.thickness();
    if let Some(cut) = setup.part.step_from(id, setup.frame.up()) {
        let (wall_x, wall_y) = setup.read(id);
        let [x0, x1, y0, y1] = metal(setup);
        let ((x0, y0), (x1, y1)) = (setup.off_datum((x0, y0)), setup.off_datum((x1, y1)));
        let (from, to) = match setup.frame.side(cut.open) {
            (0, _) => (Point::at(x0, wall_y), Point::at(x1, wall_y)),
            _ => (Point::at(wall_x, y0), Point::at(wall_x, y1)),
        };
        scene.outline.push(Segment::line(from, to));
        return;
    }
    let across = setup.frame.side(side).0 != 0;
    let front = match setup.part.feature(id).face {
        Face::Front => true,
        Face::Back => false,
        _ => return,
    };
    let (Some(shoulder), true) = (setup.part.at(id, side.axis()), across) else { return };
    let left_over = setup.part.size(leaves);
    let (height, far) = if front { (least + left_over, most) } else { (most - left_over, least) };
    let place = |z: Length| {
        let mut at = [Length::ZERO, Length::ZERO, z];
        at[side.axis() as usize] = shoulder;
        let (x, y) = setup.off_datum(setup.frame.place(at));
        (x.as_mm(), y.as_mm())
    };
    let ((at, height), (_, far)) = (place(height), place(far));
    let [x0, x1, ..] = metal(setup);
    let edge = if setup.frame.side(side).0 > 0 { x1 } else { x0 };
    step_profile(scene, at, setup.off_datum((edge, Length::ZERO)).0.as_mm(), height, far);
}
