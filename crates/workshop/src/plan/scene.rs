//! The picture of the work as it lies in a setup.

mod edge;
mod stage;
mod turned;

use std::f64::consts::PI;

use super::beside;
use super::job::Setup;
use super::rows::Keyed;
use super::rows_rotary::flank_between;
use super::sheet::{Mark, Runs, Scene, SceneDimension, SceneHole, When};
use super::views::{blank_scene, box_lines, cut_lines, shoulder};
use crate::drawing::{Axis, Body, Face, FeatureId, Hand, Kind};
use crate::geometry::wall::Shape;
use crate::geometry::{Point, Segment, slot_edge};
use crate::measure::Length;
use crate::order::Pieces;
use crate::order::work::{Machine, Step};
use crate::order::{Located, Work};
use crate::why::Figure;
pub use stage::stage;

/// The picture of one setup, with its rows' numbers.
pub fn scene(setup: &Setup, rows: &[Keyed]) -> Scene {
    let steps: Vec<&Step> = setup.job.order.steps_in(setup.number - 1).map(|(_, step)| step).collect();
    let mut pieces = setup.beside().into_iter().map(|piece| {
        let mine = |keyed: &&Keyed| {
            let done_to = steps.get(keyed.row.number - 1).map(|step| setup.done_to(step));
            done_to.is_none_or(|done_to| done_to.iter().any(|one| one.place == piece.place))
        };
        let mine: Vec<&Keyed> = rows.iter().filter(mine).collect();
        (one_piece(&piece, &mine), piece)
    });
    let Some((mut scene, _)) = pieces.next() else { return one_piece(setup, &[]) };
    for (other, piece) in pieces {
        beside::draw_into(&mut scene, other, &piece);
    }
    scene
}

/// One piece of those that lie in a setup.
fn one_piece(setup: &Setup, rows: &[&Keyed]) -> Scene {
    match (&setup.part.drawing.body, setup.holding.machine) {
        (Body::Turned { .. }, Machine::Lathe) => turned::lathe_scene(setup, rows),
        (Body::Turned { .. }, _) => turned::turned_on_mill(setup, rows),
        _ if setup.frame.in_plan() => plan_scene(setup, rows),
        _ => edge::edge_scene(setup, rows),
    }
}

/// When a feature is made, as seen from this setup.
fn when(setup: &Setup, id: FeatureId) -> When {
    let index = setup.number - 1;
    let mine = |step: &&Step| step.feature.is_some_and(|f| f == id || belongs(setup, f, id));
    let steps: Vec<&Step> = setup.job.order.steps.iter().filter(mine).collect();
    let here = |step: &&&Step| same_metal(setup, step.hand);
    let own: Vec<&&Step> = steps.iter().filter(here).collect();
    let done = setup.job.order.done.iter().any(|done| {
        same_metal(setup, done.pieces.hand())
            && done.feature.is_some_and(|f| f == id || belongs(setup, f, id))
    });
    if own.iter().any(|s| s.setup == index) {
        When::Now
    } else if done || own.iter().any(|s| s.setup < index) {
        When::Before
    } else {
        When::Later
    }
}

/// Whether what is done to one hand, or to both, is done to what lies here: the other piece of
/// a pair may have its own steps.
fn same_metal(setup: &Setup, other: Hand) -> bool {
    let mine = match setup.holding.pieces {
        Pieces::Both(_) => setup.part.drawing.hands[setup.place % 2],
        pieces => pieces.hand(),
    };
    mine.meets(other)
}

/// True when a hole belongs to a pitch circle.
fn belongs(setup: &Setup, circle: FeatureId, hole: FeatureId) -> bool {
    setup.part.feature(circle).kind.pattern().is_some_and(|holes| holes.contains(&hole))
}

/// True when a kind of work has been done in this setup or before it.
fn done_by_now(setup: &Setup, test: fn(&Work) -> bool) -> bool {
    let order = setup.job.order;
    order.done.iter().any(|done| test(&done.work))
        || order.steps.iter().any(|s| s.setup < setup.number && test(&s.work))
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
fn plan_scene(setup: &Setup, rows: &[&Keyed]) -> Scene {
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
            let cut = part.step_from(id, up);
            let aside = cut.filter(|cut| cut.open != side);
            let (side, place) = match aside {
                Some(cut) => (cut.open, Some(cut.wall)),
                None => (side, part.at(id, side.axis())),
            };
            if let Some(place) = place {
                let b = setup.blank;
                let line = if side.axis() == Axis::X {
                    Segment::line(Point::at(place, b.bottom), Point::at(place, b.top))
                } else {
                    Segment::line(Point::at(b.left, place), Point::at(b.right, place))
                };
                // Across the part, or across the blank where that has not its shape yet.
                let whole_blank = !shaped && at != When::Later;
                let whole = whole_blank || aside.is_some();
                let lines = if whole { vec![line] } else { shoulder(part, id, side) };
                let lines = lines.iter().map(|s| seen(setup, s));
                // The shoulder is seen only on the face it is cut from.
                if cut.is_some() && at != When::Later {
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

/// The edge of a pocket, or of a square or flatted hole, that is cut in an edge of a plate, as it lies.
fn hollow_on_edge(setup: &Setup, id: FeatureId) -> Option<Vec<Segment>> {
    let outline = setup.part.edge_in_face(id)?;
    let axis = setup.part.feature(id).face.axis();
    let mut axes = [Axis::X, Axis::Y, Axis::Z].into_iter().filter(|&other| other != axis);
    let [across, up] = [axes.next()?, axes.next()?];
    let lies = |a: i64, b: i64| {
        let mut at = [Length::ZERO; 3];
        at[across as usize] = Length::mm(a);
        at[up as usize] = Length::mm(b);
        let (x, y) = setup.off_datum(setup.frame.place(at));
        Point::at(x, y)
    };
    let (nought, along, beside) = (lies(0, 0), lies(1, 0), lies(0, 1));
    let turned = match (along - nought).cross(beside - nought) > 0.0 {
        true => outline.rotated(nought.direction_rad(along)),
        false => outline.mirrored().rotated(along.direction_rad(nought)),
    };
    Some(turned.translated(nought).segments().to_vec())
}

/// The edge of a slot between the centres of its ends as it lies: an open end has none.
fn slot(setup: &Setup, id: FeatureId, [from, to]: [Point; 2]) -> Vec<Segment> {
    if setup.part.open_axis(id).is_some() {
        return setup.part.slot_edge(id, [from, to]);
    }
    let radius_mm = setup.part.cut_diameter(id).unwrap_or_default().half().as_mm();
    slot_edge(&Segment::line(from, to), radius_mm)
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
    let mut mark = |at: Point| scene.marks.push(Mark { number, at });
    if let Some(Work::MillFlanks { joins } | Work::FileFlanks { joins }) = &keyed.work {
        let (x, y) = setup.origin();
        let flank = |&join: &_| flank_between(setup, Point::at(x, y), setup.turned_rad(), join).ok();
        for line in joins.iter().filter_map(flank) {
            mark(Segment::Line(line).along(0.5));
        }
        return;
    }
    if let Some(Work::MillSide { piece } | Work::StepArc { piece } | Work::TurnArc { piece }) = keyed.work {
        let named = setup.part.pieces().ok();
        if let Some(segment) = named.as_ref().and_then(|named| named.outline.segments().get(piece)) {
            mark(setup.laid(*segment).along(0.5));
        }
        return;
    }
    if let (Some(Work::RoundEnd | Work::StepEnd | Work::FileEnd), Body::Disc { .. }) =
        (&keyed.work, &setup.part.drawing.body)
    {
        // The outside itself, and not what it is round.
        let [left, right, ..] = setup.part.edges().map(Length::as_mm);
        mark(setup.seen(Point::ORIGIN.polar((right - left) / 2.0, PI / 3.0)));
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
                let Some(cut) = setup.part.step_from(id, setup.frame.up()) else { continue };
                let (side, shoulder) = (cut.open, cut.wall.as_mm());
                let [left, right, bottom, top] = setup.part.edges().map(Length::as_mm);
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
            _ if setup.part.xy(id).is_some() => {
                let (x, y) = setup.read(id);
                mark(Point::at(x, y));
            }
            _ => {}
        }
    }
}

/// X and Y of what is cut here, from the datum: one dimension for each new place.
fn datum_dimensions(setup: &Setup, rows: &[&Keyed], scene: &mut Scene) {
    if setup.holding.machine == Machine::RotaryTable {
        return;
    }
    if matches!(setup.holding.located, Located::SawnBlank | Located::Punched | Located::Line) {
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
            for (axis, value, runs) in [("X", x, Runs::Across), ("Y", y, Runs::Up)] {
                if value != Length::ZERO {
                    scene.dimensions.push(from_datum(keyed, place, axis, value, runs));
                }
            }
        }
    }
}

/// How far a place lies from the datum along an axis: as the row sets it, or as it is
/// where the row sets nothing there.
fn from_datum(keyed: &Keyed, place: Point, axis: &str, value: Length, runs: Runs) -> SceneDimension {
    match keyed.row.sets.iter().find(|figure| figure.label() == axis) {
        Some(figure) => figured([Point::ORIGIN, place], runs, figure),
        None => {
            let text = value.decimals(2);
            SceneDimension { from: Point::ORIGIN, to: place, runs, text, figure: None }
        }
    }
}

/// A dimension that says what a figure shows.
fn figured([from, to]: [Point; 2], runs: Runs, figure: &Figure) -> SceneDimension {
    let text = figure.shown.trim_end_matches(" mm").to_owned();
    SceneDimension { from, to, runs, text, figure: Some(figure.name.clone()) }
}
