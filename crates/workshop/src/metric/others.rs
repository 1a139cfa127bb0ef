//! Every size that was not chosen, and what stands against it.

use super::against::{Against, Other, Price};
use super::choice::{MadeWith, Refused};
use super::explain::Explained;
use super::model::VariableId;
use super::rules::{CLEARANCE, HELD, PINNED, SET, TURNED};
use super::way::{ThreadWay, ThreadWays, Way, Ways, drill_name, made_words};
use super::weigh::unround;
use crate::measure::Length;
use crate::tables::threads::Thread;

/// Steps of unroundness up to which a size that is set is told of unasked: tenths.
const TELLING: u32 = 3;

/// The other sizes of a dimension, nearest the drawing first.
pub fn of_dimension(explained: &Explained, variable: VariableId, ways: &Ways, exact: Length) -> Vec<Other> {
    let chosen = &ways.ways[explained.chosen(variable)];
    let other = |(at, way): (usize, &Way)| {
        let set = matches!(way.made, MadeWith::Setting | MadeWith::Lathe);
        let lesser = match way.made {
            _ if set && way.value != chosen.value => "a less round number",
            MadeWith::Drill(_) if way.rule == &CLEARANCE => "not a hole that ISO 273 lists",
            _ => "more work",
        };
        Other {
            value: way.value,
            with: described(way),
            pin: match way.made {
                // A taper pin is called by its name: that of an inch pin is no length.
                MadeWith::TaperReamer(pin) => pin.name.clone(),
                _ => format!("{} mm", way.value.shown(9)),
            },
            telling: !set || unround(way.value) <= unround(chosen.value).max(TELLING),
            off: way.value.gap(exact),
            against: against(explained, variable, at, [way.value, chosen.value, exact], lesser),
        }
    };
    let mut others: Vec<Other> = not_chosen(explained, variable, &ways.ways).map(other).collect();
    others.extend(ways.ruled_out.iter().map(|refused| ruled_out(refused, exact, None)));
    nearest_first(others)
}

/// The other threads, nearest the drawing's first.
pub fn of_thread(
    explained: &Explained,
    variable: VariableId,
    ways: &ThreadWays,
    drawn: &'static Thread,
) -> Vec<Other> {
    let chosen = ways.ways[explained.chosen(variable)].thread;
    let other = |(at, way): (usize, &ThreadWay)| {
        let sizes = [way.thread.major, chosen.major, drawn.major];
        let lesser = "its drill or its pitch is further from the aim";
        let mut against = against(explained, variable, at, sizes, lesser);
        if let Against::Costs(price) = &mut against {
            price.same = way.thread == chosen;
        }
        Other {
            value: way.thread.major,
            with: thread_words(way),
            pin: way.thread.designation.clone(),
            telling: true,
            off: way.thread.major.gap(drawn.major),
            against,
        }
    };
    let mut others: Vec<Other> = not_chosen(explained, variable, &ways.ways).map(other).collect();
    others.extend(
        ways.ruled_out.iter().map(|refused| ruled_out(refused, drawn.major, Some(refused.with.clone()))),
    );
    nearest_first(others)
}

fn not_chosen<'a, T>(
    explained: &Explained,
    variable: VariableId,
    ways: &'a [T],
) -> impl Iterator<Item = (usize, &'a T)> {
    let chosen = explained.chosen(variable);
    ways.iter().enumerate().filter(move |(at, _)| *at != chosen)
}

fn nearest_first(mut others: Vec<Other>) -> Vec<Other> {
    others.sort_by_key(|other| other.off);
    others
}

fn ruled_out(refused: &Refused, exact: Length, pin: Option<String>) -> Other {
    Other {
        value: refused.value,
        with: refused.with.clone(),
        pin: pin.unwrap_or_else(|| format!("{} mm", refused.value.shown(9))),
        telling: true,
        off: refused.value.gap(exact),
        against: Against::RuledOut(refused.reason.clone()),
    }
}

/// What stands against a candidate; the sizes are its own, the chosen one and the drawing's.
fn against(
    explained: &Explained,
    variable: VariableId,
    at: usize,
    [own, chosen, exact]: [Length; 3],
    lesser: &'static str,
) -> Against {
    let broken = explained.breaks(variable, at);
    if !broken.is_empty() {
        return Against::Breaks(broken);
    }
    let more = explained.more(variable, at);
    Against::Costs(Price {
        buys: more.buys,
        saves: more.saves,
        points: more.points,
        departure: more.departure,
        roughness: more.roughness,
        off: own.gap(exact),
        chosen_off: chosen.gap(exact),
        same: own == chosen,
        lesser,
    })
}

/// What makes it, and the remark that tells two ways with one tool apart.
fn described(way: &Way) -> String {
    match way.made {
        MadeWith::Setting | MadeWith::Lathe if [&SET, &HELD, &TURNED, &PINNED].contains(&way.rule) => {
            made_words(&way.made)
        }
        MadeWith::Setting | MadeWith::Lathe | MadeWith::Stock(_) => {
            format!("{}, {}", made_words(&way.made), way.rule.name)
        }
        _ => made_words(&way.made),
    }
}

fn thread_words(way: &ThreadWay) -> String {
    match &way.drill {
        Some(drill) => format!("{} after {}", way.thread.designation, drill_name(drill)),
        None => way.thread.designation.clone(),
    }
}
