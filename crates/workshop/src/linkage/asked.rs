//! What is asked of a mechanism without being told to: one list.

use std::f64::consts::TAU;

use mechanism::{FRAME, Kind, LinkId, Measure, Moment, Reading, Turn, ValveEvents};

use super::Machine;
use super::machine::ValveSaid;

/// An angle that nobody sees, radians.
const HAIR: f64 = 1e-9;

/// In what a result is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// Millimetres.
    Mm,
    /// Reckoned in radians, shown in degrees.
    Degrees,
    /// Where the crank stands: reckoned in radians, shown in degrees from nought to a whole turn.
    Bearing,
    /// A share, shown in percent.
    Share,
}

impl Shown {
    /// A value as it is told: where the crank stands is told within one turn, and a hair short of
    /// a whole one is nought.
    pub(super) fn settled(self, value: f64) -> f64 {
        match self {
            Self::Bearing => (value + HAIR).rem_euclid(TAU) - HAIR,
            _ => value,
        }
    }

    /// A value with its unit.
    pub fn text(self, value: f64) -> String {
        match self {
            Self::Mm => format!("{} mm", plain(value, 3)),
            Self::Degrees | Self::Bearing => format!("{}°", plain(value.to_degrees(), 3)),
            Self::Share => format!("{} %", plain(100.0 * value, 2)),
        }
    }

    /// How far something strays either way, finer than a value is shown.
    pub fn size(self, value: f64) -> String {
        match self {
            Self::Mm => format!("{value:.4} mm"),
            Self::Degrees | Self::Bearing => format!("{:.3}°", value.to_degrees()),
            Self::Share => format!("{:.3} %", 100.0 * value),
        }
    }

    /// A change with its sign and unit.
    pub fn change(self, value: f64) -> String {
        let text = match self {
            Self::Mm => format!("{:+.4} mm", value),
            Self::Degrees | Self::Bearing => format!("{:+.4}°", value.to_degrees()),
            Self::Share => format!("{:+.4} %", 100.0 * value),
        };
        text.replace('-', "−")
    }
}

/// So many decimals, and no minus before nought.
fn plain(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let nought = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
    if nought { text.trim_start_matches('-').to_owned() } else { text.replace('-', "−") }
}

/// A result by name.
#[derive(Clone, Debug)]
pub struct Asked {
    /// `stroke of crosshead`, `cut-off, head end`.
    pub name: String,
    /// What reads it.
    pub reading: Reading,
    /// In what it is shown.
    pub shown: Shown,
}

fn asked_of(name: impl Into<String>, reading: Reading, shown: Shown) -> Asked {
    Asked { name: name.into(), reading, shown }
}

/// Everything that can be asked of a mechanism as it goes round, and what to know of it.
pub fn asked(machine: &Machine, turn: &Turn) -> (Vec<Asked>, Vec<String>) {
    let (mut all, mut notes) = (Vec::new(), Vec::new());
    for (name, point, line) in &machine.sliders {
        let along = Measure::Along(*point, line.clone());
        all.push(asked_of(format!("stroke of {name}"), Reading::stroke(&along), Shown::Mm));
        let moves = turn.range(&along).is_some_and(|[most, least]| most.value - least.value > 1e-9);
        if moves {
            all.extend(dead_centres(name, &along));
        }
    }
    for link in swinging(machine) {
        let turned = Measure::Turned(link, FRAME);
        let swings = turn.range(&turned).is_some_and(|[most, least]| {
            let wide = most.value - least.value;
            wide > 1e-9 && wide < TAU * 0.999
        });
        if swings {
            let name = &machine.of.links[link.0].name;
            all.push(asked_of(format!("swing of {name}"), Reading::stroke(&turned), Shown::Degrees));
        }
    }
    for (name, joint) in &machine.slots {
        let slip = Reading::stroke(&Measure::InSlot(*joint));
        all.push(asked_of(format!("slip of {name} in its slot"), slip, Shown::Mm));
    }
    let several = machine.valves.len() > 1;
    for valve in &machine.valves {
        let before = if several { format!("{}: ", valve.name) } else { String::new() };
        match turn.valve_events(&valve.valve) {
            Ok(events) => all.extend(of_valve(&before, &events, &mut notes)),
            Err(fault) => notes.push(format!("{}{}: {}", before, fault.what, fault.why)),
        }
    }
    (all, notes)
}

/// Where a slider turns back, and how far the crank goes while it moves along its line: where
/// that is not half a turn it returns quicker or slower.
fn dead_centres(name: &str, along: &Measure) -> [Asked; 3] {
    let [most, least] = [Moment::Most(along.clone()), Moment::Least(along.clone())];
    let forth = Reading::Since(least.clone(), most.clone());
    [
        asked_of(format!("dead centre of {name}, far"), Reading::When(most), Shown::Bearing),
        asked_of(format!("dead centre of {name}, near"), Reading::When(least), Shown::Bearing),
        asked_of(format!("turn of the crank from near to far for {name}"), forth, Shown::Degrees),
    ]
}

/// Links that are pinned to the frame and not held still.
fn swinging(machine: &Machine) -> impl Iterator<Item = LinkId> + '_ {
    let pinned = |link: LinkId| {
        machine.of.joints.iter().any(|joint| match &joint.kind {
            Kind::Pin(a, b) => (a.link == FRAME && b.link == link) || (b.link == FRAME && a.link == link),
            _ => false,
        })
    };
    (1..machine.of.links.len()).map(LinkId).filter(move |link| pinned(*link))
}

/// What a valve does, in the order in which a turn brings it.
fn of_valve(before: &str, events: &ValveEvents, notes: &mut Vec<String>) -> Vec<Asked> {
    let mut all = Vec::new();
    for (end, at) in ["head end", "crank end"].into_iter().zip(&events.ends) {
        let named = |what: &str| format!("{before}{what}, {end}");
        all.push(asked_of(named("lead"), at.lead.1.clone(), Shown::Mm));
        let timed = [
            ("admission", &at.admission),
            ("cut-off", &at.cut_off),
            ("release", &at.release),
            ("compression", &at.compression),
        ];
        for (what, timed) in timed {
            let Some(timed) = timed else { continue };
            all.push(asked_of(named(what), timed.share_by.clone(), Shown::Share));
            all.push(asked_of(named(&format!("angle of {what}")), timed.angle_by.clone(), Shown::Degrees));
        }
        all.push(asked_of(named("greatest opening to steam"), at.opening.1.clone(), Shown::Mm));
        all.push(asked_of(named("greatest opening to exhaust"), at.exhaust.1.clone(), Shown::Mm));
        notes.extend(at.notes.iter().map(|note| format!("{before}{end}: {note}")));
    }
    all
}

/// Where the valve has to stand in its mid position for equal lead at both ends.
pub(super) fn equal_lead(said: &ValveSaid, turn: &Turn) -> Option<f64> {
    let valve = &said.valve;
    let at = |end: usize| {
        let angle = turn.when(&valve.centre(end)).ok()?;
        Some(turn.reckon(angle, &valve.place)?.value)
    };
    let values = turn.model.values();
    let laps = valve.ends[0].lap.value(values) - valve.ends[1].lap.value(values);
    let sign = if valve.admission == mechanism::Admission::Outside { 1.0 } else { -1.0 };
    Some(0.5 * (at(0)? + at(1)? + sign * laps))
}
