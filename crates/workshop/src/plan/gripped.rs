//! How the work of a setup sits in the mill's vice: which cuts run out over the jaws, and which
//! holes come out where the parallels stand.

use super::clamps::roads::{self, Cut};
use super::cutting::mind;
use super::job::Setup;
use super::rows::holes_of;
use crate::drawing::{FeatureId, Kind};
use crate::measure::{Length, Toward};
use crate::order::work::{Deep, Step};
use crate::order::{Held, Located, Machine, Work};
use crate::settings::show::{geometry, mm, practice};
use crate::settings::vice::{Asked, gripped};
use crate::tables::processes::{holding, limit};
use crate::why::{Figure, Why};

/// The parallels, the grip and the height above the jaws; nothing where the work is not in the
/// mill's vice, or is turned over in it from side to side.
pub fn presets(setup: &Setup, steps: &[&Step]) -> Vec<Figure> {
    let Some(asked) = asked(setup, steps) else { return Vec::new() };
    let mut figures = match gripped(asked) {
        Ok(found) => found.figures_told(&why_jaws(setup), &|size| setup.laid_out(size)),
        Err(fault) => {
            let mind = mind(&fault, "");
            let words = format!("{}; {}", mind.shown, fault.remedy().unwrap_or_default());
            vec![Figure::new("mind", words, mind.why.because(why_jaws(setup)))]
        }
    };
    figures.extend(past_the_jaws(setup, steps));
    figures.extend(thin_parallels(setup, steps));
    figures.extend(past_both_ends(setup, steps));
    setup.place_all(0, figures)
}

impl Setup<'_> {
    /// Whether a blank that is faced ends thinner than jaws hold flat.
    pub fn too_thin_for_jaws(&self) -> bool {
        self.holding.located == Located::SawnBlank
            && self.part.thickness() < holding("vice on parallels").least_grip
    }
}

/// Why the jaws are so deep.
pub fn why_jaws(setup: &Setup) -> Why {
    let mill = &setup.job.bench.mill;
    match mill.jaws {
        Some(deep) => Why::new(format!("the bench file has jaws {} deep", mm(deep))),
        None => Why::assumed(format!(
            "jaws {} deep are supposed: `vice_depth` of the bench file says how deep yours are",
            mm(mill.vice_depth())
        ))
        .source("from memory"),
    }
}

fn asked(setup: &Setup, steps: &[&Step]) -> Option<Asked> {
    let on_edge = match setup.holding.held {
        Held::ViceOnParallels => false,
        Held::ViceOnEdge => true,
        _ => return None,
    };
    let lies = setup.holding.machine == Machine::Mill && setup.joint().is_none();
    if !lies || matches!(setup.holding.located, Located::SawnBlank) {
        return None;
    }
    let mut cut = Length::ZERO;
    let mut drill = Length::ZERO;
    for step in steps {
        cut = cut.max(over_the_jaws(setup, step)?);
        if let Work::Drill { diameter, deep: Deep::Through(_) } = step.work {
            drill = drill.max(diameter);
        }
    }
    Some(Asked {
        height: setup.stands_high(true),
        cut,
        drill,
        jaws: setup.job.bench.mill.vice_depth(),
        on_edge,
    })
}

/// How deep a step cuts where it runs out over the jaws, which grip the near and the far side;
/// none where nobody can say.
fn over_the_jaws(setup: &Setup, step: &Step) -> Option<Length> {
    let id = step.feature?;
    let part = &setup.part;
    match &step.work {
        Work::MillStep { leaves, .. } => Some(part.whole(setup.frame.up().axis()) - *leaves),
        Work::MillSlot { deep, .. } => {
            let gripped = |side| setup.frame.side(part.side(side)).1 != 0;
            let out = part.slot_opens(id).into_iter().flatten().any(gripped);
            let own = if out { deep.length() + setup.above_round(id) } else { Length::ZERO };
            Some(own + floor_down(setup, id))
        }
        Work::MillPocket { .. } | Work::Counterbore { .. } => Some(floor_down(setup, id)),
        Work::Slit if !setup.frame.in_plan() => {
            let Kind::Slit { into, width, .. } = part.feature(id).kind else { return None };
            let (x, y) = part.xy(into)?;
            let [left, right, bottom, top] = part.round_of(id);
            let down = match setup.frame.up() {
                crate::drawing::Face::Left => x - left,
                crate::drawing::Face::Right => right - x,
                crate::drawing::Face::Bottom => y - bottom,
                _ => top - y,
            };
            Some(down + setup.above_round(id) + part.size(width).half())
        }
        Work::Drill { .. }
        | Work::ChainDrill { .. }
        | Work::Ream { .. }
        | Work::Bore { .. }
        | Work::TrueHole { .. }
        | Work::Tap { .. }
        | Work::OpenClearance { .. }
        | Work::Countersink { .. }
        | Work::TaperReam { .. } => Some(Length::ZERO),
        work if goes_round(work) => Some(Length::ZERO),
        _ => None,
    }
}

/// How far down the floor of a step lies in which something is milled: a collet does not go down between the
/// jaws, so that floor has to stand above them.
fn floor_down(setup: &Setup, id: FeatureId) -> Length {
    let floor = setup.floor_below(id).and_then(|step| setup.part.step_from(step, setup.frame.up()));
    floor.map_or(Length::ZERO, |floor| floor.deep)
}

/// Whether a cut goes right through along the outside: the jaws end short of it.
fn goes_round(work: &Work) -> bool {
    matches!(
        work,
        Work::RoundEnd
            | Work::StepEnd
            | Work::MillSide { .. }
            | Work::StepArc { .. }
            | Work::MillFlanks { .. }
    )
}

/// Where along X the jaws may stand, where a cut goes right through along the outside.
fn past_the_jaws(setup: &Setup, steps: &[&Step]) -> Option<Figure> {
    let clear_mm = limit("clear of the next").as_mm();
    let round = |cut: &Cut| goes_round(&steps[cut.row - 1].work);
    let mut taken: Vec<[f64; 2]> = Vec::new();
    for cut in roads::cuts(setup, steps).into_iter().filter(round) {
        let beyond_mm = cut.reach_mm + clear_mm;
        let runs = cut.roads.iter().map(|road| road.bounds());
        taken.extend(runs.map(|runs| [runs.least.x_mm - beyond_mm, runs.most.x_mm + beyond_mm]));
    }
    taken.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (first, last) = (taken.first()?[0], taken.iter().map(|runs| runs[1]).fold(f64::MIN, f64::max));
    // The work may reach farther than any cut to either side; there the jaws may too.
    let ends = setup.beside().iter().flat_map(Setup::reads_across).collect::<Vec<_>>();
    let (left, right) = (ends.iter().min()?.as_mm(), ends.iter().max()?.as_mm());
    let mut free = vec![[left, first.max(left)], [last.min(right), right]];
    let mut to = first;
    for runs in &taken {
        if runs[0] > to {
            free.push([to, runs[0]]);
        }
        to = to.max(runs[1]);
    }
    let widest = free.into_iter().max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))?;
    let [from, to] = [(widest[0], Toward::More), (widest[1], Toward::Less)]
        .map(|(at, toward)| Length::nearest(at).rounded(Length::mm(1), toward).value);
    let jaws = setup.job.bench.mill.vice_width();
    let between = widest[0] > left && widest[1] < right;
    let why = geometry(format!(
        "the cutter goes right through beside it elsewhere, its radius and {} besides kept clear",
        mm(limit("clear of the next"))
    ));
    if to - from < LEAST_HELD || (between && jaws > to - from) {
        let words = "no stretch of the work is clear of the cutter for the jaws: clamp it flat on packing, or stick it to a thicker plate";
        return Some(Figure::new("mind the jaws", words, why));
    }
    let way = match (widest[0] > left, widest[1] < right) {
        (true, true) => format!("from X {} to {}", mm(from), mm(to)),
        (true, false) => format!("not left of X {}", mm(from)),
        _ => format!("not right of X {}", mm(to)),
    };
    Some(Figure::new("jaws along X", format!("{way}: the rest stands out past their end"), why))
}

/// How many times its height work may stand out past the end of the jaws and still be drilled or
/// milled there: common practice.
const STIFF_OUT: i64 = 5;

/// Long thin work that is cut beyond the ends of the jaws: what to put under it.
fn past_both_ends(setup: &Setup, steps: &[&Step]) -> Option<Figure> {
    let [x0, x1, ..] = setup.extent();
    let (long, jaws) = (x1 - x0, setup.job.bench.mill.vice_width());
    let out = (long - jaws).half();
    let high = setup.stands_high(true);
    if out <= high * STIFF_OUT {
        return None;
    }
    let middle = (x0 + x1).half();
    let beyond = |id| (setup.frame.feature(&setup.part, id).0 - middle).abs() - jaws.half();
    let cut = steps.iter().filter_map(|step| step.feature).flat_map(|id| holes_of(setup, id));
    let farthest = cut.map(beyond).max().filter(|far| *far > high * STIFF_OUT)?;
    let why = practice(format!(
        "it gives under the tool {} past the jaws, being only {} high: more than {STIFF_OUT} times that",
        mm(farthest),
        mm(high)
    ))
    .because(geometry(format!("{} long, in the middle of jaws {} wide", mm(long), mm(jaws))));
    let words = format!(
        "{} stand out past either end of the jaws: clamp it on a straight board on the table instead, or pack up its ends from the table",
        mm(out)
    );
    Some(Figure::new("mind the ends", words, why))
}

/// The least length along the jaws that they hold firmly; common practice.
const LEAST_HELD: Length = Length::mm(15);

/// The thinnest parallels that are usual; common practice.
const THINNEST: Length = Length::mm(3);

/// The thickest parallels that are usual; common practice.
const THICKEST: Length = Length::mm(12);

/// How thick the parallels may be at most, where a hole comes out near what the jaws grip.
fn thin_parallels(setup: &Setup, steps: &[&Step]) -> Option<Figure> {
    if setup.holding.held != Held::ViceOnParallels {
        return None;
    }
    let [_, _, near, far] = setup.extent();
    let mut nearest: Option<(Length, &str)> = None;
    for step in steps {
        let (Work::Drill { diameter, deep: Deep::Through(_) }
        | Work::Ream { diameter, deep: Deep::Through(_) }
        | Work::Bore { diameter, deep: Deep::Through(_) }) = step.work
        else {
            continue;
        };
        for hole in step.feature.map(|id| holes_of(setup, id)).unwrap_or_default() {
            let (_, y) = setup.frame.feature(&setup.part, hole);
            let room = (y - near).min(far - y) - diameter.half() - limit("clear of the next");
            if nearest.is_none_or(|(known, _)| room < known) {
                nearest = Some((room, setup.part.drawing.features[hole.0].name.as_str()));
            }
        }
    }
    let (room, hole) = nearest.filter(|(room, _)| *room < THICKEST)?;
    let room = room.rounded(Length::microns(500), Toward::Less).value;
    let why = geometry(format!(
        "{hole} comes out below so near the side that a jaw holds, {} kept clear of it",
        mm(limit("clear of the next"))
    ));
    Some(if room < THINNEST {
        let why = why.because(practice(format!("parallels are seldom thinner than {}", mm(THINNEST))));
        Figure::new(
            "parallels under that side",
            format!("two short ones, clear of {hole} to the left and right"),
            why,
        )
    } else {
        Figure::new("parallels no thicker than", setup.laid_out(room), why)
    })
}
