//! The metal as a setup finds and leaves it, for the cards of the page Order.
//!
//! The metal is the blank, the casting or the bar; everything that is ever cut from it
//! is one area with the moment at which it goes. Of the outside, what lies beyond each
//! of its lines and arcs goes when that piece is cut.

use std::f64::consts::TAU;

use super::{done_by_now, hollow_on_edge, outline_words, same_metal, seen, slot, when};
use crate::drawing::{Axis, Body, Depth, Face, FeatureId, Form, Image, Kind, SectionEnd};
use crate::geometry::wall::Shape;
use crate::geometry::{Point, Segment, slot_edge};
use crate::measure::Length;
use crate::order::Work;
use crate::order::work::Machine;
use crate::plan::beside;
use crate::plan::job::Setup;
use crate::plan::sheet::{Cut, Stage, When};
use crate::plan::views::{blank_scene, box_lines, cut_lines};

/// The metal at a setup; nothing for a turned part that lies or stands on the mill.
pub fn stage(setup: &Setup) -> Option<Stage> {
    let mut pieces = setup.beside().into_iter().filter_map(|piece| one_piece(&piece));
    let mut stage = pieces.next()?;
    pieces.for_each(|other| beside::metal_into(&mut stage, other));
    Some(stage)
}

/// The metal of one piece.
fn one_piece(setup: &Setup) -> Option<Stage> {
    match (&setup.part.drawing.body, setup.holding.machine) {
        (Body::Turned { .. }, Machine::Lathe) => Some(in_lathe(setup)),
        (Body::Turned { .. }, _) => None,
        _ if setup.frame.in_plan() => Some(in_plan(setup)),
        _ => Some(on_edge(setup)),
    }
}

/// When the first cut is made of all that a test says are one; nothing where there is none.
fn first_cut(setup: &Setup, test: &dyn Fn(&Work, Option<FeatureId>) -> bool) -> Option<When> {
    let (order, index) = (setup.job.order, setup.number - 1);
    if order.done.iter().any(|done| same_metal(setup, done.pieces.hand()) && test(&done.work, done.feature)) {
        return Some(When::Before);
    }
    let mine = order.steps.iter().filter(|step| same_metal(setup, step.hand));
    let first = mine.filter(|step| test(&step.work, step.feature)).map(|step| step.setup).min()?;
    Some(match first.cmp(&index) {
        std::cmp::Ordering::Less => When::Before,
        std::cmp::Ordering::Equal => When::Now,
        std::cmp::Ordering::Greater => When::Later,
    })
}

/// What the metal beyond the outline is called.
const OUTSIDE: &str = "the outside";

/// A cut that is seen all round.
fn cut(name: &str, when: When, edge: Vec<Segment>, blind: bool) -> Cut {
    Cut { name: name.to_owned(), when, rim: edge.len(), edge, blind }
}

fn rectangle([x0, x1, y0, y1]: [f64; 4]) -> Vec<Segment> {
    box_lines(x0, y0, x1, y1)
}

fn closed(points: &[Point]) -> Vec<Segment> {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(&a, &b)| Segment::line(a, b)).collect()
}

fn circle(centre: Point, radius_mm: f64) -> Vec<Segment> {
    vec![Segment::arc(centre, radius_mm, 0.0, TAU)]
}

/// A plate in plan.
fn in_plan(setup: &Setup) -> Stage {
    let part = &setup.part;
    let blank = setup.blank;
    let whole = rectangle([blank.left, blank.right, blank.bottom, blank.top].map(Length::as_mm));
    let shape = part.outline().map(|outline| outline.segments().to_vec()).unwrap_or_default();
    let cast = part.drawing.stock.as_ref().is_some_and(|stock| stock.form == Form::Casting);
    let bare = cast || matches!(part.drawing.body, Body::Rectangle { .. }) || shape.is_empty();
    let metal = if cast && !shape.is_empty() { &shape } else { &whole };
    let mut cuts = if bare { Vec::new() } else { outside(setup) };
    for (id, feature) in part.features() {
        let mut add = |edge: Vec<Segment>, blind: bool| {
            let edge = edge.iter().map(|s| seen(setup, s)).collect();
            cuts.push(cut(&feature.name, when(setup, id), edge, blind));
        };
        let from_above = feature.face == setup.frame.up();
        match &feature.kind {
            Kind::Boss { .. } | Kind::Corner { .. } => {}
            Kind::Step { .. } => {
                if let Some(cut) = part.step_from(id, setup.frame.up()) {
                    let (side, at, b) = (cut.open, cut.wall.as_mm(), blank);
                    let [left, right, bottom, top] = [b.left, b.right, b.bottom, b.top].map(Length::as_mm);
                    add(
                        rectangle(match side {
                            Face::Right => [at, right, bottom, top],
                            Face::Left => [left, at, bottom, top],
                            Face::Top => [left, right, at, top],
                            _ => [left, right, bottom, at],
                        }),
                        true,
                    );
                }
            }
            kind => {
                let in_face = matches!(feature.face, Face::Front | Face::Back);
                if !in_face && !matches!(kind, Kind::Slit { .. }) {
                    continue;
                }
                let sunk = matches!(kind, Kind::Counterbore { .. } | Kind::Countersink { .. });
                let through = in_face && !sunk && kind.depth().is_none_or(|d| d == Depth::Through);
                if !through && !from_above {
                    continue;
                }
                match part.plan_shape(id) {
                    Some(Shape::Circle(round)) => add(circle(round.centre, round.radius_mm), !through),
                    Some(Shape::Hollow(edge)) => add(edge.segments().to_vec(), !through),
                    Some(Shape::Slot { centre_line, radius_mm }) => {
                        let (a, b) = (centre_line.start(), centre_line.end());
                        let lines = if part.open_axis(id).is_some() {
                            part.slot_edge(id, [a, b])
                        } else {
                            slot_edge(&centre_line, radius_mm)
                        };
                        add(chained(lines), !through);
                    }
                    Some(Shape::Line(_)) => {
                        let mut lines = blank_scene("", Point::ORIGIN, "");
                        cut_lines(part, id, &mut lines);
                        if let [one, two] = lines.outline.as_slice() {
                            add(closed(&[one.start(), one.end(), two.end(), two.start()]), false);
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    let metal = metal.iter().map(|s| seen(setup, s)).collect();
    let view = format!("{} face up, from above", setup.frame.up().word());
    Stage { view, metal, cuts, datum: Point::ORIGIN }
}

/// Lines put one behind the other where they meet, so that they can be run round.
fn chained(mut lines: Vec<Segment>) -> Vec<Segment> {
    const MEETS_MM: f64 = 1e-3;
    let mut run: Vec<Segment> = Vec::new();
    while !lines.is_empty() {
        let next = match run.last() {
            None => (0, false),
            Some(last) => {
                let end = last.end();
                let meets = |s: &Segment| s.start().distance_mm(end) < MEETS_MM;
                let turned = |s: &Segment| s.end().distance_mm(end) < MEETS_MM;
                let forward = lines.iter().position(meets).map(|n| (n, false));
                forward.or_else(|| lines.iter().position(turned).map(|n| (n, true))).unwrap_or((0, false))
            }
        };
        let line = lines.remove(next.0);
        run.push(if next.1 { line.reversed() } else { line });
    }
    run
}

/// What lies beyond each piece of the outline, as it lies.
fn outside(setup: &Setup) -> Vec<Cut> {
    let part = &setup.part;
    let Ok(outline) = part.outline() else { return Vec::new() };
    let pieces = outline.segments();
    // Round the metal anticlockwise, the outside is on the right.
    let turns = if signed_area(pieces) >= 0.0 { 1.0 } else { -1.0 };
    let far = (setup.blank.width() + setup.blank.height()).as_mm();
    let moments: Vec<Option<When>> = (0..pieces.len()).map(|n| piece_cut(setup, pieces, n)).collect();
    let whole = first_cut(setup, &|work, _| outline_words(work));
    let mut cuts = Vec::new();
    for (n, piece) in pieces.iter().enumerate() {
        let last = (n + pieces.len() - 1) % pieces.len();
        // A corner that is the cutter's own goes with the side before it.
        let when = moments[n].or(moments[last]).or(whole).unwrap_or(When::Later);
        for edge in beyond(piece, turns, far) {
            let edge = edge.iter().map(|s| seen(setup, s)).collect();
            cuts.push(Cut { rim: 1, ..cut(OUTSIDE, when, edge, false) });
        }
        // Beyond a sharp corner the cutter runs on past it.
        let next = &pieces[(n + 1) % pieces.len()];
        let (out, then) = (outward(piece, 1.0, turns), outward(next, 0.0, turns));
        if out.cross(then) * turns > 1e-6 {
            let corner = piece.end();
            let both = out + then;
            let edge = closed(&[
                corner,
                corner + out.times(far),
                corner + both.times(far),
                corner + then.times(far),
            ]);
            let edge = edge.iter().map(|s| seen(setup, s)).collect();
            let other = moments[(n + 1) % pieces.len()].unwrap_or(when);
            cuts.push(Cut { rim: 0, ..cut(OUTSIDE, earlier(when, other), edge, false) });
        }
    }
    cuts
}

fn earlier(one: When, other: When) -> When {
    let rank = |when: When| match when {
        When::Before => 0,
        When::Now => 1,
        When::Later => 2,
    };
    if rank(one) <= rank(other) { one } else { other }
}

/// Twice nothing smaller matters: only its sign is used.
fn signed_area(pieces: &[Segment]) -> f64 {
    let points: Vec<Point> =
        pieces.iter().flat_map(|s| [s.start(), s.along(0.25), s.along(0.5), s.along(0.75)]).collect();
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(a, b)| a.cross(*b)).sum()
}

/// The direction out of the metal at a place along a piece.
fn outward(piece: &Segment, fraction: f64, turns: f64) -> Point {
    let way = match piece {
        Segment::Line(line) => line.direction_rad(),
        Segment::Arc(arc) => arc.start_rad + arc.sweep_rad * fraction + arc.sweep_rad.signum() * TAU / 4.0,
    };
    Point::ORIGIN.polar(1.0, way - turns * TAU / 4.0)
}

/// What lies beyond a piece, in areas that are run round once.
fn beyond(piece: &Segment, turns: f64, far: f64) -> Vec<Vec<Segment>> {
    if let Segment::Arc(arc) = piece
        && arc.sweep_rad * turns < 0.0
    {
        // Hollow: straight out from its two ends, so that nothing crosses.
        let out = outward(piece, 0.5, turns).times(far);
        let (a, b) = (piece.start(), piece.end());
        return vec![vec![
            *piece,
            Segment::line(b, b + out),
            Segment::line(b + out, a + out),
            Segment::line(a + out, a),
        ]];
    }
    let parts = match piece {
        Segment::Line(_) => 1,
        Segment::Arc(arc) => 1 + (arc.sweep_rad.abs() / (TAU / 8.0)) as usize,
    };
    let part = |n: usize| {
        let (from, to) = (n as f64 / parts as f64, (n + 1) as f64 / parts as f64);
        let (a, b) = (piece.along(from), piece.along(to));
        let near = match piece {
            Segment::Line(_) => Segment::line(a, b),
            Segment::Arc(arc) => Segment::arc(
                arc.centre,
                arc.radius_mm,
                arc.start_rad + arc.sweep_rad * from,
                arc.sweep_rad / parts as f64,
            ),
        };
        let (c, d) = (b + outward(piece, to, turns).times(far), a + outward(piece, from, turns).times(far));
        vec![near, Segment::line(b, c), Segment::line(c, d), Segment::line(d, a)]
    };
    (0..parts).map(part).collect()
}

/// Whether this brings out the round end of a boss.
fn brings_out_an_end(work: &Work) -> bool {
    matches!(work, Work::RoundEnd | Work::StepEnd | Work::FileEnd)
}

/// When a piece of the outline is cut.
fn piece_cut(setup: &Setup, pieces: &[Segment], n: usize) -> Option<When> {
    let part = &setup.part;
    let boss_of = |piece: &Segment| match piece {
        Segment::Arc(arc) => part.features().map(|(id, _)| id).find(|&id| {
            let on = |boss: crate::geometry::Circle| boss.centre.distance_mm(arc.centre) < 1e-3;
            part.boss(id).is_some_and(on)
        }),
        Segment::Line(_) => None,
    };
    match part.drawing.body {
        Body::Bosses { .. } => match &pieces[n] {
            arc @ Segment::Arc(_) => {
                let boss = boss_of(arc)?;
                first_cut(setup, &|work, of| brings_out_an_end(work) && of == Some(boss))
            }
            Segment::Line(_) => {
                let count = pieces.len();
                let (one, two) =
                    (boss_of(&pieces[(n + count - 1) % count])?, boss_of(&pieces[(n + 1) % count])?);
                first_cut(setup, &|work, _| match work {
                    Work::MillFlanks { joins } | Work::FileFlanks { joins } => {
                        joins.contains(&(one, two)) || joins.contains(&(two, one))
                    }
                    _ => false,
                })
            }
        },
        Body::Outline { .. } => {
            // The steps count the pieces as drawn; mirrored, they are met the other way round.
            let drawn = if part.image == Image::Mirrored { pieces.len() - 1 - n } else { n };
            first_cut(setup, &|work, of| match work {
                Work::MillSide { piece }
                | Work::StepArc { piece }
                | Work::TurnArc { piece }
                | Work::FileSide { piece } => *piece == drawn,
                end => brings_out_an_end(end) && of.is_some() && of == boss_of(&pieces[n]),
            })
        }
        _ => first_cut(setup, &|work, _| outline_words(work)),
    }
}

/// A plate on edge.
fn on_edge(setup: &Setup) -> Stage {
    let part = &setup.part;
    let [x0, x1, y0, y1] = setup.extent();
    let (low, high) = (setup.off_datum((x0, y0)), setup.off_datum((x1, y1)));
    let [x0, y0, x1, y1] = [low.0, low.1, high.0, high.1].map(Length::as_mm);
    let metal = rectangle([x0.min(x1), x0.max(x1), y0.min(y1), y0.max(y1)]);
    let mut cuts = Vec::new();
    // Once the outline is cut, the work is as long as the part.
    if !matches!(part.drawing.body, Body::Rectangle { .. }) {
        let [left, right, bottom, top] = part.edges();
        let lies = crate::plan::frame::Blank { left, right, bottom, top };
        let [a0, a1, b0, b1] = setup.frame.extent(&lies, setup.thickness());
        let (a, b) = (setup.off_datum((a0, b0)), setup.off_datum((a1, b1)));
        let when = match (done_by_now(setup, outline_words), first_cut(setup, &|work, _| outline_words(work)))
        {
            (true, Some(When::Now)) => When::Now,
            (true, _) => When::Before,
            _ => When::Later,
        };
        let (from, to) = (a.0.as_mm().min(b.0.as_mm()), a.0.as_mm().max(b.0.as_mm()));
        for edge in [[x0.min(x1), from, y0.min(y1), y0.max(y1)], [to, x0.max(x1), y0.min(y1), y0.max(y1)]] {
            cuts.push(cut(OUTSIDE, when, rectangle(edge), false));
        }
    }
    for (id, feature) in part.features() {
        let (at, name) = (when(setup, id), feature.name.as_str());
        if let Kind::Step { leaves, side } = feature.kind {
            let side = part.side(side);
            let (least, most) = setup.thickness();
            let left = part.size(leaves);
            let across = setup.frame.side(side).0 != 0;
            let span = match feature.face {
                Face::Front => Some((least + left, most)),
                Face::Back => Some((least, most - left)),
                _ => None,
            };
            if let (Some(shoulder), Some((from, to)), true) = (part.at(id, side.axis()), span, across) {
                let place = |z: Length| {
                    let mut at = [Length::ZERO, Length::ZERO, z];
                    at[side.axis() as usize] = shoulder;
                    let (x, y) = setup.off_datum(setup.frame.place(at));
                    (x.as_mm(), y.as_mm())
                };
                let ((x, y), (_, far)) = (place(from), place(to));
                let end = if setup.frame.side(side).0 > 0 { x0.max(x1) } else { x0.min(x1) };
                let edge = rectangle([x.min(end), x.max(end), y.min(far), y.max(far)]);
                cuts.push(cut(name, at, edge, false));
            }
            if let Some(open) = setup.part.step_from(id, setup.frame.up()) {
                // Seen from above: from its wall to the side it is open to.
                let (wall_x, wall_y) = setup.read(id);
                let edge = match setup.frame.side(open.open) {
                    (1, _) => [wall_x.as_mm(), x0.max(x1), y0.min(y1), y0.max(y1)],
                    (-1, _) => [x0.min(x1), wall_x.as_mm(), y0.min(y1), y0.max(y1)],
                    (_, 1) => [x0.min(x1), x0.max(x1), wall_y.as_mm(), y0.max(y1)],
                    _ => [x0.min(x1), x0.max(x1), y0.min(y1), wall_y.as_mm()],
                };
                cuts.push(cut(name, at, rectangle(edge), true));
            }
            continue;
        }
        let cut_here = feature.face == setup.frame.up()
            || (feature.face.axis() == setup.frame.up().axis()
                && feature.kind.depth().is_none_or(|d| d == Depth::Through));
        let Some(diameter) = part.cut_diameter(id).filter(|_| cut_here) else { continue };
        let blind = feature.kind.depth().is_some_and(|d| d != Depth::Through);
        let (x, y) = setup.read(id);
        let edge = match setup.slot_ends(id, Length::ZERO) {
            Some([from, to]) if from != to => chained(slot(setup, id, [from, to])),
            _ => {
                hollow_on_edge(setup, id).unwrap_or_else(|| circle(Point::at(x, y), diameter.half().as_mm()))
            }
        };
        cuts.push(cut(name, at, edge, blind));
    }
    let view = format!("{} edge up, from above", setup.frame.up().word());
    Stage { view, metal, cuts, datum: Point::ORIGIN }
}

/// A turned part in the lathe, cut through along its axis, the worked end to the right.
fn in_lathe(setup: &Setup) -> Stage {
    let part = &setup.part;
    let length = part.thickness().as_mm();
    let worked_left = setup.holding.up == Face::Left;
    let along = |x: Length| if worked_left { -x.as_mm() } else { x.as_mm() - length };
    let bar = part.bar_needed().half().as_mm();
    // Something of the bar is seen behind the work, as much as it is thick.
    let metal = rectangle([-length - bar, 1.0, -bar, bar]);
    let mut cuts: Vec<Cut> = Vec::new();
    let faced =
        first_cut(setup, &|work, _| matches!(work, Work::FaceEnd { end } if *end == setup.holding.up));
    let mut add = |name: &str, when: When, edge: Vec<Segment>| {
        cuts.push(cut(name, when, edge, false));
    };
    add("end", faced.unwrap_or(When::Later), rectangle([0.0, 1.0, -bar, bar]));
    let gone = first_cut(setup, &|work, _| matches!(work, Work::PartOff));
    add("bar", gone.unwrap_or(When::Before), rectangle([-length - bar, -length, -bar, bar]));
    for &id in part.sections() {
        let (Some(from), Some(to)) = (part.along(id), part.section_end(id)) else { continue };
        let (a, b) = (along(from), along(to));
        let radius = |end: SectionEnd| part.end_diameter(id, end).unwrap_or_default().half().as_mm();
        let (ra, rb) = (radius(SectionEnd::Left), radius(SectionEnd::Right));
        let axis = part.section_axis(id).0.as_mm();
        for side in [1.0, -1.0] {
            let edge = closed(&[
                Point::new(a, side * bar),
                Point::new(b, side * bar),
                Point::new(b, axis + side * rb),
                Point::new(a, axis + side * ra),
            ]);
            add(&part.feature(id).name, when(setup, id), edge);
        }
    }
    for (id, feature) in part.features() {
        if let Kind::Recess { diameter, hub, .. } = feature.kind {
            let outer = part.size(diameter).half().as_mm();
            let inner = hub.map_or(0.0, |hub| part.size(hub).half().as_mm());
            let (mouth, floor) = (part.recess_start(id).as_mm(), part.recess_floor(id).as_mm());
            let [a, b] = if feature.face == setup.holding.up {
                [-floor, -mouth]
            } else {
                [mouth - length, floor - length]
            };
            for (low, high) in [(inner, outer), (-outer, -inner)] {
                add(&feature.name, when(setup, id), rectangle([a, b, low, high]));
            }
            continue;
        }
        let (Some(diameter), at) = (part.cut_diameter(id), when(setup, id)) else { continue };
        let radius = diameter.half().as_mm();
        match (&feature.kind, feature.face) {
            (Kind::Section { .. }, _) => {}
            (Kind::Groove { width, .. }, _) => {
                let Some(x) = part.along(id) else { continue };
                let (a, b) = (along(x), along(x + part.size(*width)));
                for side in [1.0, -1.0] {
                    let edge = rectangle([
                        a.min(b),
                        a.max(b),
                        (side * radius).min(side * bar),
                        (side * radius).max(side * bar),
                    ]);
                    add(&feature.name, at, edge);
                }
            }
            (Kind::Hole { .. } | Kind::Tapped { .. }, Face::Left | Face::Right) => {
                let depth = feature.kind.depth().unwrap_or(Depth::Through);
                let deep = part.end_depth(id, depth).as_mm();
                let y = part.at(id, Axis::Y).unwrap_or_default().as_mm();
                let start = part.end_start(id).0.as_mm();
                let edge = if feature.face == setup.holding.up {
                    rectangle([-start - deep, -start, y - radius, y + radius])
                } else {
                    rectangle([start - length, start + deep - length, y - radius, y + radius])
                };
                add(&feature.name, at, edge);
            }
            (Kind::Hole { .. } | Kind::Tapped { .. }, _) => {
                let Some(x) = part.along(id) else { continue };
                add(&feature.name, at, circle(Point::new(along(x), 0.0), radius));
            }
            _ => {}
        }
    }
    Stage {
        view: "cut through the axis, the worked end to the right".into(),
        metal,
        cuts,
        datum: Point::ORIGIN,
    }
}
