//! What is set for a hole: where it is, how deep a tool goes, what it should gauge.

use super::cutting::mind;
use super::in_floor::sunk;
use super::job::Setup;
use super::past_the_end::past_the_end;
use super::rows::holes_of;
use super::rows_hollow;
use super::sheet::Row;
use crate::drawing::{Body, Depth, DimensionId, EndStart, Face, FeatureId, Finish, Kind};
use crate::measure::{Length, Toward, Unit};
use crate::metric::DRILLED_CLASS;
use crate::order::work::{Deep, Step, Tool};
use crate::order::{Located, Machine, Work};
use crate::problem::Problem;
use crate::settings::boring::{Bore, GREATEST, boring, finishing_cut};
use crate::settings::pecking::pecking;
use crate::settings::show::{as_set, geometry, mm, practice};
use crate::settings::{drilling, tapping};
use crate::tables::heads::cap_head;
use crate::tables::processes::limit;
use crate::tables::{drills, fits};
use crate::why::{Figure, Why};

/// X and Y of every hole a step is for.
pub fn at_holes(setup: &Setup, number: usize, step: &Step) -> Vec<Figure> {
    let Some(id) = step.feature else { return Vec::new() };
    let holes = holes_of(setup, id);
    let several = holes.len() > 1;
    let mut figures = Vec::new();
    for (index, hole) in holes.into_iter().enumerate() {
        let suffix = if several { format!(", hole {}", index + 1) } else { String::new() };
        let hole = position_of(setup, hole);
        figures.extend(match rows_hollow::off_middle(setup, number, hole) {
            Some(shifted) => shifted,
            None => setup.slides(number, &suffix, hole),
        });
    }
    figures
}

/// The feature whose place a feature has: a counterbore stands over its hole.
fn position_of(setup: &Setup, id: FeatureId) -> FeatureId {
    match setup.part.feature(id).kind {
        Kind::Counterbore { over, .. } => over,
        _ => id,
    }
}

/// What is cut: of a pitch circle or a row, one of its holes.
fn own_kind<'a>(setup: &Setup<'a>, id: FeatureId) -> &'a Kind {
    &setup.part.feature(setup.part.hole_of(id)).kind
}

/// What depths on an edge are measured from.
pub fn highest(setup: &Setup) -> &'static str {
    match setup.part.drawing.body {
        Body::Turned { .. } if setup.holding.machine == Machine::Mill => "top",
        Body::Bosses { .. } | Body::Outline { .. } | Body::Disc { .. } if !setup.frame.in_plan() => {
            match setup.holding.located {
                Located::Edges(..) => "edge of the blank",
                _ => "top",
            }
        }
        _ => "face",
    }
}

/// What the depth of a hole is measured from: in an end or a step, what it begins on there.
fn measured_from(setup: &Setup, step: &Step) -> &'static str {
    if let Some(floor) = step.feature.and_then(|id| setup.floor_below(id)) {
        let pocket = matches!(setup.part.feature(floor).kind, Kind::Pocket { .. });
        return if pocket { "floor of the pocket" } else { "step" };
    }
    let upright = matches!(setup.part.drawing.body, Body::Turned { .. })
        && matches!(setup.holding.up, Face::Left | Face::Right);
    let one = step.feature.filter(|_| upright).and_then(|id| holes_of(setup, id).first().copied());
    match one.map(|id| setup.part.end_start_from(id, setup.holding.up).1) {
        Some(EndStart::Shoulder(_)) => "shoulder",
        Some(EndStart::Floor(_)) => "floor of the recess",
        _ => highest(setup),
    }
}

/// What stands above the round that a hole across a plate enters.
pub fn above(setup: &Setup, step: &Step) -> Length {
    step.feature.map_or(Length::ZERO, |id| setup.above_round(id))
}

/// The reason for what is added to a depth for the blank's own metal.
fn why_above(setup: &Setup, step: &Step, why: Why) -> Why {
    let more = above(setup, step);
    if more == Length::ZERO {
        return why;
    }
    why.because(geometry(format!("the blank stands {} above the round to come", mm(more))))
}

/// The depth on the drawing behind a depth that is set; of a clear hole in a plate, its
/// thickness.
fn why_deep(setup: &Setup, step: &Step, why: Why) -> Why {
    let depth = match step.feature.map(|id| own_kind(setup, id)) {
        Some(Kind::Hole { depth, .. } | Kind::Tapped { depth, .. }) => *depth,
        Some(&Kind::Counterbore { depth, .. }) => Depth::To(depth),
        _ => Depth::Through,
    };
    let size = match (depth, &setup.part.drawing.body) {
        (Depth::To(id), _) => Some(id),
        (
            Depth::Through,
            &Body::Bosses { thickness, .. }
            | &Body::Outline { thickness, .. }
            | &Body::Rectangle { thickness, .. }
            | &Body::Disc { thickness, .. },
        ) if setup.frame.in_plan() => Some(thickness),
        _ => None,
    };
    let beside = setup.joint().into_iter().flat_map(|joint| &joint.others);
    let beside =
        beside.map(|other| Why::new(format!("{} lies with it, {} thick", other.part, mm(other.thick))));
    size.map(|id| setup.job.why_dimension(id)).into_iter().chain(beside).fold(why, Why::because)
}

/// A step or pocket of the part that was cut before a hole in it is made.
struct Lowered {
    /// The metal that it took away.
    by: Length,
    /// What depths at the hole are now measured from.
    from: &'static str,
    /// The dimension that the step leaves, or the pocket's depth.
    leaves: DimensionId,
}

/// The step or pocket that a hole is begun from, when it has been cut by then.
fn lowered(setup: &Setup, step: &Step) -> Option<Lowered> {
    let id = step.feature?;
    let order = setup.job.order;
    let before = order.before(step);
    let cut = before.filter(|other| order.setups[other.setup].pieces == setup.holding.pieces);
    let own = holes_of(setup, id);
    cut.filter(|_| setup.frame.in_plan())
        .filter_map(|other| {
            let cut = other.feature?;
            let feature = setup.part.feature(cut);
            let above = feature.face == setup.frame.up();
            match (&other.work, &feature.kind) {
                (Work::MillStep { .. }, &Kind::Step { leaves, .. })
                    if own.iter().all(|&hole| setup.part.beyond(cut, hole)) =>
                {
                    let from = if above { "step" } else { highest(setup) };
                    Some(Lowered { by: setup.part.thickness() - setup.part.size(leaves), from, leaves })
                }
                (Work::MillPocket { .. }, &Kind::Pocket { depth: Depth::To(deep), .. })
                    if own.iter().all(|&hole| {
                        let part = &setup.part;
                        part.in_pocket(hole)
                            .or_else(|| part.out_in_pocket(hole))
                            .is_some_and(|(p, _)| p == cut)
                    }) =>
                {
                    let from = if above { "floor of the pocket" } else { highest(setup) };
                    Some(Lowered { by: setup.part.size(deep), from, leaves: deep })
                }
                _ => None,
            }
        })
        .max_by_key(|lowered| lowered.by)
}

/// How far a hole goes.
pub fn deep_figure(setup: &Setup, number: usize, step: &Step, deep: Deep) -> Figure {
    let (shown, why) = match (deep, lowered(setup, step)) {
        (Deep::Through(metal), Some(lowered)) => {
            let why = practice("out of the other side, clear of what lies below")
                .because(setup.job.why_dimension(lowered.leaves));
            (format!("through {}", setup.deep_words(metal - lowered.by)), why)
        }
        (Deep::Through(metal), None) => {
            let why = practice("out of the other side, clear of what lies below");
            let metal = metal + gone_through(setup, step, deep);
            (format!("through {}", setup.deep_words(metal)), why_deep(setup, step, why))
        }
        (Deep::To(depth), _) => {
            let why = practice(format!("full size to this depth, from the {}", measured_from(setup, step)));
            let shown = setup.deep_words(depth + above(setup, step) + gone_through(setup, step, deep));
            (shown, why_above(setup, step, why_deep(setup, step, why)))
        }
    };
    told_from(setup, step, deep, Figure::new(setup.named(number, "depth"), shown, why))
}

/// What a tool that goes to a depth goes through above the floor it counts from, which is cut later.
fn gone_through(setup: &Setup, step: &Step, deep: Deep) -> Length {
    // What is gone already is left out by whoever asks.
    sunk(setup, step).map_or(Length::ZERO, |sunk| sunk.more(setup, deep)).max(Length::ZERO)
}

/// The same figure, which says from which floor a depth counts.
fn told_from(setup: &Setup, step: &Step, deep: Deep, mut figure: Figure) -> Figure {
    if let (Deep::To(_), Some(sunk)) = (deep, sunk(setup, step)) {
        sunk.tell(setup, &mut figure);
    }
    figure
}

/// How far to feed a drill: its cone, a third of its diameter, goes beyond.
///
/// Of a deep hole also where the drill comes out to be cleared.
pub fn drill_depth(setup: &Setup, number: usize, step: &Step, diameter: Length, deep: Deep) -> Vec<Figure> {
    let mut figures = fed_to(setup, number, step, diameter, deep);
    let pecking = pecking(diameter, drilled(setup, step, deep), setup.job.material);
    let fed_in = if setup.feeds_in_inches() { Unit::Inch } else { Unit::Mm };
    let out = pecking.iter().map(|pecking| pecking.figure(fed_in)).collect();
    figures.extend(setup.place_all(number, out));
    figures
}

/// How deep the full width of a drill goes: before a tap deeper than the full thread, and only
/// through what metal is there by then.
pub fn drilled(setup: &Setup, step: &Step, deep: Deep) -> Length {
    let own = match (deep, step.feature.map(|id| own_kind(setup, id))) {
        (Deep::Through(metal), _) => {
            let beyond = past_the_end(setup, step).map_or(Length::ZERO, |(more, _)| more);
            metal + beyond - lowered(setup, step).map_or_else(|| hollowed(setup, step), |lowered| lowered.by)
        }
        (Deep::To(full), Some(Kind::Tapped { thread, .. })) => {
            tapping::Depth::Blind(full).of_drill(setup.part.thread(*thread))
        }
        (Deep::To(full), _) => full,
    };
    own + gone_through(setup, step, deep)
}

/// How much of what a hole on the axis goes through is turned out of the end before it.
fn hollowed(setup: &Setup, step: &Step) -> Length {
    let on_axis = step.feature.is_some_and(|id| !setup.part.off_axis(id));
    let order = setup.job.order;
    let before = order.before(step);
    let here = before.filter(|other| order.setups[other.setup].up == setup.holding.up);
    let out = here.filter_map(|other| match other.work {
        Work::Recess { hub: None, depth, .. } => Some(depth),
        _ => None,
    });
    let turned = setup.holding.machine == Machine::Lathe && on_axis;
    out.max().filter(|_| turned).unwrap_or_default()
}

/// How far a drill is fed.
fn fed_to(setup: &Setup, number: usize, step: &Step, diameter: Length, deep: Deep) -> Vec<Figure> {
    let above = above(setup, step);
    let cone = drills::point(diameter);
    let point = geometry(format!("the point of 118° is {} long: 0.3 of {}", mm(cone), mm(diameter)));
    let tapped = step.feature.map(|id| own_kind(setup, id));
    match (deep, tapped) {
        (Deep::Through(metal), _) => {
            let below = step.feature.map_or(Length::ZERO, |id| setup.below_top(id));
            let stepped = lowered(setup, step);
            let (gone, from) = stepped
                .as_ref()
                .map_or_else(|| (Length::ZERO, measured_from(setup, step)), |s| (s.by, s.from));
            let whole = gone_through(setup, step, deep);
            let from = if whole.is_positive() { highest(setup) } else { from };
            let beyond = past_the_end(setup, step);
            let more = beyond.as_ref().map_or(Length::ZERO, |(more, _)| *more);
            let to = metal - gone + whole + below + above + cone + more;
            let why = match beyond {
                Some((_, why)) => why.because(point),
                None => practice("until all of the point is through, rounded up; ease off as it breaks out")
                    .because(point),
            };
            let mut why = match stepped {
                Some(stepped) => why.because(setup.job.why_dimension(stepped.leaves)),
                None => why_deep(setup, step, why),
            };
            if below.is_positive() {
                why = why.because(geometry(format!(
                    "there the drill meets the round {} mm below its top, and goes through {} of metal",
                    below.decimals(1),
                    mm(metal)
                )));
            }
            let why = why_above(setup, step, why);
            vec![Figure::new(
                setup.named(number, "depth"),
                match more.is_positive() {
                    true => format!(
                        "{} from the {from}, {} past its end",
                        fed(setup, to, Toward::More),
                        setup.deep_words(more)
                    ),
                    false => format!("through: {} from the {from}", fed(setup, to, Toward::More)),
                },
                why,
            )]
        }
        (Deep::To(_), Some(Kind::Tapped { .. })) => {
            // No quill is set finer than a tenth.
            let deepest = drilled(setup, step, deep) + above;
            let why =
                practice("deeper than the full thread, for the tap's lead and the chips").because(point);
            let why = why_above(setup, step, why_deep(setup, step, why));
            let shown = format!("{}, and the point beyond", fed(setup, deepest, Toward::More));
            vec![told_from(setup, step, deep, Figure::new(setup.named(number, "depth"), shown, why))]
        }
        (Deep::To(_), _) => {
            let why = practice("to the full diameter; the point goes beyond").because(point);
            let why = why_above(setup, step, why_deep(setup, step, why));
            let deepest = drilled(setup, step, deep) + above;
            let shown = format!("{}, and the point beyond", setup.deep_words(deepest));
            vec![told_from(setup, step, deep, Figure::new(setup.named(number, "depth"), shown, why))]
        }
    }
}

/// How far something is fed down, to a tenth of a millimetre, or to five thousandths of an inch where
/// the machine is marked in inches.
fn fed(setup: &Setup, to: Length, toward: Toward) -> String {
    if setup.feeds_in_inches() {
        return as_set(to.rounded(Length::thou(5), toward).value, Length::thou(1));
    }
    format!("{} mm", to.rounded(Length::microns(100), toward).value.decimals(1))
}

/// How far the very tip of a drill goes below the edge that a blind hole enters.
pub fn tip(setup: &Setup, step: &Step) -> Option<Length> {
    let Work::Drill { diameter, deep: deep @ Deep::To(_) } = step.work else { return None };
    step.feature?;
    Some(drilled(setup, step, deep) + drills::point(diameter))
}

/// What stands in the hole of a step by then: the widest drill or cut before it, under a size.
pub fn hole_before(setup: &Setup, step: &Step, under: Length) -> Option<Length> {
    let order = setup.job.order;
    let before = order.before(step);
    let same = before.filter(|other| other.feature == step.feature);
    same.filter_map(|other| match other.work {
        Work::Drill { diameter, .. } | Work::TrueHole { diameter, .. } => Some(diameter),
        Work::ChainDrill { diameter, .. } => Some(diameter - limit("chain margin") * 2),
        _ => None,
    })
    .filter(|hole| *hole < under)
    .max()
}

/// Holds a row that drills to what the motor of its machine gives, where the bench says: its
/// speed, its feed, and what to mind where it gives too little.
pub fn hold_to_motor(
    setup: &Setup,
    step: &Step,
    diameter: Length,
    (speeds, power_w): (&[u32], Option<f64>),
    row: &mut Row,
) {
    let Some(power_w) = power_w else { return };
    let follows = hole_before(setup, step, diameter).unwrap_or_default();
    let asked =
        drilling::Asked { diameter, follows, material: setup.job.material, speeds, power_w: Some(power_w) };
    let figures = match drilling::drilling(asked) {
        Ok(found) => {
            let (speed, figures): (Vec<Figure>, Vec<Figure>) = found
                .figures(setup.job.material)
                .into_iter()
                .partition(|figure| figure.name == "spindle speed");
            let speed = speed.into_iter().next();
            row.speed = speed.map(|speed| Figure { name: setup.named(row.number, "speed"), ..speed });
            figures.into_iter().filter(|figure| figure.name != "torque").collect()
        }
        Err(fault) => vec![mind(&fault, "")],
    };
    row.depth.extend(setup.place_all(row.number, figures));
}

/// The cuts of a boring head.
pub fn bore_cuts(
    setup: &Setup,
    number: usize,
    step: &Step,
    diameter: Length,
) -> Result<Vec<Figure>, Problem> {
    let drilled = hole_before(setup, step, diameter).unwrap_or(diameter - Length::mm(1));
    let lapped = step.feature.filter(|_| matches!(step.work, Work::Bore { .. }));
    let left = lapped.and_then(|id| super::rows_bench::left_in_hole(setup, id)).unwrap_or_default();
    let reckoned = boring(Bore {
        drilled,
        finished: diameter - left,
        greatest_cut: GREATEST,
        finishing_cut: finishing_cut(),
        step: if setup.in_inches() { Length::inches(1, 2000) } else { Length::microns(10) },
    })?;
    Ok(setup.place_all(number, reckoned.figures()))
}

/// What a finished hole should gauge.
pub fn hole_check(setup: &Setup, number: usize, step: &Step) -> Option<Figure> {
    let id = step.feature?;
    let Kind::Hole { diameter, finish, .. } = *own_kind(setup, id) else { return None };
    let size = setup.part.size(diameter);
    if let Some(left) = super::rows_bench::left_in_hole(setup, id).filter(|_| step.tool == Tool::BoringTool) {
        let shown = format!("⌀ {}, {} left for lapping", mm(size - left), mm(left));
        let why = super::rows_bench::why_left(setup, left).because(setup.job.why_dimension(diameter));
        return Some(Figure::new(setup.named(number, "check"), shown, why));
    }
    let class = match (&step.tool, finish) {
        (Tool::Reamer(reamer), _) => reamer.class.clone(),
        (_, Finish::Bored | Finish::Reamed) => "H7".into(),
        (Tool::BoringTool, Finish::Drilled) => DRILLED_CLASS.into(),
        (_, Finish::Drilled) => return None,
    };
    let limits = fits::limits(&class, size).ok()?;
    let why = Why::new(format!(
        "{class} at {}: {} to {}",
        mm(size),
        limits.lower.decimals(3),
        limits.upper.decimals(3)
    ))
    .source(limits.source.to_string())
    .because(setup.job.why_dimension(diameter));
    let shown = setup.checked_between([limits.least(), limits.greatest()]);
    Some(Figure::new(setup.named(number, "check"), shown, why))
}

/// How much thread a tapped hole has.
pub fn thread_check(setup: &Setup, number: usize, step: &Step) -> Option<Figure> {
    let id = match *own_kind(setup, step.feature?) {
        Kind::Tapped { thread, .. } | Kind::ClampScrew { thread, .. } => thread,
        _ => return None,
    };
    let choice = &setup.job.metric.threads[id.0];
    let shown = match &choice.percent {
        Some(percent) => percent.to_string(),
        None => choice.chosen.designation.clone(),
    };
    Some(Figure::new(setup.named(number, "thread"), shown, choice.why.clone()))
}

/// The head that a counterbore is for, where the drawing names its screw: the screw
/// itself is the gauge, for makers' heads differ.
pub fn head_check(setup: &Setup, number: usize, step: &Step) -> Option<Figure> {
    let Kind::Counterbore { over, depth, .. } = setup.part.feature(step.feature?).kind else { return None };
    let Kind::Hole { clears: Some(screw), .. } = setup.part.feature(over).kind else { return None };
    let choice = &setup.job.metric.threads[screw.0];
    let name = &choice.chosen.designation;
    let mut why = practice("heads differ from maker to maker: measure the screw's before you cut");
    let mut shown = format!("the head of the {name} screw drops in freely");
    if let Some(head) = cap_head(choice.chosen) {
        why = why.because(
            Why::assumed(format!(
                "a socket cap head of {name} is {} across, knurled {}, and {} high",
                mm(head.plain),
                mm(head.knurled),
                mm(head.height)
            ))
            .source(head.source.to_string()),
        );
        let proud = head.height - setup.part.size(depth);
        if proud.is_positive() {
            shown += &format!("; a cap head stands {} out of the face", mm(proud));
        }
    }
    Some(Figure::new(setup.named(number, "check"), shown, why.because(choice.why.clone())))
}
