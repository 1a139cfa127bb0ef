//! What a thread may become, and the drill before its tap.

use num_rational::Ratio;

use super::buy::Buy;
use super::choice::Refused;
use super::rules::{
    CORE, CORE_SHARE, FULLER, FULLEST, PERCENT_BOUNDS, SHORT_THREAD_PITCHES, SMALL_THREAD_PERCENT,
    THREAD_DEPARTURE, THREAD_NEAR, THREAD_STAYS,
};
use super::shelf::Shelved;
use super::way::{Cut, Job, ThreadWay, ThreadWays};
use super::{engagement, pinned};
use crate::bench::Bench;
use crate::drawing::{Role, ThreadCall, ThreadId};
use crate::measure::Length;
use crate::settings::{outside_thread, starts};
use crate::tables::drills::Drill;
use crate::tables::threads::{self, Form, Percent, Series, Thread};

/// Drills offered for each thread.
const DRILLS: usize = 2;

/// How far a thread may depart in major diameter.
pub fn limit(drawn: &Thread) -> Length {
    drawn.major.scaled(Ratio::new(THREAD_DEPARTURE.0, THREAD_DEPARTURE.1))
}

/// The share of the drawing's tensile stress area that a thread keeps.
pub fn core_share(thread: &Thread, drawn: &Thread) -> Ratio<i128> {
    let ratio = thread.stress_diameter().ratio_to(drawn.stress_diameter());
    ratio * ratio
}

fn usual_share() -> Ratio<i128> {
    Ratio::new(CORE_SHARE.0, CORE_SHARE.1)
}

/// The least of that share that a thread of the drawing keeps: what the person says, else [`CORE_SHARE`].
pub fn least_share(call: &ThreadCall) -> Ratio<i128> {
    call.keeps.map_or_else(usual_share, |percent| Ratio::new(percent.into(), 100))
}

/// The rule in words, with the share that this screw keeps.
pub fn core_because(call: &ThreadCall) -> String {
    match call.keeps {
        Some(percent) => format!("the person lets it keep {percent} % (`keeps`)"),
        None => CORE.because.to_owned(),
    }
}

/// The largest thinner thread that somebody would take where the screw may keep less, at least half, with the whole
/// percent that it keeps: owned, or else of first choice.
pub fn weaker(bench: &Bench, call: &ThreadCall) -> Option<(&'static Thread, u32)> {
    let drawn = call.thread;
    let thinner = |thread: &&'static Thread| {
        let share = core_share(thread, drawn);
        share < least_share(call)
            && share * 2 >= Ratio::from(1)
            && thread.major.gap(drawn.major) <= limit(drawn)
    };
    let coarse = threads::of(Series::MetricCoarse).map(|thread| thread.of_hand(drawn.hand));
    let found: Vec<&'static Thread> = coarse.filter(thinner).collect();
    let owned =
        |thread: &&&'static Thread| bench.taps.contains(*thread) || outside_thread::cuts(bench, thread);
    let first = |thread: &&&'static Thread| of_first_choice(thread);
    let most = |thread: &&'static Thread| thread.major;
    let owned = found.iter().filter(owned).copied().max_by_key(most);
    let taken = owned.or_else(|| found.iter().filter(first).copied().max_by_key(most))?;
    let percent = (core_share(taken, drawn) * 100).floor().to_integer();
    Some((taken, u32::try_from(percent).ok()?))
}

/// What is said of a screw that is weaker than usual.
pub fn weak(thread: &Thread, percent: u32) -> String {
    format!(
        "{} keeps {percent} % of the stress area on the drawing; see what it carries before you take it: nothing that \
         holds pressure, and no fixing that a life hangs on",
        thread.designation
    )
}

/// The same of one that is chosen because the file lets it be so weak.
pub fn said_weak(call: &ThreadCall, chosen: &Thread) -> Option<String> {
    let share = core_share(chosen, call.thread);
    let percent = u32::try_from((share * 100).floor().to_integer()).ok()?;
    (call.keeps.is_some() && share < usual_share())
        .then(|| format!("`{}` (line {}): {}", call.name, call.line, weak(chosen, percent)))
}

/// Percent of thread to aim at over so long a thread: least and most. A short one has few
/// turns to carry and little to turn the tap by: it is cut fuller.
pub fn aim(job: &Job, thread: &Thread, long: Option<Length>) -> (i128, i128) {
    let tapping = &job.material.tapping;
    let (low, high) = if thread.form() == Form::Metric60 && thread.major < Length::microns(2500) {
        SMALL_THREAD_PERCENT
    } else {
        (tapping.percent_low.into(), tapping.percent_high.into())
    };
    let more = if is_short(thread, long) { FULLER.min(FULLEST - high).max(0) } else { 0 };
    (low + more, high + more)
}

/// Whether a thread has fewer turns than a tap is eased for.
pub fn is_short(thread: &Thread, long: Option<Length>) -> bool {
    let pitches = Ratio::from_integer(SHORT_THREAD_PITCHES);
    long.is_some_and(|long| long.is_positive() && long < thread.pitch.scaled(pitches))
}

/// The threads one may become.
pub fn ways(job: &Job, id: ThreadId) -> ThreadWays {
    pinned::thread(job, id, unsettled(job, id))
}

/// The same before anything that the person settled.
fn unsettled(job: &Job, id: ThreadId) -> ThreadWays {
    let call = &job.drawing.threads[id.0];
    let (drawn, cut) = (call.thread, job.cut(id));
    let (mut ways, mut ruled_out) = (Vec::new(), Vec::new());
    if let Some(reason) = of_several(job, drawn, cut) {
        ruled_out.push(Refused { value: drawn.major, with: drawn.designation.clone(), reason });
        return ThreadWays { ways, ruled_out };
    }
    let stays = drawn.form() == Form::Metric60 || drawn.series == Series::Pipe || drawn.starts > 1;
    if stays || call.role.0 == Role::Hold {
        ways.extend(with_drills(job, drawn, cut, &THREAD_STAYS));
        return ThreadWays { ways, ruled_out };
    }
    let near = |thread: &&'static Thread| thread.major.gap(drawn.major) <= limit(drawn);
    let mut found: Vec<&'static Thread> = Vec::new();
    let metric = threads::of(Series::MetricCoarse).chain(threads::of(Series::MetricFine));
    for thread in metric.filter(near).map(|thread| thread.of_hand(drawn.hand)) {
        let share = core_share(thread, drawn);
        if share >= least_share(call) {
            found.push(thread);
            continue;
        }
        let percent = (share * 100).round();
        ruled_out.push(Refused {
            value: thread.major,
            with: thread.designation.clone(),
            reason: format!(
                "its stress area is {percent} % of that of {}: {}",
                drawn.designation,
                core_because(call)
            ),
        });
    }
    let usual = |thread: &&'static Thread| owned(job, thread, cut) || worth_buying(thread, drawn);
    let any = found.iter().any(&usual);
    for thread in found.into_iter().filter(|thread| !any || usual(thread)) {
        ways.extend(with_drills(job, thread, cut, &THREAD_NEAR));
    }
    ThreadWays { ways, ruled_out }
}

/// Why a thread of several starts is not cut on this bench; nothing where it is, or has one start.
fn of_several(job: &Job, thread: &'static Thread, cut: Cut) -> Option<String> {
    if thread.starts == 1 {
        return None;
    }
    match cut {
        Cut::Elsewhere => None,
        Cut::Inside(_) => (!job.bench.taps.contains(&thread)).then(|| {
            "no tap of several starts is on the bench, and inside none is cut with a tool here".to_owned()
        }),
        Cut::Outside(_) if job.bench.has_die(thread) => None,
        Cut::Outside(_) => match &job.bench.lathe {
            Some(lathe) => {
                let fault = starts::geared(lathe, thread, thread.major).err()?;
                Some(fault.reason().unwrap_or(fault.what()).to_owned())
            }
            None => Some("it is cut in a lathe, and there is none".to_owned()),
        },
    }
}

/// Sizes of first choice, in tenths of a millimetre (ISO 262).
const FIRST_CHOICE: [i64; 15] = [10, 12, 16, 20, 25, 30, 40, 50, 60, 80, 100, 120, 160, 200, 240];

/// True for a metric size of first choice, coarse or fine.
pub fn of_first_choice(thread: &Thread) -> bool {
    let sized = |&tenths: &i64| thread.major == Length::microns(tenths * 100);
    thread.form() == Form::Metric60 && FIRST_CHOICE.iter().any(sized)
}

/// True for a thread somebody would buy a tap for: of first choice, and fine only
/// where the drawing's own pitch lies nearer to it than to the coarse one.
fn worth_buying(thread: &Thread, drawn: &Thread) -> bool {
    let first = of_first_choice(thread);
    let coarse = threads::of(Series::MetricCoarse).find(|coarse| coarse.major == thread.major);
    let off = |pitch: Length| pitch.gap(drawn.pitch);
    first && coarse.is_none_or(|coarse| off(thread.pitch) <= off(coarse.pitch))
}

/// Whether the bench has what cuts a thread: its tap, or on the outside its die or the gear for it.
pub fn owned(job: &Job, thread: &'static Thread, cut: Cut) -> bool {
    match cut {
        Cut::Outside(_) => outside_thread::cuts(job.bench, thread),
        Cut::Inside(_) | Cut::Elsewhere => job.bench.taps.contains(&thread),
    }
}

/// One thread with each drill that may stand before its tap.
pub fn with_drills(
    job: &Job,
    thread: &'static Thread,
    cut: Cut,
    rule: &'static super::rules::Rule,
) -> Vec<ThreadWay> {
    let buys: Vec<Buy> =
        (!owned(job, thread, cut)).then(|| Buy::thread_tool(thread, cut)).into_iter().collect();
    let Cut::Inside(feature) = cut else {
        return vec![ThreadWay { thread, drill: None, buys, rule, outside_aim: 0 }];
    };
    tapping_drills(job, thread, engagement::available(job, &job.part.sizes, feature))
        .into_iter()
        .map(|(drill, have, outside_aim)| {
            let mut buys = buys.clone();
            buys.extend((!have).then(|| Buy::drill(&drill)));
            ThreadWay { thread, drill: Some(drill), buys, rule, outside_aim }
        })
        .collect()
}

/// Drills before a tap that cuts so long a thread, nearest the aim first, each with whether
/// it is owned and by how many hundredths of a percent it misses the aim.
pub fn tapping_drills(job: &Job, thread: &Thread, long: Option<Length>) -> Vec<(Drill, bool, u32)> {
    let basis = thread.form().workshop_basis();
    let hole = |percent: i128| thread.drill_for(Percent::new(percent, basis)).ok();
    let (Some(least), Some(most)) = (hole(PERCENT_BOUNDS.1), hole(PERCENT_BOUNDS.0)) else {
        return Vec::new();
    };
    let (low, high) = aim(job, thread, long);
    let misses = |size: Length| -> u32 {
        let percent = thread.percent(size, basis).map_or(Ratio::from(0), |percent| percent.value);
        let off = (Ratio::from(low) - percent).max(percent - Ratio::from(high)).max(Ratio::from(0));
        (off * 100).round().to_integer() as u32
    };
    let mut found: Vec<(u32, Shelved)> =
        job.shelf.between(least, most).map(|shelved| (misses(shelved.drill.diameter), shelved)).collect();
    found.sort_by_key(|(misses, shelved)| (*misses, shelved.drill.diameter));
    let nearest = |owned: bool, most: usize| {
        let of = found.iter().filter(move |(_, shelved)| shelved.owned == owned).take(most);
        of.map(|(misses, shelved)| (shelved.drill.clone(), shelved.owned, *misses))
    };
    nearest(true, DRILLS).chain(nearest(false, 1)).collect()
}
