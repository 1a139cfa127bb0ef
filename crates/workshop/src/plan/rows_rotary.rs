//! Rows on the rotary table: rounded ends, discs and flanks.

use super::cutting::{Cutting, Floor, ON_SIDE, cut_depths};
use super::job::Setup;
use super::lies::Shown;
use super::rows_curved;
use super::rows_mill;
use super::rows_outline::{askew, seen_askew, why_piece};
use super::sheet::Row;
use super::slides::wound;
use crate::drawing::{Axis, Body, DimensionId, Face, FeatureId, Image, Kind};
use crate::geometry::{Arc, Line, Point, Segment};
use crate::measure::{Angle, Length, Toward};
use crate::order::work::{Step, Tool};
use crate::order::{Held, Located, Work};
use crate::problem::Problem;
use crate::settings::flank::{Beyond, Edge, Facing, set_flank};
use crate::settings::handwheel::{Handwheel, wind};
use crate::settings::passes::{Cut, greatest_bite};
use crate::settings::rotary::{self, ArcSetting, Metal, RotaryTable, check_swing, overrun, set_arc};
use crate::settings::round_outline::edge_under;
use crate::settings::show::{geometry, mm, practice};
use crate::tables::materials::Operation;
use crate::why::{Figure, Why};

/// The gouge that nobody would see or feel: common practice.
fn bearable() -> Length {
    Length::mm_ratio(2, 100)
}

/// Why a side that the table lays along X may lie askew.
const BY_TABLE: &str = "the table reads to whole divisions, and the side lies as it is set";

/// The figures of an arc that has two ends.
const ENDS: [&str; 4] = ["start at", "stop at", "gouge of 1° overrun", "greatest overrun"];

/// The spindle's place for an arc.
const OFFSET: &str = "offset from the table centre";

/// Fills a row on the rotary table.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let Tool::EndMill(mill) = &step.tool else { return rows_mill::fill(setup, step, row) };
    let Some(table) = &setup.job.bench.rotary_table else { return rows_mill::fill(setup, step, row) };
    let number = row.number;
    match &step.work {
        Work::RoundEnd => {
            let arcs = arcs_at(setup, centre(setup), setup.turned_rad(), step.feature)?;
            // A boss may come to the outline more than once; anything else names one arc.
            let boss =
                step.feature.is_some_and(|id| matches!(setup.part.feature(id).kind, Kind::Boss { .. }));
            let own = if boss { arcs.len() } else { 1 };
            for (nth, &arc) in arcs[..own].iter().enumerate() {
                let label = if nth == 0 { String::new() } else { format!("arc {}, ", nth + 1) };
                row.sets.extend(round(setup, step, (number, &label), arc, mill.diameter)?);
            }
            row.check = radius_check(setup, number, step);
        }
        Work::MillFlanks { joins } => {
            for (index, &(a, b)) in joins.iter().enumerate() {
                let words = format!("flank {}", index + 1);
                let line = flank_between(setup, centre(setup), setup.turned_rad(), (a, b))?;
                let edge = Edge { line, before: Beyond::Blend, after: Beyond::Blend };
                let step_of_slide = setup.job.bench.mill.readout.step();
                let rest = outline_at(setup)?;
                let table = RotaryTable::from(table);
                let setting = set_flank(edge, mill.diameter, Facing::Front, table, step_of_slide, &rest)?;
                let mut figures = setting.figures_on_the_rim().into_iter();
                row.sets.extend(figures.by_ref().take(1).map(|figure| Figure {
                    name: setup.named(number, &format!("{words}, {}", figure.name)),
                    ..figure
                }));
                let values = [setting.y.value, setting.x_from.value, setting.x_to.value];
                row.sets.extend(figures.zip(values).map(|(figure, value)| {
                    setup.slide(number, &format!("{words}, {}", figure.name), value, figure.why)
                }));
                let out = setting.out_of_parallel;
                if out >= seen_askew() {
                    row.sets.push(askew(setup, (number, &format!("{words}, ")), out, BY_TABLE));
                }
            }
            let why = practice(
                "run each flank from start to stop, as given: the cutter then cuts against the feed",
            );
            row.check =
                Some(Figure::new(setup.named(number, "blend"), "no step where flank meets boss", why));
        }
        &Work::TurnArc { piece } => turned_arc(setup, row, piece, mill.diameter)?,
        Work::MillSlot { deep, sides } => {
            check_swing(farthest(setup), setup.job.bench.mill.column)?;
            return rows_curved::mill(setup, step, *deep, *sides, row);
        }
        &Work::MillSide { piece } => laid_side(setup, row, piece, mill.diameter)?,
        _ => return rows_mill::fill(setup, step, row),
    }
    row.speed = setup.speed(number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
    let depth = setup.part.thickness() * i64::from(setup.holding.pieces.high());
    let size = round_size(setup, step);
    let cut = Cutting { mill, cut: Cut::SideRoughing, depth, floor: Floor::None, size };
    row.depth = cut_depths(setup, number, cut)?;
    check_swing(farthest(setup), setup.job.bench.mill.column)?;
    Ok(())
}

/// What is set for one arc about the table's centre.
fn round(
    setup: &Setup,
    step: &Step,
    (number, label): (usize, &str),
    arc: rotary::Arc,
    cutter: Length,
) -> Result<Vec<Figure>, Problem> {
    let Some(table) = &setup.job.bench.rotary_table else { return Ok(Vec::new()) };
    let setting = set_arc(arc, cutter, RotaryTable::from(table), bearable())?;
    let mut figures = setting.figures_on_the_rim();
    if arc.sweep == Angle::degrees(360) {
        // All the way round there is nowhere to start or stop, and nothing to gouge.
        figures.retain(|f| !ENDS.contains(&f.name.as_str()));
    }
    // Set by the slide, the spindle off to the right; a step too far leaves metal.
    let offset = setting.offset_on(setup.job.bench.mill.readout.step(), &outline_at(setup)?)?;
    let size = round_size(setup, step).map(|id| setup.job.why_dimension(id));
    Ok(placed(setup, (number, label), (&setting, offset.value), figures, size.into_iter().collect()))
}

/// The figures of an arc on the sheet: how its waste comes off, then what is set, the offset by
/// the slide.
fn placed(
    setup: &Setup,
    (number, label): (usize, &str),
    (setting, offset): (&ArcSetting, Length),
    figures: Vec<Figure>,
    whys: Vec<Why>,
) -> Vec<Figure> {
    let place = |figure: Figure| {
        if figure.name != OFFSET {
            return Figure { name: setup.named(number, &format!("{label}{}", figure.name)), ..figure };
        }
        let why = whys.iter().cloned().fold(figure.why, Why::because);
        let why = why.because(practice("the table moves along X, the spindle to its right"));
        setup.slide(number, &format!("{label}{OFFSET}"), offset, why)
    };
    std::iter::once(roughing(setup, setting, offset)).chain(figures).map(place).collect()
}

/// An arc of an outline with its own centre over the table's, between where the cutter stops
/// short of what lies beside it.
fn turned_arc(setup: &Setup, row: &mut Row, piece: usize, cutter: Length) -> Result<(), Problem> {
    let (number, why) = (row.number, why_piece(setup, piece));
    let (own, road, rest) = from_centre(setup, piece, cutter)?;
    let (Segment::Arc(arc), Segment::Arc(run)) = (own, road) else {
        return Err(Problem::new("the cutter does not go round this arc on the rotary table")
            .why(format!("a cutter of {} only stands in it", mm(cutter)))
            .mend("use a smaller end mill, or mill it by coordinates"));
    };
    let Some(table) = &setup.job.bench.rotary_table else { return Ok(()) };
    let reached = Arc { start_rad: run.start_rad, sweep_rad: run.sweep_rad, ..arc };
    let setting = set_arc(rotary::Arc::from(reached), cutter, RotaryTable::from(table), bearable())?;
    let offset = setting.offset_on(setup.job.bench.mill.readout.step(), &rest)?;
    let overrun = overrun(&setting, offset.value, &rest);
    let mut figures = setting.figures_on_the_rim();
    figures.retain(|figure| !ENDS[2..].contains(&figure.name.as_str()));
    figures.extend(overrun.figures(&setting));
    row.sets = placed(setup, (number, ""), (&setting, offset.value), figures, why.clone());
    let gauge = practice("a radius gauge");
    let gauge = why.into_iter().fold(gauge, Why::because);
    row.check = Some(Figure::new(setup.named(number, "radius"), mm(setting.arc.radius), gauge));
    Ok(())
}

/// A straight side of an outline, laid along X by the table.
fn laid_side(setup: &Setup, row: &mut Row, piece: usize, cutter: Length) -> Result<(), Problem> {
    let (_, run, rest) = from_centre(setup, piece, cutter)?;
    let Some(table) = &setup.job.bench.rotary_table else { return Ok(()) };
    let edge = edge_under(run, cutter.half());
    let step = setup.job.bench.mill.readout.step();
    let setting = set_flank(edge, cutter, Facing::Front, RotaryTable::from(table), step, &rest)?;
    let values = [None, Some(setting.y.value), Some(setting.x_from.value), Some(setting.x_to.value)];
    let figures = setting.figures_on_the_rim().into_iter().zip(values).map(|(figure, value)| {
        let why = why_piece(setup, piece).into_iter().fold(figure.why, Why::because);
        match value {
            Some(value) => setup.slide(row.number, &figure.name, value, why),
            None => Figure { name: setup.named(row.number, &figure.name), why, ..figure },
        }
    });
    row.sets = figures.collect();
    row.sets.push(askew(setup, (row.number, ""), setting.out_of_parallel, BY_TABLE));
    Ok(())
}

/// A piece of the outline, the road of the cutter along it and the whole outline, as they lie
/// from the table's centre at reading nought.
fn from_centre(
    setup: &Setup,
    piece: usize,
    cutter: Length,
) -> Result<(Segment, Segment, Vec<Segment>), Problem> {
    let road = setup.road(piece, cutter)?;
    let pieces = setup.part.pieces()?;
    let own = pieces.outline.segments().get(piece).copied().ok_or_else(|| {
        Problem::new("the outline has no such piece").mend("plan the order anew from the part file")
    })?;
    Ok((setup.laid(own), road, outline_at(setup)?))
}

/// The dimension that a round is cut to: the radius of its boss, or a disc's diameter.
fn round_size(setup: &Setup, step: &Step) -> Option<DimensionId> {
    match (step.feature.map(|id| &setup.part.feature(id).kind), &setup.part.drawing.body) {
        (Some(&Kind::Boss { radius } | &Kind::Corner { radius: Some(radius) }), _) => Some(radius),
        (_, &Body::Disc { diameter, .. }) => Some(diameter),
        _ => None,
    }
}

/// How the waste comes off before the last cut at the offset.
fn roughing(setup: &Setup, setting: &ArcSetting, offset: Length) -> Figure {
    let bite = greatest_bite(Cut::SideRoughing, setting.cutter, setup.job.material);
    let left = ON_SIDE;
    let why = practice(format!(
        "the waste beyond the line comes off {} at a time; the last {} is left for one light cut at the offset",
        mm(bite.radial),
        mm(left)
    ))
    .because(bite.why);
    let (to, way) = match setting.arc.metal {
        Metal::Inside => (offset + left, "nearer"),
        Metal::Outside => ((offset - left).max(Length::ZERO), "farther out"),
    };
    let shown = match Handwheel::of(&setup.job.bench.mill.readout) {
        // In whole divisions, on the side that leaves metal.
        Some(wheel) if wheel.division() <= bite.radial => {
            let toward = if setting.arc.metal == Metal::Inside { Toward::More } else { Toward::Less };
            let set = to.rounded(wheel.division(), toward).value;
            let each = bite.radial.ratio_to(wheel.division()).to_integer();
            let at = wind(wheel, set).map_or_else(|_| mm(set), |winding| wound(&winding));
            format!("{at}, {each} divisions {way} each time")
        }
        _ => format!("{}, {} {way} each time", mm(to), mm(bite.radial)),
    };
    Figure::new("rough to", shown, why)
}

/// The numbers set once: the table centred under the spindle, the work on its stub or plate.
pub fn presets(setup: &Setup) -> Vec<Figure> {
    let then = match setup.holding.held {
        Held::PlateTurned { .. } => match setup.holding.located {
            Located::TwoBores(..) => "then the plate, tapped to its place by both bores as below",
            _ => "then the plate, tapped to its place by the bore and an edge as below",
        },
        _ => "then the work on its stub, which is true to the table",
    };
    let centred =
        practice(format!("first the table under the spindle, with an indicator in its bore; {then}"));
    let mut figures: Vec<Figure> = ["X", "Y"]
        .map(|axis| {
            Figure::new(
                setup.named(0, &format!("{axis} with the spindle over the table's centre")),
                setup.nought(),
                centred.clone(),
            )
        })
        .to_vec();
    if let Some((words, why)) = lying(setup) {
        figures.push(Figure::new(setup.named(0, "table reading"), words, why));
    }
    figures.extend(bores_from_centre(setup));
    figures
}

/// Where the bores of the plate lie from the table's centre, at reading nought.
fn bores_from_centre(setup: &Setup) -> Vec<Figure> {
    let (bores, then, along) = match (setup.table_centre(), setup.holding.located) {
        (Some(_), Located::TwoBores(one, other)) => (
            vec![one, other],
            "then the other bore, then this one again".to_owned(),
            "the line of the two bores lies along X at reading nought".to_owned(),
        ),
        (Some(_), Located::Bore(only)) => {
            let shown = setup.shown_by().unwrap_or(Shown::Blank);
            let then = format!(
                "then turn it on its bolt until {} run along it shows {}, then the bore again",
                shown.finder(),
                shown.words()
            );
            (vec![only], then, format!("{} at reading nought", shown.words()))
        }
        _ => return Vec::new(),
    };
    let places = bores.into_iter().flat_map(|id| {
        let (x, y) = setup.read(id);
        let name = setup.part.feature(id).name.clone();
        [("X", x, Axis::X), ("Y", y, Axis::Y)].map(|(word, at, axis)| {
            let why = practice(format!(
                "the slides stand here from the table's centre: tap the plate until an indicator in the spindle runs true in {name} or on its stud; {then}"
            ))
            .because(geometry(along.clone()))
            .because(setup.why_place(id, axis));
            setup.slide(0, &format!("{word} over {name}"), at, why)
        })
    });
    places.collect()
}

/// The ring at nought before work on a plate is tapped into its place.
const RING_FIRST: &str = "lock the table with its ring at nought before the plate is tapped into its place, and keep it so until the plate is clamped";

/// What lies along X at reading nought.
fn lying(setup: &Setup) -> Option<(String, Why)> {
    if let Some(shown) = setup.shown_by() {
        let how = match setup.table_centre() {
            Some(_) => practice(RING_FIRST),
            None => practice(format!(
                "turn the table until {} run along it stands still, lock it, and set its ring to nought",
                shown.finder()
            )),
        };
        return Some((format!("0° with {}", shown.words()), how.because(shown.why())));
    }
    let Located::TwoBores(one, other) = setup.holding.located else { return None };
    let [one, other] = [one, other].map(|id| &setup.part.feature(id).name);
    Some(match setup.table_centre() {
        Some(_) => (format!("0° with {other} to the right of {one}, level along X"), practice(RING_FIRST)),
        None => {
            let why = practice(format!(
                "clock a plug in {other} level with the table's centre, lock the table, and set its ring to nought"
            ));
            (format!("0° with {other} to the right, level along X"), why)
        }
    })
}

/// The centre of the table, in the part as it lies.
fn centre(setup: &Setup) -> Point {
    if let Some((x, y)) = setup.table_centre() {
        return Point::at(x, y);
    }
    match setup.holding.located {
        Located::Bore(id) | Located::TwoBores(id, _) => {
            let (x, y) = setup.frame.feature(&setup.part, id);
            Point::at(x, y)
        }
        _ => Point::ORIGIN,
    }
}

fn segments(setup: &Setup) -> Result<Vec<Segment>, Problem> {
    let outline = setup.part.outline()?;
    let outline = if setup.frame.up() == Face::Back { outline.mirrored() } else { outline };
    Ok(outline.anticlockwise().segments().to_vec())
}

/// The outline as it lies from the table's centre at reading nought.
fn outline_at(setup: &Setup) -> Result<Vec<Segment>, Problem> {
    let here = centre(setup);
    let lay = |s: &Segment| s.translated(Point::ORIGIN - here).rotated(-setup.turned_rad());
    Ok(segments(setup)?.iter().map(lay).collect())
}

/// The whole outline as it lies on the machine, from the setup's datum.
pub fn outline_from_datum(setup: &Setup) -> Result<Vec<Segment>, Problem> {
    let (x, y) = setup.origin();
    let lay = |s: &Segment| s.translated(Point::ORIGIN - Point::at(x, y)).rotated(-setup.turned_rad());
    Ok(segments(setup)?.iter().map(lay).collect())
}

/// The arcs of the outline about a centre, with their angles from a direction; one at least.
pub fn arcs_at(
    setup: &Setup,
    centre: Point,
    nought_rad: f64,
    feature: Option<FeatureId>,
) -> Result<Vec<rotary::Arc>, Problem> {
    let found = segments(setup)?.into_iter().filter_map(|segment| match segment {
        Segment::Arc(arc) if arc.centre.distance_mm(centre) < 1e-6 => {
            Some(rotary::Arc::from(Arc { start_rad: arc.start_rad - nought_rad, ..arc }))
        }
        _ => None,
    });
    let found: Vec<rotary::Arc> = found.collect();
    if found.is_empty() {
        let name = feature.map_or("the end", |id| &setup.part.feature(id).name);
        return Err(Problem::new(format!("{name} has no arc on the outline"))
            .mend("name the bosses of the outline in `around`, anticlockwise"));
    }
    Ok(found)
}

/// The straight flank between two bosses as it lies, from a centre and a direction,
/// the metal on its left.
pub fn flank_between(
    setup: &Setup,
    centre: Point,
    nought_rad: f64,
    (a, b): (FeatureId, FeatureId),
) -> Result<Line, Problem> {
    // Seen from behind or in a mirror, the outline runs from the second boss to the first.
    let behind = setup.frame.up() == Face::Back;
    let (a, b) = if behind == (setup.part.image == Image::Mirrored) { (a, b) } else { (b, a) };
    let boss = |id: FeatureId| {
        let (x, y) = setup.frame.feature(&setup.part, id);
        let radius = setup.part.boss(id).map_or(0.0, |boss| boss.radius_mm);
        (Point::at(x, y), radius)
    };
    let touches =
        |point: Point, (centre, radius): (Point, f64)| (point.distance_mm(centre) - radius).abs() < 1e-4;
    let (from, to) = (boss(a), boss(b));
    let found = segments(setup)?.into_iter().find_map(|segment| match segment {
        Segment::Line(line) if touches(line.start, from) && touches(line.end, to) => Some(line),
        _ => None,
    });
    let lay = |point: Point| (point - centre).rotated(-nought_rad);
    found.map(|line| Line::new(lay(line.start), lay(line.end))).ok_or_else(|| {
        Problem::new(format!(
            "there is no flank from {} to {}",
            setup.part.feature(a).name,
            setup.part.feature(b).name
        ))
        .mend("check that the bosses are named anticlockwise")
    })
}

/// How far the work reaches from the table's centre.
fn farthest(setup: &Setup) -> Length {
    let here = centre(setup);
    let [x0, x1, y0, y1] = setup.extent().map(Length::as_mm);
    let corners = [Point::new(x0, y0), Point::new(x1, y0), Point::new(x1, y1), Point::new(x0, y1)];
    let far = corners.into_iter().map(|corner| corner.distance_mm(here)).fold(0.0, f64::max);
    Length::nearest(far)
}

fn radius_check(setup: &Setup, number: usize, step: &Step) -> Option<Figure> {
    let id = step.feature?;
    if let Kind::Corner { radius: Some(radius) } = setup.part.feature(id).kind {
        let why = practice("a radius gauge").because(setup.job.why_dimension(radius));
        return Some(Figure::new(setup.named(number, "radius"), mm(setup.part.size(radius)), why));
    }
    let boss = setup.part.boss(id);
    let across = match (boss, &setup.part.drawing.body) {
        (Some(boss), _) => Length::nearest(boss.radius_mm * 2.0),
        (None, Body::Disc { diameter, .. }) => setup.part.size(*diameter),
        _ => return None,
    };
    let why = geometry(format!(
        "the radius is {}; from the wall of a bore in its middle to the round, less half the bore",
        mm(across.half())
    ));
    Some(Figure::new(
        setup.named(number, "check"),
        format!("⌀ {} over the round", setup.checked(across)),
        why,
    ))
}
