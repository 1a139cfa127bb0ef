//! Rows of a keyway: planed with the spindle locked, or filed.

use super::job::Setup;
use super::sheet::Row;
use crate::drawing::{Face, Kind};
use crate::measure::Angle;
use crate::order::Machine;
use crate::order::work::{Step, Tool};
use crate::settings::show::{geometry, mm, practice};
use crate::tables::processes::limit;
use crate::why::Figure;

/// Fills a row that planes or files a keyway.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) {
    let Some(id) = step.feature else { return };
    let Kind::Keyway { width, depth, into, toward } = setup.part.feature(id).kind else { return };
    let (number, part) = (row.number, &setup.part);
    let (Some(floor), Some(feed)) = (part.keyway_floor(id), part.keyway_feed(id)) else { return };
    let bore = &part.feature(into).name;
    let ends = matches!(part.feature(id).face, Face::Left | Face::Right);
    // In a large face it is told as the work lies; in an end as the drawing has it.
    let way = setup.direction(id, toward);
    let (at, counted) = match ends {
        true => (toward, "from up the sheet towards you"),
        false => (Angle::nearest_rad(way.y_mm.atan2(way.x_mm)).within_turn(), "anticlockwise from X"),
    };
    let why = practice(format!(
        "its middle line scribed across the end through the middle of {bore}, so that it can be seen how the tool stands"
    ))
    .because(setup.job.why_dimension(width));
    row.sets = match (&step.tool, setup.holding.machine) {
        (Tool::PlaningTool(_), Machine::Mill) => setup.slides(number, "", into),
        _ => Vec::new(),
    };
    row.sets.push(Figure::new(
        setup.named(number, "its middle line"),
        format!("at {}, {counted}", at.degrees_minutes()),
        why,
    ));
    if let Tool::PlaningTool(_) = step.tool {
        let each = limit("planing cut");
        let strokes = feed.ratio_to(each).ceil();
        let way = if setup.holding.machine == Machine::Lathe {
            "the saddle draws the tool through, the cross-slide feeds it; the spindle locked, the tool’s edge at centre height"
        } else {
            "the quill or the knee drives the tool through, a slide feeds it; the spindle locked, the tool’s edge square to the way it is fed"
        };
        let touch = geometry(
            "from where both corners of the tool touch the wall: half the bore and the depth, less √(half the bore² − half the width²)",
        )
        .because(setup.job.why_dimension(depth))
        .because(setup.job.why_dimension(width));
        row.depth = vec![
            Figure::new(setup.named(number, "feed from first touch"), mm(feed), touch),
            Figure::new(
                setup.named(number, "each stroke"),
                format!("{} at most, about {strokes} strokes", mm(each)),
                practice(way),
            ),
        ];
    } else {
        let why =
            practice("a bush turned to the bore, slotted as wide as the file, guides it; tried with the key");
        row.depth = vec![Figure::new(setup.named(number, "below the bore"), mm(part.size(depth)), why)];
    }
    let across = part.cut_diameter(into).unwrap_or_default().half() + floor;
    let why = geometry("the bore and the depth: from the far side of the bore to the floor")
        .because(setup.job.why_dimension(depth));
    row.check = Some(Figure::new(setup.named(number, "bore to floor"), setup.checked(across), why));
}
