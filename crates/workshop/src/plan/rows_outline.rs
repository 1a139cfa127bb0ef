//! Rows for an outline cut without the rotary table: stepped ends, and flanks with
//! the plate swung.

use super::cutting::{Cutting, Floor, cut_depths};
use super::job::Setup;
use super::rows_rotary::{arcs_at, flank_between, outline_from_datum};
use super::sheet::Row;
use crate::drawing::{Axis, FeatureId, Kind};
use crate::geometry::clear::{settled, stands_clear};
use crate::geometry::{Arc, Point, SAME_POINT_MM, Segment};
use crate::measure::{Length, Toward};
use crate::order::work::{Step, Tool};
use crate::order::{Held, Located, Work};
use crate::problem::Problem;
use crate::settings::flank::Beyond;
use crate::settings::passes::Cut;
use crate::settings::rotary;
use crate::settings::show::{geometry, mm, number, practice};
use crate::settings::stepped_curve::{Curve, Place, stepped_curve};
use crate::settings::stepped_line::{Side, stepped_line};
use crate::settings::straight::{straight, why_ends, why_level};
use crate::tables::materials::Operation;
use crate::why::{Figure, Why};

/// The ridge that stepping may leave: common practice, from memory; a file takes a
/// tenth of a millimetre off in a few strokes.
pub(super) fn ridge() -> Length {
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
    let size = match step.feature.map(|id| &setup.part.feature(id).kind) {
        Some(&Kind::Boss { radius } | &Kind::Corner { radius: Some(radius) }) => Some(radius),
        _ => None,
    };
    let cut = Cutting { mill, cut: Cut::SideRoughing, depth, floor: Floor::None, size };
    row.depth = cut_depths(setup, row.number, cut)?;
    Ok(())
}

/// The places of the cutter round a boss, read from the datum.
fn stepped_end(setup: &Setup, row: usize, boss: FeatureId, cutter: Length) -> Result<Vec<Figure>, Problem> {
    let (px, py) = setup.frame.feature(&setup.part, boss);
    let arcs = arcs_at(setup, Point::at(px, py), setup.turned_rad(), Some(boss))?;
    let (x, y) = setup.read(boss);
    let step = setup.job.bench.mill.readout.step();
    let rest = outline_from_datum(setup)?;
    let mut shown = Vec::new();
    for (nth, arc) in arcs.into_iter().enumerate() {
        let label = if nth == 0 { String::new() } else { format!("arc {}, ", nth + 1) };
        let found = stepped_curve(Curve { arc, x, y, cutter, cusp: ridge(), step }, &rest)?;
        shown.extend(stepped(setup, (row, &label), &found.places, found.figures(), &[]));
    }
    Ok(shown)
}

/// The rows of stepped places: what is the same for all first.
pub(super) fn stepped(
    setup: &Setup,
    (row, label): (usize, &str),
    places: &[Place],
    figures: Vec<Figure>,
    why: &[Why],
) -> Vec<Figure> {
    let values = places.iter().flat_map(|place| [place.x.value, place.y.value]);
    let shared = figures.len() - 2 * places.len();
    let mut values = std::iter::repeat_n(None, shared).chain(values.map(Some));
    let rows = figures.into_iter().map(|figure| {
        let name = format!("{label}{}", figure.name);
        match values.next().flatten() {
            Some(value) => {
                let why = why.iter().cloned().fold(figure.why, Why::because);
                setup.slide(row, &name, value, why)
            }
            None => Figure { name: setup.named(row, &name), ..figure },
        }
    });
    rows.collect()
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
    let reach = cutter.half();
    let below = |point: Point| point - Point::new(0.0, reach.as_mm());
    let rest = swung_outline(setup, centre, laid_rad)?;
    let step = setup.job.bench.mill.readout.step();
    let run = straight(below(start), below(end), [Beyond::Blend; 2], (reach, step), &rest)?;
    let bore = &setup.part.feature(centre).name;
    let level = practice(format!(
        "the flank is {} from {bore}; the cutter's radius {} is nearer still, rounded to leave metal",
        mm(Length::nearest(start.y_mm.min(end.y_mm).abs())),
        mm(reach)
    ));
    let tangent = geometry("level with the tangent point, rounded to stay within the flank");
    figures.push(setup.slide(row, &name("Y"), run.level.value, level));
    figures.push(setup.slide(row, &name("X start"), run.start.value, tangent.clone()));
    figures.push(setup.slide(row, &name("X stop"), run.stop.value, tangent));
    figures.extend(askew_swung(setup, (row, &name("")), (start, end)));
    Ok(figures)
}

/// The whole outline from the bore it is swung about, as the work then lies.
fn swung_outline(setup: &Setup, centre: FeatureId, laid_rad: f64) -> Result<Vec<Segment>, Problem> {
    let here = laid_at(setup, centre);
    let (x, y) = setup.origin();
    let lay = |s: Segment| s.translated(Point::at(x, y) - here).rotated(laid_rad);
    Ok(outline_from_datum(setup)?.into_iter().map(lay).collect())
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
    // As it is told, so it will be set: the run is reckoned from the rounded angle.
    let degrees = (-along_rad.to_degrees() * 1e3).round() / 1e3;
    let way = if degrees < 0.0 { "clockwise" } else { "anticlockwise" };
    let why = geometry(format!("from where the work lies as drawn, about {bore}, seen from above"));
    let words = format!("{}° {way}", number(degrees.abs(), 3));
    let swung = Figure::new(setup.named(row, &name("swing the plate")), words, why);
    (vec![swung], degrees.to_radians())
}

/// A straight side of an outline of corners and arcs: along an axis, or swung to lie so.
fn side(setup: &Setup, row: &mut Row, piece: usize, cutter: Length) -> Result<(), Problem> {
    let road = setup.road(piece, cutter)?;
    let number = row.number;
    let (mut from, mut to) = (road.start(), road.end());
    let plain = |label: &str| label.to_owned();
    let off = why_piece(setup, piece).into_iter().fold(why_level(cutter), Why::because);
    let mut rest = outline_from_datum(setup)?;
    if let (Held::PlateSwung { .. }, Some(centre)) = (&setup.holding.held, swung_about(setup)) {
        let along_rad = from.direction_rad(to);
        let (figures, laid_rad) = swing(setup, number, centre, along_rad, &plain);
        row.sets = figures;
        (from, to) = (from.rotated(laid_rad), to.rotated(laid_rad));
        rest = swung_outline(setup, centre, laid_rad)?;
    }
    let step = setup.job.bench.mill.readout.step();
    let run = straight(from, to, [Beyond::Blend; 2], (cutter.half(), step), &rest)?;
    let (fixed, moved) = run.slides();
    let ends = why_ends();
    row.sets.push(setup.slide(number, fixed, run.level.value, off));
    row.sets.push(setup.slide(number, &format!("{moved} start"), run.start.value, ends.clone()));
    row.sets.push(setup.slide(number, &format!("{moved} stop"), run.stop.value, ends));
    if let Held::PlateSwung { .. } = setup.holding.held {
        row.sets.extend(askew_swung(setup, (number, ""), (from, to)));
    }
    Ok(())
}

/// An arc or a slanting side of an outline by stepped coordinates; of a hollow of the cutter's
/// own radius, its centre.
fn stepped_piece(setup: &Setup, row: &mut Row, piece: usize, cutter: Length) -> Result<(), Problem> {
    let road = setup.road(piece, cutter)?;
    let number = row.number;
    let why = why_piece(setup, piece);
    let rest = outline_from_datum(setup)?;
    if let Segment::Line(line) = road
        && road.length_mm() > SAME_POINT_MM
    {
        let side = Side { road: line, cutter, ridge: ridge(), step: setup.job.bench.mill.readout.step() };
        let found = stepped_line(side, &rest)?;
        row.sets = stepped(setup, (number, ""), &found.places, found.figures(), &why);
        return Ok(());
    }
    let Segment::Arc(arc) = road else {
        let at = road.start();
        let own = why.into_iter().fold(geometry("the hollow has the cutter's own radius"), Why::because);
        // On the nearest steps of the slides where it cuts into neither side.
        let reach_mm = cutter.half().as_mm();
        let step = setup.job.bench.mill.readout.step();
        let (x, y) = settled(at, step, |at| stands_clear(&rest, at, reach_mm)).ok_or_else(|| {
            Problem::new(format!("a cutter of {} does not stand clear in this hollow", mm(cutter)))
                .why("it would cut into the outline beside it")
                .mend("use a smaller end mill, or file the hollow")
        })?;
        for (axis, value) in [("X", x), ("Y", y)] {
            row.sets.push(setup.slide(number, axis, value, own.clone()));
        }
        return Ok(());
    };
    // Back from the road of the cutter to the arc itself, as far round as the road goes.
    let radius_mm = arc.radius_mm - cutter.half().as_mm() * arc.sweep_rad.signum();
    let cut = rotary::Arc::from(Arc { radius_mm, ..arc });
    let (x, y) = (Length::nearest(arc.centre.x_mm), Length::nearest(arc.centre.y_mm));
    let step = setup.job.bench.mill.readout.step();
    let found = stepped_curve(Curve { arc: cut, x, y, cutter, cusp: ridge(), step }, &rest)?;
    row.sets = stepped(setup, (number, ""), &found.places, found.figures(), &why);
    let radius = Length::nearest(radius_mm);
    let gauge = practice("a radius gauge, once the ridges are filed off");
    let gauge = why.into_iter().fold(gauge, Why::because);
    row.check = Some(Figure::new(setup.named(number, "radius"), mm(radius), gauge));
    Ok(())
}

/// What a side has to be out by to be told where it blends: what a micrometer in hundredths shows.
pub(super) fn seen_askew() -> Length {
    Length::mm_ratio(1, 100)
}

/// What a side is out by as it is set.
pub(super) fn askew(setup: &Setup, (number, label): (usize, &str), out: Length, why: &str) -> Figure {
    let name = setup.named(number, &format!("{label}out of parallel, end to end"));
    Figure::new(name, format!("{} mm", out.decimals(3)), geometry(why))
}

/// What a side that is swung to lie along X is out by, where that shows.
fn askew_swung(setup: &Setup, named: (usize, &str), (start, end): (Point, Point)) -> Option<Figure> {
    let out = Length::nearest((end.y_mm - start.y_mm).abs());
    let why = "the swing is set on whole steps of what shows it, and the side lies as it is set";
    (out >= seen_askew()).then(|| askew(setup, named, out, why))
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
