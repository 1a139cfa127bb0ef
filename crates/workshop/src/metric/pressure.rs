//! What a part that holds pressure asks of pins, of what is made already, and of the
//! parts it meets.
//!
//! Nothing here decides whether a part is safe: it keeps every size and thread as it was
//! proved, says what would become thinner or weaker, and sends the rest to the people who
//! answer for it.

use std::collections::BTreeMap;

use super::choice::MadeWith;
use super::rules::BESIDE_PRESSURE;
use super::together::Piece;
use super::way::{Job, ThreadWay, ThreadWays, Way, Ways};
use super::{mates, pinned, screws};
use crate::bench::Bench;
use crate::drawing::solid::walls_in_space;
use crate::drawing::{
    Dimension, DimensionId, Drawing, FeatureId, Measures, Part, Partner, Pressure, Sizes, Solved, ThreadCall,
    ThreadId,
};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::threads::Thread;
use crate::why::Why;

/// What stands behind every refusal to change a part that holds pressure.
pub const INSPECTOR: &str = "the code in force where you live and a boiler inspector or other licensed person decide on \
     any change to it, not this program; a wall, stay or thread that looks alike may be weaker";

/// What to do about a part that came out weaker than drawn.
const ASK: &str = "do not put it under pressure: show it to a boiler inspector, who answers by the code in force, or make \
     it again";

/// Less than this no wall is thinner: it is the error of measuring one.
fn noise() -> Length {
    Length::microns(1)
}

/// Sizes and threads that belong to another part that holds pressure, each with the
/// name of that part.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bound {
    dimensions: BTreeMap<DimensionId, String>,
    threads: BTreeMap<ThreadId, String>,
}

/// What each of these parts may not change because it screws or fits into, or on to, one
/// that holds pressure, whichever of the two files says so.
pub fn beside(pieces: &[Piece]) -> Vec<Bound> {
    let drawings: Vec<&Drawing> = pieces.iter().map(|piece| piece.drawing).collect();
    let mut bound = vec![Bound::default(); pieces.len()];
    let holds = |at: usize| drawings[at].pressure == Pressure::Holds;
    for (at, drawing) in drawings.iter().enumerate() {
        for screwed in &drawing.screwed {
            let Some((other, feature)) = find(&drawings, &screwed.partner) else { continue };
            let thread = drawings[other].features[feature.0].kind.screwed();
            if holds(at)
                && let Some(thread) = thread
            {
                bound[other].threads.insert(thread, drawing.name.clone());
            }
            if holds(other) {
                bound[at].threads.insert(screwed.thread, drawings[other].name.clone());
            }
        }
        for mate in &drawing.mates {
            let Some((other, feature)) = mate.partner.as_ref().and_then(|partner| find(&drawings, partner))
            else {
                continue;
            };
            let size = drawings[other].features[feature.0].kind.sizes().first().copied();
            if holds(at)
                && let Some(size) = size
            {
                bound[other].dimensions.insert(size, drawing.name.clone());
            }
            if holds(other) {
                let name = &drawings[other].name;
                let met = mates::met_on(drawing, mate);
                for id in met.into_iter().chain([mate.size]) {
                    bound[at].dimensions.insert(id, name.clone());
                }
            }
        }
    }
    bound
}

fn find(drawings: &[&Drawing], partner: &Partner) -> Option<(usize, FeatureId)> {
    let at = drawings.iter().position(|drawing| drawing.name.eq_ignore_ascii_case(&partner.part))?;
    Some((at, partner.find(&drawings[at].features)?))
}

impl Bound {
    /// Leaves of the ways only those that keep the drawing's sizes and threads.
    pub fn keep(&self, job: &Job, ways: &mut [Ways], threads: &mut [ThreadWays]) {
        for (&id, name) in &self.dimensions {
            let (dimension, own) = (job.dimension(id), &mut ways[id.0]);
            if dimension.made.is_some() {
                continue;
            }
            let exact = dimension.written.length;
            let mut same = match job.drawing.mates.iter().find(|mate| mate.size == id) {
                Some(mate) => pinned::mate_at(job, mate, exact),
                None => pinned::at(job, id, exact, threads),
            };
            if same.is_empty() {
                same.push(Way::new(exact, MadeWith::Exact, &BESIDE_PRESSURE));
            }
            same.iter_mut().for_each(|way| way.rule = &BESIDE_PRESSURE);
            own.ways = same;
            own.limit = Length::ZERO;
            own.limit_why = belongs(name);
            own.ruled_out.clear();
        }
        for &id in self.threads.keys() {
            let call = &job.drawing.threads[id.0];
            if call.made.is_some() {
                continue;
            }
            let mut same = screws::with_drills(job, call.thread, job.cut(id), &BESIDE_PRESSURE);
            if same.is_empty() {
                let (drill, buys) = (None, Vec::new());
                same.push(ThreadWay {
                    thread: call.thread,
                    drill,
                    buys,
                    rule: &BESIDE_PRESSURE,
                    outside_aim: 0,
                });
            }
            threads[id.0] = ThreadWays { ways: same, ruled_out: Vec::new() };
        }
    }

    /// Pins and measured sizes that would change what belongs to the other part.
    pub fn faults(&self, drawing: &Drawing) -> Vec<Problem> {
        let mut faults = Vec::new();
        for (id, name) in &self.dimensions {
            let dimension = &drawing.dimensions[id.0];
            let whose = format!("it belongs to `{name}`, which holds pressure");
            faults.extend(refused(dimension, &whose, &[]).map(|fault| fault.at(drawing.file.clone())));
            if let Some(made) = dimension.made.filter(|&made| made != dimension.written.length) {
                let words = format!("`{}` is made {made}, and {whose}", dimension.name);
                faults.push(weaker(words, dimension).at(drawing.file.clone()));
            }
        }
        for (id, name) in &self.threads {
            let call = &drawing.threads[id.0];
            let whose = format!("it belongs to `{name}`, which holds pressure");
            faults.extend(thread_faults(call, &whose).map(|fault| fault.at(drawing.file.clone())));
        }
        faults
    }
}

/// Why a size is bound to the drawing.
fn belongs(name: &str) -> Why {
    Why::new(format!("it may not depart: it belongs to `{name}`, which holds pressure"))
        .source("common practice")
        .because(Why::new(INSPECTOR))
}

/// What stands against the pins and measured sizes of a part that itself holds pressure.
pub fn faults(drawing: &Drawing, solved: &Solved) -> Vec<Problem> {
    let mut faults = Vec::new();
    let whose = "this part holds pressure";
    for (at, dimension) in drawing.dimensions.iter().enumerate() {
        let id = DimensionId(at);
        if let Some(pin) = dimension.pin.filter(|&pin| pin != dimension.written.length) {
            let thins = thinned(drawing, solved, id, pin);
            faults.extend(refused(dimension, whose, &thins).map(|fault| fault.at(drawing.file.clone())));
        }
        if let Some(made) = dimension.made {
            let allowed = dimension.within.unwrap_or(Length::ZERO);
            let thins = if made.gap(dimension.written.length) <= allowed {
                Vec::new()
            } else {
                thinned(drawing, solved, id, made)
            };
            if !thins.is_empty() {
                let words = format!("`{}` is made {made}: {}", dimension.name, thins.join("; "));
                faults.push(weaker(words, dimension).at(drawing.file.clone()));
            }
        }
    }
    for call in &drawing.threads {
        faults.extend(thread_faults(call, whose).map(|fault| fault.at(drawing.file.clone())));
    }
    faults
}

/// The refusal of a pin that is not the drawing's own size.
fn refused(dimension: &Dimension, whose: &str, thins: &[String]) -> Option<Problem> {
    let drawn = dimension.written.length;
    let pin = dimension.pin.filter(|&pin| pin != drawn)?;
    let name = &dimension.name;
    let thins = if thins.is_empty() { String::new() } else { format!("; {}", thins.join("; ")) };
    Some(
        Problem::new(format!("`{name}` is not pinned to {pin}: {whose}"))
            .at(format!("line {}, `{name}`", dimension.line))
            .concerns(name)
            .why(format!("the drawing has {drawn}, and its sizes were proved together{thins}; {INSPECTOR}"))
            .mend(format!("take the pin out; it may stay if it is the drawing's own size, {drawn}")),
    )
}

/// What was made weaker than it was proved.
fn weaker(words: String, dimension: &Dimension) -> Problem {
    Problem::new(words)
        .at(format!("line {}, `{}`", dimension.line, dimension.name))
        .concerns(&dimension.name)
        .why(format!("the drawing has {}; {INSPECTOR}", dimension.written.length))
        .mend(ASK)
}

/// Another thread than the drawing's, pinned or made.
fn thread_faults(call: &ThreadCall, whose: &str) -> Option<Problem> {
    let drawn = &call.thread.designation;
    let other = |thread: &'static Thread| (thread != call.thread).then_some(thread);
    let place =
        |problem: Problem| problem.at(format!("line {}, `{}`", call.line, call.name)).concerns(&call.name);
    if let Some(pin) = call.pin.and_then(other) {
        let core = (screws::core_share(pin, call.thread) * 100).round();
        return Some(place(
            Problem::new(format!("`{}` is not pinned to {}: {whose}", call.name, pin.designation))
                .why(format!(
                    "the drawing has {drawn}, of whose core {} keeps {core} %; {INSPECTOR}",
                    pin.designation
                ))
                .mend("take the pin out"),
        ));
    }
    let made = call.made.and_then(other)?;
    Some(place(
        Problem::new(format!("`{}` is made {}, and {whose}", call.name, made.designation))
            .why(format!("the drawing has {drawn}; {INSPECTOR}"))
            .mend(ASK),
    ))
}

/// What becomes thinner when one size of the drawing becomes another, in words.
fn thinned(drawing: &Drawing, solved: &Solved, id: DimensionId, size: Length) -> Vec<String> {
    let (dimension, drawn) = (&drawing.dimensions[id.0], drawing.dimensions[id.0].written.length);
    let mut said = Vec::new();
    let by_itself = match dimension.measures {
        Measures::Thickness
        | Measures::Web
        | Measures::Turned
        | Measures::AcrossFlats
        | Measures::AcrossBar => size < drawn,
        // What is cut away leaves less the larger it is.
        Measures::Hole(_)
        | Measures::Depth
        | Measures::SlotWidth
        | Measures::SawWidth
        | Measures::Counterbore
        | Measures::Countersink
        | Measures::Inside
        | Measures::Filed
        | Measures::TaperPin
        | Measures::Chamfer => size > drawn,
        _ => false,
    };
    if by_itself {
        said.push(format!("`{}` would leave {} less metal than drawn", dimension.name, size.gap(drawn)));
    }
    let before = Part::as_drawn(drawing, solved);
    let mut sizes = Sizes::as_drawn(drawing);
    sizes.lengths[id.0] = size;
    let after = before.with_sizes(sizes);
    let drawn_walls = walls_in_space(&before);
    for wall in walls_in_space(&after) {
        let same = drawn_walls.iter().filter(|old| (old.first, old.second) == (wall.first, wall.second));
        let Some(old) = same.map(|old| old.thickness).min() else {
            said.push(format!("there would be a new wall: {}", wall.words(&after)));
            continue;
        };
        if wall.thickness + noise() < old {
            let first = &after.feature(wall.first).name;
            said.push(format!(
                "the wall between `{first}` and {} would be {} instead of {}",
                wall.second.words(&after),
                wall.thickness.shown(3),
                old.shown(3)
            ));
        }
    }
    said
}

/// What the files say of a part that holds pressure and that changes nothing.
pub fn remarks(drawing: &Drawing, bench: &Bench) -> Vec<String> {
    let mut said = Vec::new();
    let loose = |dimension: &&Dimension| {
        dimension.within.is_some() || dimension.role.0 != dimension.measures.usual_role()
    };
    let count = drawing.dimensions.iter().filter(loose).count();
    if count > 0 {
        said.push(format!(
            "the roles and tolerances that the file gives {count} dimensions change nothing: the part holds pressure"
        ));
    }
    if !bench.would_buy.is_empty() {
        said.push("what would be bought changes nothing here: the part holds pressure".into());
    }
    said
}
