//! Rows for an outline cut without the rotary table: stepped ends, and flanks with
//! the plate swung.

use super::job::Setup;
use super::rows_mill::{Floor, cut_depths};
use super::rows_rotary::{arc_at, flank_between};
use super::sheet::Row;
use crate::drawing::{Axis, FeatureId, Kind};
use crate::geometry::{Arc, Point, Segment};
use crate::measure::{Length, Toward};
use crate::order::work::{Step, Tool};
use crate::order::{Held, Located, Work};
use crate::problem::Problem;
use crate::settings::passes::Cut;
use crate::settings::rotary;
use crate::settings::show::{geometry, mm, number, practice};
use crate::settings::stepped_curve::{Curve, stepped_curve};
use crate::tables::materials::Operation;
use crate::why::{Figure, Why};

/// The ridge that stepping may leave: common practice, from memory; a file takes a
/// tenth of a millimetre off in a few strokes.
fn ridge() -> Length {
    Length::microns(100)
}

/// Fills a row that cuts the outline on the mill's own table.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let Tool::EndMill(mill) = &step.tool else { return Ok(()) };
    match (&step.work, step.feature) {
        (Work::StepEnd, Some(boss)) => row.sets = stepped_end(setup, row.number, boss, mill.diameter)?,
        (Work::MillFlanks { joins }, _) => {
            for (index, &join) in joins.iter().enumerate() {
                row.sets.extend(swung_flank(setup, row.number, index + 1, join, mill.diameter)?);
            }
        }
        (&Work::MillSide { piece }, _) => side(setup, row, piece, mill.diameter)?,
        (&Work::StepArc { piece }, _) => stepped_piece(setup, row, piece, mill.diameter)?,
        _ => return Ok(()),
    }
    row.speed = setup.speed(row.number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
    let depth = setup.part.thickness() * i64::from(setup.holding.pieces.high());
    row.depth = cut_depths(setup, row.number, (depth, Floor::None), Cut::SideRoughing, mill.diameter)?;
    Ok(())
}

/// The places of the cutter round a boss, read from the datum.
fn stepped_end(setup: &Setup, row: usize, boss: FeatureId, cutter: Length) -> Result<Vec<Figure>, Problem> {
    let (px, py) = setup.frame.feature(&setup.part, boss);
    let arc = arc_at(setup, Point::at(px, py), setup.turned_rad(), Some(boss))?;
    let (x, y) = setup.read(boss);
    let step = setup.job.bench.mill.readout.step();
    let found = stepped_curve(Curve { arc, x, y, cutter, cusp: ridge(), step })?;
    let mut figures = found.figures().into_iter();
    let mut shown: Vec<Figure> = setup.place_all(row, figures.by_ref().take(1).collect());
    let values = found.places.iter().flat_map(|place| [place.x.value, place.y.value]);
    shown.extend(figures.zip(values).map(|(f, value)| setup.slide(row, &f.name, value, f.why)));
    Ok(shown)
}

/// One flank laid along X by swinging the plate about the first bore.
fn swung_flank(
    setup: &Setup,
    row: usize,
    index: usize,
    (a, b): (FeatureId, FeatureId),
    cutter: Length,
) -> Result<Vec<Figure>, Problem> {
    let Some(centre) = swung_about(setup) else { return Ok(Vec::new()) };
    let line = flank_between(setup, laid_at(setup, centre), 0.0, (a, b))?;
    let name = |label: &str| format!("flank {index}, {label}");
    let (mut figures, laid_rad) = swing(setup, row, centre, line.direction_rad(), &name);
    let (start, end) = (line.start.rotated(laid_rad), line.end.rotated(laid_rad));
    // Of a flank that lies askew one end stands out: the cutter keeps clear of that one.
    let outermost_mm = start.y_mm.min(end.y_mm);
    let step = setup.job.bench.mill.readout.step();
    let reach = cutter.half();
    let bore = &setup.part.feature(centre).name;
    let level = practice(format!(
        "the flank is {} from {bore}; the cutter's radius {} is nearer still, rounded to leave metal",
        mm(Length::nearest(outermost_mm.abs())),
        mm(reach)
    ));
    let tangent = geometry("level with the tangent point, rounded to stay within the flank");
    let set = |mm_value: f64, toward| Length::nearest(mm_value).rounded(step, toward).value;
    let y = (Length::nearest(outermost_mm) - reach).rounded(step, Toward::Less).value;
    figures.push(setup.slide(row, &name("Y"), y, level));
    figures.push(setup.slide(row, &name("X start"), set(start.x_mm, Toward::More), tangent.clone()));
    figures.push(setup.slide(row, &name("X stop"), set(end.x_mm, Toward::Less), tangent));
    Ok(figures)
}

/// The bore that a plate is swung about.
fn swung_about(setup: &Setup) -> Option<FeatureId> {
    match setup.holding.located {
        Located::Bore(id) | Located::TwoBores(id, _) => Some(id),
        _ => None,
    }
}

fn laid_at(setup: &Setup, id: FeatureId) -> Point {
    let (x, y) = setup.frame.feature(&setup.part, id);
    Point::at(x, y)
}

/// How the plate is swung so that a direction of the work lies along X, and the angle in
/// radians, anticlockwise from above, by which what will be set turns the work.
fn swing(
    setup: &Setup,
    row: usize,
    centre: FeatureId,
    along_rad: f64,
    name: &dyn Fn(&str) -> String,
) -> (Vec<Figure>, f64) {
    let bore = &setup.part.feature(centre).name;
    if let Located::TwoBores(_, other) = setup.holding.located {
        // Two centres show the swing far finer than any protractor.
        let apart = laid_at(setup, other) - laid_at(setup, centre);
        let lies = apart.rotated(-along_rad);
        let words = &setup.part.feature(other).name;
        let why = geometry(format!(
            "with the flank along X, {words} lies there from {bore}: swing the plate until an indicator finds it so"
        ))
        .because(practice(format!("find {bore} again after every swing, and set nought over it")));
        let places = [("X", lies.x_mm), ("Y", lies.y_mm)];
        let step = setup.job.bench.mill.readout.step();
        let [x, y] = places.map(|(_, value)| Length::nearest(value).rounded(step, Toward::Nearest).value);
        let figures = places
            .map(|(axis, value)| {
                let label = name(&format!("{axis} of {words} after the swing"));
                setup.slide(row, &label, Length::nearest(value), why.clone())
            })
            .to_vec();
        let turned_rad = Point::ORIGIN.direction_rad(Point::at(x, y)) - Point::ORIGIN.direction_rad(apart);
        return (figures, turned_rad);
    }
    let degrees = -along_rad.to_degrees();
    let way = if degrees < 0.0 { "clockwise" } else { "anticlockwise" };
    let why = geometry(format!("from where the work lies as drawn, about {bore}, seen from above"));
    let words = format!("{}° {way}", number(degrees.abs(), 3));
    (vec![Figure::new(setup.named(row, &name("swing the plate")), words, why)], -along_rad)
}

/// A straight side of an outline of corners and arcs: along an axis, or swung to lie so.
fn side(setup: &Setup, row: &mut Row, piece: usize, cutter: Length) -> Result<(), Problem> {
    let road = setup.road(piece, cutter)?;
    let number = row.number;
    let (mut from, mut to) = (road.start(), road.end());
    let plain = |label: &str| label.to_owned();
    let mut off = geometry(format!(
        "the cutter's radius {} outside the side, rounded to leave metal",
        mm(cutter.half())
    ));
    for why in why_piece(setup, piece) {
        off = off.because(why);
    }
    if let (Held::PlateSwung { .. }, Some(centre)) = (&setup.holding.held, swung_about(setup)) {
        let along_rad = from.direction_rad(to);
        let (figures, laid_rad) = swing(setup, number, centre, along_rad, &plain);
        row.sets = figures;
        (from, to) = (from.rotated(laid_rad), to.rotated(laid_rad));
    }
    let step = setup.job.bench.mill.readout.step();
    let way = to - from;
    let along_x = way.x_mm.abs() > way.y_mm.abs();
    let (fixed, moved) = if along_x { ("Y", "X") } else { ("X", "Y") };
    let pick = |point: Point| if along_x { (point.y_mm, point.x_mm) } else { (point.x_mm, point.y_mm) };
    let ((one, start), (other, stop)) = (pick(from), pick(to));
    // The metal lies left of the way: less is away from it when that way is +X or −Y.
    let away = if (if along_x { way.x_mm } else { -way.y_mm }) > 0.0 { Toward::Less } else { Toward::More };
    // Of a side that lies askew one end stands out: the cutter keeps clear of that one.
    let level = if away == Toward::Less { one.min(other) } else { one.max(other) };
    let inward = if stop > start { (Toward::More, Toward::Less) } else { (Toward::Less, Toward::More) };
    let set = |value: f64, toward| Length::nearest(value).rounded(step, toward).value;
    let ends = geometry(
        "past an outside corner until it is clear, before an inside one where the cutter touches the next side",
    );
    row.sets.push(setup.slide(number, fixed, set(level, away), off));
    row.sets.push(setup.slide(number, &format!("{moved} start"), set(start, inward.0), ends.clone()));
    row.sets.push(setup.slide(number, &format!("{moved} stop"), set(stop, inward.1), ends));
    Ok(())
}

/// An arc of an outline by stepped coordinates; of the cutter's own radius, its centre.
fn stepped_piece(setup: &Setup, row: &mut Row, piece: usize, cutter: Length) -> Result<(), Problem> {
    let road = setup.road(piece, cutter)?;
    let number = row.number;
    let why = why_piece(setup, piece);
    let Segment::Arc(arc) = road else {
        let at = road.start();
        let own = why.into_iter().fold(geometry("the hollow has the cutter's own radius"), Why::because);
        for (axis, value) in [("X", at.x_mm), ("Y", at.y_mm)] {
            row.sets.push(setup.slide(number, axis, Length::nearest(value), own.clone()));
        }
        return Ok(());
    };
    // Back from the road of the cutter to the arc itself, as far round as the road goes.
    let radius_mm = arc.radius_mm - cutter.half().as_mm() * arc.sweep_rad.signum();
    let cut = rotary::Arc::from(Arc { radius_mm, ..arc });
    let (x, y) = (Length::nearest(arc.centre.x_mm), Length::nearest(arc.centre.y_mm));
    let step = setup.job.bench.mill.readout.step();
    let found = stepped_curve(Curve { arc: cut, x, y, cutter, cusp: ridge(), step })?;
    let mut figures = found.figures().into_iter();
    row.sets = setup.place_all(number, figures.by_ref().take(1).collect());
    let values = found.places.iter().flat_map(|place| [place.x.value, place.y.value]);
    row.sets.extend(figures.zip(values).map(|(f, value)| {
        let why = why.iter().cloned().fold(f.why, Why::because);
        setup.slide(number, &f.name, value, why)
    }));
    let radius = Length::nearest(radius_mm);
    let gauge = practice("a radius gauge, once the ridges are filed off");
    let gauge = why.into_iter().fold(gauge, Why::because);
    row.check = Some(Figure::new(setup.named(number, "radius"), mm(radius), gauge));
    Ok(())
}

/// The sizes and places behind a piece of the outline: of the corner it rounds, or of the
/// two that it joins.
pub fn why_piece(setup: &Setup, piece: usize) -> Vec<Why> {
    let Ok(named) = setup.part.pieces() else { return Vec::new() };
    let Some(name) = named.names.get(piece) else { return Vec::new() };
    let mut why = Vec::new();
    for (id, feature) in setup.part.features() {
        let own = *name == feature.name;
        let ends = name.strip_prefix(&format!("{} to ", feature.name)).is_some()
            || name.strip_suffix(&format!(" to {}", feature.name)).is_some();
        match feature.kind {
            Kind::Corner { radius: Some(radius) } if own => why.push(setup.job.why_dimension(radius)),
            Kind::Corner { .. } | Kind::Boss { .. } if ends || own => {
                why.extend([Axis::X, Axis::Y].map(|axis| setup.why_place(id, axis)));
            }
            _ => {}
        }
    }
    why
}
