//! Rows of a keyway: planed with the spindle locked, or filed.

use super::job::Setup;
use super::sheet::Row;
use crate::drawing::{Face, Kind};
use crate::measure::Angle;
use crate::order::Machine;
use crate::order::work::{Step, Tool};
use crate::settings::keyway::{Keyway, keyway};
use crate::settings::show::{mm, practice};
use crate::why::Figure;

/// Fills a row that planes or files a keyway.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) {
    let Some(id) = step.feature else { return };
    let Kind::Keyway { width, depth, into, toward } = setup.part.feature(id).kind else { return };
    let (number, part) = (row.number, &setup.part);
    let dial = match (&setup.job.bench.lathe, setup.holding.machine) {
        (Some(lathe), Machine::Lathe) => Some((lathe.dial, lathe.step)),
        _ => None,
    };
    let asked = Keyway {
        bore: part.cut_diameter(into).unwrap_or_default(),
        width: part.size(width),
        depth: part.size(depth),
        dial,
    };
    let Ok(planed) = keyway(asked) else { return };
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
        let mut feed = planed.feed_figures();
        feed[0].why.because.extend([setup.job.why_dimension(depth), setup.job.why_dimension(width)]);
        feed.push(planed.strokes_figure());
        row.depth = setup.place_all(number, feed);
    } else {
        let why =
            practice("a bush turned to the bore, slotted as wide as the file, guides it; tried with the key");
        row.depth = vec![Figure::new(setup.named(number, "below the bore"), mm(part.size(depth)), why)];
    }
    let check = planed.check_figure();
    let why = check.why.because(setup.job.why_dimension(depth));
    row.check = Some(Figure::new(setup.named(number, &check.name), setup.checked(planed.across), why));
}
