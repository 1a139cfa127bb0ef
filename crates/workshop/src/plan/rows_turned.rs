//! Rows of what only a turned part has: knurls, chamfers, recesses, grooves and flats.

use super::cutting::{Cutting, Floor, cut_depths};
use super::job::Setup;
use super::rows_lathe::{carriage, from_worked_end};
use super::sheet::Row;
use crate::drawing::{FeatureId, Kind, SectionEnd};
use crate::measure::Length;
use crate::order::work::{Step, Tool};
use crate::order::{self, Held, Work};
use crate::problem::Problem;
use crate::settings::dividing::{Division, Holes, Indexing, dividing};
use crate::settings::flats::{Flats, flats};
use crate::settings::knurl::Rolling;
use crate::settings::lathe;
use crate::settings::passes::{self, passes};
use crate::settings::show::{geometry, mm, practice, set_each};
use crate::tables::materials::Operation;
use crate::tables::processes::limit;
use crate::why::{Figure, Why};

/// The knurl over a section, as it is rolled.
pub fn rolled(setup: &Setup, section: FeatureId) -> Option<Rolling> {
    order::rolled(&setup.part, section, setup.part.cut_diameter(section)?)
}

/// Fills a row that rolls a knurl.
pub fn roll(setup: &Setup, step: &Step, row: &mut Row) {
    let Some(id) = step.feature else { return };
    let Kind::Knurl { over, pitch, .. } = setup.part.feature(id).kind else { return };
    let Some(rolling) = rolled(setup, over) else { return };
    let number = row.number;
    row.speed = setup.half_speed(number, rolling.blank, practice("half the turning speed, flooded with oil"));
    let mut figures = setup.place_all(number, rolling.figures()).into_iter();
    row.sets = figures.by_ref().take(2).collect();
    row.check = figures
        .next()
        .map(|figure| Figure { why: figure.why.because(setup.job.why_dimension(pitch)), ..figure });
}

/// Fills a row that takes an edge off.
pub fn chamfer(setup: &Setup, step: &Step, size: Length, row: &mut Row) {
    let (Some(lathe), Some(id)) = (&setup.job.bench.lathe, step.feature) else { return };
    let Kind::Chamfer { of, end, size: dimension } = setup.part.feature(id).kind else { return };
    let number = row.number;
    let Some(across) = setup.part.end_diameter(of, end) else { return };
    row.speed = setup.speed(number, Operation::Turning, across, &lathe.speeds);
    let touch = practice(
        "a tool ground to 45°, touched on the edge, and wound in along the axis by the size of the chamfer",
    )
    .because(setup.job.why_dimension(dimension));
    row.depth = vec![Figure::new(setup.named(number, "chamfer"), format!("{} × 45°", mm(size)), touch)];
    let left = geometry(format!("{} less twice the chamfer", mm(across)));
    let shown = format!("⌀ {} at the face", mm(across - size * 2));
    row.check = Some(Figure::new(setup.named(number, "check"), shown, left));
}

/// Fills a row that turns metal out of an end.
pub fn recess(
    setup: &Setup,
    step: &Step,
    (diameter, hub, depth): (Length, Option<Length>, Length),
    row: &mut Row,
) -> Result<(), Problem> {
    let (Some(lathe), Some(id)) = (&setup.job.bench.lathe, step.feature) else { return Ok(()) };
    let number = row.number;
    row.speed = setup.speed(number, Operation::Turning, diameter, &lathe.speeds);
    let (outer_why, hub_why, deep_why) = match setup.part.feature(id).kind {
        Kind::Recess { diameter, hub, depth } => {
            (setup.job.why_dimension(diameter), hub.map(|hub| setup.job.why_dimension(hub)), depth)
        }
        Kind::Counterbore { diameter, depth, .. } => (setup.job.why_dimension(diameter), None, depth),
        _ => return Ok(()),
    };
    let finish = Length::microns(100).min(depth.half());
    let found = passes(depth, limit("facing cut"), finish, lathe.step)?;
    let last = found.depths.len();
    let why = found.figures().into_iter().fold(
        practice("across the face with a boring tool, from the hole outwards or from the rim inwards"),
        |why, figure| why.because(figure.why),
    );
    let mut shown = format!(
        "{} in {last} cuts across the face: {}",
        mm(depth),
        set_each(found.depths.iter().map(|d| d.value), lathe.step)
    );
    let mut why = why.because(setup.job.why_dimension(deep_why));
    if let Some(&boss) = setup.part.within_hub(id).last() {
        let floor = mm(setup.part.recess_floor(id));
        shown = format!(
            "{shown}, from the shoulder behind {}: its floor {floor} from the end",
            setup.part.feature(boss).name
        );
        why = why.because(geometry(format!(
            "{} stands proud of the rim by {}",
            setup.part.feature(boss).name,
            mm(setup.part.recess_start(id))
        )));
    }
    row.depth = vec![Figure::new(setup.named(number, "depth"), shown, why)];
    row.check = Some(Figure::new(
        setup.named(number, "check"),
        format!("⌀ {} × {} deep", mm(diameter), mm(depth)),
        outer_why,
    ));
    if let (Some(hub), Some(why)) = (hub, hub_why) {
        row.sets.push(Figure::new(setup.named(number, "leave the hub at"), format!("⌀ {}", mm(hub)), why));
    }
    Ok(())
}

/// Fills a row that mills flats.
pub fn mill_flats(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let (Some(id), Tool::EndMill(mill)) = (step.feature, &step.tool) else { return Ok(()) };
    let Kind::Flats { across, count, length } = setup.part.feature(id).kind else { return Ok(()) };
    let number = row.number;
    let Some(start) = setup.part.along(id) else { return Ok(()) };
    let end = start + setup.part.size(length);
    let middle = (start + end).half();
    let Some(round) = setup.part.section_of(id).and_then(|s| setup.part.diameter_at(s, middle)) else {
        return Ok(());
    };
    let found = flats(Flats { round, across: setup.part.size(across), count })?;
    row.speed = setup.speed(number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
    let radius = mill.diameter.half();
    let at = |x: Length| setup.off_datum(setup.frame.place([x, Length::ZERO, Length::ZERO])).0;
    let why =
        geometry(format!("the cutter's edge, {} beside its middle, at the end of the flats", mm(radius)))
            .because(setup.job.why_dimension(length));
    let [open_left, open_right] =
        [SectionEnd::Left, SectionEnd::Right].map(|end| setup.part.flats_open(id, end));
    let (first, last) = (start + radius, end - radius);
    // A cutter wider than the flats runs out over the end that is open.
    let places: Vec<(&str, Length)> = if first < last {
        vec![("X from", first), ("X to", last)]
    } else if first == last || !open_left && open_right {
        vec![("X", first)]
    } else if open_left && !open_right {
        vec![("X", last)]
    } else {
        vec![("X", (start + end).half())]
    };
    for (label, x) in places {
        row.sets.push(setup.slide(number, label, at(x), why.clone()));
    }
    let clear = round.half() + radius + Length::mm(2);
    let across_why = geometry("the round, the cutter's radius and 2 mm clear");
    for (label, y) in [("Y from", -clear), ("Y to", clear)] {
        row.sets.push(setup.slide(number, label, y, across_why.clone()));
    }
    let cut = passes::Cut::SideRoughing;
    let cut = Cutting { mill, cut, depth: found.depth, floor: Floor::Stays, size: None };
    row.depth = cut_depths(setup, number, cut)?;
    for figure in found.figures_on_the_rim().into_iter().skip(1) {
        let figure = Figure { name: setup.named(number, &figure.name), ..figure };
        if figure.label() == "width of a flat" {
            row.depth.push(figure);
        } else if matches!(setup.holding.held, Held::Indexed { .. }) {
            row.sets.push(figure);
        }
    }
    if matches!(setup.holding.held, Held::DividingHead { .. }) && count > 1 {
        row.sets.push(turned_on(setup, number, count)?);
    }
    let what = if count == 1 { "flat to far side" } else { "across flats" };
    let size = setup.part.size(across);
    row.check =
        Some(Figure::new(setup.named(number, what), setup.checked(size), setup.job.why_dimension(across)));
    Ok(())
}

/// How far the handle of the dividing head goes from flat to flat.
fn turned_on(setup: &Setup, number: usize, count: u32) -> Result<Figure, Problem> {
    // Nearly every head has a worm of 40, and a plate with these circles; common practice.
    let found = dividing(40, Division::Parts(count), &[15, 16, 17, 18, 19, 20])?;
    let shown = match &found.indexing {
        Indexing::Exact(circles) => circles.first().map(Holes::shown),
        Indexing::Nearest { positions, .. } => positions.first().map(|position| position.at.shown()),
    };
    let why = Why::assumed(
        "a dividing head with a worm of 40 turns and a plate of circles from 15 to 20 is supposed",
    )
    .because(geometry(format!("40 turns shared by {count} flats")));
    Ok(Figure::new(setup.named(number, "handle from flat to flat"), shown.unwrap_or_default(), why))
}

/// A centre hole off the axis: where the section's own axis comes out of the end.
pub fn offset_centre(setup: &Setup, step: &Step, row: &mut Row) {
    let Some(id) = step.feature else { return };
    let Kind::Section { throw: Some(throw), .. } = setup.part.feature(id).kind else { return };
    let number = row.number;
    let (y, z) = setup.part.section_axis(id);
    let (x, y) = setup.off_datum(setup.frame.place([Length::ZERO, y, z]));
    let name = &setup.part.feature(id).name;
    let why = || {
        geometry(format!("the axis of {name} as it comes out of this end"))
            .because(setup.job.why_dimension(throw.offset))
    };
    row.sets = if setup.holding.machine == crate::order::Machine::Mill {
        row.speed = setup.speed(number, Operation::Drilling, Length::mm(3), setup.spindle());
        vec![setup.slide(number, "X", x, why()), setup.slide(number, "Y", y, why())]
    } else {
        let shown = format!("{} across, {} up from the middle", mm(x), mm(y));
        let scribed = practice(
            "the bar in a vee block, its middle found with a height gauge from both sides; scribed on both ends without moving the bar, then punched",
        );
        vec![Figure::new(setup.named(number, "centre"), shown, why().because(scribed))]
    };
}

/// A groove: where it begins, how far in, what its bottom measures.
pub fn groove(setup: &Setup, step: &Step, (diameter, width): (Length, Length), row: &mut Row) {
    let (Some(lathe), Some(id)) = (&setup.job.bench.lathe, step.feature) else { return };
    let number = row.number;
    let round = setup.part.section_of(id).and_then(|section| {
        let tapers = || setup.part.diameter_at(section, setup.part.along(id)? + width.half());
        turned_by_then(setup, step, section).or_else(tapers)
    });
    let across = round.unwrap_or(diameter);
    let half =
        practice(format!("half the turning speed of {}: the whole width of the tool cuts", mm(across)));
    row.speed = setup.half_speed(number, across, half);
    if let Some(along) = setup.part.along(id) {
        let from_end = from_worked_end(setup, along, along + width);
        let why = geometry("from the faced end, to the side of the groove nearer to it");
        row.sets.push(carriage(setup, number, "start of the groove", from_end, why));
    }
    let into = round.and_then(|round| lathe::groove(round, diameter, lathe.dial, lathe.step).ok());
    row.depth.extend(setup.place_all(number, into.into_iter().collect()));
    row.check = Some(Figure::new(
        setup.named(number, "check"),
        format!("⌀ {} × {}", mm(diameter), mm(width)),
        practice("measure the bottom with the points of the caliper"),
    ));
}

/// The diameter that a section has been turned to before a step: under size for a thread, over size
/// where it is lapped.
fn turned_by_then(setup: &Setup, step: &Step, section: FeatureId) -> Option<Length> {
    let before = setup.job.order.before(step);
    let own = before.filter(|other| other.feature == Some(section) && step.hand.meets(other.hand));
    own.filter_map(|other| match other.work {
        Work::TurnSection { diameter } => Some(diameter),
        _ => None,
    })
    .last()
}
