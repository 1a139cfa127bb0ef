//! Rows at punched centres: on the drill press, with a hand drill, or clocked on the faceplate.
//!
//! Nothing is set on a slide here. A row says where the centre is scribed, how deep the drill
//! goes and how fast; what is filed out afterwards is in [`super::rows_filed`].

use super::job::Setup;
use super::rows::holes_of;
use super::rows_hole::{deep_figure, drill_depth, head_check, highest, hole_check, thread_check};
use super::sheet::Row;
use super::{rows_hollow, rows_wide};
use crate::drawing::{Axis, FeatureId, Kind};
use crate::measure::Length;
use crate::order::work::{Step, Tool};
use crate::order::{Machine, Work};
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, practice};
use crate::tables::materials::Operation;
use crate::why::{Figure, Why};

/// Fills a row on the drill press, or of a hand drill.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let number = row.number;
    let press = setup.job.bench.drill_press.as_ref();
    let turns = press.filter(|_| setup.holding.machine == Machine::DrillPress);
    let speed = |operation, diameter| setup.speed(number, operation, diameter, &turns?.speeds);
    row.sets = centres(setup, number, step);
    match &step.work {
        Work::Drill { diameter, deep } => {
            row.speed = speed(Operation::Drilling, *diameter);
            row.depth = drill_depth(setup, number, step, *diameter, *deep);
            if let Some(press) = turns.filter(|press| deep.length() > press.travel) {
                let why =
                    practice("raise the work on a block, the drill back in its hole, and go on from there");
                let shown = format!("comes down {} at a time", mm(press.travel));
                row.depth.push(Figure::new(setup.named(number, "quill"), shown, why));
            }
        }
        Work::ChainDrill { diameter, deep } => rows_wide::chain(setup, step, *diameter, *deep, row),
        Work::OpenClearance { diameter, deep } => {
            row.speed = speed(Operation::Drilling, *diameter);
            let why = practice("to the middle of the slit to come: the saw takes the cone of the drill away");
            let shown = format!("{} below the {}", mm(deep.length()), highest(setup));
            row.depth = vec![Figure::new(setup.named(number, "depth"), shown, why)];
        }
        Work::Ream { diameter, deep } => {
            row.speed = speed(Operation::Reaming, *diameter);
            row.depth = vec![deep_figure(setup, number, step, *deep)];
            row.check = hole_check(setup, number, step);
        }
        Work::Tap { deep } => {
            row.depth = vec![deep_figure(setup, number, step, *deep)];
            row.check = thread_check(setup, number, step);
        }
        Work::Counterbore { diameter, depth } => {
            row.speed = speed(Operation::Reaming, *diameter);
            let why = practice("set by the stop of the quill, from where the cutter touches the face");
            row.depth = vec![Figure::new(setup.named(number, "depth"), mm(*depth), why)];
            row.check = head_check(setup, number, step);
        }
        Work::Countersink { .. } | Work::TaperReam { .. } => {
            rows_hollow::fill(setup, step, row)?;
            row.sets = centres(setup, number, step);
        }
        _ => {}
    }
    Ok(())
}

/// Where the punched centres are scribed, from the edges that lie to the left and near; of turned
/// work from its end, on the line of its axis.
pub fn centres(setup: &Setup, number: usize, step: &Step) -> Vec<Figure> {
    // What follows a drill finds its own way.
    let begins = matches!(step.work, Work::Drill { .. } | Work::ChainDrill { .. });
    let Some(id) = step.feature.filter(|_| begins) else { return Vec::new() };
    if let Tool::Drill(_) = step.tool
        && matches!(
            setup.part.feature(id).kind,
            Kind::Slot { .. } | Kind::CurvedSlot { .. } | Kind::Pocket { .. }
        )
    {
        let why = practice(
            "clear of the scribed lines inside them, one beside the other; the webs are sawn or chiselled out",
        );
        return vec![Figure::new(setup.named(number, "holes"), "inside the lines", why)];
    }
    let holes = holes_of(setup, id);
    let several = holes.len() > 1;
    let label = |index: usize| match several {
        true => format!("centre, hole {}", index + 1),
        false => "centre".to_owned(),
    };
    let figure = |(index, hole): (usize, FeatureId)| {
        let at = setup.scribed(setup.read(hole));
        Figure::new(setup.named(number, &label(index)), at, why_scribed(setup, hole))
    };
    holes.into_iter().enumerate().map(figure).collect()
}

/// Why a centre is scribed where it is.
pub fn why_scribed(setup: &Setup, id: FeatureId) -> Why {
    let rule = practice(
        "scribed from the left-hand and near edges as it lies, punched lightly, looked at through a glass and punched home",
    );
    [Axis::X, Axis::Y, Axis::Z]
        .into_iter()
        .filter(|&axis| axis != setup.part.feature(id).face.axis() && setup.part.at(id, axis).is_some())
        .fold(rule, |why, axis| why.because(setup.why_place(id, axis)))
}

/// What is set on the faceplate before the first drill: the punched centre running true.
pub fn clocked(setup: &Setup, hole: FeatureId) -> Vec<Figure> {
    let name = &setup.part.feature(hole).name;
    let why = practice(
        "a rod with a point in the punch mark and its other end on the tailstock's centre: an indicator on the rod near the work shows how far the mark runs out",
    );
    let swing =
        geometry("the farthest corner of the blank swings so wide: turn it once by hand past the bed");
    let [x0, x1, y0, y1] = setup.extent().map(Length::as_mm);
    let (x, y) = setup.frame.feature(&setup.part, hole);
    let (x, y) = (x.as_mm(), y.as_mm());
    let wide = (x - x0).max(x1 - x).hypot((y - y0).max(y1 - y)) * 2.0;
    vec![
        Figure::new(
            setup.named(0, &format!("indicator at the centre of {name}, over one turn")),
            "0.02 mm",
            why,
        ),
        Figure::new(setup.named(0, "swings"), format!("⌀ {} mm", wide.ceil()), swing),
    ]
}
