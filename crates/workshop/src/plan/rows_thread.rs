//! Rows of a thread on the outside: by die, by tool, or by both.

use num_rational::Ratio;

use super::job::Setup;
use super::sheet::Row;
use crate::bench::{Lathe, There, WorkHolder};
use crate::drawing::{FeatureId, Kind, SectionEnd, SectionSize};
use crate::measure::{Length, Toward};
use crate::order::Held;
use crate::order::work::{Steadied, Step, Tool};
use crate::problem::Problem;
use crate::settings::change_wheels::{Wanted, change_wheels};
use crate::settings::outside_thread::{self, Asked, RunsOut, Way, way};
use crate::settings::screw_cutting::{self, screw_cutting};
use crate::settings::show::{mm, practice, set_each};
use crate::settings::starts;
use crate::tables::threads::Thread;
use crate::why::Figure;

/// The first pass of a thread; common practice.
const FIRST_PASS: Length = Length::from_ratio(Ratio::new_raw(2, 10));

/// Fills a row that cuts a thread on a section: speed, what is set, the passes of a tool.
///
/// # Errors
///
/// A [`Problem`] when no train of the wheels comes together, or the lathe has no speeds.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let (Some(lathe), Some(id)) = (&setup.job.bench.lathe, step.feature) else { return Ok(()) };
    let Kind::Section { size: SectionSize::Threaded(thread), .. } = setup.part.feature(id).kind else {
        return Ok(());
    };
    let thread = setup.part.thread(thread);
    let way = match step.tool {
        Tool::LatheTool => Way::Tool,
        _ => way(setup.job.bench, thread),
    };
    let asked = Asked {
        thread,
        material: setup.job.material,
        way,
        runs_out: runs_out(setup, id, thread),
        speeds: &lathe.speeds,
    };
    let mut figures = setup.place_all(row.number, asked.figures()?).into_iter();
    row.speed = figures.next().map(|speed| Figure { name: setup.named(row.number, "speed"), ..speed });
    row.sets.extend(figures);
    row.sets.extend(centre_out(setup, row.number, way));
    row.tool = match way {
        Way::Die => format!("{} in the tailstock holder", step.tool.words()),
        Way::RoughedThenDie(_) => format!(
            "threading tool of {}, {} in the tailstock holder",
            outside_thread::tool_angle(thread.form()),
            step.tool.words()
        ),
        Way::Tool => format!("threading tool of {}", outside_thread::tool_angle(thread.form())),
    };
    if way == Way::Die {
        return Ok(());
    }
    row.sets.extend(geared(setup, row.number, id, thread)?);
    row.depth = passes(setup, row.number, thread, way)?;
    Ok(())
}

/// The tailstock cannot hold its centre and the die at once.
fn centre_out(setup: &Setup, number: usize, way: Way) -> Option<Figure> {
    let centred = matches!(setup.holding.steadied, Steadied::Tailstock | Steadied::Travelling)
        || matches!(setup.holding.held, Held::Centres | Held::OffsetCentres { .. });
    let shown = match setup.holding.held {
        Held::Centres | Held::OffsetCentres { .. } => {
            "the tailstock holds its centre: in a chuck afterwards, or a die stock held square by hand"
        }
        _ => "out, for the holder to go in its place",
    };
    let why = practice("the tailstock takes its centre or a die holder, not both");
    (centred && way != Way::Tool).then(|| Figure::new(setup.named(number, "centre"), shown, why))
}

/// What a thread runs out into, seen from the end that is worked.
fn runs_out(setup: &Setup, id: FeatureId, thread: &Thread) -> RunsOut {
    let part = &setup.part;
    let inner = SectionEnd::toward(setup.holding.up).other();
    if let Some((diameter, width)) = part.undercut(id, inner) {
        return RunsOut::Groove { diameter, width };
    }
    match part.neighbour(id, inner) {
        Some(next)
            if part.end_diameter(next, inner.other()).is_some_and(|d| d > screw_cutting::root(thread)) =>
        {
            RunsOut::Shoulder
        }
        Some(_) => RunsOut::Free,
        // Nothing follows but the bar it is still part of.
        None => RunsOut::Shoulder,
    }
}

/// The passes of the tool; where a die finishes, only as deep as it is roughed.
fn passes(setup: &Setup, number: usize, thread: &'static Thread, way: Way) -> Result<Vec<Figure>, Problem> {
    let Some(lathe) = &setup.job.bench.lathe else { return Ok(Vec::new()) };
    let first = FIRST_PASS.min(thread.pitch.scaled(Ratio::new(1, 5)));
    let blank = outside_thread::blank(thread);
    let found =
        screw_cutting(screw_cutting::Cut { thread, blank, first, step: lathe.step, dial: lathe.dial })?;
    let mut readings: Vec<Length> = found.passes.iter().map(|pass| pass.value).collect();
    if let Way::RoughedThenDie(to) = way {
        // What is left for the die is left from the crest down, and the blank is under size by so much already.
        let last = lathe
            .dial
            .shows(to - (found.depth - found.from_blank))
            .rounded(lathe.step, Toward::Nearest)
            .value;
        readings.retain(|&reading| reading < last);
        readings.push(last);
    }
    // The whole depth first, then each pass: on a sheet they are read as one line.
    let mut all = found.figures().into_iter();
    let mut figures: Vec<Figure> = all.next().into_iter().collect();
    if let (Way::RoughedThenDie(to), Some(depth)) = (way, figures.first_mut()) {
        depth.shown = format!("{}, of which the die takes the last {}", depth.shown, mm(found.depth - to));
    }
    if let Some(last) = all.nth(readings.len().min(found.passes.len()) - 1) {
        let name = match thread.starts {
            1 => "passes, dial from a touch",
            _ => "passes of each start, dial from a touch",
        };
        figures.push(Figure::new(name, set_each(readings, lathe.step), last.why));
    }
    Ok(setup.place_all(number, figures))
}

/// The gear for a thread that is cut with a tool, where the bench file says what there is.
fn geared(
    setup: &Setup,
    number: usize,
    id: FeatureId,
    thread: &'static Thread,
) -> Result<Vec<Figure>, Problem> {
    let Some(lathe) = &setup.job.bench.lathe else { return Ok(Vec::new()) };
    let engaged = setup.part.section_length(id);
    if thread.starts > 1 {
        return several(setup, number, lathe, thread, engaged);
    }
    let Some(gear) = outside_thread::gear(lathe, thread) else { return Ok(Vec::new()) };
    let found = change_wheels(gear, Wanted::of(thread, engaged))?;
    Ok(setup.place_all(number, found.figures()))
}

/// The gear for the lead of a thread of several starts, and how each start is come to.
fn several(
    setup: &Setup,
    number: usize,
    lathe: &Lathe,
    thread: &'static Thread,
    engaged: Length,
) -> Result<Vec<Figure>, Problem> {
    let gearing = starts::geared(lathe, thread, engaged)?;
    let between_centres = matches!(setup.holding.held, Held::Centres | Held::OffsetCentres { .. });
    let chucks = [(WorkHolder::ThreeJaw, 3), (WorkHolder::FourJaw, 4)];
    let jaws: Vec<u32> = chucks
        .into_iter()
        .filter(|(chuck, _)| between_centres && setup.job.bench.has(*chuck) != There::No)
        .map(|(_, jaws)| jaws)
        .collect();
    let asked = starts::Asked {
        thread,
        gearing: &gearing,
        leadscrew: lathe.leadscrew,
        top_slide: lathe.top_slide,
        step: lathe.step,
        jaws: &jaws,
    };
    let mut figures = asked.figures()?;
    figures.splice(1..1, gearing.figures());
    Ok(setup.place_all(number, figures))
}
