//! Sizes and threads that the person has settled: pinned to a choice of theirs, or
//! already cut and measured.
//!
//! A pin is a demand of its own, so that a clash names it and can offer to take it
//! back; what makes the size comes from the same ways as ever. What is already made
//! leaves nothing to choose.

use std::sync::Arc;

use super::choice::MadeWith;
use super::demands::{Demands, one};
use super::model::{Demand, Judgement, Span, Test};
use super::rules::{ALREADY_MADE, HELD, PINNED, SET};
use super::way::{Job, ThreadWay, ThreadWays, Way, Ways};
use super::weigh::limit;
use super::{holes, mates, screws, ways};
use crate::drawing::{
    Dimension, DimensionId, Finish, Mate, Measures, Part, Role, Size, ThreadCall, ThreadId,
};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::drills;
use crate::tables::threads::Thread;

/// So near that no other size is.
fn exactly() -> Length {
    Length::mm_ratio(1, 1_000_000)
}

/// The ways of a size with what the person settled of it.
pub fn settled(job: &Job, id: DimensionId, mut ways: Ways, at: impl FnOnce(Length) -> Vec<Way>) -> Ways {
    let dimension = job.dimension(id);
    let drawn = dimension.written.length;
    if let Some(made) = dimension.made {
        ways.limit = ways.limit.max(made.gap(drawn));
        ways.ways = vec![Way::new(made, MadeWith::Exact, &ALREADY_MADE)];
        ways.ruled_out.clear();
    } else if let Some(pin) = dimension.pin.filter(|_| !is_fixed(&ways.ways)) {
        ways.limit = ways.limit.max(pin.gap(drawn));
        ways::further(&mut ways.ways, at(pin));
        for way in ways.ways.iter_mut().filter(|way| way.value == pin) {
            if way.rule == &HELD || way.rule == &SET {
                way.rule = &PINNED;
            }
        }
    }
    ways
}

/// Whether a size is there already: cast, or of a part that is made.
fn is_fixed(ways: &[Way]) -> bool {
    !ways.is_empty() && ways.iter().all(|way| way.made == MadeWith::Exact)
}

/// The ways that give a dimension exactly this size, whatever the drawing has.
pub fn at(job: &Job, id: DimensionId, size: Length, threads: &[ThreadWays]) -> Vec<Way> {
    let mut ways = drawn_at(job, id, size, |that| ways::of(that, id, threads).ways);
    if ways.is_empty() && matches!(job.dimension(id).measures, Measures::Hole(Finish::Drilled)) {
        // Drills by number, letter and fraction are sold too, where somebody asks for one.
        let sold = drills::all().iter().find(|drill| drill.diameter == size);
        ways.extend(sold.map(|drill| holes::with_drill(drill, false)));
    }
    ways
}

/// The same of a mate's size.
pub fn mate_at(job: &Job, mate: &Mate, size: Length) -> Vec<Way> {
    // A hole of that size stands in for the one it meets, which may follow it.
    let hole = [Way::new(size, MadeWith::Setting, &SET)];
    drawn_at(job, mate.size, size, |that| mates::ways(that, mate.size, mate, exactly(), &hole).0)
}

/// The ways of a dimension of this exact size, as if the drawing had it: by what it is,
/// and by what it would be if nothing else were allowed.
fn drawn_at(job: &Job, id: DimensionId, size: Length, ways_of: impl Fn(&Job) -> Vec<Way>) -> Vec<Way> {
    let mut found = Vec::new();
    for role in [job.dimension(id).role.0, Role::Hold] {
        let mut drawing = job.drawing.clone();
        let dimension = &mut drawing.dimensions[id.0];
        (dimension.written.length, dimension.within, dimension.role.0) = (size, Some(exactly()), role);
        let that = Job {
            drawing: &drawing,
            solved: job.solved,
            bench: job.bench,
            part: Part::as_drawn(&drawing, job.solved),
            shelf: job.shelf,
            material: job.material,
        };
        ways::further(&mut found, ways_of(&that).into_iter().filter(|way| way.value == size).collect());
    }
    found
}

/// The ways of a thread that the person settled; none where they said nothing.
pub fn thread(job: &Job, id: ThreadId, mut ways: ThreadWays) -> ThreadWays {
    let (call, cut) = (&job.drawing.threads[id.0], job.cut(id));
    if let Some(made) = call.made {
        let mut there = screws::with_drills(job, made, cut, &ALREADY_MADE);
        there.truncate(1);
        if there.is_empty() {
            let drill = None;
            there.push(ThreadWay {
                thread: made,
                drill,
                buys: Vec::new(),
                rule: &ALREADY_MADE,
                outside_aim: 0,
            });
        }
        there[0].buys.clear();
        return ThreadWays { ways: there, ruled_out: Vec::new() };
    }
    if let Some(pin) = call.pin {
        // A pin is told by its diameter: of one diameter only the pitch that is pinned stays.
        ways.ways.retain(|way| way.thread.major != pin.major);
        ways.ways.extend(screws::with_drills(job, pin, cut, &PINNED));
    }
    ways
}

/// Pins that cannot stand whatever else is chosen.
pub fn faults(job: &Job, ways: &[Ways], threads: &[ThreadWays]) -> Vec<Problem> {
    let mut faults = Vec::new();
    for (at, (dimension, ways)) in job.drawing.dimensions.iter().zip(ways).enumerate() {
        if let Some(pin) = dimension.pin {
            let words = Words::of(job.is_asked(Size::Length(DimensionId(at))));
            let fault = dimension_fault(job, dimension, pin, ways, &words);
            let place = format!("line {}, `{}`", dimension.line, dimension.name);
            faults.extend(
                fault.map(|fault| fault.at(place).at(job.drawing.file.clone()).concerns(&dimension.name)),
            );
        }
    }
    for (at, (call, ways)) in job.drawing.threads.iter().zip(threads).enumerate() {
        if let Some(pin) = call.pin {
            let words = Words::of(job.is_asked(Size::Thread(ThreadId(at))));
            let fault = thread_fault(call, pin, ways, &words);
            let place = format!("line {}, `{}`", call.line, call.name);
            faults
                .extend(fault.map(|fault| fault.at(place).at(job.drawing.file.clone()).concerns(&call.name)));
        }
    }
    faults
}

/// How a pin is spoken of: one that stands in the file, or one that is only asked about.
struct Words {
    /// `cannot {be pinned to} 8 mm`.
    be: &'static str,
    /// `nothing makes ... 8 mm, {as it is pinned}`.
    as_is: &'static str,
    /// `{pin} it to 8 mm`.
    pin: &'static str,
    /// What to do about one that cannot be.
    without: &'static str,
}

impl Words {
    const fn of(asked: bool) -> Self {
        if asked {
            Self { be: "be", as_is: "as is asked", pin: "ask for", without: "ask for another size" }
        } else {
            Self {
                be: "be pinned to",
                as_is: "as it is pinned",
                pin: "pin it to",
                without: "take the pin out",
            }
        }
    }
}

fn dimension_fault(
    job: &Job,
    dimension: &Dimension,
    pin: Length,
    ways: &Ways,
    words: &Words,
) -> Option<Problem> {
    let Words { be, as_is, pin: pins, without } = words;
    let (name, drawn) = (&dimension.name, dimension.written.length);
    let (within, _) = limit(dimension, job.drawing.general_tolerance);
    let bound = dimension.within.is_some() || dimension.role.0 == Role::Hold;
    if bound && pin.gap(drawn) > within {
        let held = if dimension.role.0 == Role::Hold {
            "it is held: the mechanism depends on it"
        } else {
            "the file bounds it"
        };
        return Some(
            Problem::new(format!("`{name}` cannot {be} {pin}: it may only go {within} from the drawing"))
                .why(format!("{held}, and {pin} is {} from `{}`", pin.gap(drawn), dimension.written.text))
                .mend(format!(
                    "{pins} a size within that, allow more with `within`, or give it another `role`"
                )),
        );
    }
    if ways.ways.iter().any(|way| way.value == pin) {
        return None;
    }
    if is_fixed(&ways.ways) {
        let rule = ways.ways[0].rule;
        return Some(
            Problem::new(format!("`{name}` cannot {be} {pin}: it is {} already", ways.ways[0].value))
                .why(rule.because)
                .mend(format!("{without}; write `made` for what it really measures")),
        );
    }
    let nearest = ways.ways.iter().min_by_key(|way| way.value.gap(pin));
    let would = super::impasse::would_make(dimension.measures, pin);
    Some(
        Problem::new(format!("nothing makes `{name}` {pin}, {as_is}"))
            .why(format!(
                "no tool or bar that is owned or sold as standard gives that size; it would take {would}"
            ))
            .mend(match nearest {
                Some(way) => format!(
                    "{pins} {}, which {} gives, or add what makes {pin} to the bench",
                    way.value,
                    super::way::made_words(&way.made)
                ),
                None => format!("{pins} another size, or add what makes {pin} to the bench"),
            }),
    )
}

fn thread_fault(
    call: &ThreadCall,
    pin: &'static Thread,
    ways: &ThreadWays,
    words: &Words,
) -> Option<Problem> {
    let name = &pin.designation;
    let Words { be, as_is, pin: pins, without } = words;
    if call.role.0 == Role::Hold && pin != call.thread {
        return Some(
            Problem::new(format!("`{}` cannot {be} {name}: it is held as `{}`", call.name, call.text))
                .why("what screws in there depends on it")
                .mend(format!("{without}, or give it another `role`")),
        );
    }
    let none = !ways.ways.iter().any(|way| way.thread == pin);
    none.then(|| {
        Problem::new(format!("nothing makes `{}` {name}, {as_is}", call.name))
            .why("no drill that is owned or sold leaves such a tap enough to cut")
            .mend(format!("{pins} another thread, or add its tapping drill to the bench"))
    })
}

/// What measures otherwise than it is held to, though it is already made.
pub fn remarks(job: &Job) -> Vec<String> {
    let out = |dimension: &&Dimension| {
        let bound = dimension.within.is_some() || dimension.role.0 == Role::Hold;
        let (within, _) = limit(dimension, job.drawing.general_tolerance);
        bound && dimension.made.is_some_and(|made| made.gap(dimension.written.length) > within)
    };
    let said = |dimension: &Dimension| {
        let made = dimension.made.unwrap_or_default();
        format!(
            "`{}` is made {made}, which is {} from the drawing and beyond what it is held to: the rest is chosen \
             around it, and whether the mechanism bears it is to be tried",
            dimension.name,
            made.gap(dimension.written.length)
        )
    };
    job.drawing.dimensions.iter().filter(out).map(said).collect()
}

impl Demands<'_> {
    /// What the person pinned, each a demand that a clash can name.
    pub fn pins(&mut self) {
        for (at, dimension) in self.job.drawing.dimensions.iter().enumerate() {
            let Some(pin) = dimension.pin else { continue };
            let sum = one(self.size(DimensionId(at)));
            let because = match self.job.is_asked(Size::Length(DimensionId(at))) {
                true => format!("`{}` is asked to be {pin}", dimension.name),
                false => format!("`{}` is pinned to {pin} (line {})", dimension.name, dimension.line),
            };
            self.model.demand(pin_name(&dimension.name, &pin.to_string()), because, Demand::equal(sum, pin));
        }
        for (at, call) in self.job.drawing.threads.iter().enumerate() {
            let Some(pin) = call.pin else { continue };
            let major = self.major(ThreadId(at));
            let name = &pin.designation;
            let because = match self.job.is_asked(Size::Thread(ThreadId(at))) {
                true => format!("`{}` is asked to be {name}", call.name),
                false => format!("`{}` is pinned to {name} (line {})", call.name, call.line),
            };
            self.model.demand(pin_name(&call.name, name), because, Demand::equal(one(major), pin.major));
            let share = screws::core_share(pin, call.thread);
            if share < screws::least_share(call) && pin != call.thread {
                let because = format!(
                    "the stress area of {name} is {} % of that of `{}`: {}",
                    (share * 100).round(),
                    call.text,
                    screws::core_because(call)
                );
                let weak = pin.major;
                let judge = move |spans: &[Span]| match spans[0] {
                    Span { least, most } if least == most && least == weak => Judgement::Breaks,
                    Span { least, most } if least > weak || most < weak => Judgement::Holds,
                    _ => Judgement::Unsure,
                };
                let demand = Demand::Test(Test { on: vec![major], judge: Arc::new(judge) });
                self.model.demand(format!("core of {}", call.name), because, demand);
            }
        }
    }
}

/// What a pin is called among the demands.
pub fn pin_name(of: &str, to: &str) -> String {
    format!("pin of `{of}` to {to}")
}
