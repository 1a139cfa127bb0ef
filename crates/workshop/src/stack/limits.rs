//! How far a size may go: as drawn, and as it will be made.

use super::{Held, Which};
use crate::assembly::Lie;
use crate::drawing::{DimensionId, Finish, Measures, Role, Size};
use crate::measure::Length;
use crate::metric::{DRILLED_CLASS, MadeWith, limit};
use crate::tables::fits;
use crate::tables::general_tolerance::{Class, general_tolerance};
use crate::why::Why;

/// The limits of a size, and why.
#[derive(Clone, Debug)]
pub struct Between {
    /// The size that is aimed at.
    pub aim: Length,
    /// The least it may be.
    pub lower: Length,
    /// The most it may be.
    pub upper: Length,
    /// On what the size rests.
    pub why: Why,
    /// On what its limits rest.
    pub room: Why,
    /// The limit that leaves the most metal, where one does: `true` for the upper.
    pub most_metal: Option<bool>,
}

/// The limits of a size of a part; `None` where it is not chosen yet.
pub fn between(held: &Held, size: Size, which: Which) -> Option<Between> {
    match size {
        Size::Length(id) => length(held, id, which),
        Size::Thread(id) => {
            let thread = &held.drawing.threads[id.0];
            let (major, why) = match which {
                Which::Drawn => (thread.thread.major, Why::new(format!("`{}` as drawn", thread.name))),
                Which::Chosen => {
                    let choice = &held.metric?.threads[id.0];
                    (choice.chosen.major, choice.why.clone())
                }
            };
            let supposed = Why::assumed("a thread counts with its diameter over the crests, as if exact");
            let why = Why::new(format!("{major} over the crests")).because(why);
            Some(Between { aim: major, lower: major, upper: major, why, room: supposed, most_metal: None })
        }
    }
}

fn length(held: &Held, id: DimensionId, which: Which) -> Option<Between> {
    let drawing = held.drawing;
    let drawn = &drawing.dimensions[id.0];
    let most_metal = most_metal(drawn.measures);
    let exact = drawn.written.length;
    let either_way = |aim: Length, by: Length, why: Why, room: Why| Between {
        aim,
        lower: aim - by,
        upper: aim + by,
        why,
        room,
        most_metal,
    };
    let said = drawn.within.is_some() || drawn.role.0 == Role::Hold;
    let (permitted, permits) = limit(drawn, drawing.general_tolerance);
    let choice = match which {
        Which::Drawn => None,
        Which::Chosen => Some(held.metric?.dimensions.get(id.0)?),
    };
    let Some(choice) = choice else {
        let why = Why::new(format!("{exact} as drawn: `{}`", drawn.written.text)).source("the drawing");
        if !said
            && let Measures::Hole(finish) = drawn.measures
            && let Some(between) = classed(exact, finish_class(finish), why.clone(), most_metal)
        {
            return Some(between);
        }
        return Some(either_way(exact, permitted, why, permits));
    };
    let aim = choice.chosen;
    if drawn.made.is_some() {
        let why = Why::new(format!("{aim} as made")).because(choice.why.clone());
        return Some(either_way(aim, Length::ZERO, why, Why::new("measured: it does not vary")));
    }
    let why = Why::new(format!("made {aim}")).because(choice.why.clone());
    if said {
        let moved = aim.gap(exact);
        let left = (permitted - moved).max(Length::ZERO);
        let spent = match moved == Length::ZERO {
            true => permits,
            false => Why::new(format!("{left} of that is left after the metric size has moved {moved}"))
                .because(permits),
        };
        return Some(either_way(aim, left, why, spent));
    }
    let plain = drawn.measures == Measures::Hole(Finish::Drilled);
    let class = match &choice.made {
        MadeWith::Reamer { reamer, .. } => Some(reamer.class.clone()),
        MadeWith::Drill(_) => Some(DRILLED_CLASS.to_owned()),
        // A plain hole is bored for want of a drill, and no nearer than a drill would leave it.
        MadeWith::Boring { .. } if plain => Some(DRILLED_CLASS.to_owned()),
        MadeWith::Boring { .. } => Some("H7".to_owned()),
        MadeWith::Stock(stock) => stock.class.clone(),
        _ => None,
    };
    if let Some(between) = class.and_then(|class| classed(aim, &class, why.clone(), most_metal)) {
        return Some(between);
    }
    let (room, reason) = general(aim, drawing.general_tolerance);
    Some(either_way(aim, room, why, reason))
}

/// Between the limits of a class of ISO 286.
fn classed(aim: Length, class: &str, why: Why, most_metal: Option<bool>) -> Option<Between> {
    let limits = fits::limits(class, aim).ok()?;
    let room = Why::new(format!("comes out to {class}: {} to {}", limits.least(), limits.greatest()))
        .source(limits.source.to_string());
    let (lower, upper) = (limits.least(), limits.greatest());
    Some(Between { aim, lower, upper, why, room, most_metal })
}

fn finish_class(finish: Finish) -> &'static str {
    match finish {
        Finish::Drilled => DRILLED_CLASS,
        Finish::Reamed | Finish::Bored => "H7",
    }
}

/// What a size may be out by where nothing is said of it.
fn general(size: Length, class: Option<Class>) -> (Length, Why) {
    let taken = class.unwrap_or(Class::SUPPOSED);
    match general_tolerance(taken, size.abs()) {
        Ok(row) => {
            let room = row.plus_minus;
            let why = match class {
                Some(class) => {
                    Why::new(format!("within {room}: the {} class of the part file", class.name()))
                }
                None => Why::assumed(format!(
                    "within {room}: no tolerance is given, so the coarse class is taken"
                )),
            };
            (room, why.source(row.source.to_string()))
        }
        Err(_) => {
            let quarter = size.abs() / 4;
            let why = Why::assumed(format!("within a quarter of its size, {quarter}"));
            (quarter, why.source("common practice"))
        }
    }
}

/// The limit at which people who stop as soon as a size is within its limits come out.
fn most_metal(measures: Measures) -> Option<bool> {
    match measures {
        Measures::Hole(_)
        | Measures::SlotWidth
        | Measures::SawWidth
        | Measures::Depth
        | Measures::Counterbore
        | Measures::Countersink
        | Measures::Inside
        | Measures::Filed
        | Measures::TaperPin
        | Measures::InsideCorner
        | Measures::Chamfer => Some(false),
        Measures::Outside
        | Measures::Turned
        | Measures::Thickness
        | Measures::Web
        | Measures::Radius
        | Measures::Shaft
        | Measures::AcrossFlats
        | Measures::Along => Some(true),
        Measures::Position | Measures::Throw | Measures::KnurlPitch | Measures::AcrossBar => None,
    }
}

/// The law of how a size lies, and that in words.
pub(crate) fn law(lie: Lie, most_metal: Option<bool>) -> (stacks::Law, &'static str) {
    match (lie, most_metal) {
        (Lie::Evenly, _) => (stacks::Law::Even, "evenly"),
        (Lie::Normally, _) => (stacks::Law::Normal { sigmas: 3.0 }, "normally"),
        (Lie::MostMetal, Some(true)) => (stacks::Law::Triangular { peak: 0.75 }, "near the upper limit"),
        (Lie::MostMetal, Some(false)) => (stacks::Law::Triangular { peak: 0.25 }, "near the lower limit"),
        (Lie::Middling | Lie::MostMetal, _) => (stacks::Law::Triangular { peak: 0.5 }, "near the middle"),
    }
}
