//! Rows on the lathe: ends, sections, threads, grooves, parting.

use super::job::Setup;
use super::rows_hole;
use super::sheet::Row;
use crate::bench::Section;
use crate::drawing::{Face, FeatureId, Kind, SectionSize};
use crate::measure::{Length, Toward};
use crate::metric::clearance_asked;
use crate::order::work::{Deep, Step};
use crate::order::{Held, Work};
use crate::problem::Problem;
use crate::settings::lathe::{Turn, turning};
use crate::settings::position::rounding;
use crate::settings::show::{geometry, mm, practice, set_mm};
use crate::tables::materials::Operation;
use crate::why::{Figure, Why};

/// Fills a row on the lathe.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let Some(lathe) = &setup.job.bench.lathe else { return Ok(()) };
    let number = row.number;
    let bar = bar_diameter(setup);
    let turn_speed = |diameter| setup.speed(number, Operation::Turning, diameter, &lathe.speeds);
    match &step.work {
        Work::FaceEnd { end } => {
            row.speed = turn_speed(bar);
            let first = first_facing(setup, step);
            if first {
                row.depth = vec![Figure::new(
                    setup.named(number, "depth"),
                    "until the face is clean",
                    practice(
                        "as little as cleans it; this face is the datum for the lengths of this holding",
                    ),
                )];
            } else {
                let length = setup.part.thickness();
                let why = practice(format!("measured over all from the {} end", other(*end).word()));
                row.check = Some(Figure::new(setup.named(number, "length over all"), mm(length), why));
            }
        }
        Work::CentreEnd { .. } => {
            row.speed = setup.speed(number, Operation::Drilling, Length::mm(3), &lathe.speeds)
        }
        Work::TurnSection { diameter } => {
            let from = diameter_before(setup, step, bar);
            row.speed = turn_speed(from);
            row.depth = cuts(setup, number, from, *diameter)?;
            row.sets.extend(shoulder(setup, number, step));
            row.check = section_check(setup, number, step, *diameter);
        }
        Work::TurnDisc => {
            if setup.holding.held == Held::PressurePads {
                row.sets = scribed_middle(setup, number);
            }
            if let crate::drawing::Body::Disc { diameter, .. } = setup.part.drawing.body {
                row.speed = turn_speed(setup.part.size(diameter));
                let why = setup.job.why_dimension(diameter);
                row.check = Some(Figure::new(
                    setup.named(number, "check"),
                    format!("⌀ {}", mm(setup.part.size(diameter))),
                    why,
                ));
            }
        }
        Work::CutThread => {
            row.sets.extend(shoulder(setup, number, step));
            row.check = thread_words(setup, number, step);
        }
        Work::Groove { diameter, width } => {
            row.speed = turn_speed(*diameter);
            if let Some(id) = step.feature
                && let Some(along) = setup.part.along(id)
            {
                let from_end = from_worked_end(setup, along, along + *width);
                let why = geometry("from the faced end, to the side of the groove nearer to it");
                row.sets.push(carriage(setup, number, "start of the groove", from_end, why));
            }
            row.check = Some(Figure::new(
                setup.named(number, "check"),
                format!("⌀ {} × {}", mm(*diameter), mm(*width)),
                practice("measure the bottom with the points of the caliper"),
            ));
        }
        Work::PartOff => {
            // Half the speed for a diameter is the speed for twice that diameter.
            row.speed = turn_speed(bar * 2).map(|figure| Figure {
                why: practice(format!(
                    "parting wants half the turning speed of {}, or less if it chatters: that of twice the diameter",
                    mm(bar)
                ))
                .because(figure.why),
                ..figure
            });
            let length = setup.part.thickness() + Length::mm(1);
            let why = practice("over length by a millimetre for facing the second end");
            row.sets.push(carriage(setup, number, "part off at, near side of the tool", length, why));
        }
        Work::Drill { diameter, deep } => {
            row.speed = setup.speed(number, Operation::Drilling, *diameter, &lathe.speeds);
            row.depth = rows_hole::drill_depth(setup, number, step, *diameter, *deep);
        }
        Work::Ream { diameter, deep } => {
            row.speed = setup.speed(number, Operation::Reaming, *diameter, &lathe.speeds);
            row.depth = vec![depth(setup, number, *deep)];
            row.check = rows_hole::hole_check(setup, number, step);
        }
        Work::Bore { diameter, deep } => {
            row.speed = turn_speed(*diameter);
            row.depth = rows_hole::bore_cuts(setup, number, step, *diameter)?;
            row.depth.push(depth(setup, number, *deep));
            row.check = rows_hole::hole_check(setup, number, step);
        }
        Work::Tap { deep } => {
            row.depth = vec![depth(setup, number, *deep)];
            row.check = rows_hole::thread_check(setup, number, step);
        }
        _ => {}
    }
    Ok(())
}

/// Where the middle of a disc lies from the squared edges of its blank.
fn scribed_middle(setup: &Setup, number: usize) -> Vec<Figure> {
    let why = practice(
        "scribe both lines with the work's squared edges on a flat surface, and the circle from where they cross",
    );
    let from = [("left-hand", -setup.blank.left), ("bottom", -setup.blank.bottom)];
    from.map(|(edge, at)| {
        Figure::new(setup.named(number, &format!("middle from the {edge} edge")), mm(at), why.clone())
    })
    .to_vec()
}

/// True when no end has been faced before this step: its face is only cleaned.
fn first_facing(setup: &Setup, step: &Step) -> bool {
    let facings = setup.job.order.steps.iter().filter(|s| matches!(s.work, Work::FaceEnd { .. }));
    facings.take(1).any(|first| std::ptr::eq(first, step))
}

fn other(end: Face) -> Face {
    if end == Face::Left { Face::Right } else { Face::Left }
}

/// The bar as it comes.
fn bar_diameter(setup: &Setup) -> Length {
    let biggest = setup.part.features().filter_map(|(id, f)| match f.kind {
        Kind::Section { .. } => setup.part.cut_diameter(id),
        _ => None,
    });
    match setup.job.metric.stock.as_ref().map(|s| s.stock.section) {
        Some(Section::Round { diameter }) => diameter,
        Some(Section::Flat { width: Some(width), .. }) => width,
        _ => biggest.max().unwrap_or_default(),
    }
}

/// The diameter that a section has before it is turned: that of the last section
/// turned in this holding that lies farther in, or the bar's.
fn diameter_before(setup: &Setup, step: &Step, bar: Length) -> Length {
    let Some(own) = step.feature.and_then(|id| setup.part.along(id)) else { return bar };
    let steps = &setup.job.order.steps;
    let here = steps.iter().position(|s| std::ptr::eq(s, step)).unwrap_or_default();
    let farther_in = |id: FeatureId| {
        setup
            .part
            .along(id)
            .is_some_and(|at| if setup.holding.up == Face::Left { at > own } else { at < own })
    };
    steps[..here]
        .iter()
        .filter(|s| s.setup == step.setup)
        .filter_map(|s| match (&s.work, s.feature) {
            (Work::TurnSection { diameter }, Some(id)) if farther_in(id) => Some(*diameter),
            _ => None,
        })
        .min()
        .unwrap_or(bar)
}

/// The cuts on the dial; nothing when the bar has the size already.
fn cuts(setup: &Setup, number: usize, from: Length, to: Length) -> Result<Vec<Figure>, Problem> {
    let Some(lathe) = &setup.job.bench.lathe else { return Ok(Vec::new()) };
    if from <= to {
        let why = practice("bright bar has the size already: clean it no more than it needs");
        return Ok(vec![Figure::new(setup.named(number, "cut"), "none: the bar has the size", why)]);
    }
    let finish = Length::mm_ratio(1, 10).min((from - to).half());
    let turn = Turn { from, to, greatest_cut: Length::mm(1), finish, dial: lathe.dial, division: lathe.step };
    let reckoned = turning(turn)?;
    Ok(setup.place_all(number, reckoned.figures()))
}

/// How far from the worked end a place lies, taking the nearer of two sides.
fn from_worked_end(setup: &Setup, start: Length, end: Length) -> Length {
    if setup.holding.up == Face::Left { start } else { setup.part.thickness() - end }
}

/// The shoulder to stop at, from the faced end.
fn shoulder(setup: &Setup, number: usize, step: &Step) -> Option<Figure> {
    let id = step.feature?;
    let (start, end) = (setup.part.along(id)?, setup.part.section_end(id)?);
    let far = if setup.holding.up == Face::Left { end } else { setup.part.thickness() - start };
    let Kind::Section { length, .. } = setup.part.feature(id).kind else { return None };
    let why =
        geometry("from the faced end to the far side of the section, every shoulder from the same face");
    let why = match length {
        Some(id) => why.because(setup.job.why_dimension(id)),
        None => why,
    };
    Some(carriage(setup, number, "stop at", far, why))
}

fn carriage(setup: &Setup, number: usize, label: &str, to: Length, why: Why) -> Figure {
    let step = setup.job.bench.lathe.as_ref().map_or(Length::microns(20), |lathe| lathe.step);
    let set = to.rounded(step, Toward::Nearest);
    Figure::new(setup.named(number, label), set_mm(set.value, step), why.because(rounding(set, step)))
}

fn section_check(setup: &Setup, number: usize, step: &Step, diameter: Length) -> Option<Figure> {
    let Kind::Section { size, .. } = setup.part.feature(step.feature?).kind else { return None };
    let why = match size {
        SectionSize::Plain(id) => setup.job.why_dimension(id),
        SectionSize::Threaded(id) => setup.job.metric.threads[id.0].why.clone(),
        SectionSize::Taper { left: id, .. } | SectionSize::AsBar { across: id, .. } => {
            setup.job.why_dimension(id)
        }
    };
    let (shown, why) = match fit_words(setup, step, diameter) {
        Some((words, fit)) => (format!("⌀ {}, {words}", mm(diameter)), why.because(fit)),
        None => (format!("⌀ {}", mm(diameter)), why),
    };
    Some(Figure::new(setup.named(number, "check"), shown, why))
}

/// What a section must come to that runs, slides or is pressed in something else.
fn fit_words(setup: &Setup, step: &Step, diameter: Length) -> Option<(String, Why)> {
    let mate = setup.part.drawing.mates.iter().find(|mate| Some(mate.with) == step.feature)?;
    let (least, greatest) = clearance_asked(&mate.fit, diameter)?;
    let side = if greatest.is_positive() { "smaller" } else { "larger" };
    let (from, to) = if greatest.is_positive() { (least, greatest) } else { (-greatest, -least) };
    let words = format!("then {} to {} mm {side} than {}", from.decimals(3), to.decimals(3), mate.name);
    let why = practice(format!(
        "a {} fit with {}: the last hundredths are taken off against its hole as measured",
        mate.fit, mate.name
    ))
    .because(setup.job.why_dimension(mate.size));
    Some((words, why))
}

fn thread_words(setup: &Setup, number: usize, step: &Step) -> Option<Figure> {
    let Kind::Section { size: SectionSize::Threaded(id), .. } = setup.part.feature(step.feature?).kind else {
        return None;
    };
    let choice = &setup.job.metric.threads[id.0];
    Some(Figure::new(setup.named(number, "thread"), choice.chosen.designation.clone(), choice.why.clone()))
}

fn depth(setup: &Setup, number: usize, deep: Deep) -> Figure {
    let (shown, why) = match deep {
        Deep::Through(metal) => (format!("through {}", mm(metal)), practice("out of the other side")),
        Deep::To(depth) => (mm(depth), practice("full size to this depth, from the faced end")),
    };
    Figure::new(setup.named(number, "depth"), shown, why)
}
