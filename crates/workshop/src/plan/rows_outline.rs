//! Rows for an outline cut without the rotary table: stepped ends, and flanks with
//! the plate swung.

use super::job::Setup;
use super::rows_mill::{Floor, cut_depths};
use super::rows_rotary::{arc_at, flank_between};
use super::sheet::Row;
use crate::drawing::FeatureId;
use crate::geometry::Point;
use crate::measure::{Length, Toward};
use crate::order::work::{Pieces, Step, Tool};
use crate::order::{Located, Work};
use crate::problem::Problem;
use crate::settings::passes::Cut;
use crate::settings::show::{geometry, mm, number, practice};
use crate::settings::stepped_curve::{Curve, stepped_curve};
use crate::tables::materials::Operation;
use crate::why::Figure;

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
        _ => return Ok(()),
    }
    row.speed = setup.speed(row.number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
    let both = if setup.holding.pieces == Pieces::Pair { 2 } else { 1 };
    let depth = setup.part.thickness() * both;
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
    let centre = match setup.holding.located {
        Located::Bore(id) | Located::TwoBores(id, _) => id,
        _ => return Ok(Vec::new()),
    };
    let at = |id: FeatureId| {
        let (x, y) = setup.frame.feature(&setup.part, id);
        Point::at(x, y)
    };
    let line = flank_between(setup, at(centre), 0.0, (a, b))?;
    let along_rad = line.direction_rad();
    let (start, end) = (line.start.rotated(-along_rad), line.end.rotated(-along_rad));
    let name = |label: &str| format!("flank {index}, {label}");
    let bore = &setup.part.feature(centre).name;
    let mut figures = Vec::new();
    if let Located::TwoBores(_, other) = setup.holding.located {
        // Two centres show the swing far finer than any protractor.
        let lies = (at(other) - at(centre)).rotated(-along_rad);
        let words = &setup.part.feature(other).name;
        let why = geometry(format!(
            "with the flank along X, {words} lies there from {bore}: swing the plate until an indicator finds it so"
        ))
        .because(practice(format!("find {bore} again after every swing, and set nought over it")));
        for (axis, value) in [("X", lies.x_mm), ("Y", lies.y_mm)] {
            let label = name(&format!("{axis} of {words} after the swing"));
            figures.push(setup.slide(row, &label, Length::nearest(value), why.clone()));
        }
    } else {
        let degrees = -along_rad.to_degrees();
        let way = if degrees < 0.0 { "clockwise" } else { "anticlockwise" };
        let why = geometry(format!("from where the work lies as drawn, about {bore}, seen from above"));
        let words = format!("{}° {way}", number(degrees.abs(), 3));
        figures.push(Figure::new(setup.named(row, &name("swing the plate")), words, why));
    }
    let step = setup.job.bench.mill.readout.step();
    let reach = cutter.half();
    let level = practice(format!(
        "the flank is {} from {bore}; the cutter's radius {} is nearer still, rounded to leave metal",
        mm(Length::nearest(start.y_mm.abs())),
        mm(reach)
    ));
    let tangent = geometry("level with the tangent point, rounded to stay within the flank");
    let set = |mm_value: f64, toward| Length::nearest(mm_value).rounded(step, toward).value;
    let y = (Length::nearest(start.y_mm) - reach).rounded(step, Toward::Less).value;
    figures.push(setup.slide(row, &name("Y"), y, level));
    figures.push(setup.slide(row, &name("X start"), set(start.x_mm, Toward::More), tangent.clone()));
    figures.push(setup.slide(row, &name("X stop"), set(end.x_mm, Toward::Less), tangent));
    Ok(figures)
}
