//! The picture of the work as it lies in a setup.

use std::f64::consts::PI;

use super::frame::Blank;
use super::job::Setup;
use super::rows::Keyed;
use super::sheet::{Mark, Runs, Scene, SceneDimension, SceneHole, When};
use super::views::{Lettering, blank_scene, box_lines, cut_lines, shoulder, step_profile, views};
use crate::drawing::{Axis, Body, Depth, DimensionId, Face, FeatureId, Kind};
use crate::geometry::wall::Shape;
use crate::geometry::{Point, Segment};
use crate::measure::Length;
use crate::order::work::{Machine, Step};
use crate::order::{Located, Work};

/// The picture of one setup, with its rows' numbers.
pub fn scene(setup: &Setup, rows: &[Keyed]) -> Scene {
    match (&setup.part.drawing.body, setup.holding.machine) {
        (Body::Turned { .. }, Machine::Lathe) => lathe_scene(setup, rows),
        (Body::Turned { .. }, _) => turned_on_mill(setup, rows),
        _ if setup.frame.in_plan() => plan_scene(setup, rows),
        _ => edge_scene(setup, rows),
    }
}

/// When a feature is made, as seen from this setup.
fn when(setup: &Setup, id: FeatureId) -> When {
    let index = setup.number - 1;
    let mine = |step: &&Step| step.feature.is_some_and(|f| f == id || belongs(setup, f, id));
    let steps: Vec<&Step> = setup.job.order.steps.iter().filter(mine).collect();
    // The other piece of a pair may have its own steps: those of this piece count.
    let pieces = setup.holding.pieces;
    let here = |step: &&&Step| {
        let other = setup.job.order.setups[step.setup].pieces;
        other == pieces
            || !matches!(other, crate::order::Pieces::One(_))
            || !matches!(pieces, crate::order::Pieces::One(_))
    };
    let own: Vec<&&Step> = steps.iter().filter(here).collect();
    if own.iter().any(|s| s.setup == index) {
        When::Now
    } else if own.iter().any(|s| s.setup < index) {
        When::Before
    } else {
        When::Later
    }
}

/// True when a hole belongs to a pitch circle.
fn belongs(setup: &Setup, circle: FeatureId, hole: FeatureId) -> bool {
    matches!(&setup.part.feature(circle).kind, Kind::PitchCircle { holes, .. } if holes.contains(&hole))
}

/// True when a kind of work has been done in this setup or before it.
fn done_by_now(setup: &Setup, test: fn(&Work) -> bool) -> bool {
    setup.job.order.steps.iter().any(|s| s.setup < setup.number && test(&s.work))
}

fn outline_words(work: &Work) -> bool {
    matches!(
        work,
        Work::RoundEnd
            | Work::StepEnd
            | Work::FileEnd
            | Work::TurnDisc
            | Work::MillFlanks { .. }
            | Work::FileFlanks { .. }
    )
}

/// A plate in plan.
fn plan_scene(setup: &Setup, rows: &[Keyed]) -> Scene {
    let up = setup.frame.up();
    let mut scene =
        blank_scene(format!("{} face up, from above", up.word()), Point::ORIGIN, setup.datum_words());
    let part = &setup.part;
    let rectangle = matches!(part.drawing.body, Body::Rectangle { .. });
    let outline = part.outline().map(|o| o.segments().to_vec()).unwrap_or_default();
    let outline: Vec<Segment> = outline.iter().map(|s| seen(setup, s)).collect();
    let shaped = rectangle || done_by_now(setup, outline_words);
    if shaped {
        scene.outline = outline;
    } else {
        scene.to_come = outline;
    }
    if !shaped {
        let blank = setup.blank;
        let lines =
            box_lines(blank.left.as_mm(), blank.bottom.as_mm(), blank.right.as_mm(), blank.top.as_mm());
        scene.outline.extend(lines.iter().map(|s| seen(setup, s)));
    }
    for (id, feature) in part.features() {
        let at = when(setup, id);
        let mut cut = blank_scene("", Point::ORIGIN, "");
        cut_lines(part, id, &mut cut);
        if let Kind::Step { side, .. } = feature.kind {
            let side = part.side(side);
            let axis = side.axis();
            if let Some(place) = part.at(id, axis) {
                let b = setup.blank;
                let line = if axis == Axis::X {
                    Segment::line(Point::at(place, b.bottom), Point::at(place, b.top))
                } else {
                    Segment::line(Point::at(b.left, place), Point::at(b.right, place))
                };
                // Across the part, or across the blank where that has not its shape yet.
                let whole_blank = !shaped && at != When::Later;
                let lines = if whole_blank { vec![line] } else { shoulder(part, id, side) };
                let lines = lines.iter().map(|s| seen(setup, s));
                // The shoulder is seen only on the face it is cut from.
                if feature.face == up && at != When::Later {
                    scene.outline.extend(lines);
                } else {
                    scene.to_come.extend(lines);
                }
            }
        }
        let lines = cut.outline.iter().map(|s| seen(setup, s));
        if at == When::Later {
            scene.to_come.extend(lines);
        } else {
            scene.outline.extend(lines);
        }
        if at != When::Later {
            scene.hidden.extend(cut.hidden.iter().map(|s| seen(setup, s)));
        }
        for hole in cut.holes {
            scene.holes.push(SceneHole { centre: setup.seen(hole.centre), when: at, ..hole });
        }
    }
    for keyed in rows {
        marks_in_plan(setup, keyed, &mut scene);
    }
    datum_dimensions(setup, rows, &mut scene);
    if setup.holding.machine == Machine::RotaryTable {
        scene.datum_name = format!("table centre, under {}", setup.datum_words());
    }
    scene
}

/// A segment of the part in plan, as it lies, from the datum.
fn seen(setup: &Setup, segment: &Segment) -> Segment {
    let laid = setup.frame.segment(segment);
    let (x, y) = setup.origin();
    laid.translated(Point::ORIGIN - Point::at(x, y)).rotated(-setup.turned_rad())
}

/// Where the numbers of a row stand.
fn marks_in_plan(setup: &Setup, keyed: &Keyed, scene: &mut Scene) {
    let number = keyed.row.number;
    let index = setup.number - 1;
    let step = setup.job.order.steps.iter().filter(|s| s.setup == index).nth(number - 1);
    let mut mark = |at: Point| scene.marks.push(Mark { number, at });
    if let Some(Step { work: Work::MillFlanks { joins } | Work::FileFlanks { joins }, .. }) = step {
        let outline = setup.part.outline().map(|o| o.segments().to_vec()).unwrap_or_default();
        for segment in outline.iter().filter(|s| matches!(s, Segment::Line(_))).take(joins.len()) {
            mark(seen(setup, segment).along(0.5));
        }
        return;
    }
    for &id in &keyed.at {
        let feature = setup.part.feature(id);
        match (&feature.kind, setup.part.plan_shape(id)) {
            (Kind::Boss { .. }, _) => {
                if let Some(boss) = setup.part.boss(id) {
                    let [left, right, bottom, top] = setup.part.edges().map(Length::as_mm);
                    let middle = Point::new((left + right) / 2.0, (bottom + top) / 2.0);
                    let out = middle.direction_rad(boss.centre);
                    mark(setup.seen(boss.centre.polar(boss.radius_mm, out + PI / 8.0)));
                }
            }
            (Kind::Step { .. }, _) => {
                let side = setup.part.side(match feature.kind {
                    Kind::Step { side, .. } => side,
                    _ => continue,
                });
                let [left, right, bottom, top] = setup.part.edges().map(Length::as_mm);
                let shoulder = setup.part.at(id, side.axis()).unwrap_or_default().as_mm();
                let at = match side {
                    Face::Right => Point::new((shoulder + right) / 2.0, (bottom + top) / 2.0),
                    Face::Left => Point::new((shoulder + left) / 2.0, (bottom + top) / 2.0),
                    Face::Top => Point::new((left + right) / 2.0, (shoulder + top) / 2.0),
                    _ => Point::new((left + right) / 2.0, (shoulder + bottom) / 2.0),
                };
                mark(setup.seen(at));
            }
            (_, Some(Shape::Circle(circle))) => mark(setup.seen(circle.centre)),
            (_, Some(Shape::Slot { centre_line, .. })) => mark(setup.seen(centre_line.along(0.5))),
            (_, Some(Shape::Line(line))) => mark(setup.seen(Segment::Line(line).along(0.6))),
            _ => {}
        }
    }
}

/// X and Y of what is cut here, from the datum: one dimension for each new place.
fn datum_dimensions(setup: &Setup, rows: &[Keyed], scene: &mut Scene) {
    if setup.holding.machine == Machine::RotaryTable {
        return;
    }
    if matches!(setup.holding.located, Located::SawnBlank | Located::Line) {
        return;
    }
    let mut shown: Vec<FeatureId> = Vec::new();
    for keyed in rows {
        for &id in keyed.at.iter().take(2) {
            if shown.contains(&id) || setup.part.xy(id).is_none() {
                continue;
            }
            shown.push(id);
            let (x, y) = setup.read(id);
            let place = Point::at(x, y);
            let mut add = |axis: &str, value: Length, runs| {
                if value != Length::ZERO {
                    let figure = keyed.row.sets.iter().find(|f| f.label() == axis);
                    scene.dimensions.push(SceneDimension {
                        from: Point::ORIGIN,
                        to: place,
                        runs,
                        text: figure.map_or_else(
                            || value.decimals(2),
                            |f| f.shown.trim_end_matches(" mm").to_owned(),
                        ),
                        figure: figure.map(|f| f.name.clone()),
                    });
                }
            };
            add("X", x, Runs::Across);
            add("Y", y, Runs::Up);
        }
    }
}

/// A plate on edge: a block as long as the work and as thick.
fn edge_scene(setup: &Setup, rows: &[Keyed]) -> Scene {
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
        if feature.face.axis() == setup.frame.up().axis() {
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
                for (value, runs, axis) in [(x, Runs::Across, "X"), (y, Runs::Up, "Y")] {
                    let figure = keyed.row.sets.iter().find(|f| f.label() == axis);
                    scene.dimensions.push(SceneDimension {
                        from: Point::ORIGIN,
                        to: place,
                        runs,
                        text: figure.map_or_else(
                            || value.decimals(2),
                            |f| f.shown.trim_end_matches(" mm").to_owned(),
                        ),
                        figure: figure.map(|f| f.name.clone()),
                    });
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

/// A turned part in the lathe: the worked end to the right.
fn lathe_scene(setup: &Setup, rows: &[Keyed]) -> Scene {
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
fn turned_on_mill(setup: &Setup, rows: &[Keyed]) -> Scene {
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
