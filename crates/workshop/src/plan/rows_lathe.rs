//! Rows on the lathe: ends, sections, threads, grooves, parting.

use super::job::Setup;
use super::past_the_end::past_the_end;
use super::sheet::Row;
use super::{rows_bench, rows_hole, rows_keyway, rows_taper, rows_thread, rows_turned, tailstock};
use crate::bench::Section;
use crate::drawing::{Face, FeatureId, Form, Kind, SectionEnd, SectionSize, across_corners};
use crate::measure::Length;
use crate::metric::clearance_asked;
use crate::order::work::{Deep, Step, Tool};
use crate::order::{Held, Work, past_the_pin};
use crate::problem::Problem;
use crate::settings::lathe::{Turn, along_the_bed, turning};
use crate::settings::outside_thread;
use crate::settings::show::{geometry, mm, practice};
use crate::tables::materials::Operation;
use crate::tables::processes::{limit, overhang};
use crate::tables::surface::{Surface, black_round};
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
                row.check =
                    Some(Figure::new(setup.named(number, "length over all"), setup.checked(length), why));
            }
        }
        Work::CentreEnd { .. } => {
            row.speed = setup.speed(number, Operation::Drilling, Length::mm(3), &lathe.speeds)
        }
        Work::RoughSection { diameter, because } => {
            let from = diameter_before(setup, step, bar);
            row.speed = turn_speed(from);
            row.depth = cuts(setup, number, from, *diameter)?;
            row.sets.extend(short_of_shoulder(setup, number, step));
            let why = practice(because.words(&setup.part));
            let left = Figure::new(
                setup.named(number, "check"),
                format!("⌀ {}, within a tenth", mm(*diameter)),
                why,
            );
            row.check = Some(left);
        }
        Work::TurnSection { diameter } => {
            let from = diameter_before(setup, step, bar);
            if step.feature.is_some_and(|id| between_shoulders(setup, id)) {
                row.tool = "square-nosed tool".into();
            }
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
            rows_thread::fill(setup, step, row)?;
            row.check = thread_words(setup, number, step);
        }
        Work::PlaneKeyway => rows_keyway::fill(setup, step, row),
        Work::TurnTaper { .. } => rows_taper::fill(setup, step, row)?,
        Work::Knurl => rows_turned::roll(setup, step, row),
        Work::Chamfer { size } => rows_turned::chamfer(setup, step, *size, row),
        Work::Recess { diameter, hub, depth } => {
            rows_turned::recess(setup, step, (*diameter, *hub, *depth), row)?;
        }
        Work::Groove { diameter, width } => rows_turned::groove(setup, step, (*diameter, *width), row),
        Work::PartOff if step.tool == Tool::HandSaw => {
            let length = setup.part.thickness() + Length::mm(2);
            let first = if setup.holding.held.set_over().is_some() {
                "no parting tool reaches so far down beside a web"
            } else if length > bar.scaled(overhang("the tailstock")) {
                "drawn so far out of the chuck, the bar springs under a parting tool and it digs in: draw it out with the spindle \
                 stopped"
            } else {
                "too much metal for a parting tool"
            };
            let why = practice(format!(
                "{first}; over length by two millimetres, for a saw wanders and the end is faced"
            ));
            row.sets.push(carriage(setup, number, "a line round it at, and saw outside it", length, why));
        }
        Work::PartOff => {
            let half = practice(format!(
                "parting wants half the turning speed of {}, or less if it chatters: that of twice the diameter",
                mm(bar)
            ));
            row.speed = setup.half_speed(number, bar, half);
            row.sets.push(parting_length(setup, number));
        }
        Work::Drill { diameter, deep } => {
            row.speed = setup.speed(number, Operation::Drilling, *diameter, &lathe.speeds);
            row.depth = rows_hole::drill_depth(setup, number, step, *diameter, *deep);
            let lathe = (lathe.speeds.as_slice(), lathe.power_at_work_w());
            rows_hole::hold_to_motor(setup, step, *diameter, lathe, row);
            tailstock::fill(setup, step, *diameter, *deep, row);
        }
        Work::Ream { diameter, deep } => {
            row.speed = setup.speed(number, Operation::Reaming, *diameter, &lathe.speeds);
            row.depth = vec![depth(setup, step, number, *deep)];
            row.check = rows_hole::hole_check(setup, number, step);
        }
        Work::Bore { diameter, deep } => {
            row.speed = turn_speed(*diameter);
            row.depth = rows_hole::bore_cuts(setup, number, step, *diameter)?;
            row.depth.push(depth(setup, step, number, *deep));
            row.check = rows_hole::hole_check(setup, number, step);
        }
        Work::Tap { deep } => {
            row.depth = vec![depth(setup, step, number, *deep)];
            row.check = rows_hole::thread_check(setup, number, step);
        }
        _ => {}
    }
    Ok(())
}

/// Where the parting tool goes in: beyond the length, where the end that it leaves is faced.
fn parting_length(setup: &Setup, number: usize) -> Figure {
    let mut steps = setup.job.order.steps.iter();
    let rubbed = steps.any(|step| matches!(step.work, Work::FaceEnd { .. }) && step.tool == Tool::File);
    let (over, why) = if rubbed {
        (
            limit("left to rub"),
            "nothing holds it for facing that end: a tool ground to part without a pip, its front edge slanted towards the \
             bar; so much is left to rub off the parted face",
        )
    } else {
        (Length::mm(1), "over length by a millimetre for facing the second end")
    };
    carriage(
        setup,
        number,
        "part off at, near side of the tool",
        setup.part.thickness() + over,
        practice(why),
    )
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
pub fn bar_diameter(setup: &Setup) -> Length {
    let cast = setup.part.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting);
    if let Some(cast) = cast {
        return setup.part.bar_needed() + cast.left_on() * 2;
    }
    match setup.job.metric.stock.as_ref().map(|s| s.stock.section) {
        Some(Section::Round { diameter }) => diameter,
        Some(Section::Flat { thickness, width: Some(width) }) if width == thickness => {
            across_corners(width, 4)
        }
        Some(Section::Flat { width: Some(width), .. }) => width,
        Some(Section::Hexagon { across }) => across_corners(across, 6),
        _ => setup.part.bar_needed(),
    }
}

/// The diameter that a section has before it is turned: that of the last section turned from
/// this end that lies farther in, or the bar's. Off centre both swing wider, by twice what the axes
/// lie apart.
pub fn diameter_before(setup: &Setup, step: &Step, bar: Length) -> Length {
    let Some(section) = step.feature else { return bar };
    let Some(own) = setup.part.along(section) else { return bar };
    // A casting has the shape of the part already, and so much on every side.
    let cast = setup.part.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting);
    if let (Some(cast), Some(own)) = (cast, setup.part.cut_diameter(section)) {
        return own + cast.left_on() * 2;
    }
    let bar = match setup.holding.held {
        Held::FourJaw { section, .. } | Held::Packed { section, .. } | Held::OffsetCentres { section } => {
            bar + setup.throw_of(section) * 2
        }
        _ => bar,
    };
    let steps = &setup.job.order.steps;
    let roughed = steps.iter().find_map(|s| match s.work {
        Work::RoughSection { diameter, .. } if s.feature == Some(section) => Some(diameter),
        _ => None,
    });
    if let Some(left) = roughed.filter(|_| !matches!(step.work, Work::RoughSection { .. })) {
        return left;
    }
    let here = steps.iter().position(|s| std::ptr::eq(s, step)).unwrap_or_default();
    let left = setup.holding.up == Face::Left;
    let farther_in =
        |id: FeatureId| setup.part.along(id).is_some_and(|at| if left { at > own } else { at < own });
    let from_here = |s: &&Step| setup.job.order.setups[s.setup].up == setup.holding.up;
    steps[..here]
        .iter()
        .filter(from_here)
        .filter_map(|s| match (&s.work, s.feature) {
            (
                Work::RoughSection { diameter, .. }
                | Work::TurnSection { diameter }
                | Work::TurnTaper { large: diameter, .. },
                Some(id),
            ) if farther_in(id) && runs_out_over(setup, id, *diameter, section) => {
                Some(*diameter + setup.part.axes_apart(id, section) * 2)
            }
            _ => None,
        })
        .min()
        .unwrap_or(bar)
}

/// Whether the cut that turns a section to a diameter comes in from the end over another: not
/// where what stands between them, or that one itself, is wider.
fn runs_out_over(setup: &Setup, section: FeatureId, to: Length, nearer: FeatureId) -> bool {
    let part = &setup.part;
    let outer = SectionEnd::toward(setup.holding.up);
    let mut at = section;
    while at != nearer {
        let Some(next) = part.neighbour(at, outer) else { return false };
        let across = [SectionEnd::Left, SectionEnd::Right].map(|end| part.end_diameter(next, end));
        let widest = across.into_iter().flatten().max().unwrap_or_default();
        if part.axes_apart(section, next) + widest.half() > to.half() {
            return false;
        }
        at = next;
    }
    true
}

/// The cuts on the dial; nothing when the bar has the size already.
pub fn cuts(setup: &Setup, number: usize, from: Length, to: Length) -> Result<Vec<Figure>, Problem> {
    let Some(lathe) = &setup.job.bench.lathe else { return Ok(Vec::new()) };
    if from <= to {
        let why = practice("bright bar has the size already: clean it no more than it needs");
        return Ok(vec![Figure::new(setup.named(number, "cut"), "none: the bar has the size", why)]);
    }
    let reckoned = turning(Turn::usual(from, to, lathe.dial, lathe.step))?;
    let mut figures = setup.place_all(number, reckoned.figures());
    figures.extend(under_scale(setup, number, from));
    Ok(figures)
}

/// How deep the first cut goes into black bar: under its scale.
fn under_scale(setup: &Setup, number: usize, from: Length) -> Option<Figure> {
    let stock = &setup.job.metric.stock.as_ref()?.stock;
    let Section::Round { diameter } = stock.section else { return None };
    if stock.surface != Some(Surface::Black) || from != diameter {
        return None;
    }
    let under = black_round(diameter);
    let why = practice("black bar: the first cut goes under the scale, which blunts a tool that rubs on it; so much comes off a side before the metal is sound")
        .because(Why::new(format!("{} a side of {} round", mm(under.side), mm(diameter))).source(under.source.to_string()));
    Some(Figure::new(setup.named(number, "under the scale"), mm(under.side), why))
}

/// How far from the worked end a place lies, taking the nearer of two sides.
pub(super) fn from_worked_end(setup: &Setup, start: Length, end: Length) -> Length {
    if setup.holding.up == Face::Left { start } else { setup.part.thickness() - end }
}

/// Left on a shoulder that is roughed, for the finishing cut to face; common practice.
fn left_on_shoulder() -> Length {
    Length::mm_ratio(2, 10)
}

/// The shoulder to stop short of while a section is roughed.
fn short_of_shoulder(setup: &Setup, number: usize, step: &Step) -> Vec<Figure> {
    shoulder_less(setup, number, step, left_on_shoulder())
}

/// The shoulder to stop at, from the faced end; and where to begin, when what lies
/// nearer the end stands up beside the section.
pub fn shoulder(setup: &Setup, number: usize, step: &Step) -> Vec<Figure> {
    shoulder_less(setup, number, step, Length::ZERO)
}

fn shoulder_less(setup: &Setup, number: usize, step: &Step, less: Length) -> Vec<Figure> {
    let Some(id) = step.feature else { return Vec::new() };
    let (Some(start), Some(end)) = (setup.part.along(id), setup.part.section_end(id)) else {
        return Vec::new();
    };
    let whole = setup.part.thickness();
    let left = setup.holding.up == Face::Left;
    let (near, far) = if left { (start, end) } else { (whole - end, whole - start) };
    let Kind::Section { length, .. } = setup.part.feature(id).kind else { return Vec::new() };
    let why = |what: &str| {
        let why = geometry(format!("from the faced end to the {what}, every shoulder from the same face"));
        match length {
            Some(id) => why.because(setup.job.why_dimension(id)),
            None => why,
        }
    };
    let mut figures = Vec::new();
    if between_shoulders(setup, id) {
        let plunge = why("near side of the section").because(practice(
            "a parting tool goes in beside both shoulders, and takes out what stands between",
        ));
        figures.push(carriage(setup, number, "begin at", near + less, plunge));
    }
    let why = match less.is_positive() {
        true => practice(format!("{} is left on the shoulder, for the finishing cut to face", mm(less)))
            .because(why("far side of the section")),
        false => why("far side of the section"),
    };
    let (far, why) = match by_the_bar(setup, id) {
        true => {
            let past = past_the_pin();
            let words =
                format!("{} past its end, into the bar: the pin alone is left to cut through", mm(past));
            (far + past, practice(words).because(why))
        }
        false => (far, why),
    };
    figures.push(carriage(setup, number, "stop at", far - less, why));
    figures
}

/// Whether a section is the last one before the bar that is held off centre.
fn by_the_bar(setup: &Setup, id: FeatureId) -> bool {
    let inner = SectionEnd::toward(setup.holding.up).other();
    let held = &setup.holding.held;
    held.by_the_bar() && held.set_over().is_some() && setup.part.neighbour(id, inner).is_none()
}

/// Whether what lies nearer the worked end stands up beside a section.
fn between_shoulders(setup: &Setup, id: FeatureId) -> bool {
    let part = &setup.part;
    let outer = SectionEnd::toward(setup.holding.up);
    let Some(next) = part.neighbour(id, outer) else { return false };
    let (Some(own), Some(beside)) = (part.end_diameter(id, outer), part.end_diameter(next, outer.other()))
    else {
        return false;
    };
    part.axes_apart(id, next) + beside.half() > own.half()
}

pub(super) fn carriage(setup: &Setup, number: usize, label: &str, to: Length, why: Why) -> Figure {
    let step = setup.job.bench.lathe.as_ref().map_or(Length::microns(20), |lathe| lathe.step);
    along_the_bed(setup.named(number, label), to, step, why)
}

fn section_check(setup: &Setup, number: usize, step: &Step, diameter: Length) -> Option<Figure> {
    let Kind::Section { size, .. } = setup.part.feature(step.feature?).kind else { return None };
    let why = match size {
        SectionSize::Plain(id) => setup.job.why_dimension(id),
        SectionSize::Threaded(id) => outside_thread::why_blank(setup.part.thread(id))
            .because(setup.job.metric.threads[id.0].why.clone()),
        SectionSize::Taper { left: id, .. } | SectionSize::AsBar { across: id, .. } => {
            setup.job.why_dimension(id)
        }
    };
    if let Some(rolling) = step.feature.and_then(|id| rows_turned::rolled(setup, id)) {
        let shown = format!("⌀ {}, before the knurl", mm(diameter));
        return Some(Figure::new(setup.named(number, "check"), shown, rolling.why_blank().because(why)));
    }
    if let Some(left) = step.feature.and_then(|id| rows_bench::left_for_lapping(setup, id)) {
        let hard = if setup.part.drawing.harden.is_some() { " once it is hard" } else { "" };
        let shown = format!("⌀ {}, {} over its size for lapping{hard}", mm(diameter), mm(left));
        return Some(Figure::new(
            setup.named(number, "check"),
            shown,
            rows_bench::why_left(setup, left).because(why),
        ));
    }
    let (shown, why) = match fit_words(setup, step, diameter) {
        Some((words, fit)) => (format!("⌀ {}, {words}", setup.checked(diameter)), why.because(fit)),
        None => (format!("⌀ {}", setup.checked(diameter)), why),
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

fn depth(setup: &Setup, step: &Step, number: usize, deep: Deep) -> Figure {
    let beyond = past_the_end(setup, step);
    let said = |depth: Length| setup.deep_words(depth);
    let (shown, why) = match deep {
        Deep::Through(metal) => match beyond {
            Some((more, why)) => (format!("{}, {} past its end", said(metal + more), said(more)), why),
            None => (format!("through {}", said(metal)), practice("out of the other side")),
        },
        Deep::To(depth) => (said(depth), practice("full size to this depth, from the faced end")),
    };
    Figure::new(setup.named(number, "depth"), shown, why)
}
